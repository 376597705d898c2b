#include "nest/near_plans.h"

#include <string.h>

#include "nest/dive.h"
#include "nest/grid.h"
#include "nest/near_best.h"
#include "nest/pool_exchange.h"
#include "nest/whole.h"

enum {
  PRICE_ROUNDS = 60,
  WEIGHING_SHARE = 4, /* of the steps, for what a stock is worth around flaws */
  PARTS = 16,         /* of the slack, that layouts may lose at first */
  PARTS_STEP = 4,
  FIRST_LISTS = 3,   /* of the steps left */
  FINDING_SHARE = 3, /* of those for one list, to find a plan; */
  EXCHANGE_SHARE = 3 /* and of these */
};

struct near_plans {
  struct search *search;
  const struct region *region;
  const cost_t *price;     /* per demand */
  int64_t *limit;          /* per demand */
  cost_t *most_worth;      /* per stock: of a layout */
  cost_t slack;            /* what the layouts of a plan may lose together */
  struct near_list *lists; /* per stock */
  cost_t **repeat_cost;    /* per stock and demand: what limits make copies cost */
  bool exact;              /* the lists can hold every layout that a plan may use */
};

static bool is_not_made(const struct search *search, size_t s) {
  return s >= search->problem->stock_count - search->problem->demand_count;
}

static bool is_used(const struct near_plans *plans, size_t s) {
  return plans->region->most[s] > 0 && !is_not_made(plans->search, s);
}

/* Around flaws too fine for it layouts are listed on a grid: what is listed then can hold more than
 * there is, and be no more than a refutation. */
static bool is_on_grid(const struct near_plans *plans, size_t s) {
  struct search *search = plans->search;
  return search->pricers[s] != NULL && pricer_is_slow(search->pricers[s]) &&
         !pricer_can_list(search->pricers[s], plans->limit) && grid_of(search, s)->pricer != NULL;
}

static struct pricer *lister(const struct near_plans *plans, size_t s) {
  return is_on_grid(plans, s) ? grid_of(plans->search, s)->pricer : plans->search->pricers[s];
}

/* Whatever the prices, a plan's layouts are worth the demand: together they lose no more, against
 * the most that layouts are worth, than these are worth more. False where stock is not cut. */
static bool weigh(struct near_plans *plans, int64_t steps) {
  struct search *search = plans->search;
  const struct nest_problem *problem = search->problem;
  plans->slack = 0;
  plans->exact = true;
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (!is_used(plans, s)) continue;
    if (search->pricers[s] == NULL || plans->region->most[s] > UINT32_MAX) return false;
    bool exact = false;
    cost_t most = pricer_most_worth(search->scratch, lister(plans, s), plans->price, plans->limit,
                                    steps, plans->repeat_cost[s], &exact);
    if (most < plans->most_worth[s]) plans->most_worth[s] = most;
    plans->exact = plans->exact && exact;
    plans->slack += plans->region->most[s] * plans->most_worth[s];
  }
  for (size_t d = 0; d < problem->demand_count; d++)
    plans->slack -= plans->price[d] * plans->region->demand[d];
  return true;
}

/* Lists the layouts that lose at most `loss`; true when none of them is missing. */
static bool list_layouts(struct near_plans *plans, cost_t loss, int64_t steps) {
  struct search *search = plans->search;
  bool all = true;
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    plans->lists[s] = (struct near_list){NULL, 0, 0};
    if (!is_used(plans, s)) continue;
    int64_t own = steps;
    all = pricer_list_near(search->scratch, lister(plans, s), plans->price, plans->limit,
                           plans->repeat_cost[s], plans->most_worth[s] - loss, &own,
                           &plans->lists[s]) &&
          all;
    steps -= own;
  }
  return all;
}

/* Layouts on offer: those listed and those at hand. */
struct offers {
  struct whole_layout *layouts;
  const struct near_entry **entry; /* NULL: at hand, */
  size_t *column;                  /* as this column */
  size_t count;
};

