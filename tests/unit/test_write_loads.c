#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <libxml/parser.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>
#include <math.h>
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
  fixture_make_mm(arena, &bench->fixture);
  fixture_hold(&bench->fixture);
  *state = bench;
  return 0;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  if (bench->context != NULL) xmlXPathFreeContext(bench->context);
  if (bench->document != NULL) xmlFreeDoc(bench->document);
  arena_destroy(bench->arena);
  xmlCleanupParser();
  return 0;
}

static void look(struct bench *bench) {
  const struct fixture *fixture = &bench->fixture;
  bench->view = view_create(bench->arena, fixture->project, &fixture->blanks, &fixture->plan);
}

static void draw(struct bench *bench, size_t load) {
  look(bench);
  write_load_svg(bench->buffer, bench->view, load, AT_TRUE_SCALE);
  bench->document = xmlReadMemory(bench->buffer->text, (int)bench->buffer->length, "load.svg", NULL,
                                  XML_PARSE_NONET | XML_PARSE_NOERROR);
  assert_non_null(bench->document);
  bench->context = xmlXPathNewContext(bench->document);
  xmlXPathRegisterNs(bench->context, (const xmlChar *)"s",
                     (const xmlChar *)"http://www.w3.org/2000/svg");
}

static double evaluate(const struct bench *bench, const char *expression) {
  xmlXPathObjectPtr result = xmlXPathEvalExpression((const xmlChar *)expression, bench->context);
  assert_non_null(result);
  double value = xmlXPathCastToNumber(result);
  xmlXPathFreeObject(result);
  return value;
}

static void check_near(double value, double expected) {
  if (fabs(value - expected) > 1e-3) fail_msg("%g is not %g", value, expected);
}

/* ---- the view ---- */

/* W1 gives 11 blanks of 21 mm and Y2 twice 8: one kind, since they are one blank. */
static void loads_alike_have_one_drawing(void **state) {
  struct bench *bench = *state;
  look(bench);
  assert_int_equal(bench->view->load_count, 27);
  assert_string_equal(bench->view->loads[0].name, "L1");
  assert_string_equal(bench->view->loads[0].of, "board 1");
  assert_string_equal(bench->view->loads[0].drawing, "load-1.svg");
  assert_string_equal(bench->view->loads[26].drawing, "load-1.svg");
  assert_int_equal(bench->view->loads[26].like, 0);
  assert_string_equal(view_load_title(bench->arena, bench->view, 0), "L1 to L27, 27 alike");
}

/* A part at (1, 2) of a load laid across comes back with the load's own length along x. */
static void parts_of_loads_are_found_in_the_stock(void **state) {
  struct bench *bench = *state;
  look(bench);
  struct view_piece piece = {.place = {MM(100), MM(10), MM(292), MM(100)}, .load = 0};
  struct held_part held = {.x = MM(5), .y = MM(7), .length = MM(20), .width = MM(10)};
  struct view_made made = {&held, "a part"};
  struct view_place place = view_made_place(bench->view, &piece, &made);
  assert_int_equal(place.x, MM(105));
  assert_int_equal(place.y, MM(17));
  struct load *load = bench->fixture.blanks.items[0].load;
  load->across = true; /* then 292 is from front to back: it lies 100 wide */
  load->length = MM(100);
  load->width = MM(292);
  place = view_made_place(bench->view, &piece, &made);
  assert_int_equal(place.x, MM(107));
  assert_int_equal(place.y, MM(10 + 100 - 5 - 20));
  assert_int_equal(place.length, MM(10));
  load->across = false;
  load->length = MM(292);
  load->width = MM(100);
  piece.turned = true;
  piece.place = (struct view_place){0, 0, MM(100), MM(292)};
  place = view_made_place(bench->view, &piece, &made);
  assert_int_equal(place.x, MM(100 - 7 - 10));
  assert_int_equal(place.y, MM(5));
  assert_int_equal(place.width, MM(20));
}

/* ---- the drawing ---- */

static void it_is_at_true_scale(void **state) {
  struct bench *bench = *state;
  draw(bench, 0);
  check_near(evaluate(bench, "number(//s:rect[@id='load']/@width)"), 292);
  check_near(evaluate(bench, "number(//s:rect[@id='load']/@height)"), 100);
  check_near(evaluate(bench, "//s:rect[@id='part-1']/@x - //s:rect[@id='load']/@x"), 26);
  check_near(evaluate(bench, "number(//s:rect[@id='part-1']/@width)"), 240);
  check_near(evaluate(bench, "number(//s:rect[@id='path-1']/@width)"), 256);
  check_near(evaluate(bench, "sum(//s:g[@id='scale']/s:rect/@width)"), 100);
}

