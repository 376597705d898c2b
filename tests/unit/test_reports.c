#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <dirent.h>
#include <errno.h>
#include <pthread.h>
#include <semaphore.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "unit/test_write_fixture.h"
#include "write/file_batch.h"
#include "write/write.h"

enum { PATH_ROOM = 256, FILES_MOST = 64 };

struct bench {
  struct arena *arena;
  struct fixture fixture;
  struct diagnostics *diagnostics;
  char root[32];
  char folder[PATH_ROOM]; /* two levels below root, not made yet */
};

static int open_bench(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct bench *bench = ARENA_NEW(arena, struct bench);
  bench->arena = arena;
  bench->diagnostics = diagnostics_create(arena);
  snprintf(bench->root, sizeof bench->root, "/tmp/reports-XXXXXX");
  if (mkdtemp(bench->root) == NULL) return -1;
  snprintf(bench->folder, sizeof bench->folder, "%s/reports/run", bench->root);
  fixture_make_mm(arena, &bench->fixture);
  *state = bench;
  return 0;
}

static void remove_tree(const char *path) {
  DIR *listing = opendir(path);
  if (listing == NULL) {
    unlink(path);
    return;
  }
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
    char inner[PATH_ROOM * 3];
    snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name);
    struct stat status;
    if (lstat(inner, &status) == 0 && S_ISDIR(status.st_mode))
      remove_tree(inner);
    else
      unlink(inner);
  }
  closedir(listing);
  rmdir(path);
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  remove_tree(bench->root);
  arena_destroy(bench->arena);
  return 0;
}

static const char *path_of(struct bench *bench, const char *name) {
  return arena_format(bench->arena, "%s/%s", bench->folder, name);
}

static enum status write_run(struct bench *bench, const char *json) {
  const struct fixture *fixture = &bench->fixture;
  return write_reports(bench->arena, bench->folder, fixture->project, &fixture->blanks,
                       &fixture->plan, NULL, json, bench->diagnostics);
}

static const char *content(struct bench *bench, const char *path) {
  FILE *file = fopen(path, "rb");
  if (file == NULL) return NULL;
  struct buffer *buffer = buffer_create(bench->arena);
  char chunk[4096];
  size_t count = 0;
  while ((count = fread(chunk, 1, sizeof chunk, file)) > 0) buffer_add_bytes(buffer, chunk, count);
  fclose(file);
  return buffer->text;
}

static void put_file(const char *path, const char *text) {
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_true(fputs(text, file) >= 0);
  assert_int_equal(fclose(file), 0);
}

/* Names in the folder, hidden ones counted apart. */
struct listing {
  size_t files, hidden;
};

static struct listing list(const struct bench *bench) {
  struct listing found = {0};
  DIR *listing = opendir(bench->folder);
  assert_non_null(listing);
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
    if (entry->d_name[0] == '.')
      found.hidden++;
    else
      found.files++;
  }
  closedir(listing);
  return found;
}

static void check_fault(const struct bench *bench, const char *name, int reason) {
  assert_int_equal(bench->diagnostics->errors, 1);
  const struct diagnostic *diagnostic = &bench->diagnostics->items[0];
  if (strstr(diagnostic->place.file, name) == NULL)
    fail_msg("'%s' does not name '%s'", diagnostic->place.file, name);
  if (strstr(diagnostic->text, strerror(reason)) == NULL)
    fail_msg("'%s' does not give the reason '%s'", diagnostic->text, strerror(reason));
}

/* ---- what is written ---- */

static void all_reports_are_written(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "{\"whole\": true}\n"), STATUS_OK);
  static const char *const names[] = {
      "plan.json",       "cuts.csv",        "purchase.csv", "offcuts.csv", "layout-W1-1.svg",
      "layout-Y2-1.svg", "layout-Y2-2.svg", "setups.csv",   "plan.html",   "labels.pdf"};
  for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
    const char *text = content(bench, path_of(bench, names[i]));
    if (text == NULL || *text == '\0') fail_msg("%s is not there", names[i]);
  }
  assert_string_equal(content(bench, path_of(bench, "plan.json")), "{\"whole\": true}\n");
  assert_non_null(strstr(content(bench, path_of(bench, "layout-Y2-2.svg")), "</svg>"));
  struct listing found = list(bench);
  assert_int_equal(found.files, 10);
  assert_int_equal(found.hidden, 0);
}

