#include "run_solver.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

extern char **environ;

/* Only a brake on a run gone wrong: the models are solved in a fraction of it. */
#define SECONDS_LIMIT "30"

enum { ENDED_BADLY = -1, NOT_FOUND = -2 };

/* The exit status of the solver, or one of the above. */
static int spawn_and_wait(char *const arguments[]) {
  posix_spawn_file_actions_t actions;
  if (posix_spawn_file_actions_init(&actions) != 0) return ENDED_BADLY;
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_addopen(&actions, 2, "/dev/null", O_WRONLY, 0);
  pid_t child;
  int fault = posix_spawnp(&child, arguments[0], &actions, NULL, arguments, environ);
  posix_spawn_file_actions_destroy(&actions);
  if (fault != 0) return fault == ENOENT ? NOT_FOUND : ENDED_BADLY;
  int status;
  while (waitpid(child, &status, 0) < 0)
    if (errno != EINTR) return ENDED_BADLY;
  if (!WIFEXITED(status)) return ENDED_BADLY;
  return WEXITSTATUS(status) == 127 ? NOT_FOUND : WEXITSTATUS(status);
}

/* The first line says how it went: "Optimal - objective value 123.00000000". */
static enum solver_outcome read_answer(const char *path, double *objective) {
  FILE *file = fopen(path, "r");
  if (file == NULL) return SOLVER_UNDECIDED;
  char line[256] = "";
  bool read = fgets(line, sizeof line, file) != NULL;
  fclose(file);
  static const char optimal[] = "Optimal - objective value ";
  if (!read) return SOLVER_UNDECIDED;
  if (strncmp(line, "Infeasible", 10) == 0 || strncmp(line, "Integer infeasible", 18) == 0)
    return SOLVER_NO_ANSWER;
  if (strncmp(line, optimal, sizeof optimal - 1) != 0) return SOLVER_UNDECIDED;
  char *end;
  *objective = strtod(line + sizeof optimal - 1, &end);
  return end == line + sizeof optimal - 1 ? SOLVER_UNDECIDED : SOLVER_OPTIMAL;
}

enum solver_outcome run_solver(const char *model_path, const char *answer_path, double *objective) {
  char name[] = "cbc";
  char limit[] = "seconds";
  char seconds[] = SECONDS_LIMIT;
  char solve[] = "solve";
  char solution[] = "solution";
  char model[512];
  char answer[512];
  if (strlen(model_path) >= sizeof model || strlen(answer_path) >= sizeof answer)
    return SOLVER_UNDECIDED;
  memcpy(model, model_path, strlen(model_path) + 1);
  memcpy(answer, answer_path, strlen(answer_path) + 1);
  char *arguments[] = {name, model, limit, seconds, solve, solution, answer, NULL};
  int status = spawn_and_wait(arguments);
  if (status == NOT_FOUND) return SOLVER_MISSING;
  if (status != 0) return SOLVER_UNDECIDED;
  return read_answer(answer_path, objective);
}
