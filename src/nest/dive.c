#include "nest/dive.h"

#include <string.h>

#include "nest/pool_dive.h"
#include "nest/pool_exchange.h"
#include "nest/tolerance.h"

enum {
  DIVE_ROUNDS = 12,
  MOST_POOL = 3000,
  EXCHANGE_SHARE = 4, /* of the steps for the layouts at hand */
  DIVE_SHARE = 2,
  CUT_SHARE = 4
};

static bool covers(const struct search *search, const struct uses *uses) {
  size_t demands = search->problem->demand_count;
  int64_t *counts = ARENA_ARRAY(search->arena, demands, int64_t);
  uses_count(search->columns, uses, counts);
  for (size_t d = 0; d < demands; d++)
    if (counts[d] < search->problem->demand[d]) return false;
  return true;
}

void keep_plan(struct search *search, struct uses *uses) {
  if (!covers(search, uses)) return;
  uses_clip(search->columns, search->scratch, uses, search->problem->demand);
  cost_t cost = uses_cost(search->columns, uses);
  if (cost > search->best_cost) return;
  struct uses_rank rank = uses_rank_of(search->scratch, search->columns, uses);
  if (cost == search->best_cost && !uses_ranks_before(&rank, &search->best_rank)) return;
  search->plans_kept++;
  search->best_cost = cost;
  search->best_rank = rank;
  search->best = *uses;
}

int64_t dive_fits(const struct search *search, const struct region *rest, size_t c) {
  const struct column *column = &search->columns->items[c];
  int64_t times = rest->most[column->stock];
  for (size_t d = 0; d < search->problem->demand_count; d++) {
    if (column->counts[d] <= 0 || nest_is_match(search->problem, d)) continue;
    if (rest->demand[d] / column->counts[d] < times) times = rest->demand[d] / column->counts[d];
  }
  return times;
}

void dive_take(const struct search *search, struct region *rest, struct uses *uses, size_t c,
               int64_t times) {
  const struct column *column = &search->columns->items[c];
  uses_add(search->arena, uses, c, times);
  rest->most[column->stock] -= times;
  rest->least[column->stock] =
      rest->least[column->stock] > times ? rest->least[column->stock] - times : 0;
  for (size_t d = 0; d < search->problem->demand_count; d++) {
    rest->demand[d] -= times * column->counts[d];
    if (rest->demand[d] < 0 && !nest_is_coupling(search->problem, d)) rest->demand[d] = 0;
  }
}

/* Whether a layout holds a piece that is still wanted. */
static bool helps(const struct search *search, const struct region *rest, size_t c) {
  const struct column *column = &search->columns->items[c];
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (column->counts[d] > 0 && rest->demand[d] > 0) return true;
  return false;
}

/* The whole parts of the values, as far as they make no surplus. */
static bool take_whole_parts(struct search *search, struct region *rest, struct uses *uses,
                             const struct generated *generated) {
  bool any = false;
  for (size_t c = 0; c < generated->value_count; c++) {
    int64_t times = (int64_t)(generated->value[c] + TOLERANCE_WHOLE);
    if (times <= 0) continue;
    int64_t most = dive_fits(search, rest, c);
    if (times > most) times = most;
    if (times <= 0) continue;
    dive_take(search, rest, uses, c, times);
    any = true;
  }
  return any;
}

/* One copy of the layout used most by a fraction, cut down to what is still wanted; units
 * that are given as they are only where nothing else is used. */
static bool take_largest_fraction(struct search *search, struct region *rest, struct uses *uses,
                                  const struct generated *generated) {
  size_t best = SIZE_MAX;
  double largest = TOLERANCE_WHOLE;
  bool best_given = true;
  for (size_t c = 0; c < generated->value_count; c++) {
    size_t stock = search->columns->items[c].stock;
    bool given =
        search->problem->stocks[stock].given != NULL && !search->problem->stocks[stock].assembly;
    if (generated->value[c] <= TOLERANCE_WHOLE || rest->most[stock] <= 0) continue;
    if (!helps(search, rest, c)) continue;
    if (given && !best_given) continue;
    if (given == best_given && generated->value[c] <= largest) continue;
    largest = generated->value[c];
    best_given = given;
    best = c;
  }
  if (best == SIZE_MAX) return false;
  const struct column *column = &search->columns->items[best];
  if (dive_fits(search, rest, best) == 0 && !column_is_whole(search->problem, column)) {
    size_t stock = column->stock;
    struct node root = cutting_copy(search->arena, &column->root, 0, 0);
    int64_t *counts = ARENA_ARRAY(search->arena, search->problem->demand_count, int64_t);
    memcpy(counts, column->counts, search->problem->demand_count * sizeof *counts);
    int64_t *limit = ARENA_ARRAY(search->arena, search->problem->demand_count, int64_t);
    nest_useful_limits(search->problem, rest->demand, limit);
    pricer_clip(search->arena, search->scratch, search->problem, &search->problem->stocks[stock],
                limit, &root, counts);
    bool added = false;
    best = columns_add(search->columns, stock, &root, counts, &added);
  }
  dive_take(search, rest, uses, best, 1);
  return true;
}

