#include "nest/set_relax.h"

#include <string.h>

#include "nest/bounded.h"
#include "nest/grid.h"
#include "nest/repack.h"

/* Wide enough for pieces times worths. */
__extension__ typedef __int128 wide_cost;

enum {
  LARGEST_WEIGHT = 1000, /* in the linear program's units */
  EXACT_STEPS = 200000,
  EXACT_COST = 8, /* a step of the exact search takes as long as so many cells */
  MOST_ROUNDS = 200,
  GOAL_SLACK = 2000,
  OPENING_STEPS = 1000,
  GRID_STEPS = 20000,
  DEPTHS = 3, /* of pricing */
  MANY_FILLINGS = 6,
  PACKING_LOOKS = 10000,
  REALISING_LOOKS = 150000,
  STEPS_PER_LOOK = 8 /* as many cells are about as much work */
};

static const int64_t PRICING_STEPS = INT64_C(20000000);
static const int64_t LISTING_STEPS = INT64_C(40000000);
static const int64_t REFUTING_STEPS = INT64_C(100000000);
static const int64_t FEW_STEPS = INT64_C(4000000);
static const double NOTHING_MISSING = 1e-7;

static double area_of(const struct nest_problem *problem, size_t demand) {
  for (size_t s = 0; s < problem->stock_count; s++)
    for (size_t o = 0; o < problem->stocks[s].option_count; o++) {
      const struct nest_option *option = &problem->stocks[s].options[o];
      if (option->demand == demand) return (double)option->length * (double)option->width;
    }
  return 0;
}

/* By area: then the worths begin near those at which planks are worth about their area. */
static void set_weights(const struct nest_problem *problem, cost_t *weight) {
  double largest = 1;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (area_of(problem, d) > largest) largest = area_of(problem, d);
  for (size_t d = 0; d < problem->demand_count; d++)
    weight[d] =
        (cost_t)(area_of(problem, d) / largest * LARGEST_WEIGHT * (double)COST_PER_CENT) + 1;
}

struct set_job set_job_open(struct search *search, const int64_t *demand) {
  const struct nest_problem *problem = search->problem;
  struct set_job job = {.search = search,
                        .demand = demand,
                        .stock_count = problem->stock_count - problem->demand_count,
                        .weight = ARENA_ARRAY(search->arena, problem->demand_count, cost_t),
                        .copy_price = ARENA_ARRAY(search->arena, problem->stock_count, cost_t *)};
  set_weights(problem, job.weight);
  for (size_t d = 0; d < problem->demand_count; d++)
    job.area += (double)demand[d] * area_of(problem, d);
  for (size_t s = 0; s < job.stock_count; s++)
    job.copy_price[s] = ARENA_ARRAY(search->arena, problem->demand_count, cost_t);
  return job;
}

/* One relaxation. */
struct relaxation {
  struct set_job *job;
  const struct set_node *node;
  struct master *master;
  size_t rows;     /* demands, then the node's */
  int64_t **limit; /* per group and demand */
  int64_t *counts; /* scratch, per row */
  cost_t *worth;   /* per row */
  cost_t *own;     /* scratch, per demand: in one group */
  int64_t *own_limit;
  cost_t *most;            /* per group */
  struct set_use *columns; /* of the master, in its order after those for what is missing */
  size_t column_count, column_room;
};

static bool is_in(const struct set_row *row, size_t group) { return row->groups >> group & 1; }

/* No plan needs more pieces than wanted: what comes from elsewhere cannot come from here. */
static void set_limits(struct relaxation *r) {
  size_t demands = r->job->search->problem->demand_count;
  for (size_t g = 0; g < r->node->group_count; g++) {
    r->limit[g] = ARENA_ARRAY(r->job->search->scratch, demands, int64_t);
    memcpy(r->limit[g], r->job->demand, demands * sizeof *r->limit[g]);
    for (size_t i = 0; i < r->node->row_count; i++) {
      const struct set_row *row = &r->node->rows[i];
      int64_t most = r->job->demand[row->demand];
      if (is_in(row, g) && row->at_most) most = row->value;
      if (!is_in(row, g) && !row->at_most) most -= row->value;
      if (most < 0) most = 0;
      if (most < r->limit[g][row->demand]) r->limit[g][row->demand] = most;
    }
  }
}

