#include "hold/height.h"

/* The order in which a part goes through its clampings. */
struct turn {
  enum side side;
  enum stand stand;
};

static bool on_bed(const struct step *step) { return step->place == PLACE_BED; }

static bool in_turn(const struct step *step, struct turn turn) {
  return on_bed(step) && step->stand == turn.stand && step->side == turn.side;
}

static bool has_kind(const struct step *const *steps, size_t step_count, struct turn turn,
                     enum step_kind kind) {
  for (size_t i = 0; i < step_count; i++)
    if (in_turn(steps[i], turn) && steps[i]->kind == kind) return true;
  return false;
}

/* What parts it comes last; without a profile on either side that is the top. */
static enum side last_flat_side(const struct step *const *steps, size_t step_count) {
  bool under = has_kind(steps, step_count, (struct turn){SIDE_UNDER, STAND_FLAT}, STEP_PROFILE);
  bool top = has_kind(steps, step_count, (struct turn){SIDE_TOP, STAND_FLAT}, STEP_PROFILE);
  return under && !top ? SIDE_UNDER : SIDE_TOP;
}

static bool faced_here(const struct part *part, const struct step *const *steps, size_t step_count,
                       struct turn turn) {
  if (turn.stand != STAND_FLAT || part->faced == FACED_NONE) return false;
  if (part->faced == FACED_TWO || has_kind(steps, step_count, turn, STEP_FACE)) return true;
  struct turn other = {turn.side == SIDE_TOP ? SIDE_UNDER : SIDE_TOP, STAND_FLAT};
  return turn.side == SIDE_TOP && !has_kind(steps, step_count, other, STEP_FACE);
}

/* Whether there is anything to do in this turn. The last flat one is there in any case for what
 * the router parts, be it with the stated default cutter. */
static bool needed(const struct part *part, const struct work_clamping *made, bool last_flat) {
  bool routed = part->way == WAY_BLANK || part->way == WAY_GANG;
  return made->step_count > 0 || made->faced || (last_flat && routed);
}

size_t height_clampings(struct arena *arena, const struct part *part,
                        const struct step *const *steps, size_t step_count,
                        struct work_clamping **clampings) {
  enum side last = last_flat_side(steps, step_count);
  enum side first = last == SIDE_TOP ? SIDE_UNDER : SIDE_TOP;
  const struct turn turns[] = {{first, STAND_FLAT},    {last, STAND_FLAT},
                               {SIDE_TOP, STAND_EDGE}, {SIDE_UNDER, STAND_EDGE},
                               {SIDE_TOP, STAND_END},  {SIDE_UNDER, STAND_END}};
  enum { TURNS = sizeof turns / sizeof turns[0] };
  *clampings = ARENA_ARRAY(arena, TURNS, struct work_clamping);
  size_t count = 0;
  for (size_t t = 0; t < TURNS; t++) {
    struct work_clamping made = {.side = turns[t].side, .stand = turns[t].stand};
    made.steps = ARENA_ARRAY(arena, step_count, const struct step *);
    for (size_t i = 0; i < step_count; i++)
      if (in_turn(steps[i], turns[t])) made.steps[made.step_count++] = steps[i];
    made.faced = faced_here(part, steps, step_count, turns[t]);
    bool last_flat = t == 1;
    if (!needed(part, &made, last_flat)) continue;
    made.parts_it = last_flat && part->way != WAY_SAW;
    made.second = count > 0 && turns[t].stand == STAND_FLAT;
    (*clampings)[count++] = made;
  }
  return count;
}
