/* Heights, depths, bed and clampings by hand on the demos' figures (plausibility, no outside
 * source). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "hold/height.h"

enum { MOST = 10, FLAT6 = 0, FLAT3, FACE16, DRILL, VEE };

struct bench {
  struct arena *arena;
  struct project project;
  struct part part;
  struct cutter cutters[MOST];
  struct step steps[MOST];
  const struct step *own[MOST];
  size_t step_count;
  struct clamp hold_down, side_push;
  struct work_clamping *clampings;
  size_t clamping_count;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  struct shop *shop = &bench.project.shop;
  shop_set_defaults(bench.arena, shop, UNIT_MM);
  shop->daylight = MM(110), shop->travel_x = MM(340), shop->travel_y = MM(230);
  shop->travel_z = MM(80), shop->bed_length = MM(380), shop->bed_width = MM(260);
  shop->waste_board = MM(12), shop->overcut = MM(4) / 10, shop->clearance = MM(5);
  shop->nut_margin = MM(2);
  bench.project.cutters = bench.cutters;
  bench.project.parts = &bench.part;
  bench.project.part_count = 1;
  bench.cutters[FLAT6] = (struct cutter){.diameter = MM(6),
                                         .flute_length = MM(25),
                                         .stepdown = MM(2),
                                         .stickout = MM(36),
                                         .nut_diameter = MM(20)};
  bench.cutters[FLAT3] = (struct cutter){.diameter = MM(3),
                                         .flute_length = MM(12),
                                         .stepdown = MM(12) / 10,
                                         .stickout = MM(24),
                                         .nut_diameter = MM(20)};
  bench.cutters[FACE16] = (struct cutter){.diameter = MM(16),
                                          .flute_length = MM(8),
                                          .stepdown = MM(1),
                                          .stickout = MM(25),
                                          .nut_diameter = MM(20)};
  bench.cutters[DRILL] = (struct cutter){.diameter = MM(32) / 10,
                                         .flute_length = MM(25),
                                         .stepdown = MM(3),
                                         .stickout = MM(40),
                                         .nut_diameter = MM(20)};
  bench.cutters[VEE] = (struct cutter){.diameter = MM(10),
                                       .flute_length = MM(5),
                                       .stepdown = MM(1),
                                       .stickout = MM(25),
                                       .nut_diameter = MM(20)};
  bench.hold_down =
      (struct clamp){.kind = CLAMP_HOLD_DOWN, .height = MM(12), .height_from = HEIGHT_FROM_STOCK};
  bench.side_push =
      (struct clamp){.kind = CLAMP_SIDE, .height = MM(8), .height_from = HEIGHT_FROM_BED};
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

static struct step *add_step(enum step_kind kind, size_t cutter, length_t depth, enum side side) {
  struct step *step = &bench.steps[bench.step_count];
  *step = (struct step){.kind = kind, .cutter = cutter, .depth = depth, .side = side, .count = 1};
  bench.own[bench.step_count++] = step;
  return step;
}

static void sort_clampings(void) {
  bench.clamping_count =
      height_clampings(bench.arena, &bench.part, bench.own, bench.step_count, &bench.clampings);
}

static void cribbage_board(void) {
  bench.part = (struct part){.length = MM(240),
                             .width = MM(72),
                             .thickness = MM(18),
                             .way = WAY_BLANK,
                             .faced = FACED_ONE};
  (void)add_step(STEP_POCKET, FLAT6, MM(52) / 10, SIDE_UNDER);
  (void)add_step(STEP_POCKET, FLAT6, MM(6), SIDE_UNDER);
  (void)add_step(STEP_FACE, FACE16, 0, SIDE_TOP);
  (void)add_step(STEP_DRILL, DRILL, MM(9), SIDE_TOP);
  (void)add_step(STEP_CHAMFER, VEE, MM(8) / 10, SIDE_TOP);
  (void)add_step(STEP_PROFILE, FLAT6, 0, SIDE_TOP);
  sort_clampings();
}

static struct heights check(size_t clamping, const struct clamp *clamp, length_t raw) {
  struct heights heights;
  struct height_work work = {.project = &bench.project,
                             .part = &bench.part,
                             .steps = bench.own,
                             .step_count = bench.step_count,
                             .clamping = &bench.clampings[clamping],
                             .raw = raw,
                             .clamps = clamp,
                             .clamp_count = clamp == NULL ? 0 : 1};
  height_check(bench.arena, &work, &heights);
  return heights;
}

/* Under first, then what is faced, drilled, chamfered and parted on top. */
static void cribbage_clampings(void **state) {
  (void)state;
  cribbage_board();
  assert_int_equal(bench.clamping_count, 2);
  const struct work_clamping *made = bench.clampings;
  assert_int_equal(made[0].side, SIDE_UNDER);
  assert_int_equal(made[0].step_count, 2);
  assert_false(made[0].faced || made[0].parts_it || made[0].second);
  assert_int_equal(made[1].side, SIDE_TOP);
  assert_int_equal(made[1].step_count, 4);
  assert_true(made[1].faced && made[1].parts_it && made[1].second);
}

