/* The longest sums of the lengths of some parts that are no longer than a given length: what a
 * line across the load can be filled with. Rounded, if at all, so that nothing is missed. */
#ifndef BLANKWRIGHT_HOLD_LOAD_SUMS_H
#define BLANKWRIGHT_HOLD_LOAD_SUMS_H

#include "hold/load_job.h"

enum { LOAD_SUMS_MOST = 1024 };

struct load_axis {
  length_t unit; /* every length is a whole number of it, or rounded down to one */
  bool whole;    /* ... and none was rounded */
  unsigned units;
  length_t lost; /* units that rounding down may take from a line's parts together */
  uint16_t along[LOAD_ITEMS_MOST][LOAD_WAYS]; /* of each kind's ways */
};

/* best[n]: the longest sum that a line n units long holds, in units. */
struct load_fill {
  uint16_t best[LOAD_SUMS_MOST + 1];
};

/* The sizes along x or, where `across`, along y. */
void load_axis_begin(const struct load_job *job, bool across, struct load_axis *axis);

/* From counts[] copies of each of the job's kinds, each copy used once and in any of its ways. */
void load_fill_with(const struct load_job *job, const struct load_axis *axis, const uint8_t *counts,
                    struct load_fill *fill);

/* The longest fill of a line so long, at most the room's; too much rather than too little. */
static inline length_t load_fill_best(const struct load_axis *axis, const struct load_fill *fill,
                                      length_t line) {
  length_t best = fill->best[line / axis->unit];
  if (axis->whole) return best * axis->unit;
  best = (best + axis->lost) * axis->unit;
  return best < line ? best : line;
}

#endif
