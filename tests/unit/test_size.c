/* Sizes of blanks against hand arithmetic. The cases named "demo" are those of the
 * cribbage demo, worked by hand from its own rules (plausibility, no outside source);
 * settings that matter are set here so that a change of a default cannot hide a fault. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "size/size.h"

enum { MOST = 8 };

struct bench {
  struct arena *arena;
  struct project project;
  struct part parts[MOST];
  struct stock stocks[MOST];
  struct clamp clamps[MOST];
  struct cutter cutters[MOST];
  struct step steps[MOST];
  struct diagnostics *diagnostics;
  struct blanks blanks;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  struct project *project = &bench.project;
  project->parts = bench.parts;
  project->stocks = bench.stocks;
  project->clamps = bench.clamps;
  project->cutters = bench.cutters;
  project->steps = bench.steps;
  shop_set_defaults(bench.arena, &project->shop, UNIT_MM);
  project->shop.squareness = 0;
  project->shop.rim = MM(8);
  project->shop.clear_gap = MM(3);
  project->shop.nut_margin = MM(2);
  project->shop.overcut = MM(4) / 10;
  project->shop.face_min = MM(8) / 10;
  project->shop.face_max = MM(4);
  project->shop.face_runoff = MM(3);
  project->shop.thickness_tolerance = MM(3) / 10;
  project->shop.mark_step = MM(1) / 2;
  project->shop.saw_allowance = MM(1) / 2;
  bench.diagnostics = diagnostics_create(bench.arena);
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

static struct part *add_part(const char *name, length_t length, length_t width, length_t thickness,
                             enum way way) {
  struct part *part = &bench.parts[bench.project.part_count++];
  *part = (struct part){.name = name,
                        .per_set = 1,
                        .length = length,
                        .width = width,
                        .thickness = thickness,
                        .way = way,
                        .tabs = -1,
                        .fit = -1};
  return part;
}

static struct stock *add_stock(const char *name, const char *wood, length_t length, length_t width,
                               length_t thickness) {
  struct stock *stock = &bench.stocks[bench.project.stock_count++];
  *stock = (struct stock){.name = name,
                          .wood = wood,
                          .length = length,
                          .width = width,
                          .thickness = thickness,
                          .count = 1,
                          .pack = 1,
                          .trim_ends = MM(20),
                          .trim_edges = MM(3)};
  return stock;
}

static void set_wood(struct part *part, const char *wood) {
  part->woods = ARENA_ARRAY(bench.arena, 1, const char *);
  part->woods[0] = wood;
  part->wood_count = 1;
}

static struct clamp *add_hold_down(int64_t count) {
  struct clamp *clamp = &bench.clamps[bench.project.clamp_count++];
  *clamp = (struct clamp){.name = "hold-down A",
                          .kind = CLAMP_HOLD_DOWN,
                          .count = count,
                          .width = MM(25),
                          .over = MM(15),
                          .beside = MM(25),
                          .height = MM(12),
                          .height_from = HEIGHT_FROM_STOCK,
                          .min_stock = MM(3),
                          .max_stock = LENGTH_MAX};
  return clamp;
}

static struct clamp *add_side_clamp(int64_t count) {
  struct clamp *clamp = &bench.clamps[bench.project.clamp_count++];
  *clamp = (struct clamp){.name = "side push",
                          .kind = CLAMP_SIDE,
                          .count = count,
                          .width = MM(30),
                          .beside = MM(30),
                          .height = MM(8),
                          .height_from = HEIGHT_FROM_BED,
                          .min_stock = MM(10),
                          .max_stock = LENGTH_MAX};
  return clamp;
}

static size_t add_cutter(length_t diameter, length_t stickout, length_t nut) {
  struct cutter *cutter = &bench.cutters[bench.project.cutter_count];
  *cutter = (struct cutter){.name = "cutter",
                            .diameter = diameter,
                            .flutes = 2,
                            .stickout = stickout,
                            .nut_diameter = nut};
  return bench.project.cutter_count++;
}

static struct step *add_step(size_t part, enum step_kind kind, size_t cutter, length_t depth) {
  struct step *step = &bench.steps[bench.project.step_count++];
  *step = (struct step){.part = part, .kind = kind, .cutter = cutter, .depth = depth, .count = 1};
  return step;
}

/* The board of the demo: faced with a 16 mm cutter, a chamfer of 0.8, a 6 mm profile. */
static struct part *demo_board(void) {
  struct part *board = add_part("board", MM(240), MM(72), MM(18), WAY_BLANK);
  board->faced = FACED_ONE;
  size_t flat = add_cutter(MM(6), MM(36), MM(20));
  size_t facing = add_cutter(MM(16), MM(25), MM(20));
  size_t vee = add_cutter(MM(10), MM(25), MM(20));
  add_step(0, STEP_FACE, facing, 0);
  add_step(0, STEP_CHAMFER, vee, MM(8) / 10);
  add_step(0, STEP_PROFILE, flat, 0);
  return board;
}

