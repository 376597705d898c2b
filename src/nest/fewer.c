#include "nest/fewer.h"

#include <stdlib.h>
#include <string.h>

#include "nest/repack.h"
#include "nest/stock_sets.h"

/* Plans of more pieces are packed anew in parts of about so many. A place looked at counts as so
 * many steps of pricing: about as much work. */
enum {
  MOST_AT_ONCE = 400,
  PART_PIECES = 150,
  PARTS = 12,
  MOST_SETS = 16,
  LEAST_LOOKS = 200000,
  FIRST_LOOKS = 10000000,
  MOST_LOOKS = 100000000,
  STEPS_PER_LOOK = 8
};

struct repacking {
  struct search *search;
  const struct region *region;
  struct uses kept; /* of the best plan */
  struct nest_layout *start;
  size_t start_count, start_room;
  int64_t *demand;    /* open without what is kept */
  int64_t *available; /* per stock */
  int64_t *kept_of;   /* per stock: pieces kept */
};

static bool is_not_made(const struct search *search, size_t stock) {
  return stock + search->problem->demand_count >= search->problem->stock_count;
}

/* Whether a column is a layout of stock that is packed here. */
static bool is_packed(const struct search *search, const struct column *column) {
  const struct nest_stock *stock = &search->problem->stocks[column->stock];
  return stock->given == NULL && !stock->is_leaf && column->root.kind != NODE_SPLIT;
}

static int64_t pieces_of(const struct search *search, const struct column *column) {
  int64_t pieces = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (!nest_is_match(search->problem, d) && column->counts[d] > 0) pieces += column->counts[d];
  return pieces;
}

/* Of the smallest size a demand may have. */
static double demand_area(const struct nest_problem *problem, size_t demand) {
  double least = 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    for (size_t o = 0; o < stock->option_count; o++) {
      double area = (double)stock->options[o].length * (double)stock->options[o].width;
      if (stock->options[o].demand == demand && (least <= 0 || area < least)) least = area;
    }
  }
  return least;
}

static double area_of(const struct node *node) {
  if (node->kind == NODE_PIECE) return (double)node->length * (double)node->width;
  double area = 0;
  for (size_t i = 0; i < node->child_count; i++) area += area_of(&node->children[i]);
  return area;
}

static double fill_of(const struct search *search, const struct column *column) {
  const struct nest_stock *stock = &search->problem->stocks[column->stock];
  return area_of(&column->root) / ((double)stock->length * (double)stock->width);
}

static cost_t stock_cost(const struct search *search, const int64_t *pieces) {
  cost_t cost = 0;
  for (size_t s = 0; s < search->problem->stock_count; s++)
    if (!is_not_made(search, s)) cost += nest_stock_cost(&search->problem->stocks[s], pieces[s]);
  return cost;
}

/* Pieces of each stock in the best plan; false when pieces are not made in it. */
static bool count_stock(const struct search *search, int64_t *pieces) {
  bool complete = true;
  memset(pieces, 0, search->problem->stock_count * sizeof *pieces);
  for (size_t u = 0; u < search->best.count; u++) {
    const struct use *use = &search->best.items[u];
    size_t stock = search->columns->items[use->column].stock;
    pieces[stock] += use->times;
    if (is_not_made(search, stock) && use->times > 0) complete = false;
  }
  return complete;
}

/* The most that cheaper stock than of `cost` can cost: one kind of stock alone goes by whole
 * pieces. */
static cost_t next_budget(const struct search *search, cost_t cost) {
  cost_t price = 0;
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    const struct nest_stock *stock = &search->problem->stocks[s];
    if (is_not_made(search, s) || stock->cost == 0 || stock->cost == price) continue;
    if (price != 0 || stock->pack > 1) return cost - 1;
    price = stock->cost;
  }
  return price == 0 ? cost - 1 : (cost - 1) / price * price;
}

