/* A published instance as a nesting problem: bare units, no kerf, cuts for nothing. */
#ifndef BLANKWRIGHT_TESTS_BENCH_PUBLISHED_PROBLEM_H
#define BLANKWRIGHT_TESTS_BENCH_PUBLISHED_PROBLEM_H

#include "base/arena.h"
#include "nest/problem.h"
#include "published_sets.h"

/* `unit`: what COST_PER_CENT of cost stands for: one sheet, or an area that divides that of every
 * sheet. One size of sheet, of as many as wanted, is counted; else area counts. For a knapsack
 * the problem has one stock, the instance's first sheet; demand is the most that is of use. */
struct nest_problem *published_problem(struct arena *arena, const struct instance *instance,
                                       enum question question, int64_t *unit);

#endif