static void size(void) {
  size_blanks(bench.arena, &bench.project, bench.diagnostics, &bench.blanks);
}

static void assert_size(size_t index, enum hold hold, length_t length, length_t width) {
  assert_true(index < bench.blanks.count);
  const struct blank *blank = &bench.blanks.items[index];
  assert_int_equal(blank->hold, hold);
  assert_int_equal(blank->length, length);
  assert_int_equal(blank->width, width);
}

static void assert_told(enum severity severity, const char *phrase) {
  for (size_t i = 0; i < bench.diagnostics->count; i++) {
    const struct diagnostic *line = &bench.diagnostics->items[i];
    if (line->severity == severity && strstr(line->text, phrase) != NULL) return;
  }
  for (size_t i = 0; i < bench.diagnostics->count; i++)
    print_message("said: %s\n", bench.diagnostics->items[i].text);
  fail_msg("nothing says '%s'", phrase);
}

static void test_demo_hold_down_on_the_ends(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_size(0, HOLD_ENDS, MM(298), MM(100)); /* 240 + 2 (8 + 3 + 3 + 15), 72 + 2 (6 + 8) */
  assert_int_equal(bench.blanks.items[0].reach, MM(11));
  assert_int_equal(bench.blanks.items[0].margin_ends, MM(29));
  assert_int_equal(bench.blanks.items[0].margin_sides, MM(14));
  assert_int_equal(bench.blanks.items[0].cutter_diameter, MM(6));
  assert_int_equal(bench.blanks.items[0].clamp, 0);
  assert_int_equal(bench.blanks.items[0].role, ROLE_BLANK);
  assert_true(bench.blanks.items[0].may_lie_straight);
  assert_false(bench.blanks.items[0].may_lie_turned);
}

static void test_demo_nut_meets_the_hold_down_in_thicker_stock(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  add_stock("W", "walnut", MM(1830), MM(215), MM(22));
  add_hold_down(6);
  size();
  /* room 36 - 22.4 = 13.6 under the nut, 12 + 2 wanted: the profile's 6 + 7 outdoes the facing's 8
   * + 3 */
  assert_size(0, HOLD_ENDS, MM(240 + 2 * (13 + 3 + 15)), MM(100));
  assert_int_equal(bench.blanks.items[0].reach, MM(11));
}

static void test_nut_room_is_met_exactly(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21) + MM(6) / 10); /* 36 - 22 = 14: just enough */
  add_hold_down(6);
  size();
  assert_size(0, HOLD_ENDS, MM(298), MM(100));
}