static void clamps_and_keep_outs_stand_where_they_are_said_to(void **state) {
  struct bench *bench = *state;
  draw(bench, 0);
  check_near(evaluate(bench, "//s:rect[@id='load']/@x - //s:rect[@id='clamp-1']/@x"), 25);
  check_near(evaluate(bench, "number(//s:rect[@id='clamp-1']/@width)"), 40);
  /* paper counts downwards: its lower edge is 10 over the load's */
  check_near(evaluate(bench,
                      "//s:rect[@id='load']/@y + //s:rect[@id='load']/@height - "
                      "//s:rect[@id='clamp-1']/@y - //s:rect[@id='clamp-1']/@height"),
             10);
  check_near(evaluate(bench, "number(//s:rect[@id='keep-out-1']/@width)"), 46);
  check_near(evaluate(bench, "count(//s:g[@id='tabs']/s:rect)"), 1);
  check_near(evaluate(bench, "count(//s:g[@id='stops']/s:rect)"), 2);
  check_near(evaluate(bench, "count(//s:text[. = '10'])"), 1);
}

/* ---- holes ---- */

/* The fixture's cutters are none: one, and a step that drills (20, 10) and (200, 60) into the board
 * of 240 x 72, which lies at (26, 14). */
static void drill(struct bench *bench, enum side side) {
  static const struct hole holes[] = {{MM(20), MM(10)}, {MM(200), MM(60)}};
  struct project *project = bench->fixture.project;
  project->cutters = ARENA_NEW(bench->arena, struct cutter);
  project->cutters[0] = (struct cutter){.name = "drill", .diameter = MM(5)};
  project->cutter_count = 1;
  project->steps = ARENA_NEW(bench->arena, struct step);
  project->steps[0] =
      (struct step){.kind = STEP_DRILL, .side = side, .count = 2, .holes = holes, .hole_count = 2};
  project->step_count = 1;
}

/* From the load's lower left corner; paper counts downwards. */
static void check_circle(const struct bench *bench, int number, double x, double y) {
  const char *circle = arena_format(bench->arena, "//s:g[@id='holes-1']/s:circle[%d]", number);
  check_near(
      evaluate(bench, arena_format(bench->arena, "%s/@cx - //s:rect[@id='load']/@x", circle)), x);
  check_near(
      evaluate(bench, arena_format(bench->arena,
                                   "//s:rect[@id='load']/@y + //s:rect[@id='load']/@height - "
                                   "%s/@cy",
                                   circle)),
      y);
  check_near(evaluate(bench, arena_format(bench->arena, "number(%s/@r)", circle)), 2.5);
}

static void holes_are_where_they_were_told(void **state) {
  struct bench *bench = *state;
  drill(bench, SIDE_TOP);
  draw(bench, 0);
  check_circle(bench, 1, 26 + 20, 14 + 10);
  check_circle(bench, 2, 26 + 200, 14 + 60);
  check_near(evaluate(bench, "count(//s:g[@id='holes']//s:line)"), 4);
  check_near(evaluate(bench, "count(//s:g[@id='holes']//s:circle[@stroke-dasharray])"), 0);
}

/* A quarter turn to the left: (x, y) of the part is (72 - y, x) of what it fills, at (14, 26). */
static void holes_turn_with_their_part(void **state) {
  struct bench *bench = *state;
  drill(bench, SIDE_UNDER);
  struct load *load = bench->fixture.blanks.items[0].load;
  load->length = MM(100);
  load->width = MM(292);
  load->parts[0] = (struct held_part){
      .x = MM(14), .y = MM(26), .length = MM(72), .width = MM(240), .turned = true};
  load->across = true;
  draw(bench, 0);
  check_circle(bench, 1, 14 + 62, 26 + 20);
  check_circle(bench, 2, 14 + 12, 26 + 200);
  check_near(evaluate(bench, "count(//s:g[@id='holes']//s:circle[@stroke-dasharray])"), 2);
}

/* Type goes where no hole is: one through the middle moves the name off it. */
static void names_keep_clear_of_holes(void **state) {
  struct bench *bench = *state;
  static const struct hole middle = {MM(120), MM(36)};
  drill(bench, SIDE_TOP);
  bench->fixture.project->steps[0].holes = &middle;
  bench->fixture.project->steps[0].hole_count = 1;
  draw(bench, 0);
  const char *size = "//s:g[@id='numbers']/s:text[. = '240 \xC3\x97 72']";
  const char *hole = "//s:g[@id='holes-1']/s:circle/@cy";
  double below = evaluate(bench, arena_format(bench->arena, "%s/@y - %s", size, hole));
  double type = evaluate(bench, arena_format(bench->arena, "number(%s/@font-size)", size));
  assert_true(below < -2.5 || below - 2 * type > 2.5); /* both rows above it, or both below */
}

static void every_layer_is_named(void **state) {
  struct bench *bench = *state;
  static const char *const layers[] = {
      "title",  "outline", "parts",   "cutter-paths", "tabs",  "holes", "keep-outs",  "stops",
      "clamps", "origin",  "numbers", "distances",    "scale", "marks", "dimensions", "grain"};
  draw(bench, 0);
  for (size_t i = 0; i < sizeof layers / sizeof *layers; i++) {
    const char *expression = arena_format(
        bench->arena, "count(//s:g[@id='%s']/s:title | //s:g[@id='%s'][@*])", layers[i], layers[i]);
    if (evaluate(bench, expression) < 1) fail_msg("no layer '%s'", layers[i]);
  }
}

