/* The master program on problems with known answers. */
#include "nest/master.h"

#include "nest_fixture.h"

enum { MOST_PATTERNS = 200, MOST_SIZES = 4 };

/* Every way to cut a length into given sizes, as columns of one stock. */
struct patterns {
  length_t stock;
  size_t size_count;
  length_t size[MOST_SIZES];
  int64_t demand[MOST_SIZES];
  int64_t counts[MOST_PATTERNS][MOST_SIZES];
  size_t count;
};

static void list_patterns(struct patterns *patterns, size_t size, length_t left, int64_t *counts) {
  if (size == patterns->size_count) {
    assert_true(patterns->count < MOST_PATTERNS);
    memcpy(patterns->counts[patterns->count++], counts, sizeof patterns->counts[0]);
    return;
  }
  for (int64_t n = 0; n * patterns->size[size] <= left; n++) {
    counts[size] = n;
    list_patterns(patterns, size + 1, left - n * patterns->size[size], counts);
  }
  counts[size] = 0;
}

static struct master *open_patterns(struct arena *arena, struct patterns *patterns, cost_t cost) {
  int64_t counts[MOST_SIZES] = {0};
  patterns->count = 0;
  list_patterns(patterns, 0, patterns->stock, counts);
  struct master *master = master_create(arena, patterns->size_count, 1);
  for (size_t d = 0; d < patterns->size_count; d++)
    master_set_demand(master, d, patterns->demand[d]);
  master_set_stock(master, 0, 0, -1);
  for (size_t p = 0; p < patterns->count; p++)
    master_add(master, &(struct master_column){0, cost, patterns->counts[p]});
  return master;
}

/* The values cover the demand; their sum is the number of pieces of stock. */
static double solved_pieces(const struct master *master, const struct patterns *patterns) {
  double pieces = 0;
  double made[MOST_SIZES] = {0};
  for (size_t p = 0; p < patterns->count; p++) {
    double value = master_value(master, p);
    assert_true(value > -1e-7);
    pieces += value;
    for (size_t d = 0; d < patterns->size_count; d++)
      made[d] += value * (double)patterns->counts[p][d];
  }
  for (size_t d = 0; d < patterns->size_count; d++)
    assert_true(made[d] > (double)patterns->demand[d] - 1e-6);
  return pieces;
}

/* Shadow prices are rounded down, so what they come to is a hair under the cost; no column is
 * priced above its cost. */
static void check_prices(const struct master *master, const struct patterns *patterns, cost_t cost,
                         double pieces) {
  double total = 0;
  for (size_t d = 0; d < patterns->size_count; d++) {
    assert_true(master_demand_price(master, d) >= 0);
    total += (double)master_demand_price(master, d) * (double)patterns->demand[d];
  }
  assert_true(total <= pieces * (double)cost * (1 + 1e-9));
  assert_true(total >= pieces * (double)cost * (1 - 1e-6));
  for (size_t p = 0; p < patterns->count; p++) {
    cost_t worth = master_stock_price(master, 0);
    for (size_t d = 0; d < patterns->size_count; d++)
      worth += master_demand_price(master, d) * patterns->counts[p][d];
    assert_true(worth <= cost + cost / 1000000);
  }
}

static void check_known(struct arena *arena, struct patterns *patterns, double relaxed) {
  cost_t cost = 12 * COST_PER_CENT;
  struct master *master = open_patterns(arena, patterns, cost);
  assert_true(master_solve(master));
  double pieces = solved_pieces(master, patterns);
  assert_true(pieces > relaxed - 0.005 && pieces < relaxed + 0.005);
  check_prices(master, patterns, cost, pieces);
  master_close(master);
}

/* Source: Chvatal, Linear Programming (1983), chapter 13: 452.25 rolls. */
static void chvatal_rolls(struct arena *arena) {
  struct patterns patterns = {
      .stock = 100, .size_count = 4, .size = {45, 36, 31, 14}, .demand = {97, 610, 395, 211}};
  check_known(arena, &patterns, 452.25);
}

/* Source: Winston, Operations Research, boards of 17 ft: 18.33. */
static void winston_boards(struct arena *arena) {
  struct patterns patterns = {
      .stock = 17, .size_count = 3, .size = {3, 5, 9}, .demand = {25, 20, 15}};
  check_known(arena, &patterns, 18.33);
}

/* ---- stock rows ---- */

