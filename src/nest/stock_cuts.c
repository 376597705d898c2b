#include "nest/stock_cuts.h"

#include <string.h>

/* Wide enough for pieces times worths. */
__extension__ typedef __int128 wide_cost;

/* A walk over the counts of one stock after the other. */
struct walk {
  const struct stock_choice *choice;
  size_t *order; /* stocks, those with the most area for their price first */
  size_t count;
  size_t **by_ratio;   /* per cut: positions in `order`, the most worth for its price first */
  wide_cost **missing; /* [depth][cut] */
  int64_t *pieces;     /* per stock, of the walk */
  int64_t *best;
  cost_t best_cost;
  bool any;
  int64_t steps;
};

bool stock_cut_allows(const struct stock_choice *choice, const struct stock_cut *cut,
                      const int64_t *pieces) {
  wide_cost have = 0;
  for (size_t s = 0; s < choice->stock_count; s++) have += (wide_cost)pieces[s] * cut->most[s];
  return have >= cut->need;
}

static bool is_held_by_one(const struct stock_choice *choice, const struct stock_refusals *sets,
                           const int64_t *pieces) {
  for (size_t r = 0; r < sets->count; r++) {
    const int64_t *other = sets->pieces[r];
    size_t s = 0;
    while (s < choice->stock_count && pieces[s] <= other[s]) s++;
    if (s == choice->stock_count) return true;
  }
  return false;
}

bool stock_choice_may_hold(const struct stock_choice *choice, const int64_t *pieces) {
  for (size_t c = 0; c < choice->cut_count; c++)
    if (!stock_cut_allows(choice, &choice->cuts[c], pieces)) return false;
  return !is_held_by_one(choice, &choice->refuted, pieces);
}

/* What is missing costs at least: stock in fractions, the best for its price first. */
static cost_t least_more(const struct walk *walk, size_t depth, size_t cut) {
  const struct stock_choice *choice = walk->choice;
  wide_cost missing = walk->missing[depth][cut];
  double cost = 0;
  for (size_t i = 0; i < walk->count && missing > 0; i++) {
    size_t at = walk->by_ratio[cut][i];
    if (at < depth) continue;
    size_t s = walk->order[at];
    wide_cost worth = choice->cuts[cut].most[s];
    if (worth <= 0) break;
    int64_t most = choice->most[s];
    double share = (double)missing / (double)worth;
    if (share > (double)most) share = (double)most;
    cost += share * (double)choice->problem->stocks[s].cost;
    missing -= worth * most;
  }
  if (missing > 0) return walk->best_cost;
  return cost >= (double)walk->best_cost ? walk->best_cost : (cost_t)(cost * 0.999999);
}

static bool is_hopeless(struct walk *walk, size_t depth, cost_t cost) {
  if (cost >= walk->best_cost) return true;
  walk->steps -= (int64_t)(walk->choice->cut_count * walk->count);
  for (size_t c = 0; c < walk->choice->cut_count; c++)
    if (walk->missing[depth][c] > 0 && cost + least_more(walk, depth, c) >= walk->best_cost)
      return true;
  return false;
}

static void visit(struct walk *walk, size_t depth, cost_t cost) {
  const struct stock_choice *choice = walk->choice;
  if (walk->steps <= 0 || is_hopeless(walk, depth, cost)) return;
  if (depth == walk->count) {
    walk->steps -= (int64_t)choice->refused.count;
    if (is_held_by_one(choice, &choice->refused, walk->pieces)) return;
    memcpy(walk->best, walk->pieces, choice->stock_count * sizeof *walk->best);
    walk->best_cost = cost;
    walk->any = true;
    return;
  }
  size_t s = walk->order[depth];
  const struct nest_stock *stock = &choice->problem->stocks[s];
  int64_t most = choice->most[s];
  for (int64_t n = choice->least[s]; n <= most; n++) {
    cost_t own = nest_stock_cost(stock, n);
    if (cost + own >= walk->best_cost) break;
    if (n < most && nest_stock_cost(stock, n + 1) == own) continue;
    walk->pieces[s] = n;
    for (size_t c = 0; c < choice->cut_count; c++)
      walk->missing[depth + 1][c] =
          walk->missing[depth][c] - (wide_cost)n * choice->cuts[c].most[s];
    visit(walk, depth + 1, cost + own);
  }
  walk->pieces[s] = 0;
}

static double area_for_price(const struct nest_stock *stock) {
  return (double)stock->length * (double)stock->width / ((double)stock->cost + 1);
}

static void order_stocks(struct walk *walk) {
  const struct nest_stock *stocks = walk->choice->problem->stocks;
  for (size_t s = 0; s < walk->choice->stock_count; s++) {
    size_t at = walk->count++;
    double own = area_for_price(&stocks[s]);
    for (; at > 0 && area_for_price(&stocks[walk->order[at - 1]]) < own; at--)
      walk->order[at] = walk->order[at - 1];
    walk->order[at] = s;
  }
}

static void order_by_ratio(struct walk *walk, size_t cut) {
  const cost_t *most = walk->choice->cuts[cut].most;
  const struct nest_stock *stocks = walk->choice->problem->stocks;
  size_t *list = walk->by_ratio[cut];
  for (size_t i = 0; i < walk->count; i++) {
    size_t s = walk->order[i];
    size_t at = i;
    for (; at > 0; at--) {
      size_t other = walk->order[list[at - 1]];
      wide_cost left = (wide_cost)most[other] * (stocks[s].cost + 1);
      if (left >= (wide_cost)most[s] * (stocks[other].cost + 1)) break;
      list[at] = list[at - 1];
    }
    list[at] = i;
  }
}

cost_t stock_choice_cheapest(struct arena *scratch, const struct stock_choice *choice, cost_t below,
                             int64_t *pieces, int64_t *steps) {
  struct arena_mark mark = arena_mark(scratch);
  struct walk walk = {.choice = choice, .best = pieces, .best_cost = below, .steps = *steps};
  walk.order = ARENA_ARRAY(scratch, choice->stock_count, size_t);
  walk.pieces = ARENA_ARRAY(scratch, choice->stock_count, int64_t);
  order_stocks(&walk);
  walk.by_ratio = ARENA_ARRAY(scratch, choice->cut_count, size_t *);
  walk.missing = ARENA_ARRAY(scratch, walk.count + 1, wide_cost *);
  for (size_t i = 0; i <= walk.count; i++)
    walk.missing[i] = ARENA_ARRAY(scratch, choice->cut_count, wide_cost);
  for (size_t c = 0; c < choice->cut_count; c++) {
    walk.by_ratio[c] = ARENA_ARRAY(scratch, walk.count, size_t);
    order_by_ratio(&walk, c);
    walk.missing[0][c] = choice->cuts[c].need;
  }
  visit(&walk, 0, 0);
  *steps = walk.steps;
  arena_release(scratch, mark);
  if (walk.steps <= 0) return -1;
  return walk.any ? walk.best_cost : below;
}
