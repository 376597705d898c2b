/* Layouts in any number of stages around flaws, against every cut of tiny rectangles. */
#include "nest/flawed_any.h"
#include "nest/pricer.h"
#include "nest/unstaged.h"
#include "nest_fixture.h"

enum { PLENTY = 100000000 };

struct around_look {
  cost_t worth, bound, brute;
};

static void blame(const struct random_case *random, int round, const struct node *root,
                  const struct around_look *look) {
  fprintf(stderr, "case %d: worth %d, bound %d, brute %d\n", round, (int)look->worth,
          (int)look->bound, (int)look->brute);
  random_case_print(random);
  tree_print(root, 1);
}

/* Whatever the floor and the steps: the layout is worth what is said, and the best layout
 * lies between it and the bound, or under the floor. */
static struct around_look check(struct arena *arena, const struct random_case *random, int round,
                                cost_t floor, int64_t steps) {
  struct around_look look = {0};
  struct flawed_any *flawed =
      flawed_any_create(arena, &random->stock, &(size_t){UNSTAGED_CELLS_MOST});
  struct node root;
  struct tree_look tree;
  assert_non_null(flawed);
  flawed_any_search(arena, flawed, random->worth, floor, steps, &root, &look.worth, &look.bound);
  look.brute = brute_best(arena, &random->stock, random->worth, NULL, 0);
  const char *fault = tree_fault(&random->stock, &root, random->worth, 0, true, &tree);
  bool fine = fault == NULL && tree.worth == look.worth && look.worth <= look.brute &&
              (look.brute <= look.bound);
  if (!fine) blame(random, round, &root, &look);
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(tree.worth, look.worth);
  assert_true(look.worth <= look.brute);
  assert_true(look.brute <= look.bound);
  assert_true(flawed_any_steps(flawed) >= 0);
  return look;
}

static void around_case(struct random_case *random, int kerf) {
  random_case(random, 10, 7, 0);
  random->problem.cut_cost = 0;
  random->stock.kerf_crosscut = random_between(0, kerf);
  random->stock.kerf_rip = random_between(0, kerf);
  random_flaws(random);
}

static void best_of_all_layouts(struct arena *arena) {
  random_start(71);
  int flaws_matter = 0;
  for (int round = 0; round < 400; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    around_case(&random, 0);
    struct around_look look = check(arena, &random, round, 0, PLENTY);
    assert_int_equal(look.worth, look.bound);
    struct nest_stock clear = random.stock;
    clear.flaw_count = 0;
    if (brute_best(arena, &clear, random.worth, NULL, 0) > look.worth) flaws_matter++;
    arena_release(arena, mark);
  }
  assert_true(flaws_matter > 100);
}

/* Close to a flaw a kerf may leave no way to cut what is worth the bound: seldom. */
static void with_kerfs(struct arena *arena) {
  random_start(72);
  int met = 0;
  for (int round = 0; round < 400; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    around_case(&random, 2);
    struct around_look look = check(arena, &random, round, 0, PLENTY);
    if (look.worth == look.bound) met++;
    arena_release(arena, mark);
  }
  assert_true(met >= 390);
}

static void no_more_than_the_floor(struct arena *arena) {
  random_start(73);
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    around_case(&random, 0);
    cost_t brute = brute_best(arena, &random.stock, random.worth, NULL, 0);
    struct around_look above = check(arena, &random, round, brute - 1, PLENTY);
    assert_int_equal(above.bound, brute);
    assert_int_equal(above.worth, brute);
    struct around_look none = check(arena, &random, round, brute, PLENTY);
    assert_int_equal(none.bound, brute);
    check(arena, &random, round, 2 * brute + 1, PLENTY);
    arena_release(arena, mark);
  }
}

static void stopped_early(struct arena *arena) {
  random_start(74);
  int open = 0;
  for (int round = 0; round < 300; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    around_case(&random, 1);
    struct around_look look = check(arena, &random, round, 0, random_between(0, 60));
    if (look.worth < look.bound) open++;
    arena_release(arena, mark);
  }
  assert_true(open > 5);
}

/* The pricing of such stock with limited copies, cuts at a cost and rules of the saw. */
static void priced_with_limits(struct arena *arena) {
  random_start(75);
  int proved = 0;
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    struct priced priced;
    int64_t limit[MOST_OPTIONS];
    random_case(&random, 8, 6, 0);
    if (round % 2 == 0) random.problem.cut_cost = 0;
    if (round % 4 == 3) random_rules(&random);
    random_flaws(&random);
    random.problem.stocks = &random.stock;
    random.problem.stock_count = 1;
    for (size_t d = 0; d < MOST_OPTIONS; d++) limit[d] = random_between(1, 2);
    random.problem.demand = limit;
    struct pricer *pricer =
        pricer_create(arena, &random.problem, 0, &(size_t){UNSTAGED_CELLS_MOST});
    pricer_run(arena, pricer, random.worth, limit, 0, PLENTY, &priced);
    cost_t best = priced.worth;
    cost_t bound = priced.bound;
    pricer_run(arena, pricer, random.worth, limit, best, PLENTY, &priced);
    if (priced.worth > best) best = priced.worth;
    if (priced.bound < bound) bound = priced.bound;
    cost_t brute = brute_best(arena, &random.stock, random.worth, limit, random.problem.cut_cost);
    if (best > brute || brute > bound) random_case_print(&random);
    assert_true(best <= brute);
    assert_true(brute <= bound);
    if (best == bound) proved++;
    arena_release(arena, mark);
  }
  assert_true(proved > 60);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(best_of_all_layouts),    ARENA_TEST(with_kerfs),
      ARENA_TEST(no_more_than_the_floor), ARENA_TEST(stopped_early),
      ARENA_TEST(priced_with_limits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
