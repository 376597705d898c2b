#include "nest/portion.h"

struct building {
  struct arena *arena;
  struct portion *portion;
  size_t *number; /* in the portion, per demand of the whole; SIZE_MAX: not in it */
};

bool portion_is_leaf_of(const struct nest_stock *leaf, const struct nest_stock *plank) {
  for (size_t i = 0; leaf->is_leaf && i < plank->split_count; i++)
    if (plank->splits[i].demand == leaf->leaf_demand) return true;
  return false;
}

/* In their order: parts, matches, rows that couple. */
static void add_demands(struct building *building) {
  struct portion *portion = building->portion;
  const struct nest_problem *whole = portion->whole;
  struct nest_problem *problem = &portion->problem;
  portion->demand = ARENA_ARRAY(building->arena, whole->demand_count, size_t);
  problem->demand = ARENA_ARRAY(building->arena, whole->demand_count, int64_t);
  building->number = ARENA_ARRAY(building->arena, whole->demand_count, size_t);
  for (size_t d = 0; d < whole->demand_count; d++) {
    building->number[d] = SIZE_MAX;
    if (!portion->has_demand[d]) continue;
    bool couples = nest_is_coupling(whole, d);
    building->number[d] = problem->demand_count;
    portion->demand[problem->demand_count] = d;
    problem->demand[problem->demand_count++] = couples ? 0 : portion->open[d];
    if (couples) problem->coupling_count++;
  }
}

static void take_options(const struct building *building, const struct nest_stock *from,
                         struct nest_stock *stock) {
  stock->options = ARENA_ARRAY(building->arena, from->option_count, struct nest_option);
  stock->option_count = 0;
  for (size_t o = 0; o < from->option_count; o++) {
    size_t demand = building->number[from->options[o].demand];
    if (demand == SIZE_MAX) continue;
    struct nest_option *option = &stock->options[stock->option_count++];
    *option = from->options[o];
    option->demand = demand;
  }
}

/* Those that make leaves keep their numbers. */
static void take_splits(const struct building *building, struct nest_stock *stock) {
  struct nest_split *splits = ARENA_ARRAY(building->arena, stock->split_count, struct nest_split);
  for (size_t i = 0; i < stock->split_count; i++) {
    splits[i] = stock->splits[i];
    splits[i].demand = building->number[stock->splits[i].demand];
  }
  stock->splits = splits;
}

static void take_given(const struct building *building, const struct nest_stock *from,
                       struct nest_stock *stock) {
  int64_t *given = ARENA_ARRAY(building->arena, building->portion->problem.demand_count, int64_t);
  for (size_t i = 0; i < building->portion->problem.demand_count; i++)
    given[i] = from->given[building->portion->demand[i]];
  stock->given = given;
}

/* False where it would be of no use. */
static bool take_stock(const struct building *building, size_t s, struct nest_stock *stock) {
  const struct nest_stock *from = &building->portion->whole->stocks[s];
  *stock = *from;
  if (building->portion->left[s] >= 0) stock->count = building->portion->left[s];
  if (from->given != NULL) {
    take_given(building, from, stock);
    return true;
  }
  take_options(building, from, stock);
  take_splits(building, stock);
  if (stock->is_leaf) stock->leaf_demand = building->number[from->leaf_demand];
  return stock->option_count > 0 || stock->split_count > 0;
}

static void add_stocks(struct building *building) {
  struct portion *portion = building->portion;
  const struct nest_problem *whole = portion->whole;
  struct nest_problem *problem = &portion->problem;
  size_t count = 0;
  for (size_t s = 0; s < whole->stock_count; s++) count += portion->has_stock[s] ? 1 : 0;
  portion->stock = ARENA_ARRAY(building->arena, count, size_t);
  problem->stocks = ARENA_ARRAY(building->arena, count, struct nest_stock);
  for (size_t s = 0; s < whole->stock_count; s++) {
    if (!portion->has_stock[s]) continue;
    portion->stock[problem->stock_count] = s;
    if (take_stock(building, s, &problem->stocks[problem->stock_count])) problem->stock_count++;
  }
}

static void add_matches(struct building *building) {
  const struct nest_problem *whole = building->portion->whole;
  struct nest_problem *problem = &building->portion->problem;
  problem->matches = ARENA_ARRAY(building->arena, whole->match_count, struct nest_match);
  for (size_t m = 0; m < whole->match_count; m++) {
    if (building->number[whole->matches[m].demand] == SIZE_MAX) continue;
    struct nest_match *match = &problem->matches[problem->match_count++];
    *match = whole->matches[m];
    match->demand = building->number[match->demand];
    match->member = ARENA_ARRAY(building->arena, match->member_count, size_t);
    for (size_t i = 0; i < match->member_count; i++)
      match->member[i] = building->number[whole->matches[m].member[i]];
  }
}

static void add_loads(struct building *building) {
  struct nest_problem *problem = &building->portion->problem;
  const struct nest_loads *whole = building->portion->whole->loads;
  if (whole == NULL) return;
  struct nest_loads *loads = ARENA_NEW(building->arena, struct nest_loads);
  loads->grown_area = ARENA_ARRAY(building->arena, problem->demand_count, length_t);
  loads->share = ARENA_ARRAY(building->arena, problem->demand_count, int64_t);
  loads->least_cost = whole->least_cost;
  for (size_t i = 0; i < problem->demand_count; i++) {
    loads->grown_area[i] = whole->grown_area[building->portion->demand[i]];
    loads->share[i] = whole->share[building->portion->demand[i]];
  }
  problem->loads = loads;
}

void portion_build(struct arena *arena, struct portion *portion) {
  struct building building = {arena, portion, NULL};
  portion->problem = (struct nest_problem){.cut_cost = portion->whole->cut_cost};
  add_demands(&building);
  add_stocks(&building);
  add_matches(&building);
  add_loads(&building);
}
