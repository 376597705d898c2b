/* The cheapest whole numbers of yields for every demand at once. */
#ifndef BLANKWRIGHT_NEST_WHOLE_YIELDS_H
#define BLANKWRIGHT_NEST_WHOLE_YIELDS_H

#include "nest/plank_yields.h"

struct whole_yields;

/* Solves for all demands up to most[] per kind, by a dynamic program over them. A stock of
 * which there are more than a few pieces is not limited: then a cost is a lower bound, and may be
 * of no plan. Of packs each piece costs its share. NULL where the demands are too many, or the
 * cells of tables are more than `steps`. */
struct whole_yields *whole_yields_solve(struct arena *arena, const struct nest_problem *problem,
                                        const int64_t *most, const struct yields *yields,
                                        int64_t steps);

/* What a demand, at most most[] of each kind, costs at least; COUNT_NEVER: it cannot be met. */
cost_t whole_yields_cost(const struct whole_yields *whole, const int64_t *demand);

/* How often each of the yields is taken for a demand that can be met; times[] is set. False where
 * more pieces of a stock would be used than there are, or packs are sold. */
bool whole_yields_take(const struct whole_yields *whole, const int64_t *demand, int64_t *times);

#endif
