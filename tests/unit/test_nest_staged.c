/* The staged programs against every cut of tiny rectangles. */
#include "nest/staged.h"
#include "nest_fixture.h"

enum { CASES = 260 };

static void blame(const struct random_case *random, int round, const struct node *root) {
  fprintf(stderr, "case %d\n", round);
  random_case_print(random);
  if (root != NULL) tree_print(root, 1);
}

/* The worth is the brute one and the tree built is allowed and worth as much. */
static void check_best(struct arena *arena, const struct random_case *random, int round) {
  struct staged *staged = staged_create(arena, &random->stock, random->problem.cut_cost);
  staged_price(staged, random->worth);
  cost_t best = staged_best(staged);
  cost_t brute = brute_best(arena, &random->stock, random->worth, NULL, random->problem.cut_cost);
  struct node root;
  struct tree_look look;
  staged_build_best(arena, staged, &root);
  const char *fault =
      tree_fault(&random->stock, &root, random->worth, random->problem.cut_cost, true, &look);
  if (best != brute || fault != NULL || look.worth != best) blame(random, round, &root);
  assert_int_equal(best, brute);
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(look.worth, best);
  assert_true(cutting_obeys(&root, &random->stock.rules));
  assert_int_equal(cutting_count_cuts(&root), look.cuts);
}

enum { PLAIN, RULES, FIRST_CUT, BOTH };

static void check_cases(struct arena *arena, uint64_t seed, int stages, int what) {
  random_start(seed);
  for (int round = 0; round < CASES; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    random_case(&random, 12, 8, stages);
    if (what == RULES || what == BOTH) random_rules(&random);
    if (what == FIRST_CUT || what == BOTH) random_first_cut(&random);
    check_best(arena, &random, round);
    arena_release(arena, mark);
  }
}

static void one_stage(struct arena *arena) { check_cases(arena, 21, 1, PLAIN); }
static void two_stages(struct arena *arena) { check_cases(arena, 22, 2, PLAIN); }
static void three_stages(struct arena *arena) { check_cases(arena, 23, 3, PLAIN); }
static void one_stage_with_rules(struct arena *arena) { check_cases(arena, 24, 1, RULES); }
static void two_stages_with_rules(struct arena *arena) { check_cases(arena, 25, 2, RULES); }
static void three_stages_with_rules(struct arena *arena) { check_cases(arena, 26, 3, RULES); }

static void first_cut_forced(struct arena *arena) {
  for (int stages = 1; stages <= 3; stages++)
    check_cases(arena, 30 + (uint64_t)stages, stages, FIRST_CUT);
}

static void first_cut_forced_with_rules(struct arena *arena) {
  for (int stages = 1; stages <= 3; stages++)
    check_cases(arena, 33 + (uint64_t)stages, stages, BOTH);
}

/* With more stages allowed three are made: never more than all are worth, never less than three. */
static void more_stages_count_as_three(struct arena *arena) {
  random_start(27);
  for (int round = 0; round < 60; round++) {
    struct random_case random;
    random_case(&random, 10, 8, 3);
    cost_t three = brute_best(arena, &random.stock, random.worth, NULL, random.problem.cut_cost);
    for (int stages = 0; stages < 6; stages += 5) {
      random.stock.rules.stages = stages;
      struct staged *staged = staged_create(arena, &random.stock, random.problem.cut_cost);
      staged_price(staged, random.worth);
      assert_int_equal(staged_best(staged), three);
    }
  }
}

/* Tables are filled anew by each pricing. */
static void priced_again(struct arena *arena) {
  random_start(28);
  for (int round = 0; round < 60; round++) {
    struct random_case random;
    random_case(&random, 10, 8, 2 + round % 2);
    struct staged *staged = staged_create(arena, &random.stock, random.problem.cut_cost);
    for (int pricing = 0; pricing < 3; pricing++) {
      cost_t worth[MOST_OPTIONS];
      for (size_t o = 0; o < random.stock.option_count; o++)
        worth[o] = pricing == 1 ? 0 : random_between(0, 200);
      staged_price(staged, worth);
      assert_int_equal(staged_best(staged),
                       brute_best(arena, &random.stock, worth, NULL, random.problem.cut_cost));
    }
  }
}