static void add_column(struct relaxation *r, size_t group, size_t column) {
  const struct search *search = r->job->search;
  size_t demands = search->problem->demand_count;
  const int64_t *counts = search->columns->items[column].counts;
  for (size_t d = 0; d < demands; d++)
    if (counts[d] > r->limit[group][d]) return;
  memcpy(r->counts, counts, demands * sizeof *counts);
  for (size_t i = 0; i < r->node->row_count; i++) {
    const struct set_row *row = &r->node->rows[i];
    int64_t own = is_in(row, group) ? counts[row->demand] : 0;
    r->counts[demands + i] = row->at_most ? -own : own;
  }
  master_add(r->master, &(struct master_column){group, 0, r->counts});
  *ARENA_PUSH(search->scratch, r->columns, r->column_count, r->column_room) =
      (struct set_use){group, column, 0};
}

/* What is missing of a demand, or of a row, in the stock row behind the groups. */
static void add_missing(struct relaxation *r) {
  size_t demands = r->job->search->problem->demand_count;
  for (size_t i = 0; i < r->rows; i++) {
    size_t demand = i < demands ? i : r->node->rows[i - demands].demand;
    memset(r->counts, 0, r->rows * sizeof *r->counts);
    r->counts[i] = 1;
    master_add(r->master,
               &(struct master_column){r->node->group_count, r->job->weight[demand], r->counts});
  }
}

static void open_relaxation(struct relaxation *r) {
  const struct search *search = r->job->search;
  const struct set_node *node = r->node;
  size_t demands = search->problem->demand_count;
  r->rows = demands + node->row_count;
  r->limit = ARENA_ARRAY(search->scratch, node->group_count, int64_t *);
  r->counts = ARENA_ARRAY(search->scratch, r->rows, int64_t);
  r->worth = ARENA_ARRAY(search->scratch, r->rows, cost_t);
  r->own = ARENA_ARRAY(search->scratch, demands, cost_t);
  r->own_limit = ARENA_ARRAY(search->scratch, demands, int64_t);
  r->most = ARENA_ARRAY(search->scratch, node->group_count, cost_t);
  set_limits(r);
  r->master = master_create(search->scratch, r->rows, node->group_count + 1);
  for (size_t d = 0; d < demands; d++) master_set_demand(r->master, d, r->job->demand[d]);
  for (size_t i = 0; i < node->row_count; i++)
    master_set_demand(r->master, demands + i,
                      node->rows[i].at_most ? -node->rows[i].value : node->rows[i].value);
  add_missing(r);
  for (size_t g = 0; g < node->group_count; g++) {
    master_set_stock(r->master, g, 0, node->groups[g].count);
    for (size_t c = 0; c < search->columns->count; c++)
      if (search->columns->items[c].stock == node->groups[g].stock) add_column(r, g, c);
  }
}

/* Worths of pieces in a group; those worth less than nothing are not made there. */
static void set_own_worths(struct relaxation *r, size_t group) {
  size_t demands = r->job->search->problem->demand_count;
  memcpy(r->own, r->worth, demands * sizeof *r->own);
  memcpy(r->own_limit, r->limit[group], demands * sizeof *r->own_limit);
  for (size_t i = 0; i < r->node->row_count; i++) {
    const struct set_row *row = &r->node->rows[i];
    cost_t price = r->worth[demands + i];
    if (is_in(row, group)) r->own[row->demand] += row->at_most ? -price : price;
  }
  for (size_t d = 0; d < demands; d++) {
    if (r->own[d] > 0) continue;
    r->own[d] = 0;
    r->own_limit[d] = 0;
  }
}

/* The better of two answers. */
static void take_priced(struct priced *priced, const struct priced *own) {
  if (own->bound < priced->bound) priced->bound = own->bound;
  if (own->worth <= priced->worth) return;
  priced->worth = own->worth;
  priced->root = own->root;
  priced->counts = own->counts;
}

/* By building blocks, which tells best where few copies are allowed, flaws forgotten: in a problem
 * whose stock takes all that this one's does. */
static struct bounded_answer bound_clear(struct relaxation *r, const struct nest_problem *problem,
                                         size_t stock, cost_t goal, int64_t steps,
                                         struct priced *priced) {
  struct search *search = r->job->search;
  struct bounded_answer answer;
  bounded_search_above(search->memory[stock].scratch, problem, &problem->stocks[stock], r->own,
                       r->own_limit, goal, steps, r->job->copy_price[stock], &answer);
  search->steps += EXACT_COST * answer.steps;
  if (answer.bound < priced->bound) priced->bound = answer.bound;
  return answer;
}

