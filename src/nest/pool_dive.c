#include "nest/pool_dive.h"

#include <math.h>

#include "nest/random.h"
#include "nest/tolerance.h"
#include "solver/guard.h"
#include "solver/simplex.h"

enum { MOST_DEPTH = 200, SHAKES = 4 };

/* Costs are shaken by such parts of themselves. */
static const double shake_of[SHAKES] = {0.01, 0.03, 0.003, 0.1};

struct dive {
  const struct pool_question *question;
  glp_prob *problem;
  unsigned long environment;
  size_t *layout; /* per column */
  int count;      /* columns */
  int rows;
  double *cost; /* per column */
  int *basis;   /* statuses at the root: rows, then columns */
  int *index;   /* scratch */
  double *value;
  int64_t *pieces; /* scratch, per stock */
  uint64_t random;
  int64_t steps; /* taken */
};

static double to_double(cost_t cost) { return (double)cost / (double)COST_PER_CENT; }

static void close_dive(void *resource) {
  struct dive *dive = resource;
  if (dive->problem != NULL && guard_holds(dive->environment)) glp_delete_prob(dive->problem);
  dive->problem = NULL;
}

static double share(struct dive *dive) {
  return (double)(random_draw(&dive->random) >> 11) / 9007199254740992.0;
}

static void list_layouts(struct dive *dive) {
  const struct pool_question *question = dive->question;
  for (size_t i = 0; i < question->layout_count; i++) {
    const struct pool_layout *layout = &question->layouts[i];
    if (question->most[layout->stock] <= 0 || layout->cost >= question->below) continue;
    if (question->problem->stocks[layout->stock].given != NULL) continue;
    dive->cost[dive->count] = to_double(layout->cost);
    dive->layout[dive->count++] = i;
  }
}

static void add_column(struct dive *dive, int column) {
  const struct pool_layout *layout = &dive->question->layouts[dive->layout[column]];
  size_t demands = dive->question->problem->demand_count;
  int entries = 0;
  for (size_t d = 0; d < demands; d++) {
    if (layout->counts[d] == 0) continue;
    dive->index[++entries] = (int)d + 1;
    dive->value[entries] = (double)layout->counts[d];
  }
  dive->index[++entries] = (int)(demands + layout->stock) + 1;
  dive->value[entries] = 1;
  glp_set_mat_col(dive->problem, column + 1, entries, dive->index, dive->value);
}

static void load(struct dive *dive) {
  const struct pool_question *question = dive->question;
  size_t demands = question->problem->demand_count;
  dive->problem = glp_create_prob();
  glp_set_obj_dir(dive->problem, GLP_MIN);
  glp_add_rows(dive->problem, dive->rows);
  glp_add_cols(dive->problem, dive->count);
  for (size_t d = 0; d < demands; d++)
    glp_set_row_bnds(dive->problem, (int)d + 1, GLP_LO, (double)question->demand[d], 0);
  for (size_t s = 0; s < question->problem->stock_count; s++) {
    int64_t most = question->most[s];
    glp_set_row_bnds(dive->problem, (int)(demands + s) + 1, most >= INT64_MAX / 4 ? GLP_FR : GLP_UP,
                     0, (double)(most < 0 ? 0 : most));
  }
  for (int c = 0; c < dive->count; c++) add_column(dive, c);
}

static bool run_simplex(struct dive *dive, int method) {
  return simplex_run(dive->problem, method, &dive->steps);
}

static void keep_basis(struct dive *dive) {
  for (int r = 1; r <= dive->rows; r++) dive->basis[r - 1] = glp_get_row_stat(dive->problem, r);
  for (int c = 1; c <= dive->count; c++)
    dive->basis[dive->rows + c - 1] = glp_get_col_stat(dive->problem, c);
}

static bool solve_root(struct dive *dive) {
  for (int c = 1; c <= dive->count; c++) {
    glp_set_col_bnds(dive->problem, c, GLP_LO, 0, 0);
    glp_set_obj_coef(dive->problem, c, dive->cost[c - 1]);
  }
  if (!run_simplex(dive, GLP_PRIMAL)) return false;
  keep_basis(dive);
  return true;
}

