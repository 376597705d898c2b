#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <string.h>

#include "base/length.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static void expect(const char *text, enum unit unit, bool comma, length_t expected) {
  length_t value = -7;
  enum length_fault fault = length_parse(text, unit, comma, &value);
  if (fault != LENGTH_FINE || value != expected)
    fail_msg("'%s': fault %d, %lld not %lld", text, fault, (long long)value, (long long)expected);
}

static void expect_fault(const char *text, enum length_fault expected) {
  length_t value = -7;
  enum length_fault fault = length_parse(text, UNIT_MM, false, &value);
  if (fault != expected) fail_msg("'%s': fault %d, not %d", text, fault, expected);
  assert_int_equal(value, -7);
}

/* 0.001 mm is 8 and 1/64 in is 3175 of the unit in use (25.4 mm to the inch, exactly). */
static void the_unit_holds_micrometres_and_sixty_fourths(void **state) {
  (void)state;
  expect("0.001 mm", UNIT_MM, false, 8);
  expect("1/64", UNIT_INCH, false, 3175);
  expect("0.015625 in", UNIT_MM, false, 3175);
  expect("25.4", UNIT_MM, false, 203200);
  expect("1 in", UNIT_MM, false, 203200);
}

static void metric_lengths(void **state) {
  (void)state;
  expect("140", UNIT_MM, false, 140 * 8000);
  expect("140 mm", UNIT_INCH, false, 140 * 8000);
  expect("140mm", UNIT_INCH, false, 140 * 8000);
  expect("14 cm", UNIT_MM, false, 140 * 8000);
  expect("1.83 m", UNIT_MM, false, 1830 * 8000);
  expect("1.83 M", UNIT_MM, false, 1830 * 8000);
  expect(".5", UNIT_MM, false, 4000);
  expect("5.", UNIT_MM, false, 40000);
  expect("12.500000000000000000", UNIT_MM, false, 100000);
  expect("0.001953125 m", UNIT_MM, false, 15625);
  expect("1/3 ft", UNIT_MM, false, 4 * 203200);
}

static void inch_lengths(void **state) {
  (void)state;
  const length_t inch = 203200;
  expect("5-1/2\"", UNIT_MM, false, 11 * inch / 2);
  expect("5 1/2 in", UNIT_MM, false, 11 * inch / 2);
  expect("5 - 1/2 inches", UNIT_MM, false, 11 * inch / 2);
  expect("5-1/2", UNIT_INCH, false, 11 * inch / 2);
  expect("3/4\"", UNIT_MM, false, 3 * inch / 4);
  expect("5.5 INCH", UNIT_MM, false, 11 * inch / 2);
  expect("6'", UNIT_MM, false, 72 * inch);
  expect("6 ft", UNIT_MM, false, 72 * inch);
  expect("6.5 feet", UNIT_MM, false, 78 * inch);
  expect("1 foot", UNIT_MM, false, 12 * inch);
  expect("6' 2-1/2\"", UNIT_MM, false, 149 * inch / 2);
  expect("6'2 1/2\"", UNIT_MM, false, 149 * inch / 2);
  expect("6'-2\"", UNIT_MM, false, 74 * inch);
  expect("6 ft 2 in", UNIT_MM, false, 74 * inch);
  expect("6' 2", UNIT_MM, false, 74 * inch);
  expect("1/3'", UNIT_MM, false, 4 * inch);
  expect("2''", UNIT_MM, false, 2 * inch);
}

static void typographic_signs(void **state) {
  (void)state;
  const length_t inch = 203200;
  expect("5\xC2\xBD\xE2\x80\xB3", UNIT_MM, false, 11 * inch / 2);
  expect("5 \xC2\xBE\xE2\x80\x9D", UNIT_MM, false, 23 * inch / 4);
  expect("\xE2\x85\x9E in", UNIT_MM, false, 7 * inch / 8);
  expect("6\xE2\x80\xB2 2\xE2\x80\xB3", UNIT_MM, false, 74 * inch);
  expect("6\xE2\x80\x99 2\xE2\x80\x9D", UNIT_MM, false, 74 * inch);
  expect("140\xC2\xA0mm", UNIT_MM, false, 140 * 8000);
  expect(
      "\xE2\x88\x92"
      "5",
      UNIT_MM, false, -5 * 8000);
}

static void signs_and_commas(void **state) {
  (void)state;
  expect("-3", UNIT_MM, false, -24000);
  expect("- 3/4 in", UNIT_MM, false, -152400);
  expect("-6' 2\"", UNIT_MM, false, -74 * 203200);
  expect("0", UNIT_MM, false, 0);
  expect("  7  ", UNIT_MM, false, 56000);
  expect("12,5", UNIT_MM, true, 100000);
  expect("12.5", UNIT_MM, true, 100000);
  expect("1,83 m", UNIT_MM, true, 1830 * 8000);
}

