/* Clamps that may stand anywhere, moved to where they stand most evenly. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_SPREAD_H
#define BLANKWRIGHT_HOLD_CLAMP_SPREAD_H

#include "hold/clamp_places.h"

/* Moves clamps that hold (sorted by side and start) within the clear stretches they stand in,
 * keeping their order and their ways around each other: least largest free stretch of each
 * side, then symmetry, by a linear program; then rounded to the problem's mark where the rules
 * allow. Places stay as they are where nothing better keeps the rules. */
void clamps_spread(struct arena *arena, const struct clamp_problem *problem,
                   const struct clear_side *clear, struct clamp_place *places, size_t count);

#endif
