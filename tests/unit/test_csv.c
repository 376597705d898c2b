/* Files as spreadsheets and hands write them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/buffer.h"
#include "read/csv.h"
#include "unit/project_folder.h"

enum { NAME, SIZE, NOTE, COLUMNS };

static const struct column columns[COLUMNS] = {{"name", true}, {"size", true}, {"note", false}};

static struct scene scene;
static struct table *table;

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

static void start(void) {
  arena_destroy(scene.arena);
  scene.arena = arena_create();
  assert_non_null(scene.arena);
}

/* Opens the bytes as a table; must be called with the arena's trap armed. */
static void open_bytes(const char *bytes, size_t length) {
  scene_bytes(&scene, "t.csv", bytes, length);
  scene.diagnostics = diagnostics_create(scene.arena);
  table = table_open(scene.arena, scene.diagnostics, scene.folder, "t.csv", columns, COLUMNS);
  assert_non_null(table);
}

#define OPEN(text) \
  do { \
    start(); \
    assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK); \
    open_bytes(text, sizeof(text) - 1); \
  } while (0)

static void expect_row(const char *name, const char *size, const char *note) {
  assert_true(table_next(table));
  assert_string_equal(table_cell(table, NAME), name);
  assert_string_equal(table_cell(table, SIZE), size);
  assert_string_equal(table_cell(table, NOTE), note);
}

static void expect_end(size_t faults) {
  assert_false(table_next(table));
  for (size_t i = 0; i < scene.diagnostics->count && scene.diagnostics->errors != faults; i++)
    print_message("%ld:%ld %s\n", scene.diagnostics->items[i].place.line,
                  scene.diagnostics->items[i].place.column, scene.diagnostics->items[i].text);
  assert_int_equal(scene.diagnostics->errors, faults);
}

static void expect_fault(size_t index, long line, long column, const char *row, const char *text) {
  assert_true(index < scene.diagnostics->count);
  const struct diagnostic *item = &scene.diagnostics->items[index];
  assert_string_equal(item->text, text);
  assert_int_equal(item->place.line, line);
  assert_int_equal(item->place.column, column);
  if (row == NULL) {
    assert_null(item->place.row);
  } else {
    assert_string_equal(item->place.row, row);
  }
}

static void a_plain_file(void **state) {
  (void)state;
  OPEN("name,size,note\na,1,x\nb,2,y\n");
  assert_false(table_decimal_comma(table));
  assert_true(table_has(table, NOTE));
  expect_row("a", "1", "x");
  expect_row("b", "2", "y");
  expect_end(0);
}

static void byte_order_mark_and_line_ends(void **state) {
  (void)state;
  OPEN("\xEF\xBB\xBFname,size\r\na,1\r\nb,2\r\n");
  expect_row("a", "1", "");
  expect_row("b", "2", "");
  assert_int_equal(table_place(table, NAME).line, 3);
  assert_string_equal(table_place(table, NAME).row, "b,2");
  expect_end(0);
  OPEN("name,size\ra,1\rb,2");
  expect_row("a", "1", "");
  expect_row("b", "2", "");
  assert_int_equal(table_place(table, NAME).line, 3);
  expect_end(0);
}

static void semicolons_and_tabs_allow_decimal_commas(void **state) {
  (void)state;
  OPEN("name;size;note\na;1,5;x, y\n");
  assert_true(table_decimal_comma(table));
  expect_row("a", "1,5", "x, y");
  expect_end(0);
  OPEN("name\tsize\tnote\na\t1,5\t\n\tq\t z \n");
  assert_true(table_decimal_comma(table));
  expect_row("a", "1,5", "");
  expect_row("", "q", "z");
  assert_int_equal(table_place(table, SIZE).column, 2);
  expect_end(0);
}

static void the_delimiter_is_the_headers(void **state) {
  (void)state;
  OPEN("# a; comment; with; semicolons\nname,size\n\"a;b;c\",1\n");
  expect_row("a;b;c", "1", "");
  expect_end(0);
}

static void header_in_any_order_and_case(void **state) {
  (void)state;
  OPEN(" NOTE , Size,\"Name\"\nx,1,a\n");
  expect_row("a", "1", "x");
  assert_int_equal(table_place(table, NAME).column, 5);
  expect_end(0);
}

static void quotes(void **state) {
  (void)state;
  OPEN(
      "name,size,note\n\"a, b\",\"5-1/2\"\"\",\"say \"\"so\"\"\"\nc,5-1/2\",6' 2\"\n \"d\" ,\"\", "
      "e f \n");
  expect_row("a, b", "5-1/2\"", "say \"so\"");
  expect_row("c", "5-1/2\"", "6' 2\"");
  expect_row("d", "", "e f");
  expect_end(0);
}

