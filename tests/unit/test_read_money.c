/* bought.csv and money.csv. */
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

static void bought_items_are_read(void **state) {
  (void)state;
  scene_file(&scene, "bought.csv", "item,per_set,pack,price\npeg,6,100,9.50\nglue,0.05,,8\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->bought_count, 2);
  const struct bought *bought = scene.project->bought;
  assert_string_equal(bought[0].name, "peg");
  assert_int_equal(bought[0].per_set, 6000);
  assert_int_equal(bought[0].pack, 100);
  assert_int_equal(bought[0].price, 950);
  assert_int_equal(bought[1].per_set, 50);
  assert_int_equal(bought[1].pack, 1);
  assert_int_equal(bought[1].price, 800);
}

static void faults_of_a_bought_item(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {",6,100,9.50", 1, "empty cell, expected a name"},
      {"peg,-6,100,9.50", 5,
       "'-6' is too small, expected a number with at most 3 decimals from 0 to 1000000"},
      {"peg,6,0,9.50", 7, "'0' is too small, expected a whole number from 1 to 1000000"},
      {"peg,6,100,", 11,
       "empty cell, expected an amount of money with at most 2 decimals from 0 to 100000000"},
  };
  scene_expect_bad_lines(&scene, "bought.csv", "item,per_set,pack,price", lines, COUNT(lines));
}

static void money_is_read(void **state) {
  (void)state;
  scene_file(&scene, "money.csv",
             "item,value,note\nPrice,62,\nfinish_per_set,1.10,oil\npayment_percent,2.5,\n"
             "demand_low,8,\ndemand_likely,18,\ndemand_high,18,\nhourly_rate,20,\ntax_percent,0,\n"
             "payment_fixed,0.25,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->money_count, 9);
  const struct money_item *money = scene.project->money;
  assert_string_equal(money[0].name, "price");
  assert_int_equal(money[0].value, 62000);
  assert_null(money[0].note);
  assert_int_equal(money[1].value, 1100);
  assert_string_equal(money[1].note, "oil");
  assert_int_equal(money[2].value, 2500);
  assert_int_equal(money[8].value, 250);
}

static void faults_of_a_money_item(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"prise,62,", 1, "'prise' is no known item, expected 'price'"},
      {"weather,62,", 1, "'weather' is no known item, expected one such as 'price'"},
      {"price,,", 7, "empty cell, expected a number with at most 3 decimals from 0 to 1000000000"},
      {"price,-1,", 7,
       "'-1' is too small, expected a number with at most 3 decimals from 0 to 1000000000"},
      {"tax_percent,101,", 13,
       "'101' is too large, expected a number with at most 3 decimals from 0 to 100"},
      {"travel,far,", 8,
       "'far' does not fit here, expected a number with at most 3 decimals from 0 to 1000000000"},
  };
  scene_expect_bad_lines(&scene, "money.csv", "item,value,note", lines, COUNT(lines));
}

static void demand_rises(void **state) {
  (void)state;
  scene_file(&scene, "money.csv", "item,value\ndemand_high,10\ndemand_low,2\ndemand_likely,12\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "money.csv", 4, 15,
                     "'demand_likely' is over 'demand_high', expected at most as much");
}

/* Each fault once, at the item that is too large. */
static void demand_that_falls_is_told_where(void **state) {
  (void)state;
  scene_file(&scene, "money.csv", "item,value\ndemand_low,20\ndemand_likely,4\ndemand_high,5\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "money.csv", 2, 12,
                     "'demand_low' is over 'demand_likely', expected at most as much");
}

static void past_sales_are_a_column(void **state) {
  (void)state;
  scene_file(&scene, "money.csv",
             "item,value,note\nsales,17,spring\nSales,0,it rained\nprice,5,\nsales,17,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->money_count, 4);
  const struct money_item *money = scene.project->money;
  assert_string_equal(money[1].name, "sales");
  assert_int_equal(money[0].value, 17000);
  assert_int_equal(money[1].value, 0);
  assert_string_equal(money[1].note, "it rained");
  assert_int_equal(money[3].value, 17000);
}

static void past_sales_are_whole_sets(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"sales,1.5,", 7, "'1.5' does not fit here, expected a whole number from 0 to 1000000"},
      {"sales,,", 7, "empty cell, expected a whole number from 0 to 1000000"},
      {"sale,5,", 1, "'sale' is no known item, expected 'sales'"},
  };
  scene_expect_bad_lines(&scene, "money.csv", "item,value,note", lines, COUNT(lines));
}

static void demand_is_told_one_way(void **state) {
  (void)state;
  scene_file(&scene, "money.csv",
             "item,value\ndemand_low,1\ndemand_likely,2\ndemand_high,3\nsales,17\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "money.csv", 2, 12,
                     "'demand_low' stands beside 'sales', expected one or the other");
}

static void items_stand_once(void **state) {
  (void)state;
  scene_file(&scene, "money.csv", "item,value\nprice,10\nprice,5\n");
  scene_file(&scene, "bought.csv", "item,per_set,price\npeg,1,5\npeg,1,5\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 2);
  scene_expect_fault(&scene, "money.csv", 3, 1,
                     "item 'price' stands twice, first in line 2, expected another name");
  scene_expect_fault(&scene, "bought.csv", 3, 1,
                     "item 'peg' stands twice, first in line 2, expected another name");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(bought_items_are_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_bought_item, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(money_is_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_money_item, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(demand_rises, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(demand_that_falls_is_told_where, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(past_sales_are_a_column, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(past_sales_are_whole_sets, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(demand_is_told_one_way, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(items_stand_once, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
