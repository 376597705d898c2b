/* Memory that runs out at any allocation of a run, the libraries' own included: the run ends with
 * its message, and what stood before is whole. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <errno.h>
#include <signal.h>
#include <string.h>

#include "random/project_disk.h"
#include "whole_run.h"

struct job {
  const char *words[WORDS_MOST];
  const char *folder; /* that it writes to */
  struct snapshot before, after;
  const struct buffer *output; /* of a run without a fault */
};

static struct arena *arena;
static struct job jobs[] = {
    {.words = {"check", PROJECT, NULL}, .folder = PROJECT},
    {.words = {"plan", PROJECT, "--sets", "4", "--effort", "1", "--threads", "1", NULL},
     .folder = REPORTS},
    {.words = {"price", PROJECT, "--up-to", "3", "--effort", "1", "--threads", "1", NULL},
     .folder = REPORTS},
    {.words = {"proof", "plan.json", NULL}, .folder = REPORTS},
    {.words = {"settle", PROJECT, "plan.json", NULL}, .folder = PROJECT},
    {.words = {"new", "boards/fresh", NULL}, .folder = "boards/fresh"},
};
enum { PLAN = 1, JOBS = sizeof jobs / sizeof *jobs };

static void run_well(const char *const *words) {
  struct ended ended = run_program(arena, NULL, words);
  if (ended.status != 0)
    fail_msg("%s ends with %d: %s", words[0], ended.status, ended.errors->text);
}

static void learn(struct job *job) {
  job->before = snapshot_take(arena, job->folder);
  struct ended ended = run_program(arena, NULL, job->words);
  assert_int_equal(ended.status, 0);
  job->output = ended.output;
  job->after = snapshot_take(arena, job->folder);
  snapshot_restore(arena, &job->before, job->folder);
}

static int set_up(void **state) {
  (void)state;
  if (!fault_reaches_allocations()) return 0;
  arena = scratch_open();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) return -1;
  static const char *const make[] = {"new", PROJECT, NULL};
  static const char *const first_plan[] = {"plan", PROJECT, "--sets", "1", "--effort", "1", NULL};
  run_well(make);
  warm_up();
  run_well(first_plan);
  disk_write(arena, ".", "plan.json", disk_read(arena, REPORTS "/plan.json"));
  for (size_t i = 0; i < JOBS; i++) learn(&jobs[i]);
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  if (arena != NULL) scratch_close(arena);
  return 0;
}

static void explain(const struct job *job, const struct fault *fault, const struct ended *ended,
                    const char *what, const char *which) {
  fail_msg("%s, allocation %ld: %s %s (status %d, signal %d, '%s', '%.60s')", job->words[0],
           fault->nth, what, which == NULL ? "" : which, ended->status, ended->signal,
           ended->errors->text, ended->output->text);
}

/* What cairo, Pango and the libraries below them do without memory is theirs: some end the process,
 * some leave out a text. But files are all old, or all new but for the pages. */
static void check_end_of_drawing(const struct job *job, const struct fault *fault,
                                 const struct ended *ended) {
  struct snapshot now = snapshot_take(arena, job->folder);
  const char *from_old = snapshot_difference(&job->before, &now);
  if (ended->status != 0 && from_old != NULL)
    explain(job, fault, ended, "is not the old one:", from_old);
  if (ended->status != 0 && ended->status != 3 && ended->signal != SIGSEGV)
    explain(job, fault, ended, "ends otherwise", NULL);
  for (size_t i = 0; ended->status == 0 && i < job->after.count; i++) {
    const struct snapshot_file *file = &job->after.files[i];
    const struct buffer *bytes = snapshot_file(&now, file->name);
    if (bytes == NULL) explain(job, fault, ended, "is not there:", file->name);
    if (strstr(file->name, ".pdf") == NULL && strcmp(bytes->text, file->bytes->text) != 0)
      explain(job, fault, ended, "is not the new one:", file->name);
  }
}

/* A library that did without the memory, or the program, may come to the end as if nothing had
 * been. */
static void check_end(const struct job *job, const struct fault *fault, const struct ended *ended) {
  struct snapshot now = snapshot_take(arena, job->folder);
  const char *from_old = snapshot_difference(&job->before, &now);
  const char *from_new = snapshot_difference(&job->after, &now);
  if (ended->status == 0) {
    if (from_new != NULL) explain(job, fault, ended, "is not the new one:", from_new);
    if (strcmp(ended->output->text, job->output->text) != 0)
      explain(job, fault, ended, "prints something else", NULL);
  } else if (ended->status == 3) {
    if (from_old != NULL) explain(job, fault, ended, "is not the old one:", from_old);
    if (ended->output->length > 0) explain(job, fault, ended, "something is printed", NULL);
    if (strstr(ended->errors->text, "error: ") == NULL)
      explain(job, fault, ended, "nothing is said", NULL);
  } else {
    explain(job, fault, ended, "ends otherwise", NULL);
  }
}

typedef void check_of_end(const struct job *, const struct fault *, const struct ended *);

static void fail_allocations(const struct job *job, enum call call, long most,
                             check_of_end *check) {
  if (!fault_reaches_allocations()) skip();
  struct fault fault = {FAULT_NONE, CALL_BIT(call), 0, ENOMEM};
  struct arena_mark mark = arena_mark(arena);
  for (size_t i = 0; i < JOBS; i++) snapshot_restore(arena, &jobs[i].before, jobs[i].folder);
  long calls = run_program(arena, &fault, job->words).calls;
  snapshot_restore(arena, &job->before, job->folder);
  fault.kind = FAULT_ERROR;
  long stride = fault_stride(calls, most), runs = 0, survived = 0, told = 0;
  for (fault.nth = 1; fault.nth <= calls; fault.nth += stride) {
    struct ended ended = run_program(arena, &fault, job->words);
    /* how many it takes to draw hangs a little on Pango's other thread */
    if (!ended.met && call != CALL_DRAW)
      explain(job, &fault, &ended, "the allocation is not made", NULL);
    check(job, &fault, &ended);
    survived += ended.status == 0;
    told += ended.status == 3;
    if (ended.status == 0) snapshot_restore(arena, &job->before, job->folder);
    arena_release(arena, mark);
    runs++;
  }
  print_message(
      "%s: %ld of %ld allocations failed; %ld runs did without, %ld ended with 3, %ld by "
      "a signal\n",
      job->words[0], runs, calls, survived, told, runs - survived - told);
}

static void any_allocation_may_fail(void **state) {
  fail_allocations(*state, CALL_ALLOCATE, 120, check_end);
}

static void any_allocation_may_fail_while_drawing(void **state) {
  (void)state;
  fail_allocations(&jobs[PLAN], CALL_DRAW, 30, check_end_of_drawing);
}

int main(void) {
  struct CMUnitTest tests[JOBS + 1];
  for (size_t i = 0; i < JOBS; i++)
    tests[i] = (struct CMUnitTest){jobs[i].words[0], any_allocation_may_fail, NULL, NULL, &jobs[i]};
  tests[JOBS] = (struct CMUnitTest)cmocka_unit_test(any_allocation_may_fail_while_drawing);
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
