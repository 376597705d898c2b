/* What a run costs and brings: values from print, the source beside each. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <math.h>

#include "base/random.h"
#include "unit/price_fixture.h"

#define NEAR 1e-12

/* OpenStax, Principles of Accounting 2: Managerial Accounting, 3.1: rent 300 and salary 400 fixed,
 * price 25, variable 15 and 0.50, so 9.50 is contributed by each; 100 sold bring 250, 200 bring
 * 1200; it breaks even with 74. */
static void openstax_contribution(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 25000);
  price_bench_money(bench, "stall_fee", 300000);
  price_bench_money(bench, "travel", 400000);
  price_bench_money(bench, "packing_per_set", 500);
  struct price_table *table = price_bench_table(bench, 200, 1500, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_int_equal(price_point_of(table, 100)->profit, 25000);
  assert_int_equal(price_point_of(table, 200)->profit, 120000);
  assert_int_equal(price_point_of(table, 100)->next_set, 1550);
  assert_int_equal(table->crossing_count, 1);
  assert_int_equal(table->crossings[0].sets, 74);
  assert_true(table->crossings[0].up);
}

/* Textbook form, recomputed: fixed 20,000, price 400, variable 250: 20,000 / 150 = 133.3. */
static void break_even_is_raised_to_whole_sets(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 400000);
  price_bench_money(bench, "stall_fee", 20000000);
  struct price_table *table = price_bench_table(bench, 150, 25000, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_int_equal(table->crossing_count, 1);
  assert_int_equal(table->crossings[0].sets, 134);
  assert_true(price_point_of(table, 133)->profit < 0);
}

/* Definitions m = (P - C) / P, k = (P - C) / C, so m = k / (1 + k): a markup of 25 % is a margin of
 * 20 %; 40 and half of it is 60, a margin of a third. */
static void margin_is_not_markup(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 50000);
  struct price_table *table = price_bench_table(bench, 10, 4000, 0, 0, 0);
  price_table_fill(bench->arena, table);
  const struct price_point *point = price_point_of(table, 7);
  assert_true(fabs(point->markup - 0.25) < NEAR);
  assert_true(fabs(point->margin - 0.20) < NEAR);
  table->terms.price = 6000;
  price_table_fill(bench->arena, table);
  assert_true(fabs(point->markup - 0.5) < NEAR);
  assert_true(fabs(point->margin - 1.0 / 3) < NEAR);
}

/* With 10.00 more for every ten sets begun, contribution 1.05 and fixed costs of 1.00: a profit
 * from the 20th set on is lost again with the 21st, and so on until the planks pay themselves. */
static void every_crossing_is_found(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "price", 2050);
  price_bench_money(bench, "stall_fee", 1000);
  struct price_table *table = price_bench_table(bench, 60, 100, 1000, 10, 0);
  price_table_fill(bench->arena, table);
  static const int64_t sets[] = {20, 21, 30, 31, 40, 41, 49, 51, 59};
  assert_int_equal(table->crossing_count, sizeof sets / sizeof sets[0]);
  for (size_t i = 0; i < table->crossing_count; i++) {
    assert_int_equal(table->crossings[i].sets, sets[i]);
    assert_int_equal(table->crossings[i].up, i % 2 == 0);
  }
}

static void plateaus_end_where_wood_is_begun(void **state) {
  struct price_bench *bench = *state;
  struct price_table *table = price_bench_table(bench, 26, 0, 1000, 8, 0);
  table->points[25].pieces++; /* as dear, but of one piece more */
  price_table_fill(bench->arena, table);
  assert_int_equal(table->plateau_count, 3);
  assert_int_equal(table->plateaus[1].first, 9);
  assert_int_equal(table->plateaus[1].last, 16);
  assert_int_equal(table->plateaus[1].wood, 2000);
  assert_int_equal(table->cheapest, 8);
}

