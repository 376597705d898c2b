#include "nest/generate.h"

#include <string.h>

#include "nest/grid.h"
#include "nest/tolerance.h"

/* At an effort of 100 percent. */
static const int64_t USUAL_STEPS = INT64_C(120000000);

/* For one stock in one round: whoever stops the search does not wait long for the end of it. */
static const int64_t MOST_PRICING_STEPS = INT64_C(20000000);

/* Prices are drawn so much of the way to the best ones. */
enum { DRAWN_PART = 5, DRAWN_SHARE = 10 };

/* Of work in the linear program, per column at hand. */
enum { OPENING_STEPS = 1000, PRICING_SHARE = 400 };

/* Wide enough for pieces times money. */
__extension__ typedef __int128 wide_cost;

struct region region_copy(struct arena *arena, const struct nest_problem *problem,
                          const struct region *region) {
  struct region copy = {ARENA_ARRAY(arena, problem->demand_count, int64_t),
                        ARENA_ARRAY(arena, problem->stock_count, int64_t),
                        ARENA_ARRAY(arena, problem->stock_count, int64_t)};
  memcpy(copy.demand, region->demand, problem->demand_count * sizeof *copy.demand);
  memcpy(copy.least, region->least, problem->stock_count * sizeof *copy.least);
  memcpy(copy.most, region->most, problem->stock_count * sizeof *copy.most);
  return copy;
}

int64_t search_steps(const struct search *search) {
  int64_t steps = search->steps + grid_steps(search);
  for (size_t s = 0; s < search->problem->stock_count; s++)
    if (search->pricers[s] != NULL) steps += pricer_steps(search->pricers[s]);
  return steps;
}

bool search_is_over(struct search *search) {
  const struct nest_options *options = search->options;
  if (!search->interrupted && options != NULL && options->stop != NULL)
    search->interrupted = options->stop(options->stop_data);
  return search->interrupted || search_steps(search) >= search->steps_allowed;
}

int64_t search_scale(const struct search *search) {
  return search->steps_allowed < USUAL_STEPS ? 1 : search->steps_allowed / USUAL_STEPS;
}

void search_price_stocks(struct search *search, const size_t *stocks, size_t count,
                         int64_t expected_steps, side_work *work, void *data) {
  struct side_job job = {.threads = search->options == NULL ? NULL : search->options->threads,
                         .arena = search->scratch,
                         .memory = search->memory,
                         .work = work,
                         .data = data};
  side_run(&job, stocks, count, expected_steps);
}

/* Shadow prices of one round, and what pricing made of them. */
struct round {
  struct search *search;
  int64_t *limit;       /* per demand: pieces of use in one layout */
  int64_t most_pieces;  /* of stock, that a plan can use */
  cost_t *plain_price;  /* per demand: of the linear program */
  cost_t *demand_price; /* the same, drawn towards those of the best bound so far */
  cost_t *good_price;   /* those; not drawn there where no_good */
  bool no_good;
  bool drawn;
  cost_t *most_worth;   /* per stock: bound on the worth of a layout */
  size_t *priced_stock; /* the stocks to price */
  size_t priced_count;
  cost_t *goal;          /* per stock: a layout worth more pays */
  struct priced *priced; /* per stock, in its scratch memory */
  int64_t steps;         /* for one stock */
};

/* Pieces of a stock that a plan no dearer than the best can use at most, leaves apart. */
static int64_t affordable_most(const struct round *round, const struct region *region, size_t s) {
  const struct search *search = round->search;
  const struct nest_stock *stock = &search->problem->stocks[s];
  int64_t most = round->most_pieces;
  if (most < region->least[s]) most = region->least[s];
  if (region->most[s] < most) most = region->most[s];
  if (stock->cost > 0 && search->best_cost / stock->cost < most)
    most = search->best_cost / stock->cost;
  return most < region->least[s] ? region->least[s] : most;
}

/* Leaves there are at most: those at hand, and those of the planks a plan can split. */
static int64_t most_leaves(const struct round *round, const struct region *region, size_t demand) {
  const struct nest_problem *problem = round->search->problem;
  int64_t most = region->demand[demand] < 0 ? -region->demand[demand] : 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *plank = &problem->stocks[s];
    for (size_t i = 0; i < plank->split_count; i++)
      if (plank->splits[i].demand == demand)
        most += plank->splits[i].leaves * affordable_most(round, region, s);
  }
  return most;
}

