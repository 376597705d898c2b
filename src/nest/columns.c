#include "nest/columns.h"

#include <string.h>

#include "nest/raster.h"

struct columns *columns_create(struct arena *arena, const struct nest_problem *problem) {
  struct columns *columns = ARENA_NEW(arena, struct columns);
  columns->arena = arena;
  columns->problem = problem;
  return columns;
}

static uint64_t hash_counts(size_t stock, const int64_t *counts, size_t demands) {
  uint64_t hash = stock + 0x9E3779B97F4A7C15U;
  for (size_t d = 0; d < demands; d++) {
    hash ^= (uint64_t)counts[d] + (hash << 6) + (hash >> 2);
    hash *= 0xBF58476D1CE4E5B9U;
  }
  return hash;
}

/* counts[] is in the pool's arena and stays there when the column is new. */
static size_t add_column(struct columns *columns, size_t stock, const struct node *root,
                         int64_t cuts, int64_t *counts, bool *added) {
  const struct nest_problem *problem = columns->problem;
  uint64_t hash = hash_counts(stock, counts, problem->demand_count);
  *added = false;
  for (size_t c = columns->count; c-- > 0;) {
    const struct column *known = &columns->items[c];
    if (known->hash == hash && known->stock == stock && known->cuts <= cuts &&
        memcmp(known->counts, counts, problem->demand_count * sizeof *counts) == 0)
      return c;
  }
  struct column *column = ARENA_PUSH(columns->arena, columns->items, columns->count, columns->room);
  column->stock = stock;
  column->root = cutting_copy(columns->arena, root, 0, 0);
  column->counts = counts;
  column->cuts = cuts;
  column->cost = problem->stocks[stock].cost + cuts * problem->cut_cost;
  column->hash = hash;
  *added = true;
  return columns->count - 1;
}

size_t columns_add(struct columns *columns, size_t stock, const struct node *root,
                   const int64_t *counts, bool *added) {
  const struct nest_problem *problem = columns->problem;
  const struct nest_stock *cut = &problem->stocks[stock];
  struct arena_mark mark = arena_mark(columns->arena);
  int64_t *own = ARENA_ARRAY(columns->arena, problem->demand_count, int64_t);
  memcpy(own, counts, problem->demand_count * sizeof *counts);
  if (cut->is_leaf) own[cut->leaf_demand] = -1;
  size_t column = add_column(columns, stock, root, cutting_count_cuts(root), own, added);
  if (!*added) arena_release(columns->arena, mark);
  return column;
}

size_t columns_add_split(struct columns *columns, size_t stock, size_t split) {
  const struct nest_stock *plank = &columns->problem->stocks[stock];
  int64_t *counts = ARENA_ARRAY(columns->arena, columns->problem->demand_count, int64_t);
  struct node root = {
      .kind = NODE_SPLIT, .length = plank->length, .width = plank->width, .blank = split};
  bool added = false;
  counts[plank->splits[split].demand] = plank->splits[split].leaves;
  return add_column(columns, stock, &root, plank->splits[split].cuts, counts, &added);
}

bool column_is_whole(const struct nest_problem *problem, const struct column *column) {
  return column->root.kind == NODE_SPLIT || problem->stocks[column->stock].given != NULL;
}

void uses_add(struct arena *arena, struct uses *uses, size_t column, int64_t times) {
  for (size_t u = 0; u < uses->count; u++)
    if (uses->items[u].column == column) {
      uses->items[u].times += times;
      return;
    }
  *ARENA_PUSH(arena, uses->items, uses->count, uses->room) = (struct use){column, times};
}

cost_t uses_cost(const struct columns *columns, const struct uses *uses) {
  const struct nest_problem *problem = columns->problem;
  cost_t total = 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t pieces = 0;
    for (size_t u = 0; u < uses->count; u++)
      if (columns->items[uses->items[u].column].stock == s) pieces += uses->items[u].times;
    total += nest_stock_cost(&problem->stocks[s], pieces);
  }
  for (size_t u = 0; u < uses->count; u++)
    total += problem->cut_cost * columns->items[uses->items[u].column].cuts * uses->items[u].times;
  return total;
}

struct settings {
  struct arena *arena;
  length_t *crosscuts;
  size_t crosscut_count, crosscut_room;
  length_t *rips;
  size_t rip_count, rip_room;
  double largest_rest;
};

static void collect_settings(struct settings *settings, const struct node *node) {
  double area = (double)node->length * (double)node->width;
  if (node->kind == NODE_WASTE && area > settings->largest_rest) settings->largest_rest = area;
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    collect_settings(settings, child);
    if (child->kind == NODE_WASTE) continue;
    if (node->kind == NODE_CROSSCUT)
      *ARENA_PUSH(settings->arena, settings->crosscuts, settings->crosscut_count,
                  settings->crosscut_room) = child->length;
    else
      *ARENA_PUSH(settings->arena, settings->rips, settings->rip_count, settings->rip_room) =
          child->width;
  }
}

