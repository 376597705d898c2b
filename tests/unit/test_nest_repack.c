/* Whole plans packed anew: layouts are allowed, what is open is counted right, and one piece of
 * stock holds a job where trying every cut says so. */
#include "nest/repack.h"
#include "nest/stock_sets.h"
#include "nest_fixture.h"

enum { CASES = 300, STEPS = 60000 };

static void check_layouts(const struct nest_problem *problem, const int64_t *available,
                          const struct repack_result *result) {
  int64_t placed[8] = {0};
  int64_t used[4] = {0};
  for (size_t i = 0; i < result->layout_count; i++) {
    const struct nest_layout *layout = &result->layouts[i];
    const struct nest_stock *stock = &problem->stocks[layout->stock];
    cost_t worth[8] = {0};
    struct tree_look look;
    const char *fault = tree_fault(stock, &layout->root, worth, 0, true, &look);
    if (fault != NULL) tree_print(&layout->root, 1);
    assert_string_equal(fault == NULL ? "" : fault, "");
    assert_true(cutting_obeys(&layout->root, &stock->rules));
    assert_int_equal(layout->cuts, look.cuts);
    assert_int_equal(layout->times, 1);
    used[layout->stock]++;
    for (size_t d = 0; d < problem->demand_count; d++) {
      assert_int_equal(layout->counts[d], look.counts[d]);
      placed[d] += look.counts[d];
    }
  }
  bool complete = true;
  for (size_t d = 0; d < problem->demand_count; d++) {
    assert_true(placed[d] <= problem->demand[d]);
    assert_int_equal(result->open[d], problem->demand[d] - placed[d]);
    if (result->open[d] > 0) complete = false;
  }
  assert_int_equal(result->complete, complete);
  for (size_t s = 0; s < problem->stock_count; s++) assert_true(used[s] <= available[s]);
}

/* Whether trying every cut gets the whole demand out of one piece of the stock. */
static bool holds_all(struct arena *arena, const struct random_case *random) {
  cost_t worth[MOST_OPTIONS];
  cost_t all = 0;
  for (size_t d = 0; d < random->problem.demand_count; d++) {
    worth[d] = 1;
    all += random->demand[d];
  }
  return brute_best(arena, &random->stock, worth, random->demand, 0) == all;
}

enum { PLAIN = 0, RULES = 1, FIRST_CUT = 2, FLAWS = 4, STRIPS = 8 };

static void random_strips(struct random_case *random) {
  struct nest_rules *rules = &random->stock.rules;
  rules->rip_no_wider_than_long = random_chance(1, 2);
  if (random_chance(1, 2)) rules->rip_capacity = random_between(1, random->stock.width);
}

/* How often a job that fits was held, and how often one was. */
struct tally {
  int held, fitting;
};

static void check_case(struct arena *arena, int stages, int what, struct tally *tally) {
  struct random_case random;
  struct repack_result result;
  struct repack_result again;
  int64_t available = 1;
  random_case(&random, 11, 7, stages);
  if (what & RULES) random_rules(&random);
  if (what & FIRST_CUT) random_first_cut(&random);
  if (what & FLAWS) random_flaws(&random);
  if (what & STRIPS) random_strips(&random);
  for (size_t d = 0; d < random.problem.demand_count; d++) random.demand[d] = random_between(0, 2);
  repack(arena, &random.problem, random.demand, &available, NULL, 0, STEPS, 7, &result);
  check_layouts(&random.problem, &available, &result);
  repack(arena, &random.problem, random.demand, &available, NULL, 0, STEPS, 7, &again);
  assert_int_equal(result.steps, again.steps);
  assert_int_equal(result.layout_count, again.layout_count);
  for (size_t d = 0; d < random.problem.demand_count; d++)
    assert_int_equal(result.open[d], again.open[d]);
  bool fits = holds_all(arena, &random);
  if (result.complete && !fits) random_case_print(&random);
  assert_true(!result.complete || fits);
  tally->fitting += fits ? 1 : 0;
  tally->held += fits && result.complete ? 1 : 0;
}

/* Without flaws every tiny job that fits is found; with flaws pieces go to fewer places. */
static void check_cases(struct arena *arena, uint64_t seed, int what, int percent) {
  struct tally tally = {0, 0};
  random_start(seed);
  for (int round = 0; round < CASES; round++) {
    struct arena_mark mark = arena_mark(arena);
    check_case(arena, round % 4, what, &tally);
    arena_release(arena, mark);
  }
  assert_true(tally.fitting >= CASES / 10);
  if (tally.held * 100 < tally.fitting * percent)
    fail_msg("held %d of %d", tally.held, tally.fitting);
}