/* 3 mm are faced away before a chamfer of 1 mm: 17 - 4 = 13 under its nut, 12 + 2 wanted. */
static void test_nut_room_of_a_chamfer_counts_from_the_raw_top(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  bench.cutters[2].stickout = MM(17);
  bench.cutters[2].nut_diameter = MM(30);
  bench.steps[1].depth = MM(1);
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  size();
  /* The point runs along the outline: the nut goes its radius of 15 outside, not 1 + 10. */
  assert_size(0, HOLD_ENDS, MM(240 + 2 * (15 + 3 + 15)), MM(100));
  bench.cutters[2].stickout = MM(18);
  size();
  assert_size(0, HOLD_ENDS, MM(298), MM(100));
}

static void test_side_clamps_come_before_hold_downs_that_need_no_more(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  struct clamp *clamp = add_hold_down(6);
  clamp->over = 0; /* 8 + 3 + 3 is the 6 + 8 of the cutter and its rim */
  add_side_clamp(6);
  add_side_clamp(6);
  size();
  assert_size(0, HOLD_ENDS, MM(268), MM(100));
  assert_int_equal(bench.blanks.items[0].clamp, 1);
}

static void test_demo_side_clamps_win_when_automatic(void **state) {
  (void)state;
  demo_board()->hold = HOLD_AUTO;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  add_side_clamp(6);
  size();
  assert_int_equal(bench.blanks.count, 1); /* ends and sides come to the same 268 x 100 */
  assert_size(0, HOLD_ENDS, MM(268), MM(100));
  assert_int_equal(bench.blanks.items[0].clamp, 1);
}

static void test_automatic_keeps_both_ways_where_neither_beats_the_other(void **state) {
  (void)state;
  demo_board()->hold = HOLD_AUTO;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  size();
  assert_int_equal(bench.blanks.count, 2);
  assert_size(0, HOLD_ENDS, MM(298), MM(100));
  assert_size(1, HOLD_SIDES, MM(268), MM(130));
}

static void test_all_and_tape_only_when_asked_for(void **state) {
  (void)state;
  struct part *board = demo_board();
  board->hold = HOLD_ALL;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_size(0, HOLD_ALL, MM(298), MM(130));
  board->hold = HOLD_TAPE;
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_size(0, HOLD_TAPE, MM(268), MM(100));
  assert_true(bench.blanks.items[0].clamp == SIZE_MAX);
}

static void test_squareness_on_free_sides_only(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  bench.project.shop.squareness = MM(1) / 2;
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_side_clamp(1);
  size();
  assert_size(0, HOLD_ENDS, MM(268), MM(101));
}

static void test_sizes_are_raised_to_the_mark(void **state) {
  (void)state;
  struct part *board = demo_board();
  board->hold = HOLD_ENDS;
  board->length = MM(240) + 8; /* 240.001 */
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  size();
  assert_size(0, HOLD_ENDS, MM(298) + MM(1) / 2, MM(100));
  assert_int_equal(bench.blanks.items[0].margin_ends, MM(29));
}

/* 8 and the run-off outside, then gap and clamp at an end. */
static void test_facing_runs_off(void **state) {
  (void)state;
  demo_board()->hold = HOLD_ENDS;
  bench.project.shop.face_runoff = MM(7);
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  add_hold_down(6);
  size();
  assert_size(0, HOLD_ENDS, MM(240 + 2 * (15 + 3 + 15)), MM(72 + 2 * 15));
  assert_int_equal(bench.blanks.items[0].reach, MM(15));
}

/* Faced with the profile's 3 mm: 1.5 + 3 are more than 3. */
static void test_face_without_a_step(void **state) {
  (void)state;
  struct part *lid = add_part("lid", MM(100), MM(50), MM(8), WAY_BLANK);
  lid->hold = HOLD_TAPE;
  lid->faced = FACED_ONE;
  bench.project.shop.rim = 0;
  add_step(0, STEP_PROFILE, add_cutter(MM(3), 0, 0), 0);
  add_stock("W", "walnut", MM(1000), MM(215), MM(10));
  size();
  assert_int_equal(bench.blanks.items[0].reach, MM(9) / 2);
  assert_size(0, HOLD_TAPE, MM(109), MM(59));
  add_step(0, STEP_FACE, add_cutter(MM(1), 0, 0), 0);
  size();
  assert_int_equal(bench.blanks.items[0].reach, MM(7) / 2);
  lid->faced = FACED_TWO; /* the other face has no step of its own */
  size();
  assert_int_equal(bench.blanks.items[0].reach, MM(9) / 2);
  lid->faced = FACED_NONE;
  bench.project.step_count = 1;
  bench.stocks[0].thickness = MM(8);
  size();
  assert_int_equal(bench.blanks.items[0].reach, MM(3));
  bench.project.step_count = 0; /* the default cutter of 6 mm */
  bench.project.shop.face_runoff = MM(4);
  lid->faced = FACED_ONE;
  bench.stocks[0].thickness = MM(10);
  size();
  assert_int_equal(bench.blanks.items[0].reach, MM(7));
}

