/* The rules of hold/clamp_problem.h written a second time, on bodies as they are handed out. */
#ifndef BLANKWRIGHT_TESTS_CLAMP_RULES_H
#define BLANKWRIGHT_TESTS_CLAMP_RULES_H

#include "hold/clamp_problem.h"

/* NULL when the clamps keep every rule, else the rule broken. `held_clamp.clamp` is an index into
 * the problem's choices. */
const char *broken_rule(const struct clamp_problem *problem, const struct held_clamp *clamps,
                        size_t count);

/* The largest free stretch of the sides that have to be covered. */
length_t largest_stretch(const struct clamp_problem *problem, const struct held_clamp *clamps,
                         size_t count);

#endif
