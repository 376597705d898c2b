/* Names that would be markup, formulas, paths, or steer a terminal: in every output they are text
 * and nothing else, as the usual readers of each format take it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <csv.h>
#include <jansson.h>
#include <libxml/HTMLparser.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "random/project_disk.h"
#include "whole_run.h"

#define EMOJI "e\xCC\x81 \xF0\x9F\x98\x80"
#define TURNED "\xE2\x80\xAEgnp.exe\xE2\x80\xAC \xE2\x81\xA6x\xE2\x81\xA9 \xD8\x9C \xE2\x80\x8F"

enum { LONG_NAME = 10000 };

static struct arena *arena;
static char long_name[LONG_NAME + 1];

/* The last is filled in before it is used. */
static const char *names[] = {"<script>harm=1</script>",
                              "& ]]> <!-- \" onload=\"harm=2 ' `",
                              "../../up/W1",
                              "=1+1",
                              "+SUM(A1)",
                              "-2",
                              "@x",
                              EMOJI,
                              TURNED,
                              "a;b,c",
                              long_name};
enum { NAMES = sizeof names / sizeof *names };

static struct ended planned;
static struct snapshot reports;

static void add_quoted(struct buffer *buffer, const char *text) {
  buffer_add(buffer, "\"");
  for (; *text != '\0'; text++) {
    buffer_add_bytes(buffer, text, 1);
    if (*text == '"') buffer_add(buffer, "\"");
  }
  buffer_add(buffer, "\"");
}

/* Each part from a plank of its own, so that both names come out everywhere. */
static void write_project(void) {
  struct buffer *parts = buffer_create(arena), *rack = buffer_create(arena);
  buffer_add(parts, "part,per_set,length,width,thickness,wood,way,note\n");
  buffer_add(rack, "stock,kind,wood,length,width,thickness,note\n");
  for (int i = 0; i < NAMES; i++) {
    add_quoted(parts, names[i]);
    buffer_format(parts, ",1,%d,60,18,\"<b>%d\",%s,", 120 + 3 * i, i, i % 3 == 0 ? "blank" : "saw");
    add_quoted(parts, names[i]);
    buffer_add(parts, "\n");
    add_quoted(rack, names[i]);
    buffer_format(rack, ",plank,\"<b>%d\",%d,150,18,", i, 700 + i);
    add_quoted(rack, names[i]);
    buffer_add(rack, "\n");
  }
  disk_write(arena, PROJECT, "parts.csv", parts);
  disk_write(arena, PROJECT, "rack.csv", rack);
}

static int set_up(void **state) {
  (void)state;
  static const char *const words[] = {"plan", PROJECT, "--effort", "1", NULL};
  memset(long_name, 'x', LONG_NAME);
  arena = scratch_open();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) return -1;
  write_project();
  planned = run_program(arena, NULL, words);
  if (planned.status != 0) print_error("%.2000s\n", planned.errors->text);
  reports = snapshot_take(arena, REPORTS);
  return planned.status;
}

static int tear_down(void **state) {
  (void)state;
  scratch_close(arena);
  return 0;
}

static bool ends_in(const char *name, const char *end) {
  size_t length = strlen(name), tail = strlen(end);
  return length >= tail && strcmp(name + length - tail, end) == 0;
}

/* Valid UTF-8 without controls, apart from line ends, and without marks of direction. */
static void expect_harmless(const char *what, const struct buffer *text) {
  static const char *const marks[] = {"\xE2\x80\x8E", "\xE2\x80\x8F", "\xD8\x9C"};
  static const char *const leads[] = {"\xE2\x80\xAA",
                                      "\xE2\x81\xA6"}; /* five, and four, in a row */
  static const int following[] = {5, 4};
  assert_int_equal(strlen(text->text), text->length);
  assert_int_equal(text_valid_utf8(text->text, text->length), text->length);
  for (const char *c = text->text; *c != '\0'; c++)
    if ((unsigned char)*c < ' ' && *c != '\n' && *c != '\r') fail_msg("%s: control %d", what, *c);
  for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
    if (strstr(text->text, marks[i]) != NULL) fail_msg("%s: mark %zu", what, i);
  for (size_t i = 0; i < sizeof leads / sizeof *leads; i++)
    for (int n = 0; n < following[i]; n++) {
      char mark[4] = {leads[i][0], leads[i][1], (char)(leads[i][2] + n), '\0'};
      if (strstr(text->text, mark) != NULL) fail_msg("%s: override %zu %d", what, i, n);
    }
}

static void the_terminal_shows_text_alone(void **state) {
  (void)state;
  expect_harmless("output", planned.output);
  expect_harmless("errors", planned.errors);
  assert_non_null(strstr(planned.output->text, names[0]));
}

