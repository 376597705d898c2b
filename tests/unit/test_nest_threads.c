/* The same answer with any number of threads, and a good one when the search is stopped. */
#include "nest_workshop.h"

static const int thread_counts[] = {1, 2, 3, 8};
enum { THREAD_COUNTS = sizeof thread_counts / sizeof *thread_counts };

/* ---- a problem whose pricing is worth a thread ---- */

enum { FINE_DEMANDS = 5, FINE_STOCKS = 5 };

struct fine {
  struct nest_problem problem;
  struct nest_stock stocks[FINE_STOCKS];
  struct nest_option options[FINE_DEMANDS];
  struct nest_flaw flaw;
  int64_t demand[FINE_DEMANDS];
};

/* Planks and parts with sizes down to `grain` tenths of a millimetre: 1 makes tables of many
 * thousand cells, 100 small ones without a flaw. */
static void make_fine(struct fine *fine, int64_t grain) {
  static const int64_t tenths[FINE_DEMANDS][2] = {
      {3013, 1007}, {2411, 811}, {1709, 613}, {1217, 503}, {911, 401}};
  static const int64_t planks[FINE_STOCKS][2] = {
      {18301, 1951}, {20011, 1523}, {14009, 2207}, {9007, 1801}, {12007, 1607}};
  memset(fine, 0, sizeof *fine);
  for (size_t d = 0; d < FINE_DEMANDS; d++) {
    fine->options[d] =
        plain_option(d, d, tenths[d][0] / grain * grain * 800, tenths[d][1] / grain * grain * 800);
    fine->demand[d] = 9 + 2 * (int64_t)d;
  }
  for (size_t s = 0; s < FINE_STOCKS; s++) {
    fine->stocks[s] = plain_stock(planks[s][0] * 800, planks[s][1] * 800, MM(3));
    fine->stocks[s].count = s < 2 ? -1 : 1;
    fine->stocks[s].cost = COST_PER_CENT * planks[s][0] * planks[s][1] / 10000;
    fine->stocks[s].options = fine->options;
    fine->stocks[s].option_count = FINE_DEMANDS;
  }
  fine->flaw = (struct nest_flaw){.x = MM(300), .y = MM(40), .length = MM(50), .width = MM(30)};
  fine->stocks[2].flaws = &fine->flaw;
  fine->stocks[2].flaw_count = grain == 1 ? 1 : 0;
  fine->problem = (struct nest_problem){.demand = fine->demand,
                                        .demand_count = FINE_DEMANDS,
                                        .stocks = fine->stocks,
                                        .stock_count = FINE_STOCKS,
                                        .cut_cost = COST_PER_CENT * 5};
}

static void same_answer_with_any_threads(struct arena *arena) {
  for (int64_t effort = 1000; effort <= 25000; effort *= 5) {
    struct nest_answer answer[THREAD_COUNTS + 1];
    for (size_t i = 0; i <= THREAD_COUNTS; i++) {
      struct fine fine;
      struct nest_options options = {.effort = effort};
      make_fine(&fine, 1);
      if (i < THREAD_COUNTS) options.threads = threads_create(arena, thread_counts[i]);
      nest_solve(arena, &fine.problem, &options, &answer[i]);
      assert_true(answer[i].complete);
      assert_false(answer[i].interrupted);
      answer_assert_same(&answer[0], &answer[i]);
    }
  }
}

/* What one round of pricing of the fine problem takes at most, once begun. */
static const int64_t ONE_ROUND = 12000000;

/* Steps are counted, so what is allowed is kept to a tenth but for one round of pricing. */
static void steps_bind(struct arena *arena) {
  for (int64_t effort = 20000; effort <= 80000; effort *= 2) {
    struct fine fine;
    struct nest_options options = {.effort = effort};
    struct nest_answer answer;
    make_fine(&fine, 1);
    nest_solve(arena, &fine.problem, &options, &answer);
    assert_true(answer.complete);
    assert_true(answer.bound < answer.cost);
    assert_true(answer.steps <= effort * 1100 + ONE_ROUND);
    assert_true(answer.steps >= effort * 500);
  }
}

/* ---- stopped ---- */

struct patience {
  int64_t asked;
  int64_t most; /* times asked before it is over */
};

static bool ran_out(void *data) {
  struct patience *patience = data;
  return ++patience->asked > patience->most;
}

