#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "unit/test_write_fixture.h"
#include "write/view.h"
#include "write/writers.h"

struct bench {
  struct arena *arena;
  struct fixture fixture;
  const struct view *view;
  struct buffer *buffer;
  xmlDocPtr document;
  xmlXPathContextPtr context;
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

static void forget(struct bench *bench) {
  if (bench->context != NULL) xmlXPathFreeContext(bench->context);
  if (bench->document != NULL) xmlFreeDoc(bench->document);
  bench->context = NULL;
  bench->document = NULL;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  forget(bench);
  arena_destroy(bench->arena);
  xmlCleanupParser();
  return 0;
}

static void draw(struct bench *bench, size_t entry) {
  const struct fixture *fixture = &bench->fixture;
  forget(bench);
  bench->view = view_create(bench->arena, fixture->project, &fixture->blanks, &fixture->plan);
  buffer_clear(bench->buffer);
  write_layout_svg(bench->buffer, bench->view, &bench->view->stocks[entry], AT_TRUE_SCALE);
  bench->document = xmlReadMemory(bench->buffer->text, (int)bench->buffer->length, "layout.svg",
                                  NULL, XML_PARSE_NONET | XML_PARSE_NOERROR);
  if (bench->document == NULL) fail_msg("the drawing is not well formed");
  bench->context = xmlXPathNewContext(bench->document);
  xmlXPathRegisterNs(bench->context, (const xmlChar *)"s",
                     (const xmlChar *)"http://www.w3.org/2000/svg");
}

static double evaluate(const struct bench *bench, const char *expression) {
  xmlXPathObjectPtr result = xmlXPathEvalExpression((const xmlChar *)expression, bench->context);
  if (result == NULL) fail_msg("'%s' cannot be evaluated", expression);
  double value = xmlXPathCastToNumber(result);
  xmlXPathFreeObject(result);
  return value;
}

static char *evaluate_text(const struct bench *bench, const char *expression) {
  xmlXPathObjectPtr result = xmlXPathEvalExpression((const xmlChar *)expression, bench->context);
  if (result == NULL) fail_msg("'%s' cannot be evaluated", expression);
  xmlChar *text = xmlXPathCastToString(result);
  char *copy = arena_copy_text(bench->arena, (const char *)text);
  xmlFree(text);
  xmlXPathFreeObject(result);
  return copy;
}

static void check_near(double value, double expected) {
  if (!(fabs(value - expected) <= 0.0011)) fail_msg("%.6g is not %.6g", value, expected);
}

static double count(const struct bench *bench, const char *path) {
  return evaluate(bench, arena_format(bench->arena, "count(%s)", path));
}

static double mm(length_t value) { return (double)value / (double)LENGTH_PER_MM; }

static double attribute(const struct bench *bench, const char *id, const char *name) {
  return evaluate(bench, arena_format(bench->arena, "//*[@id='%s']/@%s", id, name));
}

/* ---- scale and places ---- */

static void the_paper_is_measured_in_mm(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 0);
  const char *width = evaluate_text(bench, "/s:svg/@width");
  const char *height = evaluate_text(bench, "/s:svg/@height");
  const char *box = evaluate_text(bench, "/s:svg/@viewBox");
  assert_string_equal(width + strlen(width) - 2, "mm");
  assert_string_equal(height + strlen(height) - 2, "mm");
  /* one unit of the drawing is one millimetre of paper */
  assert_string_equal(box, arena_format(bench->arena, "0 0 %.*s %.*s", (int)strlen(width) - 2,
                                        width, (int)strlen(height) - 2, height));
  check_near(attribute(bench, "stock", "width"), 1830);
  check_near(attribute(bench, "stock", "height"), 215);
}

/* Places are counted from the stock's lower left corner, on paper from its upper edge. */
static void check_place(const struct bench *bench, const char *id, const struct view_place *place) {
  double left = attribute(bench, "stock", "x");
  double low = attribute(bench, "stock", "y") + attribute(bench, "stock", "height");
  check_near(attribute(bench, id, "width"), mm(place->length));
  check_near(attribute(bench, id, "height"), mm(place->width));
  check_near(attribute(bench, id, "x") - left, mm(place->x));
  check_near(low - attribute(bench, id, "y") - attribute(bench, id, "height"), mm(place->y));
}

