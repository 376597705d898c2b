/* Pieces laid freely: no saw has to part them, as in a load that the router cuts out.
 * Same problem as the saw's, but layouts need not be guillotine: stages, first cut and the
 * rules of the saw are not looked at. Two pieces of one sheet are kerf_crosscut apart along
 * x or kerf_rip apart along y; no gap is needed at the edges. Deterministic. */
#ifndef BLANKWRIGHT_NEST_FREE_NEST_H
#define BLANKWRIGHT_NEST_FREE_NEST_H

#include "nest/nest.h"

struct free_place {
  size_t sheet;  /* index into the answer's sheets */
  size_t option; /* of that sheet's stock */
  length_t x, y; /* lower left corner, in usable coordinates */
};

struct free_answer {
  bool complete;    /* every demand is met */
  int64_t *missing; /* per demand */
  size_t *sheets;   /* stock of each sheet used */
  size_t sheet_count;
  struct free_place *places;
  size_t place_count;
  cost_t cost;  /* of the stock used, whole packs */
  cost_t bound; /* no free plan costs less */
  int64_t steps;
};

/* options->effort is in thousands of steps, here insertions looked at; 0 is 850,000.
 * Raises STATUS_NO_MEMORY on the arena. */
void free_nest_solve(struct arena *arena, const struct nest_problem *problem,
                     const struct nest_options *options, struct free_answer *answer);

#endif
