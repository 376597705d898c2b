#include "nest/master.h"

#include <math.h>

#include "nest/tolerance.h"
#include "solver/guard.h"
#include "solver/simplex.h"

struct master {
  struct arena *arena;
  glp_prob *problem;
  unsigned long environment;
  size_t demand_count;
  size_t stock_count;
  size_t column_count;
  int64_t steps; /* since they were last asked for */
  int *row_index;
  double *row_value;
};

static double to_double(cost_t cost) { return (double)cost / (double)COST_PER_CENT; }

void master_close(struct master *master) {
  if (master->problem != NULL && guard_holds(master->environment)) glp_delete_prob(master->problem);
  master->problem = NULL;
}

static void release_master(void *resource) { master_close(resource); }

struct master *master_create(struct arena *arena, size_t demand_count, size_t stock_count) {
  struct master *master = ARENA_NEW(arena, struct master);
  master->arena = arena;
  master->demand_count = demand_count;
  master->stock_count = stock_count;
  master->row_index = ARENA_ARRAY(arena, demand_count + 2, int);
  master->row_value = ARENA_ARRAY(arena, demand_count + 2, double);
  master->environment = guard_environment(master->arena);
  arena_defer(arena, release_master, master);
  GUARD_ENTER(master->arena);
  master->problem = glp_create_prob();
  glp_set_obj_dir(master->problem, GLP_MIN);
  glp_add_rows(master->problem, (int)(demand_count + stock_count));
  for (size_t r = 0; r < demand_count + stock_count; r++)
    glp_set_row_bnds(master->problem, (int)r + 1, GLP_LO, 0, 0);
  guard_leave();
  return master;
}

void master_set_demand(struct master *master, size_t demand, int64_t least) {
  GUARD_ENTER(master->arena);
  glp_set_row_bnds(master->problem, (int)demand + 1, GLP_LO, (double)least, 0);
  guard_leave();
}

void master_set_stock(struct master *master, size_t stock, int64_t least, int64_t most) {
  GUARD_ENTER(master->arena);
  int type = most < 0 ? GLP_LO : (least == most ? GLP_FX : GLP_DB);
  glp_set_row_bnds(master->problem, (int)(master->demand_count + stock) + 1, type, (double)least,
                   (double)most);
  guard_leave();
}

/* Writes a column's entries into row_index and row_value, from 1 on, and how many into
 * row_index[0]: GLPK may jump, and what it jumps over must not be in a register. */
static void list_entries(struct master *master, const struct master_column *column) {
  int *entries = &master->row_index[0];
  *entries = 0;
  for (size_t d = 0; d < master->demand_count; d++) {
    if (column->counts[d] == 0) continue;
    ++*entries;
    master->row_index[*entries] = (int)d + 1;
    master->row_value[*entries] = (double)column->counts[d];
  }
  if (column->stock == SIZE_MAX) return;
  ++*entries;
  master->row_index[*entries] = (int)(master->demand_count + column->stock) + 1;
  master->row_value[*entries] = 1;
}

void master_add(struct master *master, const struct master_column *column) {
  list_entries(master, column);
  GUARD_ENTER(master->arena);
  int added = glp_add_cols(master->problem, 1);
  glp_set_col_bnds(master->problem, added, GLP_LO, 0, 0);
  glp_set_obj_coef(master->problem, added, to_double(column->cost));
  glp_set_mat_col(master->problem, added, master->row_index[0], master->row_index,
                  master->row_value);
  guard_leave();
  master->column_count++;
}

static bool run_simplex(struct master *master) {
  if (simplex_run(master->problem, GLP_PRIMAL, &master->steps)) return true;
  glp_std_basis(master->problem);
  return simplex_run(master->problem, GLP_DUALP, &master->steps);
}

bool master_solve(struct master *master) {
  GUARD_ENTER(master->arena);
  bool solved = run_simplex(master);
  guard_leave();
  return solved;
}

bool master_solve_again(struct master *master) {
  GUARD_ENTER(master->arena);
  bool solved = simplex_run(master->problem, GLP_DUALP, &master->steps) || run_simplex(master);
  guard_leave();
  return solved;
}

int64_t master_take_steps(struct master *master) {
  int64_t steps = master->steps;
  master->steps = 0;
  return steps;
}

static int layout_column(size_t column) { return (int)column + 1; }

size_t master_basis_size(const struct master *master) {
  return (size_t)glp_get_num_rows(master->problem) + master->column_count;
}

static void keep_basis(const struct master *master, signed char *basis) {
  int rows = glp_get_num_rows(master->problem);
  for (int r = 1; r <= rows; r++) *basis++ = (signed char)glp_get_row_stat(master->problem, r);
  for (size_t c = 0; c < master->column_count; c++)
    *basis++ = (signed char)glp_get_col_stat(master->problem, layout_column(c));
}

static void restore_basis(struct master *master, const signed char *basis) {
  int rows = glp_get_num_rows(master->problem);
  for (int r = 1; r <= rows; r++) glp_set_row_stat(master->problem, r, *basis++);
  for (size_t c = 0; c < master->column_count; c++)
    glp_set_col_stat(master->problem, layout_column(c), *basis++);
}

/* Writes the columns marked into index and value, from 1 on, and how many into index[0]. */
static void list_members(const struct master *master, const bool *member, int *index,
                         double *value) {
  index[0] = 0;
  for (size_t c = 0; c < master->column_count; c++) {
    if (!member[c]) continue;
    index[++index[0]] = layout_column(c);
    value[index[0]] = 1;
  }
}

void master_push_row(struct master *master, const bool *member, int64_t least, int64_t most,
                     signed char *basis) {
  const struct arena_mark mark = arena_mark(master->arena);
  int *const index = ARENA_ARRAY(master->arena, master->column_count + 1, int);
  double *const value = ARENA_ARRAY(master->arena, master->column_count + 1, double);
  list_members(master, member, index, value);
  const int type = most < 0 ? GLP_LO : (least == most ? GLP_FX : GLP_DB);
  GUARD_ENTER(master->arena);
  keep_basis(master, basis);
  int row = glp_add_rows(master->problem, 1);
  glp_set_mat_row(master->problem, row, index[0], index, value);
  glp_set_row_bnds(master->problem, row, type, (double)least, (double)most);
  guard_leave();
  arena_release(master->arena, mark);
}

void master_pop_row(struct master *master, const signed char *basis) {
  GUARD_ENTER(master->arena);
  int row[2] = {0, glp_get_num_rows(master->problem)};
  glp_del_rows(master->problem, 1, row);
  restore_basis(master, basis);
  guard_leave();
}

cost_t master_row_price(const struct master *master, size_t row) {
  size_t before = master->demand_count + master->stock_count;
  double price = glp_get_row_dual(master->problem, (int)(before + row) + 1);
  return (cost_t)floor(price * (double)COST_PER_CENT);
}

double master_value(const struct master *master, size_t column) {
  return glp_get_col_prim(master->problem, layout_column(column));
}

cost_t master_demand_price(const struct master *master, size_t demand) {
  double price = glp_get_row_dual(master->problem, (int)demand + 1) * (double)COST_PER_CENT;
  return price <= 0 ? 0 : (cost_t)floor(price);
}

cost_t master_stock_price(const struct master *master, size_t stock) {
  double price = glp_get_row_dual(master->problem, (int)(master->demand_count + stock) + 1);
  return (cost_t)floor(price * (double)COST_PER_CENT);
}