struct uses_rank uses_rank_of(struct arena *scratch, const struct columns *columns,
                              const struct uses *uses) {
  struct arena_mark mark = arena_mark(scratch);
  struct settings settings = {.arena = scratch};
  for (size_t u = 0; u < uses->count; u++)
    collect_settings(&settings, &columns->items[uses->items[u].column].root);
  size_t distinct = length_sort_unique(settings.crosscuts, settings.crosscut_count) +
                    length_sort_unique(settings.rips, settings.rip_count);
  arena_release(scratch, mark);
  return (struct uses_rank){(int64_t)distinct, settings.largest_rest};
}

bool uses_ranks_before(const struct uses_rank *a, const struct uses_rank *b) {
  if (a->settings != b->settings) return a->settings < b->settings;
  return a->largest_rest > b->largest_rest;
}

void uses_count(const struct columns *columns, const struct uses *uses, int64_t *counts) {
  size_t demands = columns->problem->demand_count;
  memset(counts, 0, demands * sizeof *counts);
  for (size_t u = 0; u < uses->count; u++)
    for (size_t d = 0; d < demands; d++)
      counts[d] += uses->items[u].times * columns->items[uses->items[u].column].counts[d];
}

static int64_t pieces_of(const struct column *column, size_t demands) {
  int64_t pieces = 0;
  for (size_t d = 0; d < demands; d++)
    if (column->counts[d] > 0) pieces += column->counts[d];
  return pieces;
}

/* What a layout keeps when all that is to spare is taken out of it. Members of a match stay
 * as far as their sets are needed. Returns the pieces kept; *taken are those that are not. */
static int64_t kept_counts(const struct nest_problem *problem, const struct column *column,
                           const int64_t *spare, int64_t *limit, int64_t *taken) {
  int64_t kept = 0;
  *taken = 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    limit[d] = column->counts[d] > spare[d] ? column->counts[d] - spare[d] : 0;
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t needed = limit[match->demand] * match->per_set[i];
      if (limit[match->member[i]] < needed) limit[match->member[i]] = needed;
    }
  }
  for (size_t d = 0; d < problem->demand_count; d++) {
    if (column->counts[d] <= 0 || nest_is_match(problem, d)) continue;
    *taken += column->counts[d] - limit[d];
    kept += limit[d];
  }
  for (size_t d = 0; kept > 0 && d < problem->demand_count; d++)
    if (column->counts[d] < 0) limit[d] = column->counts[d];
  return kept;
}

/* The used layout with the fewest pieces that has some to spare; SIZE_MAX for none. A
 * layout all of whose pieces are to spare comes before any other. */
static size_t next_to_clip(const struct columns *columns, const struct uses *uses,
                           const int64_t *spare, int64_t *limit) {
  size_t demands = columns->problem->demand_count;
  size_t best = SIZE_MAX;
  int64_t best_rank = INT64_MAX;
  for (size_t u = 0; u < uses->count; u++) {
    const struct column *column = &columns->items[uses->items[u].column];
    int64_t taken = 0;
    if (uses->items[u].times == 0) continue;
    int64_t kept = kept_counts(columns->problem, column, spare, limit, &taken);
    if (taken == 0) continue;
    if (kept > 0 && column_is_whole(columns->problem, column)) continue;
    int64_t rank = kept == 0 ? -column->cost : pieces_of(column, demands);
    if (rank < best_rank) {
      best_rank = rank;
      best = u;
    }
  }
  return best;
}

void uses_clip(struct columns *columns, struct arena *scratch, struct uses *uses,
               const int64_t *demand) {
  size_t demands = columns->problem->demand_count;
  int64_t *spare = ARENA_ARRAY(columns->arena, demands, int64_t);
  int64_t *limit = ARENA_ARRAY(columns->arena, demands, int64_t);
  uses_count(columns, uses, spare);
  for (size_t d = 0; d < demands; d++) spare[d] = spare[d] > demand[d] ? spare[d] - demand[d] : 0;
  for (size_t u = next_to_clip(columns, uses, spare, limit); u != SIZE_MAX;
       u = next_to_clip(columns, uses, spare, limit)) {
    size_t number = uses->items[u].column;
    const struct column column = columns->items[number];
    int64_t *counts = ARENA_ARRAY(columns->arena, demands, int64_t);
    int64_t taken = 0;
    int64_t kept = kept_counts(columns->problem, &column, spare, limit, &taken);
    for (size_t d = 0; d < demands; d++) counts[d] = column.counts[d];
    nest_count_matches(columns->problem, limit);
    for (size_t d = 0; d < demands; d++) spare[d] -= column.counts[d] - limit[d];
    uses->items[u].times--;
    if (kept == 0) continue;
    struct node root = cutting_copy(columns->arena, &column.root, 0, 0);
    bool added = false;
    pricer_clip(columns->arena, scratch, columns->problem, &columns->problem->stocks[column.stock],
                limit, &root, counts);
    uses_add(columns->arena, uses, columns_add(columns, column.stock, &root, counts, &added), 1);
  }
  size_t left = 0;
  for (size_t u = 0; u < uses->count; u++)
    if (uses->items[u].times > 0 && pieces_of(&columns->items[uses->items[u].column], demands) > 0)
      uses->items[left++] = uses->items[u];
  uses->count = left;
}
