#include "nest/problem.h"

cost_t nest_stock_cost(const struct nest_stock *stock, int64_t pieces) {
  int64_t pack = stock->pack < 1 ? 1 : stock->pack;
  int64_t bought = (pieces + pack - 1) / pack * pack;
  return (stock->cost - stock->trim_cost) * bought + stock->trim_cost * pieces;
}

int64_t nest_stock_most(const struct nest_stock *stock) {
  int64_t pack = stock->pack < 1 ? 1 : stock->pack;
  return stock->count < 0 ? INT64_MAX / 4 : stock->count / pack * pack;
}

bool nest_is_match(const struct nest_problem *problem, size_t demand) {
  for (size_t m = 0; m < problem->match_count; m++)
    if (problem->matches[m].demand == demand) return true;
  return false;
}

void nest_count_matches(const struct nest_problem *problem, int64_t *counts) {
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    int64_t sets = INT64_MAX;
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t served = counts[match->member[i]] / match->per_set[i];
      if (served < sets) sets = served;
    }
    counts[match->demand] = sets;
  }
}

bool nest_is_coupling(const struct nest_problem *problem, size_t demand) {
  return demand + problem->coupling_count >= problem->demand_count;
}

const struct nest_stock *nest_assembly_of(const struct nest_problem *problem, size_t row) {
  const struct nest_stock *only = NULL;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (!stock->assembly || stock->given[row] == 0) continue;
    if (only != NULL || stock->given[row] != -1) return NULL;
    only = stock;
  }
  return only;
}

bool nest_is_cut(const struct nest_stock *stock) {
  return stock->given == NULL && (stock->option_count > 0 || stock->split_count == 0);
}

static int64_t times_up(int64_t whole, int64_t part) { return (whole + part - 1) / part; }

/* How often an assembly is made until all that is wanted of its parts is there. */
static int64_t times_wanted(const struct nest_problem *problem, const struct nest_stock *assembly,
                            const int64_t *demand) {
  int64_t wanted = 0;
  for (size_t d = 0; d < problem->demand_count; d++) {
    if (assembly->given[d] <= 0 || demand[d] <= 0) continue;
    int64_t times = times_up(demand[d], assembly->given[d]);
    if (times > wanted) wanted = times;
  }
  return wanted;
}

/* Units that what is still wanted of an assembly's parts would take. */
static void add_strip_limits(const struct nest_problem *problem, const struct nest_stock *assembly,
                             const int64_t *demand, int64_t *limit) {
  int64_t wanted = times_wanted(problem, assembly, demand);
  for (size_t d = 0; d < problem->demand_count; d++)
    if (assembly->given[d] < 0) limit[d] -= assembly->given[d] * wanted;
}

void nest_useful_limits(const struct nest_problem *problem, const int64_t *demand, int64_t *limit) {
  for (size_t d = 0; d < problem->demand_count; d++) limit[d] = demand[d];
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t wanted = demand[match->demand] * match->per_set[i];
      if (wanted > limit[match->member[i]]) limit[match->member[i]] = wanted;
    }
  }
  if (problem->coupling_count == 0) return;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].assembly) add_strip_limits(problem, &problem->stocks[s], demand, limit);
  for (size_t d = problem->demand_count - problem->coupling_count; d < problem->demand_count; d++)
    if (limit[d] < 0) limit[d] = 0;
}

/* Strips one piece of a demand may be assembled from at most, or 1. */
static int64_t most_strips(const struct nest_problem *problem, size_t demand) {
  int64_t most = 1;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *assembly = &problem->stocks[s];
    if (!assembly->assembly || assembly->given[demand] <= 0) continue;
    int64_t strips = 0;
    for (size_t d = 0; d < problem->demand_count; d++)
      if (assembly->given[d] < 0) strips -= assembly->given[d];
    if (strips > most) most = strips;
  }
  return most;
}

int64_t nest_most_pieces(const struct nest_problem *problem, const int64_t *demand) {
  int64_t most = 0;
  for (size_t d = 0; d < problem->demand_count; d++) {
    int64_t pieces = problem->coupling_count == 0 ? 1 : most_strips(problem, d);
    if (demand[d] > 0) most += demand[d] * pieces;
  }
  return most;
}

/* How often an assembly can be made of what is at hand; `whole`: and all its parts are wanted, else
 * any of them. */
static int64_t assembly_times(const struct nest_problem *problem, const struct nest_stock *assembly,
                              const int64_t *demand, bool whole) {
  int64_t times = whole ? INT64_MAX : times_wanted(problem, assembly, demand);
  for (size_t d = 0; d < problem->demand_count; d++) {
    int64_t given = assembly->given[d];
    if (given == 0 || (given > 0 && !whole)) continue;
    int64_t here = demand[d] * given > 0 ? demand[d] / given : 0;
    if (here < times) times = here;
  }
  return times == INT64_MAX ? 0 : times;
}

static void assemble(const struct nest_problem *problem, bool whole, int64_t *demand,
                     int64_t *times) {
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *assembly = &problem->stocks[s];
    if (!assembly->assembly) continue;
    int64_t made = assembly_times(problem, assembly, demand, whole);
    for (size_t d = 0; made > 0 && d < problem->demand_count; d++) {
      demand[d] -= made * assembly->given[d];
      if (demand[d] < 0 && assembly->given[d] > 0) demand[d] = 0;
    }
    if (times != NULL) times[s] += made;
  }
}

void nest_assemble(const struct nest_problem *problem, int64_t *demand, int64_t *times) {
  if (problem->coupling_count == 0) return;
  assemble(problem, true, demand, times);
  assemble(problem, false, demand, times);
}
