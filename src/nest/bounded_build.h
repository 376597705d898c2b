/* Cut trees of blocks. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_BUILD_H
#define BLANKWRIGHT_NEST_BOUNDED_BUILD_H

#include "model/plan.h"
#include "nest/bounded_block.h"

/* The layout that holds just this block, first cut along `along`; bounded_as_root must have
 * allowed it. The tree lives in `arena`, lists in the pool's. */
void bounded_build(struct arena *arena, const struct bounded_pool *pool, uint32_t block, int along,
                   struct node *root);

#endif