static int64_t useful_most(const struct round *round, const struct region *region, size_t s) {
  const struct nest_stock *stock = &round->search->problem->stocks[s];
  int64_t most = affordable_most(round, region, s);
  if (!stock->is_leaf) return most;
  int64_t leaves = most_leaves(round, region, stock->leaf_demand);
  if (leaves < most) most = leaves;
  return most < region->least[s] ? region->least[s] : most;
}

/* The least of cost(n) - n * worth over the counts allowed: linear between whole packs. */
static wide_cost least_net_cost(const struct nest_stock *stock, int64_t least, int64_t most,
                                cost_t worth) {
  int64_t pack = stock->pack < 1 ? 1 : stock->pack;
  int64_t tries[4] = {least, (least + pack - 1) / pack * pack, most / pack * pack, most};
  wide_cost best = 0;
  bool any = false;
  for (size_t t = 0; t < 4; t++) {
    if (tries[t] < least || tries[t] > most) continue;
    wide_cost net = (wide_cost)nest_stock_cost(stock, tries[t]) - (wide_cost)tries[t] * worth;
    if (!any || net < best) best = net;
    any = true;
  }
  return best;
}

static cost_t to_cost(wide_cost bound) {
  if (bound > COST_UNKNOWN) return COST_UNKNOWN;
  return bound < -COST_UNKNOWN ? -COST_UNKNOWN : (cost_t)bound;
}

/* The share of the prices at which no layout pays. At a share of at most 1 no layout is worth
 * more than that share of its bound: what its cuts take is not scaled. */
struct share {
  cost_t part, of;
};

/* Lagrangian bound: any demand prices >= 0 and any upper bounds on layout worths give one. */
static cost_t bound_at(const struct search *search, const struct region *region,
                       const struct round *round, struct share share) {
  const struct nest_problem *problem = search->problem;
  wide_cost bound = 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    bound += (wide_cost)round->demand_price[d] * share.part / share.of * region->demand[d];
  for (size_t s = 0; s < problem->stock_count; s++) {
    wide_cost worth = (wide_cost)round->most_worth[s] * share.part;
    worth = share.part == share.of || worth <= 0 ? round->most_worth[s] : worth / share.of + 1;
    bound += least_net_cost(&problem->stocks[s], region->least[s], useful_most(round, region, s),
                            to_cost(worth));
  }
  return to_cost(bound);
}

/* Farley, Oper. Res. 38 (1990): scaled down until no layout pays, prices give a bound that does
 * not grow worse with the pieces of stock. */
static struct share paying_share(const struct search *search, const struct region *region,
                                 const struct round *round) {
  struct share share = {1, 1};
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    cost_t cost = search->problem->stocks[s].cost;
    cost_t worth = round->most_worth[s];
    if (cost <= 0 || worth <= cost || useful_most(round, region, s) <= 0) continue;
    if ((wide_cost)cost * share.of < (wide_cost)worth * share.part)
      share = (struct share){cost, worth};
  }
  return share;
}

/* Units of rows that couple are taken too: roundings of their prices would count the wrong way. */
static cost_t proven_bound(const struct search *search, const struct region *region,
                           const struct round *round) {
  cost_t bound = bound_at(search, region, round, (struct share){1, 1});
  if (search->problem->coupling_count > 0) return bound;
  cost_t scaled = bound_at(search, region, round, paying_share(search, region, round));
  return scaled > bound ? scaled : bound;
}

struct master *open_master(const struct search *search, const struct region *region) {
  const struct nest_problem *problem = search->problem;
  struct master *master =
      master_create(search->scratch, problem->demand_count, problem->stock_count);
  for (size_t d = 0; d < problem->demand_count; d++)
    master_set_demand(master, d, region->demand[d]);
  for (size_t s = 0; s < problem->stock_count; s++)
    master_set_stock(master, s, region->least[s],
                     region->most[s] >= INT64_MAX / 4 ? -1 : region->most[s]);
  for (size_t c = 0; c < search->columns->count; c++) {
    const struct column *column = &search->columns->items[c];
    master_add(master, &(struct master_column){column->stock, column->cost, column->counts});
  }
  return master;
}

static cost_t given_worth(const struct search *search, const struct round *round, size_t s) {
  const int64_t *given = search->problem->stocks[s].given;
  wide_cost worth = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    worth += (wide_cost)given[d] * round->demand_price[d];
  return worth > COST_UNKNOWN ? COST_UNKNOWN : (cost_t)worth;
}

/* What one piece of stock split so is worth, less its cuts. */
static cost_t split_worth(const struct search *search, const struct round *round,
                          const struct nest_split *split) {
  wide_cost worth = (wide_cost)split->leaves * round->demand_price[split->demand] -
                    (wide_cost)split->cuts * search->problem->cut_cost;
  return worth > COST_UNKNOWN ? COST_UNKNOWN : (cost_t)worth;
}

