/* Times by hand on the cribbage demo's figures (plausibility, no outside source). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "cost/time.h"

enum { FLAT6, FLAT3, FACE16, DRILL, VEE, CUTTERS };

struct bench {
  struct arena *arena;
  struct project project;
  struct part part;
  struct cutter cutters[CUTTERS];
  struct timed_part timed;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  struct shop *shop = &bench.project.shop;
  shop_set_defaults(bench.arena, shop, UNIT_MM);
  shop->overcut = MM(4) / 10, shop->clearance = MM(5);
  shop->tool_change_min = 1000, shop->probe_min = 1000, shop->setup_min = 4000;
  shop->saw_cut_min = 500, shop->fence_setting_min = 1500, shop->tab_clean_min = 500;
  shop->attended_share = 30000;
  bench.cutters[FLAT6] = (struct cutter){.diameter = MM(6),
                                         .feed = MM(900),
                                         .plunge = MM(250),
                                         .stepdown = MM(2),
                                         .stepover = MM(24) / 10};
  bench.cutters[FLAT3] = (struct cutter){.diameter = MM(3),
                                         .feed = MM(700),
                                         .plunge = MM(200),
                                         .stepdown = MM(12) / 10,
                                         .stepover = MM(12) / 10};
  bench.cutters[FACE16] = (struct cutter){.diameter = MM(16),
                                          .feed = MM(1500),
                                          .plunge = MM(300),
                                          .stepdown = MM(1),
                                          .stepover = MM(8)};
  bench.cutters[DRILL] = (struct cutter){
      .diameter = MM(32) / 10, .feed = MM(200), .plunge = MM(200), .stepdown = MM(3)};
  bench.cutters[VEE] =
      (struct cutter){.diameter = MM(10), .feed = MM(800), .plunge = MM(200), .stepdown = MM(1)};
  bench.project.cutters = bench.cutters;
  bench.project.cutter_count = CUTTERS;
  bench.part =
      (struct part){.length = MM(240), .width = MM(72), .thickness = MM(18), .faced = FACED_ONE};
  bench.timed = (struct timed_part){
      .project = &bench.project, .part = &bench.part, .raw = MM(22), .tab_height = MM(45) / 10};
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

static void expect(struct step step, int64_t thousandths) {
  assert_int_equal(time_step(&bench.timed, &step), thousandths);
}

/* 4778 / (2.4 x 900) = 2.21204 a pass, 3 passes; 5.2 / 250; 15.2 up and down at 1500: 6.66704. */
static void pocket(void **state) {
  (void)state;
  struct step step = {.kind = STEP_POCKET,
                      .cutter = FLAT6,
                      .depth = MM(52) / 10,
                      .area = 4778000,
                      .count = 1,
                      .side = SIDE_UNDER};
  expect(step, 6667);
  step.count = 2;
  expect(step, 13334);
  step.place = PLACE_SAW;
  expect(step, 0);
}

/* 4 mm off at 1 a pass; 10 paths of 240 and 72 between: 4 x 2472 / 1500 = 6.592; 4 / 300; 14 /
 * 1500. With an area of 17280: 4 x 17280 / (8 x 1500) = 5.76. */
static void face(void **state) {
  (void)state;
  struct step step = {.kind = STEP_FACE, .cutter = FACE16, .count = 1};
  expect(step, 6615);
  step.area = 17280000;
  expect(step, 5783);
  bench.timed.raw = MM(18);
  expect(step, 0);
}

/* One hole of 9 by 3s: 9 / 200 new; out and in again 2 x (3 + 6), up 9, 10 clearance: 37 / 1500;
 * 0.069667 a hole, 126 of them: 8.778. Without pecks 9 / 200 + 19 / 1500. */
static void drill(void **state) {
  (void)state;
  struct step step = {
      .kind = STEP_DRILL, .cutter = DRILL, .depth = MM(9), .count = 126, .peck = MM(3)};
  expect(step, 8778);
  step.path = MM(3000); /* two more minutes at 1500 */
  expect(step, 10778);
  step.path = 0, step.count = 1, step.peck = 0;
  expect(step, 58);
}

/* 22.4 in 12 passes of 624 + 6 pi = 642.8496: 8.571328; 22.4 / 250 = 0.0896; 32.4 / 1500 = 0.0216.
 * A tab stands 4.9 over the last pass, 2.9 and 0.9 over those before: 2 x 8.7 / 250 = 0.0696. */
static void profile(void **state) {
  (void)state;
  struct step step = {.kind = STEP_PROFILE, .cutter = FLAT6, .count = 1};
  expect(step, 8683);
  bench.timed.tabs = 6;
  expect(step, 9100);
  bench.timed.tabs = 0;
  step.path = MM(624); /* 8.32 */
  expect(step, 8431);
}

/* 624 / 800 = 0.78; 0.8 / 200; 10.8 / 1500: 0.7912. */
static void chamfer(void **state) {
  (void)state;
  struct step step = {.kind = STEP_CHAMFER, .cutter = VEE, .depth = MM(8) / 10, .count = 1};
  expect(step, 791);
  step.path = MM(624);
  expect(step, 791);
}

static struct tool_order order_of(const size_t *cutters, size_t count) {
  struct tool_order order = {ARENA_ARRAY(bench.arena, count, size_t), count};
  if (count > 0) memcpy(order.cutters, cutters, count * sizeof *cutters);
  return order;
}