static void the_same_plan_gives_the_same_bytes(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "{}"), STATUS_OK);
  const char *drawing = content(bench, path_of(bench, "layout-W1-1.svg"));
  const char *cuts = content(bench, path_of(bench, "cuts.csv"));
  assert_int_equal(write_run(bench, "{}"), STATUS_OK);
  assert_string_equal(content(bench, path_of(bench, "layout-W1-1.svg")), drawing);
  assert_string_equal(content(bench, path_of(bench, "cuts.csv")), cuts);
}

static void drawings_of_an_earlier_plan_are_removed(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "{}"), STATUS_OK);
  put_file(path_of(bench, "notes.txt"), "mine");
  put_file(path_of(bench, "layout.svg"), "mine");
  bench->fixture.plan.layout_count = 1;
  bench->fixture.plan.cut_count = 0;
  assert_int_equal(write_run(bench, "{}"), STATUS_OK);
  assert_non_null(content(bench, path_of(bench, "layout-W1-1.svg")));
  assert_null(content(bench, path_of(bench, "layout-Y2-1.svg")));
  assert_null(content(bench, path_of(bench, "layout-Y2-2.svg")));
  assert_string_equal(content(bench, path_of(bench, "notes.txt")), "mine");
  assert_string_equal(content(bench, path_of(bench, "layout.svg")), "mine");
}

/* ---- faults ---- */

static void a_file_where_the_folder_should_be_is_said(void **state) {
  struct bench *bench = *state;
  put_file(arena_format(bench->arena, "%s/reports", bench->root), "no folder");
  assert_int_equal(write_run(bench, "{}"), STATUS_NOT_WRITTEN);
  check_fault(bench, "reports/run", ENOTDIR);
}

/* A folder under the name of a report cannot be replaced: all others stay as they were. */
static void keep_first_layout(struct plan *plan) {
  size_t kept = 0;
  for (size_t i = 0; i < plan->cut_count; i++)
    if (plan->cuts[i].layout == 0) plan->cuts[kept++] = plan->cuts[i];
  plan->cut_count = kept;
  plan->layout_count = 1;
}

static void the_last_reports_stay_when_one_cannot_be_replaced(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "old"), STATUS_OK);
  const char *cuts = content(bench, path_of(bench, "cuts.csv"));
  assert_int_equal(unlink(path_of(bench, "purchase.csv")), 0);
  assert_int_equal(mkdir(path_of(bench, "purchase.csv"), 0777), 0);
  keep_first_layout(&bench->fixture.plan);
  assert_int_equal(write_run(bench, "new"), STATUS_NOT_WRITTEN);
  check_fault(bench, "purchase.csv", EISDIR);
  assert_string_equal(content(bench, path_of(bench, "plan.json")), "old");
  assert_string_equal(content(bench, path_of(bench, "cuts.csv")), cuts);
  assert_non_null(content(bench, path_of(bench, "layout-Y2-2.svg")));
  assert_int_equal(list(bench).hidden, 0);
}

/* The limit on a file's size stands in for a full disk: writing stops part of the way. */
static void a_full_disk_leaves_the_last_reports(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "old"), STATUS_OK);
  const char *cuts = content(bench, path_of(bench, "cuts.csv"));
  struct rlimit before;
  assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
  void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
  struct rlimit small = {.rlim_cur = 2000, .rlim_max = before.rlim_max};
  assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
  enum status status = write_run(bench, "new");
  assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
  signal(SIGXFSZ, handler);
  assert_int_equal(status, STATUS_NOT_WRITTEN);
  check_fault(bench, "cuts.csv", EFBIG);
  assert_string_equal(content(bench, path_of(bench, "plan.json")), "old");
  assert_string_equal(content(bench, path_of(bench, "cuts.csv")), cuts);
  assert_int_equal(list(bench).hidden, 0);
}

