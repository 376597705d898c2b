/* Plans of layouts at hand by integer programs, in GLPK. For the cheapest plan pieces of stock are
 * numbers of their own, branched on first: what a plan costs hangs on little else, and cuts that
 * round the sum of their prices then tell most. Whether a set of stock holds the job is asked as
 * the least number of pieces missing. A fault inside GLPK raises STATUS_SOLVER_FAULT. */
#ifndef BLANKWRIGHT_NEST_POOL_PLAN_H
#define BLANKWRIGHT_NEST_POOL_PLAN_H

#include "base/arena.h"
#include "nest/problem.h"

/* A layout of a stock. */
struct pool_layout {
  size_t stock;
  const int64_t *counts; /* per demand; below 0 what it takes */
  cost_t cost;           /* one piece of stock and the cuts */
};

struct pool_question {
  const struct nest_problem *problem;
  const int64_t *demand;       /* per demand: wanted at least */
  const int64_t *least, *most; /* per stock: pieces; INT64_MAX / 4 and more is no limit */
  const struct pool_layout *layouts;
  size_t layout_count;
  cost_t below;  /* only a plan cheaper than this is looked for */
  int64_t steps; /* allowed; set to what was taken */
};

/* True when a plan was found: taken[layout] is then how often each is cut. It is the cheapest, or
 * the steps ended. */
bool pool_plan(struct arena *arena, struct pool_question *question, int64_t *taken);

enum pool_outcome {
  POOL_FOUND,
  POOL_NONE, /* as doubles go */
  POOL_NOT_TOLD
};

/* The same for any plan within `most`, whatever it costs: `below` and `least` are not looked at,
 * and rows that couple must have none. */
enum pool_outcome pool_fill(struct arena *arena, struct pool_question *question, int64_t *taken);

#endif