static void line_breaks_inside_quotes(void **state) {
  (void)state;
  OPEN("name,size,note\na,1,\"one\r\ntwo\n\nfour\"\nb,2,\"x\ny\",\nc,3,\n");
  expect_row("a", "1", "one\ntwo\n\nfour");
  assert_int_equal(table_place(table, NOTE).line, 2);
  assert_int_equal(table_place(table, NOTE).column, 5);
  expect_row("b", "2", "x\ny");
  assert_int_equal(table_place(table, NAME).line, 6);
  expect_row("c", "3", "");
  assert_int_equal(table_place(table, NAME).line, 8);
  assert_string_equal(table_place(table, NAME).row, "c,3,");
  expect_end(0);
}

/* The cell behind a line break is placed in the line where it stands. */
static void a_cell_behind_a_line_break(void **state) {
  (void)state;
  OPEN("name,size,note\n\"a\nb\",1,x\n");
  expect_row("a\nb", "1", "x");
  struct place place = table_place(table, NOTE);
  assert_int_equal(place.line, 3);
  assert_int_equal(place.column, 6);
  assert_string_equal(place.row, "b\",1,x");
  place = table_place(table, TABLE_ROW);
  assert_int_equal(place.line, 2);
  assert_int_equal(place.column, 1);
  expect_end(0);
}

static void comments_and_blanks_are_passed_over(void **state) {
  (void)state;
  OPEN(
      "# first, \"unclosed\n\n  # second\nname,size\n#a,1\nb,2\n,\n   \n\"# c, d\",\n\"\",\" \"\n"
      "e,3\n,,,,\n\n\n");
  expect_row("b", "2", "");
  assert_int_equal(table_place(table, NAME).line, 6);
  expect_row("e", "3", "");
  assert_int_equal(table_place(table, NAME).line, 11);
  expect_end(0);
}

static void short_rows_are_filled_up(void **state) {
  (void)state;
  OPEN("name,size,note\na\nb,2\n");
  expect_row("a", "", "");
  struct place place = table_place(table, SIZE);
  assert_int_equal(place.line, 2);
  assert_int_equal(place.column, 2);
  expect_row("b", "2", "");
  expect_end(0);
}

static void long_rows_are_faults(void **state) {
  (void)state;
  OPEN("name,size,note\na,1,x,y\nb,2,x,,,\nc,3,z\n");
  expect_row("a", "1", "x");
  expect_row("b", "2", "x");
  expect_row("c", "3", "z");
  expect_end(1);
  expect_fault(0, 2, 7, "a,1,x,y",
               "'y' has no column, expected at most 3 cells as in the header row (a cell with ',' "
               "inside is quoted)");
}

static void a_cell_below_an_empty_header(void **state) {
  (void)state;
  OPEN("name,,size\na,,1\nb,x,2\n");
  expect_row("a", "1", "");
  expect_row("b", "2", "");
  expect_end(1);
  assert_int_equal(scene.diagnostics->items[0].place.line, 3);
  assert_int_equal(scene.diagnostics->items[0].place.column, 3);
}

/* One that is misspelt is not missing besides. */
static void wrong_columns_are_named(void **state) {
  (void)state;
  OPEN("name,sise,colour,name\na,1,x,b\n");
  assert_true(table_next(table));
  expect_end(3);
  const char *row = "name,sise,colour,name";
  expect_fault(0, 1, 6, row, "'sise' is no known column, expected 'size'");
  expect_fault(1, 1, 11, row, "'colour' is no known column, expected one of name, size, note");
  expect_fault(2, 1, 18, row, "column 'name' stands twice, expected it once");
}

static void a_missing_column_is_named(void **state) {
  (void)state;
  OPEN("name,colour\na,x\n");
  assert_true(table_next(table));
  expect_end(2);
  expect_fault(1, 1, 1, "name,colour", "column 'size' is missing, expected it in the header row");
}

static void a_file_without_header(void **state) {
  (void)state;
  OPEN("a,1,x\nb,2,y\n");
  expect_end(1);
  expect_fault(0, 1, 1, "a,1,x", "no header row, expected one with columns from name, size, note");
}

static const char unclosed[] =
    "quoted cell is not closed, expected a closing quote before the next ',' (a quote inside is "
    "doubled)";

static void an_unclosed_quote_at_the_end(void **state) {
  (void)state;
  OPEN("name,size,note\na,1,x\nb,\"2,y\nc,3,z\n");
  expect_row("a", "1", "x");
  expect_row("c", "3", "z"); /* reading goes on behind the faulty line */
  expect_end(1);
  expect_fault(0, 3, 3, "b,\"2,y", unclosed);
}

