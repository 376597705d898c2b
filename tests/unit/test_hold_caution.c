/* Each caution fires by its own check and is silent otherwise: on the cribbage demo as it is read,
 * altered by one figure at a time. Hand arithmetic (plausibility, no outside source). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "hold/caution.h"
#include "model/machining.h"
#include "read/read.h"

enum { BOARD, LID, SPACER }; /* in the demo's order */

struct bench {
  struct arena *arena;
  struct project *project;
  struct hold_cautions cautions;
  const struct step *own[16];
  size_t own_count;
  struct held_part parts[2];
  struct held_clamp held[4];
  struct clamp clamps[2];
  struct fixing fixings[2];
  struct load load;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  struct diagnostics *diagnostics = diagnostics_create(bench.arena);
  enum status status =
      read_project(bench.arena, SOURCE_ROOT "/boards/cribbage", diagnostics, &bench.project);
  bench.cautions.arena = bench.arena;
  return status == STATUS_OK ? 0 : -1;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

static void expect(size_t count) {
  if (bench.cautions.count != count)
    for (size_t i = 0; i < bench.cautions.count; i++)
      print_message("%s\n", bench.cautions.items[i].text);
  assert_int_equal(bench.cautions.count, count);
}

static const struct hold_caution *expect_one(enum hold_caution_kind kind) {
  expect(1);
  assert_int_equal(bench.cautions.items[0].kind, kind);
  return &bench.cautions.items[0];
}

static void contains(const struct hold_caution *caution, const char *text) {
  if (strstr(caution->text, text) == NULL) fail_msg("'%s' lacks '%s'", caution->text, text);
}

static void own_steps(size_t part) {
  bench.own_count = 0;
  for (size_t i = 0; i < bench.project->step_count; i++)
    if (bench.project->steps[i].part == part)
      bench.own[bench.own_count++] = &bench.project->steps[i];
}

static struct step *own_step(size_t part, enum step_kind kind) {
  for (size_t i = 0; i < bench.project->step_count; i++)
    if (bench.project->steps[i].part == part && bench.project->steps[i].kind == kind)
      return &bench.project->steps[i];
  fail_msg("no such step");
  return NULL;
}

static void look_at_shop(void) {
  bench.cautions.count = 0;
  hold_caution_shop(&bench.cautions, bench.project);
}

static void look_at_part(size_t part, length_t raw) {
  own_steps(part);
  bench.cautions.count = 0;
  hold_caution_part(&bench.cautions, bench.project, part, bench.own, bench.own_count, STOCK_PLANK,
                    bench.project->parts[part].woods[0]);
  hold_caution_faces(&bench.cautions, bench.project, part, bench.own, bench.own_count, raw);
}

static void shop(void **state) {
  (void)state;
  look_at_shop();
  expect(0);
  bench.project->shop.overcut = MM(5);
  look_at_shop();
  contains(expect_one(HOLD_CAUTION_WASTE_BOARD), "an overcut of 5 mm");
  bench.project->shop.overcut = MM(1);
  bench.project->shop.waste_board = MM(5);
  look_at_shop();
  contains(expect_one(HOLD_CAUTION_WASTE_BOARD), "5 mm thick, under 6 mm");
}

static void chip_load(void **state) {
  (void)state;
  bench.project->cutters[0].feed = MM(300);
  look_at_shop();
  contains(expect_one(HOLD_CAUTION_CHIP_LOAD), "0.013 mm");
  assert_int_equal(bench.cautions.items[0].cutter, 0);
  assert_string_equal(hold_caution_subject(bench.arena, bench.project, &bench.cautions.items[0]),
                      "cutter 'flat6'");
  bench.project->cutters[0].feed = MM(2500);
  look_at_shop();
  contains(expect_one(HOLD_CAUTION_CHIP_LOAD), "may snap");
  bench.project->cutters[0].rpm = 0;
  look_at_shop();
  expect(0);
}

/* 22 - 18 is over 3 mm off one face, 21 - 18 is not; 2 + 2 off two faces is not. */
static void facing(void **state) {
  (void)state;
  look_at_part(BOARD, MM(21));
  expect(0);
  look_at_part(BOARD, MM(22));
  contains(expect_one(HOLD_CAUTION_FACING), "4 mm come off");
  bench.project->parts[BOARD].faced = FACED_TWO;
  look_at_part(BOARD, MM(22));
  expect(0);
}

/* 21 - 18: 3 are to come off; 0.3 more or less is within the tolerance of thickness. */
static void depth_of_facing(void **state) {
  (void)state;
  struct step *face = own_step(BOARD, STEP_FACE);
  face->depth = MM(33) / 10;
  look_at_part(BOARD, MM(21));
  expect(0);
  face->depth = MM(7);
  look_at_part(BOARD, MM(21));
  const struct hold_caution *caution = expect_one(HOLD_CAUTION_FACE_DEPTH);
  assert_string_equal(caution->text,
                      "facing takes 7 mm off stock 21 mm thick, and 14 mm would be left: 18 mm are "
                      "wanted; let the depths come to 3 mm, or leave them empty for what is to "
                      "come off");
  assert_string_equal(hold_caution_subject(bench.arena, bench.project, caution),
                      "part 'board', face with 'face16'");
  face->depth = MM(1);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_FACE_DEPTH), "20 mm would be left");
  face->depth = MM(21);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_FACE_DEPTH), "nothing would be left");
  bench.project->parts[BOARD].faced = FACED_NONE;
  face->depth = MM(1);
  look_at_part(BOARD, MM(18));
  contains(expect_one(HOLD_CAUTION_FACE_DEPTH), "say in parts.csv how many faces are faced");
  face->area = 2000; /* thousandths of a square mm: a recess */
  look_at_part(BOARD, MM(18));
  expect(0);
}

