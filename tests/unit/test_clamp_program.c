/* Clamps chosen for loads whose answers can be seen by eye, rule by rule, and what is said where
 * there are none. Sizes and defaults are those of the shop's settings in mm. */
#include "hold/clamp_program.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static int open_arena(void **state) {
  *state = arena_create();
  return *state == NULL;
}

static int close_arena(void **state) {
  arena_destroy(*state);
  return 0;
}

static const char *const names[] = {"hold-down A", "side push"};

static struct clamp_choice hold_down(void) {
  return (struct clamp_choice){.kind = CLAMP_HOLD_DOWN,
                               .width = MM(25),
                               .over = MM(15),
                               .beside = MM(25),
                               .keep_out = MM(3),
                               .count = 6,
                               .clamp = 0};
}

static struct clamp_choice side_push(void) {
  return (struct clamp_choice){.kind = CLAMP_SIDE,
                               .width = MM(30),
                               .beside = MM(30),
                               .keep_out = MM(3),
                               .count = 6,
                               .clamp = 1};
}

/* A load of 300 x 200 with nothing on it, held at its ends, on a roomy bed with no stops. */
static struct clamp_problem plain(const struct clamp_choice *choices, size_t count) {
  struct clamp_problem problem = {.length = MM(300),
                                  .width = MM(200),
                                  .bed_length = MM(400),
                                  .bed_width = MM(300),
                                  .reach = MM(8),
                                  .span = MM(150),
                                  .end = MM(40),
                                  .friction = 300,
                                  .choices = choices,
                                  .choice_count = count};
  problem.held[BED_LEFT] = problem.held[BED_RIGHT] = true;
  return problem;
}

static size_t on_side(const struct clamp_answer *answer, enum bed_side side) {
  size_t count = 0;
  for (size_t i = 0; i < answer->clamp_count; i++)
    if (answer->clamps[i].side == side) count++;
  return count;
}

/* 200 of an end with at most 40 free at each corner: two clamps at each end, 40 from the
 * corners or nearer; most even is (200 - 50) / 3 = 50 > 40, so 40, 70, 40. */
static void ends_by_hold_downs(void **state) {
  struct clamp_choice choice = hold_down();
  struct clamp_problem problem = plain(&choice, 1);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
  assert_int_equal(answer.clamp_count, 4);
  assert_int_equal(on_side(&answer, BED_LEFT), 2);
  const struct held_clamp *low = &answer.clamps[0];
  assert_true(low->side == BED_LEFT && low->x == -MM(25) && low->length == MM(40));
  assert_true(low->y == MM(40) && low->width == MM(25));
  assert_true(answer.clamps[1].y == MM(135));
  assert_true(answer.clamps[2].side == BED_RIGHT && answer.clamps[2].x == MM(285));
  assert_false(answer.friction_known);
}

/* Nothing to be held takes no clamps, even of none. */
static void tape_takes_none(void **state) {
  struct clamp_problem problem = plain(NULL, 0);
  problem.held[BED_LEFT] = problem.held[BED_RIGHT] = false;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.clamp_count == 0);
}

/* A stop on the left: side clamps on the right alone. */
static void a_stop_saves_clamps(void **state) {
  struct clamp_choice choice = side_push();
  struct clamp_problem problem = plain(&choice, 1);
  problem.stop[BED_LEFT] = true;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
  assert_int_equal(answer.clamp_count, 2);
  assert_int_equal(on_side(&answer, BED_RIGHT), 2);
  problem.held[BED_RIGHT] = false;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held);
  assert_int_equal(on_side(&answer, BED_RIGHT), 2);
}

/* Without stops in pairs, with at least half their widths in line. */
static void side_clamps_stand_opposite(void **state) {
  struct clamp_choice choice = side_push();
  struct clamp_problem problem = plain(&choice, 1);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
  assert_int_equal(answer.clamp_count, 4);
  for (size_t i = 0; i < 2; i++) {
    length_t apart = answer.clamps[i].y - answer.clamps[i + 2].y;
    assert_true(apart <= MM(15) && apart >= -MM(15));
  }
}

