/* Whole plans for large demands: most of a fractional plan is rounded down, the rest packed
 * anew. */
#ifndef BLANKWRIGHT_NEST_PLUNGE_H
#define BLANKWRIGHT_NEST_PLUNGE_H

#include "nest/dive.h"

/* Looks for a plan cheaper than the best known: rounds the region's linear program down, less
 * a few copies drawn at random, fixes further layouts drawn by their fractions, each time with
 * fresh columns, and packs the little that is left into what stock the aim leaves; again and
 * again, until the best costs no more than `bound` or about `steps` steps are done. Returns
 * `bound`, or more where more was proved. */
cost_t plunge(struct search *search, const struct region *region, cost_t bound, int64_t steps);

#endif
