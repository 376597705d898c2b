/* A full disk, a broken one and signals at every call of the system that a run makes while it
 * writes: what stood before is whole, or what is new is. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <errno.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>

#include "random/project_disk.h"
#include "random/sanitized.h"
#include "whole_run.h"

/* One of the program's commands, and the folder that it writes to. */
struct job {
  const char *words[WORDS_MOST];
  const char *folder;
  struct snapshot before, after;
};

static struct arena *arena;
static struct job plan = {
    .words = {"plan", PROJECT, "--sets", "4", "--effort", "1", "--threads", "1", NULL},
    .folder = REPORTS};
static struct job price = {.words = {"price", PROJECT, "--up-to", "3", "--effort", "1", NULL},
                           .folder = REPORTS};
static struct job settle = {.words = {"settle", PROJECT, "plan.json", NULL}, .folder = PROJECT};
static struct job begin = {.words = {"new", "boards/fresh", NULL}, .folder = "boards/fresh"};

static struct job *const jobs[] = {&plan, &price, &settle, &begin};
enum { JOBS = sizeof jobs / sizeof *jobs };

/* ---- what runs start from ---- */

static void run_well(const char *const *words) {
  struct ended ended = run_program(arena, NULL, words);
  if (ended.status != 0)
    fail_msg("%s ends with %d: %s", words[0], ended.status, ended.errors->text);
}

static void write_text(const char *folder, const char *name, const char *text) {
  struct buffer *bytes = buffer_create(arena);
  buffer_add(bytes, text);
  disk_write(arena, folder, name, bytes);
}

/* Runs the job once without a fault. */
static void learn(struct job *job) {
  job->before = snapshot_take(arena, job->folder);
  run_well(job->words);
  job->after = snapshot_take(arena, job->folder);
  snapshot_restore(arena, &job->before, job->folder);
  assert_non_null(snapshot_difference(&job->before, &job->after));
  assert_null(snapshot_hidden(&job->after));
}

static int set_up(void **state) {
  (void)state;
  arena = scratch_open();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) return -1;
  static const char *const make[] = {"new", PROJECT, NULL};
  static const char *const first_plan[] = {"plan", PROJECT, "--sets", "1", "--effort", "1", NULL};
  static const char *const first_price[] = {"price",    PROJECT, "--up-to", "2",
                                            "--effort", "1",     NULL};
  run_well(make);
  warm_up();
  write_text(PROJECT, "money.csv", "item,value\nhourly_rate,20\nprice,60\n");
  run_well(first_plan);
  run_well(first_price);
  struct buffer *settled = disk_read(arena, REPORTS "/plan.json");
  disk_write(arena, ".", "plan.json", settled);
  for (size_t i = 0; i < JOBS; i++) learn(jobs[i]);
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  scratch_close(arena);
  return 0;
}

/* ---- after a run ---- */

static void explain(const struct job *job, const struct fault *fault, const struct ended *ended,
                    const char *what, const char *which) {
  fail_msg("%s, call %ld of %x, fault %d with %d: %s %s (status %d, signal %d, '%s')",
           job->words[0], fault->nth, fault->calls, (int)fault->kind, fault->number, what,
           which == NULL ? "" : which, ended->status, ended->signal, ended->errors->text);
}

static bool holds(const struct buffer *text, const char *part) {
  return strstr(text->text, part) != NULL;
}

/* A run that came to its own end: all is old and it says so, or all is new. */
static void expect_old_or_new(const struct job *job, const struct fault *fault,
                              const struct ended *ended) {
  struct snapshot now = snapshot_take(arena, job->folder);
  const char *from_old = snapshot_difference(&job->before, &now);
  const char *from_new = snapshot_difference(&job->after, &now);
  if (ended->status == 0) {
    if (from_new != NULL) explain(job, fault, ended, "is not the new one:", from_new);
  } else if (ended->status == 3) {
    if (from_old != NULL) explain(job, fault, ended, "is not the old one:", from_old);
    if (!holds(ended->errors, "error: ")) explain(job, fault, ended, "nothing is said", NULL);
    if (holds(ended->output, "reports in") || (job == &settle && ended->output->length > 0))
      explain(job, fault, ended, "prints that it is done", NULL);
  } else {
    explain(job, fault, ended, "ends otherwise", NULL);
  }
}

/* Under sanitizers, which slow every run down, one run in so many: all are made without. */
#ifdef SANITIZED
enum { FEWER = 4 };
#else
enum { FEWER = 1 };
#endif

/* The faulty call is counted from 1 until a run makes fewer. Returns the runs made. */
static long at_every_call(struct job *job, struct fault fault, long most,
                          void (*check)(const struct job *, const struct fault *,
                                        const struct ended *)) {
  struct fault none = fault;
  none.kind = FAULT_NONE;
  for (size_t j = 0; j < JOBS; j++) snapshot_restore(arena, &jobs[j]->before, jobs[j]->folder);
  struct arena_mark mark = arena_mark(arena);
  long calls = run_program(arena, &none, job->words).calls;
  snapshot_restore(arena, &job->before, job->folder);
  long stride = fault_stride(calls, most < 4 * FEWER ? most : most / FEWER), runs = 0;
  for (fault.nth = 1; fault.nth <= calls; fault.nth += stride) {
    struct ended ended = run_program(arena, &fault, job->words);
    if (!ended.met) explain(job, &fault, &ended, "the call is not made", NULL);
    check(job, &fault, &ended);
    snapshot_restore(arena, &job->before, job->folder);
    arena_release(arena, mark);
    runs++;
  }
  return runs;
}

