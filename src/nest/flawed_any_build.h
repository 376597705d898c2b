/* The layout that a search around flaws found for a rectangle. */
#ifndef BLANKWRIGHT_NEST_FLAWED_ANY_BUILD_H
#define BLANKWRIGHT_NEST_FLAWED_ANY_BUILD_H

#include "nest/flawed_memo.h"

/* Builds the best layout known of the whole stock into `root`; returns what it is worth,
 * 0 (and waste alone) where a kerf would have to be cut off the edge of what is left. */
cost_t flawed_any_build(struct arena *arena, struct flaw_memo *memo, const struct flaw_part *whole,
                        struct node *root);

#endif
