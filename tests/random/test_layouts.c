/* Properties of every answer of the optimiser, over random problems of all kinds. */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>

#include <cmocka.h>

#include "exhaustive.h"
#include "nest/nest.h"
#include "random_problem.h"
#include "sanitized.h"
#include "validate.h"

/* Problems tried against an exhaustive search (some are too large for it and passed over), and the
 * share of the others that is tried. */
#ifdef SANITIZED
enum { COMPARED = 500, PLANS_LEAST = 300, SHARE = 8 };
#else
enum { COMPARED = 2950, PLANS_LEAST = 2000, SHARE = 1 };
#endif

/* So many problems of a kind, each solved with so much effort. */
struct series {
  const char *name;
  enum random_kind kind;
  uint64_t problems;
  int64_t effort;
};

static void solve(struct arena *arena, const struct nest_problem *problem, int64_t effort,
                  struct nest_answer *answer) {
  struct nest_options options = {.effort = effort};
  *answer = (struct nest_answer){0};
  nest_solve(arena, problem, &options, answer);
}

static void blame(const struct series *series, uint64_t seed, const struct nest_problem *problem,
                  const char *what) {
  fprintf(stderr, "%s problem %" PRIu64 ": %s\n", series->name, seed, what);
  random_problem_print(stderr, problem);
}

/* Whether a rip that leaves `strip` of `width`, in a piece so long, is allowed. */
static bool rip_allowed(const struct nest_stock *stock, length_t length, length_t width,
                        length_t strip) {
  const struct nest_rules *rules = &stock->rules;
  length_t rest = width - strip - stock->kerf_rip;
  length_t narrower = rest < strip ? rest : strip;
  if (length < rules->rip_min_length) return false;
  if (rules->rip_no_wider_than_long && narrower > length) return false;
  return rules->rip_capacity == 0 || narrower <= rules->rip_capacity;
}

/* Whether one piece can be had from the stock by at most one crosscut and one rip: two
 * stages at most, and the second only trims. */
static bool yields_one(const struct nest_stock *stock, const struct nest_option *option) {
  const struct nest_rules *rules = &stock->rules;
  bool crosscut = option->length < stock->length;
  bool rip = option->width < stock->width;
  for (int rips_first = 0; rips_first < 2; rips_first++) {
    bool first_rip = rip && (rips_first == 1 || !crosscut);
    length_t length = first_rip ? stock->length : option->length;
    length_t width = first_rip ? option->width : stock->width;
    if ((rip || crosscut) && !(first_rip ? rules->rip_first : rules->crosscut_first)) continue;
    if (rip && !rip_allowed(stock, length, stock->width, option->width)) continue;
    if (crosscut && rules->crosscut_capacity > 0 && width > rules->crosscut_capacity) continue;
    return true;
  }
  return false;
}

/* There is a plan for sure when every piece can be cut alone from stock without end. */
static bool plan_is_easy(const struct nest_problem *problem) {
  for (size_t d = 0; d < problem->demand_count; d++) {
    bool easy = problem->demand[d] == 0;
    for (size_t s = 0; s < problem->stock_count; s++) {
      const struct nest_stock *stock = &problem->stocks[s];
      if (stock->count >= 0 || stock->flaw_count > 0) continue;
      for (size_t i = 0; i < stock->option_count; i++)
        if (stock->options[i].demand == d && yields_one(stock, &stock->options[i])) easy = true;
    }
    if (!easy) return false;
  }
  return true;
}

/* The number of faults of one problem's answer. */
static int faults_of(struct arena *arena, const struct series *series, uint64_t seed) {
  const struct nest_problem *problem = random_problem(arena, series->kind, seed);
  struct nest_answer answer;
  struct nest_answer again;
  solve(arena, problem, series->effort, &answer);
  int faults = validate_answer(arena, stderr, problem, &answer);
  if (faults > 0) {
    validate_print(stderr, &answer);
    blame(series, seed, problem, "the answer is not allowed");
  }
  if (!answer.complete && plan_is_easy(problem)) {
    blame(series, seed, problem, "no plan was found where there is an easy one");
    faults++;
  }
  solve(arena, problem, series->effort, &again);
  if (validate_same(problem, &answer, &again)) return faults;
  blame(series, seed, problem, "solved again the answer is another");
  return faults + 1;
}

