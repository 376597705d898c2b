#include "nest/plan_run.h"

#include "nest/most.h"
#include "nest/setup.h"

/* The usual work for one material, in thousands of table cells; more for larger jobs. */
enum { USUAL_EFFORT = 120000 };

struct run {
  struct arena *arena;
  const struct project *project;
  const struct blanks *blanks;
  const struct nest_run_options *options;
  struct plan *plan;
  cost_t cost; /* exact, of all materials */
  cost_t bound;
  int64_t *next_copy; /* per stock: pieces used so far of groups without a list */
  cost_t told_cost;   /* for progress: of the materials done */
  cost_t told_bound;
};

static void pass_progress(void *data, const struct nest_progress *progress) {
  const struct run *run = data;
  struct nest_progress told = *progress;
  if (told.cost >= 0) told.cost += run->told_cost;
  told.bound += run->told_bound;
  run->options->progress(run->options->progress_data, &told);
}

static struct nest_options bare_options(struct run *run) {
  int64_t percent = run->options->effort > 0 ? run->options->effort : 100;
  struct nest_options options = {.effort = USUAL_EFFORT * percent / 100,
                                 .progress = run->options->progress == NULL ? NULL : pass_progress,
                                 .progress_data = run};
  return options;
}

/* ---- from bare layouts to the plan's ---- */

/* The next copies of a group that follow each other without a gap, at most `most`. */
static int64_t next_copies(const struct stock_group *group, int64_t used, int64_t most,
                           int64_t *first) {
  if (group->copies == NULL) {
    *first = group->first_copy + used;
    return most;
  }
  *first = group->copies[used];
  int64_t run = 1;
  while (run < most && group->copies[used + run] == *first + run) run++;
  return run;
}

static void add_layout(struct run *run, const struct material *material, int64_t *used,
                       const struct nest_layout *bare) {
  const struct stock_group *group = &material->groups[bare->stock];
  int64_t left = bare->times;
  struct node root = setup_raw_tree(run->arena, run->project, group->stock, &bare->root);
  const struct stock *stock = &run->project->stocks[group->stock];
  int64_t trims = (stock->trim_edges > 0 ? 2 : 0) + (stock->trim_ends > 0 ? 2 : 0);
  while (left > 0) {
    struct layout *layout =
        ARENA_PUSH(run->arena, run->plan->layouts, run->plan->layout_count, run->plan->layout_room);
    layout->stock = group->stock;
    layout->times = next_copies(group, *used, left, &layout->first_copy);
    layout->root = root;
    layout->cuts = bare->cuts + trims;
    *used += layout->times;
    left -= layout->times;
  }
}

static void add_layouts(struct run *run, const struct material *material,
                        const struct nest_answer *answer) {
  int64_t *used = ARENA_ARRAY(run->arena, material->problem.stock_count, int64_t);
  for (size_t l = 0; l < answer->layout_count; l++) {
    size_t s = answer->layouts[l].stock;
    if (material->problem.stocks[s].given == NULL)
      add_layout(run, material, &used[s], &answer->layouts[l]);
  }
}

/* ---- what could not be placed ---- */

static bool has_blank(const struct run *run, size_t part) {
  for (size_t b = 0; b < run->blanks->count; b++)
    if (run->blanks->items[b].part == part) return true;
  return false;
}

static void add_unplaced(struct run *run, size_t part, int64_t missing, bool match) {
  const struct part *p = &run->project->parts[part];
  struct unplaced *unplaced = ARENA_PUSH(run->arena, run->plan->unplaced, run->plan->unplaced_count,
                                         run->plan->unplaced_room);
  unplaced->part = part;
  unplaced->missing = missing;
  if (!has_blank(run, part)) {
    unplaced->why = "no stock is large and thick enough for it in a wood it may be made of";
    return;
  }
  if (match) {
    unplaced->why = arena_format(
        run->arena,
        "%lld sets find no plank that holds all their parts of match '%s', add longer or wider "
        "stock of that wood, or take the letter off a part",
        (long long)missing, p->match);
    return;
  }
  unplaced->why = arena_format(
      run->arena,
      "the rack and yard do not hold enough: %lld of %lld '%s' find no place, add stock that "
      "takes it to rack.csv, raise a count in yard.csv, or make fewer sets",
      (long long)missing, (long long)run->plan->needed[part], p->name);
}

/* ---- solving ---- */

/* Strictly by the saw's minimums where that is possible at all, else by less and less. */
static enum safety solve_safely(struct run *run, struct material *material,
                                struct nest_answer *answer) {
  struct nest_options options = bare_options(run);
  for (int safety = SAFETY_STRICT; safety <= SAFETY_NONE; safety++) {
    setup_rules(run->project, material, (enum safety)safety);
    nest_solve(run->arena, &material->problem, &options, answer);
    run->plan->steps += answer->steps;
    if (answer->complete) return (enum safety)safety;
  }
  return SAFETY_NONE;
}

static void add_answer(struct run *run, const struct material *material,
                       const struct nest_answer *answer) {
  add_layouts(run, material, answer);
  for (size_t d = 0; d < material->problem.demand_count; d++)
    if (answer->missing[d] > 0)
      add_unplaced(run, material->parts[d], answer->missing[d], d >= material->part_demands);
}

