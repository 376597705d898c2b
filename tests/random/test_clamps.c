/* Clamps for small random loads against every choice there is: the same loads can be held, with
 * the same number of clamps, as evenly; answers keep the rules as written a second time, and
 * cures cure. Sizes are whole units of 5 mm and widths even ones, so that anywhere-placing has an
 * answer with the fewest clamps at whole units (differences of whole numbers). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "clamp_rules.h"
#include "hold/clamp_program.h"
#include "hold/load_clamps.h"
#include "nest/random.h"

enum { CASES = 500, MOST_PLACES = 160, MOST_USED = 6 };

static const length_t unit = MM(5);

struct random_load {
  struct clamp_problem problem;
  struct clamp_choice choices[3];
  struct clamp_obstacle obstacles[3];
};

static int64_t draw(uint64_t *state, int64_t least, int64_t most) {
  return least + (int64_t)(random_draw(state) % (uint64_t)(most - least + 1));
}

static void draw_choices(uint64_t *state, struct random_load *load) {
  struct clamp_problem *problem = &load->problem;
  problem->choice_count = (size_t)draw(state, 1, 3);
  int64_t known = draw(state, 0, 2); /* forces: none, all, some */
  int64_t left = MOST_USED;
  for (size_t c = 0; c < problem->choice_count; c++) {
    struct clamp_choice *choice = &load->choices[c];
    bool side = draw(state, 0, 2) == 0;
    choice->kind = side ? CLAMP_SIDE : CLAMP_HOLD_DOWN;
    choice->width = 2 * unit * draw(state, 1, 2);
    choice->over = side ? 0 : unit * draw(state, 1, 3);
    choice->beside = unit * draw(state, 1, 4);
    choice->keep_out = unit * draw(state, 0, 1);
    choice->count = draw(state, left < 2 ? left : 2, left < 5 ? left : 5);
    choice->force = 100000 * draw(state, 1, 3);
    if (known == 0 || (known == 2 && draw(state, 0, 1) == 0)) choice->force = 0;
    choice->clamp = c;
    left -= choice->count;
  }
}

static void draw_parts(uint64_t *state, struct random_load *load) {
  struct clamp_problem *problem = &load->problem;
  problem->obstacle_count = (size_t)draw(state, 0, 2);
  for (size_t o = 0; o < problem->obstacle_count; o++) {
    struct clamp_obstacle *part = &load->obstacles[o];
    part->length = unit * draw(state, 1, 8);
    part->width = unit * draw(state, 1, 8);
    part->x = unit * draw(state, 0, problem->length / unit);
    part->y = unit * draw(state, 0, problem->width / unit);
    part->round = problem->pitch > 0 && draw(state, 0, 1) == 1;
    if (part->round) part->width = part->length;
  }
}

/* A bit for each side. */
static void set_sides(struct clamp_problem *problem, int held, int stops) {
  for (int side = 0; side < BED_SIDES; side++) {
    problem->held[side] = held >> side & 1;
    problem->stop[side] = stops >> side & 1;
  }
}

static void draw_load(uint64_t *state, struct random_load *load) {
  memset(load, 0, sizeof *load);
  struct clamp_problem *problem = &load->problem;
  problem->length = unit * draw(state, 6, 20);
  problem->width = unit * draw(state, 4, 16);
  problem->bed_length = problem->length + unit * draw(state, 1, 12);
  problem->bed_width = problem->width + unit * draw(state, 1, 12);
  problem->reach = unit * draw(state, 0, 1);
  problem->span = unit * draw(state, 3, 12);
  problem->end = unit * draw(state, 1, 5);
  problem->pitch = draw(state, 0, 1) == 0 ? 0 : unit * draw(state, 1, 4);
  int held = (int)draw(state, 1, 15);
  if (draw(state, 0, 3) != 0) held = (int)draw(state, 0, 1) == 0 ? 3 : 12;
  int stops = draw(state, 0, 2) == 0 ? 0 : (int)draw(state, 0, 15);
  set_sides(problem, held, stops);
  problem->friction = 100 * draw(state, 1, 5);
  problem->force = 1000 * draw(state, 0, 250);
  problem->choices = load->choices;
  problem->obstacles = load->obstacles;
  draw_choices(state, load);
  draw_parts(state, load);
}

/* Every clamp by itself that keeps clear. */
struct every {
  const struct clamp_problem *problem;
  struct held_clamp places[MOST_PLACES];
  size_t count;
  struct held_clamp chosen[MOST_USED];
  size_t wanted;
  bool found;
  length_t most_even;
};

