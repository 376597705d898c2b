#include "nest/improve.h"

#include <string.h>

#include "nest/fill.h"
#include "nest/match_set.h"
#include "nest/random.h"

/* Shaken worths lie between 1 - SHAKE/2 and 1 + SHAKE/2 thousandths of the plain ones. */
enum {
  RANKING_ROUNDS = 16,
  MOST_BARREN = 80,
  SHAKE = 1000,
  MOST_GIVEN_BACK = 5,
  QUICK_STEPS = 40000,
  THOROUGH_STEPS = 1000000,
  THOROUGH_EVERY = 4,
  SET_STEPS = 1000000,  /* for a layout that must hold a set of a match */
  FIRST_PLAN_SHARE = 8, /* of the steps */
  ROUNDS_ON = 600
};

struct improver {
  struct search *search;
  const struct region *whole;
  uint64_t random;
  cost_t *plain_worth;  /* per demand, by area */
  cost_t *worth;        /* of this round */
  int64_t *stock_shake; /* of this round: thousandths by which a stock seems dearer or cheaper */
  struct uses current;
  cost_t current_cost;
  int64_t layout_steps; /* work on one layout */
  int64_t asked_steps;  /* of the last layout priced so */
  int64_t stop;         /* steps of the search at which to end */
  bool first_plan;      /* made to its end: then layouts are only filled, not priced */
  size_t only;          /* match of which each layout is to hold a set; SIZE_MAX: any layouts */
};

static bool is_over(const struct improver *improver) {
  return search_is_over(improver->search) || search_steps(improver->search) >= improver->stop;
}

static int64_t random_below(struct improver *improver, int64_t limit) {
  return (int64_t)(random_draw(&improver->random) % (uint64_t)limit);
}

static const struct column *column_of(const struct improver *improver, const struct use *use) {
  return &improver->search->columns->items[use->column];
}

/* Worths by area, so that the stock cheapest for its area is worth just its price. */
static void set_plain_worths(struct improver *improver) {
  const struct nest_problem *problem = improver->search->problem;
  double price = 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (stock->given != NULL || stock->cost <= 0) continue;
    double here = (double)stock->cost / ((double)stock->length * (double)stock->width);
    if (price <= 0 || here < price) price = here;
  }
  if (price <= 0) price = 1e-6;
  for (size_t s = 0; s < problem->stock_count; s++)
    for (size_t o = 0; o < problem->stocks[s].option_count; o++) {
      const struct nest_option *option = &problem->stocks[s].options[o];
      cost_t worth = (cost_t)(price * 2 * (double)option->length * (double)option->width) +
                     2 * problem->cut_cost + 1;
      cost_t *known = &improver->plain_worth[option->demand];
      if (*known == 0 || worth < *known) *known = worth;
    }
}

/* Area that an assembly's parts take, by the loads' measure; 0 where it is no load. */
static double load_area(const struct nest_problem *problem, const struct nest_stock *assembly) {
  double area = 0;
  if (problem->loads == NULL || !assembly->assembly) return 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (assembly->given[d] > 0)
      area += (double)assembly->given[d] * (double)problem->loads->grown_area[d];
  return area;
}

static size_t row_taken(const struct nest_problem *problem, const struct nest_stock *assembly) {
  size_t row = 0;
  while (row + 1 < problem->demand_count && assembly->given[row] >= 0) row++;
  return row;
}

/* A part made in loads is worth its share of the load that holds it the most cheaply, a load
 * what is in it. */
static void add_load_worths(struct improver *improver) {
  const struct nest_problem *problem = improver->search->problem;
  double least = 0; /* worth of an area */
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    double area = load_area(problem, stock);
    if (area <= 0) continue;
    double worth = (double)improver->plain_worth[row_taken(problem, stock)] + (double)stock->cost;
    if (least <= 0 || worth / area < least) least = worth / area;
  }
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    double area = load_area(problem, stock);
    if (area > 0) improver->plain_worth[row_taken(problem, stock)] = (cost_t)(least * area) + 1;
  }
}

