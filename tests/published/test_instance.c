/* The reader of published instances, on files written here. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include <cmocka.h>

#include "published/instance.h"

static char folder[64];

static int make_folder(void **state) {
  (void)state;
  snprintf(folder, sizeof folder, "/tmp/instance-XXXXXX");
  if (mkdtemp(folder) == NULL) return -1;
  instance_set_folder(folder);
  return 0;
}

static int remove_folder(void **state) {
  (void)state;
  unlink(instance_path("a.csv"));
  return rmdir(folder);
}

static void write_file(const char *text) {
  FILE *file = fopen(instance_path("a.csv"), "w");
  assert_non_null(file);
  assert_true(fputs(text, file) >= 0);
  assert_int_equal(fclose(file), 0);
}

static void empty_cells_have_their_meaning(void **state) {
  (void)state;
  struct instance instance;
  write_file("# name: x\nW,H,count,cost\n20,10,,\n30,10,2,7\nw,h,demand,value\n5,4,,\n6,3,2,50\n");
  assert_true(instance_read("a.csv", &instance));
  assert_int_equal(instance.sheet_count, 2);
  assert_int_equal(instance.sheets[0].count, -1);
  assert_int_equal(instance.sheets[0].cost, 200);
  assert_int_equal(instance.sheets[1].count, 2);
  assert_int_equal(instance.sheets[1].cost, 7);
  assert_int_equal(instance.item_count, 2);
  assert_int_equal(instance.items[0].demand, -1);
  assert_int_equal(instance.items[0].value, 20);
  assert_int_equal(instance.items[1].width, 6);
  assert_int_equal(instance.items[1].height, 3);
  assert_int_equal(instance.items[1].demand, 2);
  assert_int_equal(instance.items[1].value, 50);
  assert_int_equal(instance.defect_count, 0);
}

static void defects_are_read(void **state) {
  (void)state;
  struct instance instance;
  write_file(
      "W,H,count,cost\r\n75,75,1,\r\nw,h,demand,value\r\n5,4,1,\r\n\r\nbin,x,y,w,h\r\n"
      "1,21,20,9,11\r\n2,0,0,1,2\r\n");
  assert_true(instance_read("a.csv", &instance));
  assert_int_equal(instance.items[0].value, 20);
  assert_int_equal(instance.defect_count, 2);
  assert_int_equal(instance.defects[0].copy, 1);
  assert_int_equal(instance.defects[0].x, 21);
  assert_int_equal(instance.defects[0].y, 20);
  assert_int_equal(instance.defects[0].width, 9);
  assert_int_equal(instance.defects[0].height, 11);
  assert_int_equal(instance.defects[1].copy, 2);
}

static void what_does_not_fit_is_refused(void **state) {
  (void)state;
  struct instance instance;
  assert_false(instance_read("none.csv", &instance));
  write_file("W,H,count,cost\n20,10,,\nw,h,demand,value\n");
  assert_false(instance_read("a.csv", &instance));
  write_file("W,H,count,cost\n20,10,,\nw,h,demand,value\n0,4,,\n");
  assert_false(instance_read("a.csv", &instance));
  write_file("20,10,,\nW,H,count,cost\n20,10,,\nw,h,demand,value\n3,4,,\n");
  assert_false(instance_read("a.csv", &instance));
}

static void tables_are_searched(void **state) {
  (void)state;
  int64_t value = 0;
  double decimal = 0;
  write_file("name,best,other\na1,3,\na,17,98.4\nS,b,5\nlast,,");
  assert_true(instance_best("a.csv", "a", 1, &value));
  assert_int_equal(value, 17);
  assert_true(instance_best_decimal("a.csv", "a", 2, &decimal));
  assert_true(decimal > 98.39 && decimal < 98.41);
  assert_true(instance_best("a.csv", "S,b", 2, &value));
  assert_int_equal(value, 5);
  assert_false(instance_best("a.csv", "a1", 2, &value));
  assert_false(instance_best("a.csv", "a1", 3, &value));
  assert_false(instance_best("a.csv", "last", 1, &value));
  assert_false(instance_best("a.csv", "b", 1, &value));
  assert_false(instance_best("none.csv", "a", 1, &value));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(empty_cells_have_their_meaning),
      cmocka_unit_test(defects_are_read),
      cmocka_unit_test(what_does_not_fit_is_refused),
      cmocka_unit_test(tables_are_searched),
  };
  return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
