/* Clear stretches against every single start, in the smallest units; chains of steps; sums of
 * forces. */
#include "hold/clamp_places.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

#include "hold/clamp_numbers.h"
#include "hold/clamp_rows.h"
#include "hold/clamp_rules.h"
#include "nest/random.h"

static int open_arena(void **state) {
  *state = arena_create();
  return *state == NULL;
}

static int close_arena(void **state) {
  arena_destroy(*state);
  return 0;
}

static length_t draw(uint64_t *seed, length_t least, length_t most) {
  return least + (length_t)(random_draw(seed) % (uint64_t)(most - least + 1));
}

static length_t nearest(length_t from, length_t to, length_t value) {
  return value < from ? from : value > to ? to : value;
}

/* Whether a keep-out and a path share more than an edge; lengths twice. */
static bool meet(const struct clamp_problem *problem, const struct held_clamp *body,
                 const struct clamp_obstacle *part) {
  length_t x0 = 2 * (body->x - body->keep_out);
  length_t x1 = 2 * (body->x + body->length + body->keep_out);
  length_t y0 = 2 * (body->y - body->keep_out);
  length_t y1 = 2 * (body->y + body->width + body->keep_out);
  length_t reach = 2 * problem->reach;
  if (!part->round)
    return x0 < 2 * (part->x + part->length) + reach && x1 > 2 * part->x - reach &&
           y0 < 2 * (part->y + part->width) + reach && y1 > 2 * part->y - reach;
  length_t x = 2 * part->x + part->length;
  length_t y = 2 * part->y + part->width;
  length_t dx = x - nearest(x0, x1, x);
  length_t dy = y - nearest(y0, y1, y);
  length_t radius = part->length + reach;
  return dx * dx + dy * dy < radius * radius;
}

static void check_side(struct arena *arena, const struct clamp_problem *problem,
                       enum bed_side side) {
  const struct clear_side *clear = &clear_sides(arena, problem)[clear_index(problem, side, 0)];
  for (length_t start = -3; start <= side_extent(problem, side); start++) {
    struct clamp_place place = {side, 0, start};
    struct held_clamp body;
    place_body(problem, &place, &body);
    bool free = start >= 0 && place_end(problem, &place) <= side_extent(problem, side);
    for (size_t o = 0; o < problem->obstacle_count; o++)
      free = free && !meet(problem, &body, &problem->obstacles[o]);
    assert_int_equal(clear_find(clear, start) != NULL, free);
  }
}

static void stretches_are_exact(void **state) {
  uint64_t seed = 7;
  for (int i = 0; i < 2000; i++) {
    struct clamp_choice choice = {.kind = CLAMP_HOLD_DOWN,
                                  .width = draw(&seed, 1, 9),
                                  .over = draw(&seed, 0, 6),
                                  .beside = draw(&seed, 0, 6),
                                  .keep_out = draw(&seed, 0, 3)};
    struct clamp_obstacle parts[3];
    struct clamp_problem problem = {.length = draw(&seed, 10, 60),
                                    .width = draw(&seed, 10, 60),
                                    .reach = draw(&seed, 0, 4),
                                    .choices = &choice,
                                    .choice_count = 1,
                                    .obstacles = parts,
                                    .obstacle_count = 3};
    for (int o = 0; o < 3; o++) {
      parts[o] =
          (struct clamp_obstacle){draw(&seed, -5, 60), draw(&seed, -5, 60), draw(&seed, 1, 30),
                                  draw(&seed, 1, 30), draw(&seed, 0, 1) == 1};
      if (parts[o].round) parts[o].width = parts[o].length;
    }
    for (int side = 0; side < BED_SIDES; side++) {
      problem.held[side] = true;
      check_side(*state, &problem, (enum bed_side)side);
    }
  }
}

static bool listed(const struct clamp_places *places, enum bed_side side, length_t start) {
  for (size_t i = 0; i < places->count; i++)
    if (places->places[i].side == side && places->places[i].start == start) return true;
  return false;
}

/* Widths of 10 side by side behind an edge at 7, and a span of 13 back from them. */
static void chains_are_closed(void **state) {
  struct clamp_choice choice = {.kind = CLAMP_HOLD_DOWN, .width = 10, .over = 5, .count = 9};
  struct clamp_obstacle part = {0, 0, 9, 7, false};
  struct clamp_problem problem = {.length = 100,
                                  .width = 60,
                                  .span = 13,
                                  .end = 10,
                                  .choices = &choice,
                                  .choice_count = 1,
                                  .obstacles = &part,
                                  .obstacle_count = 1};
  problem.held[BED_LEFT] = true;
  struct clear_side *clear = clear_sides(*state, &problem);
  struct clamp_places places = clamp_places(*state, &problem, clear, CLAMP_CHAIN);
  assert_true(places.complete);
  for (length_t start = 7; start <= 50; start += 10) assert_true(listed(&places, BED_LEFT, start));
  assert_true(listed(&places, BED_LEFT, 47 - 13 - 10));
  assert_true(listed(&places, BED_LEFT, 47 - 13 - 10 + 10 + 10));
  assert_false(listed(&places, BED_LEFT, 0));
  assert_false(listed(&places, BED_RIGHT, 7));
  problem.pitch = 8;
  clear = clear_sides(*state, &problem);
  places = clamp_places(*state, &problem, clear, CLAMP_FEW);
  assert_true(places.complete);
  assert_int_equal(places.count, 6); /* 8, 16 .. 48 */
}

