#include "published_answer.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "nest/nest.h"
#include "nest/pricer.h"
#include "nest/unstaged.h"
#include "published/free_check.h"
#include "published_problem.h"
#include "random/validate.h"

static double seconds_of(struct timeval time) {
  return (double)time.tv_sec + (double)time.tv_usec * 1e-6;
}

static void note_use(struct published_answer *answer) {
  struct rusage usage;
  if (getrusage(RUSAGE_SELF, &usage) != 0) return;
  answer->seconds = seconds_of(usage.ru_utime) + seconds_of(usage.ru_stime);
  answer->peak = usage.ru_maxrss;
}

static void set_fault(struct published_answer *answer, const char *fault) {
  snprintf(answer->fault, sizeof answer->fault, "%s", fault);
}

/* Keeps the first fault found. */
static void check_trees(struct arena *arena, const struct nest_problem *problem,
                        const struct nest_answer *cut, struct published_answer *answer) {
  char *text = NULL;
  size_t length = 0;
  FILE *report = open_memstream(&text, &length);
  if (report == NULL) {
    set_fault(answer, "no memory for the check");
    return;
  }
  int faults = validate_answer(arena, report, problem, cut);
  fclose(report);
  if (faults > 0) {
    text[strcspn(text, "\n")] = '\0';
    set_fault(answer, text);
  }
  free(text);
}

static double area_of(const struct nest_stock *stock) {
  return (double)stock->length * (double)stock->width;
}

static double pieces_area(const struct instance *instance, const int64_t *counts) {
  double area = 0;
  for (size_t i = 0; i < instance->item_count; i++)
    area +=
        (double)counts[i] * (double)instance->items[i].width * (double)instance->items[i].height;
  return area;
}

static void set_used(struct published_answer *answer, double pieces, double sheets) {
  answer->used_percent = sheets > 0 ? 100 * pieces / sheets : 0;
}

/* ---- one sheet, most value ---- */

/* Asks for a layout worth more than the best until there is none or the steps are spent. */
static struct priced price(struct arena *arena, const struct nest_problem *problem,
                           const cost_t *worth, int64_t steps, int64_t *spent) {
  struct pricer *pricer = pricer_create(arena, problem, 0, &(size_t){UNSTAGED_CELLS_MOST});
  struct priced best = {.worth = 0, .bound = INT64_MAX / 4};
  best.counts = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  pricer_set_exact_steps(pricer, steps);
  for (;;) {
    struct priced priced;
    pricer_run(arena, pricer, worth, problem->demand, best.worth, steps - *spent, &priced);
    *spent = pricer_steps(pricer);
    cost_t bound = priced.bound < best.bound ? priced.bound : best.bound;
    bool better = priced.worth > best.worth;
    if (better) best = priced;
    best.bound = bound;
    if (!better || best.bound <= best.worth || *spent >= steps) return best;
  }
}

/* The layout as a plan of one sheet that costs nothing. */
static void check_layout(struct arena *arena, const struct nest_problem *problem,
                         struct priced *priced, struct published_answer *answer) {
  struct nest_layout layout = {
      .times = 1, .root = priced->root, .cuts = priced->cuts, .counts = priced->counts};
  struct nest_answer plan = {.complete = true,
                             .missing = ARENA_ARRAY(arena, problem->demand_count, int64_t),
                             .layouts = &layout,
                             .layout_count = priced->worth > 0 ? 1 : 0};
  for (size_t d = 0; d < problem->demand_count; d++) {
    plan.missing[d] = problem->demand[d] - priced->counts[d];
    if (plan.missing[d] != 0) plan.complete = false;
  }
  check_trees(arena, problem, &plan, answer);
}

