/* Tables over numbers of pieces against plain searches. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "nest/count_box.h"

/* The least cost of making (a, b) from three yields, by trying all numbers of them. */
static int64_t by_trying(int64_t a, int64_t b) {
  int64_t best = COUNT_NEVER;
  for (int64_t x = 0; x <= 12; x++)
    for (int64_t y = 0; y <= 12; y++)
      for (int64_t z = 0; z <= 12; z++)
        if (3 * x + y >= a && x + 4 * z >= b && 7 * x + 3 * y + 11 * z < best)
          best = 7 * x + 3 * y + 11 * z;
  return best;
}

static void test_as_often_as_it_pays(void **state) {
  (void)state;
  static const int64_t most[2] = {9, 11}, yields[3][2] = {{3, 1}, {1, 0}, {0, 4}},
                       costs[3] = {7, 3, 11};
  struct arena *arena = arena_create();
  struct count_box box;
  assert_true(count_box_open(arena, 2, most, 1000, &box));
  assert_int_equal(box.cells, 120);
  int64_t *table = count_box_table(arena, &box);
  for (uint32_t y = 0; y < 3; y++) count_box_add(&box, table, table, yields[y], costs[y], NULL, 0);
  for (int64_t a = 0; a <= most[0]; a++)
    for (int64_t b = 0; b <= most[1]; b++) {
      int64_t counts[2] = {a, b};
      assert_int_equal(table[count_box_cell(&box, counts)], by_trying(a, b));
    }
  arena_destroy(arena);
}

static void test_less_never_falls_below_nothing(void **state) {
  (void)state;
  static const int64_t most[3] = {2, 3, 4}, made[3] = {1, 5, 2}, wanted[3] = {2, 2, 3};
  struct arena *arena = arena_create();
  struct count_box box;
  assert_true(count_box_open(arena, 3, most, 60, &box));
  size_t left = count_box_less(&box, count_box_cell(&box, wanted), made);
  assert_int_equal(count_box_count(&box, left, 0), 1);
  assert_int_equal(count_box_count(&box, left, 1), 0);
  assert_int_equal(count_box_count(&box, left, 2), 1);
  assert_false(count_box_open(arena, 3, most, 59, &box));
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_as_often_as_it_pays),
      cmocka_unit_test(test_less_never_falls_below_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