static void push_start(struct repacking *repacking, const struct column *column) {
  struct arena *scratch = repacking->search->scratch;
  struct nest_layout *layout =
      ARENA_PUSH(scratch, repacking->start, repacking->start_count, repacking->start_room);
  *layout = (struct nest_layout){.stock = column->stock,
                                 .times = 1,
                                 .root = column->root,
                                 .cuts = column->cuts,
                                 .counts = column->counts};
}

static void keep_use(struct repacking *repacking, const struct column *column, size_t number,
                     int64_t times) {
  uses_add(repacking->search->arena, &repacking->kept, number, times);
  repacking->kept_of[column->stock] += times;
  for (size_t d = 0; d < repacking->search->problem->demand_count; d++)
    repacking->demand[d] -= times * column->counts[d];
}

/* A layout of the best plan that can be packed anew. */
struct candidate {
  size_t column;
  double rank; /* the best filled last to be taken apart */
  size_t order;
};

static int by_rank(const void *left, const void *right) {
  const struct candidate *a = left;
  const struct candidate *b = right;
  if (a->rank != b->rank) return a->rank > b->rank ? -1 : 1;
  return a->order < b->order ? -1 : a->order > b->order;
}

static uint64_t shake(uint64_t *random) {
  uint64_t z = (*random += 0x9E3779B97F4A7C15U);
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31);
}

/* Splits the best plan into what is kept and what is packed anew, well filled layouts first.
 * With `most` pieces exceeded, layouts that are well filled are kept, which ones varies with
 * the seed. */
static void divide_plan(struct repacking *repacking, int64_t most, uint64_t seed) {
  struct search *search = repacking->search;
  size_t copies = 0;
  for (size_t u = 0; u < search->best.count; u++)
    if (is_packed(search, &search->columns->items[search->best.items[u].column]))
      copies += (size_t)search->best.items[u].times;
  struct candidate *candidates = ARENA_ARRAY(search->scratch, copies, struct candidate);
  size_t count = 0;
  for (size_t u = 0; u < search->best.count; u++) {
    const struct use *use = &search->best.items[u];
    const struct column *column = &search->columns->items[use->column];
    if (is_not_made(search, column->stock) || use->times == 0) continue;
    if (!is_packed(search, column)) {
      keep_use(repacking, column, use->column, use->times);
      continue;
    }
    double fill = fill_of(search, column);
    for (int64_t t = 0; t < use->times; t++) {
      double shaken = (double)(shake(&seed) >> 44) / (double)(1 << 20);
      candidates[count] = (struct candidate){use->column, fill + (most > 0 ? shaken : 0), count};
      count++;
    }
  }
  qsort(candidates, count, sizeof *candidates, by_rank);
  size_t first = 0;
  int64_t pieces = 0;
  for (size_t i = count; i-- > 0 && most > 0;) {
    pieces += pieces_of(search, &search->columns->items[candidates[i].column]);
    if (pieces > most) {
      first = i + 1;
      break;
    }
  }
  for (size_t i = 0; i < count; i++) {
    const struct column *column = &search->columns->items[candidates[i].column];
    if (i < first)
      keep_use(repacking, column, candidates[i].column, 1);
    else
      push_start(repacking, column);
  }
}

/* What is left to pack, and the stock for it: no more pieces of a kind than of the job. */
static void set_limits(struct repacking *repacking) {
  const struct search *search = repacking->search;
  int64_t pieces = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++) {
    if (repacking->demand[d] < 0) repacking->demand[d] = 0;
    if (!nest_is_match(search->problem, d)) pieces += repacking->demand[d];
  }
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    const struct nest_stock *stock = &search->problem->stocks[s];
    int64_t left = repacking->region->most[s] - repacking->kept_of[s];
    bool packed = stock->given == NULL && !stock->is_leaf && stock->option_count > 0;
    if (left > pieces) left = pieces;
    repacking->available[s] = packed && left > 0 ? left : 0;
  }
}

