/* The least cost of a tiny problem by trying everything: every cut at every whole unit,
 * every way to share the pieces out among the stocks. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_EXHAUSTIVE_H
#define BLANKWRIGHT_TESTS_RANDOM_EXHAUSTIVE_H

#include "base/arena.h"
#include "nest/problem.h"

#define EXHAUSTIVE_NO_PLAN INT64_C(-1)

/* All lengths of the problem must be whole numbers of `unit`, the stocks at most 12 x 6 of
 * it. The least cost of a plan problem.h allows, or EXHAUSTIVE_NO_PLAN. Time grows with the
 * square of the number of ways to meet part of the demand: keep that under 50. */
cost_t exhaustive_optimum(struct arena *arena, const struct nest_problem *problem, length_t unit);

#endif