/* Places at multiples of 25 from the corner at the stops: on the right from the front. */
static void pitch_counts_from_the_stops(void **state) {
  struct clamp_choice choice = hold_down();
  choice.width = MM(30);
  struct clamp_problem problem = plain(&choice, 1);
  problem.pitch = MM(25);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
  for (size_t i = 0; i < answer.clamp_count; i++) assert_true(answer.clamps[i].y % MM(25) == 0);
  problem.stop[BED_BACK] = true;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held);
  for (size_t i = 0; i < answer.clamp_count; i++)
    assert_true((MM(200) - answer.clamps[i].y - MM(30)) % MM(25) == 0);
}

/* A part whose path reaches the strip under the clamps drives them to the corners; a round lets
 * them nearer than its square would. */
static void keeps_clear_of_paths(void **state) {
  struct clamp_choice choice = hold_down();
  struct clamp_problem problem = plain(&choice, 1);
  problem.held[BED_RIGHT] = false;
  struct clamp_obstacle part = {MM(20), MM(50), MM(200), MM(100), false};
  problem.obstacles = &part;
  problem.obstacle_count = 1;
  problem.span = MM(160);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
  assert_int_equal(answer.clamp_count, 2);
  assert_true(answer.clamps[0].y <= MM(50 - 8 - 3 - 25));
  assert_true(answer.clamps[1].y >= MM(150 + 8 + 3));
  part.length = MM(100);
  part.round = true;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held);
  /* disc of 58 about (70, 100), keep-out 18 deep: half chord sqrt(58^2 - 52^2) = 25.69 */
  assert_true(answer.clamps[0].y <= MM(46) && answer.clamps[0].y > MM(14));
}

/* Feet of neighbouring sides stay apart at the corners. */
static void corners_are_shared(void **state) {
  struct clamp_choice choice = hold_down();
  choice.count = 20;
  struct clamp_problem problem = plain(&choice, 1);
  problem.held[BED_FRONT] = problem.held[BED_BACK] = true;
  problem.end = MM(10);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held); /* both would have to begin within 10 of the corner */
  assert_int_equal(answer.refusal.reason, REASON_MEETING);
  problem.end = MM(15);
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
}

/* 220 N at 0.2 on two faces take 550 N of clamps: six of 100 N, or four with one among them that
 * nothing is known of. */
static void unknown_forces_hold_where_they_stand(void **state) {
  struct clamp_choice choices[2] = {hold_down(), hold_down()};
  choices[0].force = 100000;
  choices[1].force = 0;
  struct clamp_problem problem = plain(choices, 2);
  choices[1].clamp = 1;
  problem.friction = 200;
  problem.force = 220000;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain);
  assert_int_equal(answer.clamp_count, 4);
  size_t unknown = 0;
  for (size_t i = 0; i < answer.clamp_count; i++)
    if (answer.clamps[i].clamp == 1) unknown++;
  assert_true(unknown > 0);
  assert_false(answer.friction_known);
  choices[1].count = 0;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.friction_known);
  assert_int_equal(answer.clamp_count, 6);
}

/* Clamp force F >= S F_cut / (mu n): 100 N, S 2.5, mu 0.2 is 1250 N on one face, 625 N on two.
 * Source: the friction formula as quoted in workholding handbooks; computed. Clamps of 156.25 N:
 * four hold 625 N on two faces, and a force a thousandth less does not. */
static void friction_of_two_faces(void **state) {
  struct clamp_choice choice = hold_down();
  choice.force = 156250;
  struct clamp_problem problem = plain(&choice, 1);
  problem.friction = 200;
  problem.force = 250000;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held && answer.certain && answer.friction_known);
  assert_int_equal(answer.clamp_count, 4);
  assert_int_equal(answer.friction, 250000);
  choice.force = 156249;
  clamps_choose(*state, &problem, &answer);
  assert_true(answer.held);
  assert_int_equal(answer.clamp_count, 5);
}