static void solve_material(struct run *run, struct material *material) {
  struct nest_answer answer;
  enum safety safety = solve_safely(run, material, &answer);
  if (answer.complete && safety != SAFETY_STRICT) run->plan->unsafe_rules = true;
  add_answer(run, material, &answer);
  run->cost += answer.cost;
  run->bound += answer.bound;
  run->told_cost = run->cost;
  run->told_bound = run->bound;
}

/* ---- sums ---- */

static int64_t used_pieces(const struct plan *plan, size_t stock) {
  int64_t used = 0;
  for (size_t l = 0; l < plan->layout_count; l++)
    if (plan->layouts[l].stock == stock) used += plan->layouts[l].times;
  return used;
}

static void add_purchases(struct run *run) {
  struct plan *plan = run->plan;
  for (size_t s = 0; s < run->project->stock_count; s++) {
    const struct stock *stock = &run->project->stocks[s];
    int64_t used = used_pieces(plan, s);
    if (used == 0) continue;
    int64_t pack = stock->pack < 1 ? 1 : stock->pack;
    bool yard = stock->source == SOURCE_YARD;
    int64_t bought = yard ? (used + pack - 1) / pack * pack : 0;
    struct purchase *purchase =
        ARENA_PUSH(run->arena, plan->purchases, plan->purchase_count, plan->purchase_room);
    *purchase = (struct purchase){s, used, bought, stock->value * (yard ? bought : used)};
    plan->cost.stock += purchase->cost;
  }
}

static cents_t cents_up(cost_t cost) { return (cost + COST_PER_CENT - 1) / COST_PER_CENT; }

static void add_costs(struct run *run) {
  struct plan *plan = run->plan;
  int64_t cuts = 0;
  for (size_t l = 0; l < plan->layout_count; l++)
    cuts += plan->layouts[l].cuts * plan->layouts[l].times;
  plan->cost.handling = cents_up(cuts * setup_cut_cost(&run->project->shop));
  plan->cost.total = plan->cost.stock + plan->cost.handling;
  plan->cost.bound = cents_up(run->bound);
  if (plan->cost.bound > plan->cost.total) plan->cost.bound = plan->cost.total;
  plan->cost.proved = plan->cost.bound == plan->cost.total;
}

static void set_needed(struct run *run, int64_t sets) {
  run->plan->sets = sets;
  run->plan->needed = ARENA_ARRAY(run->arena, run->project->part_count, int64_t);
  for (size_t p = 0; p < run->project->part_count; p++)
    run->plan->needed[p] = project_needed(run->project, p, sets);
}

static void plan_sets(struct run *run, int64_t sets, bool rack_only) {
  set_needed(run, sets);
  struct materials materials =
      setup_materials(run->arena, run->project, run->blanks, run->plan->needed, rack_only, false);
  for (size_t m = 0; m < materials.count; m++) solve_material(run, &materials.items[m]);
}

/* The layouts found for the most sets stand, unless spoilage leaves some of them over. */
static void plan_most(struct run *run) {
  struct nest_options options = bare_options(run);
  struct most_sets most = most_sets_of_rack(run->arena, run->project, run->blanks, &options);
  run->plan->most = true;
  run->plan->most_stop = most.stop;
  if (most.sets < most.made) {
    plan_sets(run, most.sets, true);
    return;
  }
  set_needed(run, most.sets);
  if (most.made > 0) add_answer(run, &most.material, &most.answer);
  const struct nest_problem *problem = &most.material.problem;
  for (size_t l = 0; l < most.answer.layout_count; l++) {
    const struct nest_layout *layout = &most.answer.layouts[l];
    if (problem->stocks[layout->stock].given != NULL) {
      cost_t not_made = problem->stocks[layout->stock].cost * layout->times;
      most.answer.cost -= not_made;
      most.answer.bound -= not_made;
    }
  }
  run->cost = most.answer.cost;
  run->bound = most.answer.bound < 0 ? 0 : most.answer.bound;
  run->plan->steps += most.answer.steps;
}

enum status nest_run(struct arena *arena, const struct project *project,
                     const struct blanks *blanks, const struct nest_run_options *options,
                     struct diagnostics *diagnostics, struct plan *plan) {
  struct run run = {
      .arena = arena, .project = project, .blanks = blanks, .options = options, .plan = plan};
  *plan = (struct plan){0};
  if (options->most)
    plan_most(&run);
  else
    plan_sets(&run, options->sets > 0 ? options->sets : project->shop.sets, false);
  if (plan->sets == 0) {
    diagnostics_add(diagnostics, SEVERITY_ERROR, NULL, "the rack does not hold a single set: %s",
                    plan->most_stop);
    return STATUS_NO_PLAN;
  }
  for (size_t p = 0; p < project->part_count; p++)
    if (project->parts[p].way == WAY_GANG && plan->needed[p] > 0) plan->gang_as_blanks = true;
  add_purchases(&run);
  add_costs(&run);
  if (plan->unplaced_count == 0) return STATUS_OK;
  for (size_t u = 0; u < plan->unplaced_count; u++)
    diagnostics_add(diagnostics, SEVERITY_ERROR, &project->parts[plan->unplaced[u].part].place,
                    "%s", plan->unplaced[u].why);
  return STATUS_NO_PLAN;
}
