/* Whole folders: the demos, what is missing, large files, and running out of memory. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/buffer.h"
#include "unit/project_folder.h"

static struct scene scene;

static int open_scene(void **state) {
  (void)state;
  scene_open(&scene);
  return 0;
}

static int close_scene(void **state) {
  (void)state;
  scene_close(&scene);
  return 0;
}

static void read_demo(const char *name) {
  arena_destroy(scene.arena);
  scene.arena = arena_create();
  assert_non_null(scene.arena);
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  scene.diagnostics = diagnostics_create(scene.arena);
  const char *folder = arena_format(scene.arena, "%s/boards/%s", SOURCE_ROOT, name);
  scene.status = read_project(scene.arena, folder, scene.diagnostics, &scene.project);
  scene_expect_fine(&scene);
  assert_int_equal(scene.diagnostics->count, 0);
  assert_string_equal(scene.project->name, name);
}

static void the_cribbage_demo(void **state) {
  (void)state;
  read_demo("cribbage");
  const struct project *project = scene.project;
  assert_int_equal(project->part_count, 3);
  assert_int_equal(project->stock_count, 7);
  assert_int_equal(project->clamp_count, 2);
  assert_int_equal(project->cutter_count, 5);
  assert_int_equal(project->step_count, 10);
  assert_int_equal(project->bought_count, 2);
  assert_int_equal(project->money_count, 13);
  assert_int_equal(project->shop.sets, 24);
  assert_int_equal(project->parts[0].length, MM(240));
  assert_int_equal(project->stocks[0].flaw_count, 1);
  assert_string_equal(project->stocks[5].name, "Y2");
  assert_int_equal(project->stocks[5].value, 2745); /* 1.83 m at 15.00 */
}

static void the_trays_demo(void **state) {
  (void)state;
  read_demo("trays");
  const struct project *project = scene.project;
  assert_int_equal(shop_unit(&project->shop), UNIT_INCH);
  assert_int_equal(project->part_count, 4);
  assert_int_equal(project->stock_count, 5);
  assert_int_equal(project->parts[3].length, 183 * LENGTH_PER_INCH / 16);
  assert_int_equal(project->stocks[1].kind, STOCK_SHEET);
  assert_int_equal(project->stocks[0].trim_edges, 0);
}

static void a_folder_that_is_not_there(void **state) {
  (void)state;
  struct scene other = scene;
  snprintf(other.folder, sizeof other.folder, "%.40s/none", scene.folder);
  other.arena = NULL;
  scene_read(&other);
  assert_int_equal(other.status, STATUS_BAD_INPUT);
  assert_int_equal(other.diagnostics->count, 1);
  assert_string_equal(other.diagnostics->items[0].text,
                      "no such folder, expected a project: 'new FOLDER' makes one to start from");
  arena_destroy(other.arena);
}

static void a_folder_misspelt(void **state) {
  (void)state;
  struct scene other = scene;
  char first[96], expected[256];
  (void)snprintf(first, sizeof first, "%.40s/first", scene.folder);
  (void)snprintf(other.folder, sizeof other.folder, "%.40s/frist/", scene.folder);
  assert_int_equal(mkdir(first, 0700), 0);
  other.arena = NULL;
  scene_read(&other);
  assert_int_equal(rmdir(first), 0);
  assert_int_equal(other.status, STATUS_BAD_INPUT);
  assert_int_equal(other.diagnostics->count, 1);
  (void)snprintf(expected, sizeof expected, "no such folder, expected a project; nearest is '%s'",
                 first);
  assert_string_equal(other.diagnostics->items[0].text, expected);
  arena_destroy(other.arena);
}

