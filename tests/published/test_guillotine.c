/* One sheet, items unlimited, guillotine cuts: the optima of published instances through
 * the pricing program, without and with turning.
 * Instances and optima: Beasley, J. Oper. Res. Soc. 36 (1985) (GCUT); Fayard, Hifi and
 * Zissimopoulos, J. Oper. Res. Soc. 49 (1998) (FHZ). */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "nest/pricer.h"
#include "nest/unstaged.h"
#include "published/instance.h"

/* The instance's first sheet as a nesting problem; values become worths. */
static struct nest_problem make_problem(struct arena *arena, const struct instance *instance,
                                        bool turning, cost_t *worth) {
  struct nest_problem problem = {.demand = ARENA_ARRAY(arena, instance->item_count, int64_t),
                                 .demand_count = instance->item_count,
                                 .stocks = ARENA_NEW(arena, struct nest_stock),
                                 .stock_count = 1};
  struct nest_stock *stock = problem.stocks;
  *stock = (struct nest_stock){
      .length = instance->sheets[0].width,
      .width = instance->sheets[0].height,
      .count = -1,
      .pack = 1,
      .rules = {.crosscut_first = true, .rip_first = true},
      .options = ARENA_ARRAY(arena, 2 * instance->item_count, struct nest_option)};
  for (size_t i = 0; i < instance->item_count; i++) {
    const struct instance_item *item = &instance->items[i];
    struct nest_option option = {
        .demand = i, .length = item->width, .width = item->height, .blank = i};
    worth[i] = item->value;
    problem.demand[i] = INT64_MAX / 1000000;
    stock->options[stock->option_count++] = option;
    if (!turning || item->width == item->height) continue;
    option.length = item->height;
    option.width = item->width;
    option.turned = true;
    stock->options[stock->option_count++] = option;
  }
  return problem;
}

static cost_t best_value(const struct instance *instance, bool turning, int64_t *steps) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  cost_t *worth = ARENA_ARRAY(arena, instance->item_count, cost_t);
  struct nest_problem problem = make_problem(arena, instance, turning, worth);
  struct pricer *pricer = pricer_create(arena, &problem, 0, &(size_t){UNSTAGED_CELLS_MOST});
  struct priced priced;
  pricer_run(arena, pricer, worth, problem.demand, INT64_MAX / 4, INT64_MAX / 4, &priced);
  assert_int_equal(priced.worth, priced.bound);
  *steps = pricer_steps(pricer);
  cost_t value = priced.worth;
  arena_destroy(arena);
  return value;
}

static void check_instance(const char *file, const char *table, const char *key, int column) {
  struct instance instance;
  for (int turning = 0; turning < 2; turning++) {
    int64_t best = 0;
    int64_t steps = 0;
    assert_true(instance_read(file, &instance));
    assert_true(instance_best(table, key, column + turning, &best));
    clock_t begin = clock();
    cost_t value = best_value(&instance, turning == 1, &steps);
    print_message("%s %s: %lld (%lld steps, %.1f ms)\n", key, turning ? "turning" : "fixed",
                  (long long)value, (long long)steps,
                  1000.0 * (double)(clock() - begin) / CLOCKS_PER_SEC);
    assert_int_equal(value, best);
  }
}

static bool have_data(void) {
  struct instance instance;
  if (instance_read("GCUT/gcut1.csv", &instance)) return true;
  print_message("skipped: no data folder, set BLANKWRIGHT_DATA to one\n");
  return false;
}

static void gcut_optima_are_met(void **state) {
  (void)state;
  if (!have_data()) skip();
  for (int i = 1; i <= 13; i++) {
    char file[64];
    char key[32];
    snprintf(file, sizeof file, "GCUT/gcut%d.csv", i);
    snprintf(key, sizeof key, "gcut%d", i);
    check_instance(file, "best/gcut_unconstrained.csv", key, 1);
  }
}

static void fhz_optima_are_met(void **state) {
  (void)state;
  if (!have_data()) skip();
  for (int i = 1; i <= 22; i++) {
    char file[64];
    char key[32];
    const char *family = i <= 11 ? "UU" : "UW";
    int number = i <= 11 ? i : i - 11;
    snprintf(file, sizeof file, "FHZ/%s%d.csv", family, number);
    snprintf(key, sizeof key, "FHZ,%s%d", family, number);
    check_instance(file, "best/unconstrained_dp.csv", key, 2);
  }
}

/* gcut1, typed in: runs where there is no data folder. Beasley (1985): 56460 without
 * turning, 58136 with. */
static void gcut1_typed_in(void **state) {
  (void)state;
  static const int64_t sizes[][2] = {{167, 184}, {114, 118}, {167, 152}, {83, 140}, {70, 86},
                                     {143, 166}, {120, 160}, {66, 148},  {87, 141}, {69, 165}};
  struct instance instance = {.sheets = {{250, 250, -1, 62500}}, .sheet_count = 1};
  int64_t steps = 0;
  for (size_t i = 0; i < 10; i++)
    instance.items[instance.item_count++] =
        (struct instance_item){sizes[i][0], sizes[i][1], -1, sizes[i][0] * sizes[i][1]};
  assert_int_equal(best_value(&instance, false, &steps), 56460);
  assert_int_equal(best_value(&instance, true, &steps), 58136);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(gcut1_typed_in),
      cmocka_unit_test(gcut_optima_are_met),
      cmocka_unit_test(fhz_optima_are_met),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