/* Faces share 3 mm as the steps say; where one does not, it takes the rest. */
static void depth_of_two_faces(void **state) {
  (void)state;
  struct step *top = own_step(BOARD, STEP_FACE);
  struct step *under = own_step(BOARD, STEP_POCKET);
  bench.project->parts[BOARD].faced = FACED_TWO;
  *under = *top;
  under->side = SIDE_UNDER;
  look_at_part(BOARD, MM(21));
  expect(0);
  top->depth = MM(2);
  look_at_part(BOARD, MM(21));
  expect(0);
  assert_int_equal(
      machining_faced(&bench.project->parts[BOARD], bench.own, bench.own_count, SIDE_UNDER, MM(21)),
      MM(1));
  under->depth = MM(2);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_FACE_DEPTH), "facing takes 4 mm");
  top->depth = 0;
  look_at_part(BOARD, MM(21));
  expect(0);
  assert_int_equal(
      machining_faced(&bench.project->parts[BOARD], bench.own, bench.own_count, SIDE_TOP, MM(21)),
      MM(1));
  top->depth = MM(2);
  under->depth = MM(1);
  under->side = SIDE_TOP; /* roughed and finished in all of it */
  look_at_part(BOARD, MM(21));
  expect(0);
  bench.project->parts[BOARD].faced = FACED_ONE;
  look_at_part(BOARD, MM(21));
  expect(0);
  under->depth = 0; /* the rest */
  look_at_part(BOARD, MM(21));
  expect(0);
}

/* 18 thick, 72 wide; 0.4 more go into the waste board. */
static void deeper_than_the_part(void **state) {
  (void)state;
  struct step *hole = own_step(BOARD, STEP_DRILL);
  hole->depth = MM(18) + bench.project->shop.overcut;
  look_at_part(BOARD, MM(21));
  expect(0);
  hole->depth += MM(1);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_TOO_DEEP),
           "a hole 19.4 mm deep is wanted and there are 18 mm of the part");
  assert_ptr_equal(bench.cautions.items[0].step, hole);
  hole->stand = STAND_EDGE;
  look_at_part(BOARD, MM(21));
  expect(0);
  hole->kind = STEP_POCKET;
  hole->depth = MM(80);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_TOO_DEEP), "a pocket 80 mm deep is wanted and there are 72 mm");
}

