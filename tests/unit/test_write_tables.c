#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/share.h"
#include "read/read.h"
#include "unit/project_folder.h"
#include "unit/test_write_fixture.h"
#include "write/table.h"
#include "write/view.h"
#include "write/work_words.h"
#include "write/writers.h"

enum { ROWS = 200, CELLS = 24 };

/* A table read back by the letter of RFC 4180, comment lines apart. */
struct sheet {
  char *cells[ROWS][CELLS];
  size_t cell_counts[ROWS];
  size_t rows;
  size_t comments;
};

struct bench {
  struct arena *arena;
  struct fixture fixture;
  struct buffer *buffer;
  struct sheet sheet;
};

static int open_bench(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct bench *bench = ARENA_NEW(arena, struct bench);
  bench->arena = arena;
  bench->buffer = buffer_create(arena);
  *state = bench;
  return 0;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  arena_destroy(bench->arena);
  return 0;
}

/* One cell from *text, which is moved behind its delimiter; false at the end of a row. */
static int read_cell(struct bench *bench, const char **text, char **cell) {
  struct buffer *value = buffer_create(bench->arena);
  const char *c = *text;
  if (*c == '"') {
    for (c++; *c != '"' || c[1] == '"'; c++) {
      if (*c == '\0') fail_msg("a quote is left open");
      if (*c == '"') c++;
      buffer_add_bytes(value, c, 1);
    }
    c++;
  } else {
    for (; *c != ',' && *c != '\r'; c++) {
      if (*c == '\0' || *c == '"' || *c == '\n') fail_msg("a cell is not well formed");
      buffer_add_bytes(value, c, 1);
    }
  }
  *cell = value->text;
  if (*c == ',') {
    *text = c + 1;
    return 1;
  }
  if (c[0] != '\r' || c[1] != '\n') fail_msg("a row does not end in CR LF");
  *text = c + 2;
  return 0;
}

static void read_sheet(struct bench *bench) {
  struct sheet *sheet = &bench->sheet;
  memset(sheet, 0, sizeof *sheet);
  const char *text = bench->buffer->text;
  while (*text != '\0') {
    if (*text == '#') {
      sheet->comments++;
      text = strstr(text, "\r\n");
      assert_non_null(text);
      text += 2;
      continue;
    }
    assert_true(sheet->rows < ROWS);
    size_t row = sheet->rows++;
    int more = 1;
    while (more) {
      assert_true(sheet->cell_counts[row] < CELLS);
      more = read_cell(bench, &text, &sheet->cells[row][sheet->cell_counts[row]++]);
    }
    assert_int_equal(sheet->cell_counts[row], sheet->cell_counts[0]);
  }
}

static const char *cell(const struct bench *bench, size_t row, const char *column) {
  for (size_t i = 0; i < bench->sheet.cell_counts[0]; i++)
    if (strcmp(bench->sheet.cells[0][i], column) == 0) return bench->sheet.cells[row + 1][i];
  fail_msg("no column '%s'", column);
  return "";
}

static void write_table(struct bench *bench,
                        void (*write)(struct buffer *buffer, const struct view *view)) {
  const struct fixture *fixture = &bench->fixture;
  const struct view *view =
      view_create(bench->arena, fixture->project, &fixture->blanks, &fixture->plan);
  buffer_clear(bench->buffer);
  write(bench->buffer, view);
  read_sheet(bench);
}

/* ---- the table itself ---- */

static void formulas_are_kept_from_spreadsheets(void **state) {
  struct bench *bench = *state;
  static const char *const texts[] = {"=1+1", "+1", "-1",  "@SUM(A1)", "\t=1", "\r=1",
                                      "#1",   "x",  "a,b", "a\"b",     "a;b"};
  static const char *const safe[] = {"'=1+1", "'+1", "'-1", "'@SUM(A1)", "' =1", "' =1",
                                     "#1",    "x",   "a,b", "a\"b",      "a;b"};
  struct table *table =
      table_create(buffer_create(bench->arena), UNIT_MM, "a,b,c,d,e,f,g,h,i,j,k,number");
  for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) table_text(table, texts[i]);
  table_length(table, -MM(3) / 2, ROUND_NEAREST);
  table_end_row(table);
  table_finish(table, bench->buffer, "=project", "a table", "down");
  read_sheet(bench);
  assert_int_equal(bench->buffer->text[0], '#');
  for (size_t i = 0; i < sizeof safe / sizeof *safe; i++)
    assert_string_equal(bench->sheet.cells[1][i], safe[i]);
  assert_string_equal(cell(bench, 0, "number"), "-1.5"); /* numbers stay numbers */
}

