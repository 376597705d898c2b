/* GLPK's simplex method, quietly, and what it takes in steps: so that effort spent in linear
 * programs counts like all other, the same on any machine. To be called within a stretch of the
 * guard (solver/guard.h). */
#ifndef BLANKWRIGHT_SOLVER_SIMPLEX_H
#define BLANKWRIGHT_SOLVER_SIMPLEX_H

#include <glpk.h>
#include <stdbool.h>
#include <stdint.h>

/* What so many iterations take on a problem of this size, and taking it up once: a step is one to
 * two nanoseconds. An iteration works on the basis, rows by rows, and prices every entry. The
 * factors are measured: 968 to 12,544 rows squared, 1,700 to 23,000 entries. */
int64_t simplex_steps(glp_prob *problem, int iterations);

/* Solves the linear program from the basis at hand, by GLP_PRIMAL, GLP_DUAL or GLP_DUALP; adds what
 * it took to *steps. True when it ended with an optimum. */
bool simplex_run(glp_prob *problem, int method, int64_t *steps);

#endif
