#include "nest/dive.h"

#include <string.h>

#include "nest/tolerance.h"

enum { DIVE_ROUNDS = 12, MOST_POOL = 3000 };

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
  uses_clip(search->columns, uses, search->problem->demand);
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
    pricer_clip(search->arena, search->problem, &search->problem->stocks[stock], limit, &root,
                counts);
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

void finish_with_pool(struct search *search, const struct region *region, int64_t nodes) {
  size_t count = search->columns->count;
  if (count > MOST_POOL || search_is_over(search)) return;
  int64_t most = (search->steps_allowed - search_steps(search)) / (int64_t)count + 1;
  if (nodes > most) nodes = most;
  struct arena_mark mark = arena_mark(search->scratch);
  struct master *master = open_master(search, region);
  int64_t *taken = ARENA_ARRAY(search->scratch, count, int64_t);
  if (master_integer(master, nodes, search->best_cost, taken)) {
    struct uses uses = {NULL, 0, 0};
    for (size_t c = 0; c < count; c++)
      if (taken[c] > 0) uses_add(search->arena, &uses, c, taken[c]);
    keep_plan(search, &uses);
  }
  arena_release(search->scratch, mark);
  search->steps += (int64_t)count * nodes;
}