/* The same of stock without flaws, whose layouts are its own. */
static void price_exactly(struct relaxation *r, size_t stock, cost_t goal, struct priced *priced) {
  struct bounded_answer answer =
      bound_clear(r, r->job->search->problem, stock, goal, EXACT_STEPS, priced);
  if (answer.value <= priced->worth) return;
  priced->worth = answer.value;
  priced->root = answer.root;
  priced->counts = answer.counts;
}

/* Packs what a layout on the grid holds into the stock as it is. */
static void realise(struct relaxation *r, size_t stock, const int64_t *counts,
                    struct priced *priced) {
  struct search *search = r->job->search;
  size_t demands = search->problem->demand_count;
  struct arena *scratch = search->memory[stock].scratch;
  int64_t *available = ARENA_ARRAY(scratch, search->problem->stock_count, int64_t);
  available[stock] = 1;
  struct repack_result result;
  repack(scratch, search->problem, counts, available, NULL, 0, REALISING_LOOKS, ++search->seeds,
         &result);
  search->steps += STEPS_PER_LOOK * result.steps;
  if (result.layout_count == 0) return;
  cost_t worth = 0;
  for (size_t d = 0; d < demands; d++) worth += r->own[d] * result.layouts[0].counts[d];
  if (worth <= priced->worth) return;
  priced->worth = worth;
  priced->root = result.layouts[0].root;
  priced->counts = result.layouts[0].counts;
}

/* The same around flaws. A layout found there may do for the stock as well. */
static void bound_around(struct relaxation *r, const struct grid *grid, size_t stock, cost_t goal,
                         struct priced *priced) {
  struct search *search = r->job->search;
  if (grid->pricer == NULL) return;
  struct priced own;
  pricer_run_listed(search->memory[stock].scratch, grid->pricer, r->own, r->own_limit, goal,
                    LISTING_STEPS, r->job->copy_price[stock], &own);
  if (own.bound < priced->bound) priced->bound = own.bound;
  bool of_use = priced->bound > goal && priced->worth <= goal && own.worth > goal;
  if (of_use) realise(r, stock, own.counts, priced);
}

/* Layouts of the stock itself. */
static void price_around(struct relaxation *r, size_t stock, cost_t goal, int64_t steps,
                         struct priced *priced) {
  struct search *search = r->job->search;
  struct priced own;
  pricer_run_listed(search->memory[stock].scratch, search->pricers[stock], r->own, r->own_limit,
                    goal, steps, r->job->copy_price[stock], &own);
  take_priced(priced, &own);
}

/* A bound without flaws often says enough, and tells what copies cost; then a layout that pays is
 * sought. Where none is found, layouts near the bound are listed: on a grid, then as they are. */
static void price_flawed(struct relaxation *r, size_t stock, cost_t goal, int depth,
                         struct priced *priced) {
  const struct nest_problem *problem = r->job->search->problem;
  const struct grid *grid = grid_of(r->job->search, stock);
  if (depth == 0) {
    /* on the grid it takes less, the fewer lines that has */
    (void)bound_clear(r, grid->problem == NULL ? problem : grid->problem, stock, goal, GRID_STEPS,
                      priced);
    if (priced->bound > goal) price_around(r, stock, goal, FEW_STEPS, priced);
  } else if (depth == 1) {
    bound_around(r, grid, stock, goal, priced);
  } else if (pricer_can_list(r->job->search->pricers[stock], r->own_limit)) {
    price_around(r, stock, goal, LISTING_STEPS, priced);
  }
}

/* Without flaws the relaxation of the limits mostly does. */
static void price_clear(struct relaxation *r, size_t stock, cost_t goal, int depth,
                        struct priced *priced) {
  struct search *search = r->job->search;
  struct pricer *pricer = search->pricers[stock];
  if (depth == 0) {
    struct priced own;
    pricer_set_hurried(pricer, true);
    pricer_run(search->memory[stock].scratch, pricer, r->own, r->own_limit, goal, PRICING_STEPS,
               &own);
    pricer_set_hurried(pricer, false);
    take_priced(priced, &own);
  } else if (depth == 1) {
    price_exactly(r, stock, goal, priced);
  } else {
    price_around(r, stock, goal, LISTING_STEPS, priced);
  }
}

