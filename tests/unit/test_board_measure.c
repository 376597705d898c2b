/* Board measure against published values: rules of the National Hardwood Lumber
 * Association (NHLA) as quoted by NHLA and the American Hardwood Export Council;
 * volumes from NIST Handbook 44 and 130. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>

#include "base/board_measure.h"

static length_t inches(int64_t eighths) { return eighths * LENGTH_PER_INCH / 8; }

/* NIST: a board foot is 144 cubic inches, 1 in x 12 in x 12 in. */
static void a_board_foot_is_144_cubic_inches(void **state) {
  (void)state;
  assert_int_equal(board_feet(LENGTH_PER_FOOT, LENGTH_PER_FOOT, LENGTH_PER_INCH), 1000);
  assert_int_equal(board_feet(inches(36 * 8), inches(2 * 8), inches(2 * 8)), 1000);
}

/* NIST: a cubic metre is 423.776 board feet. */
static void a_cubic_metre_is_424_board_feet(void **state) {
  (void)state;
  assert_int_equal(board_feet(LENGTH_PER_METRE, LENGTH_PER_METRE, LENGTH_PER_METRE), 423776);
}

/* A 2 x 4 of 8 ft is 5-1/3 board feet by its nominal sizes. */
static void nominal_two_by_four(void **state) {
  (void)state;
  assert_int_equal(board_feet(8 * LENGTH_PER_FOOT, inches(4 * 8), inches(2 * 8)), 5333);
}

/* NHLA: stock under 1 in thick counts as 1 in. */
static void thin_stock_counts_as_an_inch(void **state) {
  (void)state;
  assert_int_equal(board_thickness(inches(4)), LENGTH_PER_INCH);
  assert_int_equal(board_thickness(LENGTH_PER_INCH + 1), LENGTH_PER_INCH + 1);
  assert_int_equal(board_feet(12 * LENGTH_PER_FOOT, inches(8 * 8), inches(6)), 8000);
}

static int64_t whole(int64_t thousandths) { return (thousandths + 500) / 1000; }

/* NHLA surface measure: width (in) times length (whole ft) over 12, to the nearest square
 * foot, which is the measure of a board 1 in thick. */
static void published_surface_measures(void **state) {
  (void)state;
  const length_t foot = LENGTH_PER_FOOT, inch = LENGTH_PER_INCH;
  assert_int_equal(whole(board_feet(8 * foot, 13 * inch / 2, inch)), 4);
  assert_int_equal(whole(board_feet(12 * foot, 8 * inch, inch)), 8);
  assert_int_equal(whole(board_feet(13 * foot, 10 * inch, inch)), 11);
  assert_int_equal(whole(board_feet(8 * foot, 25 * inch / 4, inch)), 4);
  assert_int_equal(whole(board_feet(10 * foot, 103 * inch / 16, inch)), 5);
  /* 6-1/4 in x 8 ft x 2 in: surface measure 4 times 2 in; 8 board feet */
  assert_int_equal(whole(board_feet(8 * foot, 25 * inch / 4, 2 * inch)), 8);
}

static void the_largest_piece_does_not_overflow(void **state) {
  (void)state;
  /* 10^6 m3 times 423.7760007 */
  assert_int_equal(board_feet(LENGTH_MAX, LENGTH_MAX, LENGTH_MAX) / 1000, 423776000);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_board_foot_is_144_cubic_inches),
      cmocka_unit_test(a_cubic_metre_is_424_board_feet),
      cmocka_unit_test(nominal_two_by_four),
      cmocka_unit_test(thin_stock_counts_as_an_inch),
      cmocka_unit_test(published_surface_measures),
      cmocka_unit_test(the_largest_piece_does_not_overflow),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