/* The pieces that found no place, by area. */
static double open_area(const struct search *search, const int64_t *open) {
  double area = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (open[d] > 0) area += (double)open[d] * demand_area(search->problem, d);
  return area;
}

/* Packs anew into a set of stock; the layouts join the pool. True when the plan is whole and
 * became the best. *open is the area that found no place. */
static bool pack(struct repacking *repacking, const int64_t *set, int64_t looks, double *open) {
  struct search *search = repacking->search;
  struct repack_result result;
  repack(search->scratch, search->problem, repacking->demand, set, repacking->start,
         repacking->start_count, looks, ++search->seeds, &result);
  search->steps += result.steps * STEPS_PER_LOOK;
  *open = open_area(search, result.open);
  struct uses plan = {NULL, 0, 0};
  for (size_t u = 0; u < repacking->kept.count; u++)
    uses_add(search->arena, &plan, repacking->kept.items[u].column, repacking->kept.items[u].times);
  for (size_t i = 0; i < result.layout_count; i++) {
    bool added;
    size_t column = columns_add(search->columns, result.layouts[i].stock, &result.layouts[i].root,
                                result.layouts[i].counts, &added);
    uses_add(search->arena, &plan, column, 1);
  }
  if (!result.complete) return false;
  int64_t kept = search->plans_kept;
  keep_plan(search, &plan);
  return search->plans_kept != kept;
}

/* A set of stock and how near it came to holding the job. */
struct contest {
  const int64_t *set;
  double open;
};

static void sort_contests(struct contest *items, size_t count) {
  for (size_t i = 1; i < count; i++)
    for (size_t j = i; j > 0 && items[j].open < items[j - 1].open; j--) {
      struct contest other = items[j];
      items[j] = items[j - 1];
      items[j - 1] = other;
    }
}

/* All of several sets are looked at before half of the steps are done. */
static int64_t first_share(int64_t looks, size_t count) {
  int64_t share = looks / 2 / (int64_t)count;
  if (share < LEAST_LOOKS) return LEAST_LOOKS;
  return share < FIRST_LOOKS ? share : FIRST_LOOKS;
}

/* Sets within the budget are tried, the likely ones first; the half that came nearest is tried
 * again with twice the steps, and so on, in turns short enough to be stopped. True when the best
 * plan was replaced by a cheaper one. */
static bool pack_within(struct repacking *repacking, cost_t budget, int64_t looks) {
  struct search *search = repacking->search;
  cost_t before = search->best_cost;
  struct stock_sets sets =
      stock_sets_list(search->scratch, search->problem, repacking->available, repacking->kept_of,
                      budget - stock_cost(search, repacking->kept_of),
                      open_area(search, repacking->demand), search->known, MOST_SETS);
  struct contest *contests = ARENA_ARRAY(search->scratch, sets.count, struct contest);
  size_t count = sets.count;
  for (size_t i = 0; i < count; i++) contests[i].set = sets.items[i].pieces;
  if (count > 1) repacking->start_count = 0;
  int64_t share = count > 1 ? first_share(looks, count) : MOST_LOOKS;
  while (count > 0 && looks > 0) {
    for (size_t i = 0; i < count && looks > 0; i++) {
      struct arena_mark mark = arena_mark(search->scratch);
      if (share > looks) share = looks;
      pack(repacking, contests[i].set, share, &contests[i].open);
      arena_release(search->scratch, mark);
      looks -= share;
      if (search->best_cost < before) return true;
      if (search_is_over(search)) return false;
    }
    sort_contests(contests, count);
    count = (count + 1) / 2;
    share = 2 * share < MOST_LOOKS ? 2 * share : MOST_LOOKS;
    repacking->start_count = 0; /* after the best plan, from nothing */
  }
  return false;
}

