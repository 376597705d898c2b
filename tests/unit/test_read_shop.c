/* shop.csv. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>

#include "unit/project_folder.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

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

static void without_a_file_all_is_default(void **state) {
  (void)state;
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->shop.units, 0);
  assert_int_equal(scene.project->shop.sets, 1);
  assert_int_equal(scene.project->shop.kerf_rip, 25600);
  for (size_t i = 0; i < SETTING_TOTAL; i++) assert_false(scene.project->shop.given[i]);
}

static void settings_are_read(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv",
             "note,value,Setting\n,24,sets\n,3,KERF_RIP\n,any,saw_stages\nper hour,24,labour_rate\n"
             ",5 %,spoilage\n,20,part_gap\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct shop *shop = &scene.project->shop;
  assert_int_equal(shop->sets, 24);
  assert_int_equal(shop->kerf_rip, MM(3));
  assert_int_equal(shop->kerf_crosscut, MM(3));
  assert_int_equal(shop->saw_stages, 0);
  assert_int_equal(shop->labour_rate, 2400);
  assert_int_equal(shop->spoilage, 5000);
  assert_int_equal(shop->part_gap, MM(20));
  assert_true(shop->given[SETTING_kerf_rip]);
  assert_false(shop->given[SETTING_kerf_crosscut]);
}

/* Wherever `units` stands, it holds for the whole file, and for its defaults. */
static void the_unit_comes_first(void **state) {
  (void)state;
  static const char *const files[] = {"setting,value\nkerf_rip,1/8\nunits,inch\n",
                                      "setting,value\nunits,Inch\nkerf_rip,1/8\n"};
  for (size_t i = 0; i < COUNT(files); i++) {
    scene_file(&scene, "shop.csv", files[i]);
    scene_read(&scene);
    scene_expect_fine(&scene);
    const struct shop *shop = &scene.project->shop;
    assert_int_equal(shop_unit(shop), UNIT_INCH);
    assert_int_equal(shop->kerf_rip, LENGTH_PER_INCH / 8);
    assert_int_equal(shop->trim_ends_rough, LENGTH_PER_INCH);
    assert_int_equal(shop->paper, 1);
    assert_true(shop->given[SETTING_units]);
    assert_true(shop->given[SETTING_kerf_rip]);
    assert_false(shop->given[SETTING_paper]);
  }
}

static void trims_in_short(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv",
             "setting,value\ntrim_ends_sheet,4\ntrim_ends,30\ntrim_edges,3\ntrim_edges_planed,1\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct shop *shop = &scene.project->shop;
  assert_int_equal(shop->trim_ends_rough, MM(30));
  assert_int_equal(shop->trim_ends_planed, MM(30));
  assert_int_equal(shop->trim_ends_sheet, MM(4));
  assert_int_equal(shop->trim_edges_rough, MM(3));
  assert_int_equal(shop->trim_edges_planed, MM(1));
  assert_int_equal(shop->trim_edges_sheet, MM(3));
  assert_int_equal(scene.project->stocks[0].trim_ends, MM(30));
}

static void decimal_commas(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv", "setting;value\nkerf_rip;3,2\nlabour_rate;24,50\nfriction;0,25\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->shop.kerf_rip, 25600);
  assert_int_equal(scene.project->shop.labour_rate, 2450);
  assert_int_equal(scene.project->shop.friction, 250);
}

static void faults_of_a_setting(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"kerf_ripp,3", 1, "'kerf_ripp' is no known setting, expected 'kerf_rip'"},
      {"Kerf-Rip,3", 1, "'Kerf-Rip' is no known setting, expected 'kerf_rip'"},
      {"trim_edge,3", 1, "'trim_edge' is no known setting, expected 'trim_edges'"},
      {"colour,red", 1, "'colour' is no known setting, expected one such as 'kerf_rip'"},
      {",3", 1, "empty cell, expected a name"},
      {"kerf_rip,wide", 10,
       "'wide' does not fit 'kerf_rip', expected a length such as 3.2, at least 0 and at most 20 "
       "mm"},
      {"kerf_rip,", 10,
       "'' does not fit 'kerf_rip', expected a length such as 3.2, at least 0 and at most 20 mm"},
      {"kerf_rip,25", 10,
       "'25' does not fit 'kerf_rip', expected a length such as 3.2, at least 0 and at most 20 mm"},
      {"labour_rate,\u00A320", 13,
       "'\u00A320' does not fit 'labour_rate', expected an amount such as 12 or 12.50, at least 0, "
       "without a currency sign"},
      {"labour_rate,\"20,50\"", 13,
       "'20,50' does not fit 'labour_rate', expected an amount such as 12 or 12.50, at least 0, "
       "decimals behind a point"},
      {"units,metre", 7, "'metre' does not fit 'units', expected mm or inch"},
      {"sets,0", 6,
       "'0' does not fit 'sets', expected a whole number, at least 1 and at most "
       "1000000"},
      {"face_min,5", 10, "'face_min' is over 'face_max', expected at most as much"},
      {"face_max,0.5", 10, "'face_min' is over 'face_max', expected at most as much"},
      {"rip_narrow,10", 12, "'rip_min_width' is over 'rip_narrow', expected at most as much"},
  };
  scene_expect_bad_lines(&scene, "shop.csv", "setting,value,note", lines, COUNT(lines));
}

static void a_setting_stands_once(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv", "setting,value\nsets,2\nkerf_rip,3\nSets,3\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "shop.csv", 4, 1,
                     "setting 'sets' stands twice, first in line 2, expected it once");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(without_a_file_all_is_default, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(settings_are_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(the_unit_comes_first, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(trims_in_short, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(decimal_commas, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_setting, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_setting_stands_once, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
