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

#endif