/* 18 - 6 - 9 leaves 3, just enough. */
static void floor_under_pockets(void **state) {
  (void)state;
  struct step *hole = &bench.project->steps[3];
  assert_int_equal(hole->kind, STEP_DRILL);
  hole->depth += 1;
  look_at_part(BOARD, MM(21));
  assert_int_equal(expect_one(HOLD_CAUTION_FLOOR)->part, BOARD);
  contains(&bench.cautions.items[0], "a pocket 6 mm deep and a hole 9 mm deep");
  hole->depth = MM(12);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_FLOOR), "break into each other");
  hole->depth = MM(18); /* right through: no floor is meant */
  look_at_part(BOARD, MM(21));
  expect(0);
  bench.project->steps[1].depth = MM(16);
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_FLOOR), "leaves 2 mm of 18 mm under it");
}

static void small_part(void **state) {
  (void)state;
  look_at_part(LID, MM(7));
  expect(0);
  look_at_part(SPACER, MM(7));
  contains(expect_one(HOLD_CAUTION_SMALL_PART), "14 mm");
  bench.project->parts[SPACER].tabs = 3;
  look_at_part(SPACER, MM(7));
  expect(0);
  bench.project->parts[SPACER].tabs = 2;
  bench.project->parts[SPACER].hold = HOLD_TAPE;
  look_at_part(SPACER, MM(7));
  expect(0);
}

/* 72 mm of walnut move by 0.79. */
static void movement(void **state) {
  (void)state;
  bench.project->parts[BOARD].fit = MM(8) / 10;
  look_at_part(BOARD, MM(21));
  expect(0);
  bench.project->parts[BOARD].fit = MM(7) / 10;
  look_at_part(BOARD, MM(21));
  contains(expect_one(HOLD_CAUTION_MOVEMENT),
           "72 mm across the grain move by 0.8 mm (black walnut)");
}

/* The board of 22 mm stock in its blank of 298 x 100, hold-downs on its ends. */
static void board_on_bed(length_t raw) {
  bench.parts[0] = (struct held_part){
      .part = BOARD, .x = MM(29), .y = MM(14), .length = MM(240), .width = MM(72)};
  bench.clamps[0] = bench.project->clamps[0];
  bench.clamps[1] = bench.project->clamps[1];
  bench.held[0] = (struct held_clamp){
      .side = BED_LEFT, .x = -MM(25), .y = MM(38), .length = MM(40), .width = MM(25)};
  bench.held[1] = (struct held_clamp){
      .side = BED_RIGHT, .x = MM(283), .y = MM(38), .length = MM(40), .width = MM(25)};
  bench.fixings[0] = (struct fixing){.side = SIDE_TOP};
  bench.load = (struct load){.length = MM(298),
                             .width = MM(100),
                             .thickness = raw,
                             .parts = bench.parts,
                             .part_count = 1,
                             .clamps = bench.held,
                             .clamp_count = 2,
                             .fixings = bench.fixings,
                             .fixing_count = 1};
}

static void look_at_load(void) {
  bench.cautions.count = 0;
  struct caution_load work = {bench.project, "B1", &bench.load, bench.clamps,
                              part_works(bench.arena, bench.project)};
  hold_caution_load(&bench.cautions, &work);
}

/* Hand: e + o + gap = 13 + 3 = 16 is wanted where the nut is too low, 14 there is; else 8 + 3 + 3.
 */
static void nut_meets_clamp(void **state) {
  (void)state;
  board_on_bed(MM(21));
  look_at_load();
  expect(0);
  bench.load.thickness = MM(22);
  look_at_load();
  expect(2);
  const struct hold_caution *caution = &bench.cautions.items[0];
  assert_int_equal(caution->kind, HOLD_CAUTION_MEETS_CLAMP);
  contains(caution, "the nut meets clamp 'hold-down A' (left)");
  contains(caution, "13.6 mm above the stock");
  contains(caution, "2 mm too near");
  assert_string_equal(hold_caution_subject(bench.arena, bench.project, caution),
                      "load 'B1', part 'board', profile with 'flat6'");
  bench.fixings[0].side = SIDE_UNDER; /* pockets stay inside */
  look_at_load();
  expect(0);
}

