/* Where rows and cells stand in a file, byte by byte. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <string.h>

#include "read/rows.h"
#include "unit/project_folder.h"

static struct scene scene;
static struct file_rows file;

static int open_scene(void **state) {
  (void)state;
  scene_open(&scene);
  scene_read(&scene);
  return 0;
}

static int close_scene(void **state) {
  (void)state;
  scene_close(&scene);
  return 0;
}

static void find(const char *text) {
  scene_file(&scene, "rack.csv", text);
  assert_int_equal(read_rack_rows(scene.arena, scene.folder, scene.diagnostics, &file), STATUS_OK);
}

static void expect_row(size_t number, const char *text) {
  assert_true(number < file.row_count);
  const struct file_row *row = &file.rows[number];
  assert_int_equal(row->end - row->start, strlen(text));
  assert_memory_equal(file.bytes + row->start, text, strlen(text));
}

static void expect_at(size_t number, const char *column, const char *text, const char *rest) {
  const struct file_row *row = &file.rows[number];
  size_t cell = file_column(&file, column);
  assert_string_equal(row->cells[cell], text);
  assert_memory_equal(file.bytes + row->at[cell], rest, strlen(rest));
}

static void rows_are_found_with_their_line_ends(void **state) {
  (void)state;
  find(
      "# a note\n\nkind,stock,count\r\nplank,A,1\r\n# b\rsheet,\"two\r\nlines\", \" 2 \" ,\n,,\n"
      "plank,C,3");
  assert_int_equal(file.row_count, 3);
  expect_row(0, "plank,A,1\r\n");
  expect_row(1, "sheet,\"two\r\nlines\", \" 2 \" ,\n");
  expect_row(2, "plank,C,3");
  expect_at(0, "count", "1", "1\r\n#");
  expect_at(1, "count", "2", "2 \" ,");
  expect_at(2, "stock", "C", "C,3");
  size_t wood = file_column(&file, "wood");
  assert_string_equal(file.rows[0].cells[wood], "");
  assert_int_equal(file.rows[0].at[wood], SIZE_MAX);
}

static void the_header_is_told_of(void **state) {
  (void)state;
  find("\xEF\xBB\xBF\"kind\";stock;;count\r\n");
  assert_int_equal(file.width, 4);
  assert_int_equal(file.delimiter, ';');
  assert_true(file.quoted);
  assert_string_equal(file.line_end, "\r\n");
  assert_memory_equal(file.bytes + file.header_end, "\r\n", 2);
  assert_int_equal(file.position[file_column(&file, "count")], 3);
  assert_int_equal(file.position[file_column(&file, "wood")], SIZE_MAX);
  assert_int_equal(file.row_count, 0);
}

static void a_file_without_rows_has_no_header(void **state) {
  (void)state;
  find("# nothing yet\r");
  assert_true(file.present);
  assert_int_equal(file.width, 0);
  assert_string_equal(file.line_end, "\r");
  find(NULL);
  assert_false(file.present);
  assert_int_equal(file.length, 0);
}

#define ROWS_TEST(function) cmocka_unit_test_setup_teardown(function, open_scene, close_scene)

int main(void) {
  const struct CMUnitTest tests[] = {
      ROWS_TEST(rows_are_found_with_their_line_ends),
      ROWS_TEST(the_header_is_told_of),
      ROWS_TEST(a_file_without_rows_has_no_header),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
