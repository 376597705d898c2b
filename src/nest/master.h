/* The master program over layouts, in GLPK. Rows: one per
 * demand (at least so many pieces), one per stock (between so many pieces of stock).
 * Columns: layouts. Lives in the arena it was made in, GLPK's memory included; a fault
 * inside GLPK raises STATUS_SOLVER_FAULT on that arena. One GLPK environment a thread: a
 * master is used and closed by the thread that made it. */
#ifndef BLANKWRIGHT_NEST_MASTER_H
#define BLANKWRIGHT_NEST_MASTER_H

#include <stdbool.h>

#include "base/arena.h"
#include "nest/problem.h"

struct master;

/* What a layout is to the master program. */
struct master_column {
  size_t stock;          /* SIZE_MAX: takes none */
  cost_t cost;           /* stock and cuts */
  const int64_t *counts; /* per demand */
};

/* Without columns; every row is at least 0 until its bounds are set. */
struct master *master_create(struct arena *arena, size_t demand_count, size_t stock_count);

/* Frees GLPK's memory early; the arena would do it later. */
void master_close(struct master *master);

/* Bounds of a row; most < 0 is no upper bound. */
void master_set_demand(struct master *master, size_t demand, int64_t least);
void master_set_stock(struct master *master, size_t stock, int64_t least, int64_t most);

/* Adds a column; columns are numbered from 0 in the order added. */
void master_add(struct master *master, const struct master_column *column);

/* Adds a row over the columns marked in member[], at least `least` and (unless below 0) at most
 * `most` uses of them together. Rows are taken off again, the last one first; the basis before is
 * kept in basis[], master_basis_size() long, and taken up again. */
void master_push_row(struct master *master, const bool *member, int64_t least, int64_t most,
                     signed char *basis);
void master_pop_row(struct master *master, const signed char *basis);

size_t master_basis_size(const struct master *master);

/* Solves the linear program, warm from the last basis. False when GLPK finds no optimum. */
bool master_solve(struct master *master);

/* The same after bounds were changed: by the dual simplex. */
bool master_solve_again(struct master *master);

/* The steps that solving took since this was last called. */
int64_t master_take_steps(struct master *master);

/* After master_solve: values, and shadow prices in cost units (demand >= 0). */
double master_value(const struct master *master, size_t column);
cost_t master_demand_price(const struct master *master, size_t demand);
cost_t master_stock_price(const struct master *master, size_t stock);

/* The same of a row pushed, 0 the first; below 0 where its upper bound binds. */
cost_t master_row_price(const struct master *master, size_t row);

#endif
