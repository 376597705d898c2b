#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "unit/test_write_fixture.h"
#include "write/marking.h"
#include "write/view.h"
#include "write/writers.h"

/* Pages are looked at in tenths of a millimetre. */
enum { PIXELS_PER_MM = 10 };

struct bench {
  struct arena *arena;
  struct fixture fixture;
  struct buffer *buffer;
  char path[32];
};

static int open_bench(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct bench *bench = ARENA_NEW(arena, struct bench);
  bench->arena = arena;
  bench->buffer = buffer_create(arena);
  fixture_make_mm(arena, &bench->fixture);
  snprintf(bench->path, sizeof bench->path, "/tmp/pages-XXXXXX");
  int file = mkstemp(bench->path);
  if (file < 0) return -1;
  close(file);
  *state = bench;
  return 0;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  unlink(bench->path);
  arena_destroy(bench->arena);
  return 0;
}

static void make(struct bench *bench, void (*write)(struct buffer *, const struct view *)) {
  const struct fixture *fixture = &bench->fixture;
  buffer_clear(bench->buffer);
  write(bench->buffer,
        view_create(bench->arena, fixture->project, &fixture->blanks, &fixture->plan));
}

/* The one load of the fixture, made as large as this. */
static void hold(struct bench *bench, length_t length, length_t width) {
  fixture_hold(&bench->fixture);
  for (size_t i = 0; i < bench->fixture.blanks.count; i++) {
    struct load *load = bench->fixture.blanks.items[i].load;
    if (load == NULL) continue;
    load->length = length;
    load->width = width;
  }
}

static size_t count_of(const struct bench *bench, const char *what) {
  size_t length = strlen(what), count = 0;
  for (size_t at = 0; at + length <= bench->buffer->length; at++)
    count += memcmp(bench->buffer->text + at, what, length) == 0;
  return count;
}

static size_t pages(const struct bench *bench) {
  return count_of(bench, "/Type /Page") - count_of(bench, "/Type /Pages");
}

/* ---- with the reader of another ---- */

static void need(const char *program) {
  char command[64];
  snprintf(command, sizeof command, "command -v %s >/dev/null", program);
  if (system(command) == 0) return; /* NOLINT(cert-env33-c): a fixed text */
  print_message("%s (poppler-utils) is not installed: pages are not looked at\n", program);
  skip();
}

/* Reads what a program makes of the file. */
static FILE *read_with(struct bench *bench, const char *before, const char *after) {
  FILE *file = fopen(bench->path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(bench->buffer->text, 1, bench->buffer->length, file),
                   bench->buffer->length);
  assert_int_equal(fclose(file), 0);
  FILE *pipe = popen(arena_format(bench->arena, "%s %s%s", before, bench->path, after), "r");
  assert_non_null(pipe);
  return pipe;
}

static const char *read_text(struct bench *bench) {
  FILE *pipe = read_with(bench, "pdftotext", " - 2>&1");
  struct buffer *text = buffer_create(bench->arena);
  char chunk[4096];
  for (size_t count; (count = fread(chunk, 1, sizeof chunk, pipe)) > 0;)
    buffer_add_bytes(text, chunk, count);
  assert_int_equal(pclose(pipe), 0);
  return text->text;
}

struct picture {
  int width, height;
  unsigned char *dots;
};

static struct picture first_page(struct bench *bench) {
  const char *command =
      arena_format(bench->arena, "pdftoppm -f 1 -l 1 -r %d -gray", PIXELS_PER_MM * 254 / 10);
  FILE *pipe = read_with(bench, command, "");
  struct picture picture;
  assert_int_equal(fscanf(pipe, "P5 %d %d 255", &picture.width, &picture.height), 2);
  fgetc(pipe);
  size_t count = (size_t)picture.width * (size_t)picture.height;
  picture.dots = ARENA_ARRAY(bench->arena, count, unsigned char);
  assert_int_equal(fread(picture.dots, 1, count, pipe), count);
  assert_int_equal(pclose(pipe), 0);
  return picture;
}

/* The longest dark run of a row of dots or of the ones beside it. */
static int longest_run(const struct picture *picture, int row) {
  int longest = 0;
  for (int y = row - 1; y <= row + 1; y++) {
    int run = 0;
    for (int x = 0; x < picture->width; x++) {
      run = picture->dots[y * picture->width + x] < 128 ? run + 1 : 0;
      if (run > longest) longest = run;
    }
  }
  return longest;
}

