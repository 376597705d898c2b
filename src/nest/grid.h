/* Coarser pricing of the stocks of a search, opened when first asked for. */
#ifndef BLANKWRIGHT_NEST_GRID_H
#define BLANKWRIGHT_NEST_GRID_H

#include "nest/generate.h"
#include "nest/pricer.h"

struct grid {
  const struct nest_problem *problem; /* NULL: there is none, or it was not tried yet */
  struct pricer *pricer;              /* the same; prices on the grid, see coarse.h */
  bool tried;
};

/* Lives in the search's arena. */
const struct grid *grid_of(struct search *search, size_t stock);

/* Steps of all grids. */
int64_t grid_steps(const struct search *search);

#endif
