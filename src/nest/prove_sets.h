/* Whole sets of stock in the order of their cost, each refuted or filled. */
#ifndef BLANKWRIGHT_NEST_PROVE_SETS_H
#define BLANKWRIGHT_NEST_PROVE_SETS_H

#include "nest/dive.h"

struct set_proof;

/* Nothing is done yet; NULL where cuts cost, planks are split, rows couple or parts must come from
 * one plank. Lives in the search's arena; the region must not change. */
struct set_proof *prove_sets_open(struct search *search, const struct region *region);

/* Raises *bound (at most to best_cost) as far as sets of stock cheaper than the best plan can be
 * refuted, and keeps plans found for those that cannot; goes on where it stopped. At most about
 * `steps` steps. A proof of NULL does nothing. */
void prove_sets(struct set_proof *proof, cost_t *bound, int64_t steps);

#endif
