/* Uncertain demand: exact sums against a textbook's rule, plain sums and a simulation. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <math.h>

#include "base/random.h"
#include "cost/price_demand.h"
#include "unit/price_fixture.h"

#define NEAR 1e-12

static void triangle(struct price_bench *bench, int64_t low, int64_t likely, int64_t high) {
  price_bench_money(bench, "demand_low", low);
  price_bench_money(bench, "demand_likely", likely);
  price_bench_money(bench, "demand_high", high);
}

/* The distribution function of the triangular distribution, textbook form: (x - a)^2 / ((b - a)
 * (c - a)) up to the peak c, 1 - (b - x)^2 / ((b - a) (b - c)) behind it. */
static double distribution(double x, double a, double c, double b) {
  if (x <= a) return 0;
  if (x >= b) return 1;
  return x < c ? (x - a) * (x - a) / ((b - a) * (c - a))
               : 1 - (b - x) * (b - x) / ((b - a) * (b - c));
}

static void triangular_masses(void **state) {
  struct price_bench *bench = *state;
  static const int64_t given[][3] = {{8000, 18000, 30000}, {0, 0, 5000},       {3000, 9000, 9000},
                                     {2500, 2700, 7200},   {4000, 4000, 4000}, {10, 20, 400}};
  for (size_t i = 0; i < sizeof given / sizeof given[0]; i++) {
    const int64_t *g = given[i];
    struct demand demand = {.kind = DEMAND_TRIANGULAR, .low = g[0], .likely = g[1], .high = g[2]};
    struct demand_chances chances = demand_chances(bench->arena, &demand, 40);
    double a = (double)g[0] / 1000, c = (double)g[1] / 1000, b = (double)g[2] / 1000;
    double mean = 0;
    for (int k = 0; k <= 40; k++) {
      double expected = a == b ? (k == 4 ? 1 : 0)
                               : distribution(k + 0.5, a, c, b) - distribution(k - 0.5, a, c, b);
      assert_true(fabs(chances.of[k] - expected) < NEAR);
      mean += k * chances.of[k];
    }
    assert_true(fabs(chances.from[0] - 1) < NEAR);
    assert_true(chances.from[41] == 0);
    /* Rounding to whole sets moves the mean (a + b + c) / 3 by less than half a set. */
    assert_true(fabs(mean - (a + b + c) / 3) < 0.5);
  }
}

static void more_than_the_table_is_told(void **state) {
  struct price_bench *bench = *state;
  struct demand demand = {.kind = DEMAND_TRIANGULAR, .low = 8000, .likely = 18000, .high = 30000};
  struct demand_chances all = demand_chances(bench->arena, &demand, 30);
  struct demand_chances few = demand_chances(bench->arena, &demand, 15);
  assert_true(fabs(few.from[16] - all.from[16]) < NEAR);
  assert_true(fabs(few.from[0] - 1) < NEAR);
  demand.low = demand.likely = demand.high = 20000;
  assert_true(demand_chances(bench->arena, &demand, 15).from[16] == 1);
}

static void past_sales_count_alike(void **state) {
  struct price_bench *bench = *state;
  int64_t sold[] = {17, 0, 17, 90};
  struct demand demand = {.kind = DEMAND_SALES, .sales = sold, .sale_count = 4};
  struct demand_chances chances = demand_chances(bench->arena, &demand, 20);
  assert_true(chances.of[0] == 0.25);
  assert_true(chances.of[17] == 0.5);
  assert_true(chances.from[21] == 0.25);
  assert_true(chances.from[1] == 0.75);
}

/* With costs that rise evenly the best quantity is the newsvendor's: the least q with F(q) >= (p -
 * c) / (p - s). Textbook form; Arrow, Harris, Marschak: Optimal Inventory Policy (1951). */
static void newsvendor_rule(void **state) {
  struct price_bench *bench = *state;
  static const cents_t costs[] = {500, 900, 1500, 2100, 2450, 2999};
  for (size_t i = 0; i < sizeof costs / sizeof costs[0]; i++) {
    bench->project.money_count = 0;
    price_bench_money(bench, "price", 30000);
    price_bench_money(bench, "unsold_value", 4000);
    triangle(bench, 20000, 45000, 60000);
    struct price_table *table = price_bench_table(bench, 80, costs[i], 0, 0, 0);
    price_table_fill(bench->arena, table);
    double ratio = (3000.0 - (double)costs[i]) / (3000.0 - 400.0);
    int64_t best = 0;
    while (distribution((double)best + 0.5, 20, 45, 60) < ratio) best++;
    assert_int_equal(table->recommended, best);
  }
}