/* A set from one plank is worth half of its parts on top. */
static void add_match_worths(struct improver *improver) {
  const struct nest_problem *problem = improver->search->problem;
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    for (size_t i = 0; i < match->member_count; i++)
      improver->plain_worth[match->demand] +=
          improver->plain_worth[match->member[i]] * match->per_set[i] / 2;
  }
}

static void shake_worths(struct improver *improver) {
  for (size_t s = 0; s < improver->search->problem->stock_count; s++)
    improver->stock_shake[s] = 1000 - SHAKE / 2 + random_below(improver, SHAKE + 1);
  for (size_t d = 0; d < improver->search->problem->demand_count; d++)
    improver->worth[d] =
        improver->plain_worth[d] / 1000 * (1000 - SHAKE / 2 + random_below(improver, SHAKE + 1));
}

/* The demand that is open when a plan's layouts are left out, and the stock then left. */
static void open_rest(const struct improver *improver, const struct uses *kept,
                      struct region *rest) {
  const struct nest_problem *problem = improver->search->problem;
  memcpy(rest->demand, improver->whole->demand, problem->demand_count * sizeof *rest->demand);
  memcpy(rest->most, improver->whole->most, problem->stock_count * sizeof *rest->most);
  for (size_t u = 0; u < kept->count; u++) {
    const struct column *column = column_of(improver, &kept->items[u]);
    rest->most[column->stock] -= kept->items[u].times;
    for (size_t d = 0; d < problem->demand_count; d++) {
      rest->demand[d] -= kept->items[u].times * column->counts[d];
      if (rest->demand[d] < 0 && !nest_is_coupling(problem, d)) rest->demand[d] = 0;
    }
  }
}

/* ---- rows that couple ---- */

/* Planks of a stock split so that a leaf's row is met; false when there are too few. */
static void split_planks(struct improver *improver, struct region *rest, size_t s, size_t split,
                         struct uses *uses) {
  struct search *search = improver->search;
  const struct nest_split *into = &search->problem->stocks[s].splits[split];
  int64_t open = rest->demand[into->demand];
  if (open <= 0 || rest->most[s] <= 0) return;
  int64_t times = (open + into->leaves - 1) / into->leaves;
  if (times > rest->most[s]) times = rest->most[s];
  size_t column = columns_add_split(search->columns, s, split);
  *ARENA_PUSH(search->scratch, uses->items, uses->count, uses->room) = (struct use){column, times};
  rest->most[s] -= times;
  rest->demand[into->demand] -= times * into->leaves;
}

/* Takes what follows from the layouts taken so far: blanks of strips, planks of leaves. */
static void settle_couplings(struct improver *improver, struct region *rest, struct uses *uses) {
  struct search *search = improver->search;
  const struct nest_problem *problem = search->problem;
  if (problem->coupling_count == 0) return;
  int64_t *times = ARENA_ARRAY(search->scratch, problem->stock_count, int64_t);
  nest_assemble(problem, rest->demand, times);
  for (size_t s = 0; s < problem->stock_count; s++) {
    bool added = false;
    struct node nothing = {.kind = NODE_WASTE};
    for (size_t i = 0; i < problem->stocks[s].split_count; i++)
      split_planks(improver, rest, s, i, uses);
    if (times[s] == 0) continue;
    size_t column = columns_add(search->columns, s, &nothing, problem->stocks[s].given, &added);
    *ARENA_PUSH(search->scratch, uses->items, uses->count, uses->room) =
        (struct use){column, times[s]};
  }
}

/* Leaves of a stock that can still be had, and what each costs: nothing while there are some of
 * planks that are split already. */
static int64_t leaves_left(const struct nest_problem *problem, const struct region *rest, size_t s,
                           double *cost) {
  size_t row = problem->stocks[s].leaf_demand;
  int64_t left = rest->demand[row] < 0 ? -rest->demand[row] : 0;
  *cost = 0;
  if (left > 0) return left;
  for (size_t p = 0; p < problem->stock_count; p++) {
    const struct nest_stock *plank = &problem->stocks[p];
    for (size_t i = 0; i < plank->split_count; i++) {
      const struct nest_split *split = &plank->splits[i];
      if (split->demand != row || rest->most[p] <= 0) continue;
      left = split->leaves * rest->most[p];
      *cost =
          ((double)nest_stock_cost(plank, 1) + (double)split->cuts * (double)problem->cut_cost) /
          (double)split->leaves;
    }
  }
  return left;
}