/* Three loads with face16 then flat3: 6 changes; two with flat3 alone after them: none. */
static void changes(void **state) {
  (void)state;
  const size_t two[] = {FACE16, FLAT3};
  struct timed_clamping clampings[] = {
      {.order = order_of(two, 2), .cutting = 10000, .tabs = 4, .hand = 250, .times = 3},
      {.order = order_of(two + 1, 1), .cutting = 1000, .times = 2}};
  struct timed_run run = {
      .clampings = clampings, .clamping_count = 2, .saw_cuts = 7, .fence_settings = 2, .hand = 40};
  struct run_time time = time_run(&bench.project, &run);
  assert_int_equal(time.change_count, 6);
  assert_int_equal(time.setup_count, 5);
  assert_int_equal(time.cutting, 32000);
  assert_int_equal(time.changes, 6000);
  assert_int_equal(time.probing, 11000);
  assert_int_equal(time.setups, 20000);
  assert_int_equal(time.sawing, 3500);
  assert_int_equal(time.fences, 3000);
  assert_int_equal(time.tab_cleaning, 6000);
  assert_int_equal(time.hand, 790);
  assert_int_equal(time.total.machine, 32000);
  assert_int_equal(time.total.attended, 9600);
  assert_int_equal(time.total.hand, 50290);
  /* With face16 in the changer its three changes are the machine's, and need no probing. */
  bench.cutters[FACE16].slot = 1;
  time = time_run(&bench.project, &run);
  assert_int_equal(time.total.machine, 35000);
  assert_int_equal(time.total.hand, 50290 - 6000);
  assert_int_equal(time.changes, 6000);
  assert_int_equal(time.changes_by_hand, 3000);
  assert_int_equal(time.change_count, 6);
}

/* Two boards and a lid in one clamping: steps, tabs and hand minutes of each copy. */
static void one_clamping(void **state) {
  (void)state;
  struct part lid = {.length = MM(138), .width = MM(34), .thickness = MM(18), .hand_minutes = 100};
  bench.part.hand_minutes = 250;
  bench.timed.tabs = 6;
  struct step chamfer_step = {.kind = STEP_CHAMFER, .cutter = VEE, .depth = MM(8) / 10, .count = 1};
  struct step profile_step = {.kind = STEP_PROFILE, .cutter = FLAT6, .count = 1};
  const struct step *board_steps[] = {&chamfer_step, &profile_step};
  struct timed_kind kinds[] = {
      {.timed = bench.timed, .steps = {board_steps, 2}, .copies = 2, .freed = true},
      {.timed = bench.timed, .steps = {board_steps, 1}, .copies = 1, .freed = false}};
  kinds[1].timed.part = &lid;
  struct timed_clamping made = time_clamping(bench.arena, kinds, 2, 5);
  /* 2 x (791 + 9100), and 344 / 800 + 0.0112 of the lid */
  assert_int_equal(made.cutting, 2 * (791 + 9100) + 441);
  assert_int_equal(made.tabs, 12);
  assert_int_equal(made.hand, 500);
  assert_int_equal(made.times, 5);
  assert_int_equal(made.order.count, 2);
  assert_int_equal(made.order.cutters[0], VEE);
}

/* Five times 10 minutes with 4 tabs and 2 by hand, of which one goes without a part of 3 minutes,
 * 2 tabs and half a minute by hand. */
static void parts_left_out(void **state) {
  (void)state;
  struct timed_clamping clampings[] = {
      {.cutting = 10000, .tabs = 4, .hand = 2000, .times = 5, .spared = {3000, 2, 500}}};
  struct timed_run run = {.clampings = clampings, .clamping_count = 1};
  struct run_time time = time_run(&bench.project, &run);
  assert_int_equal(time.cutting, 47000);
  assert_int_equal(time.tab_cleaning, 18 * bench.project.shop.tab_clean_min);
  assert_int_equal(time.hand, 9500);
}

static void nothing_to_do(void **state) {
  (void)state;
  struct timed_run run = {.clampings = NULL};
  struct run_time time = time_run(&bench.project, &run);
  assert_int_equal(time.total.machine + time.total.attended + time.total.hand, 0);
}

static void expect_order(const struct step_list *lists, size_t count, const size_t *cutters,
                         size_t cutter_count) {
  struct tool_order order = tool_order_of(bench.arena, lists, count);
  assert_int_equal(order.count, cutter_count);
  for (size_t i = 0; i < cutter_count; i++) assert_int_equal(order.cutters[i], cutters[i]);
}

static void order_of_cutters(void **state) {
  (void)state;
  struct step face = {.kind = STEP_FACE, .cutter = FACE16};
  struct step pocket3 = {.kind = STEP_POCKET, .cutter = FLAT3};
  struct step hole = {.kind = STEP_DRILL, .cutter = DRILL};
  struct step profile3 = {.kind = STEP_PROFILE, .cutter = FLAT3};
  struct step profile6 = {.kind = STEP_PROFILE, .cutter = FLAT6};
  const struct step *lid[] = {&face, &profile3};
  const struct step *tray[] = {&face, &hole, &pocket3, &profile6};
  struct step_list lists[] = {{lid, 2}, {tray, 4}};
  const size_t alone[] = {FACE16, FLAT3};
  expect_order(lists, 1, alone, 2);
  /* The lid is not cut free before the tray is drilled and pocketed; flat3 stays in for it. */
  const size_t both[] = {FACE16, DRILL, FLAT3, FLAT6};
  expect_order(lists, 2, both, 4);
  expect_order(lists, 0, NULL, 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
      BENCH_TEST(pocket),           BENCH_TEST(face),           BENCH_TEST(drill),
      BENCH_TEST(profile),          BENCH_TEST(chamfer),        BENCH_TEST(changes),
      BENCH_TEST(one_clamping),     BENCH_TEST(parts_left_out), BENCH_TEST(nothing_to_do),
      BENCH_TEST(order_of_cutters),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
