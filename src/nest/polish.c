#include "nest/polish.h"
#include "nest/unstaged.h"

#include <string.h>

/* A search that has used up its steps may polish with this share of them on top. */
enum { LAYOUT_STEPS = 1000000, BEYOND_SHARE = 20, TABLE_SHARE = 4 };

/* Every piece is worth far more than all cuts, so the best layout holds them all. */
static bool recut(struct search *search, const struct nest_problem *costly, size_t number,
                  int64_t steps, size_t *better) {
  struct column column = search->columns->items[number];
  size_t demands = costly->demand_count;
  cost_t *worth = ARENA_ARRAY(search->scratch, demands, cost_t);
  int64_t *counts = ARENA_ARRAY(search->scratch, demands, int64_t); /* of pieces alone */
  for (size_t d = 0; d < demands; d++) {
    counts[d] = column.counts[d] > 0 ? column.counts[d] : 0;
    worth[d] = counts[d] > 0 ? costly->cut_cost * (4 * column.cuts + 4) : 0;
  }
  struct priced priced;
  size_t cells = UNSTAGED_CELLS_MOST / TABLE_SHARE; /* beside those of the search */
  struct pricer *pricer = pricer_create(search->scratch, costly, column.stock, &cells);
  pricer_run(search->scratch, pricer, worth, counts, COST_UNKNOWN, steps, &priced);
  search->steps += pricer_steps(pricer);
  bool same = memcmp(priced.counts, counts, demands * sizeof *counts) == 0;
  if (!same || priced.cuts >= column.cuts) return false;
  bool added = false;
  *better = columns_add(search->columns, column.stock, &priced.root, priced.counts, &added);
  return true;
}

void polish(struct search *search, int64_t steps) {
  struct nest_problem costly = *search->problem;
  if (costly.cut_cost <= 0) costly.cut_cost = COST_PER_CENT;
  int64_t stop = search_steps(search) + steps;
  int64_t last = search->steps_allowed + search->steps_allowed / BEYOND_SHARE;
  if (stop > last) stop = last;
  for (size_t u = 0; u < search->best.count && !search->interrupted; u++) {
    int64_t left = stop - search_steps(search);
    if (left <= 0) break;
    struct use *use = &search->best.items[u];
    struct column *column = &search->columns->items[use->column];
    if (column->polished || column_is_whole(&costly, column)) continue;
    column->polished = true;
    struct arena_mark mark = arena_mark(search->scratch);
    size_t better = 0;
    if (recut(search, &costly, use->column, left < LAYOUT_STEPS ? left : LAYOUT_STEPS, &better)) {
      use->column = better;
      search->columns->items[better].polished = true;
    }
    arena_release(search->scratch, mark);
  }
  cost_t cost = uses_cost(search->columns, &search->best);
  if (cost < search->best_cost) search->best_cost = cost;
  search->best_rank = uses_rank_of(search->scratch, search->columns, &search->best);
}
