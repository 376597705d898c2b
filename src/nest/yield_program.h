/* What yields come to at demands too large for tables of all numbers (whole_yields.h): a bound by
 * linear programming, plans by an integer program. */
#ifndef BLANKWRIGHT_NEST_YIELD_PROGRAM_H
#define BLANKWRIGHT_NEST_YIELD_PROGRAM_H

#include "nest/plank_yields.h"

/* A worth of each part such that no yield of a stock that is not limited is worth more than it
 * costs: the dual of the linear program over yields. */
struct yield_worths;

/* The worths whose bound is the highest for this demand; they hold for any other too. NULL where
 * the stock there is cannot meet the demand, or the solver gives up. */
struct yield_worths *yield_worths_create(struct arena *arena, const struct nest_problem *problem,
                                         const int64_t *demand, const struct yields *yields);

/* No whole numbers of the yields that meet the demand, within the stock there is, cost less. Told
 * in whole numbers: it rests on no tolerance. */
cost_t yield_worths_bound(const struct yield_worths *worths, const int64_t *demand);

/* Whole numbers of yields, times[] of each, that meet the demand within the stock there is, by at
 * most `nodes` nodes of branching. False where none were found, or packs are sold. */
bool yield_program_take(struct arena *arena, const struct nest_problem *problem,
                        const int64_t *demand, const struct yields *yields, int64_t nodes,
                        int64_t *times);

#endif
