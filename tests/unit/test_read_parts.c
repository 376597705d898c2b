#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <string.h>

#include "unit/project_folder.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define HEADER "part,per_set,length,width,thickness,wood,grain,way,shape,faced,hold,tabs,spares,"
#define MORE "match,fit,hand_minutes,note"

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

static void every_column_is_read(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv",
             HEADER MORE
             "\nlid,2,138,34.5,5,walnut| cherry ,across,gang,rectangle,two,sides,3,4,A,0.3,"
             "1.25,\"thin, planed\"\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->part_count, 1);
  const struct part *part = &scene.project->parts[0];
  assert_string_equal(part->name, "lid");
  assert_int_equal(part->per_set, 2);
  assert_int_equal(part->length, MM(138));
  assert_int_equal(part->width, 276000);
  assert_int_equal(part->thickness, MM(5));
  assert_int_equal(part->wood_count, 2);
  assert_string_equal(part->woods[0], "walnut");
  assert_string_equal(part->woods[1], "cherry");
  assert_int_equal(part->grain, GRAIN_ACROSS);
  assert_int_equal(part->way, WAY_GANG);
  assert_int_equal(part->shape, SHAPE_RECTANGLE);
  assert_int_equal(part->faced, FACED_TWO);
  assert_int_equal(part->hold, HOLD_SIDES);
  assert_int_equal(part->tabs, 3);
  assert_int_equal(part->spares, 4);
  assert_string_equal(part->match, "A");
  assert_int_equal(part->fit, 2400);
  assert_int_equal(part->hand_minutes, 1250);
  assert_string_equal(part->note, "thin, planed");
  assert_int_equal(part->place.line, 2);
  assert_int_equal(part->place.column, 1);
  assert_non_null(strstr(part->place.file, "/parts.csv"));
  assert_true(strncmp(part->place.row, "lid,2,", 6) == 0);
}

static void empty_cells_have_their_defaults(void **state) {
  (void)state;
  static const char *const files[] = {SCENE_PARTS,
                                      HEADER MORE "\nboard,1,240,72,18,walnut,,,,,,,,,,,\n"};
  for (size_t i = 0; i < COUNT(files); i++) {
    scene_file(&scene, "parts.csv", files[i]);
    scene_read(&scene);
    scene_expect_fine(&scene);
    const struct part *part = &scene.project->parts[0];
    assert_int_equal(part->grain, GRAIN_ALONG);
    assert_int_equal(part->way, WAY_SAW);
    assert_int_equal(part->shape, SHAPE_RECTANGLE);
    assert_int_equal(part->faced, FACED_NONE);
    assert_int_equal(part->hold, HOLD_AUTO);
    assert_int_equal(part->tabs, -1);
    assert_int_equal(part->spares, 0);
    assert_null(part->match);
    assert_int_equal(part->fit, -1);
    assert_int_equal(part->hand_minutes, 0);
    assert_null(part->note);
  }
}

static void words_of_any_case(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv",
             "PART,Per_Set,LENGTH,width,thickness,WOOD,Way,hold,shape\n"
             "a,1,50,50,8,ANY,BLANK,Tape,ROUND\nb,1,50,40,8,oak|any,saw,ends,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->part_count, 2);
  assert_int_equal(scene.project->parts[0].way, WAY_BLANK);
  assert_int_equal(scene.project->parts[0].hold, HOLD_TAPE);
  assert_int_equal(scene.project->parts[0].shape, SHAPE_ROUND);
  assert_int_equal(scene.project->parts[0].wood_count, 0);
  assert_int_equal(scene.project->parts[1].wood_count, 0);
  assert_int_equal(scene.project->parts[1].hold, HOLD_ENDS);
}

#define LENGTH_FORM "expected a number with an optional unit such as 140, 5-1/2\" or 14 cm"

