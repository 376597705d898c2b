/* The rows of rack.csv and yard.csv are alike but for how their value is told. */
#ifndef BLANKWRIGHT_READ_STOCK_H
#define BLANKWRIGHT_READ_STOCK_H

#include "read/reader.h"

enum {
  STOCK_NAME,
  STOCK_KIND,
  STOCK_WOOD,
  STOCK_LENGTH,
  STOCK_WIDTH,
  STOCK_THICKNESS,
  STOCK_COUNT,
  STOCK_SURFACE,
  STOCK_FACE_GRAIN,
  STOCK_CROOK,
  STOCK_TRIM_ENDS,
  STOCK_TRIM_EDGES,
  STOCK_NOTE,
  STOCK_COLUMNS
};

/* The columns both have, for the readers' own tables of columns. */
#define STOCK_COLUMN_LIST \
  [STOCK_NAME] = {"stock", true}, [STOCK_KIND] = {"kind", true}, [STOCK_WOOD] = {"wood", true}, \
  [STOCK_LENGTH] = {"length", true}, [STOCK_WIDTH] = {"width", true}, \
  [STOCK_THICKNESS] = {"thickness", true}, [STOCK_COUNT] = {"count", false}, \
  [STOCK_SURFACE] = {"surface", false}, [STOCK_FACE_GRAIN] = {"face_grain", false}, \
  [STOCK_CROOK] = {"crook", false}, [STOCK_TRIM_ENDS] = {"trim_ends", false}, \
  [STOCK_TRIM_EDGES] = {"trim_edges", false}, [STOCK_NOTE] = {"note", false}

#define STOCK_COUNT_MOST 1000000

/* Reads the columns both have into stock, which holds source, and count as it is when the
 * cell is empty. True when name and sizes are fit for use. */
bool stock_read(struct reader *reader, struct table *table, struct stock *stock);

/* Adds a stock whose name was accepted (stock->name is NULL where not). */
void stock_keep(struct reader *reader, const struct stock *stock);

#endif