/* Where pairs stand opposite, each counts once: four of 400 N hold as 800 N. */
static void pairs_count_once(void **state) {
  struct clamp_choice choice = side_push();
  choice.force = 400000;
  struct clamp_problem problem = plain(&choice, 1);
  problem.force = 480000;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_int_equal(answer.clamp_count, 4);
  assert_int_equal(answer.friction, 480000);
  problem.force = 480001;
  clamps_choose(*state, &problem, &answer);
  assert_int_equal(answer.clamp_count, 6);
}

/* The first cure, done, makes the load holdable, and is as said. */
static const struct clamp_cure *check_cure(void **state, const struct clamp_problem *problem,
                                           const struct clamp_answer *answer,
                                           enum clamp_cure_kind kind) {
  for (size_t c = 0; c < answer->refusal.cure_count; c++) {
    struct clamp_problem cured = clamps_cured(*state, problem, &answer->refusal.cures[c]);
    struct clamp_answer again;
    clamps_choose(*state, &cured, &again);
    assert_true(again.held);
  }
  assert_true(answer->refusal.cure_count > 0);
  assert_int_equal(answer->refusal.cures[0].kind, kind);
  return &answer->refusal.cures[0];
}

static void check_words(void **state, const struct clamp_answer *answer, const char *expected) {
  assert_string_equal(clamp_refusal_text(*state, &answer->refusal, names, UNIT_MM), expected);
}

static void says_no_place(void **state) {
  struct clamp_choice choice = hold_down();
  struct clamp_problem problem = plain(&choice, 1);
  struct clamp_obstacle part = {MM(20), MM(10), MM(230), MM(180), false};
  problem.obstacles = &part;
  problem.obstacle_count = 1;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_true(answer.certain);
  assert_int_equal(answer.refusal.reason, REASON_NO_PLACE);
  assert_int_equal(answer.refusal.side, BED_LEFT);
  /* the path begins at 12, a clamp takes 15 and keeps 3: 6 more */
  assert_int_equal(check_cure(state, &problem, &answer, CURE_GROW)->grow, MM(6));
  check_words(state, &answer, "no clear place for a clamp on the left, add 6 mm on the left");
}

/* What is near both ends needs both made longer. */
static void grows_both_ends(void **state) {
  struct clamp_choice choice = hold_down();
  struct clamp_problem problem = plain(&choice, 1);
  struct clamp_obstacle part = {MM(20), MM(10), MM(260), MM(180), false};
  problem.obstacles = &part;
  problem.obstacle_count = 1;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  const struct clamp_cure *cure = check_cure(state, &problem, &answer, CURE_GROW);
  assert_true(cure->both && cure->grow == MM(6));
  check_words(state, &answer,
              "no clear place for a clamp on the left, add 6 mm on the left and as much on the "
              "right");
}

/* Too few clamps on too small a bed, whichever way it lies. */
static void says_several(void **state) {
  struct clamp_choice choice = hold_down();
  choice.count = 3;
  struct clamp_problem problem = plain(&choice, 1);
  problem.bed_length = MM(310);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_SEVERAL);
  assert_int_equal(answer.refusal.cure_count, 0);
  check_words(state, &answer,
              "clamps cannot keep several rules at once: the clamps there are, the room on the "
              "bed, give other clamps, or hold it by tape");
}

static void says_which_stretch(void **state) {
  struct clamp_choice choice = hold_down();
  struct clamp_problem problem = plain(&choice, 1);
  struct clamp_obstacle part = {MM(20), MM(30), MM(200), MM(170 - 30), false};
  problem.obstacles = &part;
  problem.obstacle_count = 1;
  problem.held[BED_RIGHT] = false;
  problem.width = MM(260);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_STRETCH);
  assert_int_equal(answer.refusal.from, 0);
  assert_int_equal(answer.refusal.to, MM(181));
  check_cure(state, &problem, &answer, CURE_GROW);
  check_words(state, &answer,
              "on the left no clamp can stand between 0 mm and 181 mm from the front corner: the "
              "stretch is too long, add 6 mm on the left");
}

