#include "nest/generate.h"

#include <string.h>

#include "nest/tolerance.h"

/* Wide enough for pieces times money. */
__extension__ typedef __int128 wide_cost;

struct region region_copy(struct arena *arena, const struct nest_problem *problem,
                          const struct region *region) {
  struct region copy = {ARENA_ARRAY(arena, problem->demand_count, int64_t),
                        ARENA_ARRAY(arena, problem->stock_count, int64_t),
                        ARENA_ARRAY(arena, problem->stock_count, int64_t)};
  memcpy(copy.demand, region->demand, problem->demand_count * sizeof *copy.demand);
  memcpy(copy.least, region->least, problem->stock_count * sizeof *copy.least);
  memcpy(copy.most, region->most, problem->stock_count * sizeof *copy.most);
  return copy;
}

int64_t search_steps(const struct search *search) {
  int64_t steps = search->steps;
  for (size_t s = 0; s < search->problem->stock_count; s++)
    if (search->pricers[s] != NULL) steps += pricer_steps(search->pricers[s]);
  return steps;
}

/* Shadow prices of one round, and what pricing made of them. */
struct round {
  int64_t *limit; /* per demand: pieces of use in one layout */
  cost_t *demand_price;
  cost_t *most_worth; /* per stock: bound on the worth of a layout */
};

/* Pieces of a stock that a plan no dearer than the best can use at most. */
static int64_t useful_most(const struct search *search, const struct region *region, size_t s) {
  const struct nest_stock *stock = &search->problem->stocks[s];
  int64_t most = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++) most += region->demand[d];
  if (most < region->least[s]) most = region->least[s];
  if (region->most[s] < most) most = region->most[s];
  if (stock->cost > 0 && search->best_cost / stock->cost < most)
    most = search->best_cost / stock->cost;
  return most < region->least[s] ? region->least[s] : most;
}

/* The least of cost(n) - n * worth over the counts allowed: linear between whole packs. */
static wide_cost least_net_cost(const struct nest_stock *stock, int64_t least, int64_t most,
                                cost_t worth) {
  int64_t pack = stock->pack < 1 ? 1 : stock->pack;
  int64_t tries[4] = {least, (least + pack - 1) / pack * pack, most / pack * pack, most};
  wide_cost best = 0;
  bool any = false;
  for (size_t t = 0; t < 4; t++) {
    if (tries[t] < least || tries[t] > most) continue;
    wide_cost net = (wide_cost)nest_stock_cost(stock, tries[t]) - (wide_cost)tries[t] * worth;
    if (!any || net < best) best = net;
    any = true;
  }
  return best;
}

/* Lagrangian bound: any demand prices >= 0 and any upper bounds on layout worths give one. */
static cost_t proven_bound(const struct search *search, const struct region *region,
                           const struct round *round) {
  const struct nest_problem *problem = search->problem;
  wide_cost bound = 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    bound += (wide_cost)round->demand_price[d] * region->demand[d];
  for (size_t s = 0; s < problem->stock_count; s++)
    bound += least_net_cost(&problem->stocks[s], region->least[s], useful_most(search, region, s),
                            round->most_worth[s]);
  if (bound > COST_UNKNOWN) return COST_UNKNOWN;
  return bound < -COST_UNKNOWN ? -COST_UNKNOWN : (cost_t)bound;
}

struct master *open_master(const struct search *search, const struct region *region) {
  const struct nest_problem *problem = search->problem;
  struct master *master =
      master_create(search->scratch, problem->demand_count, problem->stock_count);
  for (size_t d = 0; d < problem->demand_count; d++)
    master_set_demand(master, d, region->demand[d]);
  for (size_t s = 0; s < problem->stock_count; s++)
    master_set_stock(master, s, region->least[s],
                     region->most[s] >= INT64_MAX / 4 ? -1 : region->most[s]);
  for (size_t c = 0; c < search->columns->count; c++) {
    const struct column *column = &search->columns->items[c];
    master_add(master, &(struct master_column){column->stock, column->cost, column->counts});
  }
  return master;
}

static cost_t given_worth(const struct search *search, const struct round *round, size_t s) {
  const int64_t *given = search->problem->stocks[s].given;
  wide_cost worth = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    worth += (wide_cost)given[d] * round->demand_price[d];
  return worth > COST_UNKNOWN ? COST_UNKNOWN : (cost_t)worth;
}

/* One pricing of one stock; true when a layout that pays was taken in. */
static bool price_stock(struct search *search, struct master *master, struct round *round,
                        size_t s) {
  const struct nest_stock *stock = &search->problem->stocks[s];
  cost_t threshold = stock->cost - master_stock_price(master, s);
  cost_t slack = (cost_t)(TOLERANCE_REDUCED * (double)COST_PER_CENT) + 1 + threshold / 10000000;
  struct priced priced;
  int64_t left = search->steps_allowed - search_steps(search);
  struct arena_mark mark = arena_mark(search->scratch);
  pricer_run(search->scratch, search->pricers[s], round->demand_price, round->limit,
             threshold + slack, left > 0 ? left : 0, &priced);
  round->most_worth[s] = priced.bound;
  bool added = false;
  if (priced.worth > threshold + slack)
    columns_add(search->columns, s, &priced.root, priced.counts, &added);
  arena_release(search->scratch, mark);
  if (!added) return false;
  const struct column *column = &search->columns->items[search->columns->count - 1];
  master_add(master, &(struct master_column){column->stock, column->cost, column->counts});
  return true;
}

static bool run_round(struct search *search, struct master *master, const struct region *region,
                      struct round *round, cost_t *bound) {
  const struct nest_problem *problem = search->problem;
  bool any = false;
  for (size_t d = 0; d < problem->demand_count; d++)
    round->demand_price[d] = master_demand_price(master, d);
  for (size_t s = 0; s < problem->stock_count; s++) {
    round->most_worth[s] = 0;
    if (useful_most(search, region, s) <= 0) continue;
    if (problem->stocks[s].given != NULL)
      round->most_worth[s] = given_worth(search, round, s);
    else if (price_stock(search, master, round, s))
      any = true;
  }
  cost_t proven = proven_bound(search, region, round);
  if (proven > *bound) *bound = proven;
  return any;
}

static void read_values(const struct search *search, const struct master *master,
                        struct generated *generated) {
  generated->value_count = search->columns->count;
  generated->value = ARENA_ARRAY(search->scratch, generated->value_count, double);
  for (size_t c = 0; c < generated->value_count; c++) generated->value[c] = master_value(master, c);
}

void generate(struct search *search, const struct region *region, int rounds,
              struct generated *generated) {
  struct master *master = open_master(search, region);
  struct round round = {ARENA_ARRAY(search->scratch, search->problem->demand_count, int64_t),
                        ARENA_ARRAY(search->scratch, search->problem->demand_count, cost_t),
                        ARENA_ARRAY(search->scratch, search->problem->stock_count, cost_t)};
  nest_useful_limits(search->problem, region->demand, round.limit);
  generated->bound = 0;
  generated->converged = false;
  bool solved = master_solve(master);
  for (int r = 0; r < rounds && solved; r++) {
    bool any = run_round(search, master, region, &round, &generated->bound);
    generated->converged = !any;
    if (!any || generated->bound >= search->best_cost) break;
    if (search_steps(search) >= search->steps_allowed) break;
    solved = master_solve(master);
  }
  read_values(search, master, generated);
  master_close(master);
}