/* Every line of one point, reckoned by hand. */
static void lines_of_a_cost(void **state) {
  struct price_bench *bench = *state;
  bench->project.shop.labour_rate = 2400;
  bench->project.shop.spoilage = 10000; /* a tenth: 12 good sets are 14 started */
  price_bench_bought(bench, "peg", 6000, 50, 950);
  price_bench_bought(bench, "glue", 50, 1, 800);
  price_bench_money(bench, "price", 62000);
  price_bench_money(bench, "finish_per_set", 1105);
  price_bench_money(bench, "packing_per_set", 1400);
  price_bench_money(bench, "machine_rate", 3000);
  price_bench_money(bench, "stall_fee", 95000);
  price_bench_money(bench, "travel", 30000);
  price_bench_money(bench, "selling_hours", 8000);
  price_bench_money(bench, "payment_percent", 2500);
  price_bench_money(bench, "payment_fixed", 250);
  price_bench_money(bench, "tax_percent", 3000);
  struct price_table *table = price_bench_table(bench, 12, 0, 1000, 12, 0);
  struct price_point *point = &table->points[11];
  point->wood_rack = 550;
  point->wood_consumed = 1200;
  point->time.total = (struct work_time){.machine = 600000, .attended = 180000, .hand = 420000};
  price_table_fill(bench->arena, table);
  assert_int_equal(point->started, 14);
  assert_int_equal(point->bought[0].packs, 2); /* 84 pegs in packs of 50 */
  assert_int_equal(point->bought[0].used, 1596);
  assert_int_equal(point->bought[1].packs, 1); /* 0.7 of a bottle */
  assert_int_equal(point->bought_cost, 1900 + 800);
  assert_int_equal(point->bought_used, 1596 + 560);
  assert_int_equal(point->finish, 1547);   /* 14 x 1.105 */
  assert_int_equal(point->packing, 1680);  /* 12 x 1.40 */
  assert_int_equal(point->labour, 24000);  /* 3 h attended, 7 h by hand */
  assert_int_equal(point->machine, 3000);  /* 10 h */
  assert_int_equal(point->selling, 19200); /* 8 h */
  cents_t others = 1547 + 1680 + 24000 + 3000 + 9500 + 3000 + 19200;
  assert_int_equal(point->cost, 1550 + 2700 + others);
  assert_int_equal(point->used_cost, 1200 + 2156 + others);
  assert_int_equal(point->cash_now, 1000 + 2700 + 1547 + 1680 + 9500 + 3000);
  assert_int_equal(point->payment_fees, 12 * 180); /* 1.55 + 0.25 */
  assert_int_equal(point->tax, 12 * 186);
  assert_int_equal(point->total, point->cost + 12 * 366);
  assert_int_equal(point->profit, 12 * 6200 - point->total);
  assert_int_equal(point->minutes, (3 + 7 + 8) * 60000);
  assert_int_equal(point->earned_per_hour, (point->profit + 24000 + 19200 + 9) / 18);
  assert_int_equal(point->per_set, (point->total + 6) / 12);
}

/* The lowest price that does, against a search from below; at every quantity. */
static void prices_are_the_lowest(void **state) {
  struct price_bench *bench = *state;
  uint64_t random = 7;
  for (int run = 0; run < 40; run++) {
    bench->project.money_count = 0;
    bench->project.shop.labour_rate = (cents_t)(random_draw(&random) % 500);
    price_bench_money(bench, "hourly_rate", (int64_t)(random_draw(&random) % 9000));
    price_bench_money(bench, "payment_percent", (int64_t)(random_draw(&random) % 60000));
    price_bench_money(bench, "payment_fixed", (int64_t)(random_draw(&random) % 500));
    price_bench_money(bench, "tax_percent", (int64_t)(random_draw(&random) % 38000));
    price_bench_money(bench, "selling_hours", 1000);
    price_bench_money(bench, "price", 0);
    struct price_table *table = price_bench_table(bench, 6, 300, 500, 4, 60000);
    price_table_fill(bench->arena, table);
    struct price_point want[6];
    for (int n = 0; n < 6; n++) want[n] = table->points[n];
    for (cents_t price = 0; price < 1000000; price++) {
      table->terms.price = price;
      bool open = false;
      for (int n = 0; n < 6; n++) {
        struct price_point *point = &table->points[n];
        cents_t kept =
            price - price_payment_fee(&table->terms, price) - price_tax(&table->terms, price);
        bool pays = kept * point->sets >= point->cost;
        if (price < want[n].break_even_price) assert_false(pays);
        if (price == want[n].break_even_price) assert_true(pays);
        cents_t wages = (point->minutes * table->terms.wage + 300000) / 600000;
        pays = kept * point->sets >= point->cost - point->labour - point->selling + wages;
        if (price < want[n].wage_price) assert_false(pays);
        if (price == want[n].wage_price) assert_true(pays);
        cents_t half = price / 2 - price_tax(&table->terms, price / 2);
        pays = half * point->sets >= point->cost - point->selling;
        if (price < want[n].wholesale_price) assert_false(pays);
        if (price == want[n].wholesale_price) assert_true(pays);
        open |= price < want[n].break_even_price || price < want[n].wage_price ||
                price < want[n].wholesale_price;
      }
      if (!open) break;
    }
  }
}

