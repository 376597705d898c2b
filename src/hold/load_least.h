/* Sizes that no load of a set of parts can have. Clamps that may stand anywhere are looked at
 * loosely, so that what is refuted is refuted for every place they could stand at. */
#ifndef BLANKWRIGHT_HOLD_LOAD_LEAST_H
#define BLANKWRIGHT_HOLD_LOAD_LEAST_H

#include "hold/load_group.h"

/* Sizes above `over` and up to `most`, both ways, in whole marks: [0] along the load's own length,
 * [1] across it. */
struct load_sizes {
  length_t over[2], most[2];
};

/* By how much a load may be smaller than its problem says, along x and along y. */
struct slack {
  length_t x, y;
};

/* Loosens the rules of a load's problem so that they allow whatever they allow any load that is
 * smaller by up to `slack`. Returns the slack that matters: 0 in a direction in which the largest
 * load holds all that smaller ones hold. */
struct slack load_loosen_sizes(struct clamp_problem *problem, struct slack slack);

/* Whether no load of these sizes holds the set, in whatever way it is held or lies on the bed.
 * False where that is not known after about `steps` of work, of which what was used is taken. A
 * load that comes to light is added to the group's with `keep`. */
bool group_refutes(struct load_group *group, const struct part_set *set,
                   const struct load_sizes *sizes, bool keep, int64_t *steps);

#endif
