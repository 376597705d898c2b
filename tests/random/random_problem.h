/* Random nesting problems for the property tests: the same seed gives the same problem
 * on any machine. Everything made lives in the arena given. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_PROBLEM_H
#define BLANKWRIGHT_TESTS_RANDOM_PROBLEM_H

#include <stdint.h>
#include <stdio.h>

#include "base/arena.h"
#include "nest/problem.h"

/* A stream of random numbers; `state` is the seed. */
struct random_source {
  uint64_t state;
};

uint64_t random_next(struct random_source *source);
/* A whole number in [low, high]; low <= high. */
int64_t random_between(struct random_source *source, int64_t low, int64_t high);
/* True `parts` times in `whole`. */
bool random_chance(struct random_source *source, int parts, int whole);

/* TINY: every length is a whole number of RANDOM_TINY_UNIT, stock at most 12 x 6 of
 * them, few pieces, any rule, flaws. SMALL: some pieces a stock, no flaws. SMALL_RULES:
 * the same with rules on rips. SMALL_FLAW: one flaw on a stock of which there is one,
 * no rules on rips, cuts cost nothing. CRAFT: a run of a small workshop. */
enum random_kind { RANDOM_TINY, RANDOM_SMALL, RANDOM_SMALL_RULES, RANDOM_SMALL_FLAW, RANDOM_CRAFT };

#define RANDOM_TINY_UNIT MM(10)

/* Costs are whole cents but for CRAFT. `blank` of an option belongs to one demand only,
 * and no two options of a stock agree in blank, turned, length and width. */
struct nest_problem *random_problem(struct arena *arena, enum random_kind kind, uint64_t seed);

/* The problem as text, lengths in 1/8000 mm, to be rebuilt by hand. */
void random_problem_print(FILE *file, const struct nest_problem *problem);

#endif
