/* Cutting stock in one dimension as planks of one width, no kerf: optima of textbooks. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "nest/nest.h"

struct piece {
  int64_t length;
  int64_t demand;
};

/* Fewest pieces of stock, each at a price of one cent, and the bound proved. */
static struct nest_answer solve(struct arena *arena, int64_t stock_length,
                                const struct piece *pieces, size_t count) {
  struct nest_option *options = ARENA_ARRAY(arena, count, struct nest_option);
  int64_t *demand = ARENA_ARRAY(arena, count, int64_t);
  for (size_t i = 0; i < count; i++) {
    options[i] =
        (struct nest_option){.demand = i, .length = pieces[i].length, .width = 1, .blank = i};
    demand[i] = pieces[i].demand;
  }
  struct nest_stock stock = {.length = stock_length,
                             .width = 1,
                             .count = -1,
                             .pack = 1,
                             .cost = COST_PER_CENT,
                             .rules = {.stages = 3, .crosscut_first = true, .rip_first = true},
                             .options = options,
                             .option_count = count};
  struct nest_problem problem = {
      .demand = demand, .demand_count = count, .stocks = &stock, .stock_count = 1};
  struct nest_options settings = {0};
  struct nest_answer answer;
  nest_solve(arena, &problem, &settings, &answer);
  return answer;
}

static void check(int64_t stock_length, const struct piece *pieces, size_t count, int64_t optimum) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  struct nest_answer answer = solve(arena, stock_length, pieces, count);
  print_message("%lld pieces of stock, bound %.2f, %lld steps\n",
                (long long)(answer.cost / COST_PER_CENT),
                (double)answer.bound / (double)COST_PER_CENT, (long long)answer.steps);
  assert_true(answer.complete);
  assert_int_equal(answer.cost, optimum * COST_PER_CENT);
  assert_int_equal(answer.bound, optimum * COST_PER_CENT);
  arena_destroy(arena);
}

/* Chvatal, Linear Programming (1983), chapter 13: optimum 453, LP 452.25. */
static void chvatal(void **state) {
  (void)state;
  const struct piece pieces[] = {{45, 97}, {36, 610}, {31, 395}, {14, 211}};
  check(100, pieces, 4, 453);
}

/* Wikipedia, "Cutting stock problem": rolls of 5600 mm, 13 sizes, optimum 73, LP 72.9167. */
static void rolls_of_5600(void **state) {
  (void)state;
  const struct piece pieces[] = {{1380, 22}, {1520, 25}, {1560, 12}, {1710, 14}, {1820, 18},
                                 {1880, 18}, {1930, 20}, {2000, 10}, {2050, 12}, {2100, 14},
                                 {2140, 16}, {2150, 18}, {2200, 20}};
  check(5600, pieces, 13, 73);
}

/* Winston, Operations Research: boards of 17 ft, optimum 19, LP 18.33. */
static void winston(void **state) {
  (void)state;
  const struct piece pieces[] = {{3, 25}, {5, 20}, {9, 15}};
  check(17, pieces, 3, 19);
}

/* Textbook lumber exercises, optima recomputed: 775, 2167 and 54 pieces of stock. */
static void lumber_exercises(void **state) {
  (void)state;
  const struct piece first[] = {{7, 700}, {9, 1200}, {10, 300}};
  check(25, first, 3, 775);
  const struct piece second[] = {{7, 5000}, {9, 1200}, {11, 300}};
  check(25, second, 3, 2167);
  const struct piece third[] = {{3, 50}, {4, 25}, {8, 15}, {10, 70}};
  check(20, third, 4, 54);
}

/* {stock, piece, kerf}: `demand` pieces take so many pieces of stock. */
static void check_length(const int64_t sizes[3], int64_t demand, int64_t stocks) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  struct nest_option option = {.length = sizes[1], .width = 8000};
  struct nest_stock stock = {.length = sizes[0],
                             .width = 8000,
                             .kerf_crosscut = sizes[2],
                             .count = -1,
                             .pack = 1,
                             .cost = COST_PER_CENT,
                             .rules = {.stages = 3, .crosscut_first = true, .rip_first = true},
                             .options = &option,
                             .option_count = 1};
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = &stock, .stock_count = 1};
  struct nest_options settings = {0};
  struct nest_answer answer;
  nest_solve(arena, &problem, &settings, &answer);
  assert_true(answer.complete);
  assert_int_equal(answer.cost, stocks * COST_PER_CENT);
  arena_destroy(arena);
}

/* Pieces from a length, floor((L + k) / (l + k)), recomputed: 96 in by 24 in with a kerf of
 * 1/8 in gives 3; 2440 mm by 610 with 3.2 mm gives 3; by 600 gives 4. */
static void pieces_from_a_length(void **state) {
  (void)state;
  const int64_t cases[][4] = {{96 * 203200, 24 * 203200, 203200 / 8, 3},
                              {2440 * 8000, 610 * 8000, 25600, 3},
                              {2440 * 8000, 600 * 8000, 25600, 4}};
  for (size_t c = 0; c < 3; c++)
    for (int more = 0; more < 2; more++) check_length(cases[c], cases[c][3] + more, 1 + more);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(chvatal),
      cmocka_unit_test(rolls_of_5600),
      cmocka_unit_test(winston),
      cmocka_unit_test(lumber_exercises),
      cmocka_unit_test(pieces_from_a_length),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
