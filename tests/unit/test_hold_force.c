/* Forces and what bears them. Sources beside the values; those marked "hand" are arithmetic on
 * the cribbage demo's own figures (plausibility, no outside source). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "hold/force.h"
#include "hold/wood.h"
#include "model/machining.h"

/* Hand: k 60 N/mm2 (from memory, low confidence), 2 x 6 mm at 900 mm/min and 12000 rpm:
 * 60 x 2 x 6 x 900 / (pi x 6 x 12000) = 2.8648 N. */
static void tangential(void **state) {
  (void)state;
  assert_int_equal(force_tangential(60000, MM(2), MM(6), MM(900), MM(6), 12000), 2865);
  assert_int_equal(force_tangential(60000, MM(2), MM(6), MM(900), MM(6), 0), 0);
  assert_int_equal(force_tangential(60000, MM(2), MM(6), MM(900), 0, 12000), 0);
  /* Twice the feed is twice the removal (Q = a_p a_e v_f), twice the speed half the force. */
  assert_int_equal(force_tangential(60000, MM(2), MM(6), MM(1800), MM(6), 24000), 2865);
}

static const struct cutter flat6 = {.diameter = MM(6),
                                    .flutes = 2,
                                    .rpm = 12000,
                                    .feed = MM(900),
                                    .plunge = MM(250),
                                    .stepdown = MM(2),
                                    .stepover = MM(24) / 10};

static void never_under_the_minimum(void **state) {
  (void)state;
  struct cutter cutter = flat6;
  struct part part = {.length = MM(240), .width = MM(72), .thickness = MM(18)};
  struct project project = {.cutters = &cutter, .parts = &part};
  project.shop.cut_force_min = 30000;
  project.shop.cutting_energy = 60000;
  project.shop.overcut = MM(4) / 10;
  struct step step = {.kind = STEP_PROFILE};
  const struct step *steps[] = {&step};
  size_t worst = 7;
  assert_int_equal(force_of_steps(&project, steps, 1, MM(22), &worst), 30000);
  assert_int_equal(force_of_step(&project, steps[0], 1), 30000);
  assert_int_equal(worst, SIZE_MAX);
  cutter.stepdown = MM(25); /* all 22.4 mm at once: 2.8648 x 11.2 = 32.086 */
  assert_int_equal(force_of_steps(&project, steps, 1, MM(22), &worst), 32086);
  assert_int_equal(worst, 0);
  step.place = PLACE_SAW;
  assert_int_equal(force_of_steps(&project, steps, 1, MM(22), &worst), 30000);
}

static void safety(void **state) {
  (void)state;
  struct shop shop = {.hold_safety = 2000};
  assert_int_equal(force_to_hold(&shop, 30000), 60000);
  shop.hold_safety = 2500; /* checks: 100 N at 2.5 is 250 N of friction */
  assert_int_equal(force_to_hold(&shop, 100000), 250000);
  assert_int_equal(force_to_hold(&shop, 1), 3);
}

/* Textbook: feed = n x flutes x chip load, 18000 x 2 x 0.1 mm = 3600 mm/min (read). */
static void chip_load(void **state) {
  (void)state;
  struct cutter cutter = {.rpm = 18000, .flutes = 2, .feed = MM(3600)};
  assert_int_equal(force_chip_load(&cutter), MM(1) / 10);
  assert_false(force_chip_load_odd(&cutter));
  cutter.feed += 1;
  assert_true(force_chip_load_odd(&cutter));
  cutter.feed = MM(720); /* 0.02 */
  assert_false(force_chip_load_odd(&cutter));
  cutter.feed -= 1;
  assert_true(force_chip_load_odd(&cutter));
  cutter.rpm = 0;
  assert_int_equal(force_chip_load(&cutter), -1);
  assert_false(force_chip_load_odd(&cutter));
}

/* Recomputed: 6 x 3 mm of maple at 16.1 N/mm2 (Wood Handbook, Table 5-3a) bears 289.8 N. */
static void tab_capacity(void **state) {
  (void)state;
  const struct wood *maple = wood_named("Maple");
  assert_non_null(maple);
  assert_int_equal(force_tab(MM(6), MM(3), maple->shear), 289800);
  assert_int_equal(force_tab(MM(6), MM(3), wood_least_shear()), 147600);
}

/* Derived: ceil((W - D) / s) + 1 paths. */
static void facing_paths(void **state) {
  (void)state;
  assert_int_equal(machining_facing_paths(MM(72), MM(16), MM(8)), 8);
  assert_int_equal(machining_facing_paths(MM(73), MM(16), MM(8)), 9);
  assert_int_equal(machining_facing_paths(MM(16), MM(16), MM(8)), 1);
  assert_int_equal(machining_facing_paths(MM(10), MM(16), MM(8)), 1);
}

static void names_of_woods(void **state) {
  (void)state;
  assert_ptr_equal(wood_named("black walnut"), wood_named("Walnut"));
  assert_ptr_equal(wood_named("yellow-poplar"), wood_named("Yellow Poplar"));
  assert_ptr_equal(wood_named("oak"), wood_named("northern red oak"));
  assert_null(wood_named("walnuts"));
  assert_null(wood_named("birch-ply"));
  assert_null(wood_named(""));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(tangential),     cmocka_unit_test(never_under_the_minimum),
      cmocka_unit_test(safety),         cmocka_unit_test(chip_load),
      cmocka_unit_test(tab_capacity),   cmocka_unit_test(facing_paths),
      cmocka_unit_test(names_of_woods),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