/* What the groups are worth more than what is wanted: no plan while it is below 0. */
static wide_cost excess_of(const struct relaxation *r) {
  size_t demands = r->job->search->problem->demand_count;
  wide_cost left = 0;
  for (size_t d = 0; d < demands; d++) left += (wide_cost)r->worth[d] * r->job->demand[d];
  for (size_t i = 0; i < r->node->row_count; i++) {
    const struct set_row *row = &r->node->rows[i];
    wide_cost own = (wide_cost)r->worth[demands + i] * row->value;
    left += row->at_most ? -own : own;
  }
  for (size_t g = 0; g < r->node->group_count; g++)
    left -= (wide_cost)r->most[g] * r->node->groups[g].count;
  return -left;
}

/* Whether the worths refute the node: planks are worth less than what is wanted. */
static bool refutes(const struct relaxation *r) { return excess_of(r) < 0; }

/* Worths over which a layout of a group pays. */
static cost_t goal_of(const struct relaxation *r, size_t group) {
  return GOAL_SLACK - master_stock_price(r->master, group);
}

/* Of planks with flaws no more is asked than what would refute the node, which is told much sooner
 * than that no layout pays. True when it does. */
static bool refute_around(struct relaxation *r, size_t group) {
  struct search *search = r->job->search;
  size_t stock = r->node->groups[group].stock;
  if (search->problem->stocks[stock].flaw_count == 0) return false;
  cost_t floor = goal_of(r, group);
  wide_cost enough = r->most[group] - excess_of(r) / r->node->groups[group].count - 1;
  if (enough > floor) floor = (cost_t)enough;
  if (r->most[group] <= floor) return false;
  struct arena_mark mark = arena_mark(search->memory[stock].scratch);
  struct priced priced = {.bound = r->most[group], .worth = INT64_MAX};
  set_own_worths(r, group);
  /* the saw's rules, and all sizes as they are, may tell more than the grid */
  (void)bound_clear(r, search->problem, stock, floor, EXACT_STEPS, &priced);
  if (priced.bound > floor) bound_around(r, grid_of(search, stock), stock, floor, &priced);
  if (priced.bound > floor) price_around(r, stock, floor, REFUTING_STEPS, &priced);
  r->most[group] = priced.bound;
  arena_release(search->memory[stock].scratch, mark);
  return refutes(r);
}

static bool refute_around_any(struct relaxation *r) {
  for (size_t g = 0; g < r->node->group_count; g++)
    if (refute_around(r, g)) return true;
  return false;
}

/* Adds a layout to the pool and to all groups of its stock; false when it is known. */
static bool add_layout(struct relaxation *r, size_t stock, const struct node *root,
                       const int64_t *counts) {
  struct columns *columns = r->job->search->columns;
  bool added = false;
  columns_add(columns, stock, root, counts, &added);
  for (size_t g = 0; added && g < r->node->group_count; g++)
    if (r->node->groups[g].stock == stock) add_column(r, g, columns->count - 1);
  return added;
}

/* Packing finds most layouts that pay in little time. True when one was added. */
static bool pack_group(struct relaxation *r, size_t group) {
  if (r->most[group] <= goal_of(r, group)) return false;
  struct search *search = r->job->search;
  size_t stock = r->node->groups[group].stock;
  struct arena *scratch = search->memory[stock].scratch;
  struct arena_mark mark = arena_mark(scratch);
  struct nest_layout layout;
  int64_t looks = 0;
  set_own_worths(r, group);
  bool any = repack_layout(scratch, search->problem, stock, r->own, r->own_limit, NULL,
                           PACKING_LOOKS, &layout, &looks);
  search->steps += STEPS_PER_LOOK * looks;
  cost_t worth = 0;
  for (size_t d = 0; any && d < search->problem->demand_count; d++)
    worth += r->own[d] * layout.counts[d];
  bool added = worth > goal_of(r, group) && add_layout(r, stock, &layout.root, layout.counts);
  arena_release(scratch, mark);
  return added;
}

/* Tells better what a layout of a group is worth at most, by a method that takes the longer the
 * larger the depth. True when a layout that pays was added. */
