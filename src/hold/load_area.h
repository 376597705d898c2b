/* Bounds by area seen through dual feasible functions: sets of parts that no room of the size
 * holds, clamps or none. Source: Fekete, Schepers: A general framework for bounds for
 * higher-dimensional orthogonal packing problems (2004). */
#ifndef BLANKWRIGHT_HOLD_LOAD_AREA_H
#define BLANKWRIGHT_HOLD_LOAD_AREA_H

#include "hold/load_job.h"

struct load_views;

/* Works the functions out for the job, which must stay in place; all lives in the arena. */
struct load_views *load_views_begin(struct arena *arena, const struct load_job *job);

/* True: the copies, counts[] of each of the job's kinds, do not lie in the room together. False
 * shows nothing. `steps` is added to. */
bool load_views_refute(struct load_views *views, const uint8_t *counts, int64_t *steps);

/* Wood in the room's area that clamps take from any load, at the least. */
int64_t load_clamped_area(const struct load_job *job);

#endif
