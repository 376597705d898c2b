#include "nest/pool_plan.h"

#include <glpk.h>
#include <math.h>
#include <string.h>

#include "nest/random.h"
#include "nest/tolerance.h"
#include "solver/guard.h"
#include "solver/simplex.h"

enum {
  FIRST_STEPS = 20000000,
  ENTRY_STEPS = 150 /* per entry of the program: to write it and to cut at the root */
};

static const double HALF_A_PIECE = 0.5;

/* Columns of the program: layouts, then pieces of stock and packs. From 1 on, as GLPK counts. */
struct program {
  struct arena *arena;
  const struct pool_question *question;
  glp_prob *problem;
  unsigned long environment;
  int *stock_row; /* per stock: of the pieces cut; 0: the stock is not cut */
  int *number;    /* columns of pieces and packs, packs first */
  int number_count;
  size_t *order;     /* in which layouts are added */
  size_t *layout_of; /* per column of a layout, from 0 on */
  int layout_count;
  int *index; /* scratch */
  double *value;
  int64_t steps_left;
  int iterations; /* counted so far */
};

static double to_double(cost_t cost) { return (double)cost / (double)COST_PER_CENT; }

static void close_program(void *resource) {
  struct program *program = resource;
  if (program->problem != NULL && guard_holds(program->environment))
    glp_delete_prob(program->problem);
  program->problem = NULL;
}

static bool has_limit(int64_t most) { return most < INT64_MAX / 4; }

static int bounds_type(int64_t least, int64_t most) {
  if (!has_limit(most)) return GLP_LO;
  return least == most ? GLP_FX : GLP_DB;
}

/* ---- rows and columns ---- */

static int add_row(const struct program *program, int type, double least, double most) {
  int row = glp_add_rows(program->problem, 1);
  glp_set_row_bnds(program->problem, row, type, least, most);
  return row;
}

static int add_number(struct program *program, int64_t least, int64_t most, cost_t cost) {
  int column = glp_add_cols(program->problem, 1);
  glp_set_col_bnds(program->problem, column, bounds_type(least, most), (double)least, (double)most);
  glp_set_obj_coef(program->problem, column, to_double(cost));
  program->number[program->number_count++] = column;
  return column;
}

/* Pieces of a stock, and packs where it comes in packs: they bear its cost. */
static void add_stock(struct program *program, size_t s) {
  const struct nest_stock *stock = &program->question->problem->stocks[s];
  int64_t least = program->question->least[s];
  int64_t most = program->question->most[s];
  bool packed = stock->pack > 1;
  int entries[3] = {0, 0, 0};
  double values[3] = {0, -1, 0};
  int packs = 0;
  if (packed)
    packs = add_number(program, (least + stock->pack - 1) / stock->pack,
                       has_limit(most) ? (most + stock->pack - 1) / stock->pack : most,
                       stock->pack * (stock->cost - stock->trim_cost));
  entries[1] = add_number(program, least, most, packed ? stock->trim_cost : stock->cost);
  program->stock_row[s] = add_row(program, GLP_FX, 0, 0);
  glp_set_mat_row(program->problem, program->stock_row[s], 1, entries, values);
  if (!packed) return;
  entries[2] = packs;
  values[1] = 1;
  values[2] = -(double)stock->pack;
  int row = add_row(program, GLP_UP, 0, 0);
  glp_set_mat_row(program->problem, row, 2, entries, values);
}

/* Stock given as it is has its bounds in a row, and its cost in the layout. */
static void add_given(struct program *program, size_t s) {
  int64_t least = program->question->least[s];
  int64_t most = program->question->most[s];
  if (least <= 0 && !has_limit(most)) return;
  program->stock_row[s] = add_row(program, bounds_type(least, most), (double)least, (double)most);
}

static bool is_given(const struct program *program, size_t s) {
  return program->question->problem->stocks[s].given != NULL;
}

