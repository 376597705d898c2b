/* Whole plans for large demands. */
#include "nest/plunge.h"

#include "nest/improve.h"
#include "nest_search.h"

static const cost_t MONEY = 100 * COST_PER_CENT;
static const int64_t STEPS = INT64_C(200000000);

/* Rows of three or four that use up a length of 1000, each wanted so often that no plan has room
 * to spare: as many lengths as rows is the least. `scale`: how many times as often. */
static cost_t rows_without_waste(struct job *job, int64_t scale) {
  static const length_t rows[][4] = {
      {311, 342, 347, 0}, {201, 259, 263, 277}, {311, 215, 215, 259}};
  static const int64_t times[] = {37, 29, 41};
  length_t sizes[JOB_DEMANDS];
  int64_t wanted[JOB_DEMANDS] = {0};
  size_t count = 0;
  int64_t lengths = 0;
  for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
    lengths += times[r] * scale;
    for (size_t p = 0; p < 4 && rows[r][p] > 0; p++) {
      size_t known = 0;
      while (known < count && sizes[known] != rows[r][p]) known++;
      assert_true(known < JOB_DEMANDS);
      if (known == count) sizes[count++] = rows[r][p];
      wanted[known] += times[r] * scale;
    }
  }
  job_open(job);
  for (size_t d = 0; d < count; d++) job_piece(job, sizes[d], 50, wanted[d]);
  job_stock(job, 1000, 50, 0, -1, MONEY);
  return lengths * MONEY;
}

/* Many copies of a few sizes, out of one or two kinds of sheets. */
static void random_sheets(struct job *job) {
  int pieces = (int)random_between(4, JOB_DEMANDS);
  length_t kerf = random_between(0, 4);
  job_open(job);
  for (int p = 0; p < pieces; p++)
    job_piece(job, random_between(150, 600), random_between(80, 300), random_between(20, 60));
  job_stock(job, 1800, 600, kerf, -1, MONEY);
  if (random_chance(1, 2))
    job_stock(job, random_between(900, 1500), 600, kerf, random_between(3, 30),
              MONEY / 100 * random_between(40, 90));
}

/* One flaw in some of the stocks. */
static void flaws_here_and_there(struct job *job) {
  static struct nest_flaw flaws[JOB_STOCKS];
  for (size_t s = 0; s < job->stock_count; s++) {
    if (random_chance(1, 2)) continue;
    flaws[s] = (struct nest_flaw){.x = random_between(0, 800),
                                  .y = random_between(0, 500),
                                  .length = random_between(20, 90),
                                  .width = random_between(20, 90)};
    job->stocks[s].flaws = &flaws[s];
    job->stocks[s].flaw_count = 1;
  }
}

static void random_saw(struct job *job) {
  job->problem.cut_cost = random_chance(1, 2) ? 0 : MONEY / 1000 * random_between(1, 5);
  for (size_t s = 0; s < job->stock_count; s++) {
    struct nest_rules *rules = &job->stocks[s].rules;
    rules->stages = (int)random_between(2, 4);
    if (random_chance(1, 2)) rules->rip_min_length = random_between(200, 900);
    if (random_chance(1, 2)) rules->crosscut_capacity = random_between(300, 600);
    if (random_chance(1, 3)) rules->rip_capacity = random_between(150, 400);
  }
}

static struct search *start(struct arena *arena, struct job *job, struct region *region) {
  struct search *search = job_search(arena, job, 64 * MONEY, 2 * STEPS);
  *region = job_region(arena, search);
  construct(search, region);
  job_check_best(job, search);
  return search;
}

/* No half lengths are bought, so the bound is raised to whole ones. */
static void plans_without_waste(struct arena *arena) {
  struct job job;
  struct region region;
  cost_t least = rows_without_waste(&job, 1);
  struct search *search = start(arena, &job, &region);
  assert_true(search->best_cost > least);
  cost_t bound = plunge(search, &region, least - MONEY / 2, STEPS);
  assert_int_equal(job_check_best(&job, search), 0);
  assert_int_equal(search->best_cost, least);
  assert_int_equal(bound, least);
}