/* ---- the table ---- */

static void setups_have_a_line_for_each_fixing(void **state) {
  struct bench *bench = *state;
  look(bench);
  write_setups_csv(bench->buffer, bench->view);
  const char *text = bench->buffer->text;
  assert_non_null(strstr(text,
                         "\"L1 to L27, 27 alike\",27,1,load-1.svg,292,100,21,left to right,top,"
                         "flat,left and front,front-left,\"board at x 26 mm, y 14 mm\",3,"));
  assert_non_null(strstr(text, "on the left side, 10 mm from the front edge, 15 mm on the wood"));
}

/* ---- what is done in a fixing ---- */

/* Under: pockets with one cutter, told once where they are alike; then the top: profile. */
static void fix_twice(struct bench *bench, struct step *steps, const struct step **lists) {
  struct project *project = bench->fixture.project;
  static struct cutter cutter;
  cutter = (struct cutter){.name = "flat 6", .diameter = MM(6), .stickout = MM(36), .slot = 2};
  project->cutters = &cutter;
  project->cutter_count = 1;
  steps[0] = steps[1] = (struct step){.kind = STEP_POCKET, .depth = MM(10), .side = SIDE_UNDER};
  steps[2] = (struct step){.kind = STEP_DRILL, .side = SIDE_UNDER};
  steps[3] = (struct step){.kind = STEP_PROFILE};
  for (size_t i = 0; i < 4; i++) lists[i] = &steps[i];
  struct load *load = bench->fixture.blanks.items[0].load;
  load->fixings = ARENA_ARRAY(bench->arena, 2, struct fixing);
  load->fixing_count = 2;
  for (size_t f = 0; f < 2; f++) {
    struct fixing *fixing = &load->fixings[f];
    fixing->steps = ARENA_NEW(bench->arena, struct step_list);
    *fixing->steps = (struct step_list){f == 0 ? lists : lists + 3, f == 0 ? 3 : 1};
    fixing->order = tool_order_of(bench->arena, fixing->steps, 1);
    fixing->side = f == 0 ? SIDE_UNDER : SIDE_TOP;
  }
}

static void each_cutter_is_told_with_its_work(void **state) {
  struct bench *bench = *state;
  struct step steps[4];
  const struct step *lists[4];
  fix_twice(bench, steps, lists);
  look(bench);
  write_setups_csv(bench->buffer, bench->view);
  const char *text = bench->buffer->text;
  assert_non_null(
      strstr(text, "\"flat 6, pocket 10 mm deep, drill through, stick-out 36 mm, slot 2\""));
  assert_non_null(strstr(text, "\"flat 6, profile through, stick-out 36 mm, slot 2\""));
}

static void a_drawing_says_which_fixing_it_shows(void **state) {
  struct bench *bench = *state;
  draw(bench, 0);
  assert_null(strstr(bench->buffer->text, "as in fixing"));
  buffer_clear(bench->buffer);
  struct step steps[4];
  const struct step *lists[4];
  fix_twice(bench, steps, lists);
  write_load_svg(bench->buffer, bench->view, 0, AT_TRUE_SCALE);
  assert_non_null(strstr(bench->buffer->text, ">L1 to L27, 27 alike: as in fixing 2, top up<"));
}

static void a_drawing_made_to_fit_has_no_scale(void **state) {
  struct bench *bench = *state;
  draw(bench, 0);
  assert_non_null(strstr(bench->buffer->text, "true scale"));
  buffer_clear(bench->buffer);
  write_load_svg(bench->buffer, bench->view, 0, TO_FIT);
  assert_null(strstr(bench->buffer->text, "true scale"));
  assert_null(strstr(bench->buffer->text, "on paper"));
}

static void rounds_are_told_across(void **state) {
  struct bench *bench = *state;
  struct part *part = &bench->fixture.project->parts[0];
  part->shape = SHAPE_ROUND;
  part->length = part->width;
  draw(bench, 0);
  check_near(evaluate(bench, "count(//s:g[@id='marks']/s:text[contains(., ': 72 across;')])"), 1);
  check_near(evaluate(bench, "count(//s:text[contains(., '72 \u00D7 72')])"), 0);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_bench, close_bench)
  const struct CMUnitTest tests[] = {
      TEST(loads_alike_have_one_drawing),
      TEST(parts_of_loads_are_found_in_the_stock),
      TEST(it_is_at_true_scale),
      TEST(clamps_and_keep_outs_stand_where_they_are_said_to),
      TEST(holes_are_where_they_were_told),
      TEST(holes_turn_with_their_part),
      TEST(names_keep_clear_of_holes),
      TEST(every_layer_is_named),
      TEST(setups_have_a_line_for_each_fixing),
      TEST(each_cutter_is_told_with_its_work),
      TEST(a_drawing_says_which_fixing_it_shows),
      TEST(a_drawing_made_to_fit_has_no_scale),
      TEST(rounds_are_told_across),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
