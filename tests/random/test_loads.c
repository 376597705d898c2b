/* Random loads: every answer is checked apart, small ones against all layouts there are. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
/* cmocka wants the above first */
#include <cmocka.h>
#include <stdio.h>

#include "base/random.h"
#include "hold/load_least.h"
#include "hold/load_memory.h"
#include "load_check.h"
#include "load_maker.h"
#include "sanitized.h"

#ifdef SANITIZED
enum { VALID_RUNS = 300, SMALL_RUNS = 8 };
#else
enum { VALID_RUNS = 5000, SMALL_RUNS = 100 };
#endif

static void check_answer(const struct load_problem *problem, const struct load_answer *answer,
                         uint64_t seed) {
  const char *fault = check_load(problem, answer);
  if (fault != NULL) fail_msg("load %llu: %s", (unsigned long long)seed, fault);
}

static void check_seed(enum made_kind kind, uint64_t seed, int64_t effort) {
  struct made_load made;
  make_load(&made, kind, seed);
  struct arena *arena = arena_create();
  struct load_answer best;
  struct load_answer all;
  load_best(arena, &made.problem, effort, &best);
  check_answer(&made.problem, &best, seed);
  enum load_outcome outcome = load_fits(arena, &made.problem, effort, &all);
  bool laid_all = (int)best.laid_count == made.parts;
  if (outcome == LOAD_FOUND) {
    check_answer(&made.problem, &all, seed);
    assert_int_equal(all.laid_count, made.parts);
    if (best.held) assert_true(best.bound >= all.worth);
  }
  if (outcome == LOAD_REFUTED && best.held) assert_false(laid_all);
  arena_destroy(arena);
}

static void test_valid(void **state) {
  (void)state;
  for (int seed = 1; seed <= VALID_RUNS; seed++)
    check_seed(seed % 2 == 0 ? MADE_WILD : MADE_BENCH, (uint64_t)seed, 500000);
}

static void test_exhaustive(void **state) {
  (void)state;
  int proved = 0;
  for (int seed = 1; seed <= SMALL_RUNS; seed++) {
    struct made_load made;
    make_load(&made, MADE_SMALL, (uint64_t)seed);
    struct arena *arena = arena_create();
    struct load_answer answer;
    load_best(arena, &made.problem, 20000000, &answer);
    check_answer(&made.problem, &answer, (uint64_t)seed);
    int64_t worth = answer.held ? answer.bound : -1;
    if (better_load_exists(&made.problem, MM(10), worth))
      fail_msg("load %d is worth more than its bound", seed);
    proved += answer.proved;
    enum load_outcome outcome = load_fits(arena, &made.problem, 20000000, &answer);
    if (outcome == LOAD_REFUTED) {
      int64_t all = 0;
      for (size_t i = 0; i < made.problem.item_count; i++)
        all += made.items[i].most * made.items[i].worth;
      assert_false(better_load_exists(&made.problem, MM(10), all - 1));
    }
    arena_destroy(arena);
  }
  assert_true(proved >= SMALL_RUNS * 95 / 100);
}

static void let_stand_anywhere(struct made_load *made) {
  made->problem.hold.pitch = 0;
  made->problem.pushed = true;
}

/* On a grid that all lengths are multiples of, pushed layouts have their clamps on the grid too: no
 * place anywhere gains or loses anything. */
static void test_pushed_on_grid(void **state) {
  (void)state;
  int compared = 0;
  for (int seed = 1; seed <= 10 * SMALL_RUNS; seed++) {
    struct made_load made;
    make_load(&made, MADE_SMALL, (uint64_t)seed);
    struct arena *arena = arena_create();
    struct load_answer pitched, pushed;
    load_best(arena, &made.problem, 20000000, &pitched);
    enum load_outcome outcome = load_fits(arena, &made.problem, 20000000, &(struct load_answer){0});
    if (pitched.held && (int)pitched.laid_count == made.parts)
      assert_int_equal(outcome, LOAD_FOUND);
    let_stand_anywhere(&made);
    load_best(arena, &made.problem, 20000000, &pushed);
    check_answer(&made.problem, &pushed, (uint64_t)seed);
    assert_true(pushed.bound >= pitched.worth && (!pitched.held || pushed.held));
    if (pitched.proved) assert_true(pushed.worth <= pitched.worth);
    compared += pitched.proved && pushed.proved;
    enum load_outcome again = load_fits(arena, &made.problem, 20000000, &(struct load_answer){0});
    assert_false(outcome == LOAD_FOUND && again == LOAD_REFUTED);
    assert_false(outcome == LOAD_REFUTED && again == LOAD_FOUND);
    arena_destroy(arena);
  }
  assert_true(compared >= 10 * SMALL_RUNS * 9 / 10);
}

