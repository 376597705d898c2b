/* Layouts of limited copies in one fill against every cut of tiny rectangles, and on few points of
 * large ones against the table for any number of copies. */
#include "nest/limited.h"

#include "nest/unstaged.h"
#include "nest_fixture.h"

enum { ALL_POINTS = 1000, FEW_POINTS = 60, PLENTY = 127 };

static const struct nest_rules no_rules = {.crosscut_first = true, .rip_first = true};

/* The layout's worth, after its geometry and counts were looked at. */
static cost_t checked_worth(struct arena *arena, const struct random_case *random,
                            const int64_t *limit, size_t points) {
  struct limited *limited =
      limited_create(arena, &random->stock, random->problem.demand_count, points);
  struct node root;
  struct tree_look look;
  limited_layout(arena, limited, random->worth, limit, &root);
  struct nest_stock stock = random->stock;
  stock.rules = no_rules;
  const char *fault = tree_fault(&stock, &root, random->worth, 0, false, &look);
  assert_string_equal(fault == NULL ? "" : fault, "");
  for (size_t d = 0; d < random->problem.demand_count; d++) assert_true(look.counts[d] <= limit[d]);
  assert_true(limited_steps(limited) > 0);
  return look.worth;
}

static void free_case(struct random_case *random) {
  random_case(random, 12, 9, 0);
  random->problem.cut_cost = 0;
}

/* Nearly always the best layout, and never a better one. */
static void near_the_best_within_limits(struct arena *arena) {
  random_start(45);
  int missed = 0;
  for (int round = 0; round < 300; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    int64_t limit[MOST_OPTIONS];
    free_case(&random);
    if (round % 3 == 0) random_rules(&random);
    for (size_t d = 0; d < MOST_OPTIONS; d++) limit[d] = random_between(0, 3);
    cost_t worth = checked_worth(arena, &random, limit, ALL_POINTS);
    random.stock.rules = no_rules;
    cost_t brute = brute_best(arena, &random.stock, random.worth, limit, 0);
    if (worth > brute) random_case_print(&random);
    assert_true(worth <= brute);
    if (worth < brute && round % 3 != 0) missed++;
    arena_release(arena, mark);
  }
  assert_true(missed < 30);
}

static void the_best_where_no_limit_binds(struct arena *arena) {
  random_start(46);
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    static const int64_t limit[MOST_OPTIONS] = {PLENTY, 1000, PLENTY, PLENTY, PLENTY};
    free_case(&random);
    struct unstaged *unstaged =
        unstaged_create(arena, &random.stock, &(size_t){UNSTAGED_CELLS_MOST});
    unstaged_price(unstaged, random.worth);
    assert_int_equal(checked_worth(arena, &random, limit, ALL_POINTS), unstaged_best(unstaged));
    arena_release(arena, mark);
  }
}

static void enlarge(struct random_case *random, length_t times) {
  random->stock.length = times * random->stock.length + random_between(0, times);
  random->stock.width = times * random->stock.width + random_between(0, times);
  for (size_t o = 0; o < random->stock.option_count; o++) {
    random->options[o].length = times * (random->options[o].length + 1) - random_between(0, times);
    random->options[o].width = times * (random->options[o].width + 1) - random_between(0, times);
  }
}

/* On few points little is lost. */
static void few_points_of_large_stock(struct arena *arena) {
  random_start(47);
  double best = 0;
  double found = 0;
  for (int round = 0; round < 40; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    static const int64_t limit[MOST_OPTIONS] = {PLENTY, PLENTY, PLENTY, PLENTY, PLENTY};
    free_case(&random);
    enlarge(&random, 40);
    struct unstaged *unstaged =
        unstaged_create(arena, &random.stock, &(size_t){UNSTAGED_CELLS_MOST});
    unstaged_price(unstaged, random.worth);
    cost_t worth = checked_worth(arena, &random, limit, FEW_POINTS);
    assert_true(worth <= unstaged_best(unstaged));
    best += (double)unstaged_best(unstaged);
    found += (double)worth;
    arena_release(arena, mark);
  }
  assert_true(found > 0.98 * best);
}

static void nothing_wanted(struct arena *arena) {
  struct nest_option options[] = {plain_option(0, 0, 3, 3), plain_option(1, 1, 5, 3)};
  struct nest_stock stock = plain_stock(8, 3, 0);
  static const cost_t worth[] = {-5, 7};
  static const int64_t limit[] = {3, 0};
  struct node root;
  stock.options = options;
  stock.option_count = 2;
  limited_layout(arena, limited_create(arena, &stock, 2, ALL_POINTS), worth, limit, &root);
  assert_int_equal(root.kind, NODE_WASTE);
  assert_int_equal(root.length, 8);
  assert_int_equal(root.width, 3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(near_the_best_within_limits),
      ARENA_TEST(the_best_where_no_limit_binds),
      ARENA_TEST(few_points_of_large_stock),
      ARENA_TEST(nothing_wanted),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