/* Winston, Albright: Practical Management Science, Walton Bookstore: calendars cost 7.50, sell for
 * 10, are refunded 2.50. Demand 100, 150, 200, 250, 300 with chances .30, .20, .30, .15, .05: the
 * expected profits of ordering as many are 250, 262.50, 200, 25 and -206.25, so 150 is best. Read
 * in published solutions of the example. */
static void walton_bookstore(void **state) {
  struct price_bench *bench = *state;
  static const int64_t in_twenty[] = {6, 4, 6, 3, 1};
  static const double expected[] = {25000, 26250, 20000, 2500, -20625};
  price_bench_money(bench, "price", 10000);
  price_bench_money(bench, "unsold_value", 2500);
  for (int64_t i = 0; i < 5; i++)
    for (int64_t n = 0; n < in_twenty[i]; n++)
      price_bench_money(bench, "sales", (100 + 50 * i) * 1000);
  struct price_table *table = price_bench_table(bench, 300, 750, 0, 0, 0);
  price_table_fill(bench->arena, table);
  for (int64_t i = 0; i < 5; i++)
    assert_true(fabs(price_point_of(table, 100 + 50 * i)->expected_profit - expected[i]) < 1e-6);
  assert_true(fabs(price_point_of(table, 150)->sell_out - 0.70) < NEAR);
  assert_int_equal(table->recommended, 150);
}

/* The same with a triangular demand of 100, 175 and 300, the book's other form: the critical
 * fractile is 2.50 / 7.50, which 100 + sqrt(200 x 75 / 3) = 170.7 meets; by hand. */
static void walton_bookstore_triangular(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 10000);
  price_bench_money(bench, "unsold_value", 2500);
  triangle(bench, 100000, 175000, 300000);
  struct price_table *table = price_bench_table(bench, 300, 750, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_int_equal(table->recommended, 171);
}

/* The expectation of a point, written out over all demands of a lumpy run. */
static void sums_over_every_demand(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 31000);
  price_bench_money(bench, "payment_percent", 2900);
  price_bench_money(bench, "payment_fixed", 300);
  price_bench_money(bench, "stall_fee", 60000);
  price_bench_money(bench, "unsold_value", 9000);
  triangle(bench, 5000, 14000, 31000);
  struct price_table *table = price_bench_table(bench, 40, 310, 4100, 6, 0);
  price_table_fill(bench->arena, table);
  double best = -1e9;
  int64_t best_sets = 0;
  for (int64_t n = 1; n <= 40; n++) {
    const struct price_point *point = price_point_of(table, n);
    double expected = 0, sales = 0, lose = 0, out = 0;
    for (int64_t k = 0; k <= 40; k++) {
      double chance =
          distribution((double)k + 0.5, 5, 14, 31) - distribution((double)k - 0.5, 5, 14, 31);
      int64_t sold = k < n ? k : n;
      /* 2.9 % of 31.00 and 0.30 are 1.199 */
      int64_t profit =
          sold * (3100 - 120) + (n - sold) * 900 - 6000 - 310 * n - 4100 * ((n + 5) / 6);
      expected += chance * (double)profit;
      sales += chance * (double)sold;
      lose += profit < 0 ? chance : 0;
      out += k >= n ? chance : 0;
    }
    assert_true(fabs(point->expected_profit - expected) < 1e-7);
    assert_true(fabs(point->expected_sales - sales) < NEAR * 100);
    assert_true(fabs(point->lose_money - lose) < NEAR);
    assert_true(fabs(point->sell_out - out) < NEAR);
    if (expected > best) {
      best = expected;
      best_sets = n;
    }
  }
  assert_int_equal(table->recommended, best_sets);
  assert_int_equal(best_sets % 6, 0); /* planks are used up */
}

static double draw_unit(uint64_t *random) {
  return (double)(random_draw(random) >> 11) / 9007199254740992.0;
}

