/* The order of cutters does every part's steps, in their order, and frees parts last. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "model/tool_order.h"
#include "nest/random.h"

enum { LISTS = 3, STEPS = 5, CUTTERS = 4 };

struct job {
  struct step steps[LISTS][STEPS];
  const struct step *own[LISTS][STEPS];
  struct step_list lists[LISTS];
};

static void draw_job(uint64_t *seed, struct job *job) {
  for (int l = 0; l < LISTS; l++) {
    size_t count = random_draw(seed) % (STEPS + 1);
    for (size_t s = 0; s < count; s++) {
      bool last = s + 1 == count && random_draw(seed) % 4 != 0;
      job->steps[l][s] = (struct step){.kind = last ? STEP_PROFILE : STEP_POCKET,
                                       .cutter = random_draw(seed) % CUTTERS};
      job->own[l][s] = &job->steps[l][s];
    }
    job->lists[l] = (struct step_list){job->own[l], count};
  }
}

static bool only_profiles_left(const struct job *job, const size_t *next) {
  for (int l = 0; l < LISTS; l++)
    if (next[l] < job->lists[l].count && job->own[l][next[l]]->kind != STEP_PROFILE) return false;
  return true;
}

/* Does one step with this cutter; false when none waits for it. */
static bool do_one(const struct job *job, size_t *next, size_t cutter) {
  for (int l = 0; l < LISTS; l++) {
    if (next[l] == job->lists[l].count) continue;
    const struct step *step = job->own[l][next[l]];
    if (step->cutter != cutter) continue;
    if (step->kind == STEP_PROFILE && !only_profiles_left(job, next)) continue;
    next[l]++;
    return true;
  }
  return false;
}

static void every_step_once(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  uint64_t seed = 3;
  for (int run = 0; run < 3000; run++) {
    struct job job;
    draw_job(&seed, &job);
    struct tool_order order = tool_order_of(arena, job.lists, LISTS);
    size_t next[LISTS] = {0};
    for (size_t i = 0; i < order.count; i++) {
      if (i > 0) assert_int_not_equal(order.cutters[i], order.cutters[i - 1]);
      struct step_list steps = tool_order_steps(arena, job.lists, LISTS, i);
      size_t done = 0;
      while (do_one(&job, next, order.cutters[i])) done++;
      assert_true(done > 0); /* none is put in for nothing */
      assert_int_equal(steps.count, done);
      for (size_t s = 0; s < done; s++) assert_int_equal(steps.steps[s]->cutter, order.cutters[i]);
    }
    for (int l = 0; l < LISTS; l++) assert_int_equal(next[l], job.lists[l].count);
  }
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(every_step_once)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
