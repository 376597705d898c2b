/* Layouts around flaws against every cut of tiny rectangles. */
#include "nest/flawed.h"
#include "nest_fixture.h"

enum { PLENTY = 100000000 };

struct flawed_look {
  cost_t worth, bound, brute;
};

static void blame(const struct random_case *random, int round, const struct node *root,
                  const struct flawed_look *look) {
  fprintf(stderr, "case %d: worth %d, bound %d, brute %d\n", round, (int)look->worth,
          (int)look->bound, (int)look->brute);
  random_case_print(random);
  tree_print(root, 1);
}

static struct flawed_look check(struct arena *arena, const struct random_case *random, int round,
                                int64_t steps) {
  struct flawed_look look = {0};
  struct staged *staged = staged_create(arena, &random->stock, random->problem.cut_cost);
  struct flawed *flawed = flawed_create(arena, &random->stock, staged, random->problem.cut_cost);
  struct node root;
  struct tree_look tree;
  staged_price(staged, random->worth);
  flawed_search(arena, flawed, random->worth, steps, &root, &look.worth, &look.bound);
  look.brute = brute_best(arena, &random->stock, random->worth, NULL, random->problem.cut_cost);
  const char *fault =
      tree_fault(&random->stock, &root, random->worth, random->problem.cut_cost, true, &tree);
  bool fine = fault == NULL && tree.worth == look.worth && look.worth <= look.brute &&
              look.brute <= look.bound && (steps < PLENTY || look.worth == look.bound);
  if (!fine) blame(random, round, &root, &look);
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(tree.worth, look.worth);
  assert_true(look.worth <= look.brute);
  assert_true(look.brute <= look.bound);
  if (steps >= PLENTY) assert_int_equal(look.worth, look.bound);
  assert_true(flawed_steps(flawed) >= 0);
  return look;
}

/* With kerfs as wide as a unit every gap between two pieces is a kerf or has room for two;
 * wider ones have a test of their own. */
static void flawed_case(struct random_case *random, int stages, bool rules) {
  random_case(random, 9, 6, stages);
  random->stock.kerf_crosscut = random_between(0, 1);
  random->stock.kerf_rip = random_between(0, 1);
  if (rules) random_rules(random);
  random_flaws(random);
}

static void check_cases(struct arena *arena, uint64_t seed, int stages, bool rules) {
  random_start(seed);
  for (int round = 0; round < 160; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    flawed_case(&random, stages, rules);
    check(arena, &random, round, PLENTY);
    arena_release(arena, mark);
  }
}

static void one_stage(struct arena *arena) { check_cases(arena, 51, 1, false); }
static void two_stages(struct arena *arena) { check_cases(arena, 52, 2, false); }
static void three_stages(struct arena *arena) { check_cases(arena, 53, 3, false); }

static void any_stage_with_rules(struct arena *arena) {
  for (int stages = 1; stages <= 3; stages++)
    check_cases(arena, 53 + (uint64_t)stages, stages, true);
}

static void first_cut_forced(struct arena *arena) {
  random_start(58);
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    flawed_case(&random, (int)random_between(1, 3), false);
    random_first_cut(&random);
    check(arena, &random, round, PLENTY);
    arena_release(arena, mark);
  }
}

/* A gap between two pieces may be wider than a kerf and narrower than two, when the second
 * kerf runs out into the first; and a kerf may be cut off the very edge. */
static void wide_kerfs(struct arena *arena) {
  random_start(57);
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    flawed_case(&random, (int)random_between(1, 3), false);
    random.stock.kerf_crosscut = random_between(1, 2);
    random.stock.kerf_rip = 3 - random.stock.kerf_crosscut;
    check(arena, &random, round, PLENTY);
    arena_release(arena, mark);
  }
}

/* However early the search stops, its bound holds. */
static void stopped_early(struct arena *arena) {
  random_start(59);
  int open = 0;
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    flawed_case(&random, (int)random_between(1, 3), round % 2 == 0);
    struct flawed_look look = check(arena, &random, round, random_between(0, 60));
    if (look.worth < look.bound) open++;
    arena_release(arena, mark);
  }
  assert_true(open > 5);
}

/* A knot in the middle of 11 x 4, no kerf, pieces of 5 x 4: one in front, one behind it; a
 * piece whose rims may hold the knot lies across it. */