static void links_are_replaced_and_never_followed(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "old"), STATUS_OK);
  const char *outside = arena_format(bench->arena, "%s/outside", bench->root);
  put_file(outside, "untouched");
  assert_int_equal(unlink(path_of(bench, "plan.json")), 0);
  assert_int_equal(symlink(outside, path_of(bench, "plan.json")), 0);
  assert_int_equal(symlink(outside, path_of(bench, ".cuts.csv.tmp")), 0);
  assert_int_equal(symlink(outside, path_of(bench, "layout-gone-1.svg")), 0);
  assert_int_equal(write_run(bench, "new"), STATUS_OK);
  assert_string_equal(content(bench, outside), "untouched");
  assert_string_equal(content(bench, path_of(bench, "plan.json")), "new");
  struct stat status;
  assert_int_equal(lstat(path_of(bench, "plan.json"), &status), 0);
  assert_true(S_ISREG(status.st_mode));
  assert_true(lstat(path_of(bench, "layout-gone-1.svg"), &status) != 0);
  assert_int_equal(list(bench).hidden, 0);
}

/* A name that is taken away between writing and renaming: what was renamed before it goes
 * back, and a file that was not there before is not there afterwards. */
static void a_rename_that_fails_is_undone(void **state) {
  struct bench *bench = *state;
  struct file_batch *batch = batch_open(bench->arena, bench->folder, bench->diagnostics);
  assert_non_null(batch);
  put_file(path_of(bench, "a"), "old a");
  put_file(path_of(bench, "c"), "old c");
  assert_true(batch_add(batch, "a", "new a", 5));
  assert_true(batch_add(batch, "b", "new b", 5));
  assert_true(batch_add(batch, "c", "new c", 5));
  assert_int_equal(unlink(path_of(bench, ".c.tmp")), 0);
  assert_false(batch_commit(batch));
  batch_close(batch);
  check_fault(bench, "/c", ENOENT);
  assert_string_equal(content(bench, path_of(bench, "a")), "old a");
  assert_null(content(bench, path_of(bench, "b")));
  assert_string_equal(content(bench, path_of(bench, "c")), "old c");
  assert_int_equal(list(bench).hidden, 0);
}

/* ---- signals ---- */

static void *wait_for_signals(void *ready) {
  sem_post(ready);
  while (pause() != 0) continue;
  return NULL;
}

/* A library's thread, which blocks nothing. */
static void start_thread(void) {
  static sem_t ready;
  pthread_t thread;
  if (sem_init(&ready, 0, 0) != 0 || pthread_create(&thread, NULL, wait_for_signals, &ready) != 0)
    _exit(7);
  sem_wait(&ready);
}

/* Ends as the signal makes it, or with 7 where something before went wrong. */
static void be_told_to_end(struct bench *bench, int number) {
  start_thread();
  struct file_batch *batch = batch_open(bench->arena, bench->folder, bench->diagnostics);
  if (batch == NULL || !batch_add(batch, "a", "new a", 5)) _exit(7);
  kill(getpid(), number);
  if (!batch_add(batch, "b", "new b", 5) || !batch_commit(batch)) _exit(7);
  batch_close(batch);
  _exit(0);
}

/* It waits, even where another thread would take it, and then ends the program, unless it is
 * ignored. */
static void a_signal_waits_for_the_files(void **state) {
  struct bench *bench = *state;
  static const int signals[] = {SIGHUP, SIGINT, SIGTERM};
  for (size_t i = 0; i < 2 * sizeof signals / sizeof *signals; i++) {
    bool ignored = i % 2 == 1;
    int number = signals[i / 2], status = 0;
    pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
      signal(number, ignored ? SIG_IGN : SIG_DFL);
      be_told_to_end(bench, number);
    }
    assert_true(waitpid(child, &status, 0) == child);
    assert_int_equal(WIFSIGNALED(status) ? WTERMSIG(status) : 0, ignored ? 0 : number);
    assert_true(WIFSIGNALED(status) || WEXITSTATUS(status) == 0);
    assert_non_null(content(bench, path_of(bench, "a")));
    assert_non_null(content(bench, path_of(bench, "b")));
    assert_string_equal(content(bench, path_of(bench, "a")), "new a");
    assert_string_equal(content(bench, path_of(bench, "b")), "new b");
    assert_int_equal(list(bench).hidden, 0);
    assert_int_equal(unlink(path_of(bench, "a")) + unlink(path_of(bench, "b")), 0);
  }
}