static struct repacking open_repacking(struct search *search, const struct region *region) {
  size_t demands = search->problem->demand_count;
  size_t stocks = search->problem->stock_count;
  struct repacking repacking = {.search = search, .region = region};
  repacking.demand = ARENA_ARRAY(search->scratch, demands, int64_t);
  repacking.available = ARENA_ARRAY(search->scratch, stocks, int64_t);
  repacking.kept_of = ARENA_ARRAY(search->scratch, stocks, int64_t);
  memcpy(repacking.demand, region->demand, demands * sizeof *repacking.demand);
  return repacking;
}

/* Matches ask for parts of one plank, which is not seen here. */
static bool has_matches(const struct search *search, const struct region *region) {
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (region->demand[d] > 0 && nest_is_match(search->problem, d)) return true;
  return false;
}

/* One try; true when the best plan was replaced by a cheaper one. */
static bool try_cheaper(struct search *search, const struct region *region, cost_t budget,
                        int64_t most, int64_t steps) {
  struct arena_mark mark = arena_mark(search->scratch);
  struct repacking repacking = open_repacking(search, region);
  cost_t before = search->best_cost;
  double open;
  divide_plan(&repacking, most, search->seeds);
  set_limits(&repacking);
  if (budget >= COST_UNKNOWN)
    pack(&repacking, repacking.available, steps / STEPS_PER_LOOK, &open);
  else
    pack_within(&repacking, budget, steps / STEPS_PER_LOOK);
  arena_release(search->scratch, mark);
  return search->best_cost < before;
}

void fewer(struct search *search, const struct region *region, cost_t bound, int64_t steps) {
  if (search->best_cost >= COST_UNKNOWN || has_matches(search, region)) return;
  int64_t *pieces = ARENA_ARRAY(search->arena, search->problem->stock_count, int64_t);
  int64_t stop = search_steps(search) + steps;
  int64_t most = nest_most_pieces(search->problem, region->demand) > MOST_AT_ONCE ? PART_PIECES : 0;
  for (int part = 0; part < PARTS;) {
    int64_t left = stop - search_steps(search);
    if (search->best_cost <= bound || left <= 0 || search_is_over(search)) return;
    bool complete = count_stock(search, pieces);
    cost_t cost = stock_cost(search, pieces);
    cost_t budget = complete ? next_budget(search, cost) : COST_UNKNOWN;
    /* what is saved on stock may go into cuts, but no plan costs less than the bound */
    if (complete && budget + 2 * (search->best_cost - cost) < bound) return;
    if (most > 0 && left > steps / PARTS) left = steps / PARTS;
    if (try_cheaper(search, region, budget, most, left)) continue;
    if (most == 0) return;
    part++;
  }
}

bool fewer_within(struct search *search, const struct region *region, int64_t steps) {
  if (has_matches(search, region)) return false;
  struct arena_mark mark = arena_mark(search->scratch);
  struct repacking repacking = open_repacking(search, region);
  double open;
  set_limits(&repacking);
  bool better = pack(&repacking, repacking.available, steps / STEPS_PER_LOOK, &open);
  arena_release(search->scratch, mark);
  return better;
}

cost_t fewer_budget(const struct search *search) {
  if (search->problem->cut_cost > 0) return search->best_cost - 1;
  return next_budget(search, search->best_cost);
}

bool fewer_rest(struct search *search, const struct region *region, const struct uses *kept,
                cost_t budget, int64_t steps) {
  if (has_matches(search, region)) return false;
  struct arena_mark mark = arena_mark(search->scratch);
  struct repacking repacking = open_repacking(search, region);
  for (size_t u = 0; u < kept->count; u++) {
    const struct use *use = &kept->items[u];
    keep_use(&repacking, &search->columns->items[use->column], use->column, use->times);
  }
  set_limits(&repacking);
  bool better = pack_within(&repacking, budget, steps / STEPS_PER_LOOK);
  arena_release(search->scratch, mark);
  return better;
}
