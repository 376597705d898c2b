/* The bed's limits, and what of a load and its shop becomes a clamp problem. */
#include "hold/bed.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

struct bench {
  struct arena *arena;
  struct project project;
  struct part part;
  struct clamp clamps[2];
  struct bed bed;
  struct bed_load load;
};

/* One part of 200 x 60, 20 thick, in a load of 260 x 100; bed and travel are the defaults. */
static int open_bench(void **state) {
  static struct bench bench;
  static const size_t parts[] = {0};
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  if (bench.arena == NULL) return -1;
  bench.part = (struct part){
      .name = "board", .length = MM(200), .width = MM(60), .thickness = MM(20), .way = WAY_BLANK};
  bench.clamps[0] = (struct clamp){.name = "down",
                                   .kind = CLAMP_HOLD_DOWN,
                                   .count = 4,
                                   .width = MM(25),
                                   .over = MM(15),
                                   .beside = MM(25),
                                   .max_stock = LENGTH_MAX};
  bench.clamps[1] = bench.clamps[0];
  bench.clamps[1].name = "push";
  bench.clamps[1].kind = CLAMP_SIDE;
  bench.project = (struct project){
      .parts = &bench.part, .part_count = 1, .clamps = bench.clamps, .clamp_count = 2};
  shop_set_defaults(bench.arena, &bench.project.shop, UNIT_MM);
  bed_open(bench.arena, &bench.project, &bench.bed);
  bench.load =
      (struct bed_load){.length = MM(260),
                        .width = MM(100),
                        .thickness = MM(20),
                        .hold = HOLD_ENDS,
                        .parts = parts,
                        .part_count = 1,
                        .work = {.reach = MM(6), .cutter_diameter = MM(6), .centre = MM(3)}};
  *state = &bench;
  return 0;
}

static int close_bench(void **state) {
  struct bench *bench = *state;
  arena_destroy(bench->arena);
  return 0;
}

static bool is_taken(const struct bench *bench) {
  struct clamp_problem problem = bed_problem(&bench->bed, &bench->load);
  struct held_part held = bed_in_the_middle(&bench->bed, &bench->load, &problem);
  return bed_takes(&bench->bed, &bench->load, &problem, &held);
}

/* The cutter's centre runs 3 outside the part on either side: 200 + 6 and 60 + 6 of travel. */
static void bed_and_travel(void **state) {
  struct bench *bench = *state;
  struct shop *shop = &bench->project.shop;
  shop->bed_length = MM(260);
  shop->bed_width = MM(100);
  shop->travel_x = MM(206);
  shop->travel_y = MM(66);
  assert_true(is_taken(bench));
  shop->travel_x--;
  assert_false(is_taken(bench));
  shop->travel_x++;
  shop->travel_y--;
  assert_false(is_taken(bench));
  shop->travel_y++;
  shop->bed_length--;
  assert_false(is_taken(bench));
  shop->bed_length++;
  shop->bed_width--;
  assert_false(is_taken(bench));
  shop->bed_width++;
  bench->load.across = true;
  assert_false(is_taken(bench));
  shop->bed_length = shop->bed_width = MM(260);
  shop->travel_x = MM(66);
  shop->travel_y = MM(206);
  assert_true(is_taken(bench));
}

static void edges_and_gaps(void **state) {
  struct bench *bench = *state;
  struct shop *shop = &bench->project.shop;
  shop->rim = MM(8);
  shop->web = MM(5);
  shop->squareness = MM(1);
  assert_int_equal(bed_edge(shop, &bench->load.work), MM(6 + 8 + 1));
  bench->load.work.reach = MM(20); /* a wide facing cutter goes further than cutter and rim */
  assert_int_equal(bed_edge(shop, &bench->load.work), MM(20 + 1));
  shop->part_gap = -1;
  assert_int_equal(bed_gap(shop, &bench->load.work), MM(2 * 6 + 5));
  shop->part_gap = 0;
  assert_int_equal(bed_gap(shop, &bench->load.work), 0);
}