static void cutter_meets_clamp(void **state) {
  (void)state;
  board_on_bed(MM(21));
  bench.held[1].x -= MM(1); /* 13 for 8 + 3 + 3 of the facing cutter */
  look_at_load();
  contains(expect_one(HOLD_CAUTION_MEETS_CLAMP), "the cutter meets clamp 'hold-down A' (right)");
  contains(&bench.cautions.items[0], "1 mm too near");
  bench.held[1].clamp = 1; /* a side clamp whose top is below what is faced, 9 from the profile */
  look_at_load();
  expect(0);
  bench.held[1].x -= MM(5);
  look_at_load();
  contains(expect_one(HOLD_CAUTION_MEETS_CLAMP), "13 mm below");
}

/* Under first, then top: each fixing's own steps meet, what it says names the fixing. */
static void each_fixing_is_looked_at(void **state) {
  (void)state;
  board_on_bed(MM(21));
  struct step *profile = own_step(BOARD, STEP_PROFILE);
  profile->side = SIDE_UNDER;
  bench.project->cutters[profile->cutter].shank = MM(18); /* 3 + 9 + 3 = 15 for 14 */
  look_at_load();
  expect(0); /* as if it were never turned over */
  bench.fixings[1] = (struct fixing){.side = SIDE_UNDER, .second = true};
  bench.load.fixing_count = 2;
  look_at_load();
  expect(2); /* at each end, once */
  contains(&bench.cautions.items[0],
           "the shank meets clamp 'hold-down A' (left) in fixing 2, "
           "under face up: at full depth");
  assert_ptr_equal(bench.cautions.items[0].step, profile);
  bench.fixings[1].stand = STAND_EDGE; /* cut free by then */
  look_at_load();
  expect(0);
}

/* A side clamp that pushes against the stop on the left stands on the right in both fixings: turned
 * over, the end 49 mm from the board no longer lies there but the one 9 mm from it; 16 are wanted.
 * Hold-downs change ends with the wood. */
static void turned_over_against_a_stop(void **state) {
  (void)state;
  board_on_bed(MM(21));
  bench.parts[0].x = MM(9);
  bench.held[0] = (struct held_clamp){
      .clamp = 1, .side = BED_RIGHT, .x = MM(298), .y = MM(35), .length = MM(30), .width = MM(30)};
  bench.load.clamp_count = 1;
  bench.clamps[1].height = MM(40); /* as high as a nut */
  bench.fixings[1] = (struct fixing){.side = SIDE_UNDER};
  own_step(BOARD, STEP_PROFILE)->side = SIDE_UNDER;
  bench.load.fixing_count = 2;
  look_at_load();
  expect(0);
  bench.fixings[1].second = true;
  look_at_load();
  contains(expect_one(HOLD_CAUTION_MEETS_CLAMP), "'side push' (right) in fixing 2");
  bench.load.across = true; /* turned from front to back: the sides stay where they are */
  look_at_load();
  expect(0);
  bench.load.across = false;
  bench.project->shop.stops = 1; /* right and front: nothing to push against on the left */
  look_at_load();
  expect(0);
}

static void shank_meets_clamp(void **state) {
  (void)state;
  board_on_bed(MM(21));
  bench.project->cutters[0].shank = MM(18); /* 25 - 21.4 = 3.6 up; 3 + 9 + 3 = 15 for 14 */
  look_at_load();
  expect(2);
  contains(&bench.cautions.items[0], "the shank meets");
  contains(&bench.cautions.items[0], "1 mm too near");
}