static void everything_lies_where_the_plan_says(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 0);
  const struct view_stock *entry = &bench->view->stocks[0];
  for (size_t i = 0; i < entry->piece_count; i++) {
    const struct view_piece *piece = &entry->pieces[i];
    const char *path =
        arena_format(bench->arena, "string(//s:rect[s:title='%s']/@id)", piece->name);
    check_place(bench, evaluate_text(bench, path), &piece->place);
    if (piece->role != ROLE_OFFCUT)
      check_place(bench, arena_format(bench->arena, "finished-%zu", i + 1), &piece->finished);
  }
  for (size_t i = 0; i < entry->cut_count; i++) {
    const struct cut *cut = entry->cuts[i].cut;
    struct view_place strip = {cut->x, cut->y, cut->rip ? cut->span : cut->kerf,
                               cut->rip ? cut->kerf : cut->span};
    check_place(bench, arena_format(bench->arena, "cut-%lld", (long long)cut->step), &strip);
  }
  struct view_place knot = {MM(640), MM(60), MM(40), MM(35)};
  check_place(bench, "flaw-1", &knot);
  for (size_t i = 0; i < entry->waste_count; i++)
    check_place(bench, arena_format(bench->arena, "waste-%zu", i + 1), &entry->waste[i]);
  assert_true(count(bench, "//s:g[@id='trim']/s:rect") == 1);
}

static void inches_are_drawn_at_true_scale_too(void **state) {
  struct bench *bench = *state;
  fixture_make_inch(bench->arena, &bench->fixture);
  draw(bench, 0);
  check_near(attribute(bench, "stock", "width"), 48 * 25.4);
  check_near(evaluate(bench, "//s:rect[s:title='side 2']/@width"), 12 * 25.4);
  /* the scale bar: four fields that make up a foot */
  check_near(evaluate(bench, "sum(//s:g[@id='scale']/s:rect/@width)"), 12 * 25.4);
  assert_non_null(strstr(evaluate_text(bench, "//s:rect[s:title='side 2']/s:desc"),
                         "12 in long, 2-1/2 in wide"));
}

/* ---- names ---- */

static void layers_are_named(void **state) {
  struct bench *bench = *state;
  static const char *const layers[] = {"title",    "outline",     "waste", "pieces", "offcuts",
                                       "finished", "flaws",       "trim",  "cuts",   "dimensions",
                                       "labels",   "cut-numbers", "grain", "scale",  "key"};
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 0);
  for (size_t i = 0; i < sizeof layers / sizeof *layers; i++) {
    const char *path = arena_format(bench->arena, "//s:g[@id='%s']/s:title", layers[i]);
    if (count(bench, path) != 1) fail_msg("no layer '%s' with a title", layers[i]);
  }
}

static void check_ids(const struct bench *bench) {
  double ids = count(bench, "//@id");
  double repeated = count(bench, "//*[@id = preceding::*/@id or @id = ancestor::*/@id]");
  assert_true(ids > 10);
  assert_true(repeated == 0);
}

static void every_piece_has_id_title_and_size(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 1);
  check_ids(bench);
  assert_true(count(bench, "//s:g[@id='pieces']/s:rect") == 24);
  assert_true(count(bench, "//s:g[@id='pieces']/s:rect[@id and s:title and s:desc]") == 24);
  assert_true(count(bench,
                    "//s:g[@id='pieces']/s:rect[contains(s:desc, '292 mm long, 100 mm "
                    "wide')]") == 8);
  assert_true(count(bench, "//s:g[@id='cuts']/s:rect[s:title]") ==
              (double)bench->view->stocks[1].cut_count);
}

static void hostile_names_stay_text(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  bench->fixture.project->name = "<script>alert(1)</script>\x01\xFF]]>";
  bench->fixture.project->parts[0].name = "\"/><image href='x'";
  bench->fixture.project->stocks[0].name = "../<&>";
  bench->fixture.project->stocks[0].flaws[0].what = "a \xEF\xBF\xBF b";
  draw(bench, 0);
  assert_true(count(bench, "//*[local-name()='script' or local-name()='image']") == 0);
  assert_non_null(strstr(evaluate_text(bench, "string(//s:g[@id='pieces'])"), "<image href='x'"));
  check_ids(bench);
}

static void drawings_have_safe_and_different_names(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  bench->fixture.project->stocks[0].name = "a/b";
  bench->fixture.project->stocks[1].name = "A:B";
  draw(bench, 0);
  assert_string_equal(bench->view->stocks[0].drawing, "layout-a_b-1.svg");
  assert_string_equal(bench->view->stocks[1].drawing, "layout-A_B_2-1.svg");
  assert_string_equal(bench->view->stocks[2].drawing, "layout-A_B_2-2.svg");
}