static void what_is_no_length(void **state) {
  (void)state;
  static const char *const texts[] = {"",
                                      " ",
                                      "12x",
                                      "x12",
                                      "mm",
                                      "12 mm mm",
                                      "1,5",
                                      "1.2.3",
                                      "1/0",
                                      "1/",
                                      "/2",
                                      "5-",
                                      "5--1/2",
                                      "5.5 1/2",
                                      "1 2",
                                      "6' 2 mm",
                                      "6' '",
                                      "1e3",
                                      "+5",
                                      "--5",
                                      ".",
                                      "5 1/2/3",
                                      "0x10",
                                      "inf",
                                      "6' 2' 3'",
                                      "1 1/2 1/2",
                                      "12 mmm",
                                      "1/2 3",
                                      "\xC2\xBD\xC2\xBD",
                                      "12 \xE2\x80",
                                      "5'6''x"};
  for (size_t i = 0; i < COUNT(texts); i++) expect_fault(texts[i], LENGTH_NOT_A_LENGTH);
}

static void what_is_too_fine(void **state) {
  (void)state;
  expect_fault("1/3 in", LENGTH_NOT_WHOLE); /* 203200 is not divisible by 3 */
  expect_fault("0.0001", LENGTH_NOT_WHOLE);
  expect_fault("1/128\"", LENGTH_NOT_WHOLE);
  expect_fault("0.12345678901234567890", LENGTH_NOT_WHOLE);
  expect_fault("1/999999999999999999999999", LENGTH_NOT_WHOLE);
}

static void what_is_too_long(void **state) {
  (void)state;
  expect("100 m", UNIT_MM, false, LENGTH_MAX);
  expect("-100 m", UNIT_MM, false, -LENGTH_MAX);
  expect_fault("100.001 m", LENGTH_TOO_LARGE);
  expect_fault("-101 m", LENGTH_TOO_LARGE);
  expect_fault("100001", LENGTH_TOO_LARGE);
  expect_fault("328' 2\"", LENGTH_TOO_LARGE);
  expect_fault("99999999999999999999999999999999", LENGTH_TOO_LARGE);
  expect_fault("999999999999999999999/2", LENGTH_TOO_LARGE);
}

struct printed {
  length_t value;
  enum rounding rounding;
  const char *text;
  bool rounded;
};

static void expect_printed(enum unit unit, const struct printed *cases, size_t count) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  for (size_t i = 0; i < count; i++) {
    bool rounded = false;
    const char *text = length_text(arena, cases[i].value, unit, cases[i].rounding, &rounded);
    assert_string_equal(text, cases[i].text);
    assert_int_equal(rounded, cases[i].rounded);
  }
  arena_destroy(arena);
}

static void millimetres_are_printed_to_a_tenth(void **state) {
  (void)state;
  static const struct printed cases[] = {{MM(268), ROUND_NEAREST, "268", false},
                                         {100000, ROUND_UP, "12.5", false},
                                         {100001, ROUND_UP, "12.6", true},
                                         {100799, ROUND_DOWN, "12.5", true},
                                         {100399, ROUND_NEAREST, "12.5", true},
                                         {100400, ROUND_NEAREST, "12.6", true},
                                         {0, ROUND_UP, "0", false},
                                         {-100001, ROUND_UP, "-12.5", true},
                                         {-100001, ROUND_DOWN, "-12.6", true},
                                         {-1, ROUND_NEAREST, "0", true},
                                         {-100000, ROUND_NEAREST, "-12.5", false},
                                         {1, ROUND_UP, "0.1", true},
                                         {-1, ROUND_UP, "0", true},
                                         {1, ROUND_DOWN, "0", true}};
  expect_printed(UNIT_MM, cases, COUNT(cases));
}

static void inches_are_printed_as_fractions(void **state) {
  (void)state;
  const length_t inch = LENGTH_PER_INCH;
  const struct printed cases[] = {{11 * inch + 7 * inch / 16, ROUND_NEAREST, "11-7/16", false},
                                  {inch / 2, ROUND_UP, "1/2", false},
                                  {inch / 32, ROUND_UP, "1/32", false},
                                  {inch / 64, ROUND_UP, "1/32", true},
                                  {inch / 64, ROUND_DOWN, "0", true},
                                  {5 * inch, ROUND_DOWN, "5", false},
                                  {5 * inch - 1, ROUND_DOWN, "4-31/32", true},
                                  {5 * inch - 1, ROUND_UP, "5", true},
                                  {5 * inch - 1, ROUND_NEAREST, "5", true},
                                  {-3 * inch / 4, ROUND_NEAREST, "-3/4", false},
                                  {-5 * inch / 2, ROUND_NEAREST, "-2-1/2", false}};
  expect_printed(UNIT_INCH, cases, COUNT(cases));
}

