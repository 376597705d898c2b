#include "hold/clamp_numbers.h"

#include "hold/clamp_rows.h"
#include "hold/clamp_rules.h"

/* One way to hold: the kind on each axis, and what it takes. */
struct holding {
  const struct clamp_problem *problem;
  const struct clear_side *clear;
  unsigned rules;
  enum clamp_kind kind[2];
  int64_t needed[2]; /* by kind, to cover */
  int64_t room;      /* clamps that lie side by side on all sides */
};

static bool owned(const struct holding *holding, enum clamp_kind kind, int64_t number) {
  if (!(holding->rules & RULE_OWNED)) return true;
  int64_t count = 0;
  for (size_t c = 0; c < holding->problem->choice_count; c++)
    if (holding->problem->choices[c].kind == kind) count += holding->problem->choices[c].count;
  return number <= count;
}

/* The least that stands beside a side of the kind, or -1 when there is none of it; and the
 * least width. */
static length_t least_beside(const struct holding *holding, enum clamp_kind kind, length_t *width) {
  length_t least = -1;
  *width = 0;
  for (size_t c = 0; c < holding->problem->choice_count; c++) {
    const struct clamp_choice *choice = &holding->problem->choices[c];
    if (choice->kind != kind) continue;
    if (least < 0 || choice->beside < least) least = choice->beside;
    if (*width == 0 || choice->width < *width) *width = choice->width;
  }
  return least;
}

/* What one side takes to be covered; -1 when it cannot be. */
static int64_t side_number(const struct holding *holding, enum bed_side side) {
  enum clamp_kind kind = holding->kind[side_axis(side)];
  if (!side_covered_by(holding->problem, side, kind)) return 0;
  if (!(holding->rules & RULE_COVER)) return 0;
  length_t from;
  length_t to;
  return clear_least(holding->problem, holding->clear, side, kind, &from, &to);
}

static bool add_axis(struct holding *holding, enum bed_side side) {
  const struct clamp_problem *problem = holding->problem;
  if (!side_axis_held(problem, side)) return true;
  enum bed_side opposite = side_opposite(side);
  enum clamp_kind kind = holding->kind[side_axis(side)];
  length_t width;
  length_t beside = least_beside(holding, kind, &width);
  bool one = side_covered_by(problem, side, kind);
  bool other = side_covered_by(problem, opposite, kind);
  if (beside < 0 || !(one || other)) return false;
  length_t extent = side_across(problem, side) + (one ? beside : 0) + (other ? beside : 0);
  if ((holding->rules & RULE_BED) && extent > side_bed(problem, side)) return false;
  int64_t number = side_number(holding, side);
  int64_t against = side_number(holding, opposite);
  if (number < 0 || against < 0) return false;
  if (kind == CLAMP_HOLD_DOWN && one && other && (holding->rules & RULE_BALANCE)) {
    if (number < against - 1) number = against - 1;
    if (against < number - 1) against = number - 1;
  }
  holding->needed[kind] += number + against;
  if (width > 0) holding->room += 2 * (side_extent(problem, side) / width);
  return true;
}

static bool uses(const struct holding *holding, enum clamp_kind kind, bool stopped) {
  for (int axis = 0; axis < 2; axis++) {
    enum bed_side side = axis == 0 ? BED_LEFT : BED_FRONT;
    bool stops = holding->problem->stop[side] || holding->problem->stop[side_opposite(side)];
    if (side_axis_held(holding->problem, side) && holding->kind[axis] == kind &&
        (!stopped || stops))
      return true;
  }
  return false;
}

/* Twice what a clamp adds to the sum of forces at most: of pairs opposite each other half. */
static int64_t doubled_force(const struct holding *holding, size_t choice) {
  enum clamp_kind kind = holding->problem->choices[choice].kind;
  if (!uses(holding, kind, false)) return 0;
  bool halved = kind == CLAMP_SIDE && !uses(holding, kind, true);
  return friction_counted(holding->problem, choice) * (halved ? 1 : 2);
}

/* The strongest choice that is behind `last` in falling order of force, or the count. */
static size_t next_strongest(const struct holding *holding, size_t last) {
  size_t count = holding->problem->choice_count;
  size_t best = count;
  for (size_t c = 0; c < count; c++) {
    int64_t force = doubled_force(holding, c);
    if (last < count) {
      int64_t before = doubled_force(holding, last);
      if (force > before || (force == before && c <= last)) continue;
    }
    if (best == count || force > doubled_force(holding, best)) best = c;
  }
  return best;
}

/* The least number that reaches the friction, or -1. */
static int64_t friction_number(const struct holding *holding) {
  int64_t left = (holding->rules & RULE_FRICTION) ? 2 * friction_needed(holding->problem) : 0;
  int64_t number = 0;
  size_t choice = holding->problem->choice_count;
  while (left > 0) {
    choice = next_strongest(holding, choice);
    if (choice == holding->problem->choice_count) return -1;
    int64_t force = doubled_force(holding, choice);
    if (force <= 0) return -1;
    int64_t wanted = left / force + (left % force != 0);
    int64_t count = holding->problem->choices[choice].count;
    if ((holding->rules & RULE_OWNED) && wanted > count) wanted = count;
    number += wanted;
    left -= wanted * force;
  }
  return number <= holding->room ? number : -1;
}

int64_t clamp_numbers(const struct clamp_problem *problem, const struct clear_side *clear,
                      unsigned rules, const enum clamp_kind *kinds) {
  if ((rules & RULE_BED) &&
      (problem->length > problem->bed_length || problem->width > problem->bed_width))
    return -1;
  struct holding holding = {
      .problem = problem, .clear = clear, .rules = rules, .kind = {kinds[0], kinds[1]}};
  if (!add_axis(&holding, BED_LEFT) || !add_axis(&holding, BED_FRONT)) return -1;
  if (!owned(&holding, CLAMP_SIDE, holding.needed[CLAMP_SIDE]) ||
      !owned(&holding, CLAMP_HOLD_DOWN, holding.needed[CLAMP_HOLD_DOWN]))
    return -1;
  int64_t number = friction_number(&holding);
  int64_t cover = holding.needed[CLAMP_SIDE] + holding.needed[CLAMP_HOLD_DOWN];
  return number < 0 || number > cover ? number : cover;
}
