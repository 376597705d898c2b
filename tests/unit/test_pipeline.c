/* The public calls from end to end, on the starter project in a folder of its own. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/arena.h"
#include "blankwright/blankwright.h"
#include "pipeline.h"

/* ---- a scratch folder ---- */

static char scratch[64];
static char project[96];
static char reports[96];

static int make_scratch(void **state) {
  (void)state;
  snprintf(scratch, sizeof scratch, "/tmp/pipeline-XXXXXX");
  if (mkdtemp(scratch) == NULL) return -1;
  snprintf(project, sizeof project, "%s/boards", scratch);
  if (mkdir(project, 0777) != 0) return -1;
  snprintf(project, sizeof project, "%s/boards/first", scratch);
  snprintf(reports, sizeof reports, "%s/reports/first", scratch);
  struct bw_run *run = bw_new(project);
  enum bw_status status = bw_run_status(run);
  bw_run_free(run);
  return status == BW_DONE ? 0 : -1;
}

/* Removes a folder of files and folders; what is not there is fine. */
static void remove_tree(const char *path) {
  DIR *listing = opendir(path);
  if (listing == NULL) {
    unlink(path);
    return;
  }
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
    char inner[512];
    snprintf(inner, sizeof inner, "%s/%s", path, entry->d_name);
    remove_tree(inner);
  }
  closedir(listing);
  rmdir(path);
}

static int remove_scratch(void **state) {
  (void)state;
  remove_tree(scratch);
  return 0;
}

static bool is_there(const char *folder, const char *name) {
  char path[256];
  struct stat found;
  snprintf(path, sizeof path, "%s/%s", folder, name);
  return stat(path, &found) == 0;
}

static void write_text(const char *folder, const char *name, const char *text) {
  char path[256];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  assert_true(fputs(text, file) >= 0);
  assert_int_equal(fclose(file), 0);
}

/* True when some message of the run holds the text. */
static bool says(const struct bw_run *run, const char *text) {
  for (size_t i = 0; i < bw_run_message_count(run); i++)
    if (strstr(bw_run_message(run, i).text, text) != NULL) return true;
  return false;
}

/* ---- where the reports go ---- */

static void expect_reports_folder(const char *given, const char *expected) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  if (ARENA_TRY(arena) == STATUS_OK)
    assert_string_equal(pipeline_reports_folder(arena, given), expected);
  arena_destroy(arena);
}

static void reports_lie_beside_boards(void **state) {
  (void)state;
  expect_reports_folder("boards/cribbage", "reports/cribbage");
  expect_reports_folder("boards/cribbage//", "reports/cribbage");
  expect_reports_folder("./boards//cribbage", "./reports/cribbage");
  expect_reports_folder("/a/boards/b", "/a/reports/b");
  expect_reports_folder("../boards/b", "../reports/b");
  expect_reports_folder("/boards/b", "/reports/b");
}

static void reports_lie_here_without_boards(void **state) {
  (void)state;
  expect_reports_folder("/a/b/", "reports/b");
  expect_reports_folder("a/overboards/b", "reports/b");
  expect_reports_folder("a/board/b", "reports/b");
}

static void reports_of_a_bare_name_follow_the_current_folder(void **state) {
  (void)state;
  char before[4096];
  assert_non_null(getcwd(before, sizeof before));
  char boards[96];
  snprintf(boards, sizeof boards, "%s/boards", scratch);
  assert_int_equal(chdir(boards), 0);
  expect_reports_folder("first", reports);
  expect_reports_folder("first/", reports);
  assert_int_equal(chdir("first"), 0);
  expect_reports_folder(".", reports);
  expect_reports_folder("../first/../first/.", reports);
  assert_int_equal(chdir(before), 0);
}

/* ---- the calls ---- */

static void check_writes_nothing(void **state) {
  (void)state;
  struct bw_run *run = bw_check(project, NULL);
  assert_int_equal(bw_run_status(run), BW_DONE);
  assert_non_null(strstr(bw_run_text(run), "tray"));
  assert_non_null(strstr(bw_run_text(run), "foot"));
  bw_run_free(run);
  assert_false(is_there(scratch, "reports"));
}

