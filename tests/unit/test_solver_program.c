/* Small integer programs with answers known by hand. */
#include "solver/program.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

static int open_arena(void **state) {
  *state = arena_create();
  return *state == NULL;
}

static int close_arena(void **state) {
  arena_destroy(*state);
  return 0;
}

/* Five sets over six elements: two of them cover all, at the price of 5; dearer alone. */
static struct program *cover(struct arena *arena) {
  static const unsigned sets[] = {0x07, 0x38, 0x1B, 0x24, 0x3F};
  static const double prices[] = {2, 3, 3, 3, 6};
  struct program *program = program_create(arena);
  for (size_t s = 0; s < 5; s++) program_add_choice(program, prices[s]);
  for (unsigned e = 0; e < 6; e++) {
    for (size_t s = 0; s < 5; s++)
      if (sets[s] >> e & 1) program_put(program, s, 1);
    program_end_row(program, 1, INFINITY);
  }
  return program;
}

static void finds_the_cheapest_cover(void **state) {
  struct program_result result;
  struct program *program = cover(*state);
  program_solve(program, 1000, &result);
  assert_int_equal(result.answer, PROGRAM_OPTIMAL);
  assert_true(result.found);
  assert_float_equal(result.value, 5, 1e-9);
  assert_float_equal(result.bound, 5, 1e-9);
  assert_true(result.values[0] == 1 && result.values[1] == 1 && result.values[4] == 0);
  program_put(program, 0, 1); /* without the first there is only the dearest */
  program_end_row(program, 0, 0);
  program_solve(program, 1000, &result);
  assert_float_equal(result.value, 6, 1e-9);
}

static void says_what_cannot_be(void **state) {
  struct program_result result;
  struct program *program = cover(*state);
  for (size_t s = 0; s < 5; s++) program_put(program, s, 1);
  program_end_row(program, 0, 0.5);
  program_solve(program, 1000, &result);
  assert_int_equal(result.answer, PROGRAM_INFEASIBLE);
  assert_false(result.found);
  program = cover(*state);
  for (size_t s = 0; s < 5; s++) program_put(program, s, 1);
  program_end_row(program, 0, 1);
  program_solve(program, 1000, &result);
  assert_int_equal(result.answer, PROGRAM_OPTIMAL);
  assert_float_equal(result.value, 6, 1e-9);
}

/* A column put twice counts its sum. */
static void adds_up_entries(void **state) {
  struct program *program = program_create(*state);
  size_t x = program_add_column(program, PROGRAM_INTEGER, 0, 9, 1);
  program_put(program, x, 1);
  program_put(program, x, 2);
  program_end_row(program, 7, INFINITY);
  struct program_result result;
  program_solve(program, 1000, &result);
  assert_float_equal(result.value, 3, 1e-9);
}

/* Least y with y >= x and y >= 5 - x: at 5/2. */
static void solves_without_whole_numbers(void **state) {
  struct program *program = program_create(*state);
  size_t x = program_add_column(program, PROGRAM_CONTINUOUS, -INFINITY, INFINITY, 0);
  size_t y = program_add_column(program, PROGRAM_CONTINUOUS, -INFINITY, INFINITY, 1);
  program_put(program, y, 1);
  program_put(program, x, -1);
  program_end_row(program, 0, INFINITY);
  program_put(program, y, 1);
  program_put(program, x, 1);
  program_end_row(program, 5, INFINITY);
  struct program_result result;
  program_solve(program, 0, &result);
  assert_int_equal(result.answer, PROGRAM_OPTIMAL);
  assert_float_equal(result.values[x], 2.5, 1e-9);
}

/* Pairs out of an odd ring: the relaxation says half of each, no whole number is near. */
static struct program *ring(struct arena *arena, size_t count) {
  struct program *program = program_create(arena);
  for (size_t i = 0; i < count; i++) program_add_choice(program, -1);
  for (size_t i = 0; i < count; i++) {
    program_put(program, i, 1);
    program_put(program, (i + 1) % count, 1);
    program_put(program, (i * i + 3) % count, 1);
    program_end_row(program, -INFINITY, 1);
  }
  return program;
}

static void stops_after_its_nodes(void **state) {
  struct program_result stopped;
  struct program_result whole;
  program_solve(ring(*state, 61), 0, &stopped);
  program_solve(ring(*state, 61), 1000000, &whole);
  assert_int_equal(stopped.answer, PROGRAM_STOPPED);
  assert_int_equal(whole.answer, PROGRAM_OPTIMAL);
  assert_true(stopped.bound <= whole.value + 1e-6);
  if (stopped.found) assert_true(stopped.value >= whole.value - 1e-6);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(finds_the_cheapest_cover, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(says_what_cannot_be, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(adds_up_entries, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(solves_without_whole_numbers, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(stops_after_its_nodes, open_arena, close_arena),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