static void test_default_cutter_and_clamp(void **state) {
  (void)state;
  add_part("tray", MM(100), MM(50), MM(10), WAY_GANG)->hold = HOLD_ENDS;
  add_stock("W", "walnut", MM(1000), MM(215), MM(10));
  size();
  /* 6 + 3 + 15 = 24 at an end, 6 + 8 at a side */
  assert_size(0, HOLD_ENDS, MM(148), MM(78));
  assert_int_equal(bench.blanks.items[0].cutter_diameter, MM(6));
  assert_true(bench.blanks.items[0].clamp == SIZE_MAX);
  assert_told(SEVERITY_NOTE, "profile cutter of 6 mm");
  assert_told(SEVERITY_NOTE, "hold-downs 25 mm wide that cover 15 mm");
}

static void test_default_cutter_and_clamp_in_inches(void **state) {
  (void)state;
  shop_set_defaults(bench.arena, &bench.project.shop, UNIT_INCH);
  bench.project.shop.squareness = 0;
  add_part("tray", 4 * LENGTH_PER_INCH, 2 * LENGTH_PER_INCH, LENGTH_PER_INCH / 2, WAY_BLANK)->hold =
      HOLD_ENDS;
  add_stock("W", "walnut", 40 * LENGTH_PER_INCH, 8 * LENGTH_PER_INCH, LENGTH_PER_INCH / 2);
  size();
  /* 1/4 + 1/8 + 5/8 = 1 at an end, 1/4 + 5/16 = 9/16 at a side */
  assert_size(0, HOLD_ENDS, 6 * LENGTH_PER_INCH, 3 * LENGTH_PER_INCH + LENGTH_PER_INCH / 8);
}

static void chamfered(length_t depth, int64_t angle) {
  struct part *part = add_part("knob", MM(100), MM(50), MM(10), WAY_BLANK);
  part->hold = HOLD_TAPE;
  size_t vee = add_cutter(MM(20), 0, 0);
  bench.cutters[vee].angle = angle;
  size_t flat = add_cutter(MM(1), 0, 0);
  add_step(0, STEP_CHAMFER, vee, depth);
  add_step(0, STEP_PROFILE, flat, 0);
  add_stock("W", "walnut", MM(1000), MM(215), MM(10));
  size();
}

static void test_chamfer_of_90_degrees_reaches_its_depth(void **state) {
  (void)state;
  chamfered(MM(7), 90000);
  assert_int_equal(bench.blanks.items[0].reach, MM(7));
}

static void test_chamfer_without_angle_counts_as_90_degrees(void **state) {
  (void)state;
  chamfered(MM(7), 0);
  assert_int_equal(bench.blanks.items[0].reach, MM(7));
}

static void test_chamfer_of_60_degrees(void **state) {
  (void)state;
  chamfered(MM(7), 60000);
  /* 7 tan 30 = 4.041451884 mm = 32331.6 of 1/8000 mm */
  assert_int_equal(bench.blanks.items[0].reach, 32332);
}

static void test_chamfer_never_reaches_beyond_its_cutter(void **state) {
  (void)state;
  chamfered(MM(30), 120000);
  assert_int_equal(bench.blanks.items[0].reach, MM(10));
}