static void text_behind_a_closing_quote(void **state) {
  (void)state;
  OPEN("name,size,note\n\"a\"b,1,x\nc,\"2\"\",y\nd,\"3\",z\n");
  expect_row("d", "3", "z");
  expect_end(2);
  expect_fault(0, 2, 1, "\"a\"b,1,x", unclosed);
  expect_fault(1, 3, 3, "c,\"2\"\",y", unclosed);
}

/* The fault is placed where the quote stands, and reading goes on behind that line. */
static void a_wrong_quote_behind_a_line_break(void **state) {
  (void)state;
  OPEN("name,size,note\na,\"1\n2\",\"z\"q\nb,2,y\n");
  expect_row("b", "2", "y");
  assert_int_equal(table_place(table, NAME).line, 4);
  expect_end(1);
  expect_fault(0, 3, 4, "2\",\"z\"q", unclosed);
}

static void an_unclosed_quote_in_the_header(void **state) {
  (void)state;
  OPEN("name,\"size\na,1\n");
  expect_end(1);
  expect_fault(0, 1, 6, "name,\"size", unclosed);
}

static void bytes_that_are_no_text(void **state) {
  (void)state;
  OPEN("name,size\na\0b,1\nc\xE9,2\n\x1B[2J,3\nd\x01,4\n");
  expect_row("a?b", "1", "");
  expect_row("c?", "2", "");
  expect_row("?[2J", "3", "");
  expect_row("d?", "4", "");
  expect_end(4);
  expect_fault(0, 2, 2, "a?b,1", "NUL byte, expected text");
  expect_fault(1, 3, 2, "c?,2", "byte 0xe9 is no UTF-8, expected a file saved as UTF-8");
  expect_fault(2, 4, 1, "?[2J,3", "control character, expected text");
  expect_fault(3, 5, 2, "d?,4", "control character, expected text");
}

static void a_file_in_utf16(void **state) {
  (void)state;
  OPEN("\xFF\xFEn\0a\0");
  expect_end(1);
  expect_fault(0, 0, 0, NULL, "file in UTF-16, expected a file saved as UTF-8");
}

static void a_spreadsheet_by_a_wrong_name(void **state) {
  (void)state;
  OPEN("PK\x03\x04\x14\0b,1\n");
  expect_end(1);
  expect_fault(0, 0, 0, NULL, "a spreadsheet's own format, expected the sheet saved as CSV");
}

static void empty_files_have_no_rows(void **state) {
  (void)state;
  OPEN("");
  expect_end(0);
  OPEN("\xEF\xBB\xBF");
  expect_end(0);
  OPEN("# nothing\n\n");
  expect_end(0);
  OPEN("name,size\n");
  expect_end(0);
}

static void a_file_that_is_not_there(void **state) {
  (void)state;
  start();
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  scene.diagnostics = diagnostics_create(scene.arena);
  assert_null(
      table_open(scene.arena, scene.diagnostics, scene.folder, "none.csv", columns, COLUMNS));
  assert_int_equal(scene.diagnostics->count, 0);
}

static void a_folder_is_no_file(void **state) {
  (void)state;
  start();
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  char path[128];
  snprintf(path, sizeof path, "%s/f.csv", scene.folder);
  assert_int_equal(mkdir(path, 0777), 0);
  scene.diagnostics = diagnostics_create(scene.arena);
  table = table_open(scene.arena, scene.diagnostics, scene.folder, "f.csv", columns, COLUMNS);
  rmdir(path);
  assert_non_null(table);
  expect_end(1);
  expect_fault(0, 0, 0, NULL, "is no file, expected a CSV file");
}

static void a_file_that_is_too_large(void **state) {
  (void)state;
  start();
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  scene_file(&scene, "t.csv", "");
  char path[128];
  snprintf(path, sizeof path, "%s/t.csv", scene.folder);
  assert_int_equal(truncate(path, ((off_t)256 << 20) + 1), 0); /* takes no room on the disk */
  scene.diagnostics = diagnostics_create(scene.arena);
  table = table_open(scene.arena, scene.diagnostics, scene.folder, "t.csv", columns, COLUMNS);
  assert_non_null(table);
  expect_end(1);
  expect_fault(0, 0, 0, NULL, "file over 256 MiB, expected a smaller one");
}

static void too_many_rows(void **state) {
  (void)state;
  start();
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  struct buffer *text = buffer_create(scene.arena);
  buffer_add(text, "name,size\n");
  for (int i = 0; i <= TABLE_ROWS_MOST; i++) buffer_add(text, "a,1\n");
  open_bytes(text->text, text->length);
  long rows = 0;
  while (table_next(table)) rows++;
  assert_int_equal(rows, TABLE_ROWS_MOST);
  expect_end(1);
  expect_fault(0, TABLE_ROWS_MOST + 2, 1, "a,1", "more than 1000000 rows, expected fewer");
}

