/* Is an answer of the free packing what nest/free_nest.h allows? Geometry and sums are worked
 * out here from the places alone; nothing of the packing is used. */
#ifndef BLANKWRIGHT_TESTS_PUBLISHED_FREE_CHECK_H
#define BLANKWRIGHT_TESTS_PUBLISHED_FREE_CHECK_H

#include "base/arena.h"
#include "nest/free_nest.h"

/* NULL when nothing is wrong, else the first fault, in `arena`. Stock of the problem comes in
 * single pieces (a pack is 1). */
const char *free_check(struct arena *arena, const struct nest_problem *problem,
                       const struct free_answer *answer);

#endif