static void two_faces_two_clampings(void **state) {
  (void)state;
  bench.part =
      (struct part){.length = MM(100), .width = MM(50), .thickness = MM(10), .way = WAY_BLANK};
  sort_clampings();
  assert_int_equal(bench.clamping_count, 1);
  bench.part.faced = FACED_TWO;
  sort_clampings();
  assert_int_equal(bench.clamping_count, 2);
  assert_true(bench.clampings[0].faced && bench.clampings[1].faced);
  assert_true(bench.clampings[1].second);
  bench.part.faced = FACED_ONE;
  (void)add_step(STEP_FACE, FACE16, 0, SIDE_UNDER);
  sort_clampings();
  assert_int_equal(bench.clamping_count, 2); /* faced from under, parted on top */
  assert_true(bench.clampings[0].faced);
  assert_false(bench.clampings[1].faced);
  bench.steps[0].place = PLACE_SAW;
  bench.part.way = WAY_SAW;
  bench.part.faced = FACED_NONE;
  sort_clampings();
  assert_int_equal(bench.clamping_count, 0);
}

static void edge_and_end(void **state) {
  (void)state;
  cribbage_board();
  add_step(STEP_DRILL, DRILL, MM(20), SIDE_TOP)->stand = STAND_END;
  add_step(STEP_DRILL, DRILL, MM(20), SIDE_TOP)->stand = STAND_EDGE;
  sort_clampings();
  assert_int_equal(bench.clamping_count, 4);
  assert_int_equal(bench.clampings[2].stand, STAND_EDGE);
  assert_int_equal(bench.clampings[3].stand, STAND_END);
  assert_false(bench.clampings[2].second);
  struct heights heights = check(2, NULL, MM(22)); /* 12 + 72 + 5 + 40 = 129 > 110 */
  assert_int_equal(heights.daylight, MM(129));
  assert_int_equal(heights.finding_count, 1);
  assert_int_equal(heights.findings[0].limit, HEIGHT_DAYLIGHT);
  assert_int_equal(heights.findings[0].needs - heights.findings[0].has, MM(19));
  heights = check(3, NULL, MM(22)); /* 240 on end: travel too */
  assert_int_equal(heights.finding_count, 2);
  assert_int_equal(heights.findings[1].limit, HEIGHT_TRAVEL);
}

/* Hand: 12 + 22 + 5 + 40 = 79 <= 110; 22.4 <= 25. */
static void cribbage_heights(void **state) {
  (void)state;
  cribbage_board();
  struct heights heights = check(1, &bench.side_push, MM(22));
  assert_int_equal(heights.daylight, MM(79));
  assert_int_equal(heights.travel, MM(274) / 10);
  assert_int_equal(heights.finding_count, 0);
  assert_int_equal(heights.cut_count, 0);
}

/* Hand: 36 - 22.4 = 13.6 above 22 mm stock, a hold-down wants 12 + 2; on 21 mm it has 14.6. */
static void nut_and_hold_down(void **state) {
  (void)state;
  cribbage_board();
  struct heights heights = check(1, &bench.hold_down, MM(21));
  assert_int_equal(heights.finding_count, 0);
  assert_int_equal(heights.daylight, MM(90));
  heights = check(1, &bench.hold_down, MM(22));
  assert_int_equal(heights.finding_count, 1);
  const struct height_finding *finding = &heights.findings[0];
  assert_int_equal(finding->limit, HEIGHT_NUT_CLAMP);
  assert_ptr_equal(finding->step, &bench.steps[5]);
  assert_int_equal(finding->clamp, 0);
  assert_int_equal(finding->needs, MM(14));
  assert_int_equal(finding->has, MM(136) / 10);
}

