/* A good guillotine layout of a rectangle in any number of stages with limited copies, cuts free,
 * in one fill of a table: the recursion of unstaged.h over few raster points, where each cell holds
 * one layout with the copies it takes, and two parts go together only within the limits. Not always
 * the best layout, so no bound. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_LIMITED_H
#define BLANKWRIGHT_NEST_LIMITED_H

#include "nest/cutting.h"

struct limited;

/* A table for one stock of `demand_count` demands; its flaws, stages and first cut are not looked
 * at. Of each direction so many raster points are kept at most, or one and its mirror for each size
 * where that is more. */
struct limited *limited_create(struct arena *arena, const struct nest_stock *stock,
                               size_t demand_count, size_t most_points);

/* Finds a layout at the worth of one piece of each option, worths <= 0 left out, with at most
 * limit[demand] pieces of each demand, and builds it into `root` (the whole stock). */
void limited_layout(struct arena *arena, struct limited *limited, const cost_t *option_worth,
                    const int64_t *limit, struct node *root);

/* Work of all layouts so far. */
int64_t limited_steps(const struct limited *limited);

#endif
