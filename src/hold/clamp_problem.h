/* Where clamps may stand around a load, bare of names. Lengths in 1/8000 mm, forces in
 * thousandths of a newton; places from the load's lower left corner, x to the right, y to the
 * back.
 *
 * What holds. A side that is to be held is covered by clamps of the bed's places along it:
 * 1. the first clamp begins at most `end` from one corner, the last ends at most `end` from the
 *    other (at most `span` where that is less), and between two that follow each other at most
 *    `span` lies free;
 * 2. a clamp lies with its whole width on the side, its body is clear of every other, and its
 *    keep-out (the body grown by keep_out) meets no cutter path: the path of a rectangle is its
 *    outline grown by `reach` on all sides, that of a round the disc of its radius and `reach`;
 *    touching is no meeting. Bodies on one side never stand over the same stretch of it;
 * 3. a side clamp pushes against a stop, or another side clamp stands opposite with at least
 *    half its width in line; a side with a stop takes no side clamps: the stop holds it. Where
 *    the stop's side alone is to be held, the one opposite is covered in its place; where both
 *    have stops, side clamps cannot hold. Hold-downs hold the side they stand on, stop or none,
 *    and stand on sides to be held only;
 * 4. a side is held by clamps of one kind (side clamps or hold-downs), and opposite sides
 *    likewise. Of hold-downs neither of two opposite sides that are held has more than one more
 *    than the other;
 * 5. no more clamps are used than there are of each;
 * 6. where the force of any choice is known, the friction on two faces (from above: foot and
 *    board; from the side: clamp and stop) is at least what is asked for:
 *    2 x friction x sum of forces >= held. Of side clamps opposite each other the side that
 *    pushes less counts, so that a pair counts once. A clamp whose force is not known counts as
 *    all that is asked for;
 * 7. bodies and load together are within the bed, stops beside it. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_PROBLEM_H
#define BLANKWRIGHT_HOLD_CLAMP_PROBLEM_H

#include "base/arena.h"
#include "model/clamping.h"

/* One kind of clamp as it stands to this load. */
struct clamp_choice {
  enum clamp_kind kind;
  length_t width;    /* along the side */
  length_t over;     /* on the load; 0 for side clamps */
  length_t beside;   /* bed beside the load */
  length_t keep_out; /* the body is grown by so much: gap and nut overhang */
  int64_t count;     /* there are */
  int64_t force;     /* thousandths of a newton; 0: not known */
  size_t clamp;      /* handed through */
};

/* Finished outline; a round is the disc in its square. */
struct clamp_obstacle {
  length_t x, y, length, width;
  bool round;
};

struct clamp_problem {
  length_t length, width;         /* of the load, along x and y */
  length_t bed_length, bed_width; /* along x and y */
  length_t reach;                 /* of cutter paths outside outlines */
  length_t span, end;
  length_t mark;        /* loads grow by it, and places anywhere are rounded to it where the rules
                           allow; 0: half a millimetre */
  length_t pitch;       /* clamps begin at multiples of it from the corner at the stops (from the
                           lower left where there are none); 0: anywhere */
  bool held[BED_SIDES]; /* sides to be held */
  bool stop[BED_SIDES]; /* sides with a stop */
  int64_t friction;     /* thousandths */
  int64_t force;        /* friction to be held, thousandths of a newton */
  const struct clamp_choice *choices;
  size_t choice_count;
  const struct clamp_obstacle *obstacles;
  size_t obstacle_count;
};

/* Whether a side of a pair is to be held: 0 left and right, 1 front and back. */
static inline bool clamp_pair_held(const struct clamp_problem *problem, size_t pair) {
  return problem->held[2 * pair] || problem->held[2 * pair + 1];
}

#endif