static void by_hand(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 5, 4);
  struct nest_flaw flaw = {5, 0, 1, 1, true};
  struct nest_stock stock = plain_stock(11, 4, 0);
  cost_t worth[] = {10};
  stock.options = &option;
  stock.option_count = 1;
  stock.flaws = &flaw;
  stock.flaw_count = 1;
  struct random_case random = {.stock = stock, .worth = {10}};
  assert_int_equal(check(arena, &random, 0, PLENTY).worth, 20);
  stock.length = 9;
  option.core_x = 1;
  random.stock = stock;
  assert_int_equal(check(arena, &random, 1, PLENTY).worth, 10);
  flaw.x = 4;
  assert_int_equal(check(arena, &random, 2, PLENTY).worth, worth[0]);
  stock.length = 10;
  random.stock = stock;
  assert_int_equal(check(arena, &random, 3, PLENTY).worth, 20);
  flaw.rim_ok = false;
  assert_int_equal(check(arena, &random, 4, PLENTY).worth, 10);
}

/* Pieces of one unit in a row 1 wide, kerf 2. */
static cost_t row_of_units(struct arena *arena, int stages, length_t length,
                           struct nest_flaw *flaws, size_t flaw_count) {
  struct nest_option option = plain_option(0, 0, 1, 1);
  struct random_case random = {.stock = plain_stock(length, 1, 2), .worth = {10}};
  random.stock.rules.stages = stages;
  random.stock.options = &option;
  random.stock.option_count = 1;
  random.stock.flaws = flaws;
  random.stock.flaw_count = flaw_count;
  return check(arena, &random, 0, PLENTY).worth;
}

/* First [2, 4] is cut away for the piece at 4, then [1, 3] of what is left below 2. */
static void a_kerf_runs_out_into_another(struct arena *arena) {
  struct nest_flaw flaw = {2, 0, 2, 1, false};
  assert_int_equal(row_of_units(arena, 3, 5, &flaw, 1), 20);
  assert_int_equal(row_of_units(arena, 1, 5, &flaw, 1), 20);
}

/* [0, 2] is cut away with nothing below it: the piece lies at 2. */
static void a_kerf_off_the_very_edge(struct arena *arena) {
  struct nest_flaw flaws[] = {{0, 0, 1, 1, false}, {3, 0, 1, 1, false}};
  assert_int_equal(row_of_units(arena, 3, 4, flaws, 2), 10);
}

/* A stock that is one piece takes no cut, whatever its first cut would have to be. */
static void the_whole_stock_is_a_piece(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 6, 4);
  struct nest_flaw flaw = {0, 0, 1, 4, true};
  struct random_case random = {.stock = plain_stock(6, 4, 1), .worth = {10}};
  option.core_x = 1;
  random.problem.cut_cost = 1;
  random.stock.options = &option;
  random.stock.option_count = 1;
  random.stock.flaws = &flaw;
  random.stock.flaw_count = 1;
  assert_int_equal(check(arena, &random, 0, PLENTY).worth, 10);
  random.stock.rules.rip_first = false;
  assert_int_equal(check(arena, &random, 1, PLENTY).worth, 10);
}

/* Two pieces behind a strip of waste, in a part that is long enough for a rip only as nearly the
 * whole: the first cut has to be a crosscut, and what it cuts off may be no more than that strip.
 */
static void the_first_cut_takes_a_little(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 3, 2);
  struct nest_flaw flaws[] = {{3, -1, 2, 2, true}, {2, 2, 2, 1, false}};
  struct random_case random = {.stock = plain_stock(7, 3, 0), .worth = {10}};
  option.core_x = 1;
  random.stock.rules.stages = 3;
  random.stock.rules.rip_first = false;
  random.stock.rules.rip_min_length = 6;
  random.stock.options = &option;
  random.stock.option_count = 1;
  random.stock.flaws = flaws;
  random.stock.flaw_count = 2;
  assert_int_equal(check(arena, &random, 0, PLENTY).worth, 20);
}

