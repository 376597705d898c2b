/* Where clamps may stand, one by one: the clear stretches of each side, and a finite set of
 * places on them to choose from. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_PLACES_H
#define BLANKWRIGHT_HOLD_CLAMP_PLACES_H

#include "hold/clamp_side.h"

/* A clamp may start at first, at last and anywhere between. */
struct clear_stretch {
  length_t first, last;
};

/* The stretches of one side for one choice in rising order, apart from each other: all starts
 * at which the clamp lies on the side and its keep-out meets no cutter path (rule 2). Where the
 * bed has a pitch each is a single start. Empty where the side takes no such clamp. */
struct clear_side {
  struct clear_stretch *stretches;
  size_t count;
};

/* By side and choice: index clear_index(). In the arena. */
struct clear_side *clear_sides(struct arena *arena, const struct clamp_problem *problem);
size_t clear_index(const struct clamp_problem *problem, enum bed_side side, size_t choice);

/* The stretch a start lies in, or NULL. */
const struct clear_stretch *clear_find(const struct clear_side *clear, length_t start);

/* The least number of clamps of a kind that cover a side, whatever stands on the other sides and
 * however many clamps are owned; -1 when no number does. Then [*from, *to] is the stretch that
 * stays free: from where the furthest chain of clamps ends to the next clear place (the side's far
 * corner where there is none). Clamps may lie on each other here: a chain that reaches further may
 * then be followed by whatever may follow a shorter one, so that always reaching furthest is best.
 */
int64_t clear_least(const struct clamp_problem *problem, const struct clear_side *clear,
                    enum bed_side side, enum clamp_kind kind, length_t *from, length_t *to);

/* How many places are listed where a clamp may stand anywhere. */
enum clamp_detail {
  CLAMP_FEW,  /* corners, edges of blocked stretches, evenly spread ones, and one step from them */
  CLAMP_CHAIN /* closed under steps, see below */
};

struct clamp_places {
  struct clamp_place *places; /* sorted by side, choice and start */
  size_t count;
  bool complete; /* the set loses nothing */
};

/* The places to choose from. On a bed with a pitch all there are. Anywhere, the closed set loses
 * no choice of clamps that the rules allow: for a given order of clamps on each side, stretches
 * they stand in and ways around corners, the rules are differences of two starts or bounds of
 * one, so there is a solution in which every clamp is as far towards the lower left as it can
 * be. In it each start is the beginning of a clear stretch, the place the end of a side asks
 * for, what a foot around the corner leaves, or so far from another clamp as to touch it, to be
 * `span` from it, or to be in line with it by half: a chain of such steps. `complete` is false
 * where the set was cut off because it grew too large. */
struct clamp_places clamp_places(struct arena *arena, const struct clamp_problem *problem,
                                 const struct clear_side *clear, enum clamp_detail detail);

/* Sorts places by side, choice and start and drops those that are there twice; returns how many
 * are left. */
size_t clamp_places_sort(struct clamp_place *places, size_t count);

#endif
