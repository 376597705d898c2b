/* The search for one change that makes a load holdable. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_CURE_H
#define BLANKWRIGHT_HOLD_CLAMP_CURE_H

#include "hold/clamp_refusal.h"

/* Each returns true and the smallest change found that cures: fewest marks over all sides, fewest
 * clamps over all choices (the first of equals), or a quarter turn. */
bool cure_by_growing(struct arena *arena, const struct clamp_problem *problem,
                     struct clamp_cure *cure);
bool cure_by_more(struct arena *arena, const struct clamp_problem *problem,
                  struct clamp_cure *cure);
bool cure_by_turning(struct arena *arena, const struct clamp_problem *problem,
                     struct clamp_cure *cure);

#endif