static void too_many_faults(void **state) {
  (void)state;
  start();
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  struct buffer *text = buffer_create(scene.arena);
  buffer_add(text, "name,size\n");
  for (int i = 0; i < 5000; i++) buffer_add(text, "a,1,2\n");
  open_bytes(text->text, text->length);
  long rows = 0;
  while (table_next(table)) rows++;
  assert_int_equal(rows, 1001);
  expect_end(1001);
  expect_fault(1000, 1002, 5, "a,1,2",
               "more than 1000 faults, the rest of the file is not looked at");
}

/* 50 MB in few rows: one cell may be long, and a long row is shown by its beginning. */
static void fifty_megabytes(void **state) {
  (void)state;
  start();
  assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
  struct buffer *text = buffer_create(scene.arena);
  buffer_add(text, "name,size,note\n");
  char *note = arena_alloc(scene.arena, 1000001, 1);
  memset(note, 'x', 1000000);
  for (int i = 0; i < 50; i++) buffer_format(text, "n%d,%d,%s\n", i, i, note);
  buffer_add(text, "last,1,x,surplus\n");
  buffer_format(text, "%s,1,x,surplus\n", note);
  open_bytes(text->text, text->length);
  long rows = 0;
  while (table_next(table)) {
    if (rows < 50) assert_int_equal(strlen(table_cell(table, NOTE)), 1000000);
    rows++;
  }
  assert_int_equal(rows, 52);
  expect_end(2);
  assert_int_equal(scene.diagnostics->items[0].place.line, 52);
  assert_int_equal(strlen(scene.diagnostics->items[1].place.row), 2000);
}

/* Text of any kind, delimiters and quotes at random: no fault of memory, and every
 * place lies inside the file. */
static void nonsense_is_survived(void **state) {
  (void)state;
  static const char letters[] = "ab,,;\t\"\"\n\r# \xC3\xA9\x00\xFF";
  static uint32_t random = 12345;
  for (int round = 0; round < 3000; round++) {
    char text[200] = "name,size,note\n";
    size_t length = strlen(text);
    size_t end = length + (size_t)round % 180;
    while (length < end) {
      random = random * 1664525u + 1013904223u;
      text[length++] = letters[(random >> 16) % (sizeof letters - 1)];
    }
    start();
    assert_int_equal(ARENA_TRY(scene.arena), STATUS_OK);
    open_bytes(text, length);
    int rows = 0;
    while (table_next(table)) {
      struct place place = table_place(table, SIZE);
      assert_true(place.line > 1 && (size_t)place.column <= strlen(place.row) + 1);
      assert_true(++rows < 200);
    }
    for (size_t i = 0; i < scene.diagnostics->count; i++) {
      const struct place *place = &scene.diagnostics->items[i].place;
      assert_true(place->line >= 1 && place->line <= 200);
      assert_true((size_t)place->column <= strlen(place->row) + 1);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(a_plain_file),
      cmocka_unit_test(byte_order_mark_and_line_ends),
      cmocka_unit_test(semicolons_and_tabs_allow_decimal_commas),
      cmocka_unit_test(the_delimiter_is_the_headers),
      cmocka_unit_test(header_in_any_order_and_case),
      cmocka_unit_test(quotes),
      cmocka_unit_test(line_breaks_inside_quotes),
      cmocka_unit_test(a_cell_behind_a_line_break),
      cmocka_unit_test(comments_and_blanks_are_passed_over),
      cmocka_unit_test(short_rows_are_filled_up),
      cmocka_unit_test(long_rows_are_faults),
      cmocka_unit_test(a_cell_below_an_empty_header),
      cmocka_unit_test(wrong_columns_are_named),
      cmocka_unit_test(a_missing_column_is_named),
      cmocka_unit_test(a_file_without_header),
      cmocka_unit_test(an_unclosed_quote_at_the_end),
      cmocka_unit_test(text_behind_a_closing_quote),
      cmocka_unit_test(a_wrong_quote_behind_a_line_break),
      cmocka_unit_test(an_unclosed_quote_in_the_header),
      cmocka_unit_test(bytes_that_are_no_text),
      cmocka_unit_test(a_file_in_utf16),
      cmocka_unit_test(a_spreadsheet_by_a_wrong_name),
      cmocka_unit_test(empty_files_have_no_rows),
      cmocka_unit_test(a_file_that_is_not_there),
      cmocka_unit_test(a_folder_is_no_file),
      cmocka_unit_test(a_file_that_is_too_large),
      cmocka_unit_test(too_many_rows),
      cmocka_unit_test(too_many_faults),
      cmocka_unit_test(fifty_megabytes),
      cmocka_unit_test(nonsense_is_survived),
  };
  return cmocka_run_group_tests(tests, open_scene, close_scene);
}
