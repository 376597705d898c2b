#include <string.h>

#include "nest/branch.h"
#include "nest/dual_feasible.h"
#include "nest/fewer.h"
#include "nest/improve.h"
#include "nest/lattice.h"
#include "nest/nest.h"
#include "nest/plunge.h"
#include "nest/polish.h"
#include "nest/portions.h"
#include "nest/prove_sets.h"
#include "nest/twins.h"
#include "nest/unstaged.h"

enum {
  ROOT_ROUNDS = 400,
  IMPROVE_ROUNDS = 600,
  MOST_BRANCHES = 400,
  MOST_SMALL = 400,
  FEW_COPIES = 4,
  FEW_KINDS = 12,
  FIRST_PACKING = 32, /* of the steps, before there is a bound by layouts */
  POOL_SHARE = 16,    /* of the steps, for plans of the layouts at hand */
  FIRST_PROOF = 3     /* of the steps, for whole sets of stock */
};

static const int64_t DEFAULT_STEPS = INT64_C(400000000);

static cost_t dearest_piece(const struct nest_problem *problem) {
  cost_t dearest = COST_PER_CENT;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    cost_t cost = nest_stock_cost(stock, 1) + 16 * problem->cut_cost;
    if (cost > dearest) dearest = cost;
  }
  return dearest;
}

/* The problem with one more kind of stock per demand: a piece that is not made, dearer than
 * any piece is to make. A plan is complete when none of them is used. */
static struct nest_problem *with_pieces_not_made(struct arena *arena,
                                                 const struct nest_problem *problem) {
  size_t demands = problem->demand_count;
  struct nest_problem *extended = ARENA_NEW(arena, struct nest_problem);
  *extended = *problem;
  extended->stocks = arena_grow(arena, problem->stocks, problem->stock_count,
                                problem->stock_count + demands, sizeof *extended->stocks);
  extended->stock_count += demands;
  for (size_t d = 0; d < demands; d++) {
    int64_t *given = ARENA_ARRAY(arena, demands, int64_t);
    given[d] = 1;
    extended->stocks[problem->stock_count + d] = (struct nest_stock){
        .count = nest_is_coupling(problem, d) ? 0 : -1, /* what couples is not wanted */
        .pack = 1,
        .cost = 64 * dearest_piece(problem),
        .given = given};
  }
  return extended;
}

/* Tables of more cells than there are steps could not be filled once. */
static size_t cells_of_tables(const struct search *search) {
  size_t cells = UNSTAGED_CELLS_MOST / (1 + search->options->beside);
  return search->steps_allowed < (int64_t)cells ? (size_t)search->steps_allowed : cells;
}

/* The problem is one with pieces not made. */
static struct search *open_search(struct arena *arena, const struct nest_problem *problem,
                                  const struct nest_options *options) {
  struct search *search = ARENA_NEW(arena, struct search);
  search->arena = arena;
  search->scratch = arena_create_child(arena);
  search->problem = problem;
  search->columns = columns_create(arena, problem);
  search->best_cost = COST_UNKNOWN;
  search->steps_allowed = options->effort > 0 ? options->effort * 1000 : DEFAULT_STEPS;
  search->options = options;
  search->memory = side_memory(arena, problem->stock_count);
  search->pricers = ARENA_ARRAY(arena, problem->stock_count, struct pricer *);
  search->not_made = ARENA_ARRAY(arena, problem->demand_count, size_t);
  size_t cells = cells_of_tables(search);
  size_t first_not_made = problem->stock_count - problem->demand_count;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    bool added = false;
    struct node nothing = {.kind = NODE_WASTE};
    for (size_t i = 0; i < stock->split_count; i++) columns_add_split(search->columns, s, i);
    if (stock->given == NULL) {
      if (nest_is_cut(stock))
        search->pricers[s] = pricer_create(search->memory[s].lasting, problem, s, &cells);
      continue;
    }
    size_t column = columns_add(search->columns, s, &nothing, stock->given, &added);
    if (s >= first_not_made) search->not_made[s - first_not_made] = column;
  }
  return search;
}

