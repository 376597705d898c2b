/* A side of a load as a line: places along it from the corner at the lower left (left and right
 * run to the back, front and back to the right), depth from the side inwards. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_SIDE_H
#define BLANKWRIGHT_HOLD_CLAMP_SIDE_H

#include "hold/clamp_problem.h"

/* A clamp on a side: it covers [start, start + its choice's width]. */
struct clamp_place {
  enum bed_side side;
  size_t choice;
  length_t start;
};

/* Right of left, back of front, and the other way round. */
enum bed_side side_opposite(enum bed_side side);

/* Left and right are of axis 0 (they stand opposite along x), front and back of axis 1. */
int side_axis(enum bed_side side);

/* The side's own length; the load's extent from it to the side opposite; the bed's the same way. */
length_t side_extent(const struct clamp_problem *problem, enum bed_side side);
length_t side_across(const struct clamp_problem *problem, enum bed_side side);
length_t side_bed(const struct clamp_problem *problem, enum bed_side side);

/* How much may stay free at each end of a side whose clamps are at most `span` apart: rule 1. */
length_t side_end(const struct clamp_problem *problem, length_t span);

/* Whether this side or the one opposite is to be held; whether clamps of the kind may stand on it;
 * whether, where that kind holds the axis, they have to cover it: rules 3 and 4. */
bool side_axis_held(const struct clamp_problem *problem, enum bed_side side);
bool side_takes(const struct clamp_problem *problem, enum bed_side side, enum clamp_kind kind);
bool side_covered_by(const struct clamp_problem *problem, enum bed_side side, enum clamp_kind kind);

/* Where a clamp ends along its side; the body and keep-out it has there. */
length_t place_end(const struct clamp_problem *problem, const struct clamp_place *place);
void place_body(const struct clamp_problem *problem, const struct clamp_place *place,
                struct held_clamp *body);

/* Whether two clamps, on whatever sides, stand in each other's way; touching they do not. */
bool places_meet(const struct clamp_problem *problem, const struct clamp_place *one,
                 const struct clamp_place *other);

/* Whether `other`, on the side opposite, has at least half of `one`'s width in line. */
bool place_is_backed(const struct clamp_problem *problem, const struct clamp_place *one,
                     const struct clamp_place *other);

/* An outline as seen from a side. */
struct side_outline {
  length_t first, last; /* along */
  length_t near, far;   /* depth */
  bool round;
};
struct side_outline side_outline(const struct clamp_problem *problem, enum bed_side side,
                                 const struct clamp_obstacle *obstacle);

#endif