/* One rectangle inside the stock in `stages` stages. */
static void check_inside(struct arena *arena, const struct random_case *random, int round,
                         enum division next, length_t length, length_t width) {
  int stages = random->stock.rules.stages;
  struct staged *staged = staged_create(arena, &random->stock, random->problem.cut_cost);
  staged_price(staged, random->worth);
  cost_t worth = staged_worth(staged, stages, next, length, width);
  cost_t brute = brute_inside(arena, &random->stock, random->worth, random->problem.cut_cost, next,
                              length, width);
  if (worth != brute) {
    blame(random, round, NULL);
    fprintf(stderr, "inside %d x %d, next %d\n", (int)length, (int)width, (int)next);
  }
  assert_int_equal(worth, brute);
  struct node node = {.kind = NODE_WASTE, .length = length, .width = width};
  struct nest_stock own = random->stock;
  struct tree_look look;
  own.length = length;
  own.width = width;
  staged_build(arena, staged, stages, next, &node);
  const char *fault =
      tree_fault(&own, &node, random->worth, random->problem.cut_cost, false, &look);
  if (fault != NULL) blame(random, round, &node);
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(look.worth, worth);
}

static void rectangles_inside(struct arena *arena) {
  random_start(29);
  for (int round = 0; round < CASES; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    random_case(&random, 12, 8, 1 + round % 3);
    if (random_chance(1, 2)) random_rules(&random);
    enum division next = random_chance(1, 2) ? DIVIDE_LENGTH : DIVIDE_WIDTH;
    int stages = random.stock.rules.stages;
    length_t length = random_between(1, random.stock.length);
    length_t width = random_between(1, random.stock.width);
    if (stages == 3 || (stages == 2 && next == DIVIDE_LENGTH)) length = random.stock.length;
    if (stages == 3 || (stages == 2 && next == DIVIDE_WIDTH)) width = random.stock.width;
    check_inside(arena, &random, round, next, length, width);
    arena_release(arena, mark);
  }
}

/* Pieces of 2 x 3 out of 9 x 5, kerf 1: one row of three, as two rows need a width of 7. */
static void by_hand(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 2, 3);
  struct nest_stock stock = plain_stock(9, 5, 1);
  stock.options = &option;
  stock.option_count = 1;
  cost_t worth = 10;
  struct staged *staged = staged_create(arena, &stock, 0);
  staged_price(staged, &worth);
  assert_int_equal(staged_best(staged), 30);
  assert_true(staged_steps(staged) > 0);
  /* rip 3 off, then crosscut at 2, 5, 8: 1 + 3 cuts; the last kerf ends with the wood */
  staged = staged_create(arena, &stock, 1);
  staged_price(staged, &worth);
  assert_int_equal(staged_best(staged), 26);
  /* a stock that is one piece takes no cut, though neither direction is open to it */
  option.length = 9;
  option.width = 5;
  stock.rules.rip_first = false;
  stock.rules.crosscut_capacity = 4;
  staged = staged_create(arena, &stock, 1);
  staged_price(staged, &worth);
  assert_int_equal(staged_best(staged), 10);
}

static void sizes_along_each_division(struct arena *arena) {
  struct nest_option options[] = {plain_option(0, 0, 4, 2), plain_option(1, 1, 7, 2),
                                  plain_option(2, 2, 4, 3)};
  struct nest_stock stock = plain_stock(12, 8, 1);
  stock.options = options;
  stock.option_count = 3;
  stock.rules.rip_min_length = 5;
  struct staged *staged = staged_create(arena, &stock, 0);
  const struct series_sizes *lengths = staged_sizes(staged, DIVIDE_LENGTH);
  const struct series_sizes *widths = staged_sizes(staged, DIVIDE_WIDTH);
  static const length_t expected[] = {4, 5, 7};
  assert_int_equal(lengths->count, 3);
  assert_memory_equal(lengths->size, expected, sizeof expected);
  assert_int_equal(widths->count, 2);
  assert_int_equal(widths->size[0], 2);
  assert_int_equal(widths->size[1], 3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(one_stage),
      ARENA_TEST(two_stages),
      ARENA_TEST(three_stages),
      ARENA_TEST(one_stage_with_rules),
      ARENA_TEST(two_stages_with_rules),
      ARENA_TEST(three_stages_with_rules),
      ARENA_TEST(first_cut_forced),
      ARENA_TEST(first_cut_forced_with_rules),
      ARENA_TEST(more_stages_count_as_three),
      ARENA_TEST(priced_again),
      ARENA_TEST(rectangles_inside),
      ARENA_TEST(by_hand),
      ARENA_TEST(sizes_along_each_division),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