static void test_plain(struct arena *arena) { check_cases(arena, 1, PLAIN, 100); }
static void test_rules(struct arena *arena) { check_cases(arena, 2, RULES, 100); }
static void test_first_cut(struct arena *arena) { check_cases(arena, 3, FIRST_CUT | RULES, 100); }
static void test_strips(struct arena *arena) { check_cases(arena, 4, STRIPS, 97); }
static void test_flaws(struct arena *arena) { check_cases(arena, 5, FLAWS, 97); }
static void test_all(struct arena *arena) {
  check_cases(arena, 6, FLAWS | RULES | STRIPS | FIRST_CUT, 95);
}

/* Three pieces of 32 and two kerfs of 2 fill 100 exactly; a kerf of 3 leaves one out. */
/* Of pieces of which more are worth something than the stock holds: never more than the best by
 * trying every cut, and that nearly always. */
static void test_one_piece_of_most_worth(struct arena *arena) {
  int best_found = 0;
  random_start(8);
  for (int i = 0; i < CASES; i++) {
    struct random_case random;
    struct nest_layout layout = {0};
    int64_t spent = 0;
    random_case(&random, 11, 7, 3);
    if (i % 2 == 1) random_flaws(&random);
    for (size_t d = 0; d < random.problem.demand_count; d++) {
      random.demand[d] = random_between(0, 3);
      random.worth[d] = random_between(0, 9);
    }
    cost_t most = brute_best(arena, &random.stock, random.worth, random.demand, 0);
    cost_t worth = 0;
    struct tree_look look;
    if (repack_layout(arena, &random.problem, 0, random.worth, random.demand, NULL, STEPS, &layout,
                      &spent)) {
      const char *fault = tree_fault(&random.stock, &layout.root, random.worth, 0, true, &look);
      assert_string_equal(fault == NULL ? "" : fault, "");
      for (size_t d = 0; d < random.problem.demand_count; d++) {
        assert_true(layout.counts[d] <= random.demand[d]);
        assert_int_equal(layout.counts[d], look.counts[d]);
        worth += layout.counts[d] * random.worth[d];
      }
    }
    assert_true(worth <= most);
    best_found += worth == most;
  }
  assert_true(best_found >= CASES * 97 / 100);
}

static void test_kerfs_add_up(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 32, 10);
  struct nest_stock stock = plain_stock(100, 10, 2);
  int64_t demand = 3;
  int64_t available = 1;
  stock.options = &option;
  stock.option_count = 1;
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = &stock, .stock_count = 1};
  struct repack_result result;
  repack(arena, &problem, &demand, &available, NULL, 0, STEPS, 1, &result);
  check_layouts(&problem, &available, &result);
  assert_true(result.complete);
  assert_int_equal(result.layouts[0].cuts, 2);
  stock.kerf_crosscut = 3;
  repack(arena, &problem, &demand, &available, NULL, 0, STEPS, 1, &result);
  check_layouts(&problem, &available, &result);
  assert_int_equal(result.open[0], 1);
}

/* In 10 x 10 three 7 x 3 lie above each other, and beside them 3 x 10 is left: a fourth fits
 * there turned only. */
static void test_turned_pieces(struct arena *arena) {
  struct nest_option options[2] = {plain_option(0, 0, 7, 3), plain_option(0, 0, 3, 7)};
  struct nest_stock stock = plain_stock(10, 10, 0);
  int64_t demand = 4;
  int64_t available = 1;
  options[1].turned = true;
  stock.options = options;
  stock.rules.stages = 0;
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = &stock, .stock_count = 1};
  struct repack_result result;
  for (stock.option_count = 1; stock.option_count <= 2; stock.option_count++) {
    repack(arena, &problem, &demand, &available, NULL, 0, STEPS, 1, &result);
    check_layouts(&problem, &available, &result);
    assert_int_equal(result.open[0], stock.option_count == 1 ? 1 : 0);
  }
}