/* Pieces of the stock that may still be cut. */
static int64_t stock_left(const struct nest_problem *problem, const struct region *rest, size_t s) {
  double cost = 0;
  if (!problem->stocks[s].is_leaf) return rest->most[s];
  int64_t leaves = leaves_left(problem, rest, s, &cost);
  return leaves < rest->most[s] ? leaves : rest->most[s];
}

static double piece_cost(const struct nest_problem *problem, const struct region *rest, size_t s) {
  double cost = 0;
  if (problem->stocks[s].is_leaf) leaves_left(problem, rest, s, &cost);
  return cost + (double)nest_stock_cost(&problem->stocks[s], 1);
}

/* Assemblies and planks split follow from the layouts that are kept, so they are never kept. */
static bool follows(const struct improver *improver, const struct use *use) {
  const struct column *column = column_of(improver, use);
  return column->root.kind == NODE_SPLIT ||
         improver->search->problem->stocks[column->stock].assembly;
}

static bool is_met(const struct nest_problem *problem, const int64_t *demand) {
  for (size_t d = 0; d < problem->demand_count; d++)
    if (demand[d] > 0) return false;
  return true;
}

static struct uses give_back_some(struct improver *improver) {
  struct uses kept = {NULL, 0, 0};
  int64_t pieces = 0;
  for (size_t u = 0; u < improver->current.count; u++) {
    const struct use *use = &improver->current.items[u];
    if (follows(improver, use)) continue;
    pieces += use->times;
    *ARENA_PUSH(improver->search->scratch, kept.items, kept.count, kept.room) = *use;
  }
  if (kept.count == 0) return kept; /* no draw of nothing */
  int64_t most = pieces < MOST_GIVEN_BACK ? pieces : MOST_GIVEN_BACK;
  int64_t out = 1 + random_below(improver, most);
  for (int64_t i = 0; i < out; i++) {
    int64_t pick = random_below(improver, pieces - i);
    size_t u = 0;
    while (pick >= kept.items[u].times) pick -= kept.items[u++].times;
    kept.items[u].times--;
  }
  return kept;
}

/* How a stock would be cut next; the smaller the price, the better. */
struct offer {
  size_t stock;
  struct priced priced;
  bool known;    /* asked for in this plan */
  bool covers;   /* nothing is left open after it */
  int64_t apart; /* steps that its stock's pricer does not count */
  double price;
};

/* An offer stays the best of its stock as long as it makes no surplus: what is open only
 * shrinks while a plan is made. */
static bool still_fits(const struct nest_problem *problem, const struct offer *offer,
                       const int64_t *limit) {
  for (size_t d = 0; d < problem->demand_count; d++)
    if (offer->priced.counts[d] > limit[d] && !nest_is_match(problem, d)) return false;
  return true;
}

/* Pieces of a match may be of use beyond their demand, but not a layout of them alone. */
static bool makes_wanted(const struct nest_problem *problem, const struct region *rest,
                         const struct offer *offer, const int64_t *limit) {
  for (size_t d = 0; d < problem->demand_count; d++) {
    int64_t wanted = nest_is_coupling(problem, d) ? limit[d] : rest->demand[d];
    if (offer->priced.counts[d] > 0 && wanted > 0) return true;
  }
  return false;
}

/* Whether nothing but leaves is open after an offer, its strips assembled. */
static bool covers_rest(const struct improver *improver, const struct region *rest,
                        const struct offer *offer) {
  const struct nest_problem *problem = improver->search->problem;
  for (size_t d = 0; problem->coupling_count == 0 && d < problem->demand_count; d++)
    if (offer->priced.counts[d] < rest->demand[d]) return false;
  if (problem->coupling_count == 0) return true;
  struct region after = region_copy(improver->search->scratch, problem, rest);
  for (size_t d = 0; d < problem->demand_count; d++) after.demand[d] -= offer->priced.counts[d];
  nest_assemble(problem, after.demand, NULL);
  for (size_t d = 0; d < problem->demand_count; d++)
    if (after.demand[d] > 0) return false;
  return true;
}

