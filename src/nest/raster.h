/* Raster points: the sizes that sums of given sizes can reach along one direction.
 * Everything is kept grown by one kerf ("grown" sizes), so that parts add up without
 * kerfs: parts fit a length L when the sum of their grown sizes is at most L + kerf.
 * Source: normal patterns, Herz, IBM J. Res. Dev. 16 (1972); reduced raster points,
 * Scheithauer and Terno, J. Oper. Res. Soc. 47 (1996). Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_RASTER_H
#define BLANKWRIGHT_NEST_RASTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/length.h"

struct raster {
  length_t kerf;
  length_t whole;  /* the direction's full extent, grown */
  length_t *point; /* ascending; point[0] is 0 */
  size_t count;
  length_t unit;         /* of the lookup table below */
  uint32_t *floor_index; /* NULL: looked up by bisection */
  uint32_t *cell;        /* of each point in the lookup table */
};

/* Points of all sums of `size` (each > 0, not grown) up to `extent`. With `reduced`, only
 * those that a best layout needs when cuts are free. */
struct raster *raster_create(struct arena *arena, const length_t *size, size_t size_count,
                             length_t extent, length_t kerf, bool reduced);

/* Drops points until about `most` are left: the first and the last, each size's, and small
 * multiples of sizes stay, and those short of the whole by as much; others are evenly spread. */
void raster_thin(struct arena *arena, struct raster *raster, const length_t *size,
                 size_t size_count, size_t most);

/* Index of the largest point that is at most `grown` (grown >= 0). */
size_t raster_floor(const struct raster *raster, length_t grown);

/* raster_floor of the difference of two points, whole >= part. */
static inline size_t raster_rest(const struct raster *raster, size_t whole, size_t part) {
  if (raster->floor_index != NULL)
    return raster->floor_index[raster->cell[whole] - raster->cell[part]];
  return raster_floor(raster, raster->point[whole] - raster->point[part]);
}

/* True and *index set when `grown` is itself a point. */
bool raster_find(const struct raster *raster, length_t grown, size_t *index);

/* Sorts ascending and drops repeats; returns how many are left. */
size_t length_sort_unique(length_t *lengths, size_t count);

/* The first of ascending lengths from index low on that is not below `limit`; their count where
 * there is none. */
static inline size_t length_first_from(const length_t *lengths, size_t low, size_t count,
                                       length_t limit) {
  size_t high = count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (lengths[middle] < limit)
      low = middle + 1;
    else
      high = middle;
  }
  return low;
}

#endif
