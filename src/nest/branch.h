/* Branching on how many pieces of each stock are used, best bound first. */
#ifndef BLANKWRIGHT_NEST_BRANCH_H
#define BLANKWRIGHT_NEST_BRANCH_H

#include "nest/dive.h"

/* Closes the gap between search->best_cost and *bound as far as the steps allow, at most
 * `nodes` nodes; *bound is raised to what was proved, at most best_cost. `report` (may be
 * NULL) is called after each node. */
void branch(struct search *search, const struct region *root, int nodes, cost_t *bound,
            void (*report)(void *data, const struct search *search, cost_t bound), void *data);

#endif