static void files_have_plain_names(void **state) {
  (void)state;
  static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-";
  assert_true(reports.count > NAMES);
  size_t drawings = 0;
  for (size_t i = 0; i < reports.count; i++) {
    const char *name = reports.files[i].name;
    assert_int_equal(strspn(name, plain), strlen(name));
    assert_true(strlen(name) < 128 && name[0] != '.');
    drawings += strncmp(name, "layout-", 7) == 0;
  }
  assert_int_equal(drawings, NAMES); /* however much of the names they lost */
  assert_false(disk_has("up") || disk_has("boards/up") || disk_has("reports/up"));
}

/* ---- drawings and page ---- */

static double count_in(xmlDocPtr document, const char *expression) {
  xmlXPathContextPtr context = xmlXPathNewContext(document);
  xmlXPathObjectPtr found = xmlXPathEvalExpression((const xmlChar *)expression, context);
  assert_non_null(found);
  double count = xmlXPathCastToNumber(found);
  xmlXPathFreeObject(found);
  xmlXPathFreeContext(context);
  return count;
}

#define ACTIVE \
  "//*[local-name()='img' or local-name()='image' or local-name()='iframe' or " \
  "local-name()='foreignObject' or local-name()='object' or local-name()='link' or " \
  "local-name()='base' or local-name()='form']"
#define ACTING "//@*[starts-with(name(), 'on') or contains(., 'javascript:')]"

static void drawings_are_text(void **state) {
  (void)state;
  double named = 0;
  for (size_t i = 0; i < reports.count; i++) {
    const struct snapshot_file *file = &reports.files[i];
    if (!ends_in(file->name, ".svg")) continue;
    expect_harmless(file->name, file->bytes);
    xmlDocPtr document = xmlReadMemory(file->bytes->text, (int)file->bytes->length, file->name,
                                       NULL, XML_PARSE_NONET | XML_PARSE_HUGE);
    if (document == NULL) fail_msg("%s is no XML", file->name);
    assert_true(count_in(document, "count(//*[local-name()='script'])") == 0);
    assert_true(count_in(document, "count(" ACTIVE ")") == 0);
    assert_true(count_in(document, "count(" ACTING ")") == 0);
    named += count_in(document, "count(//text()[contains(., '<script>harm=1</script>')])");
    xmlFreeDoc(document);
  }
  assert_true(named > 0);
}

static void the_page_is_text(void **state) {
  (void)state;
  const struct buffer *page = snapshot_file(&reports, "plan.html");
  assert_non_null(page);
  expect_harmless("plan.html", page);
  xmlDocPtr document = htmlReadMemory(page->text, (int)page->length, "plan.html", "utf-8",
                                      HTML_PARSE_NOERROR | HTML_PARSE_NOWARNING | HTML_PARSE_NONET);
  assert_non_null(document);
  assert_true(count_in(document, "count(//script)") == 1);
  assert_true(count_in(document, "count(" ACTIVE ")") == 0);
  assert_true(count_in(document, "count(" ACTING ")") == 0);
  assert_true(count_in(document, "count(//meta[@http-equiv='Content-Security-Policy'])") == 1);
  assert_true(count_in(document, "count(//text()[contains(., '<script>harm=1</script>')])") > 0);
  assert_true(count_in(document, "count(//text()[contains(., ']]> <!-- \"')])") > 0);
  xmlFreeDoc(document);
}

/* ---- tables ---- */

struct reading {
  const char *file;
  size_t cells, width, rows;
  bool formula_kept; /* "=1+1" came as text */
};

static bool is_number(const char *text) {
  char *end = NULL;
  (void)strtod(text, &end);
  return *end == '\0';
}

static void take_cell(void *text, size_t length, void *data) {
  struct reading *reading = data;
  const char *cell = arena_copy_bytes(arena, text, length);
  reading->cells++;
  if (length > 0 && strchr("=+-@\t\r", cell[0]) != NULL && !is_number(cell))
    fail_msg("%s: a formula: %s", reading->file, cell);
  if (strncmp(cell, "'=1+1", 5) == 0) reading->formula_kept = true;
}

static void take_row(int end, void *data) {
  struct reading *reading = data;
  (void)end;
  if (reading->rows++ == 0) reading->width = reading->cells;
  if (reading->cells != reading->width) fail_msg("%s: a row of another width", reading->file);
  reading->cells = 0;
}