static void test_steps_off_the_bed_do_not_count(void **state) {
  (void)state;
  add_part("tray", MM(100), MM(50), MM(10), WAY_BLANK)->hold = HOLD_TAPE;
  size_t wide = add_cutter(MM(40), 0, 0);
  add_step(0, STEP_FACE, wide, 0)->place = PLACE_SAW;
  add_step(0, STEP_CHAMFER, wide, MM(15))->stand = STAND_EDGE;
  add_step(0, STEP_POCKET, wide, MM(5));
  add_stock("W", "walnut", MM(1000), MM(215), MM(10));
  size();
  assert_int_equal(bench.blanks.items[0].reach, MM(6));
  assert_size(0, HOLD_TAPE, MM(128), MM(78));
}

static void test_side_clamps_need_thick_stock_and_something_opposite(void **state) {
  (void)state;
  demo_board()->hold = HOLD_SIDES;
  struct clamp *side = add_side_clamp(1);
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  size();
  assert_size(0, HOLD_SIDES, MM(268), MM(100));

  side->over = MM(40); /* it stands beside the stock and covers none of it */
  size();
  assert_size(0, HOLD_SIDES, MM(268), MM(100));
  side->over = 0;

  bench.project.shop.stops = 4; /* none */
  size();
  assert_int_equal(bench.blanks.count, 0);
  assert_told(SEVERITY_ERROR, "the clamps owned cannot hold stock of 21 mm ('W') by its sides");

  side->count = 2;
  size();
  assert_int_equal(bench.blanks.count, 1);

  bench.project.shop.side_clamp_min_stock = MM(21) + 1;
  size();
  assert_int_equal(bench.blanks.count, 0);
  bench.project.shop.side_clamp_min_stock = 0;
  side->max_stock = MM(21) - 1;
  size();
  assert_int_equal(bench.blanks.count, 0);
}

static void test_hold_downs_stand_on_every_held_side(void **state) {
  (void)state;
  struct part *board = demo_board();
  board->hold = HOLD_ALL;
  struct clamp *clamp = add_hold_down(3);
  add_stock("W", "walnut", MM(1830), MM(215), MM(21));
  size();
  assert_int_equal(bench.blanks.count, 0);
  clamp->count = 4;
  size();
  assert_int_equal(bench.blanks.count, 1);
}

static void test_sawn_parts(void **state) {
  (void)state;
  add_part("slat", MM(300), MM(40), MM(12), WAY_SAW);
  add_stock("W", "walnut", MM(1830), MM(215), MM(12));
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_size(0, HOLD_AUTO, MM(301), MM(41));
  assert_int_equal(bench.blanks.items[0].role, ROLE_PART);
  assert_int_equal(bench.blanks.items[0].cutter_diameter, 0);
  assert_int_equal(bench.diagnostics->count, 0);
}

/* Ends of each window are inside; a unit of 1/8000 mm beyond is not. */
static size_t sizes_in(enum faced faced, length_t raw) {
  bench.parts[0].faced = faced;
  bench.stocks[0].thickness = raw;
  size();
  return bench.blanks.count;
}