static void judge_offer(const struct improver *improver, const struct region *rest,
                        struct offer *offer) {
  const struct nest_problem *problem = improver->search->problem;
  offer->covers = covers_rest(improver, rest, offer);
  double cost = piece_cost(problem, rest, offer->stock) +
                (double)offer->priced.cuts * (double)problem->cut_cost;
  double shake = (double)improver->stock_shake[offer->stock];
  offer->price = offer->covers ? cost : cost / (double)offer->priced.worth * shake;
}

/* A question to several stocks: how would you be cut next? */
struct question {
  const struct improver *improver;
  const int64_t *limit; /* per demand: pieces of use */
  struct offer *offers; /* per stock */
  int64_t steps;        /* for one stock; below 0: none */
};

/* A layout without a look ahead: the dearest pieces first, each into the first waste it fits. */
static void fill_stock(const struct question *question, size_t s, struct priced *priced) {
  const struct search *search = question->improver->search;
  const struct nest_problem *problem = search->problem;
  const struct nest_stock *stock = &problem->stocks[s];
  const cost_t *worth = question->improver->worth;
  struct arena *scratch = search->memory[s].scratch;
  *priced = (struct priced){.bound = INT64_MAX,
                            .counts = ARENA_ARRAY(scratch, problem->demand_count, int64_t)};
  priced->root = (struct node){.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  fill_waste(scratch, problem, stock, worth, question->limit, &priced->root, priced->counts);
  nest_count_matches(problem, priced->counts);
  priced->cuts = cutting_count_cuts(&priced->root);
  priced->worth = -priced->cuts * problem->cut_cost;
  for (size_t d = 0; d < problem->demand_count; d++) priced->worth += priced->counts[d] * worth[d];
}

/* A layout with a set of a match in it, whatever is left of the steps, and other pieces in its
 * waste; one of no worth where none was found. */
static void ask_for_set(const struct question *question, size_t s, struct offer *offer) {
  const struct improver *improver = question->improver;
  const struct search *search = improver->search;
  const struct nest_problem *problem = search->problem;
  struct arena *scratch = search->memory[s].scratch;
  struct priced *priced = &offer->priced;
  *priced = (struct priced){.bound = INT64_MAX,
                            .counts = ARENA_ARRAY(scratch, problem->demand_count, int64_t)};
  if (match_set_lay(scratch, problem, s, improver->only, SET_STEPS, &offer->apart, &priced->root,
                    priced->counts) != SET_HELD)
    return;
  fill_waste(scratch, problem, &problem->stocks[s], improver->worth, question->limit, &priced->root,
             priced->counts);
  nest_count_matches(problem, priced->counts);
  priced->cuts = cutting_count_cuts(&priced->root);
  priced->worth = -priced->cuts * problem->cut_cost;
  for (size_t d = 0; d < problem->demand_count; d++)
    priced->worth += priced->counts[d] * improver->worth[d];
}

static void ask_stock(void *data, size_t s) {
  const struct question *question = data;
  const struct improver *improver = question->improver;
  struct pricer *pricer = improver->search->pricers[s];
  struct arena *scratch = improver->search->memory[s].scratch;
  struct offer *offer = &question->offers[s];
  offer->apart = 0;
  if (improver->only != SIZE_MAX)
    ask_for_set(question, s, offer);
  else if (question->steps < 0)
    fill_stock(question, s, &offer->priced);
  else if (improver->layout_steps <= QUICK_STEPS && pricer_is_slow(pricer))
    pricer_run_quickly(scratch, pricer, improver->worth, question->limit, &offer->priced);
  else if ((!improver->first_plan && !pricer_is_slow(pricer)) ||
           !pricer_run_limited(scratch, pricer, improver->worth, question->limit, &offer->priced) ||
           offer->priced.worth <= 0)
    pricer_run(scratch, pricer, improver->worth, question->limit, COST_UNKNOWN, question->steps,
               &offer->priced);
  offer->known = true;
  offer->stock = s;
}

/* Asks the stocks whose last offer does not hold any more. */
static void ask_stocks(struct improver *improver, const struct region *rest, const int64_t *limit,
                       struct offer *offers) {
  struct search *search = improver->search;
  size_t *asked = ARENA_ARRAY(search->scratch, search->problem->stock_count, size_t);
  size_t count = 0;
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    if (search->pricers[s] == NULL || stock_left(search->problem, rest, s) <= 0) continue;
    if (!offers[s].known || !still_fits(search->problem, &offers[s], limit)) asked[count++] = s;
  }
  if (count == 0) return;
  int64_t before = search_steps(search);
  struct question question = {improver, limit, offers, improver->layout_steps};
  int64_t left = is_over(improver) ? -1 : (improver->stop - before) / (int64_t)count;
  if (left < question.steps) question.steps = left;
  search_price_stocks(search, asked, count, improver->asked_steps * (int64_t)count, ask_stock,
                      &question);
  for (size_t i = 0; i < count; i++) search->steps += offers[asked[i]].apart;
  improver->asked_steps = (search_steps(search) - before) / (int64_t)count;
}