static void a_row_is_never_taken_for_a_comment(void **state) {
  struct bench *bench = *state;
  struct table *table = table_create(buffer_create(bench->arena), UNIT_MM, "a");
  table_text(table, "#1");
  table_end_row(table);
  table_finish(table, bench->buffer, "p", "a table", "down");
  assert_non_null(strstr(bench->buffer->text, "\r\n\"#1\"\r\n"));
}

static void rounding_is_said_only_where_it_was_done(void **state) {
  struct bench *bench = *state;
  struct table *table = table_create(buffer_create(bench->arena), UNIT_MM, "a");
  table_length(table, MM(3), ROUND_DOWN);
  table_end_row(table);
  table_finish(table, bench->buffer, "p", "a table", "down");
  assert_null(strstr(bench->buffer->text, "rounded"));
  table_length(table, MM(3) + 799, ROUND_DOWN);
  table_end_row(table);
  buffer_clear(bench->buffer);
  table_finish(table, bench->buffer, "p", "a table", "down");
  assert_non_null(strstr(bench->buffer->text, "rounded: down"));
  read_sheet(bench);
  assert_string_equal(bench->sheet.cells[2][0], "3");
}

/* ---- cuts.csv ---- */

static void cuts_come_in_order_with_their_pieces(void **state) {
  struct bench *bench = *state;
  fixture_make_inch(bench->arena, &bench->fixture);
  write_table(bench, write_cuts_csv);
  assert_int_equal(bench->sheet.rows - 1, bench->fixture.plan.cut_count);
  int64_t sides = 0;
  for (size_t i = 0; i + 1 < bench->sheet.rows; i++) {
    assert_int_equal(strtol(cell(bench, i, "step"), NULL, 10), (long)i + 1);
    const struct cut *cut = &bench->fixture.plan.cuts[i];
    assert_string_equal(cell(bench, i, "kind"), cut->rip ? "rip" : "crosscut");
    assert_string_equal(cell(bench, i, "trim"), cut->trim ? "yes" : "no");
    sides += strncmp(cell(bench, i, "kept"), "side ", 5) == 0;
    /* an inch fraction without its unit is a date to a spreadsheet */
    assert_non_null(strstr(cell(bench, i, "keep"), " in"));
  }
  assert_int_equal(sides, 6);
  assert_string_equal(cell(bench, 0, "of"), "C1-1");
}

/* What a cut leaves must be cut further, be a piece, an offcut or waste; what is cut must
 * be the raw stock or something an earlier cut left. */
static void sections_are_named_before_they_are_cut(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  write_table(bench, write_cuts_csv);
  for (size_t i = 0; i + 1 < bench->sheet.rows; i++) {
    const char *of = cell(bench, i, "of");
    int known = strcmp(of, "W1-1") == 0 || strcmp(of, "Y2-1") == 0 || strcmp(of, "Y2-2") == 0;
    for (size_t before = 0; before < i; before++)
      known |= strcmp(cell(bench, before, "kept"), of) == 0 ||
               strcmp(cell(bench, before, "rest"), of) == 0;
    if (!known) fail_msg("step %zu cuts '%s', which nothing has left", i + 1, of);
    const char *kept = cell(bench, i, "kept");
    assert_string_not_equal(kept, "");
    /* two pieces on the bench never go by one name */
    if (strcmp(kept, "waste") != 0) assert_string_not_equal(kept, cell(bench, i, "rest"));
  }
}

static void cautions_stand_with_their_cuts(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  write_table(bench, write_cuts_csv);
  size_t told = 0;
  for (size_t i = 0; i + 1 < bench->sheet.rows; i++) {
    int has = bench->fixture.plan.cuts[i].cautions != 0;
    assert_int_equal(has, *cell(bench, i, "cautions") != '\0');
    told += (size_t)has;
  }
  assert_true(told > 0);
}

/* ---- purchase.csv ---- */

static void purchases_are_whole_packs(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  bench->fixture.project->stocks[1].supplier = "=cmd|'/C calc'!A0";
  write_table(bench, write_purchase_csv);
  assert_string_equal(cell(bench, 0, "to_buy"), "0");
  assert_string_equal(cell(bench, 0, "cost"), "78.00");
  assert_string_equal(cell(bench, 1, "used"), "2");
  assert_string_equal(cell(bench, 1, "to_buy"), "3");
  assert_string_equal(cell(bench, 1, "packs"), "1");
  assert_string_equal(cell(bench, 1, "cost"), "174.00");
  assert_string_equal(cell(bench, 1, "supplier"), "'=cmd|'/C calc'!A0");
}