static bool price_group(struct relaxation *r, size_t group, int depth) {
  struct search *search = r->job->search;
  size_t stock = r->node->groups[group].stock;
  cost_t goal = goal_of(r, group);
  if (r->most[group] <= goal) return false;
  struct arena_mark mark = arena_mark(search->memory[stock].scratch);
  struct priced priced = {.bound = r->most[group]};
  set_own_worths(r, group);
  bool clear = search->problem->stocks[stock].flaw_count == 0;
  if (clear)
    price_clear(r, stock, goal, depth, &priced);
  else
    price_flawed(r, stock, goal, depth, &priced);
  r->most[group] = priced.bound;
  bool added = priced.worth > goal && add_layout(r, stock, &priced.root, priced.counts);
  arena_release(search->memory[stock].scratch, mark);
  return added;
}

static bool is_over(const struct relaxation *r) {
  return search_steps(r->job->search) >= r->job->stop || search_is_over(r->job->search);
}

/* What takes long is asked of one group after the other, and no more once a layout pays or the
 * node is refuted. True when a layout was added. */
static bool price_deeply(struct relaxation *r) {
  for (int depth = 1; depth < DEPTHS; depth++)
    for (size_t g = 0; g < r->node->group_count && !is_over(r); g++) {
      bool added = price_group(r, g, depth);
      if (added || refutes(r)) return added;
    }
  return false;
}

/* Whether all that is wanted would fill many planks: then limits on copies hardly matter. */
static bool wants_much(const struct relaxation *r, size_t stock) {
  const struct nest_stock *plank = &r->job->search->problem->stocks[stock];
  return r->job->area > MANY_FILLINGS * (double)plank->length * (double)plank->width;
}

/* Layouts that pay, the first ones found: by tables where they are filled soon and tell most, else
 * by packing; then the other way round. True when any was added. */
static bool price_groups(struct relaxation *r) {
  const struct nest_problem *problem = r->job->search->problem;
  bool any = false;
  for (size_t g = 0; g < r->node->group_count; g++) r->most[g] = COST_UNKNOWN;
  for (int pass = 0; pass < 2 && !any; pass++)
    for (size_t g = 0; g < r->node->group_count; g++) {
      size_t stock = r->node->groups[g].stock;
      bool tables_first = problem->stocks[stock].flaw_count == 0 && wants_much(r, stock);
      bool added = tables_first == (pass == 0) ? price_group(r, g, 0) : pack_group(r, g);
      any = any || added;
    }
  return any || (!refutes(r) && price_deeply(r));
}

static double read_worths(struct relaxation *r) {
  size_t demands = r->job->search->problem->demand_count;
  double missing = 0;
  for (size_t i = 0; i < r->rows; i++) {
    r->worth[i] = master_demand_price(r->master, i);
    size_t demand = i < demands ? i : r->node->rows[i - demands].demand;
    missing += master_value(r->master, i) * (double)r->job->weight[demand];
  }
  return missing;
}

static void read_uses(const struct relaxation *r, struct set_relaxed *relaxed) {
  for (size_t c = 0; c < r->column_count; c++) {
    double value = master_value(r->master, r->rows + c);
    if (value < NOTHING_MISSING) continue;
    struct set_use *use = &relaxed->uses[relaxed->use_count++];
    *use = r->columns[c];
    use->times = value;
  }
}

static enum set_outcome run(struct relaxation *r) {
  struct search *search = r->job->search;
  double all = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    all += (double)r->job->weight[d] * (double)r->job->demand[d];
  search->steps += OPENING_STEPS * (int64_t)r->column_count;
  for (int round = 0; round < MOST_ROUNDS && master_solve(r->master); round++) {
    search->steps += master_take_steps(r->master);
    if (read_worths(r) <= all * NOTHING_MISSING) return SET_HOLDS;
    bool any = price_groups(r);
    if (refutes(r) || (!any && refute_around_any(r))) return SET_REFUTED;
    if (!any || is_over(r)) return SET_NOT_TOLD;
  }
  return SET_NOT_TOLD;
}

enum set_outcome set_relax(struct set_job *job, const struct set_node *node,
                           struct set_relaxed *relaxed) {
  struct relaxation r = {.job = job, .node = node};
  open_relaxation(&r);
  enum set_outcome outcome = run(&r);
  relaxed->worth = r.worth;
  relaxed->most = r.most;
  relaxed->uses = ARENA_ARRAY(job->search->scratch, r.column_count + 1, struct set_use);
  relaxed->use_count = 0;
  if (outcome != SET_REFUTED) read_uses(&r, relaxed);
  master_close(r.master);
  return outcome;
}
