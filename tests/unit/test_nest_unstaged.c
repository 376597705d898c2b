/* The program without stages against every cut of tiny rectangles. */
#include "nest/unstaged.h"
#include "nest_fixture.h"

static void blame(const struct random_case *random, int round, const struct node *root) {
  fprintf(stderr, "case %d\n", round);
  random_case_print(random);
  if (root != NULL) tree_print(root, 1);
}

/* A case with cuts that are free and any number of stages. */
static void free_case(struct random_case *random) {
  random_case(random, 12, 9, 0);
  random->problem.cut_cost = 0;
}

/* Rules may keep a layout from being cut as it is worth: then it is a bound. */
static void check(struct arena *arena, const struct random_case *random, int round, bool rules) {
  struct unstaged *unstaged =
      unstaged_create(arena, &random->stock, &(size_t){UNSTAGED_CELLS_MOST});
  unstaged_price(unstaged, random->worth);
  cost_t worth = unstaged_best(unstaged);
  cost_t brute = brute_best(arena, &random->stock, random->worth, NULL, 0);
  struct node root;
  struct tree_look look;
  unstaged_build(arena, unstaged, &root);
  struct nest_stock stock = random->stock;
  stock.rules = (struct nest_rules){.crosscut_first = true, .rip_first = true};
  const char *fault = tree_fault(&stock, &root, random->worth, 0, true, &look);
  bool fine = rules ? worth >= brute : worth == brute;
  if (!fine || fault != NULL || look.worth != worth) blame(random, round, &root);
  assert_true(fine);
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(look.worth, worth);
}

static void best_of_all_layouts(struct arena *arena) {
  random_start(41);
  for (int round = 0; round < 400; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    free_case(&random);
    check(arena, &random, round, false);
    arena_release(arena, mark);
  }
}

static void a_bound_within_rules(struct arena *arena) {
  random_start(42);
  for (int round = 0; round < 400; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    free_case(&random);
    random_rules(&random);
    check(arena, &random, round, true);
    arena_release(arena, mark);
  }
}

/* Whatever else is asked of a layout, it is worth no more. */
static void nothing_is_worth_more(struct arena *arena) {
  random_start(43);
  int less = 0;
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    free_case(&random);
    random_rules(&random);
    if (random_chance(1, 2)) random_first_cut(&random);
    if (random_chance(1, 2)) random.stock.rules.rip_no_wider_than_long = true;
    if (random_chance(1, 2)) random.stock.rules.rip_capacity = random_between(1, 4);
    random.stock.length = random.stock.length > 9 ? 9 : random.stock.length;
    random.stock.width = random.stock.width > 7 ? 7 : random.stock.width;
    random.stock.rules.stages = (int)random_between(0, 3);
    struct unstaged *unstaged =
        unstaged_create(arena, &random.stock, &(size_t){UNSTAGED_CELLS_MOST});
    unstaged_price(unstaged, random.worth);
    cost_t bound = unstaged_best(unstaged);
    if (random_chance(1, 2)) random_flaws(&random);
    cost_t cut_cost = random_between(0, 3);
    cost_t brute = brute_best(arena, &random.stock, random.worth, NULL, cut_cost);
    if (brute > bound) blame(&random, round, NULL);
    assert_true(brute <= bound);
    if (brute < bound) less++;
    arena_release(arena, mark);
  }
  assert_true(less > 20);
}

/* Every rectangle inside the stock has its own best layout in the table made for it. */
static void rectangles_inside(struct arena *arena) {
  random_start(44);
  for (int round = 0; round < 60; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    free_case(&random);
    struct unstaged *unstaged =
        unstaged_create_inside(arena, &random.stock, &(size_t){UNSTAGED_CELLS_MOST});
    unstaged_price(unstaged, random.worth);
    struct nest_stock part = random.stock;
    for (int look = 0; look < 8; look++) {
      struct node node = {.kind = NODE_WASTE};
      struct tree_look tree;
      part.length = node.length = random_between(1, random.stock.length);
      part.width = node.width = random_between(1, random.stock.width);
      cost_t brute = brute_best(arena, &part, random.worth, NULL, 0);
      assert_int_equal(unstaged_worth(unstaged, part.length, part.width), brute);
      unstaged_build_inside(arena, unstaged, &node);
      assert_null(tree_fault(&part, &node, random.worth, 0, true, &tree));
      assert_int_equal(tree.worth, brute);
    }
    assert_int_equal(unstaged_worth(unstaged, 0, 5), 0);
    arena_release(arena, mark);
  }
}

static void worths_of_nothing_are_left_out(struct arena *arena) {
  struct nest_option options[] = {plain_option(0, 0, 3, 3), plain_option(1, 1, 5, 3)};
  struct nest_stock stock = plain_stock(8, 3, 0);
  static const cost_t worth[] = {-5, 7};
  static const cost_t none[] = {-5, 0};
  struct node root;
  stock.options = options;
  stock.option_count = 2;
  struct unstaged *unstaged = unstaged_create(arena, &stock, &(size_t){UNSTAGED_CELLS_MOST});
  unstaged_price(unstaged, worth);
  assert_int_equal(unstaged_best(unstaged), 7);
  int64_t steps = unstaged_steps(unstaged);
  unstaged_price(unstaged, none);
  assert_true(unstaged_steps(unstaged) >= steps);
  assert_int_equal(unstaged_best(unstaged), 0);
  unstaged_build(arena, unstaged, &root);
  assert_int_equal(root.kind, NODE_WASTE);
  assert_int_equal(root.length, 8);
  assert_int_equal(root.width, 3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(best_of_all_layouts),
      ARENA_TEST(a_bound_within_rules),
      ARENA_TEST(nothing_is_worth_more),
      ARENA_TEST(rectangles_inside),
      ARENA_TEST(worths_of_nothing_are_left_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