static void offer(struct offers *offers, size_t stock, const int64_t *counts,
                  const struct near_entry *entry, size_t column) {
  offers->layouts[offers->count] = (struct whole_layout){stock, counts};
  offers->entry[offers->count] = entry;
  offers->column[offers->count++] = column;
}

static cost_t worth_of(const struct near_plans *plans, const int64_t *counts) {
  cost_t worth = 0;
  for (size_t d = 0; d < plans->search->problem->demand_count; d++)
    worth += plans->price[d] * counts[d];
  return worth;
}

/* Where all are listed, those at hand add nothing. */
static struct offers list_offers(const struct near_plans *plans, bool all) {
  struct search *search = plans->search;
  const struct nest_problem *problem = search->problem;
  const struct columns *columns = search->columns;
  size_t most = columns->count;
  for (size_t s = 0; s < problem->stock_count; s++) most += plans->lists[s].count;
  struct offers offers = {ARENA_ARRAY(search->scratch, most, struct whole_layout),
                          ARENA_ARRAY(search->scratch, most, const struct near_entry *),
                          ARENA_ARRAY(search->scratch, most, size_t), 0};
  for (size_t s = 0; s < problem->stock_count; s++)
    for (size_t i = 0; i < plans->lists[s].count; i++) {
      int64_t *counts = ARENA_ARRAY(search->scratch, problem->demand_count, int64_t);
      near_entry_counts(plans->lists[s].items[i], problem->demand_count, counts);
      offer(&offers, s, counts, plans->lists[s].items[i], SIZE_MAX);
    }
  for (size_t c = 0; c < columns->count && !all; c++) {
    const struct column *column = &columns->items[c];
    if (is_used(plans, column->stock) &&
        worth_of(plans, column->counts) >= plans->most_worth[column->stock] - plans->slack)
      offer(&offers, column->stock, column->counts, NULL, c);
  }
  return offers;
}