static struct region whole_region(struct arena *arena, const struct nest_problem *problem) {
  struct region region = {ARENA_ARRAY(arena, problem->demand_count, int64_t),
                          ARENA_ARRAY(arena, problem->stock_count, int64_t),
                          ARENA_ARRAY(arena, problem->stock_count, int64_t)};
  memcpy(region.demand, problem->demand, problem->demand_count * sizeof *region.demand);
  for (size_t s = 0; s < problem->stock_count; s++)
    region.most[s] = nest_stock_most(&problem->stocks[s]);
  return region;
}

struct reporter {
  const struct nest_options *options;
};

static void report(void *data, const struct search *search, cost_t bound) {
  const struct reporter *reporter = data;
  if (reporter->options->progress == NULL) return;
  struct nest_progress progress = {search->best_cost >= COST_UNKNOWN ? -1 : search->best_cost,
                                   bound, search_steps(search)};
  reporter->options->progress(reporter->options->progress_data, &progress);
}

/* Takes the pieces that were not made out of the plan again. */
static void read_answer(struct arena *arena, const struct search *search, size_t stock_count,
                        struct nest_answer *answer) {
  struct uses made = {NULL, 0, 0};
  for (size_t u = 0; u < search->best.count; u++) {
    const struct use *use = &search->best.items[u];
    const struct column *column = &search->columns->items[use->column];
    if (use->times == 0) continue;
    if (column->stock >= stock_count) {
      answer->missing[column->stock - stock_count] += use->times;
      answer->complete = false;
      continue;
    }
    uses_add(arena, &made, use->column, use->times);
    struct nest_layout *layout =
        ARENA_PUSH(arena, answer->layouts, answer->layout_count, answer->layout_room);
    layout->stock = column->stock;
    layout->times = use->times;
    layout->root = column->root;
    layout->cuts = column->cuts;
    layout->counts = column->counts;
  }
  answer->cost = uses_cost(search->columns, &made);
}

/* The linear program knows the loads listed, not all there could be. */
static void set_bounds(struct arena *arena, const struct nest_problem *problem,
                       const struct search *search, const struct region *region, cost_t bound,
                       struct nest_answer *answer) {
  if (!answer->complete) return;
  answer->bound = answer->listed_bound = bound;
  if (problem->loads == NULL) return;
  cost_t any = lattice_raise(arena, search->problem, region->least, region->most,
                             lattice_area_bound(arena, problem), search->best_cost);
  if (any < bound) answer->bound = any;
}

/* Many kinds of pieces, each wanted but a few times: layouts have nothing in common, and whole
 * plans are better packed anew than made of layouts. */
static bool is_small(const struct nest_problem *problem) {
  int64_t pieces = nest_most_pieces(problem, problem->demand);
  return problem->demand_count > FEW_KINDS && pieces <= MOST_SMALL &&
         pieces <= FEW_COPIES * (int64_t)problem->demand_count;
}

/* Where there is a choice of stock, branching on it finds more than packing anew. */
static int kinds_to_cut(const struct nest_problem *problem) {
  int kinds = 0;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].given == NULL && problem->stocks[s].option_count > 0) kinds++;
  return kinds;
}

/* Around flaws layouts take long to find, and branching comes to little. */
static bool is_slow(const struct search *search) {
  for (size_t s = 0; s < search->problem->stock_count; s++)
    if (search->pricers[s] != NULL && pricer_is_slow(search->pricers[s])) return true;
  return false;
}

/* Of the steps, for packing whole plans anew before it comes to branching. */
static int64_t packing_share(const struct search *search, bool branches) {
  if (is_small(search->problem)) return 4;
  return branches ? 20 : 10;
}

/* The same for taking plans apart: where sets of stock are proved, that finds more. */
static int64_t improving_share(bool branches, const struct set_proof *sets) {
  if (branches) return 16;
  return sets != NULL ? 8 : 6;
}

static void raise_by_layouts(struct search *search, const struct region *region, cost_t *bound) {
  struct generated generated;
  generate(search, region, ROOT_ROUNDS, &generated);
  if (generated.bound > *bound) *bound = generated.bound;
}

