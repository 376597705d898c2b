/* Plans and bounds for every number of sets at once. Where parts are made in loads, the bound holds
 * for all loads there can be: see hold/catalogue_least.h and plank_yields.h, and the plans are the
 * cheapest whole numbers of layouts in rows of the loads at hand. Few kinds of pieces sawn as they
 * are: piece_yields.h. Both come from dynamic programs over all demands up to the largest
 * (whole_yields.h), so neighbours share everything; demands too large for tables from linear and
 * integer programs (yield_program.h). */
#ifndef BLANKWRIGHT_NEST_QUANTITIES_H
#define BLANKWRIGHT_NEST_QUANTITIES_H

#include "nest/nest.h"
#include "nest/plank_layouts.h"

struct quantities;

/* For demands up to those of the problem, which must stay in place and have its rules set. `many`:
 * several demands will be asked for, else the problem's own alone. NULL where parts are glued up,
 * resawn or matched; where what one piece of stock yields is too much for `effort` percent of the
 * usual work; and, unless many are asked for, where no part is made in loads. */
struct quantities *quantities_solve(struct arena *arena, const struct nest_problem *problem,
                                    int64_t effort, bool many);

/* The bound for another demand of a problem that is the same otherwise; in the answer the best
 * plan known, when there is one and true is returned. Nothing is proved by it unless cost and
 * bound meet. `arena` holds what the answer needs beyond the tables. */
bool quantities_answer(const struct quantities *quantities, struct arena *arena,
                       const struct nest_problem *problem, struct nest_answer *answer);

/* Loads that, were they longer, would spare layouts in rows their last cut; none where
 * quantities_solve gives NULL for want of what it knows of the problem. */
const struct load_wish *quantities_wishes(struct arena *arena, const struct nest_problem *problem,
                                          int64_t effort, size_t *count);

#endif