static struct held_clamp body_at(const struct clamp_problem *problem, enum bed_side side, size_t c,
                                 length_t start) {
  const struct clamp_choice *choice = &problem->choices[c];
  struct held_clamp body = {.clamp = c, .side = side, .keep_out = choice->keep_out};
  bool left_right = side == BED_LEFT || side == BED_RIGHT;
  length_t outer = -choice->beside;
  if (side == BED_RIGHT) outer = problem->length - choice->over;
  if (side == BED_BACK) outer = problem->width - choice->over;
  body.x = left_right ? outer : start;
  body.y = left_right ? start : outer;
  body.length = left_right ? choice->over + choice->beside : choice->width;
  body.width = left_right ? choice->width : choice->over + choice->beside;
  return body;
}

/* False when there are too many to try every choice of them. */
static bool list_places(struct every *every) {
  static const char *const by_itself[] = {"body", "cutter path", "side clamp at a stop",
                                          "hold-down on free side", "clamps on free sides"};
  struct clamp_problem alone = *every->problem;
  for (int side = 0; side < BED_SIDES; side++)
    for (size_t c = 0; c < alone.choice_count; c++) {
      struct clamp_problem loose = alone;
      loose.span = loose.end = LENGTH_MAX;
      loose.force = 0;
      loose.bed_length = loose.bed_width = LENGTH_MAX;
      length_t last = side < BED_FRONT ? alone.width : alone.length;
      /* from the far corner starts need not be whole units: each start that a pitch allows */
      for (length_t start = 0; start <= last; start += unit) {
        struct held_clamp body = body_at(&alone, (enum bed_side)side, c, start);
        const char *broken = broken_rule(&loose, &body, 1);
        bool out = false;
        for (size_t r = 0; broken != NULL && r < sizeof by_itself / sizeof *by_itself; r++)
          out = out || strcmp(broken, by_itself[r]) == 0;
        if (start + alone.choices[c].width > last) out = true;
        if (out) continue;
        if (every->count == MOST_PLACES) return false;
        every->places[every->count++] = body;
      }
    }
  return true;
}

static void choose_every(struct every *every, size_t from, size_t used) {
  if (used == every->wanted) {
    if (broken_rule(every->problem, every->chosen, used) != NULL) return;
    length_t stretch = largest_stretch(every->problem, every->chosen, used);
    if (!every->found || stretch < every->most_even) every->most_even = stretch;
    every->found = true;
    return;
  }
  for (size_t p = from; p < every->count; p++) {
    const struct held_clamp *place = &every->places[p];
    bool meets = false;
    int64_t same = 0;
    for (size_t i = 0; i < used; i++) {
      const struct held_clamp *other = &every->chosen[i];
      meets =
          meets || (place->x < other->x + other->length && other->x < place->x + place->length &&
                    place->y < other->y + other->width && other->y < place->y + place->width);
      if (other->clamp == place->clamp) same++;
    }
    if (meets || same == every->problem->choices[place->clamp].count) continue;
    every->chosen[used] = *place;
    choose_every(every, p + 1, used + 1);
  }
}

/* The work of trying all choices of so many out of all places. */
static double choices_of(size_t places, size_t wanted) {
  double number = 1;
  for (size_t i = 0; i < wanted; i++) number *= (double)(places - i) / (double)(i + 1);
  return number;
}

struct tally {
  int held, refused, cures, reasons[REASON_SEVERAL + 1], certain, tried, tried_anywhere;
};

static void check_cures(struct arena *arena, const struct random_load *load,
                        const struct clamp_answer *answer, struct tally *tally) {
  tally->reasons[answer->refusal.reason]++;
  for (size_t c = 0; c < answer->refusal.cure_count; c++) {
    struct clamp_problem cured = clamps_cured(arena, &load->problem, &answer->refusal.cures[c]);
    struct clamp_answer again;
    clamps_choose(arena, &cured, &again);
    assert_true(again.held);
    assert_null(broken_rule(&cured, again.clamps, again.clamp_count));
    tally->cures++;
  }
}

static void check_load(struct arena *arena, const struct random_load *load, struct tally *tally) {
  struct clamp_answer answer;
  clamps_choose(arena, &load->problem, &answer);
  static struct every every;
  memset(&every, 0, sizeof every);
  every.problem = &load->problem;
  bool listed = list_places(&every);
  if (answer.held)
    assert_null(broken_rule(&load->problem, answer.clamps, answer.clamp_count));
  else
    check_cures(arena, load, &answer, tally);
  tally->held += answer.held;
  tally->refused += !answer.held;
  tally->certain += answer.certain;
  size_t most = answer.held ? answer.clamp_count : MOST_USED;
  for (every.wanted = 1; listed && every.wanted <= most; every.wanted++) {
    if (choices_of(every.count, every.wanted) > 3e6) return;
    choose_every(&every, 0, 0);
    if (every.found) break;
  }
  if (!listed) return;
  tally->tried++;
  if (load->problem.pitch == 0) tally->tried_anywhere++;
  assert_int_equal(every.found, answer.held);
  if (!answer.held) return;
  assert_int_equal(every.wanted, answer.clamp_count);
  length_t stretch = largest_stretch(&load->problem, answer.clamps, answer.clamp_count);
  if (load->problem.pitch > 0) assert_true(stretch <= every.most_even + MM(1) / 2);
}