static void plan_writes_a_plan_that_proof_accepts(void **state) {
  (void)state;
  struct bw_run *run = bw_plan(project, NULL);
  assert_int_equal(bw_run_status(run), BW_DONE);
  assert_non_null(strstr(bw_run_text(run), reports));
  bw_run_free(run);
  assert_true(is_there(reports, "plan.json"));
  assert_true(is_there(reports, "cuts.csv"));
  char plan[128];
  snprintf(plan, sizeof plan, "%s/plan.json", reports);
  run = bw_proof(plan);
  assert_int_equal(bw_run_status(run), BW_DONE);
  bw_run_free(run);
}

static void out_names_the_folder(void **state) {
  (void)state;
  char out[96];
  snprintf(out, sizeof out, "%s/deep/down", scratch);
  struct bw_options options = {.out = out, .sets = 1};
  struct bw_run *run = bw_plan(project, &options);
  assert_int_equal(bw_run_status(run), BW_DONE);
  bw_run_free(run);
  assert_true(is_there(out, "plan.json"));
}

static void most_uses_the_rack_alone(void **state) {
  (void)state;
  struct bw_options options = {.most = true};
  struct bw_run *run = bw_plan(project, &options);
  assert_int_equal(bw_run_status(run), BW_DONE);
  bw_run_free(run);
  char path[128];
  snprintf(path, sizeof path, "%s/plan.json", reports);
  FILE *file = fopen(path, "r");
  assert_non_null(file);
  static char text[1 << 18];
  size_t length = fread(text, 1, sizeof text - 1, file);
  fclose(file);
  text[length] = '\0';
  assert_non_null(strstr(text, "\"O1\""));
  assert_null(strstr(text, "\"Y1\""));
  assert_null(strstr(text, "\"Y2\""));
}

static void faults_leave_the_last_good_reports(void **state) {
  (void)state;
  assert_true(is_there(reports, "plan.json"));
  char path[128];
  snprintf(path, sizeof path, "%s/plan.json", reports);
  struct stat before;
  struct stat after;
  assert_int_equal(stat(path, &before), 0);
  write_text(project, "money.csv", "item,value,note\nprise,12,\nprice,much,\n");
  struct bw_run *run = bw_plan(project, NULL);
  assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
  assert_true(bw_run_message_count(run) >= 2);
  struct bw_message message = bw_run_message(run, 0);
  assert_int_equal(message.severity, BW_ERROR);
  assert_non_null(strstr(message.file, "money.csv"));
  assert_true(message.line == 2 || message.line == 3);
  bw_run_free(run);
  snprintf(path, sizeof path, "%s/money.csv", project);
  assert_int_equal(unlink(path), 0);
  snprintf(path, sizeof path, "%s/plan.json", reports);
  assert_int_equal(stat(path, &after), 0);
  assert_true(before.st_ino == after.st_ino && before.st_size == after.st_size);
}

static void impossible_arguments_are_refused(void **state) {
  (void)state;
  const struct bw_options wrong[] = {
      {.sets = -1},       {.sets = 1000001},         {.effort = -5},
      {.effort = 100001}, {.most = true, .sets = 3}, {.out = ""},
  };
  for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
    struct bw_run *run = bw_plan(project, &wrong[i]);
    assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
    assert_int_equal(bw_run_message_count(run), 1);
    bw_run_free(run);
  }
  struct bw_run *run = bw_check(NULL, NULL);
  assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
  bw_run_free(run);
  run = bw_proof("/no/such/plan.json");
  assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
  bw_run_free(run);
  bw_run_free(NULL);
}