/* Two stocks yield one piece each at 10 and 16. */
static struct master *two_stocks(struct arena *arena, int64_t demand) {
  static const int64_t one[] = {1};
  struct master *master = master_create(arena, 1, 2);
  master_set_demand(master, 0, demand);
  master_set_stock(master, 0, 0, 3);
  master_set_stock(master, 1, 0, 4);
  master_add(master, &(struct master_column){0, 10 * COST_PER_CENT, one});
  master_add(master, &(struct master_column){1, 16 * COST_PER_CENT, one});
  return master;
}

static bool near(double value, double expected) {
  return value > expected - 1e-6 && value < expected + 1e-6;
}

static void stock_runs_out(struct arena *arena) {
  struct master *master = two_stocks(arena, 5);
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 0), 3));
  assert_true(near(master_value(master, 1), 2));
  /* one more of the cheap stock would save 6 */
  assert_true(master_demand_price(master, 0) <= 16 * COST_PER_CENT);
  assert_true(master_demand_price(master, 0) >= 16 * COST_PER_CENT - 2);
  assert_true(master_stock_price(master, 0) <= -6 * COST_PER_CENT);
  assert_true(master_stock_price(master, 0) >= -6 * COST_PER_CENT - 2);
}

static void solving_takes_steps(struct arena *arena) {
  struct master *master = two_stocks(arena, 5);
  assert_int_equal(master_take_steps(master), 0);
  assert_true(master_solve(master));
  int64_t first = master_take_steps(master);
  assert_true(first > 0);
  assert_int_equal(master_take_steps(master), 0);
  assert_true(master_solve(master)); /* at the optimum already */
  int64_t again = master_take_steps(master);
  assert_true(again > 0 && again < first);
}

static void bounds_may_be_set_again(struct arena *arena) {
  struct master *master = two_stocks(arena, 5);
  assert_true(master_solve(master));
  master_set_stock(master, 1, 4, 4);
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 0), 1));
  assert_true(near(master_value(master, 1), 4));
  assert_true(master_stock_price(master, 1) >= 6 * COST_PER_CENT - 2);
  /* just one of the cheap stock, though more would be cheaper */
  master_set_stock(master, 0, 1, 1);
  master_set_stock(master, 1, 0, 4);
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 0), 1));
  assert_true(near(master_value(master, 1), 4));
  master_set_stock(master, 0, 2, -1);
  master_set_stock(master, 1, 0, -1);
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 0), 5));
  master_set_demand(master, 0, 1);
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 0), 2));
}

static void too_much_is_asked(struct arena *arena) {
  struct master *master = two_stocks(arena, 8);
  assert_false(master_solve(master));
  master_set_demand(master, 0, 7);
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 1), 4));
}

static void columns_join_later(struct arena *arena) {
  static const int64_t three[] = {3};
  struct master *master = two_stocks(arena, 6);
  assert_true(master_solve(master));
  master_add(master, &(struct master_column){1, 18 * COST_PER_CENT, three});
  assert_true(master_solve(master));
  assert_true(near(master_value(master, 2), 2));
}

/* ---- faults ---- */

/* A row that is not there makes GLPK report a fault. Returns what is raised. */
static enum status provoke_fault(void) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) master_set_demand(master_create(arena, 1, 1), 7, 1);
  arena_destroy(arena);
  return status;
}

static void faults_are_raised(struct arena *arena) {
  for (int round = 0; round < 3; round++) assert_int_equal(provoke_fault(), STATUS_SOLVER_FAULT);
  chvatal_rolls(arena);
}

/* The fault takes every program of the thread with it; closing those that lived is harmless. */
static void others_are_closed_without_harm(struct arena *arena) {
  struct master *other = two_stocks(arena, 5);
  assert_int_equal(provoke_fault(), STATUS_SOLVER_FAULT);
  master_close(other);
  master_close(other);
  other = two_stocks(arena, 5);
  assert_true(master_solve(other));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(chvatal_rolls),
      ARENA_TEST(winston_boards),
      ARENA_TEST(stock_runs_out),
      ARENA_TEST(solving_takes_steps),
      ARENA_TEST(bounds_may_be_set_again),
      ARENA_TEST(too_much_is_asked),
      ARENA_TEST(columns_join_later),
      ARENA_TEST(faults_are_raised),
      ARENA_TEST(others_are_closed_without_harm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