/* Writes a layout's entries into index and value, from 1 on, and how many into index[0]. */
static void list_entries(struct program *program, const struct pool_layout *layout) {
  int *entries = &program->index[0];
  *entries = 0;
  for (size_t d = 0; d < program->question->problem->demand_count; d++) {
    if (layout->counts[d] == 0) continue;
    ++*entries;
    program->index[*entries] = (int)d + 1;
    program->value[*entries] = (double)layout->counts[d];
  }
  if (program->stock_row[layout->stock] == 0) return;
  ++*entries;
  program->index[*entries] = program->stock_row[layout->stock];
  program->value[*entries] = 1;
}

static void add_layout(struct program *program, size_t number, const struct pool_layout *layout) {
  const struct nest_stock *stock = &program->question->problem->stocks[layout->stock];
  cost_t own = is_given(program, layout->stock) ? layout->cost : layout->cost - stock->cost;
  list_entries(program, layout);
  int column = glp_add_cols(program->problem, 1);
  glp_set_col_bnds(program->problem, column, GLP_LO, 0, 0);
  glp_set_obj_coef(program->problem, column, to_double(own));
  glp_set_mat_col(program->problem, column, program->index[0], program->index, program->value);
  program->layout_of[program->layout_count++] = number;
}

static void fill_program(struct program *program) {
  const struct pool_question *question = program->question;
  program->problem = glp_create_prob();
  glp_set_obj_dir(program->problem, GLP_MIN);
  for (size_t d = 0; d < question->problem->demand_count; d++)
    add_row(program, GLP_LO, (double)question->demand[d], 0);
  for (size_t s = 0; s < question->problem->stock_count; s++) {
    if (question->most[s] <= 0) continue;
    if (is_given(program, s))
      add_given(program, s);
    else
      add_stock(program, s);
  }
  for (size_t i = 0; i < question->layout_count; i++) {
    const struct pool_layout *layout = &question->layouts[program->order[i]];
    if (question->most[layout->stock] > 0 && layout->cost < question->below)
      add_layout(program, program->order[i], layout);
  }
}

/* ---- solving ---- */

static bool run_simplex(struct program *program) {
  int64_t steps = 0;
  bool solved = simplex_run(program->problem, GLP_PRIMAL, &steps);
  program->steps_left -= steps;
  program->iterations = glp_get_it_cnt(program->problem);
  return solved;
}

/* False when the steps are used up. */
static bool count_node(struct program *program, glp_tree *tree) {
  glp_prob *problem = glp_ios_get_prob(tree);
  int iterations = glp_get_it_cnt(problem);
  program->steps_left -= simplex_steps(problem, iterations - program->iterations);
  program->iterations = iterations;
  return program->steps_left > 0;
}

static double below_of(const struct program *program) {
  return to_double(program->question->below) - TOLERANCE_MONEY;
}

/* Layouts of which not one can be in a cheaper plan, by what they lose in the linear program. */
static void drop_hopeless(struct program *program) {
  double value = glp_get_obj_val(program->problem);
  int first = program->number_count;
  int kept = 0;
  int dropped = 0;
  for (int i = 0; i < program->layout_count; i++) {
    int column = first + i + 1;
    bool out = glp_get_col_stat(program->problem, column) == GLP_NL &&
               value + glp_get_col_dual(program->problem, column) >= below_of(program);
    if (out)
      program->index[++dropped] = column;
    else
      program->layout_of[kept++] = program->layout_of[i];
  }
  if (dropped == 0) return;
  glp_del_cols(program->problem, dropped, program->index);
  program->layout_count = kept;
}

/* The number of packs or pieces furthest from whole; 0 where all are whole. */
static int choose_number(const struct program *program, glp_tree *tree) {
  glp_prob *problem = glp_ios_get_prob(tree);
  int best = 0;
  double furthest = TOLERANCE_WHOLE;
  for (int i = 0; i < program->number_count; i++) {
    double value = glp_get_col_prim(problem, program->number[i]);
    double distance = fabs(value - round(value));
    if (distance <= furthest || !glp_ios_can_branch(tree, program->number[i])) continue;
    furthest = distance;
    best = program->number[i];
  }
  return best;
}

