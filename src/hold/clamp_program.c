#include "hold/clamp_program.h"

#include <string.h>

#include "hold/clamp_rules.h"
#include "hold/clamp_spread.h"
#include "hold/clamp_try.h"

struct choosing {
  struct arena *arena;
  const struct clamp_problem *problem;
  const struct clear_side *clear;
  const struct clamp_ways *ways;
  const struct clamp_places *places;
  struct clamp_asked asked;
  struct clamp_place *best; /* `asked.number` places that keep all rules */
};

static bool anything_held(const struct clamp_problem *problem) {
  for (int side = 0; side < BED_SIDES; side++)
    if (problem->held[side]) return true;
  return false;
}

/* The largest free stretch of the covered sides of each axis. */
static void measure_stretches(const struct choosing *choosing, length_t *stretches) {
  const struct clamp_problem *problem = choosing->problem;
  size_t count = (size_t)choosing->asked.number;
  stretches[0] = stretches[1] = 0;
  for (size_t i = 0; i < count; i++) {
    const struct clamp_place *place = &choosing->best[i];
    enum clamp_kind kind = problem->choices[place->choice].kind;
    if (!side_covered_by(problem, place->side, kind)) continue;
    length_t *stretch = &stretches[side_axis(place->side)];
    bool first = i == 0 || choosing->best[i - 1].side != place->side;
    bool last = i + 1 == count || choosing->best[i + 1].side != place->side;
    length_t from = first ? 0 : place_end(problem, &choosing->best[i - 1]);
    *stretch = larger(*stretch, place->start - from);
    if (last)
      *stretch = larger(*stretch, side_extent(problem, place->side) - place_end(problem, place));
  }
}

/* Looks again with what is asked now and keeps what is found; false when nothing is. */
static bool look_again(struct choosing *choosing, enum clamp_aim aim) {
  choosing->asked.aim = aim;
  struct arena_mark start = arena_mark(choosing->arena);
  struct clamp_found found;
  clamp_ways_solve(choosing->arena, choosing->ways, choosing->places, &choosing->asked, &found);
  bool kept = found.found && found.count == (size_t)choosing->asked.number &&
              clamps_hold(choosing->problem, choosing->clear, found.places, found.count);
  if (kept) memcpy(choosing->best, found.places, found.count * sizeof *found.places);
  arena_release(choosing->arena, start);
  return kept;
}

/* The larger of the stretches of some axes (bit 0, bit 1). */
static length_t stretch_of(const struct choosing *choosing, unsigned axes) {
  length_t stretches[2];
  measure_stretches(choosing, stretches);
  return larger(axes & 1U ? stretches[0] : 0, axes & 2U ? stretches[1] : 0);
}

static void allow(struct choosing *choosing, unsigned axes, length_t span, const length_t *most) {
  for (int axis = 0; axis < 2; axis++)
    choosing->asked.span[axis] = (axes >> axis & 1U) && span < most[axis] ? span : most[axis];
}

/* Halves the span allowed on some axes down to the least that works. */
static void shorten(struct choosing *choosing, unsigned axes) {
  const length_t most[2] = {choosing->asked.span[0], choosing->asked.span[1]};
  length_t mark = choosing->problem->mark > 0 ? choosing->problem->mark : LENGTH_PER_MM / 2;
  length_t works = stretch_of(choosing, axes);
  length_t fails = -1;
  while (works - fails > mark) {
    length_t middle = fails + (works - fails) / 2;
    allow(choosing, axes, middle, most);
    if (look_again(choosing, AIM_ANY)) {
      length_t stretch = stretch_of(choosing, axes);
      works = stretch < middle ? stretch : middle;
    } else {
      fails = middle;
    }
  }
  allow(choosing, axes, works, most);
}

/* Ties between answers with the fewest clamps. */
static void choose_evenly(struct choosing *choosing) {
  shorten(choosing, 3);
  if (choosing->problem->pitch > 0) {
    shorten(choosing, 1);
    shorten(choosing, 2);
  }
  look_again(choosing, AIM_SYMMETRY);
  if (choosing->problem->pitch == 0)
    clamps_spread(choosing->arena, choosing->problem, choosing->clear, choosing->best,
                  (size_t)choosing->asked.number);
}

static void write_answer(const struct choosing *choosing, struct clamp_answer *answer) {
  const struct clamp_problem *problem = choosing->problem;
  answer->clamp_count = (size_t)choosing->asked.number;
  answer->clamps = ARENA_ARRAY(choosing->arena, answer->clamp_count, struct held_clamp);
  answer->friction_known = true;
  for (size_t i = 0; i < answer->clamp_count; i++) {
    place_body(problem, &choosing->best[i], &answer->clamps[i]);
    if (problem->choices[choosing->best[i].choice].force <= 0) answer->friction_known = false;
  }
  if (answer->friction_known)
    answer->friction =
        friction_reached(problem, choosing->best, answer->clamp_count) * problem->friction / 500;
}

void clamps_choose(struct arena *arena, const struct clamp_problem *problem,
                   struct clamp_answer *answer) {
  *answer = (struct clamp_answer){.held = !anything_held(problem), .certain = true};
  if (answer->held) return;
  struct clamp_asked asked = asked_in_full(problem);
  struct clamp_try tried;
  clamps_try(arena, problem, &asked, true, &tried);
  answer->certain = tried.certain;
  answer->held =
      tried.found.found && clamps_hold(problem, tried.clear, tried.found.places, tried.found.count);
  if (!answer->held) {
    clamps_refuse(arena, problem, &answer->refusal);
    return;
  }
  struct choosing choosing = {.arena = arena,
                              .problem = problem,
                              .clear = tried.clear,
                              .ways = &tried.ways,
                              .places = &tried.places,
                              .asked = asked,
                              .best = tried.found.places};
  choosing.asked.number = (int64_t)tried.found.count;
  choose_evenly(&choosing);
  write_answer(&choosing, answer);
}