static void test_thickness_windows(void **state) {
  (void)state;
  add_part("slat", MM(300), MM(40), MM(12), WAY_SAW);
  add_stock("W", "walnut", MM(1830), MM(215), MM(12));
  length_t tenth = MM(1) / 10;
  assert_int_equal(sizes_in(FACED_NONE, MM(12) - 3 * tenth), 1);
  assert_int_equal(sizes_in(FACED_NONE, MM(12) - 3 * tenth - 1), 0);
  assert_int_equal(sizes_in(FACED_NONE, MM(12) + 3 * tenth), 1);
  assert_int_equal(sizes_in(FACED_NONE, MM(12) + 3 * tenth + 1), 0);
  assert_int_equal(sizes_in(FACED_ONE, MM(12) + 8 * tenth), 1);
  assert_int_equal(sizes_in(FACED_ONE, MM(12) + 8 * tenth - 1), 0);
  assert_int_equal(sizes_in(FACED_ONE, MM(16)), 1);
  assert_int_equal(sizes_in(FACED_ONE, MM(16) + 1), 0);
  assert_int_equal(sizes_in(FACED_TWO, MM(12) + 16 * tenth), 1);
  assert_int_equal(sizes_in(FACED_TWO, MM(12) + 16 * tenth - 1), 0);
  assert_int_equal(sizes_in(FACED_TWO, MM(20)), 1);
  assert_int_equal(sizes_in(FACED_TWO, MM(20) + 1), 0);
  /* the same where the wood is asked for by name */
  static const char *walnut[] = {"Walnut"};
  bench.parts[0].woods = walnut;
  bench.parts[0].wood_count = 1;
  assert_int_equal(sizes_in(FACED_ONE, MM(12) + 8 * tenth), 1);
  assert_int_equal(sizes_in(FACED_ONE, MM(12) + 8 * tenth - 1), 0);
  assert_int_equal(sizes_in(FACED_ONE, MM(16)), 1);
  assert_int_equal(sizes_in(FACED_ONE, MM(16) + 1), 0);
}

static void assert_ways(enum grain grain, bool straight, bool turned) {
  bench.parts[0].grain = grain;
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_int_equal(bench.blanks.items[0].may_lie_straight, straight);
  assert_int_equal(bench.blanks.items[0].may_lie_turned, turned);
}

static void test_grain_in_planks_and_sheets(void **state) {
  (void)state;
  add_part("slat", MM(150), MM(40), MM(12), WAY_SAW);
  struct stock *stock = add_stock("W", "walnut", MM(1830), MM(215), MM(12));
  assert_ways(GRAIN_ALONG, true, false);
  assert_ways(GRAIN_ACROSS, false, true);
  assert_ways(GRAIN_ANY, true, true);
  stock->face_grain = FACE_GRAIN_WIDTH; /* means nothing in a plank */
  assert_ways(GRAIN_ALONG, true, false);
  stock->kind = STOCK_SHEET;
  assert_ways(GRAIN_ALONG, false, true);
  assert_ways(GRAIN_ACROSS, true, false);
  assert_ways(GRAIN_ANY, true, true);
  stock->face_grain = FACE_GRAIN_LENGTH;
  assert_ways(GRAIN_ALONG, true, false);
  stock->face_grain = FACE_GRAIN_NONE;
  assert_ways(GRAIN_ALONG, true, true);
  assert_ways(GRAIN_ACROSS, true, true);
  bench.parts[0].width = bench.parts[0].length;
  assert_ways(GRAIN_ANY, true, false);
  stock->kind = STOCK_PLANK;
  assert_ways(GRAIN_ACROSS, false, true);
}

static void test_only_ways_that_fit(void **state) {
  (void)state;
  add_part("slat", MM(300), MM(40), MM(12), WAY_SAW);
  add_stock("W", "walnut", MM(1830), MM(215), MM(12)); /* room across is 209 */
  assert_ways(GRAIN_ANY, true, false);
}

static void test_no_wood(void **state) {
  (void)state;
  set_wood(add_part("lid", MM(300), MM(40), MM(12), WAY_SAW), "mapel");
  add_stock("M", "maple", MM(1830), MM(215), MM(12));
  size();
  assert_int_equal(bench.diagnostics->errors, 1);
  assert_told(SEVERITY_ERROR, "part 'lid' cannot be cut: no mapel in rack or yard");
  assert_told(SEVERITY_ERROR, "is 'maple' meant?");
}

static void test_a_list_of_woods_written_otherwise(void **state) {
  (void)state;
  set_wood(add_part("lid", MM(300), MM(40), MM(12), WAY_SAW), "maple, oak");
  add_stock("M", "maple", MM(1830), MM(215), MM(12));
  size();
  assert_told(SEVERITY_ERROR, "several woods are told with | between them");
}