static void check_measure(struct bench *bench, length_t length, length_t width, length_t thickness,
                          const char *feet, const char *metres) {
  struct stock *stock = &bench->fixture.project->stocks[0];
  stock->length = length;
  stock->width = width;
  stock->thickness = thickness;
  write_table(bench, write_purchase_csv);
  assert_string_equal(cell(bench, 0, "board_feet"), feet);
  assert_string_equal(cell(bench, 0, "cubic_metres"), metres);
}

/* National Hardwood Lumber Association rules and NIST Handbook 44: a board foot is
 * 1 x 12 x 12 in, 0.002359737216 m3; T W L / 12 counts, under 1 in thick as 1 in. A
 * 2 x 4 x 8 ft piece is 5-1/3 board feet. */
static void board_measure_is_that_of_the_trade(void **state) {
  struct bench *bench = *state;
  length_t inch = LENGTH_PER_INCH;
  fixture_make_inch(bench->arena, &bench->fixture);
  check_measure(bench, 12 * inch, 12 * inch, inch, "1.000", "0.002360");
  check_measure(bench, 96 * inch, 4 * inch, 2 * inch, "5.333", "0.012585");
  check_measure(bench, 12 * inch, 12 * inch, inch / 2, "1.000", "0.001180");
  /* 1 m3 is 423.776 board feet */
  check_measure(bench, MM(1000), MM(1000), MM(1000), "423.776", "1.000000");
  bench->fixture.project->stocks[0].tally_thickness = 2 * inch;
  check_measure(bench, 12 * inch, 12 * inch, 7 * inch / 4, "2.000", "0.004130");
  bench->fixture.project->stocks[0].kind = STOCK_SHEET;
  check_measure(bench, 12 * inch, 12 * inch, inch, "", "0.002360");
}

/* ---- offcuts.csv ---- */

static void offcut_values_are_shares_of_the_area(void **state) {
  (void)state;
  assert_int_equal(value_share(7800, 1, 3), 2600);
  assert_int_equal(value_share(7801, 1, 3), 2600);
  assert_int_equal(value_share(7800, 5, 5), 7800);
  assert_int_equal(value_share(7800, 0, 5), 0);
  int64_t whole = LENGTH_MAX * LENGTH_MAX;
  assert_int_equal(value_share(1000000000000, whole / 4, whole), 250000000000);
}

static void offcuts_are_named_anew(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct stock *taken = &bench->fixture.project->stocks[1];
  write_table(bench, write_offcuts_csv);
  assert_int_equal(bench->sheet.rows, 2);
  assert_string_equal(cell(bench, 0, "stock"), "W1-1a");
  taken->name = "w1-1A";
  write_table(bench, write_offcuts_csv);
  assert_string_equal(cell(bench, 0, "stock"), "W1-1b");
}

/* Hold-downs go with the wood, a side clamp stays opposite its stop. */
static void turning_over_says_what_changes_ends(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  fixture_hold(&bench->fixture);
  struct project *project = bench->fixture.project;
  struct load *load = NULL;
  for (size_t b = 0; b < bench->fixture.blanks.count && load == NULL; b++)
    load = bench->fixture.blanks.items[b].load;
  assert_non_null(load);
  struct clamp clamps[] = {{.name = "side push", .kind = CLAMP_SIDE}};
  struct fixing fixing = {.side = SIDE_TOP};
  project->shop.stops = 0;
  assert_string_equal(fixing_stops_text(bench->arena, project, load, &fixing), "left and front");
  fixing.second = true;
  assert_string_equal(fixing_stops_text(bench->arena, project, load, &fixing),
                      "left and front; turned over end for end: the same long edge at its stop, so "
                      "distances along the length count from the other end, and clamps at the ends "
                      "change ends");
  load->across = true;
  assert_string_equal(fixing_stops_text(bench->arena, project, load, &fixing),
                      "left and front; turned over end for end: the same long edge at its stop, so "
                      "distances along the depth count from the other end");
  load->across = false;
  load->clamps->side = BED_RIGHT;
  project->clamps = clamps;
  project->clamp_count = 1;
  assert_null(strstr(fixing_stops_text(bench->arena, project, load, &fixing), "change ends"));
  project->shop.stops = 1; /* on the right */
  assert_non_null(strstr(fixing_stops_text(bench->arena, project, load, &fixing), "change ends"));
}

