/* What the parts of near_best.c share: entries, lists of them, clear rectangles. */
#ifndef BLANKWRIGHT_NEST_NEAR_CELLS_H
#define BLANKWRIGHT_NEST_NEAR_CELLS_H

#include "nest/near_best.h"

enum { NEAR_BUCKETS = 4096 };

/* A row: `part` comes behind the parts of `before`. Or a piece: then option is one. */
struct near_entry {
  struct near_counts counts;
  cost_t worth;
  const struct near_entry *before; /* NULL: the row's first part */
  const struct near_entry *part;   /* NULL: the empty row, or a piece */
  length_t extent;                 /* of the part along; 0: it takes in the rest */
  enum division along;             /* what the row divides; of a piece, what its trim divides */
  uint32_t option;
  bool placed; /* `at` is the low edge of the part, or of the piece, along; extent is as it is */
  length_t at; /* from the low edge of what is divided */
};

struct near_cell;

struct near {
  const struct near_question *question;
  struct arena *arena;
  struct near_counts limit;
  struct near_cell *buckets[NEAR_BUCKETS];
  size_t entry_count;
  cost_t slack; /* what the whole stock may lose */
  int64_t steps;
  bool failed;
};

/* Whether steps or memory are used up: then `failed` is set. */
bool near_is_over(struct near *near);

/* Puts a copy of an entry into a list. */
void near_keep(struct near *near, struct near_list *list, const struct near_entry *entry);

/* Takes an entry in unless another makes as much; those it makes as much as go. */
void near_offer(struct near *near, struct near_list *list, const struct near_entry *entry);

/* A row with one more part; its worth tells whether it is of use. */
struct near_entry near_put_behind(struct near *near, enum division along,
                                  const struct near_entry *before, const struct near_entry *part,
                                  length_t extent);

/* The layouts of a clear rectangle worth at least `least` in so many stages, the next dividing
 * `along`; of two stages, those of full extent across. */
const struct near_list *near_find_cell(struct near *near, int stages, enum division along,
                                       const length_t *extent, cost_t least);

#endif