static void check_near(int found, int expected) {
  if (found < expected - 2 || found > expected + 2)
    fail_msg("%d tenths of a millimetre, not %d", found, expected);
}

/* ---- tests ---- */

static void nothing_held_gives_no_template(void **state) {
  struct bench *bench = *state;
  make(bench, write_marking_pdf);
  assert_int_equal(bench->buffer->length, 0);
  bench->fixture.plan.layout_count = 0;
  bench->fixture.plan.cut_count = 0;
  make(bench, write_labels_pdf);
  assert_int_equal(bench->buffer->length, 0);
}

/* 27 loads that are alike have one template; 292 and twice the border of 6 take two sheets. */
static void a_template_takes_as_many_sheets_as_it_needs(void **state) {
  struct bench *bench = *state;
  fixture_hold(&bench->fixture);
  make(bench, write_marking_pdf);
  assert_memory_equal(bench->buffer->text, "%PDF-", 5);
  assert_int_equal(pages(bench), 2);
  hold(bench, MM(269), MM(151)); /* 281 x 163 is just what broad paper shows */
  make(bench, write_marking_pdf);
  assert_int_equal(pages(bench), 1);
  hold(bench, MM(600), MM(500)); /* 4 columns of 194 and 3 rows of 250, 10 of them shared */
  make(bench, write_marking_pdf);
  assert_int_equal(pages(bench), 12);
}

/* Each point of a template is on some sheet, and neighbours share the overlap. */
static void sheets_cover_the_template(void **state) {
  (void)state;
  const struct pdf_paper paper = {MM(210), MM(297), MM(8), MM(10)};
  for (length_t length = MM(50); length < MM(1500); length += MM(37)) {
    struct marking_tiles tiles = marking_tiles_of(paper, length, MM(400));
    length_t reach = (tiles.columns - 1) * tiles.step_length + tiles.window_length;
    assert_true(reach >= length);
    assert_true(reach - tiles.step_length < length); /* one sheet fewer would not do */
    assert_int_equal(tiles.window_length - tiles.step_length, MM(10));
  }
}

static void the_same_plan_gives_the_same_bytes(void **state) {
  struct bench *bench = *state;
  void (*const writers[])(struct buffer *, const struct view *) = {write_marking_pdf,
                                                                   write_labels_pdf};
  fixture_hold(&bench->fixture);
  for (size_t i = 0; i < 2; i++) {
    make(bench, writers[i]);
    size_t length = bench->buffer->length;
    const char *bytes = arena_copy_bytes(bench->arena, bench->buffer->text, length);
    make(bench, writers[i]);
    assert_int_equal(bench->buffer->length, length);
    assert_memory_equal(bench->buffer->text, bytes, length);
  }
}

static void the_date_is_that_of_the_source(void **state) {
  struct bench *bench = *state;
  unsetenv("SOURCE_DATE_EPOCH");
  make(bench, write_labels_pdf);
  assert_int_equal(count_of(bench, "(D:19800101000000"), 1);
  setenv("SOURCE_DATE_EPOCH", "1000000000", 1);
  make(bench, write_labels_pdf);
  unsetenv("SOURCE_DATE_EPOCH");
  assert_int_equal(count_of(bench, "(D:20010909014640"), 1);
}

static void it_says_its_language_and_prints_at_true_scale(void **state) {
  struct bench *bench = *state;
  make(bench, write_labels_pdf);
  assert_int_equal(count_of(bench, "/Lang (en)"), 1);
  assert_int_equal(count_of(bench, "/PrintScaling /None"), 1);
  need("pdftotext");
  const char *text = read_text(bench); /* a broken update would be complained of */
  assert_null(strstr(text, "Error"));
  assert_null(strstr(text, "Warning"));
}

static void lengths_on_paper_are_true(void **state) {
  struct bench *bench = *state;
  need("pdftoppm");
  hold(bench, MM(180), MM(100));
  make(bench, write_marking_pdf);
  struct picture picture = first_page(bench);
  check_near(picture.width, 2100);
  check_near(picture.height, 2970);
  check_near(longest_run(&picture, 2660), 1000); /* the check lines: 100 mm */
  check_near(longest_run(&picture, 2750), 1016); /* and 4 in */
  check_near(longest_run(&picture, 138), 1803);  /* the load's back edge and its line of 0.3 */
}