/* Where the wanted wage is the labour rate, both prices are one. */
static void wage_and_break_even_agree(void **state) {
  struct price_bench *bench = *state;
  bench->project.shop.labour_rate = 1700;
  price_bench_money(bench, "selling_hours", 6000);
  price_bench_money(bench, "stall_fee", 80000);
  struct price_table *table = price_bench_table(bench, 30, 450, 1200, 7, 60000);
  price_table_fill(bench->arena, table);
  for (int64_t n = 1; n <= 30; n++)
    assert_int_equal(price_point_of(table, n)->break_even_price,
                     price_point_of(table, n)->wage_price);
  assert_int_equal(table->recommended, 0);
  assert_int_equal(table->crossing_count, 0);
}

/* 50 % and 50 % leave nothing of any price. */
static void no_price_does(void **state) {
  struct price_bench *bench = *state;
  price_bench_money(bench, "payment_percent", 50000);
  price_bench_money(bench, "tax_percent", 50000);
  struct price_table *table = price_bench_table(bench, 2, 450, 0, 0, 0);
  price_table_fill(bench->arena, table);
  assert_int_equal(price_point_of(table, 2)->break_even_price, PRICE_NONE);
  assert_int_equal(price_point_of(table, 2)->wholesale_price, 1800);
}

/* The largest numbers the input takes are reckoned without overflow. */
static void large_numbers_saturate(void **state) {
  struct price_bench *bench = *state;
  static const char *const items[] = {"price",         "finish_per_set", "packing_per_set",
                                      "machine_rate",  "hourly_rate",    "stall_fee",
                                      "selling_hours", "payment_fixed",  "unsold_value"};
  for (size_t i = 0; i < sizeof items / sizeof items[0]; i++)
    price_bench_money(bench, items[i], INT64_C(1000000000000));
  price_bench_money(bench, "payment_percent", 100000);
  price_bench_bought(bench, "gold", 1000000000, 1, INT64_C(10000000000));
  bench->project.shop.labour_rate = INT64_C(10000000000);
  struct price_table *table =
      price_bench_table(bench, 2, INT64_C(1000000000000), 0, 0, INT64_C(1) << 40);
  price_table_fill(bench->arena, table);
  assert_true(price_point_of(table, 2)->cost > 0);
  assert_true(price_point_of(table, 2)->profit < 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(openstax_contribution, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(break_even_is_raised_to_whole_sets, price_bench_open,
                                      price_bench_close),
      cmocka_unit_test_setup_teardown(margin_is_not_markup, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(every_crossing_is_found, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(plateaus_end_where_wood_is_begun, price_bench_open,
                                      price_bench_close),
      cmocka_unit_test_setup_teardown(lines_of_a_cost, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(prices_are_the_lowest, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(wage_and_break_even_agree, price_bench_open,
                                      price_bench_close),
      cmocka_unit_test_setup_teardown(no_price_does, price_bench_open, price_bench_close),
      cmocka_unit_test_setup_teardown(large_numbers_saturate, price_bench_open, price_bench_close),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
