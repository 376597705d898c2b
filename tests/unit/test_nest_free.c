/* Pieces laid freely: every place checked against the rules of the header, small jobs against
 * trying everything, one published instance. */
#include "nest/free_nest.h"

#include "free_brute.h"
#include "nest_fixture.h"

static void assert_apart(const struct nest_stock *stock, const struct free_place *a,
                         const struct free_place *b) {
  const struct nest_option *one = &stock->options[a->option], *two = &stock->options[b->option];
  bool apart_x = a->x + one->length + stock->kerf_crosscut <= b->x ||
                 b->x + two->length + stock->kerf_crosscut <= a->x;
  bool apart_y =
      a->y + one->width + stock->kerf_rip <= b->y || b->y + two->width + stock->kerf_rip <= a->y;
  assert_true(apart_x || apart_y);
}

static void assert_sheets(const struct nest_problem *problem, const struct free_answer *answer) {
  int64_t used[8] = {0};
  cost_t cost = 0;
  for (size_t b = 0; b < answer->sheet_count; b++) used[answer->sheets[b]]++;
  for (size_t s = 0; s < problem->stock_count; s++) {
    assert_true(used[s] <= nest_stock_most(&problem->stocks[s]));
    cost += nest_stock_cost(&problem->stocks[s], used[s]);
  }
  assert_int_equal(cost, answer->cost);
}

/* Places, sheets, cost and what is missing, by the header alone. */
static void assert_is_plan(const struct nest_problem *problem, const struct free_answer *answer) {
  int64_t laid[32] = {0};
  bool complete = true;
  assert_sheets(problem, answer);
  for (size_t p = 0; p < answer->place_count; p++) {
    const struct free_place *place = &answer->places[p];
    assert_true(place->sheet < answer->sheet_count);
    const struct nest_stock *stock = &problem->stocks[answer->sheets[place->sheet]];
    assert_true(place->option < stock->option_count);
    assert_on_sound_wood(stock, &stock->options[place->option], place->x, place->y);
    laid[stock->options[place->option].demand]++;
    for (size_t q = 0; q < p; q++)
      if (answer->places[q].sheet == place->sheet) assert_apart(stock, place, &answer->places[q]);
  }
  for (size_t d = 0; d < problem->demand_count; d++) {
    assert_true(answer->missing[d] >= 0);
    assert_int_equal(laid[d] + answer->missing[d], problem->demand[d]);
    if (answer->missing[d] > 0) complete = false;
  }
  assert_true(complete == answer->complete);
}

static void test_small_jobs_against_trying_everything(struct arena *arena) {
  struct nest_options options = {.effort = 300};
  random_start(21);
  int known = 0, proved = 0;
  for (int run = 0; run < 600; run++) {
    struct free_case made;
    struct free_answer answer;
    free_case_random(&made);
    cost_t least = free_case_least_cost(&made);
    struct arena_mark mark = arena_mark(arena);
    free_nest_solve(arena, &made.problem, &options, &answer);
    assert_is_plan(&made.problem, &answer);
    assert_true(answer.complete == (least >= 0));
    if (least >= 0) {
      known++;
      assert_int_equal(answer.cost, least);
      assert_true(answer.bound <= least);
      proved += answer.bound == least;
    }
    arena_release(arena, mark);
  }
  assert_true(known > 300 && 2 * proved > known);
}

/* CLASS01_020_01 of Berkey, Wang, J. Oper. Res. Soc. 38 (1987): 8 sheets, 7 with turning (optimal).
 */
static const length_t berkey_wang[20][2] = {
    {5, 9}, {4, 2}, {10, 6}, {5, 7}, {6, 3}, {10, 7}, {1, 5}, {3, 5},  {6, 9}, {2, 4},
    {6, 7}, {7, 2}, {8, 3},  {8, 3}, {8, 3}, {4, 10}, {4, 5}, {10, 3}, {7, 8}, {8, 7}};

