/* Whether a set of stock holds the job, told by the layouts that are worth nearly the most. */
#ifndef BLANKWRIGHT_NEST_NEAR_PLANS_H
#define BLANKWRIGHT_NEST_NEAR_PLANS_H

#include "nest/generate.h"

/* Worths that nearly refute a set of stock, from its relaxation. */
struct near_worths {
  const cost_t *worth; /* per demand, >= 0 */
  const cost_t *most;  /* per stock used: no layout is worth more; COST_UNKNOWN: not known */
};

/* For a region with the count of every stock to cut fixed; at most about `steps`. A plan found
 * becomes the best. True when no plan of the region exists. `known` may be NULL. */
bool near_plans_refute(struct search *search, const struct region *region,
                       const struct near_worths *known, int64_t steps);

#endif
