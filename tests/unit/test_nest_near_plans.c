/* Sets of stock told by the layouts that are worth nearly the most. */
#include "nest/near_plans.h"

#include "nest_search.h"

static const cost_t MONEY = 100 * COST_PER_CENT;
static const int64_t STEPS = INT64_C(400000000);

/* `planks` of 1000 x 50; two of 600 and two of 390 fill two of them, with nothing to spare. */
static struct search *open_planks(struct arena *arena, struct job *job, int64_t planks,
                                  struct region *region) {
  job_open(job);
  job_piece(job, 600, 50, 2);
  job_piece(job, 390, 50, 2);
  job_stock(job, 1000, 50, 10, planks, MONEY);
  struct search *search = job_search(arena, job, 64 * MONEY, STEPS);
  *region = job_region(arena, search);
  for (size_t d = 0; d < job->problem.demand_count; d++) region->most[job->stock_count + d] = 0;
  return search;
}

/* At worths at which pieces of 390 are worth nothing a plank of one of 600 alone is worth the most
 * there is; layouts that hold a 390 as well must not be missed for it. */
static void worth_nothing(struct arena *arena) {
  struct job job;
  struct region region;
  struct search *search = open_planks(arena, &job, 2, &region);
  cost_t worth[JOB_DEMANDS] = {MONEY, 0};
  cost_t most[JOB_STOCKS + JOB_DEMANDS] = {MONEY};
  struct near_worths known = {worth, most};
  assert_false(near_plans_refute(search, &region, &known, STEPS / 4));
  assert_int_equal(job_check_best(&job, search), 0);
  assert_int_equal(search->best_cost, 2 * MONEY);
}

/* The same where the shadow prices of the search itself are asked. */
static void own_worths(struct arena *arena) {
  struct job job;
  struct region region;
  struct search *search = open_planks(arena, &job, 2, &region);
  assert_false(near_plans_refute(search, &region, NULL, STEPS / 4));
  assert_int_equal(search->best_cost, 2 * MONEY);
}

/* One plank does not hold two of 600, and is refuted at any worths. */
static void too_few(struct arena *arena) {
  struct job job;
  struct region region;
  struct search *search = open_planks(arena, &job, 1, &region);
  cost_t worth[JOB_DEMANDS] = {MONEY, 0};
  cost_t most[JOB_STOCKS + JOB_DEMANDS] = {MONEY};
  struct near_worths known = {worth, most};
  assert_true(near_plans_refute(search, &region, &known, STEPS / 4));
  assert_true(near_plans_refute(search, &region, NULL, STEPS / 4));
  assert_int_equal(search->best_cost, COST_UNKNOWN);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(worth_nothing),
      ARENA_TEST(own_worths),
      ARENA_TEST(too_few),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