static void a_folder_without_any_file(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv", NULL);
  scene_file(&scene, "rack.csv", NULL);
  scene_file(&scene, "notes.txt", "x\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 2);
  assert_int_equal(scene.diagnostics->count, 3);
  assert_int_equal(scene.diagnostics->items[2].severity, SEVERITY_NOTE);
  assert_string_equal(scene.diagnostics->items[2].text,
                      "holds no file of a project: 'new FOLDER' makes one to start from");
}

static void every_missing_file_is_told(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv", NULL);
  scene_file(&scene, "rack.csv", NULL);
  scene_read(&scene);
  scene_expect_errors(&scene, 2);
  scene_expect_fault(&scene, "parts.csv", 0, 0, "no such file, expected the parts of a set");
  scene_expect_fault(&scene, "rack.csv", 0, 0,
                     "no stock, expected at least one row in rack.csv or yard.csv");
}

/* What refers to parts or stock is not at fault for there being none. */
static void nothing_follows_from_a_file_that_cannot_be_read(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv", NULL);
  scene_file(&scene, "rack.csv", "stock,kind,wood,length,width\nW,plank,oak,900,120\n");
  scene_file(&scene, "flaws.csv", "stock,x,y,length,width\nW,1,1,1,1\n");
  scene_file(&scene, "cutters.csv", NULL);
  scene_file(&scene, "steps.csv", "part,step,cutter\na,face,none\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 3);
  scene_expect_fault(&scene, "steps.csv", 2, 8,
                     "'none' is no known cutter, expected one of cutters.csv");
}

static void faults_of_all_files_in_one_run(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv", "part,per_set,length,width,thickness,wood\na,1,x,40,5,oak\n");
  scene_file(&scene, "rack.csv",
             "stock,kind,wood,length,width,thickness\nW,board,oak,900,120,20\n");
  scene_file(&scene, "yard.csv", "stock,kind,wood,length,width,thickness,price\n");
  scene_file(&scene, "shop.csv", "setting,value\nkerf,3\n");
  scene_file(&scene, "flaws.csv", "stock,x,y,length,width\nV,1,1,1,1\n");
  scene_file(&scene, "steps.csv", "part,step,cutter\na,face,none\n");
  scene_file(&scene, "money.csv", "item,value\nprice,x\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 7);
  scene_expect_fault(&scene, "yard.csv", 1, 1,
                     "column 'per' is missing, expected it in the header row");
}

static void misnamed_files_are_cautioned_of(void **state) {
  (void)state;
  scene_file(&scene, "Yard.csv", "x\n");
  scene_file(&scene, "flaw.csv", "x\n");
  scene_file(&scene, "sales.csv", "x\n");
  scene_file(&scene, "part.csv", "x\n"); /* parts.csv is there */
  scene_file(&scene, "parts.txt", "x\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.diagnostics->count, 2);
  scene_expect_fault(&scene, "Yard.csv", 0, 0,
                     "file is not read, expected the name 'yard.csv' if it is meant to be");
  scene_expect_fault(&scene, "flaw.csv", 0, 0,
                     "file is not read, expected the name 'flaws.csv' if it is meant to be");
  assert_int_equal(scene.diagnostics->items[0].severity, SEVERITY_CAUTION);
}

static void the_name_of_a_project(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  static const char *const paths[][2] = {
      {"/none/a", "a"}, {"/none/a//", "a"}, {"b", "b"}, {"/none/.hidden", ".hidden"}};
  for (size_t i = 0; i < 4; i++) {
    struct project *project = NULL;
    (void)read_project(arena, paths[i][0], diagnostics_create(arena), &project);
    assert_string_equal(project->name, paths[i][1]);
    assert_string_equal(project->folder, paths[i][0]);
  }
  struct project *project = NULL;
  (void)read_project(arena, ".", diagnostics_create(arena), &project);
  assert_string_not_equal(project->name, ".");
  arena_destroy(arena);
}

/* 50,000 parts and as many steps that name them: nothing may be quadratic. The limit is
 * some tenfold of what it takes with every check of the compiler switched on. */
static void fifty_thousand_rows(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  struct buffer *parts = buffer_create(arena), *steps = buffer_create(arena);
  buffer_add(parts, "part,per_set,length,width,thickness,wood,way,note\n");
  buffer_add(steps, "part,step,cutter\n");
  for (int i = 0; i < 50000; i++) {
    buffer_format(parts, "part %d,2,%d.5,%d,18,walnut|cherry,saw,\"row, %d\"\n", i, 100 + i % 200,
                  20 + i % 50, i);
    buffer_format(steps, "PART %d,face,flat6\n", 49999 - i);
  }
  scene_file(&scene, "parts.csv", parts->text);
  scene_file(&scene, "steps.csv", steps->text);
  scene_file(&scene, "cutters.csv",
             "cutter,diameter,flute_length,feed,stepdown\nflat6,6,25,900,2\n");
  clock_t before = clock();
  scene_read(&scene);
  double seconds = (double)(clock() - before) / CLOCKS_PER_SEC;
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->part_count, 50000);
  assert_int_equal(scene.project->step_count, 50000);
  assert_int_equal(scene.project->steps[0].part, 49999);
  assert_string_equal(scene.project->parts[777].note, "row, 777");
  if (seconds > 8.0) fail_msg("reading took %.1f s", seconds);
  arena_destroy(arena);
}

/* As many unknown names: the search for near ones must stop at some point. */
static void fifty_thousand_unknown_names(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  struct buffer *parts = buffer_create(arena), *steps = buffer_create(arena);
  buffer_add(parts, "part,per_set,length,width,thickness,wood\n");
  buffer_add(steps, "part,step,cutter\n");
  for (int i = 0; i < 50000; i++) {
    buffer_format(parts, "part %05d,2,100,50,18,oak\n", i);
    buffer_format(steps, "%05d elks,face,flat6\n", i);
  }
  scene_file(&scene, "parts.csv", parts->text);
  scene_file(&scene, "steps.csv", steps->text);
  scene_file(&scene, "cutters.csv",
             "cutter,diameter,flute_length,feed,stepdown\nflat6,6,25,900,2\n");
  clock_t before = clock();
  scene_read(&scene);
  double seconds = (double)(clock() - before) / CLOCKS_PER_SEC;
  scene_expect_errors(&scene, 1001);
  scene_expect_fault(&scene, "steps.csv", 2, 1,
                     "'00000 elks' is no known part, expected one of parts.csv");
  if (seconds > 8.0) fail_msg("reading took %.1f s", seconds);
  arena_destroy(arena);
}

/* Each allocation fails once: the arena gets control back and nothing is left behind
 * (the address sanitizer's build sees to the latter). */
static void running_out_of_memory(void **state) {
  (void)state;
  volatile unsigned long failures = 0;
  volatile bool done = false;
  while (!done) {
    arena_fail_after(0);
    struct arena *arena = arena_create();
    assert_non_null(arena);
    enum status status = ARENA_TRY(arena);
    if (status == STATUS_OK) {
      struct project *project = NULL;
      arena_fail_after(failures + 1);
      struct diagnostics *diagnostics = diagnostics_create(arena);
      status = read_project(arena, SOURCE_ROOT "/boards/cribbage", diagnostics, &project);
      arena_fail_after(0);
      assert_int_equal(status, STATUS_OK);
      done = true;
    } else {
      assert_int_equal(status, STATUS_NO_MEMORY);
      failures++;
    }
    arena_destroy(arena);
  }
  assert_true(failures > 100);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(the_cribbage_demo, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(the_trays_demo, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_folder_that_is_not_there, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_folder_misspelt, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_folder_without_any_file, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(every_missing_file_is_told, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(nothing_follows_from_a_file_that_cannot_be_read, open_scene,
                                      close_scene),
      cmocka_unit_test_setup_teardown(faults_of_all_files_in_one_run, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(misnamed_files_are_cautioned_of, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(the_name_of_a_project, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(fifty_thousand_rows, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(fifty_thousand_unknown_names, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(running_out_of_memory, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