/* ---- runs that do not come to their end ---- */

enum { IS_OLD = 1, IS_NEW = 2 };

static bool same_bytes(const struct buffer *a, const struct buffer *b) {
  return a != NULL && b != NULL && a->length == b->length &&
         memcmp(a->text, b->text, a->length) == 0;
}

/* Bits of what the file may be; a file that is not there is what had none. */
static int which(const struct job *job, const struct snapshot *now, const char *name) {
  const struct buffer *bytes = snapshot_file(now, name);
  const struct buffer *old = snapshot_file(&job->before, name);
  const struct buffer *new = snapshot_file(&job->after, name);
  if (bytes == NULL) return (old == NULL ? IS_OLD : 0) | (new == NULL ? IS_NEW : 0);
  return (same_bytes(bytes, old) ? IS_OLD : 0) | (same_bytes(bytes, new) ? IS_NEW : 0);
}

/* Every file is the old or the new one. Returns the bits that all of them have. */
static int expect_each_old_or_new(const struct job *job, const struct fault *fault,
                                  const struct ended *ended, const struct snapshot *now) {
  const struct snapshot *all[] = {now, &job->before, &job->after};
  int common = IS_OLD | IS_NEW;
  for (size_t s = 0; s < 3; s++)
    for (size_t i = 0; i < all[s]->count; i++) {
      const char *name = all[s]->files[i].name;
      if (name[0] == '.' || strcmp(name, "UNFINISHED.txt") == 0) continue;
      int bits = which(job, now, name);
      if (bits == 0) explain(job, fault, ended, "is neither old nor new:", name);
      /* kept copies of before may be there already */
      if (strstr(name, ".before") == NULL) common &= bits;
    }
  return common;
}

/* Where some files are old and some new, it is told: by a file for all to see, or, of a rack, by
 * what reads it. */
static void expect_told(const struct job *job, const struct fault *fault, const struct ended *ended,
                        const struct snapshot *now) {
  static const char *const check[] = {"check", PROJECT, NULL};
  if (job != &settle) {
    if (snapshot_file(now, "UNFINISHED.txt") == NULL)
      explain(job, fault, ended, "old and new files, and no word of it", NULL);
    return;
  }
  struct ended refused = run_program(arena, NULL, check);
  if (refused.status != 2 || !holds(refused.errors, "settled by half"))
    explain(job, fault, ended, "a rack settled by half is read", NULL);
}

/* The run is made again, and finishes what was begun. */
static void expect_new_when_repeated(const struct job *job, const struct fault *fault,
                                     const struct ended *ended) {
  struct ended again = run_program(arena, NULL, job->words);
  struct snapshot now = snapshot_take(arena, job->folder);
  const char *other = snapshot_difference(&job->after, &now);
  if (other != NULL) {
    print_message("repeated: status %d, '%s'\n", again.status, again.errors->text);
    explain(job, fault, ended, "is not the new one when repeated:", other);
  }
}

static long runs_mixed;

static void expect_mendable(const struct job *job, const struct fault *fault,
                            const struct ended *ended) {
  bool killed = ended->signal == SIGKILL;
  if (!killed && ended->status != 3) explain(job, fault, ended, "is not killed", NULL);
  struct snapshot now = snapshot_take(arena, job->folder);
  bool mixed = expect_each_old_or_new(job, fault, ended, &now) == 0;
  if (mixed) expect_told(job, fault, ended, &now);
  runs_mixed += mixed;
  expect_new_when_repeated(job, fault, ended);
}

/* ---- calls that fail ---- */

static void a_call_that_fails_leaves_old_or_new(void **state) {
  (void)state;
  static const struct {
    enum call call;
    int number;
    enum fault_kind kind;
  } faults[] = {
      {CALL_OPEN, EACCES, FAULT_ERROR},   {CALL_WRITE, ENOSPC, FAULT_ERROR},
      {CALL_WRITE, ENOSPC, FAULT_ALL},    {CALL_WRITE, EIO, FAULT_ERROR},
      {CALL_SYNC, EIO, FAULT_ERROR},      {CALL_CLOSE, EDQUOT, FAULT_ERROR},
      {CALL_RENAME, EACCES, FAULT_ERROR}, {CALL_LINK, EPERM, FAULT_ALL},
      {CALL_LINK, EIO, FAULT_ERROR},      {CALL_FOLDER, EROFS, FAULT_ERROR},
      {CALL_MODE, EPERM, FAULT_ERROR},    {CALL_LIST, EACCES, FAULT_ERROR},
  };
  long runs = 0;
  for (size_t i = 0; i < sizeof faults / sizeof *faults; i++)
    for (size_t j = 0; j < JOBS; j++) {
      struct fault fault = {faults[i].kind, CALL_BIT(faults[i].call), 0, faults[i].number};
      runs += at_every_call(jobs[j], fault, 100, expect_old_or_new);
    }
  print_message("%ld runs with a call that fails\n", runs);
}

