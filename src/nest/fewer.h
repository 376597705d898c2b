/* Cheaper stock for the best plan: whole plans are packed anew into stock that costs less. */
#ifndef BLANKWRIGHT_NEST_FEWER_H
#define BLANKWRIGHT_NEST_FEWER_H

#include "nest/dive.h"

/* Looks for a plan whose stock costs less than the best plan's, their cuts not counted, again and
 * again, until `bound` leaves no room for a cheaper one or about `steps` steps are done. What is
 * given, split or cut from leaves stays as the best plan has it; of large plans a part is packed
 * anew at a time. Layouts found join the pool. */
void fewer(struct search *search, const struct region *region, cost_t bound, int64_t steps);

/* Packs the region's demand into its stock, region->most[] of each, what is given left alone. True
 * when a plan was found and became the best; false shows nothing. At most about `steps`. */
bool fewer_within(struct search *search, const struct region *region, int64_t steps);

/* The most that a cheaper plan can cost: where cuts are free and there is one kind of stock, by
 * whole pieces. */
cost_t fewer_budget(const struct search *search);

/* Packs what a part of a plan leaves open of the region, so that the stock of both costs
 * `budget` at most. True when a plan was found that makes the best one cheaper. At most about
 * `steps`. */
bool fewer_rest(struct search *search, const struct region *region, const struct uses *kept,
                cost_t budget, int64_t steps);

#endif
