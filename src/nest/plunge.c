#include "nest/plunge.h"

#include <string.h>

#include "nest/fewer.h"
#include "nest/random.h"
#include "nest/tolerance.h"

/* What is left is packed anew once it is so little. */
enum {
  ROOT_ROUNDS = 400,
  PACKING_SHARE = 16,
  REST_ROUNDS = 12,
  REST_PIECES = 80,
  REST_SHEETS = 4,
  MOST_DROPPED = 3,
  AIMS = 4,
  MOST_TRIES = 400,
  FIRST_PACK_STEPS = 8000000,
  MOST_PACK_STEPS = 200000000
};

struct plunger {
  struct search *search;
  const struct region *region;
  double *value; /* of the region's linear program, per column */
  size_t value_count;
  cost_t aim; /* a plan may cost so much at most */
  uint64_t random;
  int64_t stop;       /* steps of the search at which to end */
  int64_t pack_steps; /* for what is left, this time */
};

static int64_t random_below(struct plunger *plunger, int64_t limit) {
  return (int64_t)(random_draw(&plunger->random) % (uint64_t)limit);
}

static double random_share(struct plunger *plunger) {
  return (double)(random_draw(&plunger->random) >> 11) / 9007199254740992.0;
}

static bool is_over(const struct plunger *plunger) {
  return search_is_over(plunger->search) || search_steps(plunger->search) >= plunger->stop;
}

static bool is_cut(const struct search *search, size_t column) {
  return search->problem->stocks[search->columns->items[column].stock].given == NULL;
}

static int64_t most_dropped(struct plunger *plunger, int64_t copies, int try) {
  int64_t drop = try == 0 ? 0 : 1 + random_below(plunger, MOST_DROPPED);
  return drop < copies ? drop : copies;
}

/* The whole parts of the values, less a few copies. */
static void round_down(struct plunger *plunger, struct region *rest, struct uses *uses, int try) {
  const struct search *search = plunger->search;
  int64_t *times = ARENA_ARRAY(search->scratch, plunger->value_count, int64_t);
  int64_t copies = 0;
  for (size_t c = 0; c < plunger->value_count; c++) {
    if (!is_cut(search, c)) continue;
    times[c] = (int64_t)(plunger->value[c] + TOLERANCE_WHOLE);
    copies += times[c];
  }
  for (int64_t drop = most_dropped(plunger, copies, try); drop > 0; drop--) {
    int64_t pick = random_below(plunger, copies--);
    size_t c = 0;
    while (pick >= times[c]) pick -= times[c++];
    times[c]--;
  }
  for (size_t c = 0; c < plunger->value_count; c++) {
    int64_t fits = dive_fits(search, rest, c);
    if (times[c] > fits) times[c] = fits;
    if (times[c] > 0) dive_take(search, rest, uses, c, times[c]);
  }
}

/* Fixes one copy of a layout drawn by its value; the first try takes the largest. */
static bool fix_one(struct plunger *plunger, struct region *rest, struct uses *uses, int try,
                    const struct generated *generated) {
  const struct search *search = plunger->search;
  double best = 0;
  size_t chosen = SIZE_MAX;
  for (size_t c = 0; c < generated->value_count; c++) {
    if (generated->value[c] <= TOLERANCE_WHOLE || !is_cut(search, c)) continue;
    if (dive_fits(search, rest, c) <= 0) continue;
    double rank = generated->value[c] * (try == 0 ? 1 : random_share(plunger));
    if (rank <= best) continue;
    best = rank;
    chosen = c;
  }
  if (chosen == SIZE_MAX) return false;
  int64_t times = (int64_t)(generated->value[chosen] + TOLERANCE_WHOLE);
  int64_t fits = dive_fits(search, rest, chosen);
  if (times > fits) times = fits;
  dive_take(search, rest, uses, chosen, times > 1 ? times : 1);
  return true;
}

static int64_t pieces_left(const struct search *search, const struct region *rest) {
  int64_t pieces = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++) pieces += rest->demand[d];
  return pieces;
}

static double sheets_left(const struct search *search, const struct generated *generated) {
  double sheets = 0;
  for (size_t c = 0; c < generated->value_count; c++)
    if (is_cut(search, c)) sheets += generated->value[c];
  return sheets;
}

