/* Clamps tested side by side, and small loads worked out by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
/* cmocka wants the above first */
#include <cmocka.h>

#include "hold/load.h"
#include "hold/load_clamps.h"
#include "hold/load_places.h"

static struct clamp_choice hold_down(int64_t count) {
  return (struct clamp_choice){.kind = CLAMP_HOLD_DOWN,
                               .width = MM(25),
                               .over = MM(15),
                               .beside = MM(25),
                               .keep_out = MM(3),
                               .count = count};
}

/* 300 x 200, ends held, places every 25 mm. */
static struct load_problem load_of(const struct clamp_choice *choice) {
  struct load_problem problem = {.gap = MM(12), .edge = MM(11)};
  problem.hold = (struct clamp_problem){.length = MM(300),
                                        .width = MM(200),
                                        .bed_length = MM(380),
                                        .bed_width = MM(260),
                                        .reach = MM(3),
                                        .span = MM(150),
                                        .end = MM(40),
                                        .pitch = MM(25),
                                        .friction = 300,
                                        .choices = choice,
                                        .choice_count = 1};
  problem.hold.held[BED_LEFT] = problem.hold.held[BED_RIGHT] = true;
  return problem;
}

static size_t fewest(struct arena *arena, const struct load_problem *problem, uint64_t left) {
  struct load_clamps *clamps = load_clamps_begin(arena, &problem->hold, NULL);
  struct load_open open = load_clamps_open(clamps);
  struct held_clamp held[LOAD_CLAMPS_MOST];
  open.sides[BED_LEFT] &= left;
  size_t count = load_clamps_choose(clamps, &open, held);
  assert_int_equal(load_clamps_possible(clamps, &open), count != SIZE_MAX);
  return count;
}

/* Along 200 mm places begin at 0, 25 ... 175; ends within 40 leave 0 or 25 and 150 or 175. */
static void test_chains(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(6);
  struct load_problem problem = load_of(&choice);
  assert_int_equal(fewest(arena, &problem, 0xFF), 4);
  assert_int_equal(fewest(arena, &problem, 0x81), 4); /* 0 and 175: 150 between */
  assert_true(fewest(arena, &problem, 0x7C) == SIZE_MAX);
  problem.hold.span = MM(149);
  assert_true(fewest(arena, &problem, 0x81) == SIZE_MAX);
  assert_int_equal(fewest(arena, &problem, 0x89),
                   5); /* one more; the other side may have one less */
  problem.hold.span = MM(60);
  assert_int_equal(fewest(arena, &problem, 0xFF), 6);
  choice.count = 5;
  assert_true(fewest(arena, &problem, 0xFF) == SIZE_MAX);
  problem.hold.bed_length = MM(349);
  choice.count = 6;
  assert_true(fewest(arena, &problem, 0xFF) == SIZE_MAX);
  arena_destroy(arena);
}

/* Chains along a load held all around are told apart by what their ends meet around the corners:
 * of four reaches and four distances more than there is room for. Then what is not found is not
 * refuted. */
static void test_many_chains_are_not_exact(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choices[4];
  for (int i = 0; i < 4; i++) {
    choices[i] = hold_down(1);
    choices[i].width = MM(60);
    choices[i].over = MM(24) + i * MM(12);
  }
  struct load_problem problem = load_of(choices);
  problem.hold.held[BED_FRONT] = problem.hold.held[BED_BACK] = true;
  problem.hold.pitch = MM(12);
  problem.hold.choice_count = 3;
  assert_true(load_clamps_begin(arena, &problem.hold, NULL)->exact);
  problem.hold.choice_count = 4;
  assert_false(load_clamps_begin(arena, &problem.hold, NULL)->exact);
  problem.hold.held[BED_FRONT] = problem.hold.held[BED_BACK] = false;
  assert_true(load_clamps_begin(arena, &problem.hold, NULL)->exact);
  arena_destroy(arena);
}

/* 2 x 0.3 x 4 x 100 N = 240 N. */
static void test_friction(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(8);
  choice.force = 100000;
  struct load_problem problem = load_of(&choice);
  problem.hold.force = 240000;
  assert_int_equal(fewest(arena, &problem, 0xFF), 4);
  problem.hold.force = 240001;
  assert_int_equal(fewest(arena, &problem, 0xFF), 5);
  arena_destroy(arena);
}

static void test_stops_and_side_clamps(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(4);
  choice.kind = CLAMP_SIDE;
  choice.over = 0;
  struct load_problem problem = load_of(&choice);
  assert_int_equal(fewest(arena, &problem, 0xFF), 4);
  problem.hold.stop[BED_RIGHT] = true; /* holds its side; clamps push against it */
  assert_int_equal(fewest(arena, &problem, 0xFF), 2);
  problem.hold.stop[BED_LEFT] = true;
  assert_int_equal(fewest(arena, &problem, 0xFF), 0);
  arena_destroy(arena);
}

