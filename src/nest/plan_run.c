#include "nest/plan_run.h"

#include <pthread.h>

#include "model/effort.h"
#include "nest/match_set.h"
#include "nest/most.h"
#include "nest/quantities.h"
#include "nest/setup.h"
#include "solver/guard.h"

/* The usual work for one material, in thousands of table cells; more for larger jobs. And steps for
 * showing that a piece of stock does not hold a set of a match. */
enum { USUAL_EFFORT = 120000, REFUTING_STEPS = 1000000 };

/* How far one material is. */
struct teller {
  struct run *run;
  struct nest_progress latest; /* bound 0 before anything is known */
};

struct run {
  struct arena *arena;
  const struct project *project;
  const struct blanks *blanks;
  const struct nest_run_options *options;
  struct plan *plan;
  cost_t cost; /* exact, of all materials */
  cost_t bound, listed_bound;
  int64_t *next_copy; /* per stock: pieces used so far of groups without a list */
  struct threads *threads;
  struct teller *tellers; /* per material */
  size_t teller_count;
  pthread_mutex_t *telling; /* held while progress is told */
};

/* ---- progress ---- */

static void release_lock(void *resource) { pthread_mutex_destroy(resource); }

static void set_tellers(struct run *run, size_t count) {
  run->tellers = ARENA_ARRAY(run->arena, count, struct teller);
  run->teller_count = count;
  for (size_t t = 0; t < count; t++)
    run->tellers[t] = (struct teller){.run = run, .latest = {.cost = -1}};
}

/* The sum over all materials; a cost is known when each has one. */
static struct nest_progress sum_told(const struct run *run) {
  struct nest_progress told = {0};
  for (size_t t = 0; t < run->teller_count; t++) {
    const struct nest_progress *latest = &run->tellers[t].latest;
    told.cost = told.cost < 0 || latest->cost < 0 ? -1 : told.cost + latest->cost;
    told.bound += latest->bound > 0 ? latest->bound : 0;
    told.steps += latest->steps;
  }
  return told;
}

static void pass_progress(void *data, const struct nest_progress *progress) {
  struct teller *teller = data;
  const struct run *run = teller->run;
  pthread_mutex_lock(run->telling);
  teller->latest = *progress;
  struct nest_progress told = sum_told(run);
  run->options->progress(run->options->progress_data, &told);
  pthread_mutex_unlock(run->telling);
}