/* One way down. The rest's linear program tells early where the aim is missed. */
static void go_down(struct plunger *plunger, int try) {
  struct search *search = plunger->search;
  struct region rest = region_copy(search->scratch, search->problem, plunger->region);
  struct uses uses = {NULL, 0, 0};
  cost_t best_cost = search->best_cost;
  round_down(plunger, &rest, &uses, try);
  bool missed = false;
  while (pieces_left(search, &rest) > REST_PIECES && !is_over(plunger)) {
    struct arena_mark mark = arena_mark(search->scratch);
    struct generated generated;
    cost_t left = plunger->aim - uses_cost(search->columns, &uses);
    search->best_cost = left + 1;
    generate(search, &rest, REST_ROUNDS, &generated);
    search->best_cost = best_cost;
    missed = generated.bound > left;
    bool few = sheets_left(search, &generated) <= REST_SHEETS;
    bool went_on = !missed && !few && fix_one(plunger, &rest, &uses, try, &generated);
    arena_release(search->scratch, mark);
    if (!went_on) break;
  }
  int64_t left = plunger->stop - search_steps(search);
  if (missed || left <= 0 || search_is_over(search)) return;
  if (left > plunger->pack_steps) left = plunger->pack_steps;
  fewer_rest(search, plunger->region, &uses, plunger->aim, left);
}

/* From the bound up to just cheaper than the best, again and again. */
static cost_t next_aim(const struct search *search, cost_t bound, int try) {
  cost_t most = fewer_budget(search);
  return bound + (most - bound) / (AIMS - 1) * (try % AIMS);
}

static void keep_values(struct plunger *plunger, const struct generated *generated) {
  plunger->value_count = generated->value_count;
  plunger->value = ARENA_ARRAY(plunger->search->arena, generated->value_count, double);
  memcpy(plunger->value, generated->value, generated->value_count * sizeof *generated->value);
}

static void hurry(struct search *search, bool hurried) {
  for (size_t s = 0; s < search->problem->stock_count; s++) {
    if (search->pricers[s] == NULL) continue;
    pricer_set_hurried(search->pricers[s], hurried);
    pricer_set_rough(search->pricers[s], hurried);
  }
}

static bool is_plain(const struct search *search) {
  return search->problem->coupling_count == 0 && search->problem->match_count == 0;
}

/* One kind of stock alone, cuts free: no plan costs less than whole pieces. */
static cost_t raised(const struct search *search, cost_t bound) {
  cost_t price = generate_only_price(search);
  return price <= 0 || bound <= 0 ? bound : (bound + price - 1) / price * price;
}

/* Prices are exact where limits do not bind, which is enough on the way down. */
static void go_down_often(struct plunger *plunger, cost_t bound) {
  struct search *search = plunger->search;
  for (int try = 0; try < MOST_TRIES && search->best_cost > bound && !is_over(plunger); try++) {
    struct arena_mark mark = arena_mark(search->scratch);
    plunger->aim = next_aim(search, bound, try);
    plunger->random = ++search->seeds;
    go_down(plunger, try);
    if (plunger->pack_steps < MOST_PACK_STEPS) plunger->pack_steps += FIRST_PACK_STEPS / 4;
    arena_release(search->scratch, mark);
  }
}

cost_t plunge(struct search *search, const struct region *region, cost_t bound, int64_t steps) {
  struct plunger plunger = {.search = search,
                            .region = region,
                            .stop = search_steps(search) + steps,
                            .pack_steps = FIRST_PACK_STEPS};
  struct generated generated;
  if (search->best_cost >= COST_UNKNOWN || !is_plain(search)) return bound;
  bound = raised(search, bound);
  if (bound < search->best_cost) fewer(search, region, bound, steps / PACKING_SHARE);
  if (bound >= search->best_cost || is_over(&plunger)) return bound;
  struct arena_mark mark = arena_mark(search->scratch);
  hurry(search, true);
  generate(search, region, ROOT_ROUNDS, &generated);
  keep_values(&plunger, &generated);
  arena_release(search->scratch, mark);
  go_down_often(&plunger, bound);
  hurry(search, false);
  return bound;
}
