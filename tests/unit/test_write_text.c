#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "write/paragraph.h"
#include "write/safe_text.h"

static int open_arena(void **state) {
  *state = arena_create();
  return *state == NULL ? -1 : 0;
}

static int close_arena(void **state) {
  arena_destroy(*state);
  return 0;
}

static void line_keeps_ordinary_text(void **state) {
  assert_string_equal(safe_line(*state, "board 7, Ahorn \xC3\xA4\xF0\x9F\x98\x80"),
                      "board 7, Ahorn \xC3\xA4\xF0\x9F\x98\x80");
  assert_string_equal(safe_line(*state, NULL), "");
}

static void line_replaces_what_no_line_may_hold(void **state) {
  assert_string_equal(safe_line(*state, "a\tb\r\nc"), "a b  c");
  assert_string_equal(safe_line(*state, "a\x1B[31mb"), "a\xEF\xBF\xBD[31mb");
  assert_string_equal(safe_line(*state,
                                "a\x7F"
                                "b"),
                      "a\xEF\xBF\xBD"
                      "b");
  assert_string_equal(safe_line(*state,
                                "a\xC2\x85"
                                "b"),
                      "a\xEF\xBF\xBD"
                      "b");
  assert_string_equal(safe_line(*state,
                                "\xE2\x80\xAE"
                                "b"),
                      "\xEF\xBF\xBD"
                      "b"); /* override */
  assert_string_equal(safe_line(*state,
                                "\xEF\xBF\xBF"
                                "b"),
                      "\xEF\xBF\xBD"
                      "b"); /* U+FFFF */
}

static void line_replaces_bytes_that_are_no_text(void **state) {
  assert_string_equal(safe_line(*state,
                                "\xFF"
                                "a\xC3"),
                      "\xEF\xBF\xBD"
                      "a\xEF\xBF\xBD");
  assert_string_equal(safe_utf8(*state, "\x01\xED\xA0\x80"),
                      "\x01\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
}

static void shortening_counts_characters(void **state) {
  assert_string_equal(text_shortened(*state, "\xC3\xA4\xC3\xB6\xC3\xBC", 3),
                      "\xC3\xA4\xC3\xB6\xC3\xBC");
  assert_string_equal(text_shortened(*state, "\xC3\xA4\xC3\xB6\xC3\xBC", 2),
                      "\xC3\xA4\xE2\x80\xA6");
  assert_string_equal(text_shortened(*state, "ab", 1), "\xE2\x80\xA6");
}

static void names_hold_plain_characters_alone(void **state) {
  assert_string_equal(safe_name(*state, "../W 1/\xC3\xA4"), ".._W_1___");
  assert_string_equal(safe_name(*state, ""), "_");
  char longer[200];
  memset(longer, 'x', sizeof longer - 1);
  longer[sizeof longer - 1] = '\0';
  assert_int_equal(strlen(safe_name(*state, longer)), 80);
}

static void letters_count_like_columns(void **state) {
  assert_string_equal(number_letters(*state, 0, 'a'), "a");
  assert_string_equal(number_letters(*state, 25, 'A'), "Z");
  assert_string_equal(number_letters(*state, 26, 'A'), "AA");
  assert_string_equal(number_letters(*state, 26 + 26 * 26, 'a'), "aaa");
}

static void decimals_are_exact(void **state) {
  assert_string_equal(decimal_text(*state, -5, 2), "-0.05");
  assert_string_equal(decimal_text(*state, 1234, 0), "1234");
  assert_string_equal(decimal_trimmed(*state, 1500, 3), "1.5");
  assert_string_equal(decimal_trimmed(*state, -2000, 3), "-2");
  assert_string_equal(decimal_trimmed(*state, 0, 3), "0");
}

static size_t longest_line(const char *text) {
  size_t longest = 0;
  size_t column = 0;
  for (; *text != '\0'; text++) {
    column = *text == '\n' ? 0 : column + (((unsigned char)*text & 0xC0) != 0x80);
    if (column > longest) longest = column;
  }
  return longest;
}

static void paragraphs_stay_within_the_terminal(void **state) {
  struct buffer *buffer = buffer_create(*state);
  paragraph(
      buffer, "- ", 4,
      "wood wood wood wood wood wood wood wood wood wood wood wood wood wood wood wood wood "
      "wood and a word of a hundred and more characters "
      "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
      "xxxxxxxxxxxxxxxxxxxx end");
  assert_int_equal(longest_line(buffer->text), 80);
  assert_non_null(strstr(buffer->text, "\n    "));
  assert_memory_equal(buffer->text, "-   wood", 8);
  assert_string_equal(buffer->text + buffer->length - 5, " end\n");
}

static void columns_have_their_width(void **state) {
  struct buffer *buffer = buffer_create(*state);
  column_left(buffer, "\xC3\xA4", 3);
  column_right(buffer, "1.5", 5);
  column_left(buffer, "abcdef", 4);
  assert_string_equal(buffer->text, "\xC3\xA4    1.5abc\xE2\x80\xA6");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(line_keeps_ordinary_text, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(line_replaces_what_no_line_may_hold, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(line_replaces_bytes_that_are_no_text, open_arena,
                                      close_arena),
      cmocka_unit_test_setup_teardown(shortening_counts_characters, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(names_hold_plain_characters_alone, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(letters_count_like_columns, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(decimals_are_exact, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(paragraphs_stay_within_the_terminal, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(columns_have_their_width, open_arena, close_arena),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
