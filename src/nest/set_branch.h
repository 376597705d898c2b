/* Whether a set of stock holds a job: answered by branching on the pieces that come from each of
 * its planks. */
#ifndef BLANKWRIGHT_NEST_SET_BRANCH_H
#define BLANKWRIGHT_NEST_SET_BRANCH_H

#include "nest/dive.h"
#include "nest/set_relax.h"

/* pieces[] per stock. A plan found is kept as the search's best, when it is cheaper. SET_HOLDS: one
 * was found; SET_NOT_TOLD: the steps until job->stop did not do. */
enum set_outcome set_branch(struct set_job *job, const int64_t *pieces);

#endif
