/* A nesting problem as one exact integer program. Every rectangle ("plate") that cuts can
 * make of a stock has a row: as many must be made as are used up. Every cut of a plate is a
 * column, as is taking a plate for a piece, a trim that frees a last piece, a piece of
 * stock, and a pack.
 * Source: one-cut models, Dyckhoff, Operations Research 29 (1981); plate-cut models, Silva,
 * Alvelos, Valerio de Carvalho, EJOR 205 (2010). Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_PLATE_MODEL_H
#define BLANKWRIGHT_TESTS_RANDOM_PLATE_MODEL_H

#include <stdio.h>

#include "base/arena.h"
#include "nest/problem.h"

struct plate_model;

/* NULL when the program would have more than `limit` columns. Where a stock has flaws, cuts
 * must cost nothing, and of the rules only stages, first cut and crosscut capacity may bind:
 * only then are the places tried here all that are needed. */
struct plate_model *plate_model_create(struct arena *arena, const struct nest_problem *problem,
                                       size_t limit);

size_t plate_model_columns(const struct plate_model *model);

/* In the LP format, the objective in cents. */
void plate_model_write(const struct plate_model *model, FILE *file);

#endif
