/* Achievable costs against all of them one by one, and the bound by area. */
#include "nest/lattice.h"

#include "nest_fixture.h"

enum { MOST_STOCKS = 3, ABOVE = 400 };

struct prices {
  struct nest_problem problem;
  struct nest_stock stocks[MOST_STOCKS];
  int64_t least[MOST_STOCKS];
  int64_t most[MOST_STOCKS];
};

static void random_prices(struct prices *prices, bool trims) {
  *prices = (struct prices){0};
  prices->problem.cut_cost = random_chance(1, 2) ? 0 : random_between(1, 30);
  prices->problem.stocks = prices->stocks;
  prices->problem.stock_count = (size_t)random_between(1, MOST_STOCKS);
  for (size_t s = 0; s < prices->problem.stock_count; s++) {
    struct nest_stock *stock = &prices->stocks[s];
    *stock = plain_stock(10, 10, 1);
    stock->pack = random_between(1, 3);
    stock->trim_cost = trims ? random_between(0, 2) * prices->problem.cut_cost : 0;
    stock->cost = stock->trim_cost + random_between(1, 40);
    prices->least[s] = random_between(0, 2) * stock->pack;
    prices->most[s] = prices->least[s] + random_between(0, 3) * stock->pack;
    stock->count = prices->most[s];
  }
}

/* The least cost of so many pieces of stocks from `s` on and whole cuts that is at least
 * `bound`; `above` when there is none below it. */
static cost_t least_achievable(const struct prices *prices, size_t s, cost_t so_far, cost_t bound,
                               cost_t above) {
  if (s == prices->problem.stock_count) {
    cost_t cut = prices->problem.cut_cost;
    while (cut > 0 && so_far < bound) so_far += cut;
    return so_far >= bound && so_far < above ? so_far : above;
  }
  cost_t best = above;
  for (int64_t n = prices->least[s]; n <= prices->most[s]; n++) {
    cost_t cost = least_achievable(prices, s + 1, so_far + nest_stock_cost(&prices->stocks[s], n),
                                   bound, above);
    if (cost < best) best = cost;
  }
  return best;
}

static void print(const struct prices *prices, cost_t bound) {
  fprintf(stderr, "cut %d, bound %d:", (int)prices->problem.cut_cost, (int)bound);
  for (size_t s = 0; s < prices->problem.stock_count; s++)
    fprintf(stderr, " %d (trim %d, pack %d) x %d..%d;", (int)prices->stocks[s].cost,
            (int)prices->stocks[s].trim_cost, (int)prices->stocks[s].pack, (int)prices->least[s],
            (int)prices->most[s]);
  fputc('\n', stderr);
}

/* Small numbers can be told: without cuts that cost the answer is exact. */
static void raised_to_the_next_sum_of_prices(struct arena *arena) {
  random_start(71);
  for (int round = 0; round < 2000; round++) {
    struct prices prices;
    random_prices(&prices, false);
    prices.problem.cut_cost = 0;
    cost_t bound = random_between(0, ABOVE);
    cost_t expected = least_achievable(&prices, 0, 0, bound, ABOVE);
    cost_t raised = lattice_raise(arena, &prices.problem, prices.least, prices.most, bound, ABOVE);
    if (raised != expected) print(&prices, bound);
    assert_int_equal(raised, expected);
  }
}

static void raised_with_cuts_and_trims(struct arena *arena) {
  random_start(72);
  int raises = 0;
  for (int round = 0; round < 2000; round++) {
    struct prices prices;
    random_prices(&prices, true);
    cost_t bound = random_between(0, ABOVE);
    cost_t expected = least_achievable(&prices, 0, 0, bound, ABOVE);
    cost_t raised = lattice_raise(arena, &prices.problem, prices.least, prices.most, bound, ABOVE);
    if (raised > expected || raised < bound) print(&prices, bound);
    assert_true(raised <= expected);
    assert_true(raised >= bound);
    if (raised > bound) raises++;
  }
  assert_true(raises > 800);
}

/* Prices without a common divisor and far apart: nothing can be told in the work allowed. */
static void untold(struct arena *arena) {
  struct prices prices = {0};
  prices.problem.stocks = prices.stocks;
  prices.problem.stock_count = 2;
  prices.stocks[0] = prices.stocks[1] = plain_stock(10, 10, 1);
  prices.stocks[0].cost = 1000003;
  prices.stocks[1].cost = 1000000007;
  prices.most[0] = prices.most[1] = 1000;
  cost_t bound = INT64_C(500000000001);
  cost_t raised = lattice_raise(arena, &prices.problem, prices.least, prices.most, bound,
                                INT64_C(900000000000));
  assert_true(raised >= bound);
  assert_true(raised <= 500 * INT64_C(1000000007)); /* one cost there is */
}

/* ---- area ---- */

static cost_t area_bound(struct arena *arena, struct nest_problem *problem,
                         struct nest_stock *stock, struct nest_option *option, int64_t demand) {
  stock->options = option;
  stock->option_count = 1;
  problem->stocks = stock;
  problem->stock_count = 1;
  problem->demand = &demand;
  problem->demand_count = 1;
  return lattice_area_bound(arena, problem);
}

