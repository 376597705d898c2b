/* Jobs on several threads: every part once, failures where they belong, jobs within jobs. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <pthread.h>

#include "base/threads.h"

enum { PARTS = 200, INNER = 7 };

struct job {
  struct arena *arena;
  struct threads *threads;
  int done[PARTS];
  int sum[PARTS];
  size_t failing, failing_too; /* parts that fail, PARTS for none */
};

static struct arena **own_arenas(struct arena *arena, size_t count) {
  struct arena **own = ARENA_ARRAY(arena, count, struct arena *);
  for (size_t i = 0; i < count; i++) own[i] = arena_create_child(arena);
  return own;
}

/* Runs body with one, two, three and eight threads and without any. */
static void with_threads(void (*body)(struct job *job)) {
  static const int counts[] = {1, 2, 3, THREADS_MOST, -1};
  for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
    struct arena *arena = arena_create();
    assert_non_null(arena);
    if (ARENA_TRY(arena) != STATUS_OK) fail();
    struct job job = {.arena = arena, .failing = PARTS, .failing_too = PARTS};
    job.threads = counts[i] < 0 ? NULL : threads_create(arena, counts[i]);
    body(&job);
    arena_destroy(arena);
  }
}

static void note_part(void *data, size_t part, struct arena *own) {
  struct job *job = data;
  int *number = ARENA_NEW(own, int);
  *number = (int)part * 3;
  job->done[part]++;
  job->sum[part] = *number;
}

static void do_every_part(struct job *job) {
  struct arena **own = own_arenas(job->arena, PARTS);
  for (int round = 1; round <= 20; round++) {
    threads_run(job->threads, job->arena, own, PARTS, note_part, job);
    for (size_t i = 0; i < PARTS; i++) {
      assert_int_equal(job->done[i], round);
      assert_int_equal(job->sum[i], 3 * i);
    }
  }
  threads_run(job->threads, job->arena, own, 0, note_part, job);
  assert_int_equal(job->done[0], 20);
}

static void every_part_is_done_once(void **state) {
  (void)state;
  with_threads(do_every_part);
}

static void fail_in_parts(void *data, size_t part, struct arena *own) {
  struct job *job = data;
  /* what is raised on a child of the part's arena belongs to the part as well */
  struct arena *child = arena_create_child(own);
  if (part == job->failing) arena_raise(child, STATUS_SOLVER_FAULT);
  if (part == job->failing_too) {
    arena_fail_after(1);
    (void)arena_alloc(own, 1, 1);
  }
  job->done[part]++;
}

static void fail_and_go_on(struct job *job) {
  struct arena **own = own_arenas(job->arena, PARTS);
  static const size_t failing[][2] = {{3, 150}, {150, 3}, {PARTS, 77}, {77, PARTS}};
  for (size_t i = 0; i < 4; i++) {
    volatile size_t round = i;
    job->failing = failing[i][0];
    job->failing_too = failing[i][1];
    enum status expected = job->failing < job->failing_too ? STATUS_SOLVER_FAULT : STATUS_NO_MEMORY;
    enum status status = ARENA_TRY(job->arena);
    if (status == STATUS_OK) {
      threads_run(job->threads, job->arena, own, PARTS, fail_in_parts, job);
      fail();
    }
    arena_fail_after(0);
    assert_int_equal(status, expected);
    assert_int_equal(job->done[0], round + 1);
    assert_int_equal(job->done[PARTS - 1], round + 1);
  }
  /* and the threads are fit for the next job */
  if (ARENA_TRY(job->arena) != STATUS_OK) fail();
  job->failing = job->failing_too = PARTS;
  threads_run(job->threads, job->arena, own, PARTS, fail_in_parts, job);
  assert_int_equal(job->done[3], 3);
}

static void the_lowest_failure_reaches_the_caller(void **state) {
  (void)state;
  with_threads(fail_and_go_on);
}

static void add_inner(void *data, size_t part, struct arena *own) {
  int *numbers = data;
  (void)own;
  numbers[part] = (int)part + 1;
}

static void run_inner(void *data, size_t part, struct arena *own) {
  struct job *job = data;
  int *numbers = ARENA_ARRAY(own, INNER, int);
  threads_run(job->threads, own, own_arenas(own, INNER), INNER, add_inner, numbers);
  for (size_t i = 0; i < INNER; i++) job->sum[part] += numbers[i];
}

static void run_nested(struct job *job) {
  threads_run(job->threads, job->arena, own_arenas(job->arena, PARTS), PARTS, run_inner, job);
  for (size_t i = 0; i < PARTS; i++) assert_int_equal(job->sum[i], INNER * (INNER + 1) / 2);
}

static void a_part_may_run_a_job(void **state) {
  (void)state;
  with_threads(run_nested);
}

/* Each of two parts waits until the other has come: one thread alone would wait for ever. */
struct meeting {
  pthread_mutex_t lock;
  pthread_cond_t come;
  int count;
};

static void meet(void *data, size_t part, struct arena *own) {
  struct meeting *meeting = data;
  (void)part;
  (void)own;
  pthread_mutex_lock(&meeting->lock);
  meeting->count++;
  pthread_cond_broadcast(&meeting->come);
  while (meeting->count < 2) pthread_cond_wait(&meeting->come, &meeting->lock);
  pthread_mutex_unlock(&meeting->lock);
}

static void two_parts_run_at_a_time(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  if (ARENA_TRY(arena) != STATUS_OK) fail();
  struct meeting meeting = {PTHREAD_MUTEX_INITIALIZER, PTHREAD_COND_INITIALIZER, 0};
  struct threads *threads = threads_create(arena, 2);
  threads_run(threads, arena, own_arenas(arena, 2), 2, meet, &meeting);
  assert_int_equal(meeting.count, 2);
  arena_destroy(arena);
}

/* A child that is run apart keeps to itself; before and after, it raises on its parent. */
static void raise_on(void *data) { arena_raise(data, STATUS_NO_PLAN); }

static void what_is_raised_apart_stays_apart(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  volatile int raised = 0;
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    struct arena *child = arena_create_child(arena);
    struct arena *grandchild = arena_create_child(child);
    assert_int_equal(arena_run_apart(child, raise_on, grandchild), STATUS_NO_PLAN);
    raised = 1;
    arena_raise(grandchild, STATUS_SOLVER_FAULT);
  }
  assert_int_equal(status, STATUS_SOLVER_FAULT);
  assert_int_equal(raised, 1);
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_part_is_done_once),
      cmocka_unit_test(the_lowest_failure_reaches_the_caller),
      cmocka_unit_test(a_part_may_run_a_job),
      cmocka_unit_test(two_parts_run_at_a_time),
      cmocka_unit_test(what_is_raised_apart_stays_apart),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
