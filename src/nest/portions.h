/* Problems too large to be solved at once: so many kinds of pieces from so many kinds of stock that
 * tables for all of them would take gigabytes, and one round of pricing more than all the steps.
 * They are solved in portions, one after the other: some of the kinds, large and small ones mixed,
 * from some of the stock that is left, the cheapest for its area. What finds no place waits for the
 * next round. The bound is by area, of the whole problem: it holds for every plan, and is weaker
 * than one by layouts. */
#ifndef BLANKWRIGHT_NEST_PORTIONS_H
#define BLANKWRIGHT_NEST_PORTIONS_H

#include "nest/nest.h"

/* Whether a problem is so large. One with units that are given and are no assemblies never is:
 * they tie all demands together. */
bool portions_are_wanted(const struct nest_problem *problem);

/* As nest_solve; `counts` of the layouts are NULL. */
void portions_solve(struct arena *arena, const struct nest_problem *problem,
                    const struct nest_options *options, struct nest_answer *answer);

#endif
