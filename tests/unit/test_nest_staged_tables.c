/* The tables of up to three stages on sizes so fine that sums of them are few and far between,
 * against every cut of the same stock in coarse sizes. */
#include "nest/staged.h"
#include "nest_fixture.h"

enum { MORE = 4, SLACK = 100, CASES = 120 };

struct fine_case {
  struct random_case coarse, fine;
};

/* The same stock and pieces in units `scale` times as fine, and a piece worth nothing of an odd
 * size, so that the others' sizes are few among all that could be. */
static void make_fine(struct fine_case *cases, length_t scale) {
  struct nest_stock *stock = &cases->fine.stock;
  cases->fine = cases->coarse;
  stock->length *= scale;
  stock->width *= scale;
  stock->kerf_crosscut *= scale;
  stock->kerf_rip *= scale;
  stock->rules.rip_min_length *= scale;
  stock->rules.crosscut_capacity *= scale;
  stock->options = cases->fine.options;
  for (size_t o = 0; o < stock->option_count; o++) {
    stock->options[o].length *= scale;
    stock->options[o].width *= scale;
  }
  size_t odd = stock->option_count++;
  stock->options[odd] = plain_option(odd, odd, stock->length * 2 / 3 + 1, stock->width * 2 / 3 + 1);
  cases->fine.worth[odd] = 0;
}

/* Pieces grow a little, the stock by what all it holds grow: the same pieces fit, but hardly
 * anything ends where something else does. */
static void make_uneven(struct random_case *fine) {
  for (size_t o = 0; o < fine->stock.option_count; o++) {
    struct nest_option *option = &fine->options[o];
    option->length += random_between(0, MORE);
    option->width += random_between(0, MORE);
  }
  fine->stock.length += SLACK;
  fine->stock.width += SLACK;
}

/* What the best layout is worth by the tables, and by the tree built from them. */
static cost_t best_by_tables(struct arena *arena, const struct random_case *random) {
  struct staged *staged = staged_create(arena, &random->stock, random->problem.cut_cost);
  struct node root;
  struct tree_look look;
  staged_price(staged, random->worth);
  cost_t best = staged_best(staged);
  staged_build_best(arena, staged, &root);
  const char *fault =
      tree_fault(&random->stock, &root, random->worth, random->problem.cut_cost, true, &look);
  if (fault != NULL || look.worth != best) {
    random_case_print(random);
    tree_print(&root, 1);
  }
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(look.worth, best);
  assert_true(cutting_obeys(&root, &random->stock.rules));
  return best;
}

enum { PLAIN, UNEVEN, RULES, FIRST_CUT, BOTH };

static void check_cases(struct arena *arena, uint64_t seed, int stages, int what) {
  random_start(seed);
  for (int round = 0; round < CASES; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct fine_case cases;
    random_case(&cases.coarse, BRUTE_SIDE, 12, stages);
    if (what == UNEVEN) cases.coarse.problem.cut_cost = 0; /* more cuts are wanted */
    if (what == RULES || what == BOTH) random_rules(&cases.coarse);
    if (what == FIRST_CUT || what == BOTH) random_first_cut(&cases.coarse);
    make_fine(&cases, round % 2 == 0 ? 1000 : 1000000);
    if (what == UNEVEN) make_uneven(&cases.fine);
    const struct random_case *coarse = &cases.coarse;
    cost_t fine = best_by_tables(arena, &cases.fine);
    cost_t brute = brute_best(arena, &coarse->stock, coarse->worth, NULL, coarse->problem.cut_cost);
    if (fine != brute) {
      fprintf(stderr, "case %d\n", round);
      random_case_print(coarse);
      random_case_print(&cases.fine);
    }
    assert_int_equal(fine, brute);
    arena_release(arena, mark);
  }
}

static void check_stages(struct arena *arena, uint64_t seed, int what) {
  for (int stages = 1; stages <= 3; stages++)
    check_cases(arena, seed + (uint64_t)stages, stages, what);
}

