/* Small integer programs, minimised by GLPK's branch and cut. Everything lives in the arena the
 * program was made in; GLPK's own memory is freed before a solve returns, and a fault inside it
 * raises STATUS_SOLVER_FAULT on that arena. Effort is counted in nodes, never in time, so an
 * answer is the same on any machine. Columns and rows are numbered from 0 as they are added. */
#ifndef BLANKWRIGHT_SOLVER_PROGRAM_H
#define BLANKWRIGHT_SOLVER_PROGRAM_H

#include <math.h>
#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"

struct program;

enum program_kind { PROGRAM_CONTINUOUS, PROGRAM_INTEGER };

/* Without columns and rows. */
struct program *program_create(struct arena *arena);

/* A column between least and most (-INFINITY, INFINITY: no bound; least <= most), at a cost a
 * unit. */
size_t program_add_column(struct program *program, enum program_kind kind, double least,
                          double most, double cost);
/* A column that is 0 or 1. */
size_t program_add_choice(struct program *program, double cost);

/* A row: program_put adds `value` times the column to the row that is open, as often as wanted
 * for one column; program_end_row closes it with its bounds (as of a column) and returns its
 * number. */
void program_put(struct program *program, size_t column, double value);
size_t program_end_row(struct program *program, double least, double most);

/* How many numbers other than 0 the rows have: what a node's work goes by. */
size_t program_entries(const struct program *program);

enum program_answer {
  PROGRAM_OPTIMAL,
  PROGRAM_INFEASIBLE,
  PROGRAM_STOPPED /* out of nodes, or GLPK gave up: `found` says whether there are values */
};

struct program_result {
  enum program_answer answer;
  bool found;
  double value;         /* of what was found */
  double bound;         /* no solution costs less, as doubles go; -INFINITY: none known */
  const double *values; /* by column, whole ones rounded; in the arena */
};

/* Minimises with at most `nodes` nodes. May be called again after changes. */
void program_solve(struct program *program, int64_t nodes, struct program_result *result);

#endif