static void answer_knapsack(struct arena *arena, const struct instance *instance,
                            const struct nest_problem *problem, int64_t effort,
                            struct published_answer *answer) {
  cost_t *worth = ARENA_ARRAY(arena, problem->demand_count, cost_t);
  for (size_t i = 0; i < problem->demand_count; i++) worth[i] = instance->items[i].value;
  struct priced priced = price(arena, problem, worth, effort * 1000, &answer->steps);
  note_use(answer);
  answer->complete = true;
  answer->bound = priced.bound;
  for (size_t i = 0; i < problem->demand_count; i++) answer->result += priced.counts[i] * worth[i];
  set_used(answer, pieces_area(instance, priced.counts), area_of(&problem->stocks[0]));
  check_layout(arena, problem, &priced, answer);
  if (answer->result != priced.worth) set_fault(answer, "the pieces are worth something else");
}

/* ---- all demands ---- */

/* In units; what does not come out even is rounded up: costs are whole units. */
static int64_t in_units(cost_t cost, int64_t unit) {
  return (cost + COST_PER_CENT - 1) / COST_PER_CENT * unit;
}

static int64_t *placed_counts(struct arena *arena, const struct nest_problem *problem,
                              const int64_t *missing) {
  int64_t *placed = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++) placed[d] = problem->demand[d] - missing[d];
  return placed;
}

/* What a plan of either kind comes to, by its pieces placed and the area of its sheets. */
struct plan_sums {
  int64_t steps;
  bool complete;
  cost_t cost, bound;
  const int64_t *missing; /* per demand */
  double sheets;
};

static void note_plan(struct arena *arena, const struct instance *instance,
                      const struct nest_problem *problem, int64_t unit,
                      const struct plan_sums *plan, struct published_answer *answer) {
  answer->steps = plan->steps;
  answer->complete = plan->complete;
  answer->result = in_units(plan->cost, unit);
  answer->bound = in_units(plan->bound, unit);
  set_used(answer, pieces_area(instance, placed_counts(arena, problem, plan->missing)),
           plan->sheets);
}

static void answer_guillotine(struct arena *arena, const struct instance *instance,
                              const struct nest_problem *problem, int64_t unit, int64_t effort,
                              struct published_answer *answer) {
  struct nest_options options = {.effort = effort};
  struct nest_answer plan = {0};
  nest_solve(arena, problem, &options, &plan);
  note_use(answer);
  struct plan_sums sums = {plan.steps, plan.complete, plan.cost, plan.bound, plan.missing, 0};
  for (size_t i = 0; i < plan.layout_count; i++)
    sums.sheets += (double)plan.layouts[i].times * area_of(&problem->stocks[plan.layouts[i].stock]);
  note_plan(arena, instance, problem, unit, &sums, answer);
  check_trees(arena, problem, &plan, answer);
}

static void answer_free(struct arena *arena, const struct instance *instance,
                        const struct nest_problem *problem, int64_t unit, int64_t effort,
                        struct published_answer *answer) {
  struct nest_options options = {.effort = effort};
  struct free_answer plan = {0};
  free_nest_solve(arena, problem, &options, &plan);
  note_use(answer);
  struct plan_sums sums = {plan.steps, plan.complete, plan.cost, plan.bound, plan.missing, 0};
  const char *fault = free_check(arena, problem, &plan);
  if (fault != NULL) set_fault(answer, fault);
  for (size_t i = 0; fault == NULL && i < plan.sheet_count; i++)
    sums.sheets += area_of(&problem->stocks[plan.sheets[i]]);
  note_plan(arena, instance, problem, unit, &sums, answer);
}

void published_answer(const struct instance *instance, enum question question, int64_t effort,
                      struct published_answer *answer) {
  memset(answer, 0, sizeof *answer);
  struct arena *arena = arena_create();
  if (arena == NULL) {
    set_fault(answer, status_text(STATUS_NO_MEMORY));
    return;
  }
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    int64_t unit = 1;
    struct nest_problem *problem = published_problem(arena, instance, question, &unit);
    if (question_is_knapsack(question))
      answer_knapsack(arena, instance, problem, effort, answer);
    else if (question_is_free(question))
      answer_free(arena, instance, problem, unit, effort, answer);
    else
      answer_guillotine(arena, instance, problem, unit, effort, answer);
  } else {
    note_use(answer);
    set_fault(answer, status_text(status));
  }
  arena_destroy(arena);
}
