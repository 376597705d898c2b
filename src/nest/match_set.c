#include "nest/match_set.h"

#include <string.h>

#include "nest/cutting.h"
#include "nest/portion.h"

/* The match and its members alone, each wanted as often as in one set, from the one stock; cuts
 * cost nothing. */
static void build(struct arena *arena, const struct nest_problem *whole, size_t stock, size_t match,
                  struct portion *portion) {
  const struct nest_match *wanted = &whole->matches[match];
  int64_t *open = ARENA_ARRAY(arena, whole->demand_count, int64_t);
  int64_t *left = ARENA_ARRAY(arena, whole->stock_count, int64_t);
  *portion = (struct portion){.whole = whole, .open = open, .left = left};
  portion->has_demand = ARENA_ARRAY(arena, whole->demand_count, bool);
  portion->has_stock = ARENA_ARRAY(arena, whole->stock_count, bool);
  portion->has_stock[stock] = true;
  left[stock] = 1;
  open[wanted->demand] = 1;
  portion->has_demand[wanted->demand] = true;
  for (size_t i = 0; i < wanted->member_count; i++) {
    open[wanted->member[i]] = wanted->per_set[i];
    portion->has_demand[wanted->member[i]] = true;
  }
  if (whole->stocks[stock].is_leaf) portion->has_demand[whole->stocks[stock].leaf_demand] = true;
  portion_build(arena, portion);
  portion->problem.cut_cost = 0;
}

/* Per demand of the portion: the area of its smallest piece, rows that couple and the match
 * nothing; false when the stock cannot yield one of them. */
static bool set_worths(const struct portion *portion, cost_t *worth) {
  const struct nest_stock *stock = &portion->problem.stocks[0];
  memset(worth, 0, portion->problem.demand_count * sizeof *worth);
  for (size_t o = 0; o < stock->option_count; o++) {
    cost_t area = stock->options[o].length * stock->options[o].width;
    cost_t *known = &worth[stock->options[o].demand];
    if (*known == 0 || area < *known) *known = area;
  }
  const struct nest_match *match = &portion->problem.matches[0];
  for (size_t i = 0; i < match->member_count; i++)
    if (worth[match->member[i]] == 0) return false;
  return true;
}

static enum set_answer ask(struct arena *arena, const struct portion *portion, const cost_t *worth,
                           int64_t steps, int64_t *taken, struct priced *priced) {
  const struct nest_problem *problem = &portion->problem;
  size_t cells = (size_t)(steps > 0 ? steps : 0);
  cost_t whole = 0;
  for (size_t d = 0; d < problem->demand_count; d++) whole += problem->demand[d] * worth[d];
  struct pricer *pricer = pricer_create(arena, problem, 0, &cells);
  pricer_run(arena, pricer, worth, problem->demand, whole - 1, steps, priced);
  *taken += pricer_steps(pricer);
  if (priced->worth >= whole) return SET_HELD;
  return priced->bound < whole ? SET_REFUTED : SET_OPEN;
}

static enum set_answer lay(struct arena *arena, struct arena *own,
                           const struct nest_problem *problem, size_t stock, size_t match,
                           int64_t steps, int64_t *taken, struct node *root, int64_t *counts) {
  struct portion portion;
  struct priced priced;
  build(own, problem, stock, match, &portion);
  if (portion.problem.stock_count == 0) return SET_REFUTED;
  cost_t *worth = ARENA_ARRAY(own, portion.problem.demand_count, cost_t);
  if (!set_worths(&portion, worth)) return SET_REFUTED;
  enum set_answer answer = ask(own, &portion, worth, steps, taken, &priced);
  if (answer != SET_HELD) return answer;
  *root = cutting_copy(arena, &priced.root, 0, 0);
  memset(counts, 0, problem->demand_count * sizeof *counts);
  for (size_t d = 0; d < portion.problem.demand_count; d++)
    counts[portion.demand[d]] = priced.counts[d];
  nest_count_matches(problem, counts);
  return SET_HELD;
}

enum set_answer match_set_lay(struct arena *arena, const struct nest_problem *problem, size_t stock,
                              size_t match, int64_t steps, int64_t *taken, struct node *root,
                              int64_t *counts) {
  struct arena *own = arena_create_child(arena);
  struct arena_mark mark = arena_mark(own);
  enum set_answer answer = lay(arena, own, problem, stock, match, steps, taken, root, counts);
  arena_release(own, mark);
  return answer;
}

bool match_set_is_refuted(struct arena *arena, const struct nest_problem *problem, size_t match,
                          int64_t steps) {
  int64_t *counts = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  for (size_t s = 0; s < problem->stock_count; s++) {
    struct node root;
    int64_t taken = 0;
    if (!nest_is_cut(&problem->stocks[s])) continue;
    if (match_set_lay(arena, problem, s, match, steps, &taken, &root, counts) != SET_REFUTED)
      return false;
  }
  return true;
}
