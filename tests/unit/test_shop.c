/* The settings: their forms, limits and defaults. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <string.h>

#include "model/project.h"

static struct arena *arena;

static int open_arena(void **state) {
  (void)state;
  arena = arena_create();
  return arena == NULL ? -1 : 0;
}

static int close_arena(void **state) {
  (void)state;
  arena_destroy(arena);
  return 0;
}

static void expect(enum setting setting, const char *text, int64_t expected) {
  int64_t value = -7;
  const char *wanted = NULL;
  if (!setting_parse(arena, setting, text, UNIT_MM, false, &value, &wanted))
    fail_msg("%s '%s' is refused, expected %s", setting_table[setting].name, text, wanted);
  if (value != expected)
    fail_msg("%s '%s' is %lld", setting_table[setting].name, text, (long long)value);
}

static void expect_refused(enum setting setting, const char *text, const char *expected) {
  int64_t value = -7;
  const char *wanted = NULL;
  if (setting_parse(arena, setting, text, UNIT_MM, false, &value, &wanted))
    fail_msg("%s '%s' is taken", setting_table[setting].name, text);
  assert_int_equal(value, -7);
  assert_string_equal(wanted, expected);
}

static void every_default_can_be_read_and_lies_within_its_limits(void **state) {
  (void)state;
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  for (size_t i = 0; i < SETTING_TOTAL; i++) {
    const struct setting_description *row = &setting_table[i];
    int64_t value = 0;
    const char *expected = NULL;
    if (i == SETTING_part_gap) continue;
    if (!setting_parse(arena, (enum setting)i, row->default_mm, UNIT_MM, false, &value,
                       &expected) ||
        !setting_parse(arena, (enum setting)i, row->default_inch, UNIT_INCH, false, &value,
                       &expected))
      fail_msg("%s: default does not fit, expected %s", row->name, expected);
    assert_true(row->meaning[0] != '\0');
  }
}

static void defaults_of_both_units(void **state) {
  (void)state;
  struct shop shop;
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  shop_set_defaults(arena, &shop, UNIT_MM);
  assert_int_equal(shop_unit(&shop), UNIT_MM);
  assert_int_equal(shop.kerf_rip, 25600);
  assert_int_equal(shop.part_gap, -1);
  assert_int_equal(shop.saw_stages, 3);
  assert_int_equal(shop.first_cut, FIRST_EITHER);
  assert_int_equal(shop.season_swing, 4000);
  assert_int_equal(shop.attended_share, 30000);
  assert_int_equal(shop.cut_force_min, 30000);
  assert_int_equal(shop.saw_cut_min, 500);
  assert_int_equal(shop.labour_rate, 0);
  assert_int_equal(shop.paper, 0);
  for (size_t i = 0; i < SETTING_TOTAL; i++) assert_false(shop.given[i]);
  shop_set_defaults(arena, &shop, UNIT_INCH);
  assert_int_equal(shop_unit(&shop), UNIT_INCH);
  assert_int_equal(shop.kerf_rip, LENGTH_PER_INCH / 8);
  assert_int_equal(shop.travel_x, 13 * LENGTH_PER_INCH + 3 * LENGTH_PER_INCH / 8);
  assert_int_equal(shop.paper, 1);
  /* 7 lbf = 31.1376 N (1 lbf = 4.4482216152605 N, NIST Special Publication 811) */
  assert_int_equal(shop.cut_force_min, 31138);
}

static void values_stand_in_their_fields(void **state) {
  (void)state;
  struct shop shop = {.units = 1, .paper_overlap = 5, .kerf_rip = 9};
  assert_ptr_equal(shop_value(&shop, SETTING_units), &shop.units);
  assert_ptr_equal(shop_value(&shop, SETTING_kerf_rip), &shop.kerf_rip);
  assert_ptr_equal(shop_value(&shop, SETTING_paper_overlap), &shop.paper_overlap);
  assert_string_equal(setting_table[SETTING_paper_overlap].name, "paper_overlap");
}

static void forms_of_settings(void **state) {
  (void)state;
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  expect(SETTING_kerf_rip, "1/8 in", 25400);
  expect(SETTING_kerf_rip, "0", 0);
  expect(SETTING_saw_stages, "any", 0);
  expect(SETTING_saw_stages, " ANY ", 0);
  expect(SETTING_saw_stages, "9", 9);
  expect(SETTING_first_cut, "RIP", FIRST_RIP);
  expect(SETTING_stops, "right+back", 3);
  expect(SETTING_season_swing, "4 %", 4000);
  expect(SETTING_season_swing, "4.5", 4500);
  expect(SETTING_spoilage, "0.05", 5000);
  expect(SETTING_spoilage, "5 %", 5000);
  expect(SETTING_spoilage, "0.12345", 12345);
  expect(SETTING_attended_share, "1", 100000);
  expect(SETTING_cut_force_min, "30", 30000);
  expect(SETTING_cut_force_min, "30 N", 30000);
  expect(SETTING_cut_force_min, "30n", 30000);
  expect(SETTING_cut_force_min, "7 lbf", 31138);
  expect(SETTING_labour_rate, "24.50", 2450);
  expect(SETTING_setup_min, "4.25", 4250);
  expect(SETTING_sets, "24", 24);
  int64_t value = 0;
  const char *expected = NULL;
  assert_true(setting_parse(arena, SETTING_kerf_rip, "3,2", UNIT_MM, true, &value, &expected));
  assert_int_equal(value, 25600);
  assert_true(setting_parse(arena, SETTING_kerf_rip, "1/8", UNIT_INCH, false, &value, &expected));
  assert_int_equal(value, 25400);
}

