#include "nest/free_nest.h"

#include <string.h>

#include "nest/dual_feasible.h"
#include "nest/free_plan.h"
#include "nest/lattice.h"

static const int64_t DEFAULT_STEPS = INT64_C(850000000); /* four seconds or so */

/* Runs of the search on the sets of sheets at hand. */
struct solver {
  struct arena *arena;
  struct arena *scratch; /* of the searches on the present sets */
  const struct free_job *job;
  const struct nest_options *options;
  struct free_plan best;
  bool complete;
  cost_t bound;
  int64_t steps, steps_end;
  struct free_sets sets;
  struct free_search **searches; /* per set; NULL until its first run */
};

static void report(const struct solver *solver) {
  if (solver->options->progress == NULL) return;
  struct nest_progress progress = {solver->complete ? solver->best.cost : -1, solver->bound,
                                   solver->steps};
  solver->options->progress(solver->options->progress_data, &progress);
}

static cost_t raised_bound(struct arena *arena, const struct nest_problem *problem, cost_t bound,
                           cost_t above) {
  struct nest_problem uncut = *problem;
  uncut.cut_cost = 0;
  int64_t *least = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  int64_t *most = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  for (size_t s = 0; s < problem->stock_count; s++) most[s] = nest_stock_most(&problem->stocks[s]);
  return lattice_raise(arena, &uncut, least, most, bound, above);
}

static void set_bound(struct solver *solver, const struct nest_problem *problem) {
  cost_t bound = dual_feasible_bound(solver->arena, problem);
  cost_t by_area = lattice_area_bound(solver->arena, problem);
  if (by_area > bound) bound = by_area;
  if (solver->complete) bound = raised_bound(solver->arena, problem, bound, solver->best.cost);
  solver->bound = bound;
}

/* Without a complete plan, all the sheets there are; of unlimited stock as many as the plan has. */
static void set_of_all(struct solver *solver) {
  const struct nest_problem *problem = solver->job->problem;
  struct free_set *set = ARENA_NEW(solver->scratch, struct free_set);
  set->count = ARENA_ARRAY(solver->scratch, problem->stock_count, int64_t);
  for (size_t b = 0; b < solver->best.sheet_count; b++) set->count[solver->best.sheets[b]]++;
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t most = nest_stock_most(&problem->stocks[s]);
    if (solver->job->stocks[s].width > 0 && problem->stocks[s].count >= 0 &&
        most < (int64_t)solver->job->item_count)
      set->count[s] = most;
    set->sheets += set->count[s];
  }
  solver->sets = (struct free_sets){set, 1, 1};
}

static void open_sets(struct solver *solver) {
  if (solver->complete)
    solver->sets = free_sets_below(solver->scratch, solver->job, solver->best.cost);
  else
    set_of_all(solver);
  solver->searches = ARENA_ARRAY(solver->scratch, solver->sets.count, struct free_search *);
}

static struct free_search *open_search(struct solver *solver, const struct free_set *set,
                                       uint64_t seed) {
  uint32_t *stocks = ARENA_ARRAY(solver->scratch, set->sheets, uint32_t);
  size_t sheets = 0;
  for (size_t s = 0; s < solver->job->problem->stock_count; s++)
    for (int64_t n = 0; n < set->count[s]; n++) stocks[sheets++] = (uint32_t)s;
  return free_search_create(solver->scratch, solver->job, stocks, sheets, seed);
}

/* One run on a set; true when the set holds the job. Small jobs want many quick starts, large ones
 * slow cooling: passes mix both, and go on under pressure more often than they start anew. */
