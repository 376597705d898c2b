/* How far answers for runs of a small workshop are from the best, and what they take:
 *
 *   bench_craft [--instances N] [--from SEED] [--effort PERCENT] [--size run|small]
 *               [--no-cut-cost] [--jobs N]
 *
 * N (400) instances of each size from SEED (0) on, PERCENT (100) of the stated budget below. A run
 * is 1 to 60 sets, a small one 1 to 5. With --no-cut-cost only the prices of stock count, else saw
 * cuts as well. One line for each instance, money in the problem's own unit, the answer checked
 * before it is printed; notes at the end sum up. Exit status 1 when an answer was at fault or there
 * was none. */
#include <inttypes.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "bench_arguments.h"
#include "nest/nest.h"
#include "published_jobs.h"
#include "random/random_problem.h"
#include "random/validate.h"

enum { STATED_BUDGET = 120000 }; /* thousands of steps */
enum { USUAL_INSTANCES = 400, SMALL_SETS_MOST = 5, PER_SET_MOST = 6 };

enum size { SIZE_RUN, SIZE_SMALL, SIZES };

static const char *const size_names[SIZES] = {"run", "small"};

struct measured {
  enum status status;
  bool complete, proved;
  cost_t cost, bound;
  int64_t steps;
  double seconds;
  int faults;
};

struct tally {
  int instances, complete, proved, faulty;
  double gaps, widest, seconds, longest;
};

