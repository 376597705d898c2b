/* The optimiser against an exact integer program of another make, solved by another
 * solver: the optimum lies between bound and cost, and is nearly always met. */
#include <inttypes.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include <cmocka.h>

#include "exhaustive.h"
#include "nest/nest.h"
#include "plate_model.h"
#include "random_problem.h"
#include "run_solver.h"

/* Larger programs are passed over, so that each is solved in well under a second. */
#define COLUMNS_MAX 5000

struct folder {
  char path[64], model[96], answer[96];
};

struct tally {
  int compared; /* problems of which the optimum is known */
  int none;     /* without a plan */
  int met, proved, wrong;
  bool missing; /* there is no solver */
};

static void folder_create(struct folder *folder) {
  snprintf(folder->path, sizeof folder->path, "/tmp/second-opinion-XXXXXX");
  assert_non_null(mkdtemp(folder->path));
  snprintf(folder->model, sizeof folder->model, "%s/model.lp", folder->path);
  snprintf(folder->answer, sizeof folder->answer, "%s/answer.txt", folder->path);
}

static void folder_remove(const struct folder *folder) {
  unlink(folder->model);
  unlink(folder->answer);
  rmdir(folder->path);
}

static void write_model(const struct plate_model *model, const char *path) {
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  plate_model_write(model, file);
  assert_int_equal(fclose(file), 0);
}

/* The optimum of the model, where the outcome is SOLVER_OPTIMAL. */
static enum solver_outcome ask_solver(const struct plate_model *model, const struct folder *folder,
                                      cost_t *optimum) {
  double cents = 0;
  write_model(model, folder->model);
  unlink(folder->answer);
  enum solver_outcome outcome = run_solver(folder->model, folder->answer, &cents);
  *optimum = (cost_t)llround(cents) * COST_PER_CENT;
  return outcome;
}

static void judge(const struct nest_problem *problem, uint64_t seed, cost_t optimum,
                  const struct nest_answer *answer, struct tally *tally) {
  tally->compared++;
  bool right = answer->bound <= optimum && (!answer->complete || answer->cost >= optimum);
  if (answer->complete && answer->cost == optimum) tally->met++;
  if (answer->complete && answer->cost == answer->bound) tally->proved++;
  if (right && answer->complete && answer->cost == optimum) return;
  fprintf(stderr, "%s, problem %" PRIu64 ": bound %.2f, optimum %.2f, cost %.2f%s cents\n",
          right ? "not met" : "WRONG", seed, (double)answer->bound / (double)COST_PER_CENT,
          (double)optimum / (double)COST_PER_CENT, (double)answer->cost / (double)COST_PER_CENT,
          answer->complete ? "" : " (incomplete)");
  if (right) return;
  tally->wrong++;
  random_problem_print(stderr, problem);
}

static void compare(struct arena *arena, const struct folder *folder, enum random_kind kind,
                    uint64_t seed, struct tally *tally) {
  const struct nest_problem *problem = random_problem(arena, kind, seed);
  struct plate_model *model = plate_model_create(arena, problem, COLUMNS_MAX);
  if (model == NULL) return;
  cost_t optimum;
  enum solver_outcome outcome = ask_solver(model, folder, &optimum);
  tally->missing = outcome == SOLVER_MISSING;
  if (outcome == SOLVER_MISSING || outcome == SOLVER_UNDECIDED) return;
  struct nest_options options = {0};
  struct nest_answer answer = {0};
  nest_solve(arena, problem, &options, &answer);
  if (outcome == SOLVER_OPTIMAL) {
    judge(problem, seed, optimum, &answer, tally);
    return;
  }
  tally->none++;
  if (!answer.complete) return;
  tally->wrong++;
  fprintf(stderr, "WRONG, problem %" PRIu64 " has no plan\n", seed);
  random_problem_print(stderr, problem);
}

/* Tiny problems that both exact methods can do: few ways to meet part of the demand, and
 * with flaws free cuts and no rules on rips. */