static bool run(struct solver *solver, size_t set, size_t pass) {
  static const size_t lengths[8] = {2000, 200, 500, 1000, 300, 500, 200, 1000};
  struct free_search *search = solver->searches[set];
  if (search == NULL)
    search = solver->searches[set] = open_search(solver, &solver->sets.items[set], set);
  size_t history = pass == 0 ? 50 : lengths[pass % 8];
  int64_t patience = pass == 0 ? 500 : 10000 + 16 * (int64_t)history;
  int64_t begin = search->state->steps;
  if (search->rounds == 0 || pass % 8 < 2)
    free_search_restart(search);
  else
    free_search_press(search);
  bool held = free_search_run(search, history, patience, begin + solver->steps_end - solver->steps);
  solver->steps += search->state->steps - begin + 1;
  if (held || (!solver->complete && free_state_open_area(search->state) < solver->best.unplaced))
    free_plan_read(solver->arena, search->state, &solver->best);
  return held;
}

/* Runs on the present sets until one holds the job or the steps are used up: all sets once in
 * short, then the roomiest ever longer and ever more of them. */
static bool find_holding_set(struct solver *solver) {
  for (size_t pass = 0;; pass++) {
    size_t turns = pass == 0 || 2 * pass > solver->sets.count ? solver->sets.count : 2 * pass;
    for (size_t set = 0; set < turns; set++) {
      if (solver->steps >= solver->steps_end) return false;
      if (run(solver, set, pass)) return true;
    }
  }
}

/* Searches until the bound is met, no set is left or the steps are used up. */
static void improve(struct solver *solver) {
  while (solver->steps < solver->steps_end &&
         (!solver->complete || solver->bound < solver->best.cost)) {
    struct arena_mark mark = arena_mark(solver->scratch);
    open_sets(solver);
    if (solver->sets.count == 0) return;
    if (find_holding_set(solver)) {
      solver->complete = true;
      report(solver);
    }
    arena_release(solver->scratch, mark);
  }
}

static void read_answer(struct solver *solver, const struct nest_problem *problem,
                        struct free_answer *answer) {
  const struct free_plan *plan = &solver->best;
  answer->sheets = ARENA_ARRAY(solver->arena, plan->sheet_count, size_t);
  for (size_t b = 0; b < plan->sheet_count; b++) answer->sheets[b] = plan->sheets[b];
  answer->sheet_count = plan->sheet_count;
  answer->places = plan->places;
  answer->place_count = plan->place_count;
  answer->missing = ARENA_ARRAY(solver->arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++)
    answer->missing[d] = problem->demand[d] > 0 ? problem->demand[d] : 0;
  for (size_t p = 0; p < plan->place_count; p++) {
    const struct nest_stock *stock = &problem->stocks[plan->sheets[plan->places[p].sheet]];
    answer->missing[stock->options[plan->places[p].option].demand]--;
  }
  answer->complete = true;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (answer->missing[d] > 0) answer->complete = false;
  answer->cost = plan->cost;
  answer->bound = solver->bound;
  answer->steps = solver->steps;
}

static void lay_first(struct solver *solver) {
  struct arena_mark mark = arena_mark(solver->scratch);
  struct free_plan first = {NULL, 0, NULL, 0, 0, 0};
  free_plan_first(solver->scratch, solver->job, &first, &solver->steps);
  solver->best = first;
  solver->best.sheets = arena_grow(solver->arena, first.sheets, first.sheet_count,
                                   first.sheet_count, sizeof *first.sheets);
  solver->best.places = arena_grow(solver->arena, first.places, first.place_count,
                                   first.place_count, sizeof *first.places);
  arena_release(solver->scratch, mark);
}

void free_nest_solve(struct arena *arena, const struct nest_problem *problem,
                     const struct nest_options *options, struct free_answer *answer) {
  struct solver solver = {.arena = arena, .options = options};
  memset(answer, 0, sizeof *answer);
  solver.scratch = arena_create_child(arena);
  solver.job = free_job_create(arena, problem);
  solver.steps_end = options->effort > 0 ? options->effort * 1000 : DEFAULT_STEPS;
  lay_first(&solver);
  solver.complete = solver.best.unplaced == 0;
  set_bound(&solver, problem);
  report(&solver);
  improve(&solver);
  read_answer(&solver, problem, answer);
}