static void test_wood_names_are_folded(void **state) {
  (void)state;
  set_wood(add_part("lid", MM(300), MM(40), MM(12), WAY_SAW), "MAPLE");
  add_stock("B", "birch", MM(1830), MM(215), MM(12));
  add_stock("M", "Maple", MM(1830), MM(215), MM(12));
  add_stock("N", "maple2", MM(1830), MM(215), MM(12));
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_int_equal(bench.blanks.items[0].stock, 1);
}

static void test_too_thick_and_too_thin(void **state) {
  (void)state;
  struct part *lid = add_part("lid", MM(100), MM(40), MM(5), WAY_BLANK);
  set_wood(lid, "maple");
  lid->faced = FACED_ONE;
  add_stock("M0", "maple", MM(1830), MM(215), MM(20));
  struct stock *nearer = add_stock("M1", "maple", MM(1830), MM(215), MM(12));
  add_stock("W", "walnut", MM(1830), MM(215), MM(7));
  size();
  assert_int_equal(bench.diagnostics->errors, 1);
  assert_told(SEVERITY_ERROR, "part 'lid' cannot be cut: no maple has the thickness");
  assert_told(SEVERITY_ERROR, "'M1', is too thick by 3 mm (it has 12 mm, allowed 5.8 to 9 mm)");
  assert_told(SEVERITY_ERROR, "plane the stock to 9 mm or less");
  nearer->thickness = MM(5);
  size();
  assert_told(SEVERITY_ERROR, "'M1', is too thin by 0.8 mm");
}

static void test_too_wide_too_long(void **state) {
  (void)state;
  struct part *lid = add_part("lid", MM(300), MM(150), MM(12), WAY_SAW);
  set_wood(lid, "maple");
  struct stock *stock = add_stock("M1", "maple", MM(1830), MM(145), MM(12));
  size();
  assert_told(SEVERITY_ERROR, "too wide by 12 mm for the nearest stock, 'M1'"); /* 151 in 139 */
  assert_told(SEVERITY_ERROR, "set glue_up to yes to glue it up from strips, or allow");
  lid->match = "a";
  size();
  assert_told(SEVERITY_ERROR, "trim less, or allow another grain direction");
  lid->match = NULL;
  stock->length = MM(331); /* 301 in 291 */
  stock->width = MM(157);
  size();
  assert_told(SEVERITY_ERROR, "too long by 10 mm for the nearest stock, 'M1'");
  assert_told(SEVERITY_ERROR, "add a longer one");
}

static void test_the_right_thickness_is_nearer_than_the_right_size(void **state) {
  (void)state;
  add_part("lid", MM(300), MM(150), MM(12), WAY_SAW);
  add_stock("narrow", "maple", MM(1830), MM(100), MM(12));
  add_stock("thick", "maple", MM(1830), MM(400), MM(12) + MM(4) / 10);
  size();
  assert_told(SEVERITY_ERROR, "too wide by");
}

static void test_stock_the_saw_cannot_cut_through(void **state) {
  (void)state;
  add_part("leg", MM(300), MM(80), MM(80), WAY_SAW);
  add_stock("beam", "oak", MM(1830), MM(215), MM(80));
  bench.project.shop.blade_height = MM(75);
  size();
  assert_int_equal(bench.blanks.count, 0);
  assert_told(SEVERITY_ERROR, "'beam', is 80 mm thick and the saw cuts through 75 mm");
}

static void test_blank_larger_than_the_bed(void **state) {
  (void)state;
  struct part *tray = add_part("tray", MM(240), MM(360), MM(10), WAY_BLANK);
  tray->hold = HOLD_TAPE;
  bench.project.shop.bed_length = MM(388);
  bench.project.shop.bed_width = MM(268);
  add_stock("W", "walnut", MM(1000), MM(500), MM(10));
  size(); /* 268 x 388 lies turned on the bed */
  assert_int_equal(bench.blanks.count, 1);
  bench.project.shop.bed_width = MM(267);
  size();
  assert_int_equal(bench.blanks.count, 1);
  assert_told(SEVERITY_CAUTION, "its blank of 268 x 388 mm");
}

