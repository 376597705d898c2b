/* Whether clamps chosen for a load keep the rules of clamp_problem.h. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_RULES_H
#define BLANKWRIGHT_HOLD_CLAMP_RULES_H

#include "hold/clamp_places.h"

/* The sum of forces that must be reached, thousandths of a newton, rounded up: from
 * F >= held / (2 x friction), two faces. 0 where nothing is asked or known. */
int64_t friction_needed(const struct clamp_problem *problem);

/* What one clamp adds to it: all of it where its force is not known. */
int64_t friction_counted(const struct clamp_problem *problem, size_t choice);

/* The sum of forces that counts: of side clamps opposite each other the lesser side. */
int64_t friction_reached(const struct clamp_problem *problem, const struct clamp_place *places,
                         size_t count);

/* True when the places, sorted by side and start, keep all rules. `clear` is of the problem. */
bool clamps_hold(const struct clamp_problem *problem, const struct clear_side *clear,
                 const struct clamp_place *places, size_t count);

#endif
