/* Taking whole plans apart and putting them together again: a few pieces of stock are
 * given back and their parts laid out anew, at worths that are shaken a little each time
 * (after sequential value correction, Belov and Scheithauer, INFORMS J. Comput. 19 (2007)). */
#ifndef BLANKWRIGHT_NEST_IMPROVE_H
#define BLANKWRIGHT_NEST_IMPROVE_H

#include "nest/dive.h"

/* A first whole plan, layout after layout; once a share of the steps is used up, layouts are only
 * filled, so that there always is one soon. Pieces that find no stock are not made. It becomes the
 * best plan when there is no cheaper one. */
void construct(struct search *search, const struct region *region);

/* Tries `rounds` times (fewer when many in a row find nothing), at most about `steps` of work, to
 * make the best plan cheaper, and ends early when it costs no more than `bound` and a few rounds
 * have looked for one as cheap that ranks before it. Layouts found join the pool. The same search
 * and numbers give the same result. */
void improve(struct search *search, const struct region *region, cost_t bound, int rounds,
             int64_t steps);

/* The same from nothing, within a region's stock: does this set of planks hold the job? A
 * complete plan cheaper than the best becomes the best. */
void improve_within(struct search *search, const struct region *region, cost_t bound, int rounds,
                    int64_t steps);

/* Goes on with other random numbers until the steps are used up or the best plan costs no more
 * than `bound`; only where more than the usual steps are allowed. Layouts of plans that come to
 * nothing are forgotten. */
void improve_on(struct search *search, const struct region *region, cost_t bound);

#endif
