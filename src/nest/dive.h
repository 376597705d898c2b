/* Whole plans from fractional ones: layouts are fixed a few at a time and what is left is
 * priced anew. */
#ifndef BLANKWRIGHT_NEST_DIVE_H
#define BLANKWRIGHT_NEST_DIVE_H

#include "nest/generate.h"

/* Dives from a region's linear program. A plan cheaper than the best known becomes the best. */
void dive(struct search *search, const struct region *region);

/* Looks for a better whole plan over the layouts at hand by branch and cut, at most about `steps`.
 */
void finish_with_pool(struct search *search, const struct region *region, int64_t steps);

/* Keeps a complete plan when it is cheaper than the best, or as cheap and ranked before it;
 * takes surplus pieces out first. */
void keep_plan(struct search *search, struct uses *uses);

/* How often a layout fits into what is still wanted of a region, without surplus. */
int64_t dive_fits(const struct search *search, const struct region *rest, size_t column);

/* Puts a layout into a plan, and takes what it makes and uses from the region's rest. */
void dive_take(const struct search *search, struct region *rest, struct uses *uses, size_t column,
               int64_t times);

#endif