/* Hand: coasters of 8 mm, flat3 24 out: 24 - 8.4 = 15.6 >= 14; 22 out: 13.6 < 14. */
static void coaster_stick_out(void **state) {
  (void)state;
  bench.part = (struct part){
      .length = MM(88), .width = MM(88), .thickness = MM(8), .way = WAY_GANG, .shape = SHAPE_ROUND};
  (void)add_step(STEP_POCKET, FLAT3, MM(15) / 10, SIDE_TOP);
  (void)add_step(STEP_PROFILE, FLAT3, 0, SIDE_TOP);
  sort_clampings();
  assert_int_equal(bench.clamping_count, 1);
  assert_int_equal(check(0, &bench.hold_down, MM(8)).finding_count, 0);
  bench.cutters[FLAT3].stickout = MM(22);
  struct heights heights = check(0, &bench.hold_down, MM(8));
  assert_int_equal(heights.finding_count, 1);
  assert_int_equal(heights.findings[0].limit, HEIGHT_NUT_CLAMP);
  assert_int_equal(heights.findings[0].needs - heights.findings[0].has, MM(4) / 10);
}

static void too_short_a_flute(void **state) {
  (void)state;
  cribbage_board();
  bench.cutters[FLAT6].flute_length = MM(20);
  struct heights heights = check(1, NULL, MM(22));
  assert_int_equal(heights.finding_count, 1);
  assert_int_equal(heights.findings[0].limit, HEIGHT_FLUTE);
  assert_int_equal(heights.cut_count, 1);
  const struct cut_through *cut = &heights.cuts[0];
  assert_int_equal(cut->needs, MM(224) / 10);
  assert_int_equal(cut->deepest, MM(20));
  assert_int_equal(cut->on_bed, MM(20));
  assert_int_equal(cut->left, MM(24) / 10);
  assert_int_equal(cut->finish, PLACE_SAW);
  bench.cutters[FLAT6].neck_reach = MM(23);
  assert_int_equal(check(1, NULL, MM(22)).cut_count, 0);
}

/* A drill 27 mm out, 2 kept under the nut, 4 faced away above: 21 mm reachable of 22.4 - 4 of a
 * through hole; with 20 mm out 14 of 18.4. */
static void pilot_holes(void **state) {
  (void)state;
  cribbage_board();
  bench.steps[3].depth = MM(18);
  bench.cutters[DRILL].stickout = MM(27);
  assert_int_equal(check(1, NULL, MM(22)).cut_count, 0);
  bench.cutters[DRILL].stickout = MM(20);
  struct heights heights = check(1, NULL, MM(22));
  assert_int_equal(heights.cut_count, 1);
  assert_int_equal(heights.cuts[0].needs, MM(184) / 10);
  assert_int_equal(heights.cuts[0].on_bed, MM(14));
  assert_int_equal(heights.cuts[0].finish, PLACE_DRILL_PRESS);
  bench.steps[3].place = PLACE_DRILL_PRESS; /* the bed only marks the places */
  sort_clampings();
  heights = check(1, NULL, MM(22));
  assert_int_equal(heights.cut_count, 1);
  assert_int_equal(heights.cuts[0].on_bed, MM(3));
  assert_int_equal(heights.cuts[0].left, MM(154) / 10);
}

static void waste_board(void **state) {
  (void)state;
  cribbage_board();
  bench.project.shop.overcut = MM(2);
  bench.project.shop.waste_board = MM(6);
  assert_int_equal(check(0, NULL, MM(22)).finding_count, 0);
  bench.project.shop.waste_board -= 1;
  struct heights heights = check(0, NULL, MM(22));
  assert_int_equal(heights.finding_count, 2);
  assert_int_equal(heights.findings[0].limit, HEIGHT_OVERCUT);
  assert_int_equal(heights.findings[1].limit, HEIGHT_WASTE_BOARD);
}

int main(void) {
  const struct CMUnitTest tests[] = {
#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
      BENCH_TEST(cribbage_clampings), BENCH_TEST(two_faces_two_clampings),
      BENCH_TEST(edge_and_end),       BENCH_TEST(cribbage_heights),
      BENCH_TEST(nut_and_hold_down),  BENCH_TEST(coaster_stick_out),
      BENCH_TEST(too_short_a_flute),  BENCH_TEST(pilot_holes),
      BENCH_TEST(waste_board),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
