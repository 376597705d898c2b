#include "nest/grid.h"

#include "nest/coarse.h"

enum { GRID_CELLS = 40000 };

const struct grid *grid_of(struct search *search, size_t stock) {
  if (search->grids == NULL)
    search->grids = ARENA_ARRAY(search->arena, search->problem->stock_count, struct grid);
  struct grid *grid = &search->grids[stock];
  if (grid->tried) return grid;
  grid->tried = true;
  grid->problem = coarse_problem(search->arena, search->problem, stock, GRID_CELLS);
  if (grid->problem == NULL) return grid;
  size_t cells = 4 * GRID_CELLS; /* of two tables, lines added at the ends */
  grid->pricer = pricer_create(search->arena, grid->problem, stock, &cells);
  return grid;
}

int64_t grid_steps(const struct search *search) {
  int64_t steps = 0;
  for (size_t s = 0; search->grids != NULL && s < search->problem->stock_count; s++)
    if (search->grids[s].pricer != NULL) steps += pricer_steps(search->grids[s].pricer);
  return steps;
}