struct bench {
  size_t instances, first;
  int64_t percent;
  bool wanted[SIZES], cuts_cost_nothing;
  int jobs;
  struct tally tallies[SIZES];
  enum size size; /* being measured */
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

/* Trims are cuts too. */
static void take_cut_costs_out(struct nest_problem *problem) {
  problem->cut_cost = 0;
  for (size_t i = 0; i < problem->stock_count; i++) {
    problem->stocks[i].cost -= problem->stocks[i].trim_cost;
    problem->stocks[i].trim_cost = 0;
  }
}

static double gap_of(const struct measured *measured) {
  if (measured->cost == 0) return 0;
  return 100.0 * (double)(measured->cost - measured->bound) / (double)measured->cost;
}

static void measure(struct arena *arena, const struct bench *bench, uint64_t seed,
                    struct measured *measured) {
  struct nest_problem *problem = random_problem(arena, RANDOM_CRAFT, seed);
  if (bench->size == SIZE_SMALL) make_small(problem, seed);
  if (bench->cuts_cost_nothing) take_cut_costs_out(problem);
  int64_t effort = STATED_BUDGET * bench->percent / 100;
  struct nest_options options = {.effort = effort < 1 ? 1 : effort};
  struct nest_answer answer = {0};
  nest_solve(arena, problem, &options, &answer);
  measured->seconds = cpu_seconds();
  measured->complete = answer.complete;
  measured->proved = answer.complete && answer.cost == answer.bound;
  measured->cost = answer.cost;
  measured->bound = answer.bound;
  measured->steps = answer.steps;
  measured->faults = validate_answer(arena, stderr, problem, &answer);
}

/* In a process of its own. */
static void work(void *data, size_t index, void *result) {
  const struct bench *bench = data;
  struct measured measured = {.status = STATUS_NO_MEMORY};
  struct arena *arena = arena_create();
  if (arena != NULL) {
    measured.status = ARENA_TRY(arena);
    if (measured.status == STATUS_OK) measure(arena, bench, bench->first + index, &measured);
    arena_destroy(arena);
  }
  memcpy(result, &measured, sizeof measured);
}

static void note(struct tally *tally, const struct measured *measured) {
  tally->seconds += measured->seconds;
  if (measured->seconds > tally->longest) tally->longest = measured->seconds;
  if (measured->faults > 0) tally->faulty++;
  if (!measured->complete) return;
  tally->complete++;
  tally->gaps += gap_of(measured);
  if (gap_of(measured) > tally->widest) tally->widest = gap_of(measured);
  if (measured->proved) tally->proved++;
}

static void print_line(const char *size, size_t seed, const struct measured *measured) {
  printf("%s,%zu,%s,%.2f,%.2f,", size, seed, measured->complete ? "yes" : "no",
         cents_of(measured->cost) / 100, cents_of(measured->bound) / 100);
  if (measured->complete)
    printf("%.3f,%s,", gap_of(measured), measured->proved ? "yes" : "no");
  else
    printf(",,");
  printf("%" PRId64 ",%.3f,%s\n", measured->steps, measured->seconds,
         measured->faults > 0 ? "FAULT" : "");
}

static void deliver(void *data, size_t index, const void *result) {
  struct bench *bench = data;
  struct tally *tally = &bench->tallies[bench->size];
  const char *size = size_names[bench->size];
  struct measured measured;
  tally->instances++;
  if (result != NULL) memcpy(&measured, result, sizeof measured);
  if (result == NULL || measured.status != STATUS_OK) {
    tally->faulty++;
    printf("%s,%zu,no,,,,,,,ERROR: %s\n", size, bench->first + index,
           result == NULL ? "the process died" : status_text(measured.status));
  } else {
    note(tally, &measured);
    print_line(size, bench->first + index, &measured);
  }
  fflush(stdout);
}

static void sum_up(const char *size, const char *costs, const struct tally *tally) {
  int complete = tally->complete > 0 ? tally->complete : 1;
  printf(
      "# %s, %s: %d instances, %d with a plan, proved %.1f %% of those, mean gap %.3f %%, widest "
      "%.3f %%, CPU s mean %.3f, most %.3f, faults %d\n",
      size, costs, tally->instances, tally->complete, 100.0 * tally->proved / complete,
      tally->gaps / complete, tally->widest, tally->seconds / tally->instances, tally->longest,
      tally->faulty);
}

static const char usage[] =
    "bench_craft [--instances N] [--from SEED] [--effort PERCENT] [--size run|small] "
    "[--no-cut-cost] [--jobs N]";

static void take_size(struct bench *bench, const char *name) {
  bool known = false;
  for (int size = 0; size < SIZES; size++) {
    bench->wanted[size] = strcmp(size_names[size], name) == 0;
    known = known || bench->wanted[size];
  }
  if (!known) refuse_argument(usage, "unknown size", name);
}

static void take_arguments(struct bench *bench, int count, char **arguments) {
  for (int i = 1; i < count; i++) {
    const char *option = arguments[i];
    if (strcmp(option, "--no-cut-cost") == 0) {
      bench->cuts_cost_nothing = true;
      continue;
    }
    if (++i == count) refuse_argument(usage, "no value for", option);
    if (strcmp(option, "--instances") == 0)
      bench->instances = (size_t)whole_argument(usage, arguments[i], MOST_NUMBER);
    else if (strcmp(option, "--from") == 0)
      bench->first = (size_t)whole_argument(usage, arguments[i], MOST_NUMBER);
    else if (strcmp(option, "--effort") == 0)
      bench->percent = whole_argument(usage, arguments[i], MOST_NUMBER);
    else if (strcmp(option, "--jobs") == 0)
      bench->jobs = (int)whole_argument(usage, arguments[i], MOST_JOBS);
    else if (strcmp(option, "--size") == 0)
      take_size(bench, arguments[i]);
    else
      refuse_argument(usage, "unknown option", option);
  }
}

int main(int count, char **arguments) {
  static struct bench bench = {
      .instances = USUAL_INSTANCES, .percent = 100, .wanted = {true, true}, .jobs = 1};
  int faulty = 0;
  take_arguments(&bench, count, arguments);
  const char *costs = bench.cuts_cost_nothing ? "cuts for nothing" : "cuts counted";
  printf("size,seed,complete,cost,bound,gap_percent,proved,steps,cpu_s,fault\n");
  for (int size = 0; size < SIZES; size++) {
    bench.size = (enum size)size;
    if (bench.wanted[size])
      jobs_run(bench.instances, bench.jobs, sizeof(struct measured), work, deliver, &bench);
  }
  for (int size = 0; size < SIZES; size++) {
    if (bench.wanted[size]) sum_up(size_names[size], costs, &bench.tallies[size]);
    faulty += bench.tallies[size].faulty;
  }
  return faulty == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