static void area_by_hand(struct arena *arena) {
  struct nest_problem problem = {0};
  struct nest_stock stock = plain_stock(99, 49, 1);
  struct nest_option option = plain_option(0, 0, 49, 24);
  stock.cost = 1000;
  stock.count = -1;
  assert_int_equal(area_bound(arena, &problem, &stock, &option, 4), 1000);
  assert_int_equal(area_bound(arena, &problem, &stock, &option, 6), 1500);
  assert_int_equal(area_bound(arena, &problem, &stock, &option, 0), 0);
}

/* Each piece counts with the smallest of its sizes, in whatever stock that is. */
static void the_smallest_size_counts(struct arena *arena) {
  struct nest_option wide[] = {plain_option(0, 0, 10, 10), plain_option(0, 1, 5, 10)};
  struct nest_option narrow[] = {plain_option(0, 2, 10, 4)};
  struct nest_stock stocks[] = {plain_stock(10, 10, 0), plain_stock(10, 10, 0)};
  int64_t demand = 5;
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = stocks, .stock_count = 1};
  stocks[0].options = wide;
  stocks[1].options = narrow;
  stocks[0].option_count = 2;
  stocks[1].option_count = 1;
  stocks[0].cost = stocks[1].cost = 1000;
  stocks[0].count = stocks[1].count = -1;
  assert_int_equal(lattice_area_bound(arena, &problem), 2500);
  problem.stock_count = 2;
  assert_int_equal(lattice_area_bound(arena, &problem), 2000);
}

/* Stock in order of its price for the area, each no further than it goes. */
static void cheap_stock_first(struct arena *arena) {
  struct nest_option options[] = {plain_option(0, 0, 10, 10)};
  struct nest_stock stocks[] = {plain_stock(10, 20, 0), plain_stock(10, 10, 0)};
  int64_t demand = 5;
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = stocks, .stock_count = 2};
  for (int s = 0; s < 2; s++) {
    stocks[s].options = options;
    stocks[s].option_count = 1;
  }
  stocks[0].cost = 100;
  stocks[0].count = -1;
  stocks[1].cost = 40;
  stocks[1].count = 2;
  assert_int_equal(lattice_area_bound(arena, &problem), 2 * 40 + 150);
}

/* A plan is made by cutting stock to bits with little waste; it costs no less than the bound. */
struct made {
  struct nest_problem problem;
  struct nest_stock stocks[2];
  struct nest_option options[40];
  int64_t demand[40];
  cost_t cost;
};

static void take_piece(struct made *made, length_t length, length_t width) {
  size_t d = made->problem.demand_count++;
  made->options[d] = plain_option(d, d, length, width);
  made->demand[d] = 1;
}

static void cut_up(struct made *made, const struct nest_stock *stock, length_t length,
                   length_t width, int depth) {
  bool along = random_chance(1, 2);
  length_t extent = along ? length : width;
  length_t kerf = along ? stock->kerf_crosscut : stock->kerf_rip;
  if (depth == 0 || extent < kerf + 2) {
    take_piece(made, length, width);
    return;
  }
  length_t low = random_between(1, extent - kerf - 1);
  length_t high = extent - kerf - low;
  made->cost += made->problem.cut_cost;
  cut_up(made, stock, along ? low : length, along ? width : low, depth - 1);
  cut_up(made, stock, along ? high : length, along ? width : high, depth - 1);
}

static void area_is_never_above_a_plan(struct arena *arena) {
  random_start(73);
  int tight = 0;
  for (int round = 0; round < 500; round++) {
    struct made made = {0};
    made.problem.stocks = made.stocks;
    made.problem.stock_count = 2;
    made.problem.demand = made.demand;
    made.problem.cut_cost = random_chance(1, 2) ? 0 : 3;
    for (size_t s = 0; s < 2; s++) {
      struct nest_stock *stock = &made.stocks[s];
      *stock = plain_stock(random_between(20, 60), random_between(10, 40), random_between(0, 3));
      stock->kerf_rip = random_between(0, 3);
      stock->pack = random_between(1, 2);
      stock->trim_cost = 4 * made.problem.cut_cost;
      stock->cost = stock->trim_cost + random_between(1, 500);
      stock->count = random_chance(1, 2) ? -1 : 2 * stock->pack;
      int64_t pieces = random_between(0, 2);
      for (int64_t n = 0; n < pieces; n++) cut_up(&made, stock, stock->length, stock->width, 3);
      made.cost += nest_stock_cost(stock, pieces);
    }
    for (size_t s = 0; s < 2; s++) {
      made.stocks[s].options = made.options;
      made.stocks[s].option_count = made.problem.demand_count;
    }
    cost_t bound = lattice_area_bound(arena, &made.problem);
    assert_true(bound <= made.cost);
    if (made.cost > 0 && bound * 10 >= made.cost * 8) tight++;
  }
  assert_true(tight > 50);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(raised_to_the_next_sum_of_prices),
      ARENA_TEST(raised_with_cuts_and_trims),
      ARENA_TEST(untold),
      ARENA_TEST(area_by_hand),
      ARENA_TEST(the_smallest_size_counts),
      ARENA_TEST(cheap_stock_first),
      ARENA_TEST(area_is_never_above_a_plan),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