/* ---- type ---- */

/* With every digit dropped, since steps and piece numbers go on through the plan. */
static char *without_digits(const struct bench *bench) {
  char *text = arena_copy_text(bench->arena, bench->buffer->text);
  char *to = strstr(text, "<g id=\"cuts\"");
  assert_non_null(to);
  *to = '\0';
  to = text;
  for (const char *c = text; *c != '\0'; c++)
    if (*c < '0' || *c > '9') *to++ = *c;
  *to = '\0';
  return text;
}

static void copies_look_the_same(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 1);
  const char *first = without_digits(bench);
  double labels = count(bench, "//s:g[@id='labels']/s:text");
  const char *x = evaluate_text(bench, "string(//s:g[@id='labels']/s:text[20]/@x)");
  draw(bench, 2);
  assert_string_equal(without_digits(bench), first);
  assert_true(count(bench, "//s:g[@id='labels']/s:text") == labels);
  assert_string_equal(evaluate_text(bench, "string(//s:g[@id='labels']/s:text[20]/@x)"), x);
  assert_string_equal(evaluate_text(bench, "string(/s:svg/s:title)"), "Y2-2");
  assert_true(count(bench, "//s:g[@id='title']//s:text[. = 'Y2-2']") == 1);
}

/* Pieces too small for their names carry numbers, and the key says what they are. */
static void small_pieces_stand_in_the_key(void **state) {
  struct bench *bench = *state;
  fixture_make_tiny(bench->arena, &bench->fixture, 100);
  draw(bench, 0);
  for (int i = 1; i <= 100; i++) {
    const char *path = arena_format(
        bench->arena,
        "//s:g[@id='key']/s:text[starts-with(., 'P%d:') and contains(., 'a peg %d,')]", i, i);
    if (count(bench, path) != 1) fail_msg("peg %d is not in the key", i);
    path = arena_format(bench->arena, "//s:g[@id='labels']/s:text[. = 'P%d']", i);
    if (count(bench, path) != 1) fail_msg("peg %d has no number", i);
  }
  /* each at a place of its own */
  assert_true(count(bench, "//s:g[@id='labels']/s:text[@x = preceding-sibling::s:text/@x]") == 0);
}

/* A finished part too low for type has its name above it or below it, still within the piece; a
 * part as high as the piece but for its rim has the name inside. */
static void labels_keep_clear_of_outlines(void **state) {
  struct bench *bench = *state;
  static const int64_t widths[] = {14, 20, 72, 80};
  fixture_make_mm(bench->arena, &bench->fixture);
  for (size_t w = 0; w < sizeof widths / sizeof *widths; w++) {
    bench->fixture.project->parts[0].width = MM(widths[w]);
    draw(bench, 0);
    double top = attribute(bench, "finished-1", "y");
    double low = top + attribute(bench, "finished-1", "height");
    const char *name = "//s:g[@id='labels']/s:text[starts-with(., 'board 1')]";
    double size = evaluate(bench, arena_format(bench->arena, "number(%s/@font-size)", name));
    double base = evaluate(bench, arena_format(bench->arena, "number(%s/@y)", name));
    bool clear = base - 0.75 * size >= low || base + 0.2 * size <= top ||
                 (base - 0.75 * size >= top && base + 0.2 * size <= low);
    if (!clear)
      fail_msg("a part of %d: type from %g, outline %g to %g", (int)widths[w], base, top, low);
    double piece = evaluate(bench, "number(//s:g[@id='pieces']/s:rect[1]/@y)");
    assert_true(base - 0.75 * size >= piece && base + 0.2 * size <= piece + 100);
    assert_true(count(bench, "//s:g[@id='labels']/s:rect") == 2); /* grounds: offcut, flaw */
  }
}

static void type_stays_on_the_paper(void **state) {
  struct bench *bench = *state;
  fixture_make_tiny(bench->arena, &bench->fixture, 100);
  char name[500];
  memset(name, 'x', sizeof name - 1);
  name[sizeof name - 1] = '\0';
  bench->fixture.project->name = name;
  draw(bench, 0);
  double width = evaluate(bench, "substring-before(/s:svg/@width, 'mm')");
  double height = evaluate(bench, "substring-before(/s:svg/@height, 'mm')");
  xmlXPathObjectPtr texts = xmlXPathEvalExpression((const xmlChar *)"//s:text", bench->context);
  assert_non_null(texts);
  for (int i = 0; i < texts->nodesetval->nodeNr; i++) {
    bench->context->node = texts->nodesetval->nodeTab[i];
    double x = evaluate(bench, "number(@x)");
    double size = evaluate(bench, "number(@font-size)");
    double characters = evaluate(bench, "string-length(.)");
    double share = evaluate(bench, "(@text-anchor = 'middle') div 2");
    assert_true(evaluate(bench, "number(@y)") < height);
    /* half the size is the mean width of a letter; the broad side is the drawing's to keep */
    if (evaluate(bench, "count(@transform)") == 0)
      assert_true(x + size * characters * 0.5 * (1 - share) <= width);
  }
  xmlXPathFreeObject(texts);
}