static void steer(glp_tree *tree, void *info) {
  struct program *program = info;
  int reason = glp_ios_reason(tree);
  if (reason == GLP_ISELECT && !count_node(program, tree)) glp_ios_terminate(tree);
  if (reason != GLP_IBRANCH) return;
  int number = choose_number(program, tree);
  if (number > 0) glp_ios_branch_upon(tree, number, GLP_UP_BRNCH);
}

/* True when it came to its end. */
static bool run_branch_and_cut(struct program *program, int branching,
                               void (*callback)(glp_tree *tree, void *info)) {
  glp_iocp parameters;
  glp_init_iocp(&parameters);
  parameters.msg_lev = GLP_MSG_OFF;
  parameters.br_tech = branching;
  parameters.bt_tech = GLP_BT_BPH;
  parameters.pp_tech = GLP_PP_ROOT;
  parameters.mir_cuts = GLP_ON;
  parameters.gmi_cuts = GLP_ON;
  parameters.cb_func = callback;
  parameters.cb_info = program;
  program->steps_left -= ENTRY_STEPS * (int64_t)glp_get_num_nz(program->problem);
  int columns = glp_get_num_cols(program->problem);
  for (int column = 1; column <= columns; column++)
    glp_set_col_kind(program->problem, column, GLP_IV);
  return glp_intopt(program->problem, &parameters) == 0;
}

static void read_taken(const struct program *program, int64_t *taken) {
  for (size_t i = 0; i < program->question->layout_count; i++) taken[i] = 0;
  for (int i = 0; i < program->layout_count; i++)
    taken[program->layout_of[i]] =
        llround(glp_mip_col_val(program->problem, program->number_count + i + 1));
}

/* The linear program, then whole numbers. */
static bool solve(struct program *program, int64_t *taken, bool *ended) {
  *ended = true;
  if (!run_simplex(program)) return false;
  *ended = glp_get_obj_val(program->problem) >= below_of(program);
  if (*ended) return false;
  drop_hopeless(program);
  /* the basis stands: what was dropped was not in it */
  *ended = true;
  if (!run_simplex(program)) return false;
  *ended = run_branch_and_cut(program, GLP_BR_MFV, steer);
  int status = glp_mip_status(program->problem);
  bool any = status == GLP_OPT || status == GLP_FEAS;
  if (!any || glp_mip_obj_val(program->problem) >= below_of(program)) return false;
  read_taken(program, taken);
  return true;
}

static struct program *open_program(struct arena *arena, const struct pool_question *question) {
  const struct nest_problem *problem = question->problem;
  struct program *program = ARENA_NEW(arena, struct program);
  size_t room = question->layout_count + problem->demand_count + 2;
  *program = (struct program){
      .arena = arena,
      .question = question,
      .stock_row = ARENA_ARRAY(arena, problem->stock_count, int),
      .number = ARENA_ARRAY(arena, 2 * problem->stock_count + problem->demand_count, int),
      .order = ARENA_ARRAY(arena, question->layout_count, size_t),
      .layout_of = ARENA_ARRAY(arena, question->layout_count, size_t),
      .index = ARENA_ARRAY(arena, room, int),
      .value = ARENA_ARRAY(arena, room, double)};
  for (size_t i = 0; i < question->layout_count; i++) program->order[i] = i;
  program->environment = guard_environment(arena);
  arena_defer(arena, close_program, program);
  return program;
}

/* Ready for the next try: the order of columns decides which vertex the search starts from. */
static void start_anew(struct program *program, int try, int64_t steps) {
  uint64_t random = (uint64_t)try;
  for (size_t i = program->question->layout_count; try > 0 && i > 1; i--) {
    size_t other = (size_t)(random_draw(&random) % i);
    size_t moved = program->order[i - 1];
    program->order[i - 1] = program->order[other];
    program->order[other] = moved;
  }
  memset(program->stock_row, 0, program->question->problem->stock_count * sizeof(int));
  program->number_count = 0;
  program->layout_count = 0;
  program->steps_left = steps;
}

