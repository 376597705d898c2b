#include "nest/improve.h"

#include <string.h>

/* Shaken worths lie between 1 - SHAKE/2 and 1 + SHAKE/2 thousandths of the plain ones. */
enum {
  RANKING_ROUNDS = 16,
  MOST_BARREN = 80,
  SHAKE = 1000,
  MOST_GIVEN_BACK = 5,
  QUICK_STEPS = 40000,
  THOROUGH_STEPS = 1000000,
  THOROUGH_EVERY = 4
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
};

/* splitmix64: the same on every machine. */
static uint64_t next_random(struct improver *improver) {
  uint64_t z = (improver->random += 0x9E3779B97F4A7C15U);
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31);
}

static int64_t random_below(struct improver *improver, int64_t limit) {
  return (int64_t)(next_random(improver) % (uint64_t)limit);
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
      if (rest->demand[d] < 0) rest->demand[d] = 0;
    }
  }
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
    pieces += use->times;
    *ARENA_PUSH(improver->search->scratch, kept.items, kept.count, kept.room) = *use;
  }
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
  bool known;  /* asked for in this plan */
  bool covers; /* nothing is left open after it */
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
                         const struct offer *offer) {
  for (size_t d = 0; d < problem->demand_count; d++)
    if (offer->priced.counts[d] > 0 && rest->demand[d] > 0) return true;
  return false;
}

static void judge_offer(const struct improver *improver, const struct region *rest,
                        struct offer *offer) {
  const struct nest_problem *problem = improver->search->problem;
  offer->covers = true;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (offer->priced.counts[d] < rest->demand[d]) offer->covers = false;
  double cost = (double)nest_stock_cost(&problem->stocks[offer->stock], 1) +
                (double)offer->priced.cuts * (double)problem->cut_cost;
  double shake = (double)improver->stock_shake[offer->stock];
  offer->price = offer->covers ? cost : cost / (double)offer->priced.worth * shake;
}

static bool ask_stock(struct improver *improver, const struct region *rest, size_t s,
                      struct offer *offer) {
  struct search *search = improver->search;
  const struct nest_problem *problem = search->problem;
  if (problem->stocks[s].given != NULL || rest->most[s] <= 0) return false;
  int64_t *limit = ARENA_ARRAY(search->scratch, problem->demand_count, int64_t);
  nest_useful_limits(problem, rest->demand, limit);
  if (!offer->known || !still_fits(problem, offer, limit)) {
    if (improver->layout_steps <= QUICK_STEPS && pricer_is_slow(search->pricers[s]))
      pricer_run_quickly(search->scratch, search->pricers[s], improver->worth, limit,
                         &offer->priced);
    else
      pricer_run(search->scratch, search->pricers[s], improver->worth, limit, COST_UNKNOWN,
                 improver->layout_steps, &offer->priced);
    offer->known = true;
    offer->stock = s;
  }
  if (offer->priced.worth <= 0 || !makes_wanted(problem, rest, offer)) return false;
  judge_offer(improver, rest, offer);
  return true;
}

/* One that ends the plan comes before all others, the cheapest first. */
static bool is_better(const struct offer *offer, const struct offer *best) {
  if (offer->covers != best->covers) return offer->covers;
  return offer->price < best->price;
}

/* How often a layout can be cut before it makes more than is wanted; at least once. */
static int64_t repeats(const struct nest_problem *problem, const struct region *rest,
                       const struct offer *offer) {
  int64_t times = rest->most[offer->stock];
  for (size_t d = 0; d < problem->demand_count; d++) {
    int64_t count = offer->priced.counts[d];
    if (count == 0 || nest_is_match(problem, d)) continue;
    if (rest->demand[d] / count < times) times = rest->demand[d] / count;
  }
  return times < 1 ? 1 : times;
}