/* Back to the root, at shaken costs. */
static bool begin(struct dive *dive, double shake) {
  for (int c = 1; c <= dive->count; c++) {
    glp_set_col_bnds(dive->problem, c, GLP_LO, 0, 0);
    glp_set_obj_coef(dive->problem, c, dive->cost[c - 1] * (1 + shake * share(dive)));
  }
  for (int r = 1; r <= dive->rows; r++) glp_set_row_stat(dive->problem, r, dive->basis[r - 1]);
  for (int c = 1; c <= dive->count; c++)
    glp_set_col_stat(dive->problem, c, dive->basis[dive->rows + c - 1]);
  return run_simplex(dive, GLP_PRIMAL);
}

static double true_cost(const struct dive *dive) {
  double cost = 0;
  for (int c = 0; c < dive->count; c++)
    cost += glp_get_col_prim(dive->problem, c + 1) * dive->cost[c];
  return cost;
}

/* The layout to round up: those nearly whole rather, by chance; 0 where all are whole. */
static int choose(struct dive *dive) {
  int best = 0;
  double highest = 0;
  for (int c = 1; c <= dive->count; c++) {
    double value = glp_get_col_prim(dive->problem, c);
    double part = value - floor(value + TOLERANCE_WHOLE);
    if (part <= TOLERANCE_WHOLE) continue;
    double rank = (0.3 + part) * sqrt(share(dive));
    if (rank <= highest) continue;
    highest = rank;
    best = c;
  }
  return best;
}

static cost_t plan_cost(const struct dive *dive, const int64_t *taken) {
  const struct pool_question *question = dive->question;
  cost_t cost = 0;
  for (size_t s = 0; s < question->problem->stock_count; s++) dive->pieces[s] = 0;
  for (size_t i = 0; i < question->layout_count; i++) {
    const struct pool_layout *layout = &question->layouts[i];
    dive->pieces[layout->stock] += taken[i];
    cost += taken[i] * (layout->cost - question->problem->stocks[layout->stock].cost);
  }
  for (size_t s = 0; s < question->problem->stock_count; s++)
    cost += nest_stock_cost(&question->problem->stocks[s], dive->pieces[s]);
  return cost;
}

static void read_taken(const struct dive *dive, int64_t *taken) {
  for (size_t i = 0; i < dive->question->layout_count; i++) taken[i] = 0;
  for (int c = 0; c < dive->count; c++)
    taken[dive->layout[c]] = llround(glp_get_col_prim(dive->problem, c + 1));
}

/* One way down. */
static bool go_down(struct dive *dive, double shake, int64_t *taken) {
  double below = to_double(dive->question->below) - TOLERANCE_MONEY;
  bool solved = begin(dive, shake);
  for (int depth = 0; solved && depth < MOST_DEPTH && true_cost(dive) < below; depth++) {
    int column = choose(dive);
    if (column == 0) {
      read_taken(dive, taken);
      return plan_cost(dive, taken) < dive->question->below;
    }
    double value = glp_get_col_prim(dive->problem, column);
    glp_set_col_bnds(dive->problem, column, GLP_LO, ceil(value - TOLERANCE_WHOLE), 0);
    solved = run_simplex(dive, GLP_DUALP);
  }
  return false;
}

static bool go_down_often(struct dive *dive, int64_t *taken) {
  load(dive);
  if (!solve_root(dive)) return false;
  bool found = false;
  for (int try = 0; dive->steps < dive->question->steps && !found; try++)
    found = go_down(dive, shake_of[try % SHAKES], taken);
  return found;
}

bool pool_dive(struct arena *arena, struct pool_question *question, uint64_t seed, int64_t *taken) {
  const struct nest_problem *problem = question->problem;
  struct dive *dive = ARENA_NEW(arena, struct dive);
  size_t rows = problem->demand_count + problem->stock_count;
  *dive = (struct dive){.question = question,
                        .layout = ARENA_ARRAY(arena, question->layout_count, size_t),
                        .rows = (int)rows,
                        .cost = ARENA_ARRAY(arena, question->layout_count, double),
                        .basis = ARENA_ARRAY(arena, rows + question->layout_count, int),
                        .index = ARENA_ARRAY(arena, problem->demand_count + 2, int),
                        .value = ARENA_ARRAY(arena, problem->demand_count + 2, double),
                        .pieces = ARENA_ARRAY(arena, problem->stock_count, int64_t),
                        .random = seed};
  list_layouts(dive);
  bool found = false;
  if (dive->count > 0) {
    dive->environment = guard_environment(arena);
    arena_defer(arena, close_dive, dive);
    GUARD_ENTER(arena);
    found = go_down_often(dive, taken);
    close_dive(dive);
    guard_leave();
  }
  question->steps = dive->steps;
  return found;
}
