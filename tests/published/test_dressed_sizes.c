/* Nominal and dressed sizes of lumber: read and printed without loss, and tallied by the
 * nominal size. Dry dressed softwood: American Softwood Lumber Standard PS 20. Hardwood
 * surfaced on two sides: National Hardwood Lumber Association (NHLA). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/board_measure.h"
#include "base/length.h"

struct dressed {
  const char *nominal;
  const char *dressed;
};

static const struct dressed softwood_thickness[] = {
    {"1", "3/4"}, {"1-1/4", "1"}, {"1-1/2", "1-1/4"}, {"2", "1-1/2"}};

static const struct dressed softwood_width[] = {{"2", "1-1/2"}, {"3", "2-1/2"},  {"4", "3-1/2"},
                                                {"5", "4-1/2"}, {"6", "5-1/2"},  {"7", "6-1/2"},
                                                {"8", "7-1/4"}, {"10", "9-1/4"}, {"12", "11-1/4"}};

static const struct dressed hardwood_surfaced[] = {
    {"1", "13/16"}, {"1-1/4", "1-1/16"}, {"1-1/2", "1-5/16"}, {"2", "1-3/4"}};

static length_t inches(const char *text) {
  length_t value = 0;
  assert_int_equal(length_parse(text, UNIT_INCH, false, &value), LENGTH_FINE);
  return value;
}

static void check_printed(const char *text) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  bool rounded = false;
  assert_string_equal(length_text(arena, inches(text), UNIT_INCH, ROUND_NEAREST, &rounded), text);
  assert_false(rounded);
  arena_destroy(arena);
}

static void check_table(const struct dressed *table, size_t count) {
  for (size_t i = 0; i < count; i++) {
    check_printed(table[i].nominal);
    check_printed(table[i].dressed);
    length_t taken = inches(table[i].nominal) - inches(table[i].dressed);
    assert_true(taken >= LENGTH_PER_INCH * 3 / 16 && taken <= LENGTH_PER_INCH * 3 / 4);
  }
}

static void sizes_are_read_and_printed_exactly(void **state) {
  (void)state;
  check_table(softwood_thickness, sizeof softwood_thickness / sizeof *softwood_thickness);
  check_table(softwood_width, sizeof softwood_width / sizeof *softwood_width);
  check_table(hardwood_surfaced, sizeof hardwood_surfaced / sizeof *hardwood_surfaced);
}

/* NHLA: the nominal thickness counts, and stock under 1 in counts as 1 in. A board 6 in
 * wide and 8 ft long holds 4 board feet an inch of it. */
static void surfaced_hardwood_is_tallied_by_its_nominal_thickness(void **state) {
  (void)state;
  const int64_t thousandths[] = {4000, 5000, 6000, 8000};
  for (size_t i = 0; i < 4; i++) {
    length_t nominal = inches(hardwood_surfaced[i].nominal);
    length_t surfaced = inches(hardwood_surfaced[i].dressed);
    assert_int_equal(board_feet(8 * LENGTH_PER_FOOT, inches("6"), nominal), thousandths[i]);
    assert_true(board_feet(8 * LENGTH_PER_FOOT, inches("6"), surfaced) <= thousandths[i]);
  }
  assert_int_equal(board_thickness(inches("13/16")), LENGTH_PER_INCH);
  assert_int_equal(board_thickness(inches("3/4")), LENGTH_PER_INCH);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(sizes_are_read_and_printed_exactly),
      cmocka_unit_test(surfaced_hardwood_is_tallied_by_its_nominal_thickness),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