static void says_too_few(void **state) {
  struct clamp_choice choice = hold_down();
  choice.count = 3;
  struct clamp_problem problem = plain(&choice, 1);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_TOO_FEW);
  assert_int_equal(answer.refusal.needed, 4);
  assert_int_equal(check_cure(state, &problem, &answer, CURE_MORE)->more, 1);
  check_words(state, &answer,
              "too few clamps: it takes 4, of 3 there are not enough of one kind, 1 clamp more of "
              "'hold-down A' would do");
}

static void says_friction(void **state) {
  struct clamp_choice choice = hold_down();
  choice.count = 4;
  choice.force = 100000;
  struct clamp_problem problem = plain(&choice, 1);
  problem.force = 300000;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_FRICTION);
  assert_int_equal(answer.refusal.force, 60000); /* 300 - 2 x 0.3 x 400 */
  assert_int_equal(check_cure(state, &problem, &answer, CURE_MORE)->more, 1);
  check_words(state, &answer,
              "the friction of the clamps is short by 60 N, 1 clamp more of 'hold-down A' would "
              "do");
}

static void says_bed(void **state) {
  struct clamp_choice choice = hold_down();
  struct clamp_problem problem = plain(&choice, 1);
  problem.bed_length = MM(340);
  problem.bed_width = MM(350);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_BED);
  assert_int_equal(answer.refusal.side, BED_LEFT);
  assert_int_equal(answer.refusal.missing, MM(10));
  check_cure(state, &problem, &answer, CURE_TURN);
  check_words(state, &answer,
              "load and clamps are too long for the bed by 10 mm, turn it a quarter on the bed");
}

/* Side clamps that can stand only at alternate places find none in line. */
static void says_no_opposite(void **state) {
  struct clamp_choice choice = side_push();
  struct clamp_problem problem = plain(&choice, 1);
  problem.width = MM(100);
  problem.end = MM(70);
  problem.held[BED_RIGHT] = false;
  struct clamp_obstacle parts[] = {{MM(8), MM(45), MM(80), MM(47), false},
                                   {MM(120), MM(5), MM(174), MM(90), false}};
  problem.obstacles = parts;
  problem.obstacle_count = 2;
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_OPPOSITE);
  assert_int_equal(answer.refusal.side, BED_RIGHT);
  check_words(state, &answer,
              "side clamps have neither stop nor clamp opposite, on the right, add 5 mm on the "
              "right");
}

static void says_no_clamps(void **state) {
  struct clamp_problem problem = plain(NULL, 0);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_NO_CLAMPS);
  check_words(state, &answer,
              "no clamp is suited to this stock, give other clamps, or hold it by tape");
}

static void says_stops(void **state) {
  struct clamp_choice choice = side_push();
  struct clamp_problem problem = plain(&choice, 1);
  problem.stop[BED_LEFT] = problem.stop[BED_RIGHT] = true;
  problem.bed_width = MM(400);
  struct clamp_answer answer;
  clamps_choose(*state, &problem, &answer);
  assert_false(answer.held);
  assert_int_equal(answer.refusal.reason, REASON_STOPS);
  check_cure(state, &problem, &answer, CURE_TURN);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, open_arena, close_arena)
  const struct CMUnitTest tests[] = {
      TEST(ends_by_hold_downs),
      TEST(tape_takes_none),
      TEST(a_stop_saves_clamps),
      TEST(side_clamps_stand_opposite),
      TEST(keeps_clear_of_paths),
      TEST(pitch_counts_from_the_stops),
      TEST(corners_are_shared),
      TEST(friction_of_two_faces),
      TEST(unknown_forces_hold_where_they_stand),
      TEST(pairs_count_once),
      TEST(says_no_place),
      TEST(says_which_stretch),
      TEST(says_too_few),
      TEST(says_friction),
      TEST(says_bed),
      TEST(says_no_opposite),
      TEST(says_no_clamps),
      TEST(says_stops),
      TEST(grows_both_ends),
      TEST(says_several),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