/* Whether a stock's offer can be taken; then it is judged. */
static bool has_offer(struct improver *improver, const struct region *rest, const int64_t *limit,
                      size_t s, struct offer *offer) {
  const struct search *search = improver->search;
  if (search->pricers[s] == NULL || stock_left(search->problem, rest, s) <= 0) return false;
  if (offer->priced.worth <= 0 || !makes_wanted(search->problem, rest, offer, limit)) return false;
  judge_offer(improver, rest, offer);
  return true;
}

/* One that ends the plan comes before all others, the cheapest first. */
static bool is_better(const struct offer *offer, const struct offer *best) {
  if (offer->covers != best->covers) return offer->covers;
  return offer->price < best->price;
}

/* How often a layout can be cut before it makes more than is wanted; at least once. */
static int64_t repeats(const struct improver *improver, const struct region *rest,
                       const struct offer *offer) {
  const struct nest_problem *problem = improver->search->problem;
  int64_t times = stock_left(problem, rest, offer->stock);
  int64_t *limit = ARENA_ARRAY(improver->search->scratch, problem->demand_count, int64_t);
  nest_useful_limits(problem, rest->demand, limit);
  for (size_t d = 0; d < problem->demand_count; d++) {
    int64_t count = offer->priced.counts[d];
    if (count <= 0 || nest_is_match(problem, d)) continue;
    int64_t wanted = nest_is_coupling(problem, d) ? limit[d] : rest->demand[d];
    if (wanted / count < times) times = wanted / count;
  }
  return times < 1 ? 1 : times;
}

/* offers[]: one per stock, kept from call to call while one plan is made. */
static bool cut_more(struct improver *improver, struct region *rest, struct offer *offers,
                     struct uses *uses) {
  struct search *search = improver->search;
  struct offer best = {.stock = SIZE_MAX};
  int64_t *limit = ARENA_ARRAY(search->scratch, search->problem->demand_count, int64_t);
  nest_useful_limits(search->problem, rest->demand, limit);
  ask_stocks(improver, rest, limit, offers);
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    if (!has_offer(improver, rest, limit, s, &offers[s])) continue;
    if (best.stock == SIZE_MAX || is_better(&offers[s], &best)) best = offers[s];
  }
  if (best.stock == SIZE_MAX) return false;
  bool added = false;
  int64_t times = repeats(improver, rest, &best);
  size_t column =
      columns_add(search->columns, best.stock, &best.priced.root, best.priced.counts, &added);
  *ARENA_PUSH(search->scratch, uses->items, uses->count, uses->room) = (struct use){column, times};
  rest->most[best.stock] -= times;
  for (size_t d = 0; d < search->problem->demand_count; d++) {
    rest->demand[d] -= times * search->columns->items[column].counts[d];
    if (rest->demand[d] < 0 && !nest_is_coupling(search->problem, d)) rest->demand[d] = 0;
  }
  settle_couplings(improver, rest, uses);
  return true;
}

/* Copies what is used into the search's arena, equal layouts together. */
static struct uses settle_uses(struct improver *improver, const struct uses *uses) {
  struct uses settled = {NULL, 0, 0};
  for (size_t u = 0; u < uses->count; u++)
    if (uses->items[u].times > 0)
      uses_add(improver->search->arena, &settled, uses->items[u].column, uses->items[u].times);
  return settled;
}