/* What a killed run left half renamed stays told until a whole batch has replaced it. */
static void a_notice_stays_until_all_is_replaced(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "old"), STATUS_OK);
  put_file(path_of(bench, "UNFINISHED.txt"), "mixed");

  struct file_batch *batch = batch_open(bench->arena, bench->folder, bench->diagnostics);
  assert_non_null(batch);
  batch_notice(batch, "UNFINISHED.txt", "text", false);
  assert_true(batch_add(batch, "price.csv", "1", 1));
  assert_true(batch_commit(batch));
  batch_close(batch);
  assert_string_equal(content(bench, path_of(bench, "UNFINISHED.txt")), "mixed");

  batch = batch_open(bench->arena, bench->folder, bench->diagnostics);
  assert_non_null(batch);
  batch_notice(batch, "UNFINISHED.txt", "text", true);
  assert_true(batch_add(batch, "plan.json", "new", 3));
  assert_int_equal(unlink(path_of(bench, ".plan.json.tmp")), 0);
  assert_false(batch_commit(batch));
  batch_close(batch);
  assert_string_equal(content(bench, path_of(bench, "UNFINISHED.txt")), "mixed");

  assert_int_equal(write_run(bench, "new"), STATUS_OK);
  assert_null(content(bench, path_of(bench, "UNFINISHED.txt")));
}

/* What was told of the same files, or was not told to its end, goes with them. */
static void a_notice_of_the_same_files_goes(void **state) {
  struct bench *bench = *state;
  static const char *const before[] = {"", "te", "text"};
  assert_int_equal(write_run(bench, "old"), STATUS_OK);
  for (size_t i = 0; i < 3; i++) {
    put_file(path_of(bench, "UNFINISHED.txt"), before[i]);
    struct file_batch *batch = batch_open(bench->arena, bench->folder, bench->diagnostics);
    assert_non_null(batch);
    batch_notice(batch, "UNFINISHED.txt", "text", false);
    assert_true(batch_add(batch, "price.csv", "1", 1));
    assert_true(batch_commit(batch));
    batch_close(batch);
    assert_null(content(bench, path_of(bench, "UNFINISHED.txt")));
  }
}

/* ---- want of memory ---- */

static enum status write_with_failure(const struct bench *bench, unsigned long nth) {
  const struct fixture *fixture = &bench->fixture;
  struct arena *arena = arena_create();
  if (arena == NULL) return STATUS_SOLVER_FAULT;
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    struct diagnostics *diagnostics = diagnostics_create(arena);
    arena_fail_after(nth);
    status = write_reports(arena, bench->folder, fixture->project, &fixture->blanks, &fixture->plan,
                           NULL, "new", diagnostics);
  }
  arena_fail_after(0);
  arena_destroy(arena);
  return status;
}

/* Whichever allocation fails, no temporary file stays and the last reports are whole. */
static void want_of_memory_leaves_the_last_reports(void **state) {
  struct bench *bench = *state;
  assert_int_equal(write_run(bench, "old"), STATUS_OK);
  unsigned long step = 1;
  for (unsigned long nth = 1;; nth += step) {
    enum status status = write_with_failure(bench, nth);
    assert_int_equal(list(bench).hidden, 0);
    if (status == STATUS_OK) break;
    assert_int_equal(status, STATUS_NO_MEMORY);
    if (strcmp(content(bench, path_of(bench, "plan.json")), "old") != 0)
      fail_msg("allocation %lu changed the plan", nth);
    step = nth < 100 ? 1 : 211; /* the writers are gone through in strides */
  }
  assert_string_equal(content(bench, path_of(bench, "plan.json")), "new");
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown(test, open_bench, close_bench)

int main(void) {
  const struct CMUnitTest tests[] = {
      BENCH_TEST(all_reports_are_written),
      BENCH_TEST(the_same_plan_gives_the_same_bytes),
      BENCH_TEST(drawings_of_an_earlier_plan_are_removed),
      BENCH_TEST(a_file_where_the_folder_should_be_is_said),
      BENCH_TEST(the_last_reports_stay_when_one_cannot_be_replaced),
      BENCH_TEST(a_full_disk_leaves_the_last_reports),
      BENCH_TEST(links_are_replaced_and_never_followed),
      BENCH_TEST(a_rename_that_fails_is_undone),
      BENCH_TEST(a_signal_waits_for_the_files),
      BENCH_TEST(a_notice_stays_until_all_is_replaced),
      BENCH_TEST(a_notice_of_the_same_files_goes),
      BENCH_TEST(want_of_memory_leaves_the_last_reports),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