/* Thousands of pieces: too many to pack one by one, but the whole parts of the linear program's
 * values are the plan, if no layout is taken more often than it helps. */
static void plans_of_thousands(struct arena *arena) {
  struct job job;
  struct region region;
  cost_t least = rows_without_waste(&job, 100);
  struct search *search = start(arena, &job, &region);
  assert_true(search->best_cost > least);
  plunge(search, &region, least - MONEY / 2, STEPS / 20);
  assert_int_equal(job_check_best(&job, search), 0);
  assert_int_equal(search->best_cost, least);
}

/* Any two of three pieces fill a length, all three do not fit: the linear program takes each pair
 * half a time, so that rounding down leaves no layout to drop. */
static void halves_of_layouts(struct arena *arena) {
  struct job job;
  struct region region;
  job_open(&job);
  for (length_t size = 400; size < 403; size++) job_piece(&job, size, 50, 1);
  job_stock(&job, 1000, 50, 0, -1, MONEY);
  struct search *search = start(arena, &job, &region);
  int64_t steps = search_steps(search);
  plunge(search, &region, MONEY, STEPS / 200);
  assert_true(search_steps(search) > steps);
  assert_int_equal(job_check_best(&job, search), 0);
  assert_int_equal(search->best_cost, 2 * MONEY);
}

static void the_same_again(struct arena *arena) {
  struct job job[2];
  struct search *search[2];
  for (int i = 0; i < 2; i++) {
    struct region region;
    random_start(91);
    random_sheets(&job[i]);
    search[i] = start(arena, &job[i], &region);
    plunge(search[i], &region, 0, STEPS / 20);
  }
  assert_int_equal(search[0]->best_cost, search[1]->best_cost);
  assert_int_equal(search_steps(search[0]), search_steps(search[1]));
  assert_int_equal(search[0]->columns->count, search[1]->columns->count);
  assert_int_equal(search[0]->best.count, search[1]->best.count);
  for (size_t u = 0; u < search[0]->best.count; u++) {
    assert_int_equal(search[0]->best.items[u].column, search[1]->best.items[u].column);
    assert_int_equal(search[0]->best.items[u].times, search[1]->best.items[u].times);
  }
}

/* Whatever the rules, the best plan stays one, its cost falls or stays, the steps are kept to but
 * for what was begun, and what is called a bound is none the plan is under. */
static void rules_are_kept(struct arena *arena) {
  int cheaper = 0;
  random_start(92);
  for (int round = 0; round < 12; round++) {
    struct arena *child = arena_create_child(arena);
    struct job job;
    struct region region;
    random_sheets(&job);
    random_saw(&job);
    flaws_here_and_there(&job);
    struct search *search = start(child, &job, &region);
    cost_t before = search->best_cost;
    int64_t not_made = job_check_best(&job, search); /* the rules may forbid some */
    int64_t steps = search_steps(search);
    cost_t bound = plunge(search, &region, 0, STEPS / 40);
    assert_true(job_check_best(&job, search) <= not_made);
    assert_true(search->best_cost <= before);
    assert_true(bound <= search->best_cost);
    assert_true(search_steps(search) - steps <= STEPS / 20);
    if (search->best_cost < before) cheaper++;
  }
  assert_true(cheaper > 2);
}

/* A search without a plan is left to others, and one with the best. */
static void left_alone(struct arena *arena) {
  struct job job;
  struct region region;
  cost_t least = rows_without_waste(&job, 1);
  struct search *search = job_search(arena, &job, 64 * MONEY, STEPS);
  region = job_region(arena, search);
  assert_int_equal(plunge(search, &region, 7, STEPS), 7);
  assert_int_equal(search->best_cost, COST_UNKNOWN);
  construct(search, &region);
  cost_t before = search->best_cost;
  int64_t steps = search_steps(search);
  assert_true(before > least);
  assert_int_equal(plunge(search, &region, before, STEPS), before);
  assert_int_equal(search_steps(search), steps);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(plans_without_waste), ARENA_TEST(plans_of_thousands),
      ARENA_TEST(halves_of_layouts),   ARENA_TEST(the_same_again),
      ARENA_TEST(rules_are_kept),      ARENA_TEST(left_alone),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
