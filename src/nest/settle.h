/* Whether a set of stock holds the job, told by the layouts that are worth nearly the most. */
#ifndef BLANKWRIGHT_NEST_SETTLE_H
#define BLANKWRIGHT_NEST_SETTLE_H

#include "nest/generate.h"

/* For a region with the count of every stock to cut fixed; at most about `steps`. A plan found
 * becomes the best. True when no plan of the region exists. */
bool settle(struct search *search, const struct region *region, int64_t steps);

#endif