static struct nest_options bare_options(struct run *run, struct teller *teller) {
  int64_t percent = effort_percent(run->options->effort);
  struct nest_options options = {.effort = USUAL_EFFORT * percent / EFFORT_USUAL,
                                 .progress = run->options->progress == NULL ? NULL : pass_progress,
                                 .progress_data = teller,
                                 .threads = run->threads,
                                 .stop = run->options->stop,
                                 .stop_data = run->options->stop_data};
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

static void add_layout(struct run *run, const struct stock_group *group, int64_t *used,
                       const struct nest_layout *bare) {
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

/* The leaves of the planks split: as many of each nest stock of leaves, by their copies. */
static void add_split(struct run *run, const struct material *material,
                      struct stock_group *leaf_groups, int64_t *used,
                      const struct nest_layout *bare) {
  const struct nest_problem *problem = &material->problem;
  const struct nest_split *split = &problem->stocks[bare->stock].splits[bare->root.blank];
  size_t leaf = 0;
  while (!problem->stocks[leaf].is_leaf || problem->stocks[leaf].leaf_demand != split->demand)
    leaf++;
  struct nest_layout told = *bare;
  told.root.blank = problem->stocks[leaf].stock;
  size_t first = run->plan->layout_count;
  add_layout(run, &material->groups[bare->stock], used, &told);
  struct stock_group *group = &leaf_groups[leaf];
  group->copies = ARENA_ARRAY(run->arena, bare->times * split->leaves, int64_t);
  group->count = 0;
  for (size_t l = first; l < run->plan->layout_count; l++) {
    const struct layout *layout = &run->plan->layouts[l];
    int64_t before = (layout->first_copy - 1) * split->leaves;
    for (int64_t n = 1; n <= layout->times * split->leaves; n++)
      group->copies[group->count++] = before + n;
  }
}

/* Leaves that nothing is cut from go back on the rack whole. */
static void add_spare_leaves(struct run *run, const struct material *material,
                             const struct stock_group *leaf_groups, const int64_t *used) {
  for (size_t s = 0; s < material->problem.stock_count; s++) {
    const struct nest_stock *leaf = &material->problem.stocks[s];
    int64_t left = leaf->is_leaf ? leaf_groups[s].count - used[s] : 0;
    int64_t from = used[s];
    struct nest_layout spare = {.times = left};
    spare.root = (struct node){.kind = NODE_WASTE, .length = leaf->length, .width = leaf->width};
    if (left > 0) add_layout(run, &leaf_groups[s], &from, &spare);
  }
}

/* Planks that are split come first: their leaves are known by their copies. */
static void add_layouts(struct run *run, const struct material *material,
                        const struct nest_answer *answer) {
  const struct nest_problem *problem = &material->problem;
  int64_t *used = ARENA_ARRAY(run->arena, problem->stock_count, int64_t);
  struct stock_group *groups = ARENA_ARRAY(run->arena, problem->stock_count, struct stock_group);
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (problem->stocks[s].given != NULL) continue;
    groups[s] = material->groups[s];
    if (problem->stocks[s].is_leaf) groups[s].count = 0;
  }
  for (size_t l = 0; l < answer->layout_count; l++)
    if (answer->layouts[l].root.kind == NODE_SPLIT)
      add_split(run, material, groups, &used[answer->layouts[l].stock], &answer->layouts[l]);
  for (size_t l = 0; l < answer->layout_count; l++) {
    size_t s = answer->layouts[l].stock;
    if (problem->stocks[s].given == NULL && answer->layouts[l].root.kind != NODE_SPLIT)
      add_layout(run, &groups[s], &used[s], &answer->layouts[l]);
  }
  add_spare_leaves(run, material, groups, used);
}

/* ---- what could not be placed ---- */

static bool has_blank(const struct run *run, size_t part) {
  for (size_t b = 0; b < run->blanks->count; b++)
    if (run->blanks->items[b].part == part) return true;
  return run->blanks->shares != NULL && run->blanks->shares[part].area > 0;
}

/* What is told of a part or match that found no place. */
struct want {
  size_t part; /* of a match its first member */
  int64_t missing;
  bool match;
  bool undecided; /* a search with more effort may find one */
};

static const char *why_no_set(const struct run *run, const struct want *want) {
  const char *match = run->project->parts[want->part].match;
  if (want->undecided)
    return arena_format(
        run->arena,
        "%lld sets found no plank for all their parts of match '%s' before the effort was spent, "
        "raise --effort, add longer or wider stock of that wood, or take the letter off a part",
        (long long)want->missing, match);
  return arena_format(
      run->arena,
      "%lld sets find no plank that holds all their parts of match '%s', add longer or wider "
      "stock of that wood, or take the letter off a part",
      (long long)want->missing, match);
}

static const char *why_no_place(const struct run *run, const struct want *want) {
  const char *name = run->project->parts[want->part].name;
  long long missing = want->missing, needed = run->plan->needed[want->part];
  if (want->undecided)
    return arena_format(
        run->arena,
        "%lld of %lld '%s' found no place before the effort was spent, raise --effort, add stock "
        "that takes it to rack.csv, raise a count in yard.csv, or make fewer sets",
        missing, needed, name);
  return arena_format(
      run->arena,
      "the rack and yard do not hold enough: %lld of %lld '%s' find no place, add stock that "
      "takes it to rack.csv, raise a count in yard.csv, or make fewer sets",
      missing, needed, name);
}

static void add_unplaced(struct run *run, const struct want *want) {
  struct unplaced *unplaced = ARENA_PUSH(run->arena, run->plan->unplaced, run->plan->unplaced_count,
                                         run->plan->unplaced_room);
  unplaced->part = want->part;
  unplaced->missing = want->missing;
  if (!has_blank(run, want->part))
    unplaced->why = arena_format(
        run->arena,
        "'%s' comes from no stock: none of a wood it may be made of is large and thick enough, add "
        "larger or thicker stock to rack.csv or yard.csv",
        run->project->parts[want->part].name);
  else
    unplaced->why = want->match ? why_no_set(run, want) : why_no_place(run, want);
}

/* ---- what is known of other numbers of sets too ---- */

struct nest_known {
  struct materials materials;
  struct quantities **quantities; /* per material, or NULL */
};

/* The problems of so many sets, strictly by the saw's minimums. */
static struct materials strict_materials(struct arena *arena, const struct project *project,
                                         const struct blanks *blanks, int64_t sets) {
  int64_t *needed = project_needed_of_each(arena, project, sets);
  struct materials materials = setup_materials(arena, project, blanks, needed, false, false);
  for (size_t m = 0; m < materials.count; m++)
    setup_rules(project, &materials.items[m], SAFETY_STRICT);
  return materials;
}

static struct nest_known *know(struct arena *arena, const struct project *project,
                               const struct blanks *blanks, int64_t sets, int64_t effort,
                               bool many) {
  struct nest_known *known = ARENA_NEW(arena, struct nest_known);
  known->materials = strict_materials(arena, project, blanks, sets);
  known->quantities = ARENA_ARRAY(arena, known->materials.count, struct quantities *);
  for (size_t m = 0; m < known->materials.count; m++)
    known->quantities[m] =
        quantities_solve(arena, &known->materials.items[m].problem, effort_percent(effort), many);
  return known;
}

struct nest_known *nest_know(struct arena *arena, const struct project *project,
                             const struct blanks *blanks, int64_t sets, int64_t effort) {
  return know(arena, project, blanks, sets, effort, true);
}

void nest_wish(struct arena *arena, const struct project *project, const struct blanks *blanks,
               int64_t sets, int64_t effort,
               void (*grant)(void *data, size_t blank, length_t length), void *data) {
  struct materials materials = strict_materials(arena, project, blanks, sets);
  for (size_t m = 0; m < materials.count; m++) {
    size_t count = 0;
    const struct load_wish *wishes =
        quantities_wishes(arena, &materials.items[m].problem, effort_percent(effort), &count);
    for (size_t w = 0; w < count; w++) grant(data, wishes[w].blank, wishes[w].length);
  }
}

/* ---- solving ---- */

struct solved {
  struct nest_answer answer;
  enum safety safety;
  int64_t steps;
};

struct solving {
  struct run *run;
  const struct materials *materials;
  struct solved *solved;          /* per material */
  const struct nest_known *known; /* or NULL */
};

/* The dearer of two plans gives way; what bounds either bounds both. */
static void keep_cheaper(struct nest_answer *answer, const struct nest_answer *known) {
  cost_t bound = answer->bound > known->bound ? answer->bound : known->bound;
  cost_t listed = answer->listed_bound > bound ? answer->listed_bound : bound;
  int64_t steps = answer->steps;
  if (known->complete && (!answer->complete || known->cost < answer->cost)) *answer = *known;
  answer->steps = steps;
  if (!answer->complete) return;
  answer->bound = bound < answer->cost ? bound : answer->cost;
  answer->listed_bound = listed < answer->cost ? listed : answer->cost;
}

static const struct quantities *quantities_of(const struct solving *solving, size_t number) {
  const struct nest_known *known = solving->known;
  if (known == NULL || known->materials.count != solving->materials->count) return NULL;
  return known->quantities[number];
}

/* Strictly by the saw's minimums where that is possible at all, else by less and less. One that
 * is interrupted has not shown that it is impossible. */
static void solve_material(void *data, size_t number, struct arena *own) {
  const struct solving *solving = data;
  struct run *run = solving->run;
  struct material *material = &solving->materials->items[number];
  struct solved *solved = &solving->solved[number];
  struct nest_options options = bare_options(run, &run->tellers[number]);
  const struct quantities *quantities = quantities_of(solving, number);
  struct nest_answer known = {.complete = false};
  setup_rules(run->project, material, SAFETY_STRICT);
  if (quantities != NULL && quantities_answer(quantities, own, &material->problem, &known) &&
      ((run->options->known != NULL && material->problem.loads != NULL) ||
       known.cost <= known.bound)) {
    solved->answer = known;
    return;
  }
  options.beside = solving->materials->count - 1;
  struct arena_mark mark = arena_mark(own);
  for (int safety = SAFETY_STRICT; safety <= SAFETY_NONE; safety++) {
    arena_release(own, mark); /* the answer before, which is not complete */
    solved->safety = (enum safety)safety;
    setup_rules(run->project, material, solved->safety);
    nest_solve(own, &material->problem, &options, &solved->answer);
    solved->steps += solved->answer.steps;
    if (safety == SAFETY_STRICT) keep_cheaper(&solved->answer, &known);
    if (solved->answer.complete || solved->answer.interrupted) return;
  }
}

/* Whether the demand is a match's of which no stock at all holds a set. */
static bool is_refuted(struct run *run, const struct nest_problem *problem, size_t demand) {
  for (size_t m = 0; m < problem->match_count; m++)
    if (problem->matches[m].demand == demand)
      return match_set_is_refuted(run->arena, problem, m, REFUTING_STEPS);
  return false;
}

static void add_answer(struct run *run, const struct material *material,
                       const struct nest_answer *answer) {
  add_layouts(run, material, answer);
  for (size_t d = 0; d < material->problem.demand_count; d++) {
    struct want want = {.part = material->parts[d],
                        .missing = answer->missing[d],
                        .match = d >= material->part_demands,
                        .undecided = answer->undecided};
    if (want.missing <= 0) continue;
    if (want.undecided && is_refuted(run, &material->problem, d)) want.undecided = false;
    add_unplaced(run, &want);
  }
}

static void add_solved(struct run *run, const struct material *material,
                       const struct solved *solved) {
  const struct nest_answer *answer = &solved->answer;
  if (answer->complete && solved->safety != SAFETY_STRICT) run->plan->unsafe_rules = true;
  if (answer->interrupted) run->plan->interrupted = true;
  run->plan->steps += solved->steps;
  add_answer(run, material, answer);
  run->cost += answer->cost;
  run->bound += answer->bound;
  run->listed_bound += answer->listed_bound;
}

/* Materials share no stock, so they are solved side by side. */
static void solve_materials(struct run *run, const struct materials *materials,
                            const struct nest_known *known) {
  size_t count = materials->count;
  struct solving solving = {run, materials, ARENA_ARRAY(run->arena, count, struct solved), known};
  struct arena **own = ARENA_ARRAY(run->arena, count, struct arena *);
  for (size_t m = 0; m < count; m++) own[m] = arena_create_child(run->arena);
  set_tellers(run, count);
  threads_run(guard_allows_threads() ? run->threads : NULL, run->arena, own, count, solve_material,
              &solving);
  for (size_t m = 0; m < count; m++) add_solved(run, &materials->items[m], &solving.solved[m]);
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
    if (used == 0 || stock->leaves > 0) continue;
    int64_t pack = stock->pack < 1 ? 1 : stock->pack;
    bool yard = stock->source == SOURCE_YARD;
    int64_t bought = yard ? (used + pack - 1) / pack * pack : 0;
    struct purchase *purchase =
        ARENA_PUSH(run->arena, plan->purchases, plan->purchase_count, plan->purchase_room);
    *purchase = (struct purchase){s, used, bought, stock->value * (yard ? bought : used)};
    plan->cost.stock += purchase->cost;
  }
}

