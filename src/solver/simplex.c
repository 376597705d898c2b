#include "solver/simplex.h"

enum {
  ENTRY_STEPS = 15, /* per entry, to take the problem up */
  ITERATION_STEPS = 3000,
  ITERATION_ENTRY_STEPS = 2 /* and one for each pair of rows */
};

int64_t simplex_steps(glp_prob *problem, int iterations) {
  int64_t rows = glp_get_num_rows(problem);
  int64_t entries = glp_get_num_nz(problem);
  int64_t iteration = ITERATION_STEPS + rows * rows + ITERATION_ENTRY_STEPS * entries;
  return ENTRY_STEPS * entries + iteration * iterations;
}

bool simplex_run(glp_prob *problem, int method, int64_t *steps) {
  glp_smcp parameters;
  glp_init_smcp(&parameters);
  parameters.msg_lev = GLP_MSG_OFF;
  parameters.meth = method;
  int before = glp_get_it_cnt(problem);
  int failed = glp_simplex(problem, &parameters);
  *steps += simplex_steps(problem, glp_get_it_cnt(problem) - before);
  return failed == 0 && glp_get_status(problem) == GLP_OPT;
}