/* Solves one problem in an arena of its own. */
static int try_one(const struct series *series, uint64_t seed) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  volatile int faults = 1;
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK)
    faults = faults_of(arena, series, seed);
  else
    fprintf(stderr, "%s problem %" PRIu64 ": %s\n", series->name, seed, status_text(status));
  arena_destroy(arena);
  return faults;
}

static int faults_of_series(const struct series *series) {
  int faulty = 0;
  for (uint64_t seed = 0; seed < series->problems / SHARE; seed++)
    if (try_one(series, seed) > 0) faulty++;
  return faulty;
}

static void test_every_answer_is_allowed(void **state) {
  (void)state;
  static const struct series all[] = {
      {"tiny", RANDOM_TINY, 940, 2000},
      {"small", RANDOM_SMALL, 400, 2000},
      {"small with rules", RANDOM_SMALL_RULES, 350, 2000},
      {"small with a flaw", RANDOM_SMALL_FLAW, 300, 2000},
      {"craft", RANDOM_CRAFT, 16, 2000},
  };
  int faulty = 0;
  for (size_t i = 0; i < sizeof all / sizeof *all; i++) faulty += faults_of_series(&all[i]);
  assert_int_equal(faulty, 0);
}

/* How the answers of a series stand to the optima. */
struct tally {
  int plans, none, met, proved, wrong;
};

/* Ways to meet part of the demand. */
static int64_t yields_of(const struct nest_problem *problem) {
  int64_t yields = 1;
  for (size_t d = 0; d < problem->demand_count; d++) yields *= problem->demand[d] + 1;
  return yields;
}

static void compare(struct arena *arena, const struct series *series, uint64_t seed,
                    struct tally *tally) {
  const struct nest_problem *problem = random_problem(arena, series->kind, seed);
  if (yields_of(problem) > 32) return;
  struct nest_answer answer;
  solve(arena, problem, series->effort, &answer);
  cost_t optimum = exhaustive_optimum(arena, problem, RANDOM_TINY_UNIT);
  bool none = optimum == EXHAUSTIVE_NO_PLAN;
  bool right = none ? !answer.complete : answer.bound <= optimum;
  if (!none && answer.complete && answer.cost < optimum) right = false;
  if (none)
    tally->none++;
  else
    tally->plans++;
  if (!none && answer.complete && answer.cost == optimum) tally->met++;
  if (answer.complete && answer.cost == answer.bound) tally->proved++;
  if (right) return;
  tally->wrong++;
  fprintf(stderr, "bound %" PRId64 ", optimum %" PRId64 ", cost %" PRId64 " (complete %d)\n",
          answer.bound, optimum, answer.cost, answer.complete);
  blame(series, seed, problem, "the optimum does not lie between bound and cost");
}

static void compare_one(const struct series *series, uint64_t seed, struct tally *tally) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  enum status status = ARENA_TRY(arena);
  if (status != STATUS_OK) fail_msg("problem %" PRIu64 ": %s", seed, status_text(status));
  compare(arena, series, seed, tally);
  arena_destroy(arena);
}

static void test_optimum_lies_between_bound_and_cost(void **state) {
  (void)state;
  static const struct series series = {"tiny", RANDOM_TINY, COMPARED, 200};
  struct tally tally = {0};
  for (uint64_t seed = 0; seed < series.problems; seed++) compare_one(&series, seed, &tally);
  print_message("%d problems with a plan: optimum met by %d, proved by %d; %d without a plan\n",
                tally.plans, tally.met, tally.proved, tally.none);
  assert_int_equal(tally.wrong, 0);
  assert_true(tally.plans >= PLANS_LEAST);
  assert_true(tally.none >= 10);
}