static void test_fitting_bed_says_nothing(void **state) {
  (void)state;
  struct part *tray = add_part("tray", MM(240), MM(360), MM(10), WAY_BLANK);
  tray->hold = HOLD_TAPE;
  bench.project.shop.bed_length = MM(388);
  bench.project.shop.bed_width = MM(268);
  add_stock("W", "walnut", MM(1000), MM(500), MM(10));
  size();
  for (size_t i = 0; i < bench.diagnostics->count; i++)
    assert_int_equal(bench.diagnostics->items[i].severity, SEVERITY_NOTE);
}

static void test_blanks_come_by_part_then_stock(void **state) {
  (void)state;
  set_wood(add_part("a", MM(300), MM(40), MM(12), WAY_SAW), "oak");
  add_part("b", MM(300), MM(40), MM(12), WAY_SAW);
  add_stock("1", "oak", MM(1830), MM(215), MM(12) + 8);
  add_stock("2", "elm", MM(1830), MM(215), MM(12));
  add_stock("3", "oak", MM(1830), MM(215), MM(12) - 8);
  size();
  const size_t wanted[][2] = {{0, 0}, {0, 2}, {1, 0}, {1, 1}, {1, 2}};
  assert_int_equal(bench.blanks.count, 5);
  for (size_t i = 0; i < 5; i++) {
    assert_int_equal(bench.blanks.items[i].part, wanted[i][0]);
    assert_int_equal(bench.blanks.items[i].stock, wanted[i][1]);
  }
}

#define CASE(test) cmocka_unit_test_setup_teardown(test, set_up, tear_down)

int main(void) {
  const struct CMUnitTest tests[] = {
      CASE(test_demo_hold_down_on_the_ends),
      CASE(test_demo_nut_meets_the_hold_down_in_thicker_stock),
      CASE(test_nut_room_is_met_exactly),
      CASE(test_nut_room_of_a_chamfer_counts_from_the_raw_top),
      CASE(test_side_clamps_come_before_hold_downs_that_need_no_more),
      CASE(test_demo_side_clamps_win_when_automatic),
      CASE(test_automatic_keeps_both_ways_where_neither_beats_the_other),
      CASE(test_all_and_tape_only_when_asked_for),
      CASE(test_squareness_on_free_sides_only),
      CASE(test_sizes_are_raised_to_the_mark),
      CASE(test_facing_runs_off),
      CASE(test_face_without_a_step),
      CASE(test_default_cutter_and_clamp),
      CASE(test_default_cutter_and_clamp_in_inches),
      CASE(test_chamfer_of_90_degrees_reaches_its_depth),
      CASE(test_chamfer_without_angle_counts_as_90_degrees),
      CASE(test_chamfer_of_60_degrees),
      CASE(test_chamfer_never_reaches_beyond_its_cutter),
      CASE(test_steps_off_the_bed_do_not_count),
      CASE(test_side_clamps_need_thick_stock_and_something_opposite),
      CASE(test_hold_downs_stand_on_every_held_side),
      CASE(test_sawn_parts),
      CASE(test_thickness_windows),
      CASE(test_grain_in_planks_and_sheets),
      CASE(test_only_ways_that_fit),
      CASE(test_no_wood),
      CASE(test_a_list_of_woods_written_otherwise),
      CASE(test_wood_names_are_folded),
      CASE(test_too_thick_and_too_thin),
      CASE(test_too_wide_too_long),
      CASE(test_the_right_thickness_is_nearer_than_the_right_size),
      CASE(test_stock_the_saw_cannot_cut_through),
      CASE(test_blank_larger_than_the_bed),
      CASE(test_fitting_bed_says_nothing),
      CASE(test_blanks_come_by_part_then_stock),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
