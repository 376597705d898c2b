/* Cheaper stock for the best plan: whole plans are packed anew into stock that costs less. */
#ifndef BLANKWRIGHT_NEST_FEWER_H
#define BLANKWRIGHT_NEST_FEWER_H

#include "nest/dive.h"

/* Looks for a plan whose stock costs less than the best plan's, cuts apart, again and again,
 * until none may cost less than `bound` allows or about `steps` steps are done. What is given,
 * split or cut from leaves stays as the best plan has it; of large plans a part is packed
 * anew at a time. Layouts found join the pool. */
void fewer(struct search *search, const struct region *region, cost_t bound, int64_t steps);

/* Whether the stock of a region, region->most[] of each, holds the region's demand, what
 * is given left alone; a plan found is kept where it is the best. At most about `steps`. */
bool fewer_within(struct search *search, const struct region *region, int64_t steps);

/* The most that a cheaper plan can cost: where cuts are free and there is one kind of stock, by
 * whole pieces. */
cost_t fewer_budget(const struct search *search);

/* Packs what a part of a plan leaves open of the region, so that the stock of both costs
 * `budget` at most; a plan found is kept where it is the best. At most about `steps`. */
bool fewer_rest(struct search *search, const struct region *region, const struct uses *kept,
                cost_t budget, int64_t steps);

#endif
