/* Whether given pieces of stock hold a job: whole plans as trees of cuts, a few nodes taken
 * out and put back at the cheapest place, again and again, until nothing is left over. */
#ifndef BLANKWRIGHT_NEST_REPACK_H
#define BLANKWRIGHT_NEST_REPACK_H

#include "nest/nest.h"

struct repack_result {
  bool complete;               /* every demand is met from the pieces given */
  int64_t *open;               /* per demand: pieces that found no place in the best state */
  struct nest_layout *layouts; /* of the pieces of stock used; times is 1 each */
  size_t layout_count;
  int64_t steps;
};

/* Cuts demand[] from at most available[s] pieces of each stock (stock with `given` is left
 * alone). All rules of problem.h hold in every layout: stages, first cut, minimums, kerfs,
 * flaws. `start` (start_count layouts, may be 0) is a plan to begin with; what of it does not
 * fit available[] is taken apart. Ends when complete or after about `steps` steps (places
 * looked at). The same numbers and seed give the same result. */
void repack(struct arena *arena, const struct nest_problem *problem, const int64_t *demand,
            const int64_t *available, const struct nest_layout *start, size_t start_count,
            int64_t steps, uint64_t seed, struct repack_result *result);

/* A layout of one piece of a stock (flaws and all rules minded) worth much: each piece of demand d
 * adds worth[d] (>= 0), at most limit[d] pieces of it. `start` is one to begin with, or NULL. Takes
 * about `steps` steps, or fewer where all is placed, and adds what it took to *spent. False where
 * no piece found a place. */
bool repack_layout(struct arena *arena, const struct nest_problem *problem, size_t stock,
                   const cost_t *worth, const int64_t *limit, const struct nest_layout *start,
                   int64_t steps, struct nest_layout *layout, int64_t *spent);

#endif
