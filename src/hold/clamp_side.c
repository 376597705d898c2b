#include "hold/clamp_side.h"

enum bed_side side_opposite(enum bed_side side) {
  static const enum bed_side opposites[BED_SIDES] = {BED_RIGHT, BED_LEFT, BED_BACK, BED_FRONT};
  return opposites[side];
}

int side_axis(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT ? 0 : 1; }

length_t side_extent(const struct clamp_problem *problem, enum bed_side side) {
  return side_axis(side) == 0 ? problem->width : problem->length;
}

length_t side_across(const struct clamp_problem *problem, enum bed_side side) {
  return side_axis(side) == 0 ? problem->length : problem->width;
}

length_t side_bed(const struct clamp_problem *problem, enum bed_side side) {
  return side_axis(side) == 0 ? problem->bed_length : problem->bed_width;
}

length_t side_end(const struct clamp_problem *problem, length_t span) {
  return smaller(problem->end, span);
}

bool side_axis_held(const struct clamp_problem *problem, enum bed_side side) {
  return problem->held[side] || problem->held[side_opposite(side)];
}

bool side_takes(const struct clamp_problem *problem, enum bed_side side, enum clamp_kind kind) {
  if (kind == CLAMP_HOLD_DOWN) return problem->held[side];
  return side_axis_held(problem, side) && !problem->stop[side];
}

bool side_covered_by(const struct clamp_problem *problem, enum bed_side side,
                     enum clamp_kind kind) {
  if (!side_takes(problem, side, kind)) return false;
  return problem->held[side] || problem->stop[side_opposite(side)];
}

length_t place_end(const struct clamp_problem *problem, const struct clamp_place *place) {
  return place->start + problem->choices[place->choice].width;
}

void place_body(const struct clamp_problem *problem, const struct clamp_place *place,
                struct held_clamp *body) {
  const struct clamp_choice *choice = &problem->choices[place->choice];
  length_t depth = choice->over + choice->beside;
  length_t outer = -choice->beside;
  if (place->side == BED_RIGHT || place->side == BED_BACK)
    outer = side_across(problem, place->side) - choice->over;
  *body = (struct held_clamp){
      .clamp = choice->clamp, .side = place->side, .keep_out = choice->keep_out};
  if (side_axis(place->side) == 0) {
    body->x = outer;
    body->y = place->start;
    body->length = depth;
    body->width = choice->width;
  } else {
    body->x = place->start;
    body->y = outer;
    body->length = choice->width;
    body->width = depth;
  }
}

bool places_meet(const struct clamp_problem *problem, const struct clamp_place *one,
                 const struct clamp_place *other) {
  if (one->side == other->side)
    return one->start < place_end(problem, other) && other->start < place_end(problem, one);
  struct held_clamp a;
  struct held_clamp b;
  place_body(problem, one, &a);
  place_body(problem, other, &b);
  return a.x < b.x + b.length && b.x < a.x + a.length && a.y < b.y + b.width && b.y < a.y + a.width;
}

bool place_is_backed(const struct clamp_problem *problem, const struct clamp_place *one,
                     const struct clamp_place *other) {
  length_t in_line = smaller(place_end(problem, one), place_end(problem, other)) -
                     larger(one->start, other->start);
  return 2 * in_line >= problem->choices[one->choice].width;
}

struct side_outline side_outline(const struct clamp_problem *problem, enum bed_side side,
                                 const struct clamp_obstacle *obstacle) {
  bool upright = side_axis(side) == 0;
  length_t along = upright ? obstacle->y : obstacle->x;
  length_t depth = upright ? obstacle->x : obstacle->y;
  length_t extent = upright ? obstacle->width : obstacle->length;
  length_t thick = upright ? obstacle->length : obstacle->width;
  if (side == BED_RIGHT || side == BED_BACK) depth = side_across(problem, side) - depth - thick;
  return (struct side_outline){.first = along,
                               .last = along + extent,
                               .near = depth,
                               .far = depth + thick,
                               .round = obstacle->round};
}