static void loads_against_every_choice(void **state) {
  (void)state;
  uint64_t seed = 20;
  struct tally tally = {0};
  for (int i = 0; i < CASES; i++) {
    struct random_load load;
    draw_load(&seed, &load);
    struct arena *arena = arena_create();
    check_load(arena, &load, &tally);
    arena_destroy(arena);
  }
  print_message("%d held, %d not, %d certain, %d tried every way (%d anywhere), %d cures; reasons",
                tally.held, tally.refused, tally.certain, tally.tried, tally.tried_anywhere,
                tally.cures);
  for (int r = 0; r <= REASON_SEVERAL; r++) print_message(" %d", tally.reasons[r]);
  print_message("\n");
  assert_true(tally.held >= CASES / 5 && tally.refused >= CASES / 5);
  assert_true(tally.tried >= CASES / 2);
}

/* ---- clamps of loads against the integer program ---- */

enum { CHAIN_CASES = 400 };

/* Larger than above, most held all around by hold-downs of several kinds that meet at corners. */
static void draw_held_load(uint64_t *state, struct random_load *load) {
  draw_load(state, load);
  struct clamp_problem *problem = &load->problem;
  /* as projects have it: both sides of a pair, stops on neighbours */
  int held = draw(state, 0, 3) != 0 ? 15 : (draw(state, 0, 1) == 0 ? 3 : 12);
  static const int stops[] = {0, 5, 6, 9, 10};
  set_sides(problem, held, stops[draw(state, 0, 4)]);
  problem->length = unit * draw(state, 12, 40);
  problem->width = unit * draw(state, 10, 30);
  problem->bed_length = problem->length + unit * draw(state, 6, 12);
  problem->bed_width = problem->width + unit * draw(state, 6, 12);
  problem->pitch = unit * draw(state, 1, 4);
  problem->span = unit * draw(state, 8, 24);
  if (draw(state, 0, 2) != 0) problem->force = 0;
  for (size_t c = 0; c < problem->choice_count; c++) {
    struct clamp_choice *choice = &load->choices[c];
    if (draw(state, 0, 4) != 0) choice->kind = CLAMP_HOLD_DOWN;
    choice->width = unit * draw(state, 4, 7);
    choice->over = choice->kind == CLAMP_SIDE ? 0 : unit * draw(state, 1, 4);
    choice->count = draw(state, 1, 5);
  }
  for (size_t o = 0; o < problem->obstacle_count; o++) load->obstacles[o].round = false;
}

static struct load_open open_beside_parts(const struct load_clamps *clamps) {
  const struct clamp_problem *problem = clamps->problem;
  struct load_open open = load_clamps_open(clamps);
  for (size_t o = 0; o < problem->obstacle_count; o++) {
    const struct clamp_obstacle *part = &problem->obstacles[o];
    struct load_laid laid = {
        .x = part->x, .y = part->y, .length = part->length, .width = part->width};
    for (int side = 0; side < BED_SIDES; side++)
      open.sides[side] &= ~load_places_met(clamps, (enum bed_side)side, problem->reach, &laid);
  }
  return open;
}

static void loads_against_the_program(void **state) {
  (void)state;
  uint64_t seed = 77;
  int compared = 0, held = 0, around = 0;
  for (int i = 0; i < CHAIN_CASES; i++) {
    struct random_load load;
    draw_held_load(&seed, &load);
    struct arena *arena = arena_create();
    struct load_clamps *clamps = load_clamps_begin(arena, &load.problem, NULL);
    struct load_open open = open_beside_parts(clamps);
    struct held_clamp chosen[LOAD_CLAMPS_MOST];
    size_t count = load_clamps_choose(clamps, &open, chosen);
    assert_int_equal(load_clamps_possible(clamps, &open), count != SIZE_MAX);
    if (count != SIZE_MAX) assert_null(broken_rule(&load.problem, chosen, count));
    struct clamp_answer answer;
    if (clamps->exact) clamps_choose(arena, &load.problem, &answer);
    if (clamps->exact && (answer.held || answer.certain)) {
      compared++;
      held += answer.held;
      if (load.problem.held[BED_LEFT] && load.problem.held[BED_FRONT]) around++;
      assert_int_equal(count != SIZE_MAX, answer.held);
      if (answer.held && answer.certain) assert_int_equal(count, answer.clamp_count);
    }
    arena_destroy(arena);
  }
  print_message("%d compared, %d held, %d all around\n", compared, held, around);
  assert_true(compared >= CHAIN_CASES / 2 && held >= compared / 5 && held <= compared * 4 / 5);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(loads_against_every_choice),
                                     cmocka_unit_test(loads_against_the_program)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