/* Thousandths of a minute that fixing a part's blanks takes, whatever their size. */
static int64_t handling_of_blanks(const struct run *run) {
  const struct blanks *blanks = run->blanks;
  int64_t minutes = 0;
  size_t last = SIZE_MAX;
  for (size_t b = 0; b < blanks->count; b++) {
    const struct blank *blank = &blanks->items[b];
    if (blank->role != ROLE_BLANK || blank->load == NULL || blank->part == last) continue;
    last = blank->part;
    minutes += run->plan->needed[last] * blank->load->handling;
  }
  return minutes;
}

static int64_t handling_of_loads(const struct blanks *blanks, const struct node *node) {
  int64_t minutes = 0;
  if (node->kind == NODE_PIECE && blanks->items[node->blank].role == ROLE_LOAD)
    return blanks->items[node->blank].load->handling;
  for (size_t i = 0; i < node->child_count; i++)
    minutes += handling_of_loads(blanks, &node->children[i]);
  return minutes;
}

static cents_t cents_up(cost_t cost) { return (cost + COST_PER_CENT - 1) / COST_PER_CENT; }

static void add_costs(struct run *run) {
  struct plan *plan = run->plan;
  const struct shop *shop = &run->project->shop;
  int64_t blanks = handling_of_blanks(run);
  int64_t loads = 0;
  int64_t cuts = 0;
  for (size_t l = 0; l < plan->layout_count; l++) {
    const struct layout *layout = &plan->layouts[l];
    cuts += layout->cuts * layout->times;
    loads += handling_of_loads(run->blanks, &layout->root) * layout->times;
  }
  plan->cost.handling =
      cents_up(cuts * setup_cut_cost(shop) + setup_handling(shop, blanks + loads));
  plan->cost.total = plan->cost.stock + plan->cost.handling;
  plan->cost.bound = cents_up(run->bound + setup_handling(shop, blanks));
  plan->cost.listed_bound = cents_up(run->listed_bound + setup_handling(shop, blanks));
  if (plan->cost.bound > plan->cost.total) plan->cost.bound = plan->cost.total;
  if (plan->cost.listed_bound < plan->cost.bound) plan->cost.listed_bound = plan->cost.bound;
  if (plan->cost.listed_bound > plan->cost.total) plan->cost.listed_bound = plan->cost.total;
  plan->cost.proved = plan->cost.bound == plan->cost.total;
}

