/* How far answers for runs of a small workshop are from the best, and what they take:
 *
 *   bench_craft [INSTANCES [EFFORT]]
 *
 * INSTANCES (100) of each of two sizes, EFFORT (100) in percent of the usual. One line
 * for each instance, money in the problem's own unit; a note at the end sums up. */
#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "nest/nest.h"
#include "random/random_problem.h"

enum { USUAL_EFFORT = 120000, USUAL_INSTANCES = 100, SMALL_SETS_MOST = 5, PER_SET_MOST = 6 };

struct tally {
  int instances, complete, proved, faulty;
  double gaps, seconds, longest;
};

static double cpu_seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

/* The same parts and stock for few sets. */
static void make_small(struct nest_problem *problem, uint64_t seed) {
  struct random_source source = {.state = seed * 2 + 1};
  int64_t sets = random_between(&source, 1, SMALL_SETS_MOST);
  for (size_t d = 0; d < problem->demand_count; d++)
    problem->demand[d] = sets * random_between(&source, 1, PER_SET_MOST);
}

static double cents_of(cost_t cost) { return (double)cost / (double)COST_PER_CENT; }

static double gap_of(const struct nest_answer *answer) {
  return answer->cost == 0 ? 0
                           : 100.0 * (double)(answer->cost - answer->bound) / (double)answer->cost;
}

static void note(struct tally *tally, const struct nest_answer *answer, double seconds) {
  tally->seconds += seconds;
  if (seconds > tally->longest) tally->longest = seconds;
  if (!answer->complete) return;
  tally->complete++;
  tally->gaps += gap_of(answer);
  if (answer->cost == answer->bound) tally->proved++;
}

static void measure(struct arena *arena, const char *size, uint64_t seed, bool small,
                    int64_t effort, struct tally *tally) {
  struct nest_problem *problem = random_problem(arena, RANDOM_CRAFT, seed);
  if (small) make_small(problem, seed);
  struct nest_options options = {.effort = effort};
  struct nest_answer answer = {0};
  double start = cpu_seconds();
  nest_solve(arena, problem, &options, &answer);
  double seconds = cpu_seconds() - start;
  note(tally, &answer, seconds);
  printf("%s,%" PRIu64 ",%s,%.2f,%.2f,", size, seed, answer.complete ? "yes" : "no",
         cents_of(answer.cost) / 100, cents_of(answer.bound) / 100);
  if (answer.complete)
    printf("%.3f,%s,", gap_of(&answer), answer.cost == answer.bound ? "yes" : "no");
  else
    printf(",,");
  printf("%" PRId64 ",%.3f\n", answer.steps, seconds);
  fflush(stdout);
}

static void measure_all(const char *size, bool small, int instances, int64_t effort,
                        struct tally *tally) {
  for (int i = 0; i < instances; i++) {
    struct arena *arena = arena_create();
    if (arena == NULL) exit(EXIT_FAILURE);
    enum status status = ARENA_TRY(arena);
    tally->instances++;
    if (status == STATUS_OK) {
      measure(arena, size, (uint64_t)i, small, effort, tally);
    } else {
      printf("# %s %d: %s\n", size, i, status_text(status));
      tally->faulty++;
    }
    arena_destroy(arena);
  }
}

static void sum_up(const char *size, const struct tally *tally) {
  int complete = tally->complete > 0 ? tally->complete : 1;
  printf(
      "# %s: %d instances, %d with a plan, proved %.1f %% of those, mean gap %.3f %%, "
      "cpu %.1f s, longest %.2f s, faults %d\n",
      size, tally->instances, tally->complete, 100.0 * tally->proved / complete,
      tally->gaps / complete, tally->seconds, tally->longest, tally->faulty);
}

static long argument(int count, char **arguments, int index, long usual) {
  long value = count > index ? strtol(arguments[index], NULL, 10) : usual;
  return value < 1 ? usual : value;
}

int main(int count, char **arguments) {
  int instances = (int)argument(count, arguments, 1, USUAL_INSTANCES);
  int64_t effort = USUAL_EFFORT * argument(count, arguments, 2, 100) / 100;
  struct tally run = {0}, small = {0};
  printf("size,seed,complete,cost,bound,gap_percent,proved,steps,cpu_s\n");
  measure_all("run", false, instances, effort, &run);
  measure_all("small", true, instances, effort, &small);
  sum_up("run", &run);
  sum_up("small", &small);
  return EXIT_SUCCESS;
}
