#include "solver/program.h"

#include <glpk.h>

#include "solver/guard.h"

struct bounds {
  double least, most;
};

struct column {
  enum program_kind kind;
  struct bounds bounds;
  double cost;
  size_t row, entry; /* its entry in the newest row it stands in; row is 1 more, 0 for none */
};

struct program {
  struct arena *arena;
  struct column *columns;
  size_t column_count, column_room;
  struct bounds *rows;
  size_t row_count, row_room;
  /* Entries from 1, as GLPK counts; the arrays grow together. */
  int *entry_row, *entry_column;
  double *entry_value;
  size_t entry_count, entry_room;
  bool whole; /* some column is whole */
};

struct program *program_create(struct arena *arena) {
  struct program *program = ARENA_NEW(arena, struct program);
  program->arena = arena;
  return program;
}

size_t program_add_column(struct program *program, enum program_kind kind, double least,
                          double most, double cost) {
  struct column *column =
      ARENA_PUSH(program->arena, program->columns, program->column_count, program->column_room);
  *column = (struct column){.kind = kind, .bounds = {least, most}, .cost = cost};
  if (kind == PROGRAM_INTEGER) program->whole = true;
  return program->column_count - 1;
}

size_t program_add_choice(struct program *program, double cost) {
  return program_add_column(program, PROGRAM_INTEGER, 0, 1, cost);
}

static void grow_entries(struct program *program) {
  size_t used = program->entry_count + 1;
  if (used < program->entry_room) return;
  size_t room = program->entry_room == 0 ? 64 : 2 * program->entry_room;
  if (program->entry_room == 0) used = 0;
  program->entry_row = arena_grow(program->arena, program->entry_row, used, room, sizeof(int));
  program->entry_column =
      arena_grow(program->arena, program->entry_column, used, room, sizeof(int));
  program->entry_value =
      arena_grow(program->arena, program->entry_value, used, room, sizeof(double));
  program->entry_room = room;
}

void program_put(struct program *program, size_t column, double value) {
  struct column *placed = &program->columns[column];
  if (placed->row == program->row_count + 1) {
    program->entry_value[placed->entry] += value;
    return;
  }
  grow_entries(program);
  size_t entry = ++program->entry_count;
  program->entry_row[entry] = (int)program->row_count + 1;
  program->entry_column[entry] = (int)column + 1;
  program->entry_value[entry] = value;
  placed->row = program->row_count + 1;
  placed->entry = entry;
}

size_t program_end_row(struct program *program, double least, double most) {
  struct bounds *row =
      ARENA_PUSH(program->arena, program->rows, program->row_count, program->row_room);
  *row = (struct bounds){least, most};
  return program->row_count - 1;
}

size_t program_entries(const struct program *program) { return program->entry_count; }

static int bounds_type(const struct bounds *bounds) {
  bool below = isfinite(bounds->least) != 0;
  bool above = isfinite(bounds->most) != 0;
  if (below && above) return bounds->least < bounds->most ? GLP_DB : GLP_FX;
  if (below) return GLP_LO;
  return above ? GLP_UP : GLP_FR;
}

/* What GLPK works on and what its callback counts. */
struct solve {
  glp_prob *problem;
  unsigned long environment;
  int64_t left;
  double bound; /* when stopped */
  bool stopped;
};

static void close_solve(void *resource) {
  struct solve *solve = resource;
  if (solve->problem != NULL && guard_holds(solve->environment)) glp_delete_prob(solve->problem);
  solve->problem = NULL;
}