static void set_needed(struct run *run, int64_t sets) {
  run->plan->sets = sets;
  run->plan->needed = project_needed_of_each(run->arena, run->project, sets);
}

static void plan_sets(struct run *run, int64_t sets, bool rack_only) {
  set_needed(run, sets);
  struct materials materials =
      setup_materials(run->arena, run->project, run->blanks, run->plan->needed, rack_only, false);
  const struct nest_known *known = run->options->known;
  if (known == NULL && !rack_only)
    known = know(run->arena, run->project, run->blanks, sets, run->options->effort, false);
  solve_materials(run, &materials, rack_only ? NULL : known);
}

/* The layouts found for the most sets stand, unless spoilage leaves some of them over. */
static void plan_most(struct run *run) {
  set_tellers(run, 1);
  struct nest_options options = bare_options(run, &run->tellers[0]);
  struct most_sets most = most_sets_of_rack(run->arena, run->project, run->blanks, &options);
  run->plan->most = true;
  run->plan->most_stop = most.stop;
  run->plan->interrupted = most.answer.interrupted;
  if (!most.planned && most.sets > 0) {
    plan_sets(run, most.sets, true);
    return;
  }
  set_needed(run, most.sets);
  if (most.made > 0) add_answer(run, &most.material, &most.answer);
  const struct nest_problem *problem = &most.material.problem;
  for (size_t l = 0; l < most.answer.layout_count; l++) {
    const struct nest_layout *layout = &most.answer.layouts[l];
    if (problem->stocks[layout->stock].given != NULL && !problem->stocks[layout->stock].assembly) {
      cost_t not_made = problem->stocks[layout->stock].cost * layout->times;
      most.answer.cost -= not_made;
      most.answer.bound -= not_made;
    }
  }
  run->cost = most.answer.cost;
  run->bound = most.answer.bound < 0 ? 0 : most.answer.bound;
  run->plan->steps += most.answer.steps;
}