/* The same stock lying the other way; a capacity that never binds. */
static struct random_case turned_about(const struct random_case *random) {
  struct random_case turned = *random;
  turned.stock.length = random->stock.width;
  turned.stock.width = random->stock.length;
  turned.stock.rules.crosscut_first = random->stock.rules.rip_first;
  turned.stock.rules.rip_first = random->stock.rules.crosscut_first;
  turned.stock.rules.crosscut_capacity = 1000;
  for (size_t o = 0; o < random->stock.option_count; o++) {
    turned.options[o].length = random->options[o].width;
    turned.options[o].width = random->options[o].length;
    turned.options[o].core_x = random->options[o].core_y;
    turned.options[o].core_y = random->options[o].core_x;
  }
  for (size_t f = 0; f < random->stock.flaw_count; f++) {
    const struct nest_flaw *flaw = &random->flaws[f];
    turned.flaws[f] = (struct nest_flaw){flaw->y, flaw->x, flaw->width, flaw->length, flaw->rim_ok};
  }
  return turned;
}

static cost_t search_to_the_end(struct arena *arena, struct random_case *random) {
  struct node root;
  cost_t worth = 0;
  cost_t bound = 0;
  random->stock.options = random->options;
  random->stock.flaws = random->flaws;
  struct staged *staged = staged_create(arena, &random->stock, 0);
  struct flawed *flawed = flawed_create(arena, &random->stock, staged, 0);
  staged_price(staged, random->worth);
  flawed_search(arena, flawed, random->worth, PLENTY, &root, &worth, &bound);
  assert_int_equal(worth, bound);
  return bound;
}

/* Parts of rows with many starts are bounded together along the length; along the width, where
 * crosscuts have a capacity, each alone. */
static void rows_of_many_starts(struct arena *arena) {
  random_start(77);
  for (int round = 0; round < 24; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    random_case(&random, 160, 14, round % 3 == 0 ? 2 : 3);
    random.stock.length = random_between(120, 160);
    random.stock.kerf_crosscut = random.stock.kerf_rip = random_between(0, 2);
    random.stock.option_count = 4;
    for (size_t o = 0; o < 4; o++) {
      random.options[o] =
          plain_option(o, o, random_between(4, 40), random_between(2, random.stock.width));
      random.worth[o] =
          random.options[o].length * random.options[o].width * 4 + random_between(-3, 12);
    }
    random_flaws(&random);
    for (size_t f = 0; f < random.stock.flaw_count; f++) random.flaws[f].length += 6;
    if (round % 4 == 1) random_first_cut(&random);
    struct random_case turned = turned_about(&random);
    cost_t together = search_to_the_end(arena, &random);
    cost_t apart = search_to_the_end(arena, &turned);
    if (together != apart) random_case_print(&random);
    assert_int_equal(together, apart);
    arena_release(arena, mark);
  }
}

/* A search may end once its bound is low enough; what it says then still holds. */
static void stopped_at_a_bound(struct arena *arena) {
  int lower = 0;
  random_start(78);
  for (int round = 0; round < 100; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    struct node root;
    cost_t worth = 0;
    cost_t bound = 0;
    flawed_case(&random, 3, false);
    cost_t brute = brute_best(arena, &random.stock, random.worth, NULL, random.problem.cut_cost);
    cost_t enough = brute + random_between(-2, 8);
    struct staged *staged = staged_create(arena, &random.stock, random.problem.cut_cost);
    struct flawed *flawed = flawed_create(arena, &random.stock, staged, random.problem.cut_cost);
    staged_price(staged, random.worth);
    flawed_stop_at(flawed, enough);
    flawed_search(arena, flawed, random.worth, PLENTY, &root, &worth, &bound);
    assert_true(bound >= brute);
    assert_true(worth <= brute);
    if (bound > brute) assert_true(bound <= enough);
    if (bound > brute) lower++;
    arena_release(arena, mark);
  }
  assert_true(lower > 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(one_stage),
      ARENA_TEST(two_stages),
      ARENA_TEST(three_stages),
      ARENA_TEST(any_stage_with_rules),
      ARENA_TEST(first_cut_forced),
      ARENA_TEST(wide_kerfs),
      ARENA_TEST(stopped_early),
      ARENA_TEST(by_hand),
      ARENA_TEST(a_kerf_runs_out_into_another),
      ARENA_TEST(a_kerf_off_the_very_edge),
      ARENA_TEST(the_whole_stock_is_a_piece),
      ARENA_TEST(the_first_cut_takes_a_little),
      ARENA_TEST(rows_of_many_starts),
      ARENA_TEST(stopped_at_a_bound),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