/* A start is used as far as stock and demand go; the rest of it is taken apart. */
static void test_start_is_used(struct arena *arena) {
  struct nest_option options[2] = {plain_option(0, 0, 6, 5), plain_option(1, 1, 4, 5)};
  struct nest_stock stocks[2] = {plain_stock(10, 10, 0), plain_stock(10, 5, 0)};
  int64_t demand[2] = {4, 4};
  int64_t available[2] = {2, 0};
  for (size_t s = 0; s < 2; s++) {
    stocks[s].options = options;
    stocks[s].option_count = 2;
  }
  struct nest_problem problem = {
      .demand = demand, .demand_count = 2, .stocks = stocks, .stock_count = 2};
  struct repack_result first;
  repack(arena, &problem, demand, available, NULL, 0, STEPS, 1, &first);
  check_layouts(&problem, available, &first);
  assert_true(first.complete);
  struct repack_result second;
  repack(arena, &problem, demand, available, first.layouts, first.layout_count, STEPS, 1, &second);
  check_layouts(&problem, available, &second);
  assert_true(second.complete);
  assert_true(second.steps < first.steps);
  demand[0] = 1;
  available[0] = 1;
  available[1] = 1;
  repack(arena, &problem, demand, available, first.layouts, first.layout_count, STEPS, 1, &second);
  check_layouts(&problem, available, &second);
  assert_true(second.complete);
}

/* Prices 5 and 3, budget 11: 2 of the large, or 1 and 2, or 0 and 3; what is part of another is
 * not listed, nor what has too little area. */
static void test_sets_within_a_budget(struct arena *arena) {
  struct nest_stock stocks[2] = {plain_stock(10, 10, 0), plain_stock(10, 5, 0)};
  int64_t available[2] = {3, 9};
  int64_t used[2] = {0, 0};
  stocks[0].cost = 5;
  stocks[1].cost = 3;
  stocks[0].count = stocks[1].count = -1;
  struct nest_problem problem = {.stocks = stocks, .stock_count = 2};
  struct stock_sets sets = stock_sets_list(arena, &problem, available, used, 11, 0, NULL, 8);
  assert_int_equal(sets.count, 3);
  assert_int_equal(sets.items[0].pieces[0], 2);
  assert_int_equal(sets.items[0].pieces[1], 0);
  assert_int_equal(sets.items[1].pieces[0], 1);
  assert_int_equal(sets.items[1].pieces[1], 2);
  assert_int_equal(sets.items[2].pieces[1], 3);
  sets = stock_sets_list(arena, &problem, available, used, 11, 160, NULL, 8);
  assert_int_equal(sets.count, 2);
  sets = stock_sets_list(arena, &problem, available, used, 11, 0, NULL, 1);
  assert_int_equal(sets.count, 1);
  assert_int_equal(sets.items[0].pieces[0], 2);
  /* one set refuted, the other too small for what all pieces are worth */
  const int64_t large[2] = {2, 0};
  const int64_t *refuted = large;
  cost_t most[2] = {2, 1};
  struct stock_cut cut = {.need = 4, .most = most};
  struct stock_choice known = {.stock_count = 2, .cuts = &cut, .cut_count = 1};
  known.refuted = (struct stock_refusals){.pieces = &refuted, .count = 1};
  sets = stock_sets_list(arena, &problem, available, used, 11, 0, &known, 8);
  assert_int_equal(sets.count, 1);
  assert_int_equal(sets.items[0].pieces[0], 1);
  used[1] = 1; /* cuts are of all there is */
  sets = stock_sets_list(arena, &problem, available, used, 11, 0, &known, 8);
  assert_int_equal(sets.count, 3);
  used[1] = 0;
  /* a pack of two begun already has one piece for nothing */
  stocks[1].pack = 2;
  used[1] = 1;
  sets = stock_sets_list(arena, &problem, available, used, 4, 0, NULL, 8);
  assert_int_equal(sets.count, 1);
  assert_int_equal(sets.items[0].pieces[1], 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(test_plain),
      ARENA_TEST(test_rules),
      ARENA_TEST(test_first_cut),
      ARENA_TEST(test_strips),
      ARENA_TEST(test_flaws),
      ARENA_TEST(test_all),
      ARENA_TEST(test_one_piece_of_most_worth),
      ARENA_TEST(test_kerfs_add_up),
      ARENA_TEST(test_turned_pieces),
      ARENA_TEST(test_start_is_used),
      ARENA_TEST(test_sets_within_a_budget),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