/* What a chain of clamps leaves free, and how many it takes where it leaves nothing. */
static void a_side_by_itself(void **state) {
  struct clamp_choice choice = {.kind = CLAMP_SIDE, .width = 10, .count = 9};
  struct clamp_obstacle part = {-4, 45, 8, 30, false};
  struct clamp_problem problem = {.length = 100,
                                  .width = 100,
                                  .span = 30,
                                  .end = 5,
                                  .choices = &choice,
                                  .choice_count = 1,
                                  .obstacles = &part,
                                  .obstacle_count = 1};
  problem.held[BED_LEFT] = problem.held[BED_RIGHT] = true;
  choice.beside = 4;
  struct clear_side *clear = clear_sides(*state, &problem);
  length_t from;
  length_t to;
  assert_int_equal(clear_least(&problem, clear, BED_RIGHT, CLAMP_SIDE, &from, &to), 3);
  assert_int_equal(clear_least(&problem, clear, BED_LEFT, CLAMP_SIDE, &from, &to), 4);
  problem.span = 29; /* 35 is the last start before the part, 75 the first behind it */
  assert_int_equal(clear_least(&problem, clear, BED_LEFT, CLAMP_SIDE, &from, &to), -1);
  assert_int_equal(from, 45);
  assert_int_equal(to, 75);
}

/* F_clamp >= S F_cut / (mu n): 100 N, S 2.5, mu 0.2 is 625 N over two faces; computed, with the
 * formula of workholding handbooks. Rounded up to the thousandth. */
static void forces_round_up(void **state) {
  (void)state;
  struct clamp_choice choice = {.kind = CLAMP_HOLD_DOWN, .force = 1};
  struct clamp_problem problem = {
      .friction = 200, .force = 250000, .choices = &choice, .choice_count = 1};
  assert_int_equal(friction_needed(&problem), 0); /* nothing is to be held */
  problem.held[BED_LEFT] = true;
  assert_int_equal(friction_needed(&problem), 625000);
  problem.force = 250001;
  assert_int_equal(friction_needed(&problem), 625003);
  problem.friction = 300;
  assert_int_equal(friction_needed(&problem), 416669); /* 416668.33 */
  choice.force = 0;
  assert_int_equal(friction_needed(&problem), 0); /* not known */
}

static bool meet_both_ways(const struct clamp_problem *problem, struct clamp_place one,
                           struct clamp_place other) {
  bool meet = places_meet(problem, &one, &other);
  assert_int_equal(places_meet(problem, &other, &one), meet);
  return meet;
}

/* Clamps 30 along their edge and 15 on the stock: side by side they may touch, and at a corner
 * one begins where the other, on the side across it, ends. */
static void clamps_that_overlap(void **state) {
  (void)state;
  const struct clamp_choice choice = {
      .kind = CLAMP_HOLD_DOWN, .width = 30, .over = 15, .beside = 20, .count = 4};
  const struct clamp_problem problem = {
      .length = 200, .width = 100, .choices = &choice, .choice_count = 1};
  struct clamp_place left = {BED_LEFT, 0, 40};
  assert_true(meet_both_ways(&problem, left, left));
  assert_true(meet_both_ways(&problem, left, (struct clamp_place){BED_LEFT, 0, 69}));
  assert_false(meet_both_ways(&problem, left, (struct clamp_place){BED_LEFT, 0, 70}));
  assert_true(meet_both_ways(&problem, left, (struct clamp_place){BED_LEFT, 0, 11}));
  assert_false(meet_both_ways(&problem, left, (struct clamp_place){BED_LEFT, 0, 10}));
  assert_false(meet_both_ways(&problem, left, (struct clamp_place){BED_RIGHT, 0, 40}));
  struct clamp_place front = {BED_FRONT, 0, 14};
  assert_true(meet_both_ways(&problem, front, (struct clamp_place){BED_LEFT, 0, 14}));
  assert_false(meet_both_ways(&problem, front, (struct clamp_place){BED_LEFT, 0, 15}));
  front.start = 15;
  assert_false(meet_both_ways(&problem, front, (struct clamp_place){BED_LEFT, 0, 0}));
  struct clamp_place back = {BED_BACK, 0, 156}; /* up to 186, one into the right side's 185 */
  assert_true(meet_both_ways(&problem, back, (struct clamp_place){BED_RIGHT, 0, 56}));
  assert_false(meet_both_ways(&problem, back, (struct clamp_place){BED_RIGHT, 0, 55}));
}