/* What cannot be removed stays; the last file's removal may fail after all is done. */
static void expect_old_or_new_beside_leavings(const struct job *job, const struct fault *fault,
                                              const struct ended *ended) {
  struct snapshot now = snapshot_take(arena, job->folder);
  int common = expect_each_old_or_new(job, fault, ended, &now);
  if ((common & (ended->status == 0 ? IS_NEW : IS_OLD)) == 0 ||
      (ended->status != 0 && ended->status != 3))
    explain(job, fault, ended, "is partly old and partly new", NULL);
  expect_new_when_repeated(job, fault, ended);
}

static void what_cannot_be_removed_does_no_harm(void **state) {
  (void)state;
  long runs = 0;
  for (size_t j = 0; j < JOBS; j++) {
    struct fault fault = {FAULT_ERROR, CALL_BIT(CALL_REMOVE), 0, EACCES};
    runs += at_every_call(jobs[j], fault, 100, expect_old_or_new_beside_leavings);
  }
  print_message("%ld runs with a file that is not removed\n", runs);
}

/* A disk that is gone: neither what is new nor what is old gets its name any more. */
static void what_cannot_be_put_back_is_mended_by_the_next_run(void **state) {
  (void)state;
  long runs = 0;
  for (size_t j = 0; j < JOBS; j++) {
    struct fault fault = {FAULT_ALL, CALL_BIT(CALL_RENAME), 0, EIO};
    runs += at_every_call(jobs[j], fault, 100, expect_mendable);
  }
  print_message("%ld runs that could not put back what they had renamed\n", runs);
}

/* What the project is read from: faulty input, and nothing is written. */
static void expect_refused(const struct job *job, const struct fault *fault,
                           const struct ended *ended) {
  struct snapshot now = snapshot_take(arena, job->folder);
  const char *from_old = snapshot_difference(&job->before, &now);
  if (ended->status == 0 && snapshot_difference(&job->after, &now) == NULL) return;
  if (ended->status != 2 || !holds(ended->errors, "error: "))
    explain(job, fault, ended, "is not refused", NULL);
  if (from_old != NULL) explain(job, fault, ended, "is not the old one:", from_old);
}

static void what_cannot_be_read_is_refused(void **state) {
  (void)state;
  long runs = 0;
  for (size_t j = 0; j < JOBS; j++) {
    struct fault fault = {FAULT_ERROR, CALL_BIT(CALL_READ), 0, EACCES};
    runs += at_every_call(jobs[j], fault, 100, expect_refused);
  }
  print_message("%ld runs that could not read a file\n", runs);
}

/* ---- signals ---- */

static void a_kill_leaves_what_the_next_run_mends(void **state) {
  (void)state;
  struct fault fault = {FAULT_SIGNAL, EVERY_WRITING_CALL, 0, SIGKILL};
  long runs = 0;
  for (size_t j = 0; j < JOBS; j++) runs += at_every_call(jobs[j], fault, 1000, expect_mendable);
  assert_true(runs_mixed > 0);
  print_message("%ld runs killed, %ld between the first and the last file\n", runs, runs_mixed);
}

/* A run told to end comes to its own end, or ends by the signal; either way nothing is left by
 * half.
 */
static void expect_whole(const struct job *job, const struct fault *fault,
                         const struct ended *ended) {
  if (ended->signal != 0 && ended->signal != fault->number)
    explain(job, fault, ended, "ends by another signal", NULL);
  struct snapshot now = snapshot_take(arena, job->folder);
  if (snapshot_difference(&job->before, &now) != NULL &&
      snapshot_difference(&job->after, &now) != NULL)
    explain(job, fault, ended, "is neither old nor new:", snapshot_difference(&job->after, &now));
  if (ended->signal == 0) expect_old_or_new(job, fault, ended);
}

static void a_signal_leaves_old_or_new(void **state) {
  (void)state;
  static const int signals[] = {SIGINT, SIGTERM, SIGHUP};
  long runs = 0;
  for (size_t s = 0; s < sizeof signals / sizeof *signals; s++)
    for (size_t j = 0; j < JOBS; j++) {
      struct fault fault = {FAULT_SIGNAL, EVERY_WRITING_CALL, 0, signals[s]};
      runs += at_every_call(jobs[j], fault, 12, expect_whole);
    }
  print_message("%ld runs told to end\n", runs);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_call_that_fails_leaves_old_or_new),
      cmocka_unit_test(what_cannot_be_removed_does_no_harm),
      cmocka_unit_test(what_cannot_be_put_back_is_mended_by_the_next_run),
      cmocka_unit_test(what_cannot_be_read_is_refused),
      cmocka_unit_test(a_kill_leaves_what_the_next_run_mends),
      cmocka_unit_test(a_signal_leaves_old_or_new),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