static void rounds_are_drawn_round(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  struct part *part = &bench->fixture.project->parts[0];
  part->shape = SHAPE_ROUND;
  part->length = MM(72);
  draw(bench, 0);
  assert_true(count(bench, "//s:g[@id='finished']/s:ellipse") == 11);
  check_near(attribute(bench, "finished-1", "rx"), 36);
  assert_true(count(bench, "//s:desc[contains(., 'finished part 72 mm across')]") == 11);
}

/* On a page a drawing is made to fit: nothing on it is to be measured. */
static void a_drawing_made_to_fit_has_no_scale(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 0);
  assert_true(count(bench, "//s:g[@id='scale']") == 1);
  assert_non_null(strstr(bench->buffer->text, "true scale"));
  buffer_clear(bench->buffer);
  write_layout_svg(bench->buffer, bench->view, &bench->view->stocks[0], TO_FIT);
  assert_null(strstr(bench->buffer->text, "id=\"scale\""));
  assert_null(strstr(bench->buffer->text, "true scale"));
  assert_null(strstr(bench->buffer->text, "on paper"));
}

/* Loads of a lid and a board, the lid laid first: told by both, in the board's colour. */
static void the_key_tells_all_that_a_load_makes(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  fixture_hold(&bench->fixture);
  struct blank *blank = &bench->fixture.blanks.items[0];
  struct load *load = blank->load;
  struct held_part parts[2] = {load->parts[0], load->parts[0]};
  parts[0].part = 1;
  size_t kinds[2] = {1, 0};
  load->parts = parts;
  load->kinds = kinds;
  load->part_count = load->kind_count = 2;
  blank->role = ROLE_LOAD;
  draw(bench, 0);
  assert_true(
      count(bench, "//s:g[@id='key']/s:text[starts-with(., 'load of board, lid, sawn 292')]") == 1);
  assert_true(count(bench, "//s:g[@id='key']/s:text[contains(., 'load')]") == 1);
  for (size_t i = 0; i < bench->view->stocks[0].piece_count; i++)
    if (bench->view->stocks[0].pieces[i].role == ROLE_LOAD)
      assert_int_equal(bench->view->stocks[0].pieces[i].part, 0);
}

static void colour_is_never_alone(void **state) {
  struct bench *bench = *state;
  fixture_make_mm(bench->arena, &bench->fixture);
  draw(bench, 0);
  /* waste, offcuts and flaws are hatched, what is finished is dashed */
  assert_true(count(bench,
                    "//s:g[@id='waste' or @id='offcuts' or @id='flaws']/s:rect[not("
                    "starts-with(@fill, 'url(#hatch-'))]") == 0);
  assert_true(count(bench, "//s:defs/s:pattern") == 3);
  assert_true(count(bench, "//s:g[@id='finished']/s:rect[not(@stroke-dasharray)]") == 0);
}

#define BENCH_TEST(test) cmocka_unit_test_setup_teardown(test, open_bench, close_bench)

int main(void) {
  const struct CMUnitTest tests[] = {
      BENCH_TEST(the_paper_is_measured_in_mm),
      BENCH_TEST(everything_lies_where_the_plan_says),
      BENCH_TEST(inches_are_drawn_at_true_scale_too),
      BENCH_TEST(layers_are_named),
      BENCH_TEST(every_piece_has_id_title_and_size),
      BENCH_TEST(hostile_names_stay_text),
      BENCH_TEST(drawings_have_safe_and_different_names),
      BENCH_TEST(copies_look_the_same),
      BENCH_TEST(small_pieces_stand_in_the_key),
      BENCH_TEST(labels_keep_clear_of_outlines),
      BENCH_TEST(type_stays_on_the_paper),
      BENCH_TEST(rounds_are_drawn_round),
      BENCH_TEST(a_drawing_made_to_fit_has_no_scale),
      BENCH_TEST(the_key_tells_all_that_a_load_makes),
      BENCH_TEST(colour_is_never_alone),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
