/* The rules of a load, checked apart from the code that lays it: own geometry, word for word from
 * hold/load_problem.h and hold/clamp_problem.h. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_LOAD_CHECK_H
#define BLANKWRIGHT_TESTS_RANDOM_LOAD_CHECK_H

#include "hold/load_problem.h"

/* What is wrong with the answer, or NULL. */
const char *check_load(const struct load_problem *problem, const struct load_answer *answer);

/* Is there a load of more worth than `worth`? By going through all layouts on a grid of `cell`
 * that all lengths are multiples of, and all sets of clamps; for hold-downs of one kind alone. */
bool better_load_exists(const struct load_problem *problem, length_t cell, int64_t worth);

#endif