static void what_does_not_fit_is_refused(void **state) {
  (void)state;
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  expect_refused(SETTING_kerf_rip, "-1", "a length such as 3.2, at least 0 and at most 20 mm");
  expect_refused(SETTING_kerf_rip, "21", "a length such as 3.2, at least 0 and at most 20 mm");
  expect_refused(SETTING_kerf_rip, "", "a length such as 3.2, at least 0 and at most 20 mm");
  expect_refused(SETTING_mark_step, "0",
                 "a length such as 0.5, at least 0.001 mm and at most 50 mm");
  expect_refused(SETTING_bed_length, "0.5",
                 "a length such as 380, at least 1 mm and at most 100 m");
  expect_refused(SETTING_sets, "0", "a whole number, at least 1 and at most 1000000");
  expect_refused(SETTING_sets, "2.5", "a whole number, at least 1 and at most 1000000");
  expect_refused(SETTING_saw_stages, "0", "a whole number from 1 to 9, or any");
  expect_refused(SETTING_saw_stages, "10", "a whole number from 1 to 9, or any");
  expect_refused(SETTING_units, "cm", "mm or inch");
  expect_refused(SETTING_units, "mm|inch", "mm or inch");
  expect_refused(SETTING_first_cut, "", "crosscut, rip or either");
  expect_refused(SETTING_spoilage, "5", "a share such as 0.05 or 5 %, at least 0 and at most 90 %");
  expect_refused(SETTING_spoilage, "91 %",
                 "a share such as 0.05 or 5 %, at least 0 and at most 90 %");
  expect_refused(SETTING_season_swing, "101",
                 "a percentage such as 4 or 4 %, at least 0 and at most 100");
  expect_refused(SETTING_friction, "0", "a number, at least 0.01 and at most 2");
  expect_refused(SETTING_cut_force_min, "30 kg", "a force such as 30, 30 N or 7 lbf, at least 0");
  /* beyond 1 MN once it is told in newtons */
  expect_refused(SETTING_cut_force_min, "999949.999 lbf",
                 "a force such as 30, 30 N or 7 lbf, at least 0");
  expect_refused(SETTING_labour_rate, "-1", "an amount such as 12 or 12.50, at least 0");
  expect_refused(SETTING_setup_min, "x", "a number of minutes, at least 0");
}

static void words_are_joined(void **state) {
  (void)state;
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  assert_string_equal(words_text(arena, "a"), "a");
  assert_string_equal(words_text(arena, "a|b"), "a or b");
  assert_string_equal(words_text(arena, "a|b|c"), "a, b or c");
}

/* Sets are raised so that enough remain: 24 / (1 - 0.05) = 25.26, so 26 are begun. */
static void parts_a_run_needs(void **state) {
  (void)state;
  struct part parts[] = {{.per_set = 2, .spares = 3}, {.per_set = 1}};
  struct project project = {.parts = parts, .part_count = 2};
  assert_int_equal(project_needed(&project, 0, 24), 51);
  assert_int_equal(project_needed(&project, 1, 24), 24);
  assert_int_equal(project_needed(&project, 1, 0), 0);
  project.shop.spoilage = 5000;
  assert_int_equal(project_needed(&project, 0, 24), 55);
  assert_int_equal(project_needed(&project, 1, 19), 20);
  project.shop.spoilage = 90000;
  assert_int_equal(project_needed(&project, 1, 1), 10);
  assert_int_equal(project_needed(&project, 1, INT64_MAX), INT64_MAX / 4);
  parts[1].per_set = INT64_MAX / 2;
  assert_int_equal(project_needed(&project, 1, 1), INT64_MAX / 4);
}

static void woods_a_part_takes(void **state) {
  (void)state;
  const char *woods[] = {"walnut", "cherry"};
  struct part part = {.woods = woods, .wood_count = 2};
  assert_true(part_takes_wood(&part, "Cherry"));
  assert_false(part_takes_wood(&part, "maple"));
  part.wood_count = 0;
  assert_true(part_takes_wood(&part, "maple"));
}

static void words_of_the_model(void **state) {
  (void)state;
  assert_string_equal(grain_text(GRAIN_ACROSS), "across");
  assert_string_equal(way_text(WAY_GANG), "gang");
  assert_string_equal(hold_text(HOLD_AUTO), "auto");
  assert_string_equal(hold_text(HOLD_TAPE), "tape");
  assert_string_equal(source_text(SOURCE_YARD), "yard");
  assert_string_equal(stock_kind_text(STOCK_SHEET), "sheet");
  assert_string_equal(price_per_text(PER_EACH), "each");
  assert_string_equal(price_per_text(PER_BOARD_FOOT), "bf");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_default_can_be_read_and_lies_within_its_limits),
      cmocka_unit_test(defaults_of_both_units),
      cmocka_unit_test(values_stand_in_their_fields),
      cmocka_unit_test(forms_of_settings),
      cmocka_unit_test(what_does_not_fit_is_refused),
      cmocka_unit_test(words_are_joined),
      cmocka_unit_test(parts_a_run_needs),
      cmocka_unit_test(woods_a_part_takes),
      cmocka_unit_test(words_of_the_model),
  };
  return cmocka_run_group_tests(tests, open_arena, close_arena);
}