static void load(const struct program *program, glp_prob *problem) {
  glp_set_obj_dir(problem, GLP_MIN);
  if (program->row_count > 0) glp_add_rows(problem, (int)program->row_count);
  if (program->column_count > 0) glp_add_cols(problem, (int)program->column_count);
  for (size_t r = 0; r < program->row_count; r++) {
    const struct bounds *row = &program->rows[r];
    glp_set_row_bnds(problem, (int)r + 1, bounds_type(row), row->least, row->most);
  }
  for (size_t c = 0; c < program->column_count; c++) {
    const struct column *column = &program->columns[c];
    int number = (int)c + 1;
    glp_set_col_bnds(problem, number, bounds_type(&column->bounds), column->bounds.least,
                     column->bounds.most);
    glp_set_obj_coef(problem, number, column->cost);
    glp_set_col_kind(problem, number, column->kind == PROGRAM_INTEGER ? GLP_IV : GLP_CV);
  }
  if (program->entry_count > 0)
    glp_load_matrix(problem, (int)program->entry_count, program->entry_row, program->entry_column,
                    program->entry_value);
}

static void count_nodes(glp_tree *tree, void *info) {
  struct solve *solve = info;
  if (glp_ios_reason(tree) != GLP_ISELECT || solve->left-- > 0) return;
  int best = glp_ios_best_node(tree);
  solve->bound = best == 0 ? -INFINITY : glp_ios_node_bound(tree, best);
  solve->stopped = true;
  glp_ios_terminate(tree);
}

static void solve_whole(struct solve *solve, struct program_result *result) {
  glp_iocp parameters;
  glp_init_iocp(&parameters);
  parameters.msg_lev = GLP_MSG_OFF;
  parameters.presolve = GLP_ON;
  parameters.cb_func = count_nodes;
  parameters.cb_info = solve;
  int failed = glp_intopt(solve->problem, &parameters);
  int status = glp_mip_status(solve->problem);
  if (failed == GLP_ENOPFS || (failed == 0 && status == GLP_NOFEAS)) {
    result->answer = PROGRAM_INFEASIBLE;
    return;
  }
  result->found = status == GLP_OPT || status == GLP_FEAS;
  if (result->found) result->value = glp_mip_obj_val(solve->problem);
  if (failed == 0 && status == GLP_OPT && !solve->stopped) {
    result->answer = PROGRAM_OPTIMAL;
    result->bound = result->value;
  } else if (solve->stopped) {
    result->bound = solve->bound;
  }
}

static void solve_continuous(struct solve *solve, struct program_result *result) {
  glp_smcp parameters;
  glp_init_smcp(&parameters);
  parameters.msg_lev = GLP_MSG_OFF;
  parameters.presolve = GLP_ON;
  int failed = glp_simplex(solve->problem, &parameters);
  if (failed == GLP_ENOPFS || (failed == 0 && glp_get_status(solve->problem) == GLP_NOFEAS)) {
    result->answer = PROGRAM_INFEASIBLE;
  } else if (failed == 0 && glp_get_status(solve->problem) == GLP_OPT) {
    result->answer = PROGRAM_OPTIMAL;
    result->found = true;
    result->value = glp_get_obj_val(solve->problem);
    result->bound = result->value;
  }
}

static const double *read_values(const struct program *program, glp_prob *problem) {
  double *values = ARENA_ARRAY(program->arena, program->column_count, double);
  for (size_t c = 0; c < program->column_count; c++) {
    int number = (int)c + 1;
    if (!program->whole)
      values[c] = glp_get_col_prim(problem, number);
    else if (program->columns[c].kind == PROGRAM_INTEGER)
      values[c] = round(glp_mip_col_val(problem, number));
    else
      values[c] = glp_mip_col_val(problem, number);
  }
  return values;
}

void program_solve(struct program *program, int64_t nodes, struct program_result *result) {
  *result = (struct program_result){.answer = PROGRAM_STOPPED, .bound = -INFINITY};
  struct solve *solve = ARENA_NEW(program->arena, struct solve);
  *solve = (struct solve){
      .environment = guard_environment(program->arena), .left = nodes, .bound = -INFINITY};
  arena_defer(program->arena, close_solve, solve);
  GUARD_ENTER(program->arena);
  solve->problem = glp_create_prob();
  load(program, solve->problem);
  if (program->whole)
    solve_whole(solve, result);
  else
    solve_continuous(solve, result);
  guard_leave();
  if (result->found) result->values = read_values(program, solve->problem);
  close_solve(solve);
}
