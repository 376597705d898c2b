/* Wood movement: Wood Handbook (USDA Forest Products Laboratory), eq. 13-2 and Table 13-5. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "hold/movement.h"

/* The handbook's example, recomputed: 232 mm, C_T .00245, 8 to 11 %: 1.7052 mm. */
static void handbook_example(void **state) {
  (void)state;
  assert_int_equal(movement_across(MM(232), 245, 3000), 13642); /* 13641.6 */
}

static void nothing_overflows(void **state) {
  (void)state;
  assert_int_equal(movement_across(LENGTH_MAX, 100000, 100000), LENGTH_MAX * 100);
}

static struct project shop_of(int64_t swing) {
  struct project project = {0};
  project.shop.season_swing = swing;
  return project;
}

/* Hand: 72 mm of black walnut, .00274, swing 4 %: 0.78912 mm. */
static void of_a_part(void **state) {
  (void)state;
  const char *woods[] = {"walnut", "cherry"};
  struct part part = {
      .length = MM(240), .width = MM(72), .woods = woods, .wood_count = 2, .fit = -1};
  struct project project = shop_of(4000);
  struct movement movement = movement_of(&project, &part, STOCK_PLANK, "walnut");
  assert_int_equal(movement.width, MM(72));
  assert_int_equal(movement.change, 6313);
  assert_string_equal(movement.species, "black walnut");
  assert_false(movement.beyond_fit);
  part.fit = 6313;
  assert_false(movement_of(&project, &part, STOCK_PLANK, "walnut").beyond_fit);
  part.fit = 6312;
  assert_true(movement_of(&project, &part, STOCK_PLANK, "walnut").beyond_fit);
  assert_false(movement_of(&project, &part, STOCK_PLANK, "cherry").beyond_fit);
  /* Not settled: the one that moves most. */
  assert_int_equal(movement_of(&project, &part, STOCK_PLANK, NULL).coefficient, 274);
  part.grain = GRAIN_ACROSS;
  assert_int_equal(movement_of(&project, &part, STOCK_PLANK, "walnut").width, MM(240));
  assert_int_equal(movement_of(&project, &part, STOCK_SHEET, "walnut").change, 0);
}

static void unknown_wood(void **state) {
  (void)state;
  const char *woods[] = {"beech", "wenge", "ash"};
  struct part part = {
      .length = MM(100), .width = MM(100), .woods = woods, .wood_count = 3, .fit = -1};
  struct project project = shop_of(4000);
  struct movement movement = movement_of(&project, &part, STOCK_PLANK, "wenge");
  assert_null(movement.species);
  assert_int_equal(movement.coefficient, 431); /* the largest of the table, beech */
  assert_int_equal(movement_of(&project, &part, STOCK_PLANK, "poplar").coefficient, 431);
  assert_int_equal(movement_of(&project, &part, STOCK_PLANK, NULL).coefficient, 431);
  part.wood_count = 0;
  movement = movement_of(&project, &part, STOCK_PLANK, NULL);
  assert_null(movement.species);
  assert_int_equal(movement.coefficient, 431);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(handbook_example),
      cmocka_unit_test(nothing_overflows),
      cmocka_unit_test(of_a_part),
      cmocka_unit_test(unknown_wood),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
