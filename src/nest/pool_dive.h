/* A plan of layouts at hand by diving: the linear program at costs that are shaken a little, one
 * layout after the other rounded up and the rest solved anew. Quick, and refutes nothing. A fault
 * inside GLPK raises STATUS_SOLVER_FAULT. */
#ifndef BLANKWRIGHT_NEST_POOL_DIVE_H
#define BLANKWRIGHT_NEST_POOL_DIVE_H

#include "nest/pool_plan.h"

/* True when a plan cheaper than `below` was found that keeps to `most`; `least` is not looked at,
 * nor are layouts of stock that is given as it is or rows that couple. The same numbers and seed
 * give the same answer. */
bool pool_dive(struct arena *arena, struct pool_question *question, uint64_t seed, int64_t *taken);

#endif