/* 283 - 15 = 268 between the hold-downs; 15 x 17 = 255. */
static void thin_span(void **state) {
  (void)state;
  board_on_bed(MM(18));
  look_at_load();
  expect(0);
  bench.load.thickness = MM(17);
  look_at_load();
  contains(expect_one(HOLD_CAUTION_SPAN), "lies free over 268 mm");
  bench.held[2] = (struct held_clamp){
      .side = BED_FRONT, .x = MM(20), .y = -MM(30), .length = MM(30), .width = MM(30)};
  bench.held[3] = bench.held[2];
  bench.held[3].x = MM(240);
  bench.held[2].clamp = bench.held[3].clamp = 1;
  bench.load.clamp_count = 4; /* over the width now, 100; 190 between the two in front */
  look_at_load();
  expect(0);
  bench.load.thickness = MM(12);
  look_at_load();
  contains(expect_one(HOLD_CAUTION_SPAN), "lies free over 190 mm");
  bench.load.clamp_count = 0;
  look_at_load();
  expect(0);
}

static void side_clamp_on_thin_stock(void **state) {
  (void)state;
  board_on_bed(MM(20));
  bench.held[0].clamp = bench.held[1].clamp = 1;
  bench.held[0] = (struct held_clamp){
      .clamp = 1, .side = BED_BACK, .x = MM(20), .y = MM(100), .length = MM(30), .width = MM(30)};
  bench.load.clamp_count = 1;
  look_at_load();
  expect(0);
  bench.project->shop.side_clamp_min_stock = MM(20) + 1;
  look_at_load();
  contains(expect_one(HOLD_CAUTION_SIDE_CLAMP), "'side push'");
}

static void look_at_tabs(size_t part, struct tab_result result) {
  bench.cautions.count = 0;
  hold_caution_tabs(&bench.cautions, bench.project, "L1", part, &result);
}

static void tabs(void **state) {
  (void)state;
  struct tab_result fine = {
      .wanted = 3, .made = 3, .opposite = true, .width = MM(6), .height = MM(2)};
  look_at_tabs(LID, fine);
  expect(0);
  bench.project->parts[LID].thickness = MM(4) - 1;
  look_at_tabs(LID, fine);
  (void)expect_one(HOLD_CAUTION_TAB_HIGH);
  bench.project->parts[LID].thickness = MM(5);
  fine.height = TAB_HEIGHT_LEAST - 1;
  look_at_tabs(LID, fine);
  (void)expect_one(HOLD_CAUTION_TAB_LOW);
  fine.height = MM(2);
  fine.made = 2;
  look_at_tabs(LID, fine);
  contains(expect_one(HOLD_CAUTION_TABS_FEW), "2 of 3 tabs 6 mm wide");
  fine.made = 3;
  fine.opposite = false;
  look_at_tabs(LID, fine);
  contains(expect_one(HOLD_CAUTION_TABS_FEW), "no two opposite sides");
}

static struct heights heights_of(size_t part, length_t raw) {
  struct work_clamping *clampings;
  struct heights heights;
  own_steps(part);
  size_t count = height_clampings(bench.arena, &bench.project->parts[part], bench.own,
                                  bench.own_count, &clampings);
  struct height_work work = {.project = bench.project,
                             .part = &bench.project->parts[part],
                             .steps = bench.own,
                             .step_count = bench.own_count,
                             .clamping = &clampings[count - 1],
                             .raw = raw};
  height_check(bench.arena, &work, &heights);
  bench.cautions.count = 0;
  hold_caution_heights(&bench.cautions, bench.project, "B1", part, &heights);
  return heights;
}

static void heights(void **state) {
  (void)state;
  (void)heights_of(BOARD, MM(22));
  expect(0);
  bench.project->cutters[0].flute_length = MM(20);
  (void)heights_of(BOARD, MM(22));
  contains(expect_one(HOLD_CAUTION_CUT_THROUGH),
           "22.4 mm deep is wanted and 20 mm can be reached (the flutes reach 20 mm");
  contains(&bench.cautions.items[0], "the last 2.4 mm at the band saw");
  bench.project->cutters[0].flute_length = MM(25);
  bench.project->steps[3].depth = MM(18);
  bench.project->cutters[3].stickout = MM(20);
  (void)heights_of(BOARD, MM(22));
  contains(expect_one(HOLD_CAUTION_CUT_THROUGH), "14 mm deep pilot holes on the bed");
  bench.project->cutters[3].stickout = MM(40);
  bench.project->shop.daylight = MM(78); /* 79 are wanted */
  (void)heights_of(BOARD, MM(22));
  contains(expect_one(HOLD_CAUTION_HEIGHT), "want 79 mm under the spindle, there are 78 mm");
}