/* offers[]: one per stock, kept from call to call while one plan is made. */
static bool cut_more(struct improver *improver, struct region *rest, struct offer *offers,
                     struct uses *uses) {
  struct search *search = improver->search;
  struct offer best = {.stock = SIZE_MAX};
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    if (!ask_stock(improver, rest, s, &offers[s])) continue;
    if (best.stock == SIZE_MAX || is_better(&offers[s], &best)) best = offers[s];
  }
  if (best.stock == SIZE_MAX) return false;
  bool added = false;
  int64_t times = repeats(search->problem, rest, &best);
  size_t column =
      columns_add(search->columns, best.stock, &best.priced.root, best.priced.counts, &added);
  *ARENA_PUSH(search->scratch, uses->items, uses->count, uses->room) = (struct use){column, times};
  rest->most[best.stock] -= times;
  for (size_t d = 0; d < search->problem->demand_count; d++) {
    rest->demand[d] -= times * best.priced.counts[d];
    if (rest->demand[d] < 0) rest->demand[d] = 0;
  }
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
 * gets dearer than `most`. */
static bool complete_plan(struct improver *improver, struct region *rest, struct uses *uses,
                          cost_t most) {
  struct search *search = improver->search;
  struct offer *offers = ARENA_ARRAY(search->scratch, search->problem->stock_count, struct offer);
  while (!is_met(search->problem, rest->demand) && cut_more(improver, rest, offers, uses))
    if (uses_cost(search->columns, uses) > most) return false;
  for (size_t d = 0; d < search->problem->demand_count; d++)
    if (rest->demand[d] > 0)
      *ARENA_PUSH(search->scratch, uses->items, uses->count, uses->room) =
          (struct use){search->not_made[d], rest->demand[d]};
  return uses_cost(search->columns, uses) <= most;
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
                              .random = 20240229,
                              .plain_worth = ARENA_ARRAY(search->arena, demands, cost_t),
                              .worth = ARENA_ARRAY(search->arena, demands, cost_t),
                              .layout_steps = QUICK_STEPS};
  improver.stock_shake = ARENA_ARRAY(search->arena, search->problem->stock_count, int64_t);
  for (size_t s = 0; s < search->problem->stock_count; s++) improver.stock_shake[s] = 1000;
  set_plain_worths(&improver);
  add_match_worths(&improver);
  return improver;
}

/* A plan from nothing, at plain worths. */
static void start_from_nothing(struct improver *improver) {
  struct search *search = improver->search;
  struct arena_mark mark = arena_mark(search->scratch);
  struct region rest = region_copy(search->scratch, search->problem, improver->whole);
  struct uses uses = {NULL, 0, 0};
  memcpy(improver->worth, improver->plain_worth,
         search->problem->demand_count * sizeof *improver->worth);
  complete_plan(improver, &rest, &uses, COST_UNKNOWN);
  take_over(improver, &uses);
  arena_release(search->scratch, mark);
}

void construct(struct search *search, const struct region *region) {
  struct improver improver = start(search, region);
  start_from_nothing(&improver);
}

/* Rounds from the current plan on; ends when it is as cheap as the bound, after a few more. */
static void run_rounds(struct improver *improver, cost_t bound, int rounds, int64_t steps) {
  struct search *search = improver->search;
  int64_t stop = search_steps(search) + steps;
  int barren = 0; /* rounds since the last cheaper plan */
  for (int round = 0; round < rounds && barren < MOST_BARREN; round++) {
    if (search_steps(search) >= stop) return;
    if (improver->current_cost <= bound && round >= RANKING_ROUNDS) return;
    cost_t before = improver->current_cost;
    struct arena_mark mark = arena_mark(search->scratch);
    improver->layout_steps = round % THOROUGH_EVERY == 0 ? THOROUGH_STEPS : QUICK_STEPS;
    try_round(improver);
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
  run_rounds(&improver, bound, rounds, steps);
}

void improve_within(struct search *search, const struct region *region, cost_t bound, int rounds,
                    int64_t steps) {
  struct improver improver = start(search, region);
  start_from_nothing(&improver);
  run_rounds(&improver, bound, rounds, steps);
}
