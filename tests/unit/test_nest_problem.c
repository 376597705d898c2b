/* What stock costs and how much of it there is. */
#include "nest_fixture.h"

static struct nest_stock priced(cost_t cost, cost_t trim_cost, int64_t pack, int64_t count) {
  struct nest_stock stock = plain_stock(10, 10, 1);
  stock.cost = cost;
  stock.trim_cost = trim_cost;
  stock.pack = pack;
  stock.count = count;
  return stock;
}

static void single_pieces(void **state) {
  (void)state;
  struct nest_stock stock = priced(107, 7, 1, -1);
  assert_int_equal(nest_stock_cost(&stock, 0), 0);
  assert_int_equal(nest_stock_cost(&stock, 1), 107);
  assert_int_equal(nest_stock_cost(&stock, 5), 535);
}

/* A pack is paid whole; only what is cut is trimmed. */
static void whole_packs(void **state) {
  (void)state;
  struct nest_stock stock = priced(107, 7, 4, -1);
  assert_int_equal(nest_stock_cost(&stock, 0), 0);
  assert_int_equal(nest_stock_cost(&stock, 1), 407);
  assert_int_equal(nest_stock_cost(&stock, 4), 428);
  assert_int_equal(nest_stock_cost(&stock, 5), 835);
  for (int64_t n = 0; n < 40; n++) {
    int64_t packs = 0;
    while (packs * 4 < n) packs++;
    assert_int_equal(nest_stock_cost(&stock, n), packs * 400 + n * 7);
  }
}

static void what_can_be_had(void **state) {
  (void)state;
  struct nest_stock stock = priced(1, 0, 1, 7);
  assert_int_equal(nest_stock_most(&stock), 7);
  stock.count = 0;
  assert_int_equal(nest_stock_most(&stock), 0);
  stock.count = -1;
  assert_int_equal(nest_stock_most(&stock), INT64_MAX / 4);
  stock = priced(1, 0, 4, 11);
  assert_int_equal(nest_stock_most(&stock), 8);
  stock.count = 3;
  assert_int_equal(nest_stock_most(&stock), 0);
}

/* Demand 3 is for sets of two of demand 0 and one of demand 2. */
static void sets_from_one_plank(void **state) {
  (void)state;
  size_t member[] = {0, 2};
  int64_t per_set[] = {2, 1};
  int64_t demand[] = {4, 7, 3, 3};
  struct nest_match match = {3, member, per_set, 2};
  struct nest_problem problem = {
      .demand = demand, .demand_count = 4, .matches = &match, .match_count = 1};
  for (size_t d = 0; d < 4; d++) assert_int_equal(nest_is_match(&problem, d), d == 3);
  static const int64_t cases[][3] = {{0, 5, 0}, {1, 0, 3}, {2, 0, 3},
                                     {5, 1, 3}, {9, 0, 3}, {9, 0, 9}};
  static const int64_t sets[] = {0, 0, 1, 2, 3, 4};
  for (size_t i = 0; i < 6; i++) {
    int64_t counts[] = {cases[i][0], cases[i][1], cases[i][2], 99};
    nest_count_matches(&problem, counts);
    assert_int_equal(counts[3], sets[i]);
    for (size_t d = 0; d < 3; d++) assert_int_equal(counts[d], cases[i][d]);
  }
  /* three sets are open: six of demand 0 may be of use though but four are wanted */
  int64_t limit[4];
  nest_useful_limits(&problem, demand, limit);
  assert_int_equal(limit[0], 6);
  assert_int_equal(limit[1], 7);
  assert_int_equal(limit[2], 3);
  assert_int_equal(limit[3], 3);
}

/* Two of demand 0 are made at once from three units of demand 1: five take three times three. */
static void units_of_assemblies(void **state) {
  (void)state;
  int64_t demand[] = {5, 0};
  int64_t given[] = {2, -3};
  struct nest_stock assembly = {.given = given, .assembly = true, .count = -1};
  struct nest_problem problem = {.stocks = &assembly,
                                 .stock_count = 1,
                                 .demand = demand,
                                 .demand_count = 2,
                                 .coupling_count = 1};
  int64_t limit[2];
  nest_useful_limits(&problem, demand, limit);
  assert_int_equal(limit[0], 5);
  assert_int_equal(limit[1], 9);
  demand[0] = 4;
  nest_useful_limits(&problem, demand, limit);
  assert_int_equal(limit[1], 6);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(single_pieces),       cmocka_unit_test(whole_packs),
      cmocka_unit_test(what_can_be_had),     cmocka_unit_test(sets_from_one_plank),
      cmocka_unit_test(units_of_assemblies),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