static void pack_until(struct search *search, const struct region *region, cost_t *bound,
                       int64_t stop) {
  *bound = lattice_raise(search->arena, search->problem, region->least, region->most, *bound,
                         search->best_cost);
  fewer(search, region, *bound, stop - search_steps(search));
}

/* Packs plans anew, first but for a while: a bound by layouts may say that there is no more to
 * find, and what is known of sets of stock leaves fewer of them to pack. */
static void pack_first(struct search *search, const struct region *region, struct set_proof *sets,
                       cost_t *bound) {
  pack_until(search, region, bound, search->steps_allowed / FIRST_PACKING);
  if (*bound < search->best_cost) raise_by_layouts(search, region, bound);
  if (*bound < search->best_cost) prove_sets(sets, bound, search->steps_allowed / FIRST_PROOF);
  pack_until(search, region, bound, search->steps_allowed / 4 * 3);
}

void nest_solve_whole(struct arena *arena, const struct nest_problem *problem,
                      const struct nest_options *options, struct nest_answer *answer) {
  memset(answer, 0, sizeof *answer);
  answer->missing = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  answer->complete = true;
  struct search *search = open_search(arena, with_pieces_not_made(arena, problem), options);
  struct region region = whole_region(arena, search->problem);
  struct reporter reporter = {options};
  bool branches = kinds_to_cut(problem) > 1 && !is_slow(search);
  struct arena_mark mark = arena_mark(search->scratch);
  construct(search, &region);
  cost_t bound = lattice_area_bound(arena, problem);
  cost_t by_functions = dual_feasible_bound(arena, problem);
  if (by_functions > bound && by_functions < INT64_MAX / 4) bound = by_functions;
  struct set_proof *sets = kinds_to_cut(problem) > 1 ? prove_sets_open(search, &region) : NULL;
  if (is_small(search->problem)) pack_first(search, &region, sets, &bound);
  if (bound < search->best_cost) raise_by_layouts(search, &region, &bound);
  arena_release(search->scratch, mark);
  report(&reporter, search, bound);
  if (bound < search->best_cost) dive(search, &region);
  if (bound < search->best_cost) prove_sets(sets, &bound, search->steps_allowed / FIRST_PROOF);
  if (bound < search->best_cost && !is_small(search->problem))
    bound = plunge(
        search, &region, bound,
        (search->steps_allowed - search_steps(search)) / (kinds_to_cut(problem) > 1 ? 10 : 2));
  polish(search, search->steps_allowed / 10);
  bound =
      lattice_raise(arena, search->problem, region.least, region.most, bound, search->best_cost);
  if (search->best_cost < COST_UNKNOWN)
    improve(search, &region, bound, IMPROVE_ROUNDS * (int)search_scale(search),
            search->steps_allowed / improving_share(branches, sets));
  if (bound < search->best_cost)
    fewer(search, &region, bound, search->steps_allowed / packing_share(search, branches));
  if (bound < search->best_cost)
    finish_with_pool(search, &region, search->steps_allowed / POOL_SHARE);
  polish(search, search->steps_allowed / 10);
  if (bound < search->best_cost)
    prove_sets(sets, &bound, (search->steps_allowed - search_steps(search)) / 10 * 9);
  if (bound < search->best_cost)
    branch(search, &region, MOST_BRANCHES * (int)search_scale(search), &bound, report, &reporter);
  if (bound < search->best_cost) improve_on(search, &region, bound);
  polish(search, search->steps_allowed / 10);
  use_earlier_twins(search);
  read_answer(arena, search, problem->stock_count, answer);
  answer->undecided = !answer->complete && bound < search->best_cost;
  set_bounds(arena, problem, search, &region, bound < 0 ? 0 : bound, answer);
  answer->steps = search_steps(search);
  answer->interrupted = search->interrupted;
}

void nest_solve(struct arena *arena, const struct nest_problem *problem,
                const struct nest_options *options, struct nest_answer *answer) {
  if (portions_are_wanted(problem))
    portions_solve(arena, problem, options, answer);
  else
    nest_solve_whole(arena, problem, options, answer);
}