/* The most a layout of a stock is worth: `cut` when it is cut, without the leaf it takes; or split.
 */
static cost_t most_worth_of(const struct search *search, const struct round *round, size_t s,
                            cost_t cut) {
  const struct nest_stock *stock = &search->problem->stocks[s];
  cost_t most = stock->is_leaf ? cut - round->demand_price[stock->leaf_demand] : cut;
  for (size_t i = 0; i < stock->split_count; i++) {
    cost_t worth = split_worth(search, round, &stock->splits[i]);
    if (worth > most) most = worth;
  }
  return most;
}

/* Worths over which a layout of the stock pays. */
static cost_t paying_worth(const struct search *search, const struct master *master,
                           const struct round *round, size_t s) {
  const struct nest_stock *stock = &search->problem->stocks[s];
  cost_t threshold = stock->cost - master_stock_price(master, s);
  if (stock->is_leaf) threshold += round->demand_price[stock->leaf_demand];
  return threshold + (cost_t)(TOLERANCE_REDUCED * (double)COST_PER_CENT) + 1 + threshold / 10000000;
}

static void price_stock(void *data, size_t s) {
  struct round *round = data;
  pricer_run(round->search->memory[s].scratch, round->search->pricers[s], round->demand_price,
             round->limit, round->goal[s], round->steps, &round->priced[s]);
}

/* The steps left are shared out beforehand, so that it does not matter who prices first. */
static void price_stocks(struct search *search, struct round *round) {
  int64_t before = search_steps(search);
  int64_t left = search->steps_allowed - before;
  if (round->priced_count == 0) return;
  round->steps = left > 0 ? left / (int64_t)round->priced_count : 0;
  int64_t most = MOST_PRICING_STEPS;
  /* where sets of stock are proved as well, that bound is the better one */
  if (search->known != NULL && search->steps_allowed / PRICING_SHARE < most)
    most = search->steps_allowed / PRICING_SHARE;
  if (round->steps > most) round->steps = most;
  search_price_stocks(search, round->priced_stock, round->priced_count, search->round_steps,
                      price_stock, round);
  search->round_steps = search_steps(search) - before;
}

/* Takes in the layout priced for a stock; false when it does not pay or is known. */
static bool take_priced(struct search *search, struct master *master, struct round *round,
                        size_t s) {
  const struct priced *priced = &round->priced[s];
  bool added = false;
  round->most_worth[s] = most_worth_of(search, round, s, priced->bound);
  wide_cost worth = -(wide_cost)priced->cuts * search->problem->cut_cost;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    worth += (wide_cost)priced->counts[d] * round->plain_price[d];
  if (worth > round->goal[s])
    columns_add(search->columns, s, &priced->root, priced->counts, &added);
  if (!added) return false;
  const struct column *column = &search->columns->items[search->columns->count - 1];
  master_add(master, &(struct master_column){column->stock, column->cost, column->counts});
  return true;
}

/* Prices that jump make layouts that are soon of no use. */
static void draw_prices(const struct nest_problem *problem, struct round *round) {
  round->drawn = !round->no_good;
  for (size_t d = 0; d < problem->demand_count; d++) {
    cost_t plain = round->plain_price[d];
    cost_t good = round->good_price[d];
    round->demand_price[d] =
        round->drawn ? plain + (good - plain) / DRAWN_SHARE * DRAWN_PART : plain;
  }
}

static void set_goals(struct search *search, const struct master *master,
                      const struct region *region, struct round *round) {
  const struct nest_problem *problem = search->problem;
  round->priced_count = 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    round->plain_price[d] = master_demand_price(master, d);
  draw_prices(problem, round);
  for (size_t s = 0; s < problem->stock_count; s++) {
    round->most_worth[s] = 0;
    if (useful_most(round, region, s) <= 0) continue;
    if (problem->stocks[s].given != NULL) {
      round->most_worth[s] = given_worth(search, round, s);
    } else if (search->pricers[s] == NULL) {
      round->most_worth[s] = most_worth_of(search, round, s, 0);
    } else {
      round->goal[s] = paying_worth(search, master, round, s);
      round->priced_stock[round->priced_count++] = s;
    }
  }
}

/* Prices of rows that couple, and of sets, must not be drawn apart. */
static bool is_smooth(const struct search *search) {
  return search->problem->coupling_count == 0 && search->problem->match_count == 0;
}