/* All four sides: in a corner only one of two clamps has room. */
static void test_corners(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(10);
  struct load_problem problem = load_of(&choice);
  problem.hold.held[BED_FRONT] = problem.hold.held[BED_BACK] = true;
  assert_int_equal(fewest(arena, &problem, 0xFF), 10);
  problem.hold.end = MM(24); /* now all of them want the corners */
  assert_true(fewest(arena, &problem, 0xFF) == SIZE_MAX);
  arena_destroy(arena);
}

/* Clamps of 15 mm on both ends: on 29 mm they would lie over each other. */
static void test_narrow(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(4);
  struct load_problem problem = load_of(&choice);
  problem.hold.length = MM(30);
  assert_int_equal(fewest(arena, &problem, 0xFF), 4);
  problem.hold.length = MM(29);
  assert_true(fewest(arena, &problem, 0xFF) == SIZE_MAX);
  problem.hold.held[BED_RIGHT] = false;
  assert_int_equal(fewest(arena, &problem, 0xFF), 2);
  arena_destroy(arena);
}

/* Two parts side by side leave 22 mm on the left and right at most: with the clamps' 21 there is
 * room for parts of 123, or of 139 where a clamp stands beside them. */
static void test_between_clamps(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(4);
  struct load_problem problem = load_of(&choice);
  struct load_item item = {.length = MM(123), .width = MM(178), .most = 2, .worth = 1};
  struct load_answer answer;
  problem.items = &item;
  problem.item_count = 1;
  assert_int_equal(load_fits(arena, &problem, 10000000, &answer), LOAD_FOUND);
  assert_int_equal(answer.clamp_count, 4);
  item.length += MM(1);
  assert_int_equal(load_fits(arena, &problem, 10000000, &answer), LOAD_REFUTED);
  item.length = MM(139 - 6);
  assert_int_equal(load_fits(arena, &problem, 10000000, &answer), LOAD_REFUTED);
  item.width = MM(200 - 2 * 31); /* between clamps in both corners */
  assert_int_equal(load_fits(arena, &problem, 10000000, &answer), LOAD_FOUND);
  arena_destroy(arena);
}

static bool has_begin(const struct load_begins *begins, length_t at) {
  for (size_t i = 0; i < begins->count; i++)
    if (begins->items[i].at == at) return true;
  return false;
}

/* Room from 8 to 92, one part of 44; a clamp of 25 keeps 3 + 3 away from it. By hand: 0, behind
 * clamps 25, 50, 75; behind the part 8 + 44 + 6 = 58; ending 30 from the corner 45, behind that 70.
 */
static void test_pushed_places(void **state) {
  (void)state;
  struct clamp_choice choice = hold_down(6);
  struct load_problem problem = load_of(&choice);
  struct load_item item = {.length = MM(40), .width = MM(44), .most = 2, .worth = 1};
  problem.hold.width = MM(100);
  problem.hold.end = MM(30);
  problem.gap = MM(10);
  problem.edge = MM(8);
  problem.items = &item;
  problem.item_count = 1;
  struct load_begins begins[2];
  static const int64_t expected[] = {0, 25, 45, 50, 58, 70, 75};
  assert_true(load_places_list(&problem, begins));
  assert_int_equal(begins[0].count, 0);
  assert_int_equal(begins[1].count, 7);
  for (size_t i = 0; i < 7; i++) assert_true(has_begin(&begins[1], MM(expected[i])));
  problem.hold.span = MM(5); /* before the one at 58 */
  assert_true(load_places_list(&problem, begins));
  assert_true(has_begin(&begins[1], MM(28)));
  item.round = true;
  assert_false(load_places_list(&problem, begins));
}

static void test_best_of_more(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  struct clamp_choice choice = hold_down(4);
  struct load_problem problem = load_of(&choice);
  struct load_item items[2] = {
      {.length = MM(120), .width = MM(80), .turns = true, .most = 9, .worth = 100},
      {.length = MM(60), .width = MM(40), .turns = true, .most = 2, .worth = 20}};
  struct load_answer answer;
  problem.items = items;
  problem.item_count = 2;
  load_best(arena, &problem, 100000000, &answer);
  assert_true(answer.proved && answer.held);
  assert_int_equal(answer.worth, 400);
  choice.count = 3;
  load_best(arena, &problem, 100000000, &answer);
  assert_true(answer.proved && !answer.held);
  assert_int_equal(answer.worth, 0);
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_chains),         cmocka_unit_test(test_many_chains_are_not_exact),
      cmocka_unit_test(test_friction),       cmocka_unit_test(test_stops_and_side_clamps),
      cmocka_unit_test(test_corners),        cmocka_unit_test(test_narrow),
      cmocka_unit_test(test_between_clamps), cmocka_unit_test(test_pushed_places),
      cmocka_unit_test(test_best_of_more),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