static void fine_sizes(struct arena *arena) { check_stages(arena, 40, PLAIN); }
static void uneven_sizes(struct arena *arena) { check_stages(arena, 43, UNEVEN); }
static void fine_sizes_with_rules(struct arena *arena) { check_stages(arena, 46, RULES); }

/* Where only one first cut is allowed, the first row must divide the stock. */
static void fine_sizes_with_a_first_cut(struct arena *arena) {
  check_stages(arena, 49, FIRST_CUT);
  check_stages(arena, 52, BOTH);
}

/* Six of 300 x 197 out of 1000 x 400, a kerf of 3, a cut worth 1. One crosscut at 906 takes the
 * end off; then two rips, as 197 + 3 + 197 ends a kerf before the edge, and two crosscuts a row. */
static void by_hand(struct arena *arena) {
  struct random_case random = {.worth = {50}};
  random.stock = plain_stock(1000, 400, 3);
  random.options[0] = plain_option(0, 0, 300, 197);
  random.stock.options = random.options;
  random.stock.option_count = 1;
  random.problem.cut_cost = 1;
  assert_int_equal(best_by_tables(arena, &random), 6 * 50 - 1 - 2 - 2 * 2);
  random.stock.width = 397; /* the second row ends with the wood */
  assert_int_equal(best_by_tables(arena, &random), 6 * 50 - 1 - 1 - 2 * 2);
  /* in two stages the end comes off each row, or each of three columns is ripped */
  random.stock.rules.stages = 2;
  assert_int_equal(best_by_tables(arena, &random), 6 * 50 - 3 - 3);
  random.stock.rules.crosscut_first = false;
  assert_int_equal(best_by_tables(arena, &random), 6 * 50 - 1 - 3 * 2);
  /* a saw that takes no piece so wide to crosscut, then none so short to rip */
  random.stock.rules.stages = 3;
  random.stock.rules.crosscut_first = true;
  random.stock.rules.crosscut_capacity = 396;
  assert_int_equal(best_by_tables(arena, &random), 6 * 50 - 1 - 3 * 2);
  random.stock.rules.rip_min_length = 1001;
  assert_int_equal(best_by_tables(arena, &random), 0);
  random.stock.rules.crosscut_capacity = 397;
  assert_int_equal(best_by_tables(arena, &random), 0);
  random.stock.width = 197; /* one row needs no rip */
  assert_int_equal(best_by_tables(arena, &random), 3 * 50 - 3);
}

/* Sizes of which so many sums differ that points are left out: a row found over them can be
 * built, for no less than it was said to be worth, though a longer one may have been missed. */
static void thinned_sizes(struct arena *arena) {
  random_start(60);
  for (int round = 0; round < 12; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random = {.stock = plain_stock(33000 + random_between(0, 999), 2000, 25)};
    random.stock.options = random.options;
    random.stock.option_count = MOST_OPTIONS;
    random.stock.rules.stages = round % 2 == 0 ? 3 : 0;
    random.problem.cut_cost = random_between(0, 1) * 100;
    for (size_t o = 0; o < MOST_OPTIONS; o++) {
      length_t length = random_between(500, 1500), width = random_between(300, 1000);
      random.options[o] = plain_option(o, o, length, width);
      random.worth[o] = length * width / 100 + random_between(0, 500);
    }
    struct staged *staged = staged_create(arena, &random.stock, random.problem.cut_cost);
    assert_true(staged_is_thinned(staged));
    staged_price(staged, random.worth);
    cost_t best = staged_best(staged);
    struct node root;
    struct tree_look look;
    staged_build_best(arena, staged, &root);
    const char *fault =
        tree_fault(&random.stock, &root, random.worth, random.problem.cut_cost, true, &look);
    assert_string_equal(fault == NULL ? "" : fault, "");
    assert_true(best > 0 && look.worth >= best);
    assert_true(cutting_obeys(&root, &random.stock.rules));
    arena_release(arena, mark);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(fine_sizes),
      ARENA_TEST(uneven_sizes),
      ARENA_TEST(fine_sizes_with_rules),
      ARENA_TEST(fine_sizes_with_a_first_cut),
      ARENA_TEST(by_hand),
      ARENA_TEST(thinned_sizes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