static void too_small_a_rack_is_no_plan(void **state) {
  (void)state;
  char folder[96];
  snprintf(folder, sizeof folder, "%s/boards/short", scratch);
  assert_int_equal(mkdir(folder, 0777), 0);
  write_text(folder, "parts.csv",
             "part,per_set,length,width,thickness,wood,way\nrail,1,400,72,20,oak,saw\n");
  write_text(folder, "rack.csv",
             "stock,kind,wood,length,width,thickness,surface\nR1,plank,oak,1000,100,20,planed\n");
  struct bw_options options = {.sets = 5};
  struct bw_run *run = bw_plan(folder, &options);
  assert_int_equal(bw_run_status(run), BW_NO_PLAN);
  assert_string_equal(bw_run_text(run), "");
  assert_true(says(run, "3 of 5 'rail'"));
  bw_run_free(run);
  char out[96];
  snprintf(out, sizeof out, "%s/reports", scratch);
  assert_false(is_there(out, "short"));
}

/* A set of 50,001 parts is within the limit of 100,000, two sets are not: quantities that nobody
 * asked for are left out, those asked for or found on the rack refused. */
static void parts_beyond_the_limit(void **state) {
  (void)state;
  char folder[96];
  snprintf(folder, sizeof folder, "%s/boards/buttons", scratch);
  assert_int_equal(mkdir(folder, 0777), 0);
  write_text(folder, "parts.csv",
             "part,per_set,length,width,thickness,wood,way,grain\n"
             "button,50001,99,99,6,ply,saw,any\n");
  write_text(folder, "shop.csv", "setting,value\nsaw_allowance,0\nrip_min_length,0\n");
  write_text(folder, "rack.csv",
             "stock,kind,wood,length,width,thickness,count,trim_ends,trim_edges\n"
             "S1,sheet,ply,100 m,11 m,6,1,0,0\n");
  struct bw_options options = {.effort = 1, .most = true};
  struct bw_run *run = bw_plan(folder, &options);
  assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
  assert_true(says(run, "2 sets have more than 100000 parts"));
  bw_run_free(run);
  options = (struct bw_options){.effort = 1, .sets = 2};
  run = bw_price(folder, &options);
  assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
  assert_true(says(run, "2 sets have more than 100000 parts"));
  bw_run_free(run);
  write_text(folder, "rack.csv",
             "stock,kind,wood,length,width,thickness,count,trim_ends,trim_edges\n"
             "S1,sheet,ply,2 m,1 m,6,1,0,0\n");
  options.sets = 1;
  run = bw_price(folder, &options);
  assert_int_equal(bw_run_status(run), BW_NO_PLAN);
  assert_true(says(run, "not a single set can be made of this wood"));
  bw_run_free(run);
}

static void the_most_sets_are_not_priced(void **state) {
  (void)state;
  struct bw_options options = {.most = true};
  struct bw_run *run = bw_price(project, &options);
  assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
  assert_true(says(run, "the most sets cannot be asked for where quantities are priced"));
  bw_run_free(run);
}

/* ---- when memory runs out ---- */

typedef struct bw_run *one_call(void);

static struct bw_run *call_check(void) { return bw_check(project, NULL); }

static struct bw_run *call_plan(void) {
  struct bw_options options = {.sets = 1, .effort = 1, .out = reports};
  return bw_plan(project, &options);
}

static bool name_is_temporary(const char *name) {
  return strstr(name, "tmp") != NULL || strstr(name, "part") != NULL || name[0] == '.';
}

static void assert_no_temporary_files(const char *folder) {
  DIR *listing = opendir(folder);
  if (listing == NULL) return;
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing))
    if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0)
      assert_false(name_is_temporary(entry->d_name));
  closedir(listing);
}

/* Fails the 1st, 2nd, ... allocation, in growing strides once the start is behind, until
 * a call gets through. Leaks are the sanitizers' to find. */
static void fail_each_allocation(one_call *call) {
  size_t failed = 0;
  for (unsigned long nth = 1;; nth += 1 + nth / 64) {
    arena_fail_after(nth);
    struct bw_run *run = call();
    arena_fail_after(0);
    enum bw_status status = bw_run_status(run);
    size_t messages = bw_run_message_count(run);
    if (status != BW_DONE) {
      assert_int_equal(status, BW_NOT_WRITTEN);
      assert_true(messages > 0);
      assert_non_null(bw_run_message(run, messages - 1).text);
    }
    bw_run_free(run);
    assert_no_temporary_files(reports);
    if (status == BW_DONE) break;
    failed++;
  }
  assert_true(failed > 50);
}