/* A side clamp is backed where at least half its width has another opposite. */
static void half_a_width_opposite(void **state) {
  (void)state;
  const struct clamp_choice choice = {.kind = CLAMP_SIDE, .width = 30, .beside = 20, .count = 4};
  const struct clamp_problem problem = {
      .length = 200, .width = 100, .choices = &choice, .choice_count = 1};
  struct clamp_place front = {BED_FRONT, 0, 50};
  assert_true(place_is_backed(&problem, &front, &(struct clamp_place){BED_BACK, 0, 50}));
  assert_true(place_is_backed(&problem, &front, &(struct clamp_place){BED_BACK, 0, 65}));
  assert_false(place_is_backed(&problem, &front, &(struct clamp_place){BED_BACK, 0, 66}));
  assert_true(place_is_backed(&problem, &front, &(struct clamp_place){BED_BACK, 0, 35}));
  assert_false(place_is_backed(&problem, &front, &(struct clamp_place){BED_BACK, 0, 34}));
}

/* Side clamps that push against each other hold as the weaker side does, against a stop all do;
 * each hold-down adds its own. */
static void the_weaker_side_holds(void **state) {
  (void)state;
  const struct clamp_choice choices[] = {
      {.kind = CLAMP_SIDE, .width = 30, .force = 400, .count = 4},
      {.kind = CLAMP_SIDE, .width = 30, .force = 250, .count = 4},
      {.kind = CLAMP_HOLD_DOWN, .width = 30, .force = 70, .count = 4}};
  struct clamp_problem problem = {
      .length = 200, .width = 100, .choices = choices, .choice_count = 3};
  const struct clamp_place places[] = {
      {BED_LEFT, 0, 0}, {BED_RIGHT, 1, 0}, {BED_RIGHT, 1, 40}, {BED_FRONT, 2, 0}, {BED_BACK, 2, 0}};
  assert_int_equal(friction_reached(&problem, places, 2), 250);
  assert_int_equal(friction_reached(&problem, places, 3), 400);
  assert_int_equal(friction_reached(&problem, places, 5), 540);
  problem.stop[BED_LEFT] = true;
  assert_int_equal(friction_reached(&problem, places + 1, 2), 500);
}

/* Along 190 with 40 free at each end and 60 between, two of 25 do. Where the right side leaves room
 * for them at 0, 45, 90 and 160 alone, all four are taken: 45 is too far from the end, 90 too far
 * from 0 and 160 too far from 45. The left side then takes one less than the right, three. */
static void alike_on_opposite_sides(void **state) {
  const struct clamp_choice choice = {
      .kind = CLAMP_HOLD_DOWN, .width = 25, .over = 15, .beside = 20, .count = 8};
  const struct clamp_obstacle parts[] = {{.x = 250, .y = 25, .length = 50, .width = 20},
                                         {.x = 250, .y = 70, .length = 50, .width = 20},
                                         {.x = 250, .y = 115, .length = 50, .width = 45},
                                         {.x = 250, .y = 185, .length = 50, .width = 5}};
  struct clamp_problem problem = {.length = 300,
                                  .width = 190,
                                  .bed_length = 340,
                                  .bed_width = 190,
                                  .span = 60,
                                  .end = 40,
                                  .choices = &choice,
                                  .choice_count = 1};
  const enum clamp_kind kinds[] = {CLAMP_HOLD_DOWN, CLAMP_HOLD_DOWN};
  problem.held[BED_LEFT] = problem.held[BED_RIGHT] = true;
  assert_int_equal(clamp_numbers(&problem, clear_sides(*state, &problem), RULES_ALL, kinds), 4);
  problem.obstacles = parts;
  problem.obstacle_count = 4;
  const struct clear_side *clear = clear_sides(*state, &problem);
  assert_int_equal(clamp_numbers(&problem, clear, RULES_ALL, kinds), 7);
  assert_int_equal(clamp_numbers(&problem, clear, RULES_ALL & ~(unsigned)RULE_BALANCE, kinds), 6);
  problem.bed_length = 339; /* 20 beside each end */
  assert_int_equal(clamp_numbers(&problem, clear, RULES_ALL, kinds), -1);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)
  const struct CMUnitTest tests[] = {TEST(stretches_are_exact),   TEST(chains_are_closed),
                                     TEST(a_side_by_itself),      TEST(forces_round_up),
                                     TEST(clamps_that_overlap),   TEST(half_a_width_opposite),
                                     TEST(the_weaker_side_holds), TEST(alike_on_opposite_sides)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
