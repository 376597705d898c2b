/* The rack's two files on the disk: both new or both as before, whatever stands in the way. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "read/rows.h"
#include "unit/project_folder.h"
#include "write/settled_files.h"

#define FLAWS "stock,x,y,length,width\nW1,640,60,40,35\n"

static struct scene scene;
static struct file_rows rack, flaws;
static struct settled settled;

static int open_scene(void **state) {
  (void)state;
  scene_open(&scene);
  scene_file(&scene, "flaws.csv", FLAWS);
  scene_read(&scene);
  settled = (struct settled){.changed = true};
  settled.rack = buffer_create(scene.arena);
  buffer_add(settled.rack, "new rack");
  settled.flaws = buffer_create(scene.arena);
  buffer_add(settled.flaws, "new flaws");
  return 0;
}

static int close_scene(void **state) {
  (void)state;
  scene_file(&scene, ".flaws.csv.tmp", NULL);
  scene_file(&scene, ".rack.csv.tmp", NULL);
  scene_close(&scene);
  return 0;
}

static const char *path_of(const char *name) { return text_path(scene.arena, scene.folder, name); }

static enum status write_them(void) {
  if (read_rack_rows(scene.arena, scene.folder, scene.diagnostics, &rack) != STATUS_OK ||
      read_flaws_rows(scene.arena, scene.folder, scene.diagnostics, &flaws) != STATUS_OK)
    fail_msg("the files of before cannot be read");
  return write_settled(scene.arena, scene.folder, &rack, &flaws, &settled, scene.diagnostics);
}

/* NULL: there is no such file. */
static void expect_file(const char *name, const char *text) {
  FILE *file = fopen(path_of(name), "rb");
  assert_int_equal(file != NULL, text != NULL);
  if (file == NULL) return;
  char bytes[1024];
  size_t length = fread(bytes, 1, sizeof bytes, file);
  assert_int_equal(fclose(file), 0);
  assert_int_equal(length, strlen(text));
  assert_memory_equal(bytes, text, length);
}

static void expect_as_before(void) {
  expect_file("rack.csv", SCENE_RACK);
  expect_file("flaws.csv", FLAWS);
  expect_file(".rack.csv.tmp", NULL);
  expect_file(".flaws.csv.tmp", NULL);
  assert_false(settled_by_half(scene.arena, scene.folder));
}

static void both_are_written_and_the_old_ones_kept(void **state) {
  (void)state;
  assert_int_equal(chmod(path_of("rack.csv"), 0640), 0);
  assert_int_equal(write_them(), STATUS_OK);
  expect_file("rack.csv", "new rack");
  expect_file("flaws.csv", "new flaws");
  expect_file("rack.csv.before", SCENE_RACK);
  expect_file("flaws.csv.before", FLAWS);
  expect_file(".rack.csv.old", NULL);
  static const char *const names[] = {"rack.csv", "rack.csv.before"};
  for (size_t i = 0; i < 2; i++) {
    struct stat status;
    assert_int_equal(stat(path_of(names[i]), &status), 0);
    assert_int_equal(status.st_mode & 0777, 0640);
  }
}

static void without_flaws_there_is_one_file(void **state) {
  (void)state;
  scene_file(&scene, "flaws.csv", NULL);
  settled.flaws = NULL;
  assert_int_equal(write_them(), STATUS_OK);
  expect_file("rack.csv", "new rack");
  expect_file("flaws.csv", NULL);
  expect_file("flaws.csv.before", NULL);
}

static void a_rack_that_was_not_there_has_none_of_before(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv", NULL);
  assert_int_equal(write_them(), STATUS_OK);
  expect_file("rack.csv", "new rack");
  expect_file("rack.csv.before", NULL);
}

static void a_link_is_refused(void **state) {
  (void)state;
  scene_file(&scene, "elsewhere", FLAWS);
  scene_file(&scene, "flaws.csv", NULL);
  assert_int_equal(symlink("elsewhere", path_of("flaws.csv")), 0);
  assert_int_equal(write_them(), STATUS_NOT_WRITTEN);
  expect_as_before();
  scene_expect_fault(&scene, "flaws.csv", 0, 0, "is a link, expected the file itself");
}

