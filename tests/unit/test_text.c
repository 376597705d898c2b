#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <string.h>

#include "base/text.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static void cases_are_folded(void **state) {
  (void)state;
  assert_true(text_equal_fold("Walnut", "wALNUT"));
  assert_true(text_equal_fold("", ""));
  assert_false(text_equal_fold("walnut", "walnuts"));
  assert_false(text_equal_fold("walnuts", "walnut"));
  assert_false(text_equal_fold("@", "`")); /* 0x40 and 0x60 are no letters */
  assert_false(text_equal_fold("\xC3\x84", "\xC3\xA4"));
  assert_int_equal(text_compare_fold("Ash", "aSH"), 0);
  assert_true(text_compare_fold("ash", "Beech") < 0);
  assert_true(text_compare_fold("Beech", "ash") > 0);
  assert_true(text_compare_fold("oak", "oaks") < 0);
  assert_true(text_compare_fold("oak", "\xC3\x84") < 0); /* bytes count from 0 */
}

static void white_space_is_cut_off_both_ends(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  assert_string_equal(text_trimmed(arena, " \t a b \r\n"), "a b");
  assert_string_equal(text_trimmed(arena, ""), "");
  assert_string_equal(text_trimmed(arena, "   "), "");
  assert_string_equal(text_trimmed(arena, "\xC2\xA0x\xC2\xA0"), "x");
  assert_string_equal(text_trimmed(arena, "\xE2\x80\xAFx\xE2\x80\x89"), "x");
  assert_string_equal(text_trimmed(arena, "\xE2\x80"), "\xE2\x80");
  assert_string_equal(text_path(arena, "a", "b"), "a/b");
  assert_string_equal(text_path(arena, "a/", "b"), "a/b");
  arena_destroy(arena);
}

static void expect_nearest(const char *text, const char *expected) {
  static const char *const names[] = {"length", "width",    "thickness",    "wood",
                                      "way",    "kerf_rip", "kerf_crosscut"};
  const char *nearest = text_nearest(text, names, COUNT(names));
  if (expected == NULL) {
    assert_null(nearest);
  } else {
    assert_non_null(nearest);
    assert_string_equal(nearest, expected);
  }
}

static void the_nearest_name_is_found(void **state) {
  (void)state;
  expect_nearest("lenght", "length");
  expect_nearest("LENGHT", "length");
  expect_nearest("widht", "width");
  expect_nearest("wdith", "width");
  expect_nearest("thicknes", "thickness");
  expect_nearest("kerf rip", "kerf_rip");
  expect_nearest("kerf_cross", "kerf_crosscut");
  expect_nearest("wod", "wood");
  expect_nearest("wa", "way");
  expect_nearest("width", "width");
}

static void what_is_far_has_no_nearest_name(void **state) {
  (void)state;
  expect_nearest("colour", NULL);
  expect_nearest("", NULL);
  expect_nearest("x", NULL);
  char text[300];
  memset(text, 'w', sizeof text - 1);
  text[sizeof text - 1] = '\0';
  expect_nearest(text, NULL);
  assert_null(text_nearest("wood", NULL, 0));
}

/* Limits from the Unicode Standard, table 3-7 (well-formed UTF-8 byte sequences). */
static void utf8_is_told_from_other_bytes(void **state) {
  (void)state;
  static const struct {
    const char *text;
    size_t valid;
  } cases[] = {{"abc", 3},
               {"\xC3\xA9", 2},
               {"a\xE9", 1},
               {"\xC3", 0},
               {"\xC0\x80", 0},
               {"\xC1\xBF", 0},
               {"\xE0\x9F\xBF", 0},
               {"\xE0\xA0\x80", 3},
               {"\xED\x9F\xBF", 3},
               {"\xED\xA0\x80", 0},
               {"\xEF\xBF\xBF", 3},
               {"\xF0\x8F\xBF\xBF", 0},
               {"\xF0\x90\x80\x80", 4},
               {"\xF4\x8F\xBF\xBF", 4},
               {"\xF4\x90\x80\x80", 0},
               {"\xF5\x80\x80\x80", 0},
               {"x\xE2\x80", 1},
               {"\x80", 0},
               {"\xFF", 0},
               {"\xE2\x82\x28", 0},
               {"\xF0\x90\x80\x28", 0}};
  for (size_t i = 0; i < COUNT(cases); i++)
    if (text_valid_utf8(cases[i].text, strlen(cases[i].text)) != cases[i].valid)
      fail_msg("case %zu: %zu bytes are valid", i,
               text_valid_utf8(cases[i].text, strlen(cases[i].text)));
  assert_int_equal(text_valid_utf8("a\0b", 3), 3);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(cases_are_folded),
      cmocka_unit_test(white_space_is_cut_off_both_ends),
      cmocka_unit_test(the_nearest_name_is_found),
      cmocka_unit_test(what_is_far_has_no_nearest_name),
      cmocka_unit_test(utf8_is_told_from_other_bytes),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