static void solve_berkey_wang(struct arena *arena, bool turning, int64_t effort,
                              struct free_answer *answer) {
  int64_t demand[20];
  struct nest_option option[40];
  struct nest_stock stock = plain_stock(10, 10, 0);
  for (size_t d = 0; d < 20; d++) {
    demand[d] = 1;
    option[stock.option_count++] = plain_option(d, d, berkey_wang[d][0], berkey_wang[d][1]);
    if (turning)
      option[stock.option_count++] = plain_option(d, d, berkey_wang[d][1], berkey_wang[d][0]);
  }
  stock.count = -1;
  stock.cost = 1;
  stock.options = option;
  struct nest_problem problem = {
      .demand = demand, .demand_count = 20, .stocks = &stock, .stock_count = 1};
  struct nest_options options = {.effort = effort};
  free_nest_solve(arena, &problem, &options, answer);
  assert_is_plan(&problem, answer);
}

static void test_published_instance(struct arena *arena) {
  struct free_answer answer;
  solve_berkey_wang(arena, false, 20000, &answer);
  assert_int_equal(answer.cost, 8);
  assert_true(answer.bound <= 8);
  solve_berkey_wang(arena, true, 20000, &answer);
  assert_int_equal(answer.cost, 7);
  assert_int_equal(answer.bound, 7);
}

static void test_same_answer_again(struct arena *arena) {
  struct free_answer first, again;
  solve_berkey_wang(arena, true, 30, &first);
  solve_berkey_wang(arena, true, 30, &again);
  assert_int_equal(first.steps, again.steps);
  assert_int_equal(first.place_count, again.place_count);
  for (size_t p = 0; p < first.place_count; p++) {
    assert_int_equal(first.places[p].sheet, again.places[p].sheet);
    assert_int_equal(first.places[p].option, again.places[p].option);
    assert_int_equal(first.places[p].x, again.places[p].x);
    assert_int_equal(first.places[p].y, again.places[p].y);
  }
}

/* The five pieces of a pinwheel, which no saw can part edge to edge. */
static void test_a_pinwheel(struct arena *arena) {
  int64_t demand[2] = {4, 1};
  struct nest_option option[3] = {plain_option(0, 0, 2, 1), plain_option(0, 0, 1, 2),
                                  plain_option(1, 1, 1, 1)};
  struct nest_stock stock = plain_stock(3, 3, 0);
  stock.cost = 5;
  stock.count = -1;
  stock.options = option;
  stock.option_count = 3;
  struct nest_problem problem = {
      .demand = demand, .demand_count = 2, .stocks = &stock, .stock_count = 1};
  struct nest_options options = {.effort = 1000};
  struct free_answer answer;
  free_nest_solve(arena, &problem, &options, &answer);
  assert_is_plan(&problem, &answer);
  assert_int_equal(answer.cost, 5);
  assert_int_equal(answer.bound, 5);
}

static void test_too_little_stock(struct arena *arena) {
  int64_t demand[2] = {3, 1};
  struct nest_option option[2] = {plain_option(0, 0, 6, 6), plain_option(1, 1, 20, 1)};
  struct nest_stock stock = plain_stock(10, 10, 1);
  stock.count = 2;
  stock.cost = 5;
  stock.options = option;
  stock.option_count = 2;
  struct nest_problem problem = {
      .demand = demand, .demand_count = 2, .stocks = &stock, .stock_count = 1};
  struct nest_options options = {.effort = 100};
  struct free_answer answer;
  free_nest_solve(arena, &problem, &options, &answer);
  assert_is_plan(&problem, &answer);
  assert_false(answer.complete);
  assert_int_equal(answer.missing[0], 1);
  assert_int_equal(answer.missing[1], 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(test_small_jobs_against_trying_everything),
      ARENA_TEST(test_published_instance),
      ARENA_TEST(test_same_answer_again),
      ARENA_TEST(test_a_pinwheel),
      ARENA_TEST(test_too_little_stock),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