/* Searches are short at first, and begin anew each time: how long one takes is luck. */
typedef enum pool_outcome try_once(struct program *program, int64_t *taken);

static enum pool_outcome try_often(struct arena *arena, struct pool_question *question,
                                   try_once *once, int64_t *taken) {
  struct program *program = open_program(arena, question);
  int64_t left = question->steps;
  int64_t share = FIRST_STEPS;
  enum pool_outcome outcome = POOL_NOT_TOLD;
  for (int try = 0; left > 0 && outcome == POOL_NOT_TOLD; try++) {
    int64_t own = share < left ? share : left;
    start_anew(program, try, own);
    outcome = once(program, taken);
    left -= own - program->steps_left + 1; /* at least one, so that it ends */
    if (try % 2 == 1 && share < left) share *= 2;
  }
  question->steps -= left;
  return outcome;
}

static enum pool_outcome try_for_cheapest(struct program *program, int64_t *taken) {
  GUARD_ENTER(program->arena);
  fill_program(program);
  bool ended = false;
  bool found = solve(program, taken, &ended);
  close_program(program);
  guard_leave();
  if (found) return POOL_FOUND;
  return ended ? POOL_NONE : POOL_NOT_TOLD;
}

bool pool_plan(struct arena *arena, struct pool_question *question, int64_t *taken) {
  return try_often(arena, question, try_for_cheapest, taken) == POOL_FOUND;
}

/* ---- any plan of a set of stock ---- */

static void add_missing(struct program *program, size_t demand) {
  int entries[2] = {0, (int)demand + 1};
  double values[2] = {0, 1};
  int column = add_number(program, 0, INT64_MAX, COST_PER_CENT);
  glp_set_mat_col(program->problem, column, 1, entries, values);
}

static void fill_set(struct program *program) {
  const struct pool_question *question = program->question;
  program->problem = glp_create_prob();
  glp_set_obj_dir(program->problem, GLP_MIN);
  for (size_t d = 0; d < question->problem->demand_count; d++)
    add_row(program, GLP_LO, (double)question->demand[d], 0);
  for (size_t d = 0; d < question->problem->demand_count; d++) add_missing(program, d);
  for (size_t s = 0; s < question->problem->stock_count; s++)
    if (question->most[s] > 0 && has_limit(question->most[s]))
      program->stock_row[s] = add_row(program, GLP_UP, 0, (double)question->most[s]);
  for (size_t i = 0; i < question->layout_count; i++) {
    struct pool_layout free = question->layouts[program->order[i]];
    free.cost = question->problem->stocks[free.stock].cost;
    if (question->most[free.stock] > 0) add_layout(program, program->order[i], &free);
  }
}

static void stop_when_found(glp_tree *tree, void *info) {
  struct program *program = info;
  int reason = glp_ios_reason(tree);
  if (reason == GLP_ISELECT && !count_node(program, tree)) glp_ios_terminate(tree);
  if (reason == GLP_IBINGO && glp_get_obj_val(glp_ios_get_prob(tree)) < HALF_A_PIECE)
    glp_ios_terminate(tree);
}

static enum pool_outcome solve_set(struct program *program, int64_t *taken) {
  if (!run_simplex(program)) return POOL_NOT_TOLD;
  bool ended = run_branch_and_cut(program, GLP_BR_MFV, stop_when_found);
  int status = glp_mip_status(program->problem);
  bool any = status == GLP_OPT || status == GLP_FEAS;
  if (any && glp_mip_obj_val(program->problem) < HALF_A_PIECE) {
    read_taken(program, taken);
    return POOL_FOUND;
  }
  return ended && status == GLP_OPT ? POOL_NONE : POOL_NOT_TOLD;
}

static enum pool_outcome try_set(struct program *program, int64_t *taken) {
  GUARD_ENTER(program->arena);
  fill_set(program);
  enum pool_outcome outcome = solve_set(program, taken);
  close_program(program);
  guard_leave();
  return outcome;
}

enum pool_outcome pool_fill(struct arena *arena, struct pool_question *question, int64_t *taken) {
  return try_often(arena, question, try_set, taken);
}