/* A triangular demand drawn by inverting its distribution function, to the nearest set. */
static int64_t draw_demand(uint64_t *random, double a, double c, double b) {
  double u = draw_unit(random);
  double x = u < (c - a) / (b - a) ? a + sqrt(u * (b - a) * (c - a))
                                   : b - sqrt((1 - u) * (b - a) * (b - c));
  return (int64_t)floor(x + 0.5);
}

/* A million drawn runs: within five standard errors of the sums, for a seed that stands here. */
static void simulation_agrees(void **state) {
  enum { DRAWN = 1000000 };
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 62000);
  price_bench_money(bench, "unsold_value", 25000);
  price_bench_money(bench, "stall_fee", 95000);
  triangle(bench, 8000, 18000, 30000);
  struct price_table *table = price_bench_table(bench, 30, 1200, 5800, 5, 0);
  price_table_fill(bench->arena, table);
  static const int64_t quantities[] = {9, 18, 24, 30};
  uint64_t random = 20;
  for (size_t i = 0; i < 4; i++) {
    const struct price_point *point = price_point_of(table, quantities[i]);
    double sum = 0, squares = 0, lost = 0, out = 0;
    for (int drawn = 0; drawn < DRAWN; drawn++) {
      int64_t wanted = draw_demand(&random, 8, 18, 30);
      int64_t sold = wanted < point->sets ? wanted : point->sets;
      double profit = (double)(sold * 6200 + (point->sets - sold) * 2500 - point->cost);
      sum += profit;
      squares += profit * profit;
      lost += profit < 0;
      out += wanted >= point->sets;
    }
    double mean = sum / DRAWN, error = sqrt((squares / DRAWN - mean * mean) / DRAWN);
    assert_true(fabs(mean - point->expected_profit) <= 5 * error + 1e-6);
    assert_true(fabs(lost / DRAWN - point->lose_money) < 5 * 0.5 / 1000);
    assert_true(fabs(out / DRAWN - point->sell_out) < 5 * 0.5 / 1000);
  }
}

/* Where nothing is to be gained, the least loss is named: with the stall paid for anyway it is the
 * best there is. */
static void least_loss(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 10000);
  price_bench_money(bench, "stall_fee", 50000);
  triangle(bench, 3000, 3000, 3000);
  struct price_table *table = price_bench_table(bench, 5, 400, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_int_equal(table->recommended, 3);
  assert_true(fabs(price_point_of(table, 3)->expected_profit + 3200) < NEAR);
}

/* Sets beyond a demand that is sure sell for what their wood costs: as good, so not made. */
static void as_good_is_not_better(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 10000);
  price_bench_money(bench, "unsold_value", 4000);
  triangle(bench, 3000, 3000, 3000);
  struct price_table *table = price_bench_table(bench, 5, 400, 0, 0, 0);
  price_table_fill(bench->arena, table);
  for (int64_t n = 3; n <= 5; n++)
    assert_true(fabs(price_point_of(table, n)->expected_profit - 1800) < NEAR);
  assert_int_equal(table->recommended, 3);
}

/* Without a price or a demand nothing is expected and nothing recommended. */
static void nothing_to_expect(void **state) {
  struct price_bench *bench = *state;
  triangle(bench, 3000, 3000, 3000);
  struct price_table *table = price_bench_table(bench, 5, 400, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_false(price_has_demand(table));
  assert_int_equal(table->recommended, 0);
}

/* Two of the three tell nothing; which is missing is said. */
static void half_a_demand(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 10000);
  price_bench_money(bench, "demand_low", 3000);
  price_bench_money(bench, "demand_likely", 3000);
  struct price_table *table = price_bench_table(bench, 5, 400, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_false(price_has_demand(table));
  assert_string_equal(table->terms.demand.missing, "demand_high");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(triangular_masses, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(more_than_the_table_is_told, price_bench_open,
                                      price_bench_close),
      cmocka_unit_test_setup_teardown(past_sales_count_alike, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(newsvendor_rule, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(walton_bookstore, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(walton_bookstore_triangular, price_bench_open,
                                      price_bench_close),
      cmocka_unit_test_setup_teardown(sums_over_every_demand, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(simulation_agrees, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(least_loss, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(as_good_is_not_better, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(half_a_demand, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(nothing_to_expect, price_bench_open, price_bench_close),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