static bool wants_more(const struct search *search, const struct region *rest) {
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (rest->demand[d] > 0) return true;
  return false;
}

void dive(struct search *search, const struct region *region) {
  struct region rest = region_copy(search->arena, search->problem, region);
  struct uses uses = {NULL, 0, 0};
  cost_t best_cost = search->best_cost;
  search->best_cost = COST_UNKNOWN; /* the rest of a plan is no plan: its bound ends nothing */
  while (wants_more(search, &rest) && !search->interrupted) {
    struct arena_mark mark = arena_mark(search->scratch);
    struct generated generated;
    /* out of steps, it ends with the layouts at hand: that takes next to nothing */
    generate(search, &rest, search_is_over(search) ? 0 : DIVE_ROUNDS, &generated);
    bool went_on = take_whole_parts(search, &rest, &uses, &generated) ||
                   take_largest_fraction(search, &rest, &uses, &generated);
    arena_release(search->scratch, mark);
    if (!went_on) break;
  }
  search->best_cost = best_cost;
  if (!wants_more(search, &rest)) keep_plan(search, &uses);
}

/* The prices at which layouts at hand are worth about what they cost. */
static cost_t *pool_prices(struct search *search, const struct region *region) {
  size_t demands = search->problem->demand_count;
  cost_t *price = ARENA_ARRAY(search->scratch, demands, cost_t);
  struct master *master = open_master(search, region);
  bool solved = master_solve(master);
  search->steps += master_take_steps(master);
  for (size_t d = 0; d < demands && solved; d++) price[d] = master_demand_price(master, d);
  master_close(master);
  return price;
}

static void keep_taken(struct search *search, const int64_t *taken, size_t count) {
  struct uses uses = {NULL, 0, 0};
  for (size_t c = 0; c < count; c++)
    if (taken[c] > 0) uses_add(search->arena, &uses, c, taken[c]);
  keep_plan(search, &uses);
}

/* Ever cheaper plans by exchanges, then by dives, for as long as they are found. */
static void search_pool(struct search *search, const struct region *region,
                        const struct pool_question *question, bool dives, int64_t steps,
                        int64_t *taken) {
  const cost_t *price = dives ? NULL : pool_prices(search, region);
  bool found = true;
  while (found && steps > 0) {
    struct pool_question own = *question;
    struct arena_mark mark = arena_mark(search->scratch);
    cost_t before = search->best_cost;
    own.below = before;
    own.steps = steps;
    search->seeds++;
    found = dives ? pool_dive(search->scratch, &own, search->seeds, taken)
                  : pool_exchange(search->scratch, &own, price, search->seeds, taken);
    if (found) keep_taken(search, taken, question->layout_count);
    found = search->best_cost < before;
    search->steps += own.steps;
    steps -= own.steps;
    arena_release(search->scratch, mark);
  }
}

void finish_with_pool(struct search *search, const struct region *region, int64_t steps) {
  size_t count = search->columns->count;
  int64_t left = search->steps_allowed - search_steps(search);
  if (count > MOST_POOL || search_is_over(search)) return;
  struct arena_mark mark = arena_mark(search->scratch);
  struct pool_layout *layouts = ARENA_ARRAY(search->scratch, count, struct pool_layout);
  for (size_t c = 0; c < count; c++) {
    const struct column *column = &search->columns->items[c];
    layouts[c] = (struct pool_layout){column->stock, column->counts, column->cost};
  }
  struct pool_question question = {.problem = search->problem,
                                   .demand = region->demand,
                                   .least = region->least,
                                   .most = region->most,
                                   .layouts = layouts,
                                   .layout_count = count,
                                   .steps = steps < left ? steps : left};
  int64_t *taken = ARENA_ARRAY(search->scratch, count, int64_t);
  if (search->problem->coupling_count == 0) {
    search_pool(search, region, &question, false, question.steps / EXCHANGE_SHARE, taken);
    search_pool(search, region, &question, true, question.steps / DIVE_SHARE, taken);
    question.steps = question.steps / CUT_SHARE;
  }
  question.below = search->best_cost;
  if (pool_plan(search->scratch, &question, taken)) keep_taken(search, taken, count);
  search->steps += question.steps;
  arena_release(search->scratch, mark);
}
