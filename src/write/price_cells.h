/* What is told of one quantity, once for every format that tells all of it. */
#ifndef BLANKWRIGHT_WRITE_PRICE_CELLS_H
#define BLANKWRIGHT_WRITE_PRICE_CELLS_H

#include "base/arena.h"
#include "model/price.h"

enum price_cell_kind {
  CELL_NUMBER, /* `scaled` of 10^-digits units: sets, money, hours, percents, chances */
  CELL_FLAG,   /* `scaled` is 0 or 1 */
  CELL_TEXT
};

struct price_cell {
  const char *name; /* the column, the key */
  enum price_cell_kind kind;
  bool known; /* else the cell is empty and the key is left out */
  int64_t scaled;
  int digits;
  const char *text;
};

enum { PRICE_CELLS_MOST = 64 };

/* The same names in the same order for every quantity. */
struct price_cells {
  struct price_cell cells[PRICE_CELLS_MOST];
  int count;
};

/* The cells of one point, in the arena. */
struct price_cells *price_cells_of(struct arena *arena, const struct price_table *table,
                                   const struct price_point *point);

#endif
