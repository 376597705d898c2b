/* The search of loads against the same load as a plain integer program on a raster, given to GLPK
 * and to CBC. Sizes are multiples of the raster, so that the optimum is the same.
 * Arguments: number of loads, first seed, raster in mm, seconds for each solver, length and
 * width of the load in mm. */
#include <fcntl.h>
#include <glpk.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/random.h"
#include "hold/load.h"
#include "load_model.h"
#include "random/load_maker.h"

extern char **environ;

struct outcome {
  double seconds, worth;
  bool ended;
};

static int64_t between(uint64_t *random, int64_t low, int64_t high) {
  return low + (int64_t)(random_draw(random) % (uint64_t)(high - low + 1));
}

/* Ends held; parts of about 1.2 times the load's area. */
static void make_raster_load(struct made_load *made, length_t raster, length_t length,
                             length_t width, uint64_t seed) {
  uint64_t random = seed;
  memset(made, 0, sizeof *made);
  struct load_problem *problem = &made->problem;
  problem->hold = (struct clamp_problem){.length = length,
                                         .width = width,
                                         .bed_length = MM(400),
                                         .bed_width = MM(260),
                                         .span = MM(150),
                                         .end = MM(40),
                                         .pitch = MM(30),
                                         .choices = made->choices,
                                         .choice_count = 1};
  problem->hold.held[BED_LEFT] = problem->hold.held[BED_RIGHT] = true;
  made->choices[0] = (struct clamp_choice){.kind = CLAMP_HOLD_DOWN,
                                           .width = MM(20),
                                           .over = MM(10),
                                           .beside = MM(30),
                                           .keep_out = MM(10),
                                           .count = 6};
  problem->gap = MM(10);
  problem->edge = MM(10);
  problem->items = made->items;
  length_t area = 0;
  while (area < (length - MM(10)) * (width - MM(10)) / 10 * 12 && problem->item_count < 16) {
    struct load_item *item = &made->items[problem->item_count++];
    item->length = raster * between(&random, MM(40) / raster, MM(130) / raster);
    item->width = raster * between(&random, MM(30) / raster, MM(90) / raster);
    item->turns = between(&random, 0, 1) == 0;
    item->most = between(&random, 1, 2);
    item->worth = item->length / MM(1) * (item->width / MM(1)) * between(&random, 80, 120) / 100;
    area += item->most * (item->length + problem->gap) * (item->width + problem->gap);
  }
}

static struct outcome run_glpk(const char *path, int seconds) {
  struct outcome outcome = {0};
  glp_prob *program = glp_create_prob();
  glp_term_out(GLP_OFF);
  if (glp_read_lp(program, NULL, path) != 0) abort();
  glp_iocp control;
  glp_init_iocp(&control);
  control.presolve = GLP_ON;
  control.gmi_cuts = control.clq_cuts = control.cov_cuts = control.mir_cuts = GLP_ON;
  control.tm_lim = seconds * 1000;
  clock_t start = clock();
  int fault = glp_intopt(program, &control);
  outcome.seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
  outcome.ended = fault == 0 && glp_mip_status(program) == GLP_OPT;
  outcome.worth = glp_mip_obj_val(program);
  glp_delete_prob(program);
  return outcome;
}

static double children_seconds(void) {
  struct rusage usage;
  getrusage(RUSAGE_CHILDREN, &usage);
  return (double)usage.ru_utime.tv_sec + (double)usage.ru_utime.tv_usec / 1e6;
}

static struct outcome run_cbc(char *path, char *answer, int seconds) {
  struct outcome outcome = {0};
  char limit[16];
  snprintf(limit, sizeof limit, "%d", seconds);
  char *arguments[] = {"cbc", path, "sec", limit, "solve", "solution", answer, NULL};
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
  double start = children_seconds();
  pid_t child;
  int status;
  if (posix_spawnp(&child, "cbc", &actions, NULL, arguments, environ) != 0) return outcome;
  waitpid(child, &status, 0);
  posix_spawn_file_actions_destroy(&actions);
  outcome.seconds = children_seconds() - start;
  FILE *file = fopen(answer, "r");
  char line[256] = "";
  if (file != NULL && fgets(line, sizeof line, file) != NULL) {
    outcome.ended = strncmp(line, "Optimal", 7) == 0;
    char *value = strstr(line, "objective value");
    if (value != NULL) outcome.worth = strtod(value + 15, NULL);
    if (outcome.worth < 0) outcome.worth = -outcome.worth;
  }
  if (file != NULL) fclose(file);
  return outcome;
}

static void compare(int seed, length_t raster, int seconds, length_t length, length_t width) {
  struct made_load made;
  make_raster_load(&made, raster, length, width, (uint64_t)seed);
  char folder[] = "/tmp/load_model_XXXXXX";
  char path[64] = "";
  char solution[64] = "";
  if (mkdtemp(folder) == NULL) abort();
  snprintf(path, sizeof path, "%s/load.lp", folder);
  snprintf(solution, sizeof solution, "%s/load.txt", folder);
  FILE *file = fopen(path, "w");
  struct arena *arena = arena_create();
  if (file == NULL || arena == NULL || ARENA_TRY(arena) != STATUS_OK) abort();
  size_t columns = write_load_model(&made.problem, raster, file);
  fclose(file);
  struct load_answer answer;
  clock_t start = clock();
  load_best(arena, &made.problem, INT64_C(20000000000), &answer);
  double own = (double)(clock() - start) / CLOCKS_PER_SEC;
  struct outcome glpk = run_glpk(path, seconds);
  struct outcome cbc = run_cbc(path, solution, seconds);
  printf("%d,%zu,%zu,%lld,%d,%.4f,%.0f,%d,%.2f,%.0f,%d,%.2f\n", seed, made.problem.item_count,
         columns, (long long)answer.worth, answer.proved, own, glpk.worth, glpk.ended, glpk.seconds,
         cbc.worth, cbc.ended, cbc.seconds);
  fflush(stdout);
  if (answer.proved && ((glpk.ended && glpk.worth != (double)answer.worth) ||
                        (cbc.ended && cbc.worth != (double)answer.worth)))
    printf("# load %d: the optima differ\n", seed);
  unlink(path);
  unlink(solution);
  rmdir(folder);
  arena_destroy(arena);
}

int main(int argc, char **argv) {
  int loads = argc > 1 ? atoi(argv[1]) : 5;
  int first = argc > 2 ? atoi(argv[2]) : 1;
  length_t raster = MM(argc > 3 ? atoi(argv[3]) : 10);
  int seconds = argc > 4 ? atoi(argv[4]) : 60;
  length_t length = MM(argc > 5 ? atoi(argv[5]) : 300);
  length_t width = MM(argc > 6 ? atoi(argv[6]) : 200);
  printf(
      "load,kinds,columns,worth,proved,seconds,glpk,glpk_ended,glpk_seconds,cbc,cbc_ended,"
      "cbc_seconds\n");
  for (int seed = first; seed < first + loads; seed++)
    compare(seed, raster, seconds, length, width);
  return 0;
}