/* Lays out what is open in `rest`; pieces that find no stock are not made. False when that
 * gets dearer than `most`, or the steps end. */
static bool complete_plan(struct improver *improver, struct region *rest, struct uses *uses,
                          cost_t most) {
  struct search *search = improver->search;
  struct offer *offers = ARENA_ARRAY(search->scratch, search->problem->stock_count, struct offer);
  settle_couplings(improver, rest, uses);
  while (!is_met(search->problem, rest->demand) && cut_more(improver, rest, offers, uses))
    if (uses_cost(search->columns, uses) > most || (!improver->first_plan && is_over(improver)))
      return false;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (rest->demand[d] > 0 && !nest_is_coupling(search->problem, d))
      *ARENA_PUSH(search->scratch, uses->items, uses->count, uses->room) =
          (struct use){search->not_made[d], rest->demand[d]};
  return uses_cost(search->columns, uses) <= most;
}

static bool lacks_sets(const struct nest_problem *problem, const int64_t *demand) {
  for (size_t m = 0; m < problem->match_count; m++)
    if (demand[problem->matches[m].demand] > 0) return true;
  return false;
}

/* Lays out the sets of a match while there is stock that holds one. */
static void lay_sets(struct improver *improver, size_t match, struct region *rest,
                     struct uses *uses) {
  const struct search *search = improver->search;
  size_t demand = search->problem->matches[match].demand;
  struct offer *offers = ARENA_ARRAY(search->scratch, search->problem->stock_count, struct offer);
  improver->only = match;
  while (rest->demand[demand] > 0 && cut_more(improver, rest, offers, uses)) continue;
  improver->only = SIZE_MAX;
}

static void take_over(struct improver *improver, const struct uses *uses) {
  struct search *search = improver->search;
  improver->current = settle_uses(improver, uses);
  improver->current_cost = uses_cost(search->columns, uses);
  if (improver->current_cost > search->best_cost) return;
  struct uses plan = settle_uses(improver, uses);
  keep_plan(search, &plan);
}

static void try_round(struct improver *improver) {
  struct region rest =
      region_copy(improver->search->scratch, improver->search->problem, improver->whole);
  struct uses uses = give_back_some(improver);
  shake_worths(improver);
  open_rest(improver, &uses, &rest);
  if (complete_plan(improver, &rest, &uses, improver->current_cost)) take_over(improver, &uses);
}

static struct improver start(struct search *search, const struct region *whole) {
  size_t demands = search->problem->demand_count;
  struct improver improver = {.search = search,
                              .whole = whole,
                              .random = 20240229 + search->seeds++,
                              .plain_worth = ARENA_ARRAY(search->arena, demands, cost_t),
                              .worth = ARENA_ARRAY(search->arena, demands, cost_t),
                              .layout_steps = QUICK_STEPS,
                              .only = SIZE_MAX};
  improver.stock_shake = ARENA_ARRAY(search->arena, search->problem->stock_count, int64_t);
  for (size_t s = 0; s < search->problem->stock_count; s++) improver.stock_shake[s] = 1000;
  set_plain_worths(&improver);
  add_load_worths(&improver);
  add_match_worths(&improver);
  return improver;
}

/* At most so many steps from now on, of those left to the search. */
static void set_stop(struct improver *improver, int64_t steps) {
  const struct search *search = improver->search;
  int64_t stop = search_steps(search) + steps;
  improver->stop = stop < search->steps_allowed ? stop : search->steps_allowed;
}

/* A plan from nothing, at plain worths; `sets_first`: matches before all else. False when it lacks
 * sets of a match. */
static bool start_from_nothing(struct improver *improver, bool sets_first) {
  struct search *search = improver->search;
  struct arena_mark mark = arena_mark(search->scratch);
  struct arena_mark *marks =
      side_mark(search->scratch, search->memory, search->problem->stock_count);
  struct region rest = region_copy(search->scratch, search->problem, improver->whole);
  struct uses uses = {NULL, 0, 0};
  memcpy(improver->worth, improver->plain_worth,
         search->problem->demand_count * sizeof *improver->worth);
  for (size_t m = 0; sets_first && m < search->problem->match_count; m++)
    lay_sets(improver, m, &rest, &uses);
  if (complete_plan(improver, &rest, &uses, COST_UNKNOWN)) take_over(improver, &uses);
  bool whole = !lacks_sets(search->problem, rest.demand);
  side_release(search->memory, marks, search->problem->stock_count);
  arena_release(search->scratch, mark);
  return whole;
}

