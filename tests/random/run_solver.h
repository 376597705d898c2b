/* Runs the command line of CBC, the COIN-OR branch and cut solver, on a file. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_RUN_SOLVER_H
#define BLANKWRIGHT_TESTS_RANDOM_RUN_SOLVER_H

enum solver_outcome {
  SOLVER_OPTIMAL,   /* *objective is set */
  SOLVER_NO_ANSWER, /* the program has none */
  SOLVER_UNDECIDED, /* stopped early, or failed */
  SOLVER_MISSING    /* not installed */
};

/* model_path is read, answer_path is written; both are plain paths. */
enum solver_outcome run_solver(const char *model_path, const char *answer_path, double *objective);

#endif
