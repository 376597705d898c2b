/* Places of holes in steps.csv. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <stdio.h>

#include "unit/project_folder.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define HEADER "part,step,cutter,count,side,stand,holes"
#define CUTTERS "cutter,diameter,flute_length,feed,stepdown\n"

static struct scene scene;

static int open_scene(void **state) {
  (void)state;
  scene_open(&scene);
  scene_file(&scene, "cutters.csv", CUTTERS "drill4,4,25,200,4\n");
  return 0;
}

static int close_scene(void **state) {
  (void)state;
  scene_close(&scene);
  return 0;
}

/* The only step, in a part of 240 x 72 unless parts.csv says another. */
static const struct step *read_cell(const char *cell) {
  char text[512];
  snprintf(text, sizeof text, HEADER "\nboard,drill,drill4,,,,\"%s\"\n", cell);
  scene_file(&scene, "steps.csv", text);
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->step_count, 1);
  assert_int_equal(scene.project->steps[0].count, scene.project->steps[0].hole_count);
  return &scene.project->steps[0];
}

static void expect_hole(const struct step *step, size_t index, length_t x, length_t y) {
  assert_true(index < step->hole_count);
  assert_int_equal(step->holes[index].x, x);
  assert_int_equal(step->holes[index].y, y);
}

static void single_places(void **state) {
  (void)state;
  const struct step *step = read_cell("20x15; 2.5 cm X 30 | 40 mm \xC3\x97 1/2 in;");
  assert_int_equal(step->hole_count, 3);
  expect_hole(step, 0, MM(20), MM(15));
  expect_hole(step, 1, MM(25), MM(30));
  expect_hole(step, 2, MM(40), LENGTH_PER_INCH / 2);
}

static void rows_both_ways_and_back(void **state) {
  (void)state;
  const struct step *step =
      read_cell("20x15 to 80x15 by 20;20x60to20x40by10;90 x 60 To 30 x 60 BY 30");
  assert_int_equal(step->hole_count, 4 + 3 + 3);
  expect_hole(step, 0, MM(20), MM(15));
  expect_hole(step, 3, MM(80), MM(15));
  expect_hole(step, 4, MM(20), MM(60));
  expect_hole(step, 5, MM(20), MM(50));
  expect_hole(step, 7, MM(90), MM(60));
  expect_hole(step, 8, MM(60), MM(60));
}

static void fields_go_row_by_row(void **state) {
  (void)state;
  const struct step *step = read_cell("10x60 to 50x20 by 20 x 40 | 10x10 to 10x10 by 5");
  assert_int_equal(step->hole_count, 3 * 2 + 1);
  expect_hole(step, 0, MM(10), MM(60));
  expect_hole(step, 2, MM(50), MM(60));
  expect_hole(step, 3, MM(10), MM(20));
  expect_hole(step, 5, MM(50), MM(20));
  expect_hole(step, 6, MM(10), MM(10));
}

/* 3/16 in four times from 1/2 in ends at 1-1/4 in: whole numbers, nothing rounded. */
static void inches_step_exactly(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv", "setting,value\nunits,inch\n");
  scene_file(&scene, "parts.csv",
             "part,per_set,length,width,thickness,wood\nboard,1,9,3,3/4,walnut\n");
  scene_file(&scene, "rack.csv",
             "stock,kind,wood,length,width,thickness\nW1,plank,walnut,72,8,7/8\n");
  scene_file(&scene, "cutters.csv", CUTTERS "drill4,1/8,1,8,1/8\n");
  const struct step *step = read_cell("1/2 x 3/8 to 1-1/4 x 3/8 by 3/16");
  assert_int_equal(step->hole_count, 5);
  expect_hole(step, 4, LENGTH_PER_INCH * 5 / 4, LENGTH_PER_INCH * 3 / 8);
}