static void check_survives_any_failed_allocation(void **state) {
  (void)state;
  fail_each_allocation(call_check);
}

static void plan_survives_any_failed_allocation(void **state) {
  (void)state;
  fail_each_allocation(call_plan);
}

static void read_text(const char *name, char *text, size_t room) {
  char path[256];
  snprintf(path, sizeof path, "%s/%s", project, name);
  FILE *file = fopen(path, "r");
  assert_non_null(file);
  size_t length = fread(text, 1, room - 1, file);
  text[length] = '\0';
  assert_int_equal(fclose(file), 0);
}

static char plan_file[128];

static struct bw_run *call_settle(void) { return bw_settle(project, plan_file); }

/* Whichever allocation fails: both files are as before, or both are new. */
static void settling_changes_all_or_nothing(void **state) {
  (void)state;
  bw_run_free(call_plan());
  snprintf(plan_file, sizeof plan_file, "%s/plan.json", reports);
  char rack[4096], flaws[4096], now[4096];
  read_text("rack.csv", rack, sizeof rack);
  read_text("flaws.csv", flaws, sizeof flaws);
  bool settled = false;
  for (unsigned long nth = 1; !settled; nth += 1 + nth / 64) {
    arena_fail_after(nth);
    struct bw_run *run = call_settle();
    arena_fail_after(0);
    settled = bw_run_status(run) == BW_DONE;
    assert_true(settled || bw_run_status(run) == BW_NOT_WRITTEN);
    bw_run_free(run);
    assert_false(is_there(project, ".rack.csv.tmp") || is_there(project, ".flaws.csv.tmp"));
    assert_false(is_there(project, ".rack.csv.old") || is_there(project, ".flaws.csv.old"));
    read_text("rack.csv", now, sizeof now);
    assert_int_equal(strcmp(now, rack) != 0, settled);
    read_text("flaws.csv", now, sizeof now);
    assert_int_equal(strcmp(now, flaws) != 0, settled);
  }
  read_text("rack.csv.before", now, sizeof now);
  assert_string_equal(now, rack);
  read_text("flaws.csv.before", now, sizeof now);
  assert_string_equal(now, flaws);
  struct bw_run *again = call_settle();
  assert_int_equal(bw_run_status(again), BW_BAD_INPUT);
  assert_true(says(again, "settled already"));
  assert_string_equal(bw_run_text(again), "");
  bw_run_free(again);
}

static void settling_needs_a_plan(void **state) {
  (void)state;
  const char *const plans[] = {NULL, ""};
  for (size_t i = 0; i < 2; i++) {
    struct bw_run *run = bw_settle(project, plans[i]);
    assert_int_equal(bw_run_status(run), BW_BAD_INPUT);
    assert_true(says(run, "no path was given"));
    bw_run_free(run);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(reports_lie_beside_boards),
      cmocka_unit_test(reports_lie_here_without_boards),
      cmocka_unit_test(reports_of_a_bare_name_follow_the_current_folder),
      cmocka_unit_test(check_writes_nothing),
      cmocka_unit_test(plan_writes_a_plan_that_proof_accepts),
      cmocka_unit_test(out_names_the_folder),
      cmocka_unit_test(most_uses_the_rack_alone),
      cmocka_unit_test(faults_leave_the_last_good_reports),
      cmocka_unit_test(impossible_arguments_are_refused),
      cmocka_unit_test(too_small_a_rack_is_no_plan),
      cmocka_unit_test(parts_beyond_the_limit),
      cmocka_unit_test(the_most_sets_are_not_priced),
      cmocka_unit_test(check_survives_any_failed_allocation),
      cmocka_unit_test(plan_survives_any_failed_allocation),
      cmocka_unit_test(settling_needs_a_plan),
      cmocka_unit_test(settling_changes_all_or_nothing),
  };
  return cmocka_run_group_tests(tests, make_scratch, remove_scratch);
}
