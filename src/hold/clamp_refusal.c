#include "hold/clamp_refusal.h"

#include "hold/clamp_cure.h"
#include "hold/clamp_numbers.h"
#include "hold/clamp_rules.h"
#include "hold/clamp_try.h"

struct refuse {
  struct arena *arena;
  const struct clamp_problem *problem;
  struct clear_side *clear;
  struct clamp_refusal *refusal;
};

static bool kind_offered(const struct clamp_problem *problem, enum clamp_kind kind) {
  for (size_t c = 0; c < problem->choice_count; c++)
    if (problem->choices[c].kind == kind) return true;
  return false;
}

/* What keeps one kind from covering the two sides of an axis; false when nothing does. */
static bool kind_fails(const struct refuse *refuse, enum bed_side side, enum clamp_kind kind,
                       struct clamp_refusal *why) {
  const struct clamp_problem *problem = refuse->problem;
  bool covers = false;
  for (int s = 0; s < 2; s++) {
    enum bed_side own = s == 0 ? side : side_opposite(side);
    if (!side_covered_by(problem, own, kind)) continue;
    covers = true;
    why->side = own;
    if (clear_least(problem, refuse->clear, own, kind, &why->from, &why->to) >= 0) continue;
    bool any = false;
    for (size_t c = 0; c < problem->choice_count; c++)
      if (problem->choices[c].kind == kind && refuse->clear[clear_index(problem, own, c)].count > 0)
        any = true;
    why->reason = any ? REASON_STRETCH : REASON_NO_PLACE;
    return true;
  }
  if (covers) return false;
  why->reason = REASON_STOPS;
  why->side = side;
  return true;
}

/* Every kind that is offered fails on the axis: the kind that leaves the least free is told. */
static bool axis_fails(const struct refuse *refuse, enum bed_side side) {
  if (!side_axis_held(refuse->problem, side)) return false;
  bool told = false;
  for (int k = CLAMP_SIDE; k <= CLAMP_HOLD_DOWN; k++) {
    if (!kind_offered(refuse->problem, (enum clamp_kind)k)) continue;
    struct clamp_refusal why = {.reason = REASON_NONE};
    if (!kind_fails(refuse, side, (enum clamp_kind)k, &why)) return false;
    const struct clamp_refusal *best = refuse->refusal;
    bool nearer = why.reason > best->reason ||
                  (why.reason == best->reason && why.to - why.from < best->to - best->from);
    if (!told || nearer) *refuse->refusal = why;
    told = true;
  }
  return told;
}

static bool holds_without(const struct refuse *refuse, unsigned rules) {
  return clamps_found(refuse->arena, refuse->problem, RULES_ALL & ~rules);
}

/* Sums of what stands beside two opposite sides, the least that does. */
static bool bed_fails(const struct refuse *refuse) {
  const struct clamp_problem *problem = refuse->problem;
  if (!holds_without(refuse, RULE_BED)) return false;
  struct clamp_problem larger = *problem;
  length_t *sizes[2] = {&larger.bed_length, &larger.bed_width};
  for (int axis = 0; axis < 2; axis++) {
    enum bed_side side = axis == 0 ? BED_LEFT : BED_FRONT;
    length_t bed = side_bed(problem, side);
    length_t best = -1;
    size_t count = problem->choice_count;
    for (size_t c = 0; c <= count; c++)
      for (size_t d = 0; d <= count; d++) {
        length_t need = side_across(problem, side) + (c < count ? problem->choices[c].beside : 0) +
                        (d < count ? problem->choices[d].beside : 0) - bed;
        if (need <= 0 || (best >= 0 && need >= best)) continue;
        *sizes[axis] = bed + need;
        if (clamps_found(refuse->arena, &larger, RULES_ALL)) best = need;
      }
    *sizes[axis] = bed;
    if (best < 0) continue;
    refuse->refusal->side = side;
    refuse->refusal->missing = best;
    break;
  }
  refuse->refusal->reason = REASON_BED;
  return true;
}

/* held is 2 mu F: what is short of it at the largest sum of forces. */
static bool friction_fails(const struct refuse *refuse) {
  const struct clamp_problem *problem = refuse->problem;
  if (friction_needed(problem) == 0) return false;
  struct clamp_asked asked = asked_in_full(problem);
  asked.rules = RULES_ALL & ~RULE_FRICTION;
  asked.aim = AIM_FRICTION;
  struct clamp_try tried;
  clamps_try(refuse->arena, problem, &asked, false, &tried);
  if (!tried.found.found) return false;
  int64_t reached = friction_reached(problem, tried.found.places, tried.found.count);
  refuse->refusal->reason = REASON_FRICTION;
  refuse->refusal->force = problem->force - reached * problem->friction / 500;
  return true;
}