static bool run_round(struct search *search, struct master *master, const struct region *region,
                      struct round *round, cost_t *bound) {
  size_t stocks = search->problem->stock_count;
  bool any = false;
  set_goals(search, master, region, round);
  struct arena_mark mark = arena_mark(search->scratch);
  struct arena_mark *marks = side_mark(search->scratch, search->memory, stocks);
  price_stocks(search, round);
  for (size_t i = 0; i < round->priced_count; i++)
    if (take_priced(search, master, round, round->priced_stock[i])) any = true;
  side_release(search->memory, marks, stocks);
  arena_release(search->scratch, mark);
  cost_t proven = proven_bound(search, region, round);
  bool better = proven > *bound;
  if (better) {
    *bound = proven;
    memcpy(round->good_price, round->demand_price,
           search->problem->demand_count * sizeof *round->good_price);
  }
  bool missed = round->drawn && !any;
  round->no_good = missed || *bound <= 0 || !is_smooth(search);
  return any || missed;
}

static struct round open_round(struct search *search, const struct region *region) {
  size_t demands = search->problem->demand_count;
  size_t stocks = search->problem->stock_count;
  struct arena *scratch = search->scratch;
  struct round round = {.search = search,
                        .limit = ARENA_ARRAY(scratch, demands, int64_t),
                        .most_pieces = nest_most_pieces(search->problem, region->demand),
                        .plain_price = ARENA_ARRAY(scratch, demands, cost_t),
                        .good_price = ARENA_ARRAY(scratch, demands, cost_t),
                        .no_good = true,
                        .demand_price = ARENA_ARRAY(scratch, demands, cost_t),
                        .most_worth = ARENA_ARRAY(scratch, stocks, cost_t),
                        .priced_stock = ARENA_ARRAY(scratch, stocks, size_t),
                        .goal = ARENA_ARRAY(scratch, stocks, cost_t),
                        .priced = ARENA_ARRAY(scratch, stocks, struct priced)};
  nest_useful_limits(search->problem, region->demand, round.limit);
  return round;
}

static void read_values(const struct search *search, const struct master *master,
                        struct generated *generated) {
  generated->value_count = search->columns->count;
  generated->value = ARENA_ARRAY(search->scratch, generated->value_count, double);
  for (size_t c = 0; c < generated->value_count; c++) generated->value[c] = master_value(master, c);
}

cost_t generate_only_price(const struct search *search) {
  const struct nest_problem *problem = search->problem;
  size_t count = problem->stock_count - problem->demand_count;
  if (count != 1 || problem->cut_cost > 0 || problem->stocks[0].pack > 1) return 0;
  return problem->stocks[0].given == NULL ? problem->stocks[0].cost : 0;
}

/* Whether no more rounds can tell the plans' cost better: whole pieces as the bound asks for
 * are as many as the linear program's. */
static bool is_settled(const struct search *search, const struct master *master, cost_t price,
                       cost_t bound) {
  if (price <= 0 || bound <= 0) return false;
  double cost = 0;
  for (size_t c = 0; c < search->columns->count; c++)
    cost += master_value(master, c) * (double)search->columns->items[c].cost;
  cost_t whole = (bound + price - 1) / price * price;
  return cost <= (double)whole;
}

static void set_patient(const struct search *search, bool patient) {
  for (size_t s = 0; s < search->problem->stock_count; s++)
    if (search->pricers[s] != NULL) pricer_set_patient(search->pricers[s], patient);
}

void generate(struct search *search, const struct region *region, int rounds,
              struct generated *generated) {
  struct master *master = open_master(search, region);
  struct round round = open_round(search, region);
  generated->bound = 0;
  generated->converged = false;
  cost_t price = generate_only_price(search);
  bool patient = false; /* when nothing pays, only the bound is left to be told better */
  if (rounds > 0) search->steps += OPENING_STEPS * (int64_t)search->columns->count;
  bool solved = master_solve(master);
  search->steps += master_take_steps(master);
  for (int r = 0; r < rounds && solved; r++) {
    bool any = run_round(search, master, region, &round, &generated->bound);
    generated->converged = !any;
    if (generated->bound >= search->best_cost || (!any && patient)) break;
    if (!any && (price == 0 || search->best_cost >= COST_UNKNOWN)) break;
    if (!any) patient = true;
    set_patient(search, !any); /* for one round */
    if (search_is_over(search)) break;
    solved = master_solve(master);
    search->steps += master_take_steps(master);
    if (solved && is_settled(search, master, price, generated->bound)) break;
  }
  set_patient(search, false);
  generated->price = round.good_price;
  read_values(search, master, generated);
  master_close(master);
}