/* ---- holes ---- */

/* Of the dots around a place the middle of the dark ones, in tenths of a millimetre; those of a
 * ring and a cross within it are symmetrical. */
static void check_mark(const struct picture *picture, int x, int y, int around) {
  long sum_x = 0, sum_y = 0, count = 0;
  for (int row = y - around; row <= y + around; row++)
    for (int column = x - around; column <= x + around; column++) {
      if (picture->dots[row * picture->width + column] >= 128) continue;
      sum_x += column;
      sum_y += row;
      count++;
    }
  if (count < 100) fail_msg("nothing is marked at %d, %d", x, y);
  check_near((int)((sum_x + count / 2) / count), x);
  check_near((int)((sum_y + count / 2) / count), y);
  assert_true(picture->dots[y * picture->width + x] < 128); /* the cross goes through the middle */
}

/* Two holes of 5 mm in the first part of the fixture, the board of 240 x 72. */
static void drill(struct bench *bench, enum work_place place) {
  static const struct hole holes[] = {{MM(20), MM(10)}, {MM(150), MM(60)}};
  struct project *project = bench->fixture.project;
  project->cutters = ARENA_NEW(bench->arena, struct cutter);
  project->cutters[0] = (struct cutter){.name = "drill", .diameter = MM(5)};
  project->cutter_count = 1;
  project->steps = ARENA_NEW(bench->arena, struct step);
  project->steps[0] = (struct step){
      .kind = STEP_DRILL, .place = place, .count = 2, .holes = holes, .hole_count = 2};
  project->step_count = 1;
}

/* A load of 180 x 180 in upright paper with a margin of 8 and a border of 6: its corner lies at
 * (140, 1940) in tenths of a millimetre. */
static void holes_are_marked_where_they_are(void **state) {
  struct bench *bench = *state;
  need("pdftoppm");
  hold(bench, MM(180), MM(180));
  drill(bench, PLACE_BED);
  struct held_part *part = bench->fixture.blanks.items[0].load->parts;
  *part = (struct held_part){.x = MM(2), .y = MM(30), .length = MM(240), .width = MM(72)};
  make(bench, write_marking_pdf);
  struct picture picture = first_page(bench);
  check_mark(&picture, 140 + 20 + 200, 1940 - 300 - 100, 28);
  check_mark(&picture, 140 + 20 + 1500, 1940 - 300 - 600, 28);
  /* a quarter turn to the left: (x, y) of the part is (72 - y, x) */
  *part = (struct held_part){
      .x = MM(60), .y = MM(3), .length = MM(72), .width = MM(240), .turned = true};
  make(bench, write_marking_pdf);
  picture = first_page(bench);
  check_mark(&picture, 140 + 600 + 620, 1940 - 30 - 200, 28);
  check_mark(&picture, 140 + 600 + 120, 1940 - 30 - 1500, 28);
}

/* A load of 300 x 100 takes two sheets. The marks of the joint lie 197 from the paper's left edge,
 * 36 and 92 from its upper one; the part's outline at 34 moves the first by two steps of 2. */
static void marks_of_joints_keep_clear_of_outlines(void **state) {
  struct bench *bench = *state;
  need("pdftoppm");
  hold(bench, MM(300), MM(100));
  struct held_part *part = bench->fixture.blanks.items[0].load->parts;
  *part = (struct held_part){.x = MM(10), .y = MM(15), .length = MM(280), .width = MM(65)};
  make(bench, write_marking_pdf);
  struct picture picture = first_page(bench);
  check_mark(&picture, 1970, 400, 25);
  check_mark(&picture, 1970, 920, 25);
}

/* Sawn parts are on no load, and those for the drill press leave it first: each has a template of
 * its own, at the upper left of its sheet. */
