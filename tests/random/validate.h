/* Is an answer of the optimiser what nest/problem.h allows? Geometry, rules and sums are
 * worked out here from the tree of nodes alone; nothing of the optimiser is used. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_VALIDATE_H
#define BLANKWRIGHT_TESTS_RANDOM_VALIDATE_H

#include <stdio.h>

#include "nest/nest.h"

/* Writes a line per fault to `report` and returns how many there are. `arena` is for
 * passing needs. */
int validate_answer(struct arena *arena, FILE *report, const struct nest_problem *problem,
                    const struct nest_answer *answer);

/* The layouts as text. */
void validate_print(FILE *file, const struct nest_answer *answer);

/* Whether two answers agree in everything, trees included. */
bool validate_same(const struct nest_problem *problem, const struct nest_answer *a,
                   const struct nest_answer *b);

#endif
