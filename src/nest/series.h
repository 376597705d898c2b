/* A row of parts along one direction: the most that exact fillings are worth. */
#ifndef BLANKWRIGHT_NEST_SERIES_H
#define BLANKWRIGHT_NEST_SERIES_H

#include "nest/problem.h"
#include "nest/raster.h"

#define SERIES_NONE UINT32_MAX
#define COST_NEVER (INT64_MIN / 4)

/* Sizes of parts along a direction, with what it takes to step back by each. */
struct series_sizes {
  const struct raster *raster;
  length_t *size; /* real sizes, ascending, distinct */
  size_t count;
  uint32_t *back; /* [size * raster->count + point]: the point before, or SERIES_NONE */
};

/* worth[i]: parts that fill raster point i exactly, one cut counted per part; COST_NEVER
 * where none do. last[i]: the size that ends there. top[i]: the point <= i worth most. */
struct series {
  cost_t *worth;
  uint32_t *last;
  uint32_t *top;
};

/* size[] > 0, ascending and distinct, is copied; empty series of a raster. Both in the arena. */
struct series_sizes *series_sizes_create(struct arena *arena, const struct raster *raster,
                                         const length_t *size, size_t count);

struct series series_create(struct arena *arena, const struct raster *raster);

/* Fills a series up to raster point `limit`; part[s] is what a part of size s is worth,
 * COST_NEVER when there is none; each part takes one cut. Returns the steps done. */
int64_t series_fill(struct series *series, const struct series_sizes *sizes, const cost_t *part,
                    cost_t cut_cost, size_t limit);

/* The point to fill a room of `grown` extent up to, and *worth: its cuts are exact, the
 * last one saved where the parts end with the room. */
size_t series_end(const struct series *series, const struct raster *raster, length_t grown,
                  cost_t cut_cost, cost_t *worth);

#endif