static struct run open_run(struct arena *arena, const struct project *project,
                           const struct blanks *blanks, const struct nest_run_options *options,
                           struct plan *plan) {
  struct run run = {
      .arena = arena, .project = project, .blanks = blanks, .options = options, .plan = plan};
  run.telling = ARENA_NEW(arena, pthread_mutex_t);
  if (pthread_mutex_init(run.telling, NULL) != 0) arena_raise(arena, STATUS_NO_MEMORY);
  arena_defer(arena, release_lock, run.telling);
  run.threads = threads_create(arena, options->threads);
  return run;
}

/* Why there is no plan: one line for each part that found no place, unless the search was
 * stopped before it could know. */
static enum status say_no_plan(const struct run *run, struct diagnostics *diagnostics) {
  const struct plan *plan = run->plan;
  if (plan->interrupted)
    diagnostics_add(diagnostics, SEVERITY_ERROR, NULL,
                    "interrupted before a complete plan was found, nothing was written");
  else if (plan->sets == 0)
    diagnostics_add(diagnostics, SEVERITY_ERROR, NULL, "the rack does not hold a single set: %s",
                    plan->most_stop);
  for (size_t u = 0; !plan->interrupted && u < plan->unplaced_count; u++)
    diagnostics_add(diagnostics, SEVERITY_ERROR, &run->project->parts[plan->unplaced[u].part].place,
                    "%s", plan->unplaced[u].why);
  return STATUS_NO_PLAN;
}

enum status nest_run(struct arena *arena, const struct project *project,
                     const struct blanks *blanks, const struct nest_run_options *options,
                     struct diagnostics *diagnostics, struct plan *plan) {
  *plan = (struct plan){0};
  struct run run = open_run(arena, project, blanks, options, plan);
  if (options->most)
    plan_most(&run);
  else
    plan_sets(&run, options->sets > 0 ? options->sets : project->shop.sets, false);
  if (plan->sets == 0) return say_no_plan(&run, diagnostics);
  for (size_t p = 0; p < project->part_count; p++)
    if (project->parts[p].way == WAY_GANG && plan->needed[p] > 0 &&
        (blanks->shares == NULL || project->parts[p].match != NULL))
      plan->gang_as_blanks = true;
  add_purchases(&run);
  add_costs(&run);
  return plan->unplaced_count == 0 ? STATUS_OK : say_no_plan(&run, diagnostics);
}