static void what_cannot_be_kept_is_not_replaced(void **state) {
  (void)state;
  static const char *const names[] = {"rack.csv.before", "flaws.csv.before"};
  for (size_t i = 0; i < 2; i++) {
    assert_int_equal(mkdir(path_of(names[i]), 0777), 0);
    assert_int_equal(write_them(), STATUS_NOT_WRITTEN);
    expect_as_before();
    assert_int_equal(rmdir(path_of(names[i])), 0);
  }
}

/* The limit on a file's size stands in for a full disk. Each of the four files in turn is the one
 * that does not fit; a text that an earlier stop left must not pass for one of this time. */
static void a_full_disk_leaves_both(void **state) {
  (void)state;
  struct rlimit before;
  assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
  void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
  static const rlim_t limits[] = {10, sizeof FLAWS, 70, 100};
  while (settled.rack->length < 80) buffer_add(settled.rack, "more of it");
  while (settled.flaws->length < 120) buffer_add(settled.flaws, "more of it");
  for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
    scene_file(&scene, ".rack.csv.tmp", "half of a ra");
    scene_file(&scene, ".flaws.csv.tmp", "half of fl");
    struct rlimit small = {.rlim_cur = limits[i], .rlim_max = before.rlim_max};
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    enum status status = write_them();
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    assert_int_equal(status, STATUS_NOT_WRITTEN);
    assert_false(settled_by_half(scene.arena, scene.folder));
    expect_file("rack.csv", SCENE_RACK);
    expect_file("flaws.csv", FLAWS);
  }
  signal(SIGXFSZ, handler);
}

/* Of the two temporary files that of the flaws alone, beside the rack of before. */
static void leave_half(void) {
  scene_file(&scene, ".rack.csv.old", "before");
  scene_file(&scene, ".flaws.csv.tmp", "the rest");
}

static void a_stop_between_the_two_is_known_and_mended(void **state) {
  (void)state;
  assert_false(settled_by_half(scene.arena, scene.folder));
  leave_half();
  assert_true(settled_by_half(scene.arena, scene.folder));
  scene_file(&scene, ".rack.csv.tmp", "whole or not");
  assert_false(settled_by_half(scene.arena, scene.folder));
  scene_file(&scene, ".rack.csv.tmp", NULL);
  assert_int_equal(write_settled_rest(scene.arena, scene.folder, scene.diagnostics), STATUS_OK);
  expect_file("flaws.csv", "the rest");
  expect_file(".rack.csv.old", NULL);
  assert_false(settled_by_half(scene.arena, scene.folder));
}

/* A stop while an earlier fault was being undone: the rack is the old one again. */
static void a_text_of_flaws_alone_is_no_half(void **state) {
  (void)state;
  scene_file(&scene, ".flaws.csv.tmp", "the rest");
  assert_false(settled_by_half(scene.arena, scene.folder));
  assert_int_equal(write_settled_rest(scene.arena, scene.folder, scene.diagnostics), STATUS_OK);
  expect_as_before();
}

static void what_cannot_be_mended_stays_by_half(void **state) {
  (void)state;
  leave_half();
  scene_file(&scene, "flaws.csv", NULL);
  assert_int_equal(mkdir(path_of("flaws.csv"), 0777), 0);
  assert_int_equal(write_settled_rest(scene.arena, scene.folder, scene.diagnostics),
                   STATUS_NOT_WRITTEN);
  assert_true(settled_by_half(scene.arena, scene.folder));
  assert_int_equal(rmdir(path_of("flaws.csv")), 0);
  scene_file(&scene, ".rack.csv.old", NULL);
}

#define SETTLED_TEST(function) cmocka_unit_test_setup_teardown(function, open_scene, close_scene)

int main(void) {
  const struct CMUnitTest tests[] = {
      SETTLED_TEST(both_are_written_and_the_old_ones_kept),
      SETTLED_TEST(without_flaws_there_is_one_file),
      SETTLED_TEST(a_rack_that_was_not_there_has_none_of_before),
      SETTLED_TEST(a_link_is_refused),
      SETTLED_TEST(what_cannot_be_kept_is_not_replaced),
      SETTLED_TEST(a_full_disk_leaves_both),
      SETTLED_TEST(a_stop_between_the_two_is_known_and_mended),
      SETTLED_TEST(a_text_of_flaws_alone_is_no_half),
      SETTLED_TEST(what_cannot_be_mended_stays_by_half),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