static void look_at_force(size_t part, struct tab_result result, const char *wood) {
  bench.cautions.count = 0;
  own_steps(part);
  struct tab_cut cut = {bench.own, bench.own_count, MM(7), wood};
  hold_caution_tab_force(&bench.cautions, bench.project, "L1", part, &result, &cut);
}

/* Two of 6 x 2 mm bear 24 x 16.1 = 386.4 N in maple, 24 x 8.2 = 196.8 N where the shear is not
 * known; the cut is reckoned with 30 N at least, twice that for safety. */
static void weak_tabs(void **state) {
  (void)state;
  struct tab_result two = {
      .wanted = 2, .made = 2, .opposite = true, .width = MM(6), .height = MM(2)};
  look_at_force(LID, two, "maple");
  expect(0);
  bench.project->shop.cut_force_min = 193200;
  look_at_force(LID, two, "maple");
  expect(0);
  bench.project->shop.cut_force_min = 193201;
  look_at_force(LID, two, "maple");
  const struct hold_caution *caution = expect_one(HOLD_CAUTION_TABS_WEAK);
  contains(caution, "its 2 tabs of 6 mm x 2 mm bear 386 N before they shear (sugar maple)");
  contains(caution, "387 N");
  bench.project->shop.cut_force_min = 98401;
  look_at_force(LID, two, "maple");
  expect(0);
  look_at_force(LID, two, "walnut");
  contains(expect_one(HOLD_CAUTION_TABS_WEAK),
           "bear 196 N before they shear (strength not in the "
           "table, the least taken)");
  two.made = 3;
  look_at_force(LID, two, "walnut");
  expect(0);
  two.made = two.wanted = 0; /* taped down, or said by another caution */
  look_at_force(LID, two, "walnut");
  expect(0);
  two.made = 2;
  own_step(LID, STEP_PROFILE)->place = PLACE_SAW; /* nothing is cut free on the bed */
  look_at_force(LID, two, "walnut");
  expect(0);
}

static void names_and_subjects(void **state) {
  (void)state;
  look_at_part(SPACER, MM(7));
  assert_string_equal(hold_caution_subject(bench.arena, bench.project, &bench.cautions.items[0]),
                      "part 'spacer'");
  struct hold_caution none = {.part = SIZE_MAX, .cutter = SIZE_MAX};
  assert_string_equal(hold_caution_subject(bench.arena, bench.project, &none), "the shop");
  for (int kind = 0; kind < HOLD_CAUTION_KINDS; kind++)
    assert_non_null(hold_caution_name((enum hold_caution_kind)kind));
}

int main(void) {
  const struct CMUnitTest tests[] = {
#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
      BENCH_TEST(shop),
      BENCH_TEST(chip_load),
      BENCH_TEST(facing),
      BENCH_TEST(depth_of_facing),
      BENCH_TEST(depth_of_two_faces),
      BENCH_TEST(deeper_than_the_part),
      BENCH_TEST(floor_under_pockets),
      BENCH_TEST(small_part),
      BENCH_TEST(movement),
      BENCH_TEST(nut_meets_clamp),
      BENCH_TEST(cutter_meets_clamp),
      BENCH_TEST(each_fixing_is_looked_at),
      BENCH_TEST(turned_over_against_a_stop),
      BENCH_TEST(shank_meets_clamp),
      BENCH_TEST(thin_span),
      BENCH_TEST(side_clamp_on_thin_stock),
      BENCH_TEST(tabs),
      BENCH_TEST(heights),
      BENCH_TEST(weak_tabs),
      BENCH_TEST(names_and_subjects),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