static void look_at_stopped(struct arena *arena, int64_t most, const struct nest_answer *whole,
                            bool *stopped) {
  struct fine fine;
  struct patience patience = {0, most};
  struct nest_options options = {.effort = 5000, .stop = ran_out, .stop_data = &patience};
  struct nest_answer answer;
  int64_t counts[FINE_DEMANDS] = {0};
  make_fine(&fine, 100);
  nest_solve(arena, &fine.problem, &options, &answer);
  *stopped = answer.interrupted;
  assert_int_equal(answer.interrupted, patience.asked > most);
  assert_true(answer.complete);
  assert_true(answer.bound <= answer.cost);
  assert_true(answer.bound <= whole->cost);
  assert_true(answer.steps <= whole->steps);
  for (size_t l = 0; l < answer.layout_count; l++) {
    const struct nest_layout *layout = &answer.layouts[l];
    struct tree_look look;
    cost_t worth[FINE_DEMANDS] = {0};
    const char *fault =
        tree_fault(&fine.stocks[layout->stock], &layout->root, worth, 0, true, &look);
    if (fault != NULL) fail_msg("%s", fault);
    for (size_t d = 0; d < FINE_DEMANDS; d++) counts[d] += look.counts[d] * layout->times;
  }
  for (size_t d = 0; d < FINE_DEMANDS; d++) assert_int_equal(counts[d], fine.demand[d]);
  if (!answer.interrupted) answer_assert_same(whole, &answer);
}

/* Whenever it is stopped there is a whole plan, and what is called a bound is one. */
static void stopped_anywhere(struct arena *arena) {
  struct fine fine;
  struct nest_options options = {.effort = 5000};
  struct nest_answer whole;
  bool stopped = true;
  int runs = 0;
  make_fine(&fine, 100);
  nest_solve(arena, &fine.problem, &options, &whole);
  for (int64_t most = 0; stopped; most = most < 20 ? most + 1 : most * 5 / 4) {
    struct arena *child = arena_create_child(arena);
    look_at_stopped(child, most, &whole, &stopped);
    runs++;
  }
  assert_true(runs > 8);
}

/* ---- whole runs ---- */

static void two_materials(struct arena *arena, struct workshop *workshop) {
  static const char *first[] = {"oak"};
  static const char *second[] = {"ash"};
  workshop_open(arena, workshop);
  struct part *slat = workshop_part(workshop, "slat", 3, 437, 61);
  slat->woods = first;
  slat->wood_count = 1;
  struct part *rail = workshop_part(workshop, "rail", 2, 613, 47);
  rail->woods = second;
  rail->wood_count = 1;
  workshop_plank(workshop, "O1", SOURCE_YARD, 1830, 205, -1, 1907)->wood = "oak";
  workshop_plank(workshop, "O2", SOURCE_YARD, 2440, 151, -1, 1811)->wood = "oak";
  workshop_plank(workshop, "A1", SOURCE_YARD, 2011, 173, -1, 1409)->wood = "ash";
  workshop_plank(workshop, "A2", SOURCE_RACK, 1511, 131, 2, 703)->wood = "ash";
}

static void same_plan_with_any_threads(struct arena *arena) {
  struct plan plan[THREAD_COUNTS];
  for (size_t i = 0; i < THREAD_COUNTS; i++) {
    struct workshop workshop;
    two_materials(arena, &workshop);
    struct nest_run_options options = {.sets = 11, .effort = 5, .threads = thread_counts[i]};
    assert_int_equal(workshop_plan(&workshop, &options, &plan[i]), STATUS_OK);
    workshop_check(&workshop, &plan[i]);
    assert_false(plan[i].interrupted);
    workshop_assert_same(&plan[0], &plan[i]);
  }
}

static bool at_once(void *data) {
  (void)data;
  return true;
}

static void a_stopped_run_has_a_plan(struct arena *arena) {
  for (size_t i = 0; i < THREAD_COUNTS; i++) {
    struct workshop workshop;
    struct plan plan;
    two_materials(arena, &workshop);
    struct nest_run_options options = {.sets = 11, .threads = thread_counts[i], .stop = at_once};
    assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_OK);
    workshop_check(&workshop, &plan);
    assert_true(plan.interrupted);
    assert_int_equal(plan.unplaced_count, 0);
  }
}

/* Stopped with a part that finds no room: it is not said that there is none. */
static void a_stopped_run_without_a_plan(struct arena *arena) {
  struct workshop workshop;
  struct plan plan;
  workshop_open(arena, &workshop);
  workshop_part(&workshop, "slat", 1, 480, 100);
  workshop_plank(&workshop, "W1", SOURCE_RACK, 963, 100, 2, 1250);
  struct nest_run_options options = {.sets = 5, .stop = at_once};
  assert_int_equal(workshop_plan(&workshop, &options, &plan), STATUS_NO_PLAN);
  assert_int_equal(workshop.diagnostics->errors, 1);
  assert_non_null(strstr(workshop.diagnostics->items[0].text, "interrupted before"));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(same_answer_with_any_threads),
      ARENA_TEST(steps_bind),
      ARENA_TEST(stopped_anywhere),
      ARENA_TEST(same_plan_with_any_threads),
      ARENA_TEST(a_stopped_run_has_a_plan),
      ARENA_TEST(a_stopped_run_without_a_plan),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