/* A file parted by semicolons may have decimal commas, and need not quote a bar. */
static void other_delimiters(void **state) {
  (void)state;
  scene_file(&scene, "steps.csv", "part;step;cutter;holes\nboard;drill;drill4;12,5x15|20x15\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->steps[0].hole_count, 2);
  expect_hole(&scene.project->steps[0], 0, 100000, MM(15));
}

static void a_hole_may_touch_the_edge(void **state) {
  (void)state;
  assert_int_equal(read_cell("2x2;238x70")->hole_count, 2);
  scene_file(&scene, "parts.csv",
             "part,per_set,length,width,thickness,wood,shape\nboard,1,72,72,18,walnut,round\n");
  /* 3-4-5: the hole's middle is 34 from the round's, as far as its radius of 36 less 2 allows */
  assert_int_equal(read_cell("56.4x63.2;2x36")->hole_count, 2);
}

static void a_count_that_agrees(void **state) {
  (void)state;
  scene_file(&scene, "steps.csv", HEADER "\nboard,drill,drill4,2,under,,9x9;20x9\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->steps[0].count, 2);
  assert_int_equal(scene.project->steps[0].side, SIDE_UNDER);
}

static void faults_of_a_cell(void **state) {
  (void)state;
#define PLACE "such as 20x15: along the part, x, across it, from its lower left corner"
#define ROW "such as 20x15 to 260x15 by 24, or by 24x12 for rows side by side"
  static const struct bad_line lines[] = {
      {"board,drill,drill4,,,,20", 23, "'20' is no place of a hole, expected " PLACE},
      {"board,drill,drill4,,,,;", 23, "no place of a hole, expected " PLACE},
      {"board,drill,drill4,,,,20x", 23, "'' is no length, expected places of holes " PLACE},
      {"board,drill,drill4,,,,20xb", 23, "'b' is no length, expected places of holes " PLACE},
      {"board,drill,drill4,,,,20x0.00001", 23,
       "'0.00001' is too fine a length, expected places of holes " PLACE},
      {"board,drill,drill4,,,,20x999 m", 23,
       "'999 m' is too long, expected places of holes " PLACE},
      {"board,drill,drill4,,,,20x15 to 40x15", 23,
       "'20x15 to 40x15' does not say how far apart, expected " ROW},
      {"board,drill,drill4,,,,20x15 to 40 by 10", 23,
       "'40' is no place of a hole, expected " PLACE},
      {"board,drill,drill4,,,,20x15 to 40x15 by 0", 23,
       "'20x15 to 40x15 by 0' has a step of 0 or less, expected " ROW},
      {"board,drill,drill4,,,,20x15 to 40x15 by 10x-5", 23,
       "'20x15 to 40x15 by 10x-5' has a step of 0 or less, expected " ROW},
      {"board,drill,drill4,,,,20x15 to 40x35 by 10", 23,
       "'20x15 to 40x35 by 10' goes along and across the part, expected a step for both, such as "
       "by 24x12"},
      {"board,drill,drill4,,,,20x15 to 45x15 by 10", 23,
       "'20x15 to 45x15 by 10' goes over 25 mm, no whole number of steps of 10 mm, expected to "
       "end on a hole"},
      {"board,drill,drill4,,,,20x15 to 40x20 by 10x4", 23,
       "'20x15 to 40x20 by 10x4' goes over 5 mm, no whole number of steps of 4 mm, expected to "
       "end on a hole"},
      {"board,drill,drill4,,,,20x15 to 40x15 by 0.001x4", 23,
       "too many holes, expected at most 10000 in the whole file"},
      {"board,drill,drill4,3,,,20x15;30x15", 20,
       "'3' is not how many holes are placed, expected 2"},
      {"board,drill,drill4,,,,20x15;1.9x30", 23,
       "hole 2 at 1.9x30 breaks out of 'board', expected all of its 4 mm within the part's 240x72"},
      {"board,drill,drill4,,,,20x71", 23,
       "hole 1 at 20x71 breaks out of 'board', expected all of its 4 mm within the part's 240x72"},
      {"board,drill,drill4,,,,-20x15", 23,
       "hole 1 at -20x15 breaks out of 'board', expected all of its 4 mm within the part's "
       "240x72"},
      {"board,drill,drill4,,,,20x15;40x15;10x15 to 20x15 by 5", 23,
       "two holes at 20x15, expected each place once"},
      {"board,pocket,drill4,,,,20x15", 24,
       "'20x15' places no holes here, expected them for a step drill"},
      {"board,drill,drill4,,,edge,20x15", 27,
       "'20x15' places no holes here, expected them for a part that lies flat"},
  };
  scene_expect_bad_lines(&scene, "steps.csv", HEADER, lines, COUNT(lines));
}

static void off_a_round(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv",
             "part,per_set,length,width,thickness,wood,shape\nboard,1,72,72,18,walnut,round\n");
  static const struct bad_line lines[] = {
      {"board,drill,drill4,,,,56.4x63.201", 23,
       "hole 1 at 56.4x63.2 breaks out of 'board', expected all of its 4 mm within the round of "
       "72x72"},
  };
  scene_expect_bad_lines(&scene, "steps.csv", HEADER, lines, COUNT(lines));
}

/* Chain drilling is no fault. */
static void overlapping_holes_are_told(void **state) {
  (void)state;
  scene_file(&scene, "steps.csv", HEADER "\nboard,drill,drill4,,,,60x40;20x15;22x18;20x19\n");
  scene_read(&scene);
  assert_int_equal(scene.status, STATUS_OK);
  scene_expect_errors(&scene, 0);
  scene_expect_fault(
      &scene, "steps.csv", 2, 23,
      "holes at 20x15 and 22x18 overlap, expected 4 mm or more between their middles");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(single_places, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(rows_both_ways_and_back, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(fields_go_row_by_row, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(inches_step_exactly, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(other_delimiters, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_hole_may_touch_the_edge, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_count_that_agrees, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_cell, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(off_a_round, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(overlapping_holes_are_told, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