/* 78.00 x 222 x 100 / (1830 x 215) = 4.40 (4.4011) by hand. */
static void offcuts_say_what_goes_back(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct flaw *flaw = &bench->fixture.project->stocks[0].flaws[0];
  *flaw = (struct flaw){1, MM(1800), MM(90), MM(50), MM(20), "split", false};
  write_table(bench, write_offcuts_csv);
  assert_string_equal(cell(bench, 0, "value"), "4.40");
  assert_string_equal(cell(bench, 0, "length"), "222");
  assert_string_equal(cell(bench, 0, "trim_ends"), "0");
  /* the offcut is [1588, 1810] x [3, 103]: 10 x 13 of the split lie in it */
  assert_non_null(strstr(cell(bench, 0, "note"), "split at 212, 87: 10 x 13 mm"));
}

/* The offcuts of the last table read as the rack of a project of its own. */
static const struct stock *read_back(struct bench *bench, struct scene *scene, const char *shop) {
  scene_open(scene);
  scene_file(scene, "shop.csv", shop);
  scene_bytes(scene, "rack.csv", bench->buffer->text, bench->buffer->length);
  scene_read(scene);
  scene_expect_fine(scene);
  assert_int_equal(scene->project->stock_count, bench->sheet.rows - 1);
  return &scene->project->stocks[0];
}

static void offcuts_are_read_back_in_mm(void **state) {
  struct bench *bench = *state;
  struct scene scene;
  fixture_make_mm(bench->arena, &bench->fixture);
  bench->fixture.project->stocks[0].surface = SURFACE_PLANED;
  write_table(bench, write_offcuts_csv);
  const struct stock *stock = read_back(bench, &scene, "setting,value\nunits,mm\n");
  assert_string_equal(stock->name, "W1-1a");
  assert_string_equal(stock->wood, "walnut");
  assert_int_equal(stock->length, MM(222));
  assert_int_equal(stock->width, MM(100));
  assert_int_equal(stock->thickness, MM(21));
  assert_int_equal(stock->value, 440);
  assert_int_equal(stock->count, 1);
  assert_int_equal(stock->trim_ends, 0);
  assert_int_equal(stock->trim_edges, 0);
  assert_int_equal(stock->surface, SURFACE_PLANED);
  assert_string_equal(stock->note, "offcut of W1-1");
  scene_close(&scene);
}

static void offcuts_are_read_back_in_inches(void **state) {
  struct bench *bench = *state;
  struct scene scene;
  fixture_make_inch(bench->arena, &bench->fixture);
  struct stock *cut = &bench->fixture.project->stocks[0];
  cut->kind = STOCK_SHEET;
  cut->face_grain = FACE_GRAIN_WIDTH;
  cut->thickness += 1; /* 1/8000 mm that cannot be printed and must not be added */
  write_table(bench, write_offcuts_csv);
  assert_int_equal(bench->sheet.comments, 2);
  const struct stock *stock = read_back(bench, &scene, "setting,value\nunits,inch\n");
  assert_int_equal(stock->kind, STOCK_SHEET);
  assert_int_equal(stock->face_grain, FACE_GRAIN_WIDTH);
  assert_int_equal(stock->length, LENGTH_PER_INCH * 85 / 8);
  assert_int_equal(stock->width, LENGTH_PER_INCH * 11 / 2);
  assert_int_equal(stock->thickness, LENGTH_PER_INCH / 2);
  scene_close(&scene);
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown(test, open_bench, close_bench)

int main(void) {
  const struct CMUnitTest tests[] = {
      BENCH_TEST(formulas_are_kept_from_spreadsheets),
      BENCH_TEST(a_row_is_never_taken_for_a_comment),
      BENCH_TEST(rounding_is_said_only_where_it_was_done),
      BENCH_TEST(cuts_come_in_order_with_their_pieces),
      BENCH_TEST(sections_are_named_before_they_are_cut),
      BENCH_TEST(cautions_stand_with_their_cuts),
      BENCH_TEST(purchases_are_whole_packs),
      BENCH_TEST(board_measure_is_that_of_the_trade),
      BENCH_TEST(offcut_values_are_shares_of_the_area),
      BENCH_TEST(turning_over_says_what_changes_ends),
      BENCH_TEST(offcuts_are_named_anew),
      BENCH_TEST(offcuts_say_what_goes_back),
      BENCH_TEST(offcuts_are_read_back_in_mm),
      BENCH_TEST(offcuts_are_read_back_in_inches),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