static bool owned_fails(const struct refuse *refuse) {
  struct clamp_asked asked = asked_in_full(refuse->problem);
  asked.rules = RULES_ALL & ~RULE_OWNED;
  struct clamp_try tried;
  clamps_try(refuse->arena, refuse->problem, &asked, false, &tried);
  if (!tried.found.found) return false;
  refuse->refusal->reason = REASON_TOO_FEW;
  refuse->refusal->needed = (int64_t)tried.found.count;
  for (size_t c = 0; c < refuse->problem->choice_count; c++)
    refuse->refusal->owned += refuse->problem->choices[c].count;
  return true;
}

static bool opposite_fails(const struct refuse *refuse) {
  const struct clamp_problem *problem = refuse->problem;
  struct clamp_asked asked = asked_in_full(problem);
  asked.rules = RULES_ALL & ~RULE_OPPOSITE;
  struct clamp_try tried;
  clamps_try(refuse->arena, problem, &asked, false, &tried);
  if (!tried.found.found) return false;
  refuse->refusal->reason = REASON_OPPOSITE;
  for (size_t i = 0; i < tried.found.count; i++) {
    const struct clamp_place *place = &tried.found.places[i];
    enum bed_side opposite = side_opposite(place->side);
    bool backed = problem->stop[opposite] || problem->choices[place->choice].kind != CLAMP_SIDE;
    for (size_t j = 0; j < tried.found.count && !backed; j++)
      backed = tried.found.places[j].side == opposite &&
               place_is_backed(problem, place, &tried.found.places[j]);
    if (backed) continue;
    refuse->refusal->side = opposite;
    break;
  }
  return true;
}

/* Rules that fail together: all are left out, then put back one by one while clamps can still be
 * found. */
static unsigned rules_that_fail(const struct refuse *refuse) {
  static const unsigned rules[] = {RULE_COVER,    RULE_CLEAR_OF, RULE_BALANCE, RULE_OPPOSITE,
                                   RULE_FRICTION, RULE_BED,      RULE_OWNED};
  unsigned out = RULES_ALL;
  for (size_t r = 0; r < sizeof rules / sizeof *rules; r++)
    if (holds_without(refuse, out & ~rules[r])) out &= ~rules[r];
  return out;
}

static void find_reason(const struct refuse *refuse) {
  struct clamp_refusal *refusal = refuse->refusal;
  refusal->reason = REASON_NO_CLAMPS;
  if (refuse->problem->choice_count == 0) return;
  refusal->reason = REASON_NONE;
  if (axis_fails(refuse, BED_LEFT) || axis_fails(refuse, BED_FRONT)) return;
  *refusal = (struct clamp_refusal){.reason = REASON_NONE};
  if (friction_fails(refuse) || owned_fails(refuse) || bed_fails(refuse) || opposite_fails(refuse))
    return;
  if (holds_without(refuse, RULE_CLEAR_OF))
    refusal->reason = REASON_MEETING;
  else if (holds_without(refuse, RULE_BALANCE))
    refusal->reason = REASON_BALANCE;
  else
    *refusal = (struct clamp_refusal){.reason = REASON_SEVERAL, .rules = rules_that_fail(refuse)};
}

typedef bool find_cure(struct arena *arena, const struct clamp_problem *problem,
                       struct clamp_cure *cure);

/* More clamps where clamps are short, a larger load where places are, a turn where the bed is. */
static void find_cures(const struct refuse *refuse) {
  find_cure *const by_more[] = {cure_by_more, cure_by_turning, cure_by_growing};
  find_cure *const by_growing[] = {cure_by_growing, cure_by_turning, cure_by_more};
  find_cure *const by_turning[] = {cure_by_turning, cure_by_growing, cure_by_more};
  struct clamp_refusal *refusal = refuse->refusal;
  find_cure *const *order = by_growing;
  if (refusal->reason == REASON_FRICTION || refusal->reason == REASON_TOO_FEW ||
      refusal->reason == REASON_OPPOSITE)
    order = by_more;
  if (refusal->reason == REASON_BED || refusal->reason == REASON_STOPS) order = by_turning;
  for (int c = 0; c < MOST_CURES; c++)
    if (order[c](refuse->arena, refuse->problem, &refusal->cures[refusal->cure_count]))
      refusal->cure_count++;
}

void clamps_refuse(struct arena *arena, const struct clamp_problem *problem,
                   struct clamp_refusal *refusal) {
  *refusal = (struct clamp_refusal){.reason = REASON_NONE};
  struct refuse refuse = {arena, problem, clear_sides(arena, problem), refusal};
  find_reason(&refuse);
  if (refusal->reason != REASON_NO_CLAMPS) find_cures(&refuse);
}
