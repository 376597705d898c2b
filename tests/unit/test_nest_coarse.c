/* Layouts on a grid against all layouts, found by trying every cut; and layouts with limits, listed
 * near the bound, against the same. */
#include "nest/coarse.h"

#include "nest/pricer.h"
#include "nest/unstaged.h"
#include "nest_fixture.h"

static const int64_t STEPS = INT64_C(20000000);

static void limited_case(struct random_case *random, int64_t *limit) {
  random_case(random, random_between(5, 12), random_between(3, 7), (int)random_between(1, 3));
  random->problem.cut_cost = 0;
  if (random_chance(1, 2)) random_first_cut(random);
  if (random_chance(1, 3)) random_rules(random);
  if (random_chance(3, 4)) random_flaws(random);
  for (size_t d = 0; d < random->problem.demand_count; d++) limit[d] = random_between(1, 3);
}

static cost_t bound_of(struct arena *arena, const struct nest_problem *problem,
                       const struct random_case *random, const int64_t *limit, cost_t goal,
                       struct priced *priced) {
  cost_t repeat_cost[MOST_OPTIONS] = {0};
  struct pricer *pricer = pricer_create(arena, problem, 0, &(size_t){UNSTAGED_CELLS_MOST});
  pricer_run_listed(arena, pricer, random->worth, limit, goal, STEPS, repeat_cost, priced);
  return priced->bound;
}

/* No layout is worth more than the bound of those on a grid, whatever the grid. */
static void a_grid_holds_all(struct arena *arena) {
  int told = 0;
  int coarse_ones = 0;
  random_start(17);
  for (int round = 0; round < 150; round++) {
    struct arena *child = arena_create_child(arena);
    struct random_case random;
    int64_t limit[MOST_OPTIONS];
    limited_case(&random, limit);
    cost_t best = brute_best(child, &random.stock, random.worth, limit, 0);
    const struct nest_problem *coarse =
        coarse_problem(child, &random.problem, 0, random_between(4, 36));
    if (coarse == NULL) continue;
    coarse_ones++;
    struct priced priced;
    cost_t bound = bound_of(child, coarse, &random, limit, best, &priced);
    if (bound < best) random_case_print(&random);
    assert_true(bound >= best);
    if (bound == best) told++;
  }
  assert_true(coarse_ones > 40);
  assert_true(told > coarse_ones / 10);
}

/* Asked for more than the best layout there is none; asked for one worth more than a little less,
 * one is found, or at least not denied. */
static void lists_tell_limits(struct arena *arena) {
  int exact = 0;
  random_start(18);
  for (int round = 0; round < 400; round++) {
    struct arena *child = arena_create_child(arena);
    struct random_case random;
    struct priced priced;
    int64_t limit[MOST_OPTIONS];
    limited_case(&random, limit);
    cost_t best = brute_best(child, &random.stock, random.worth, limit, 0);
    cost_t bound = bound_of(child, &random.problem, &random, limit, best, &priced);
    if (bound < best || priced.worth > best) random_case_print(&random);
    assert_true(bound >= best);
    assert_true(priced.worth <= best);
    if (bound == best) exact++;
    if (best <= 0) continue;
    bound = bound_of(child, &random.problem, &random, limit, best - 1, &priced);
    assert_true(bound >= best);
  }
  assert_true(exact > 373);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(a_grid_holds_all),
      ARENA_TEST(lists_tell_limits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