/* A sound answer, all in one place so that it can be spoiled. */
struct sample {
  struct nest_option option;
  struct nest_flaw flaw;
  struct nest_stock stock;
  int64_t demand, count, missing;
  struct nest_problem problem;
  struct node pieces[2];
  struct nest_layout layout;
  struct nest_answer answer;
};

static void fill_sample(struct sample *sample) {
  *sample = (struct sample){
      .option = {.length = MM(100), .width = MM(40), .core_x = MM(8)},
      .flaw = {.x = MM(290), .length = MM(10), .width = MM(10)},
      .stock = {.length = MM(300), .width = MM(40), .count = 2, .pack = 2, .cost = 500},
      .demand = 2,
      .count = 2,
      .problem = {.demand_count = 1, .stock_count = 1, .cut_cost = 7},
      .pieces = {{.kind = NODE_PIECE, .length = MM(100), .width = MM(40)},
                 {.kind = NODE_PIECE, .x = MM(103), .length = MM(100), .width = MM(40)}},
      .layout = {.times = 1, .cuts = 2},
      .answer = {.complete = true, .layout_count = 1, .cost = 1014, .bound = 1014}};
  sample->stock.kerf_crosscut = sample->stock.kerf_rip = MM(3);
  sample->stock.rules = (struct nest_rules){.stages = 1, .crosscut_first = true};
  sample->stock.options = &sample->option;
  sample->stock.flaws = &sample->flaw;
  sample->stock.option_count = sample->stock.flaw_count = 1;
  sample->problem.demand = &sample->demand;
  sample->problem.stocks = &sample->stock;
  sample->layout.counts = &sample->count;
  sample->layout.root = (struct node){.kind = NODE_CROSSCUT, .length = MM(300), .width = MM(40)};
  sample->layout.root.children = sample->pieces;
  sample->layout.root.child_count = 2;
  sample->answer.missing = &sample->missing;
  sample->answer.layouts = &sample->layout;
}

#define SPOILS 14

static void spoil_sample(struct sample *sample, int spoil) {
  switch (spoil) {
    case 1:
      sample->pieces[1].x = MM(102);
      break;
    case 2:
      sample->flaw.x = MM(200);
      break;
    case 3:
      sample->flaw.x = MM(195);
      break;
    case 4:
      sample->stock.rules = (struct nest_rules){.stages = 1, .rip_first = true};
      break;
    case 5:
      sample->stock.rules.crosscut_capacity = MM(39);
      break;
    case 6:
      sample->layout.cuts = 1;
      break;
    case 7:
      sample->answer.cost = 514;
      break;
    case 8:
      sample->answer.bound = 1015;
      break;
    case 9:
      sample->demand = 3;
      break;
    case 10:
      sample->stock.count = 0;
      break;
    case 11:
      sample->pieces[1].width = MM(39);
      break;
    case 12:
      sample->count = 1;
      break;
    case 13:
      sample->layout.root.length = MM(202);
      break;
    case 14:
      sample->option.width = MM(41);
      break;
    default:
      break;
  }
}

/* The check itself must see what is wrong. */
static int faults_of_spoiled(struct arena *arena, int spoil) {
  struct sample sample;
  fill_sample(&sample);
  spoil_sample(&sample, spoil);
  FILE *sink = fopen("/dev/null", "w");
  assert_non_null(sink);
  int faults = validate_answer(arena, sink, &sample.problem, &sample.answer);
  fclose(sink);
  return faults;
}

static void test_check_sees_faults(void **state) {
  (void)state;
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(faults_of_spoiled(arena, 0), 0);
  for (int spoil = 1; spoil <= SPOILS; spoil++) assert_true(faults_of_spoiled(arena, spoil) > 0);
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_check_sees_faults),
      cmocka_unit_test(test_optimum_lies_between_bound_and_cost),
      cmocka_unit_test(test_every_answer_is_allowed),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
