/* Bounds and plans of yields by linear and integer programs against the tables of all numbers. */
#include "nest/whole_yields.h"
#include "nest/yield_program.h"
#include "nest_fixture.h"

enum { CASES = 200, KINDS_MOST = 3, STOCKS_MOST = 3, YIELDS_MOST = 12, WANTED_MOST = 12 };

struct yield_case {
  struct nest_problem problem;
  struct nest_stock stocks[STOCKS_MOST];
  int64_t most[KINDS_MOST];
  int64_t counts[YIELDS_MOST][KINDS_MOST];
  struct yield items[YIELDS_MOST];
  struct yields yields;
};

/* Whole cents, and parts of them. The first stock is there as often as wanted. */
static void make_case(struct yield_case *made) {
  memset(made, 0, sizeof *made);
  made->problem.demand_count = (size_t)random_between(1, KINDS_MOST);
  made->problem.demand = made->most;
  made->problem.stocks = made->stocks;
  made->problem.stock_count = (size_t)random_between(1, STOCKS_MOST);
  for (size_t s = 0; s < made->problem.stock_count; s++) {
    made->stocks[s] = plain_stock(10, 10, 0);
    made->stocks[s].count = s == 0 ? -1 : random_between(0, 3);
  }
  for (size_t k = 0; k < made->problem.demand_count; k++)
    made->most[k] = random_between(0, WANTED_MOST);
  made->yields.items = made->items;
  made->yields.count = (size_t)random_between(1, YIELDS_MOST);
  for (size_t y = 0; y < made->yields.count; y++) {
    struct yield *yield = &made->items[y];
    yield->stock = (size_t)random_between(0, (int64_t)made->problem.stock_count - 1);
    yield->cost = random_between(1, 40) * COST_PER_CENT / random_between(1, 3);
    yield->counts = made->counts[y];
    for (size_t k = 0; k < made->problem.demand_count; k++)
      made->counts[y][k] = random_between(0, 4);
  }
}

static cost_t cost_of(const struct yield_case *made, const int64_t *times) {
  cost_t cost = 0;
  for (size_t y = 0; y < made->yields.count; y++) cost += times[y] * made->items[y].cost;
  return cost;
}

static void check_plan(const struct yield_case *made, const int64_t *demand, const int64_t *times) {
  int64_t used[STOCKS_MOST] = {0};
  for (size_t y = 0; y < made->yields.count; y++) {
    assert_true(times[y] >= 0);
    used[made->items[y].stock] += times[y];
  }
  for (size_t s = 1; s < made->problem.stock_count; s++)
    assert_true(used[s] <= made->stocks[s].count);
  for (size_t k = 0; k < made->problem.demand_count; k++) {
    int64_t yielded = 0;
    for (size_t y = 0; y < made->yields.count; y++) yielded += times[y] * made->counts[y][k];
    assert_true(yielded >= demand[k]);
  }
}

/* How many bounds there were, how near they came, and how many plans were the cheapest. */
struct tally {
  int bounds, plans, cheapest;
  double shares;
};

static void check_demand(struct arena *arena, const struct yield_case *made,
                         const struct whole_yields *whole, const struct yield_worths *worths,
                         const int64_t *demand, struct tally *tally) {
  cost_t least = whole_yields_cost(whole, demand);
  if (worths != NULL && least < COUNT_NEVER && least > 0) {
    cost_t bound = yield_worths_bound(worths, demand);
    assert_true(bound <= least);
    tally->bounds++;
    tally->shares += bound > 0 ? (double)bound / (double)least : 0;
  }
  int64_t times[YIELDS_MOST];
  bool found = yield_program_take(arena, &made->problem, demand, &made->yields, 1000, times);
  assert_int_equal(found, least < COUNT_NEVER);
  if (!found) return;
  check_plan(made, demand, times);
  assert_true(cost_of(made, times) >= least);
  tally->plans++;
  tally->cheapest += cost_of(made, times) == least;
}

static void test_against_tables(struct arena *arena) {
  struct tally tally = {0};
  random_start(1);
  for (int i = 0; i < CASES; i++) {
    struct yield_case made;
    make_case(&made);
    struct whole_yields *whole =
        whole_yields_solve(arena, &made.problem, made.most, &made.yields, 100000000);
    assert_non_null(whole);
    const struct yield_worths *worths =
        yield_worths_create(arena, &made.problem, made.most, &made.yields);
    for (int n = 0; n < 4; n++) {
      int64_t demand[KINDS_MOST] = {0};
      for (size_t k = 0; k < made.problem.demand_count; k++)
        demand[k] = n == 0 ? made.most[k] : random_between(0, made.most[k]);
      check_demand(arena, &made, whole, worths, demand, &tally);
    }
  }
  assert_true(tally.bounds > CASES && tally.plans > CASES);
  assert_true(tally.shares / tally.bounds > 0.7); /* of small numbers fractions tell little */
  assert_true(tally.cheapest >= tally.plans * 99 / 100);
}

/* 100 parts, 3 from a plank for 10 cents or 4 for 12: 25 planks for 300. */
static void test_by_hand(struct arena *arena) {
  struct yield_case made;
  random_start(1);
  make_case(&made);
  made.problem.demand_count = made.problem.stock_count = 1;
  made.most[0] = 100;
  made.yields.count = 2;
  made.counts[0][0] = 3;
  made.counts[1][0] = 4;
  for (size_t y = 0; y < 2; y++) {
    made.items[y].stock = 0;
    made.items[y].cost = (y == 0 ? 10 : 12) * COST_PER_CENT;
  }
  const struct yield_worths *worths =
      yield_worths_create(arena, &made.problem, made.most, &made.yields);
  assert_non_null(worths);
  cost_t bound = yield_worths_bound(worths, made.most);
  assert_true(bound <= 300 * COST_PER_CENT && bound > 300 * COST_PER_CENT - 1000);
  int64_t times[YIELDS_MOST];
  assert_true(yield_program_take(arena, &made.problem, made.most, &made.yields, 10, times));
  assert_int_equal(times[0], 0);
  assert_int_equal(times[1], 25);
  made.stocks[0].pack = 4; /* 28 are bought: that is not what the yields cost */
  assert_false(yield_program_take(arena, &made.problem, made.most, &made.yields, 10, times));
}

int main(void) {
  const struct CMUnitTest tests[] = {ARENA_TEST(test_against_tables), ARENA_TEST(test_by_hand)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