void construct(struct search *search, const struct region *region) {
  struct improver improver = start(search, region);
  improver.first_plan = true;
  set_stop(&improver, search->steps_allowed / FIRST_PLAN_SHARE);
  if (!start_from_nothing(&improver, false)) start_from_nothing(&improver, true);
}

/* Rounds from the current plan on; ends when it is as cheap as the bound, after a few more. */
static void run_rounds(struct improver *improver, cost_t bound, int rounds) {
  struct search *search = improver->search;
  size_t stocks = search->problem->stock_count;
  int64_t most_barren = MOST_BARREN * search_scale(search);
  int64_t barren = 0; /* rounds since the last cheaper plan */
  for (int round = 0; round < rounds && barren < most_barren; round++) {
    if (is_over(improver)) return;
    if (improver->current_cost <= bound && round >= RANKING_ROUNDS) return;
    cost_t before = improver->current_cost;
    struct arena_mark mark = arena_mark(search->scratch);
    struct arena_mark *marks = side_mark(search->scratch, search->memory, stocks);
    improver->layout_steps = round % THOROUGH_EVERY == 0 ? THOROUGH_STEPS : QUICK_STEPS;
    try_round(improver);
    side_release(search->memory, marks, stocks);
    arena_release(search->scratch, mark);
    barren = improver->current_cost < before ? 0 : barren + 1;
  }
}

void improve(struct search *search, const struct region *region, cost_t bound, int rounds,
             int64_t steps) {
  struct improver improver = start(search, region);
  if (search->best_cost >= COST_UNKNOWN || search->best.count == 0) return;
  improver.current = settle_uses(&improver, &search->best);
  improver.current_cost = search->best_cost;
  set_stop(&improver, steps);
  run_rounds(&improver, bound, rounds);
}

void improve_within(struct search *search, const struct region *region, cost_t bound, int rounds,
                    int64_t steps) {
  struct improver improver = start(search, region);
  set_stop(&improver, steps);
  improver.current_cost = COST_UNKNOWN;
  start_from_nothing(&improver, false);
  run_rounds(&improver, bound, rounds);
}

/* ---- beyond the usual ---- */

/* What there was before a run: when it finds no plan, all it made can go. */
struct snapshot {
  struct arena_mark mark;
  const struct column *items;
  size_t count;
  int64_t plans_kept;
};

static struct snapshot take_snapshot(const struct search *search) {
  return (struct snapshot){arena_mark(search->arena), search->columns->items,
                           search->columns->count, search->plans_kept};
}

/* A pool that moved to a larger place stays there. */
static void forget_since(struct search *search, struct snapshot *snapshot) {
  if (search->plans_kept == snapshot->plans_kept) search->columns->count = snapshot->count;
  if (search->plans_kept == snapshot->plans_kept && search->columns->items == snapshot->items)
    arena_release(search->arena, snapshot->mark);
  else
    *snapshot = take_snapshot(search);
}

static void tell(const struct search *search, cost_t bound) {
  const struct nest_options *options = search->options;
  if (options == NULL || options->progress == NULL) return;
  struct nest_progress progress = {search->best_cost, bound, search_steps(search)};
  options->progress(options->progress_data, &progress);
}

void improve_on(struct search *search, const struct region *region, cost_t bound) {
  struct snapshot snapshot = take_snapshot(search);
  if (search_scale(search) < 2) return;
  for (bool from_best = true; bound < search->best_cost; from_best = !from_best) {
    int64_t before = search_steps(search);
    if (from_best)
      improve(search, region, bound, ROUNDS_ON, search->steps_allowed);
    else
      improve_within(search, region, bound, ROUNDS_ON, search->steps_allowed);
    forget_since(search, &snapshot);
    tell(search, bound);
    if (search_is_over(search) || (!from_best && search_steps(search) == before)) return;
  }
}