static void printed_with_unit(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  assert_string_equal(length_text_unit(arena, MM(268), UNIT_MM, ROUND_UP), "268 mm");
  assert_string_equal(length_text_unit(arena, 203200 * 23 / 2, UNIT_INCH, ROUND_UP), "11-1/2 in");
  assert_string_equal(cents_text(arena, 5800), "58.00");
  assert_string_equal(cents_text(arena, 5), "0.05");
  assert_string_equal(cents_text(arena, -205), "-2.05");
  assert_string_equal(cents_text(arena, INT64_MIN), "-92233720368547758.08");
  arena_destroy(arena);
}

/* What is printed is read back as the same length. */
static void printed_inches_read_back(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  for (length_t value = 0; value < 20 * LENGTH_PER_INCH; value += LENGTH_PER_INCH / 32) {
    const char *text = length_text(arena, value, UNIT_INCH, ROUND_NEAREST, NULL);
    expect(text, UNIT_INCH, false, value);
  }
  for (length_t value = 0; value < MM(40); value += 800)
    expect(length_text(arena, value, UNIT_MM, ROUND_DOWN, NULL), UNIT_MM, false, value);
  arena_destroy(arena);
}

static void numbers_and_raising(void **state) {
  (void)state;
  assert_true(length_number(MM(268) + 4000, UNIT_MM) == 268.5);
  assert_true(length_number(203200 * 3 / 4, UNIT_INCH) == 0.75);
  assert_int_equal(length_raise(0, 4000), 0);
  assert_int_equal(length_raise(1, 4000), 4000);
  assert_int_equal(length_raise(4000, 4000), 4000);
  assert_int_equal(length_raise(4001, 4000), 8000);
}

static void amounts_of_money(void **state) {
  (void)state;
  cents_t cents = -7;
  assert_true(cents_parse("58.00", false, &cents));
  assert_int_equal(cents, 5800);
  assert_true(cents_parse(" 12 ", false, &cents));
  assert_int_equal(cents, 1200);
  assert_true(cents_parse("0.5", false, &cents));
  assert_int_equal(cents, 50);
  assert_true(cents_parse("-0,07", true, &cents));
  assert_int_equal(cents, -7);
  assert_true(cents_parse("100000000", false, &cents));
  assert_int_equal(cents, INT64_C(10000000000));
  static const char *const texts[] = {
      "",       ".",  "-",   "1.234",        "1,5",
      "12 eur", "$5", "1e2", "100000000.01", "99999999999999999999999999",
      "1.2.3"};
  for (size_t i = 0; i < COUNT(texts); i++) {
    cents = -7;
    if (cents_parse(texts[i], false, &cents)) fail_msg("'%s' was taken for money", texts[i]);
    assert_int_equal(cents, -7);
  }
}

static void numbers_in_thousandths(void **state) {
  (void)state;
  int64_t value = -7;
  assert_true(decimal_parse("2.5", false, 3, INT64_C(1000000000000000), &value));
  assert_int_equal(value, 2500);
  assert_true(decimal_parse("0,001", true, 3, INT64_C(1000000000000000), &value));
  assert_int_equal(value, 1);
  assert_true(decimal_parse("1000000000000", false, 3, INT64_C(1000000000000000), &value));
  assert_int_equal(value, INT64_C(1000000000000000));
  assert_false(decimal_parse("1000000000000.001", false, 3, INT64_C(1000000000000000), &value));
  assert_false(decimal_parse("0.0001", false, 3, INT64_C(1000000000000000), &value));
  assert_false(decimal_parse("1/2", false, 3, INT64_C(1000000000000000), &value));
  assert_true(decimal_parse("0.05", false, 5, 100000, &value));
  assert_int_equal(value, 5000);
  assert_true(decimal_parse("7", false, 0, 7, &value));
  assert_false(decimal_parse("8", false, 0, 7, &value));
  assert_false(decimal_parse("7.0", false, 0, 100, &value));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_unit_holds_micrometres_and_sixty_fourths),
      cmocka_unit_test(metric_lengths),
      cmocka_unit_test(inch_lengths),
      cmocka_unit_test(typographic_signs),
      cmocka_unit_test(signs_and_commas),
      cmocka_unit_test(what_is_no_length),
      cmocka_unit_test(what_is_too_fine),
      cmocka_unit_test(what_is_too_long),
      cmocka_unit_test(millimetres_are_printed_to_a_tenth),
      cmocka_unit_test(inches_are_printed_as_fractions),
      cmocka_unit_test(printed_with_unit),
      cmocka_unit_test(printed_inches_read_back),
      cmocka_unit_test(numbers_and_raising),
      cmocka_unit_test(amounts_of_money),
      cmocka_unit_test(numbers_in_thousandths),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