static void parts_drilled_by_hand_have_a_template(void **state) {
  struct bench *bench = *state;
  need("pdftoppm");
  drill(bench, PLACE_BED);
  bench->fixture.project->steps[0].part = 1; /* the sawn lid of 138 x 34 */
  static const struct hole hole = {MM(30), MM(9)};
  bench->fixture.project->steps[0].holes = &hole;
  bench->fixture.project->steps[0].hole_count = 1;
  make(bench, write_marking_pdf);
  assert_int_equal(pages(bench), 1);
  struct picture picture = first_page(bench);
  check_mark(&picture, 140 + 300, 140 + 340 - 90, 28);
  fixture_hold(&bench->fixture);
  make(bench, write_marking_pdf);
  assert_int_equal(pages(bench), 3); /* after the two sheets of the load */
  drill(bench, PLACE_BED);
  make(bench, write_marking_pdf);
  assert_int_equal(pages(bench), 2);
  drill(bench, PLACE_DRILL_PRESS);
  make(bench, write_marking_pdf);
  assert_int_equal(pages(bench), 3);
}

static void letter_paper_is_letter_paper(void **state) {
  struct bench *bench = *state;
  need("pdftoppm");
  bench->fixture.project->shop.paper = 1;
  hold(bench, MM(180), MM(100));
  make(bench, write_marking_pdf);
  struct picture picture = first_page(bench);
  check_near(picture.width, 2159);
  check_near(picture.height, 2794);
  check_near(longest_run(&picture, 2484), 1000);
}

/* Text can be searched and copied; what would turn or break a line is shown, not obeyed. */
static void text_is_text_and_harmless(void **state) {
  struct bench *bench = *state;
  need("pdftotext");
  fixture_hold(&bench->fixture);
  bench->fixture.project->name = "odd \xE2\x80\xAE name\x1B[2J\xFF end";
  make(bench, write_marking_pdf);
  const char *text = read_text(bench);
  assert_non_null(strstr(text, "sheet 1 of 2"));
  assert_non_null(strstr(text, "grain from left to right"));
  assert_non_null(strstr(text, "P1 board"));
  assert_null(strstr(text, "\xE2\x80\xAE"));
  assert_null(strchr(text, 0x1B));
}

/* A name that looks like the end of what the file says of itself does not end it. */
static void a_name_does_not_break_the_file(void **state) {
  struct bench *bench = *state;
  need("pdftotext");
  bench->fixture.project->name = "a >>\nendobj\ntrailer (/CreationDate (x";
  make(bench, write_labels_pdf);
  assert_int_equal(count_of(bench, "/Lang (en)"), 1);
  assert_int_equal(count_of(bench, "(D:19800101000000"), 1);
  const char *text = read_text(bench);
  assert_non_null(strstr(text, "a >> endobj trailer (/CreationDate (x: labels"));
  assert_null(strstr(text, "Error"));
}

static void every_piece_has_a_label(void **state) {
  struct bench *bench = *state;
  need("pdftotext");
  bench->fixture.project->stocks[1].kind = STOCK_SHEET;
  bench->fixture.project->stocks[1].face_grain = FACE_GRAIN_WIDTH;
  make(bench, write_labels_pdf);
  const char *text = read_text(bench);
  static const char *const expected[] = {"board 1\n",
                                         "board 27\n",
                                         "lid 32\n",
                                         "offcut W1-1a",
                                         "292 \xC3\x97 100 \xC3\x97 21 mm",
                                         "from W1-1, walnut",
                                         "back on the rack",
                                         "grain along the length",
                                         "grain across the length"};
  for (size_t i = 0; i < sizeof expected / sizeof *expected; i++)
    if (strstr(text, expected[i]) == NULL) fail_msg("no label says '%s'", expected[i]);
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown(test, open_bench, close_bench)

int main(void) {
  const struct CMUnitTest tests[] = {
      BENCH_TEST(nothing_held_gives_no_template),
      BENCH_TEST(a_template_takes_as_many_sheets_as_it_needs),
      cmocka_unit_test(sheets_cover_the_template),
      BENCH_TEST(the_same_plan_gives_the_same_bytes),
      BENCH_TEST(the_date_is_that_of_the_source),
      BENCH_TEST(it_says_its_language_and_prints_at_true_scale),
      BENCH_TEST(lengths_on_paper_are_true),
      BENCH_TEST(holes_are_marked_where_they_are),
      BENCH_TEST(marks_of_joints_keep_clear_of_outlines),
      BENCH_TEST(parts_drilled_by_hand_have_a_template),
      BENCH_TEST(letter_paper_is_letter_paper),
      BENCH_TEST(text_is_text_and_harmless),
      BENCH_TEST(a_name_does_not_break_the_file),
      BENCH_TEST(every_piece_has_a_label),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
