/* Do given parts lie in a load that can be held? Answered exactly, by laying them one by one.
 *
 * Every layout can be pushed to the left and to the front until each part is stopped, on both
 * axes, by a wall, a part or a clamp; and its parts have an order in which each lies outside the
 * closure of those before it (all that is to the left and in front of some point of one of them).
 * So in that order each part's corner is a corner of the closure, or beside a clamp where that is
 * further. What the closure covers and no part does is waste; the room allows only so much of it.
 * After Martello, Pisinger, Vigo: The three-dimensional bin packing problem (2000), and den Boef
 * and others: a note on it (2005), for the plane. */
#ifndef BLANKWRIGHT_HOLD_LOAD_EXACT_H
#define BLANKWRIGHT_HOLD_LOAD_EXACT_H

#include "hold/load_sums.h"

/* Working memory of many such questions on one job. */
struct load_exact;

/* For one job, which must stay in place; lives in the arena. */
struct load_exact *load_exact_begin(struct arena *arena, const struct load_job *job);

/* counts: copies of each of the job's kinds, all to be laid. On LOAD_FOUND parts, with room for
 * LOAD_PARTS_MOST, hold them. `steps` is added to; LOAD_OPEN once `limit` of them are done, or
 * when clamps or rounds are beyond what this search knows exactly. */
enum load_outcome load_exact_lay(struct load_exact *exact, const uint8_t *counts, int64_t limit,
                                 struct load_part *parts, int64_t *steps);

#endif