static void loads_as_problems(void **state) {
  struct bench *bench = *state;
  struct shop *shop = &bench->project.shop;
  shop->clamp_span = MM(150);
  bench->load.thickness = MM(20);
  struct clamp_problem problem = bed_problem(&bench->bed, &bench->load);
  assert_int_equal(problem.span, MM(150));
  assert_int_equal(problem.choice_count, 2);
  assert_int_equal(problem.choices[0].over, MM(15));
  assert_int_equal(problem.choices[1].over, 0); /* it stands beside the stock */
  assert_true(problem.held[BED_LEFT] && problem.held[BED_RIGHT]);
  assert_false(problem.held[BED_FRONT] || problem.held[BED_BACK]);
  bench->load.thickness = MM(8); /* bends sooner: 15 x 8 */
  assert_int_equal(bed_problem(&bench->bed, &bench->load).span, MM(120));
  bench->load.across = true;
  problem = bed_problem(&bench->bed, &bench->load);
  assert_int_equal(problem.length, MM(100));
  assert_int_equal(problem.width, MM(260));
  assert_false(problem.held[BED_LEFT] || problem.held[BED_RIGHT]);
  assert_true(problem.held[BED_FRONT] && problem.held[BED_BACK]);
}

/* A part worked from under lies in one load with one that is not: both lie the same way up. */
static void fixings_of_unlike_parts(void **state) {
  struct bench *bench = *state;
  enum { LID, TRAY, PARTS };
  struct part parts[PARTS] = {[LID] = bench->part, [TRAY] = bench->part};
  struct cutter cutter = {.name = "flat", .diameter = MM(6)};
  struct step steps[] = {
      {.part = LID, .kind = STEP_PROFILE},
      {.part = TRAY, .kind = STEP_POCKET, .side = SIDE_UNDER},
      {.part = TRAY, .kind = STEP_PROFILE},
      {.part = TRAY, .kind = STEP_DRILL, .stand = STAND_EDGE},
  };
  struct project project = {.parts = parts,
                            .part_count = PARTS,
                            .cutters = &cutter,
                            .cutter_count = 1,
                            .steps = steps,
                            .step_count = sizeof steps / sizeof steps[0],
                            .shop = bench->project.shop};
  const size_t kinds[] = {TRAY, LID};
  struct fixing *fixings = NULL;
  struct part_work *works = part_works(bench->arena, &project);
  assert_int_equal(load_fixings(bench->arena, &project, works, kinds, 2, &fixings), 3);
  assert_int_equal(fixings[0].side, SIDE_UNDER);
  assert_false(fixings[0].second || fixings[0].frees[0] || fixings[0].frees[1]);
  assert_int_equal(fixings[0].steps[0].count, 1);
  assert_int_equal(fixings[0].steps[1].count, 0);
  assert_int_equal(fixings[1].side, SIDE_TOP);
  assert_true(fixings[1].second && fixings[1].frees[0] && fixings[1].frees[1]);
  assert_ptr_equal(fixings[1].steps[0].steps[0], &steps[2]);
  assert_ptr_equal(fixings[1].steps[1].steps[0], &steps[0]);
  assert_int_equal(fixings[2].stand, STAND_EDGE);
  assert_false(fixings[2].second || fixings[2].frees[0]);
  steps[1].side = SIDE_TOP; /* parted from under, so that is up last */
  steps[2].side = SIDE_UNDER;
  assert_int_equal(load_fixings(bench->arena, &project, works, kinds, 2, &fixings), 3);
  assert_int_equal(fixings[0].side, SIDE_TOP);
  assert_true(fixings[0].frees[1] && !fixings[0].frees[0]);
  assert_true(fixings[1].side == SIDE_UNDER && fixings[1].frees[0] && !fixings[1].frees[1]);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_bench, close_bench)
  const struct CMUnitTest tests[] = {TEST(bed_and_travel), TEST(edges_and_gaps),
                                     TEST(loads_as_problems), TEST(fixings_of_unlike_parts)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