static bool both_can(struct nest_problem *problem) {
  int64_t yields = 1;
  for (size_t d = 0; d < problem->demand_count; d++) yields *= problem->demand[d] + 1;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    const struct nest_rules *rules = &stock->rules;
    if (stock->flaw_count == 0) continue;
    problem->cut_cost = 0;
    if (rules->rip_min_length > 0 || rules->rip_no_wider_than_long || rules->rip_capacity > 0)
      return false;
  }
  return yields <= 32;
}

/* The two exact methods of these tests against each other; the optimiser has no part in it. */
static void cross_check(struct arena *arena, const struct folder *folder, enum random_kind kind,
                        uint64_t seed, struct tally *tally) {
  struct nest_problem *problem = random_problem(arena, kind, seed);
  if (!both_can(problem)) return;
  struct plate_model *model = plate_model_create(arena, problem, COLUMNS_MAX);
  if (model == NULL) return;
  cost_t optimum;
  enum solver_outcome outcome = ask_solver(model, folder, &optimum);
  tally->missing = outcome == SOLVER_MISSING;
  if (outcome == SOLVER_MISSING || outcome == SOLVER_UNDECIDED) return;
  if (outcome == SOLVER_NO_ANSWER) optimum = EXHAUSTIVE_NO_PLAN;
  cost_t found = exhaustive_optimum(arena, problem, RANDOM_TINY_UNIT);
  tally->compared++;
  if (outcome == SOLVER_NO_ANSWER) tally->none++;
  if (found == optimum) return;
  tally->wrong++;
  fprintf(stderr, "WRONG, problem %" PRIu64 ": model %" PRId64 ", search %" PRId64 "\n", seed,
          optimum, found);
  random_problem_print(stderr, problem);
}

typedef void try_problem(struct arena *arena, const struct folder *folder, enum random_kind kind,
                         uint64_t seed, struct tally *tally);

static void try_one(try_problem *try, const struct folder *folder, enum random_kind kind,
                    uint64_t seed, struct tally *tally) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  enum status status = ARENA_TRY(arena);
  if (status != STATUS_OK) fail_msg("problem %" PRIu64 ": %s", seed, status_text(status));
  try(arena, folder, kind, seed, tally);
  arena_destroy(arena);
}

/* Tries problems until `wanted` optima are known; skips the test where there is no solver. */
static struct tally try_series(try_problem *try, enum random_kind kind, int wanted) {
  struct folder folder;
  struct tally tally = {0};
  folder_create(&folder);
  for (uint64_t seed = 0; seed < 1000 && tally.compared < wanted && !tally.missing; seed++)
    try_one(try, &folder, kind, seed, &tally);
  folder_remove(&folder);
  if (tally.missing) {
    print_message("the solver \"cbc\" is not installed: no second opinion\n");
    skip();
  }
  return tally;
}

static void compare_series(enum random_kind kind, const char *name, int wanted) {
  struct tally tally = try_series(compare, kind, wanted);
  print_message("%s: %d optima, %d met, %d proved; %d problems without a plan\n", name,
                tally.compared, tally.met, tally.proved, tally.none);
  assert_int_equal(tally.wrong, 0);
  assert_int_equal(tally.compared, wanted);
  assert_true(tally.met * 5 >= tally.compared * 4);
}

static void test_exact_methods_agree(void **state) {
  (void)state;
  struct tally tally = try_series(cross_check, RANDOM_TINY, 150);
  assert_int_equal(tally.wrong, 0);
  assert_int_equal(tally.compared, 150);
  assert_true(tally.none < tally.compared / 2);
}

static void test_plain(void **state) {
  (void)state;
  compare_series(RANDOM_SMALL, "plain", 36);
}

static void test_rules_on_rips(void **state) {
  (void)state;
  compare_series(RANDOM_SMALL_RULES, "rules on rips", 20);
}

static void test_one_flaw(void **state) {
  (void)state;
  compare_series(RANDOM_SMALL_FLAW, "one flaw", 20);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_exact_methods_agree),
      cmocka_unit_test(test_plain),
      cmocka_unit_test(test_rules_on_rips),
      cmocka_unit_test(test_one_flaw),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