static void tables_are_text(void **state) {
  (void)state;
  bool formula_kept = false;
  for (size_t i = 0; i < reports.count; i++) {
    const struct snapshot_file *file = &reports.files[i];
    if (!ends_in(file->name, ".csv")) continue;
    expect_harmless(file->name, file->bytes);
    const char *at = file->bytes->text; /* comments stand before the header row */
    while (*at == '#') at = strchr(at, '\n') + 1;
    struct csv_parser parser;
    struct reading reading = {.file = file->name};
    assert_int_equal(csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI), 0);
    size_t length = strlen(at);
    assert_int_equal(csv_parse(&parser, at, length, take_cell, take_row, &reading), length);
    assert_int_equal(csv_fini(&parser, take_cell, take_row, &reading), 0);
    csv_free(&parser);
    formula_kept = formula_kept || reading.formula_kept;
  }
  assert_true(formula_kept);
}

/* ---- plan.json, pages to print ---- */

static void the_plan_keeps_names_as_they_are(void **state) {
  (void)state;
  const struct buffer *text = snapshot_file(&reports, "plan.json");
  json_t *plan = json_loadb(text->text, text->length, JSON_REJECT_DUPLICATES, NULL);
  assert_non_null(plan);
  bool found[NAMES] = {false};
  size_t i = 0;
  json_t *entry = NULL;
  json_array_foreach(json_object_get(plan, "stock"), i, entry) {
    const char *name = json_string_value(json_object_get(entry, "stock"));
    for (int n = 0; n < NAMES; n++) found[n] = found[n] || strcmp(name, names[n]) == 0;
  }
  for (int n = 0; n < NAMES; n++)
    if (!found[n]) fail_msg("name %d is not there as it is", n);
  json_decref(plan);
}

static void pages_are_text(void **state) {
  (void)state;
  if (system("command -v pdftotext >/dev/null") != 0) {
    print_message("no pdftotext: pages to print are not looked at\n");
    skip();
  }
  static const char *const pages[] = {"labels", "marking"};
  for (size_t i = 0; i < 2; i++) {
    const char *command =
        arena_format(arena, "pdftotext -enc UTF-8 " REPORTS "/%s.pdf %s.txt 2>%s.err", pages[i],
                     pages[i], pages[i]);
    assert_int_equal(system(command), 0);
    assert_int_equal(disk_read(arena, arena_format(arena, "%s.err", pages[i]))->length, 0);
    const struct buffer *text = disk_read(arena, arena_format(arena, "%s.txt", pages[i]));
    if (strstr(text->text, "<script>harm=1</script>") == NULL)
      fail_msg("%s.pdf does not name the part", pages[i]);
  }
}

/* ---- what is no text ---- */

static void what_is_no_text_is_refused(void **state) {
  (void)state;
  static const struct {
    const char *bytes;
    size_t length;
    const char *said;
  } cells[] = {{"a\0b", 3, "NUL byte, expected text"},
               {"a\xFFz", 3, "byte 0xff is no UTF-8"},
               {"a\xC0\xAFz", 4, "byte 0xc0 is no UTF-8"},
               {"a\xED\xA0\x80z", 5, "byte 0xed is no UTF-8"},
               {"a\x1B[2Jz", 6, "control character, expected text"},
               {"a\x7Fz", 3, "control character, expected text"}};
  static const char *const words[] = {"plan", "boards/other", "--out", "other", NULL};
  for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
    struct buffer *parts = buffer_create(arena);
    buffer_add(parts, "part,per_set,length,width,thickness,wood\n");
    buffer_add_bytes(parts, cells[i].bytes, cells[i].length);
    buffer_add(parts, ",1,100,60,18,oak\n");
    disk_write(arena, "boards/other", "parts.csv", parts);
    disk_write(arena, "boards/other", "rack.csv", disk_read(arena, PROJECT "/rack.csv"));
    struct ended ended = run_program(arena, NULL, words);
    assert_int_equal(ended.status, 2);
    const char *said = arena_format(arena, "parts.csv:2:2: error: %s", cells[i].said);
    if (strstr(ended.errors->text, said) == NULL) fail_msg("'%s': %s", said, ended.errors->text);
    expect_harmless("errors", ended.errors);
    assert_false(disk_has("other"));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(the_terminal_shows_text_alone),
      cmocka_unit_test(files_have_plain_names),
      cmocka_unit_test(drawings_are_text),
      cmocka_unit_test(the_page_is_text),
      cmocka_unit_test(tables_are_text),
      cmocka_unit_test(the_plan_keeps_names_as_they_are),
      cmocka_unit_test(pages_are_text),
      cmocka_unit_test(what_is_no_text_is_refused),
  };
  return cmocka_run_group_tests(tests, set_up, tear_down);
}
