/* How likely each number of sets is wanted. */
#ifndef BLANKWRIGHT_COST_PRICE_DEMAND_H
#define BLANKWRIGHT_COST_PRICE_DEMAND_H

#include "base/arena.h"
#include "model/price.h"

/* Lives in the arena. The chances add up to 1 but for the rounding of doubles. */
struct demand_chances {
  int64_t most;
  double *of;   /* [0..most]: that exactly so many are wanted */
  double *from; /* [0..most + 1]: so many or more, added from above, so that tails are exact */
};

/* `demand` is known; sets over `most` are told by from[most + 1] alone. */
struct demand_chances demand_chances(struct arena *arena, const struct demand *demand,
                                     int64_t most);

#endif