static void faults_of_a_row(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"a,1,12x,40,5,oak", 5, "'12x' is no length, " LENGTH_FORM},
      {"a,1,,40,5,oak", 5, "empty cell, " LENGTH_FORM},
      {"a,1,\"60,5\",40,5,oak", 5, "'60,5' is no length, " LENGTH_FORM ", decimals behind a point"},
      {"a,1,0,40,5,oak", 5, "'0' is too small, expected a length over 0"},
      {"a,1,50,-4,5,oak", 8, "'-4' is too small, expected a length over 0"},
      {"a,1,50,40,101 m,oak", 11, "'101 m' is too long, expected at most 100 m"},
      {"a,1,50,40,1/3 in,oak", 11,
       "'1/3 in' is too fine a length, expected a whole number of 0.001 mm or 1/64 in"},
      {"a,0,50,40,5,oak", 3, "'0' is too small, expected a whole number from 1 to 1000000"},
      {"a,-1,50,40,5,oak", 3, "'-1' is too small, expected a whole number from 1 to 1000000"},
      {"a,1000001,50,40,5,oak", 3,
       "'1000001' is too large, expected a whole number from 1 to 1000000"},
      {"a,1.5,50,40,5,oak", 3,
       "'1.5' does not fit here, expected a whole number from 1 to 1000000"},
      {"a,two,50,40,5,oak", 3,
       "'two' does not fit here, expected a whole number from 1 to 1000000"},
      {"a,,50,40,5,oak", 3, "empty cell, expected a whole number from 1 to 1000000"},
      {"a,1,50,40,5", 12, "empty cell, expected a name"},
      {",1,50,40,5,oak", 1, "empty cell, expected a name"},
      {"a,1,50,40,5,oak||elm", 13,
       "'oak||elm' has an empty wood in it, expected such as walnut|cherry"},
      {"a,1,50,40,5,oak|", 13, "'oak|' has an empty wood in it, expected such as walnut|cherry"},
      {"a,1,50,40,5,oak,alnog", 17,
       "'alnog' is no allowed word, expected along, across or any; nearest is 'along'"},
      {"a,1,50,40,5,oak,,carve", 18, "'carve' is no allowed word, expected saw, blank or gang"},
      {"a,1,50,40,5,oak,,,oval", 19, "'oval' is no allowed word, expected rectangle or round"},
      {"a,1,50,40,5,oak,,,,three", 20, "'three' is no allowed word, expected none, one or two"},
      {"a,1,50,40,5,oak,,,,,end", 21,
       "'end' is no allowed word, expected auto, ends, sides, all or tape; nearest is 'ends'"},
      {"a,1,50,40,5,oak,,,,,,-1", 22, "'-1' is too small, expected a whole number from 0 to 1000"},
      {"a,1,50,40,5,oak,,,,,,,x", 23,
       "'x' does not fit here, expected a whole number from 0 to 1000000"},
      {"a,1,50,40,5,oak,,,,,,,,,-1", 25, "'-1' is negative, expected a length of 0 or more"},
      {"a,1,50,40,5,oak,,,,,,,,,,0.0001", 26,
       "'0.0001' does not fit here, expected a number with at most 3 decimals from 0 to 1000000"},
      {"a,1,50,40,5,oak,,,round", 8, "'40' is not the length of a round part, expected '50'"},
      {"\"a\tb\",1,50,40,5,oak", 1,
       "'a b' has a line break or tab in it, expected a name of one line"},
  };
  scene_expect_bad_lines(&scene, "parts.csv", HEADER MORE, lines, COUNT(lines));
}

static void all_faults_of_all_rows_are_told(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv",
             "part,per_set,length,width,thickness,wood\na,0,x,-1,5,oak\nb,1,50,40,5,oak\n"
             "A,1,50,0,5,oak\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 5);
  scene_expect_fault(&scene, "parts.csv", 2, 3,
                     "'0' is too small, expected a whole number from 1 to 1000000");
  scene_expect_fault(&scene, "parts.csv", 2, 7, "'-1' is too small, expected a length over 0");
  scene_expect_fault(&scene, "parts.csv", 4, 1,
                     "part 'A' stands twice, first in line 2, expected another name");
  scene_expect_fault(&scene, "parts.csv", 4, 8, "'0' is too small, expected a length over 0");
  assert_string_equal(scene.diagnostics->items[0].place.row, "a,0,x,-1,5,oak");
}

static void a_missing_column_is_told_once(void **state) {
  (void)state;
  scene_file(&scene, "parts.csv",
             "part,per_set,lenght,width,thickness,wood\na,1,50,40,5,oak\nb,1,50,40,5,oak\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "parts.csv", 1, 14, "'lenght' is no known column, expected 'length'");
}

static void a_project_without_parts(void **state) {
  (void)state;
  static const char *const files[] = {"", "part,per_set,length,width,thickness,wood\n",
                                      "part,per_set,length,width,thickness,wood\n,,,,,\n"};
  for (size_t i = 0; i < COUNT(files); i++) {
    scene_file(&scene, "parts.csv", files[i]);
    scene_read(&scene);
    scene_expect_errors(&scene, 1);
    scene_expect_fault(&scene, "parts.csv", 0, 0,
                       "no parts, expected a header row and at least one part");
  }
}

static void decimal_commas(void **state) {
  (void)state;
  scene_file(
      &scene, "parts.csv",
      "part;per_set;length;width;thickness;wood;hand_minutes\r\na;1;50,5;4,05 cm;5;oak;1,5\r\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->parts[0].length, 404000);
  assert_int_equal(scene.project->parts[0].width, 324000);
  assert_int_equal(scene.project->parts[0].hand_minutes, 1500);
}

static void bare_numbers_follow_the_shop(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv", "setting,value\nkerf_rip,1/8\nunits,inch\n");
  scene_file(&scene, "parts.csv",
             "part,per_set,length,width,thickness,wood\na,1,5-1/2,\"3/4\"\"\",18 mm,oak\n"
             "b,1,5-1/2\",1'-2\",1/2,oak\n");
  scene_file(&scene, "rack.csv", "stock,kind,wood,length,width,thickness\nW,plank,oak,72,6,1\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct part *parts = scene.project->parts;
  assert_int_equal(parts[0].length, 11 * LENGTH_PER_INCH / 2);
  assert_int_equal(parts[0].width, 3 * LENGTH_PER_INCH / 4);
  assert_int_equal(parts[0].thickness, MM(18));
  assert_int_equal(parts[1].width, 14 * LENGTH_PER_INCH);
  assert_int_equal(scene.project->stocks[0].length, 72 * LENGTH_PER_INCH);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(every_column_is_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(empty_cells_have_their_defaults, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(words_of_any_case, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_row, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(all_faults_of_all_rows_are_told, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_missing_column_is_told_once, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_project_without_parts, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(decimal_commas, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(bare_numbers_follow_the_shop, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