/* What can be held with clamps at some places can be held with clamps anywhere. */
static void test_pushed(void **state) {
  (void)state;
  int found = 0, refuted = 0;
  for (int seed = 1; seed <= VALID_RUNS; seed++) {
    struct made_load made;
    make_load(&made, MADE_WILD, (uint64_t)seed);
    if (made.parts > 8) continue;
    struct arena *arena = arena_create();
    struct load_answer some, any;
    if (made.problem.hold.pitch == 0) made.problem.hold.pitch = MM(7);
    enum load_outcome outcome = load_fits(arena, &made.problem, 500000, &some);
    let_stand_anywhere(&made);
    enum load_outcome anywhere = load_fits(arena, &made.problem, 500000, &any);
    if (anywhere == LOAD_FOUND) check_answer(&made.problem, &any, (uint64_t)seed);
    if (outcome == LOAD_FOUND && anywhere == LOAD_REFUTED) fail_msg("load %d is refuted", seed);
    found += outcome == LOAD_FOUND;
    refuted += anywhere == LOAD_REFUTED;
    arena_destroy(arena);
  }
  assert_true(found > VALID_RUNS / 50 && refuted > VALID_RUNS / 50);
}

/* What a smaller load holds, a larger one taken for it holds. */
static void check_larger(const struct made_load *smaller, struct slack slack, int seed,
                         int *refuted) {
  struct load_problem larger = smaller->problem;
  larger.to_refute = true;
  larger.hold.length += slack.x;
  larger.hold.width += slack.y;
  (void)load_loosen_sizes(&larger.hold, slack);
  struct arena *arena = arena_create();
  struct load_answer some, all;
  enum load_outcome outcome = load_fits(arena, &smaller->problem, 500000, &some);
  enum load_outcome loosely = load_fits(arena, &larger, 500000, &all);
  if (outcome == LOAD_FOUND && loosely == LOAD_REFUTED)
    fail_msg("smaller load %d is refuted", seed);
  *refuted += loosely == LOAD_REFUTED;
  arena_destroy(arena);
}

static void test_smaller(void **state) {
  (void)state;
  int refuted[2] = {0};
  for (int seed = 1; seed <= VALID_RUNS; seed++) {
    struct made_load made;
    make_load(&made, MADE_WILD, (uint64_t)seed);
    if (made.parts > 8) continue;
    uint64_t random = (uint64_t)seed;
    struct slack slack = {MM(1) * (length_t)(random_draw(&random) % 60),
                          MM(1) * (length_t)(random_draw(&random) % 60)};
    /* the same, and with the bed not in the way of any clamp */
    check_larger(&made, slack, seed, &refuted[0]);
    made.problem.hold.bed_length += MM(200);
    made.problem.hold.bed_width += MM(200);
    check_larger(&made, slack, seed, &refuted[1]);
  }
  assert_true(refuted[0] > VALID_RUNS / 50 && refuted[1] > VALID_RUNS / 50);
}

static bool same_answer(const struct load_answer *a, const struct load_answer *b) {
  return a->laid_count == b->laid_count && a->clamp_count == b->clamp_count &&
         a->steps == b->steps && a->bound == b->bound && a->worth == b->worth;
}

/* Asked in one order, and then in another. */
static void test_remembered(void **state) {
  (void)state;
  enum { ASKED = 700 };
  struct arena *kept = arena_create();
  struct load_memory *memory = load_memory_create(kept);
  for (int n = 0; n < 2 * ASKED; n++) {
    int seed = 1 + (n < ASKED ? n : (n * 37) % ASKED);
    struct made_load made;
    make_load(&made, seed % 2 == 0 ? MADE_WILD : MADE_SMALL, (uint64_t)seed);
    struct arena *arena = arena_create();
    struct load_answer plain, remembered;
    enum load_outcome outcome = load_fits(arena, &made.problem, 50000, &plain);
    assert_int_equal(load_memory_fits(memory, arena, &made.problem, 50000, &remembered), outcome);
    if (outcome != LOAD_FOUND) assert_int_equal(plain.steps, remembered.steps);
    if (outcome == LOAD_FOUND) {
      assert_true(same_answer(&plain, &remembered));
      check_answer(&made.problem, &remembered, (uint64_t)seed);
    }
    arena_destroy(arena);
  }
  arena_destroy(kept);
}

static void test_same_again(void **state) {
  (void)state;
  for (int seed = 1; seed <= 5; seed++) {
    struct made_load made;
    make_load(&made, MADE_BENCH, (uint64_t)seed);
    struct arena *arena = arena_create();
    struct load_answer one;
    struct load_answer two;
    load_best(arena, &made.problem, 5000000, &one);
    load_best(arena, &made.problem, 5000000, &two);
    assert_int_equal(one.worth, two.worth);
    assert_int_equal(one.bound, two.bound);
    assert_int_equal(one.steps, two.steps);
    arena_destroy(arena);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_valid),          cmocka_unit_test(test_exhaustive),
      cmocka_unit_test(test_pushed_on_grid), cmocka_unit_test(test_pushed),
      cmocka_unit_test(test_smaller),        cmocka_unit_test(test_remembered),
      cmocka_unit_test(test_same_again),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