/* Builds a layout that is listed; false where it breaks a rule the lists do not know. */
static bool build_listed(const struct near_plans *plans, const struct offers *offers, size_t i,
                         struct node *root) {
  struct search *search = plans->search;
  const struct nest_stock *stock = &search->problem->stocks[offers->layouts[i].stock];
  *root = (struct node){.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  near_entry_build(search->scratch, stock, offers->entry[i], root);
  return cutting_obeys(root, &stock->rules);
}

static bool is_allowed(const struct near_plans *plans, const struct offers *offers, size_t i) {
  struct node root;
  return !is_on_grid(plans, offers->layouts[i].stock) && build_listed(plans, offers, i, &root);
}

static size_t column_of(const struct near_plans *plans, const struct offers *offers, size_t i) {
  if (offers->entry[i] == NULL) return offers->column[i];
  struct search *search = plans->search;
  size_t s = offers->layouts[i].stock;
  struct node root;
  build_listed(plans, offers, i, &root);
  int64_t *counts = ARENA_ARRAY(search->scratch, search->problem->demand_count, int64_t);
  bool added = false;
  pricer_count(search->pricers[s], &root, counts);
  return columns_add(search->columns, s, &root, counts, &added);
}

static void keep_found(const struct near_plans *plans, const struct offers *offers,
                       const int64_t *taken) {
  struct uses uses = {NULL, 0, 0};
  for (size_t i = 0; i < offers->count; i++) {
    if (taken[i] == 0) continue;
    uses_add(plans->search->arena, &uses, column_of(plans, offers, i), taken[i]);
  }
  keep_plan(plans->search, &uses);
}

/* A plan among the layouts on offer: by exchanges, then by branch and cut. */
static bool find_plan(const struct near_plans *plans, const struct offers *offers, int64_t steps,
                      int64_t *taken) {
  struct search *search = plans->search;
  const struct nest_problem *problem = search->problem;
  int64_t *most = ARENA_ARRAY(search->scratch, problem->stock_count, int64_t);
  struct pool_layout *layouts = ARENA_ARRAY(search->scratch, offers->count, struct pool_layout);
  for (size_t s = 0; s < problem->stock_count; s++)
    most[s] = is_used(plans, s) ? plans->region->most[s] : 0;
  for (size_t i = 0; i < offers->count; i++)
    layouts[i] = (struct pool_layout){offers->layouts[i].stock, offers->layouts[i].counts,
                                      problem->stocks[offers->layouts[i].stock].cost};
  struct pool_question question = {.problem = problem,
                                   .demand = plans->region->demand,
                                   .most = most,
                                   .layouts = layouts,
                                   .layout_count = offers->count,
                                   .below = COST_UNKNOWN,
                                   .steps = steps / EXCHANGE_SHARE};
  bool found = pool_exchange(search->scratch, &question, plans->price, ++search->seeds, taken);
  search->steps += question.steps;
  if (found) return true;
  question.steps = steps - question.steps;
  found = pool_fill(search->scratch, &question, taken) == POOL_FOUND;
  search->steps += question.steps;
  return found;
}

/* Whether there are whole numbers of the layouts on offer that make a plan. */
static enum whole_answer refute(const struct near_plans *plans, const struct offers *offers,
                                int64_t steps, int64_t *taken) {
  struct search *search = plans->search;
  const struct nest_problem *problem = search->problem;
  cost_t *missing = ARENA_ARRAY(search->scratch, problem->demand_count, cost_t);
  cost_t dearest = COST_PER_CENT;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (plans->price[d] > dearest) dearest = plans->price[d];
  for (size_t d = 0; d < problem->demand_count; d++) missing[d] = dearest;
  struct whole_question question = {.demand_count = problem->demand_count,
                                    .stock_count = problem->stock_count,
                                    .demand = plans->region->demand,
                                    .most = plans->region->most,
                                    .missing_cost = missing,
                                    .layouts = offers->layouts,
                                    .layout_count = offers->count,
                                    .steps = steps};
  enum whole_answer answer = whole_search(search->scratch, &question, taken);
  search->steps += question.steps;
  return answer;
}

/* Leaves out layouts that break rules the lists do not know. */
static void leave_out(const struct near_plans *plans, struct offers *offers) {
  size_t kept = 0;
  for (size_t i = 0; i < offers->count; i++) {
    struct search *search = plans->search;
    struct arena_mark mark = arena_mark(search->scratch);
    bool out = offers->entry[i] != NULL && !is_allowed(plans, offers, i);
    arena_release(search->scratch, mark);
    if (out) continue;
    offers->layouts[kept] = offers->layouts[i];
    offers->entry[kept] = offers->entry[i];
    offers->column[kept++] = offers->column[i];
  }
  offers->count = kept;
}

/* Looks for a plan among the layouts on offer; where they are all there are, for none. */
static enum whole_answer look_for_plan(const struct near_plans *plans, bool listed, bool all,
                                       int64_t steps) {
  struct search *search = plans->search;
  struct offers offers = list_offers(plans, listed);
  struct offers allowed = list_offers(plans, listed);
  leave_out(plans, &allowed);
  if (allowed.count < offers.count) {
    allowed = list_offers(plans, false);
    leave_out(plans, &allowed);
  }
  int64_t *taken = ARENA_ARRAY(search->scratch, offers.count + allowed.count, int64_t);
  if (find_plan(plans, &allowed, steps / FINDING_SHARE, taken)) {
    keep_found(plans, &allowed, taken);
    return WHOLE_FOUND;
  }
  if (!all) return WHOLE_UNKNOWN;
  enum whole_answer answer = refute(plans, &offers, steps, taken);
  if (answer == WHOLE_FOUND && allowed.count == offers.count) keep_found(plans, &offers, taken);
  return answer;
}

/* Layouts that lose little are few and mostly do; that there is no plan is shown only by all that
 * lose no more than the slack. */
static bool widen(struct near_plans *plans, int64_t steps) {
  struct search *search = plans->search;
  int64_t left = search->steps_allowed - search_steps(search);
  if (steps > left) steps = left;
  int64_t stop = search_steps(search) + steps;
  for (int part = PARTS; part > 0; part /= PARTS_STEP) {
    left = stop - search_steps(search);
    if (left <= 0 || search_is_over(search)) return false;
    /* where even the nearest take long, all take too long */
    bool listed =
        list_layouts(plans, plans->slack / part, part > 1 ? left / FIRST_LISTS : left / 4 * 3);
    bool all = listed && part == 1 && plans->exact;
    left = stop - search_steps(search);
    enum whole_answer answer =
        look_for_plan(plans, listed, all, left > steps / 8 ? left : steps / 8);
    if (answer != WHOLE_UNKNOWN) return answer == WHOLE_NONE;
    if (!listed) return false;
  }
  return false;
}

/* Of rows that couple and of cuts the lists know nothing. */
static bool is_plain(const struct search *search) {
  const struct nest_problem *problem = search->problem;
  if (problem->cut_cost != 0 || problem->coupling_count > 0 || problem->match_count > 0)
    return false;
  if (problem->demand_count > NEAR_DEMANDS) return false;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (problem->demand[d] > NEAR_MOST_COPIES) return false;
  return true;
}

/* The prices of the same stock where less of it may be used: so that they tell dear from cheap.
 * None is 0: layouts that are worth nothing are not listed, and what is wanted must not be missed.
 */
static const cost_t *find_prices(struct search *search, const struct region *region) {
  struct region open = region_copy(search->scratch, search->problem, region);
  struct generated generated;
  cost_t best = search->best_cost;
  memset(open.least, 0, search->problem->stock_count * sizeof *open.least);
  search->best_cost = COST_UNKNOWN;
  generate(search, &open, PRICE_ROUNDS, &generated);
  search->best_cost = best;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (generated.price[d] < 1) generated.price[d] = 1;
  return generated.price;
}

/* Copies worths, none 0, and what layouts are worth at most: each piece may be worth one more. */
static void take_worths(struct near_plans *plans, const struct near_worths *known) {
  struct search *search = plans->search;
  const struct nest_problem *problem = search->problem;
  for (size_t s = 0; s < problem->stock_count; s++) plans->most_worth[s] = INT64_MAX;
  if (known == NULL) {
    plans->price = find_prices(search, plans->region);
    return;
  }
  cost_t *price = ARENA_ARRAY(search->scratch, problem->demand_count, cost_t);
  cost_t more = 0;
  for (size_t d = 0; d < problem->demand_count; d++) {
    price[d] = known->worth[d] < 1 ? 1 : known->worth[d];
    if (known->worth[d] < 1) more += plans->limit[d];
  }
  plans->price = price;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (is_used(plans, s) && known->most[s] < COST_UNKNOWN)
      plans->most_worth[s] = known->most[s] + more;
}

bool near_plans_refute(struct search *search, const struct region *region,
                       const struct near_worths *known, int64_t steps) {
  const struct nest_problem *problem = search->problem;
  bool refuted = false;
  if (!is_plain(search)) return false;
  struct arena_mark mark = arena_mark(search->scratch);
  struct near_plans plans = {.search = search, .region = region};
  plans.limit = ARENA_ARRAY(search->scratch, problem->demand_count, int64_t);
  plans.most_worth = ARENA_ARRAY(search->scratch, problem->stock_count, cost_t);
  plans.lists = ARENA_ARRAY(search->scratch, problem->stock_count, struct near_list);
  memcpy(plans.limit, region->demand, problem->demand_count * sizeof *plans.limit);
  plans.repeat_cost = ARENA_ARRAY(search->scratch, problem->stock_count, cost_t *);
  for (size_t s = 0; s < problem->stock_count; s++)
    plans.repeat_cost[s] = ARENA_ARRAY(search->scratch, problem->demand_count, cost_t);
  take_worths(&plans, known);
  if (weigh(&plans, steps / WEIGHING_SHARE))
    refuted = plans.slack < 0 ? plans.exact : widen(&plans, steps);
  arena_release(search->scratch, mark);
  return refuted;
}
