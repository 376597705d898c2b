/* Best single guillotine layouts with limited copies, against published optima:
 * cgcut1-3: Christofides, Whitlock, Oper. Res. 25 (1977), 30-44 (fixed orientation);
 * the others: Furini, Malaguti, Thomopulos, INFORMS J. Comput. 28 (2016), and the papers
 * their data name. The data are read from the folder BLANKWRIGHT_DATA names, or from
 * ../shared/data beside the sources; without them only cgcut1 is checked. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <cmocka.h>

#include "nest/bounded.h"

enum { MOST_ITEMS = 200, PATH_ROOM = 4096, LINE_ROOM = 1024 };

#define STEPS INT64_C(25000000)

struct instance {
  struct nest_problem problem;
  struct nest_stock stock;
  struct nest_option options[MOST_ITEMS];
  cost_t value[MOST_ITEMS];
  int64_t limit[MOST_ITEMS];
};

static void begin_instance(struct instance *instance, int64_t length, int64_t width) {
  *instance = (struct instance){0};
  instance->stock.length = length;
  instance->stock.width = width;
  instance->stock.count = 1;
  instance->stock.pack = 1;
  instance->stock.rules.crosscut_first = instance->stock.rules.rip_first = true;
  instance->stock.options = instance->options;
}

static void add_item(struct instance *instance, const int64_t *item) {
  size_t i = instance->stock.option_count++;
  assert_true(i < MOST_ITEMS);
  instance->options[i] =
      (struct nest_option){.demand = i, .length = item[0], .width = item[1], .blank = i};
  instance->limit[i] = item[2];
  instance->value[i] = item[3];
  instance->problem.demand_count = instance->stock.option_count;
}

/* The numbers of a line of commas; a field left empty is -1. How many there are. */
static int read_numbers(const char *line, int64_t *numbers, int most) {
  int count = 0;
  while (count < most) {
    char *end = NULL;
    long long number = strtoll(line, &end, 10);
    numbers[count++] = end == line ? -1 : number;
    if (*end != ',') break;
    line = end + 1;
  }
  return count;
}

static FILE *open_data(const char *name) {
  char path[PATH_ROOM];
  const char *folder = getenv("BLANKWRIGHT_DATA");
  if (folder != NULL)
    snprintf(path, sizeof path, "%s/%s", folder, name);
  else
    snprintf(path, sizeof path, "%s/../shared/data/%s", SOURCE_ROOT, name);
  return fopen(path, "r");
}

/* An empty value is the area, an empty demand as many as fit. */
static bool read_instance(const char *name, struct instance *instance) {
  FILE *file = open_data(name);
  if (file == NULL) return false;
  char line[LINE_ROOM];
  int section = 0;
  while (fgets(line, sizeof line, file) != NULL) {
    int64_t number[4];
    if (line[0] == '#' || line[0] == '\n' || line[0] == '\r') continue;
    if (line[0] == 'W' || line[0] == 'w' || line[0] == 'b') {
      section++;
      continue;
    }
    int count = read_numbers(line, number, 4);
    assert_true(count >= 2);
    if (section == 1) begin_instance(instance, number[0], number[1]);
    if (section != 2) continue;
    int64_t room = (instance->stock.length / number[0]) * (instance->stock.width / number[1]);
    if (count < 3 || number[2] < 0) number[2] = room;
    if (count < 4 || number[3] < 0) number[3] = number[0] * number[1];
    add_item(instance, number);
  }
  fclose(file);
  assert_true(instance->stock.option_count > 0);
  return true;
}

struct outcome {
  cost_t value, bound;
  int64_t steps;
  double seconds;
};

static struct outcome run(const struct instance *instance, int64_t steps) {
  struct arena *arena = arena_create();
  struct bounded_answer answer;
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  clock_t start = clock();
  bounded_search(arena, &instance->problem, &instance->stock, instance->value, instance->limit,
                 steps, &answer);
  struct outcome outcome = {answer.value, answer.bound, answer.steps,
                            (double)(clock() - start) / CLOCKS_PER_SEC};
  arena_destroy(arena);
  return outcome;
}

static void expect_optimum(const char *name, const struct instance *instance, cost_t optimum) {
  struct outcome outcome = run(instance, STEPS);
  print_message("%s: %lld, bound %lld, %lld steps, %.3f s\n", name, (long long)outcome.value,
                (long long)outcome.bound, (long long)outcome.steps, outcome.seconds);
  assert_int_equal(outcome.value, optimum);
  assert_int_equal(outcome.bound, optimum);
}

static void cgcut1(void **state) {
  (void)state;
  static const int64_t item[][4] = {{8, 4, 2, 66}, {3, 7, 1, 35}, {8, 2, 3, 24}, {3, 4, 5, 17},
                                    {3, 3, 2, 11}, {3, 2, 2, 8},  {2, 1, 1, 2}};
  struct instance instance;
  begin_instance(&instance, 15, 10);
  for (size_t i = 0; i < sizeof item / sizeof item[0]; i++) add_item(&instance, item[i]);
  expect_optimum("cgcut1", &instance, 244);
}

static void expect_file(const char *name, cost_t optimum) {
  struct instance instance;
  if (!read_instance(name, &instance)) {
    print_message("%s is not at hand\n", name);
    skip();
  }
  expect_optimum(name, &instance, optimum);
}

static void cgcut2(void **state) {
  (void)state;
  expect_file("CGCUT/cgcut2.csv", 2892);
}

static void cgcut3(void **state) {
  (void)state;
  expect_file("CGCUT/cgcut3.csv", 1860);
}

/* Wang, Oper. Res. 31 (1983), 573-586: the same pieces from three sheets. */
static void wang(void **state) {
  (void)state;
  static const struct {
    length_t length, width;
    cost_t optimum;
  } sheet[] = {{69, 33, 2277}, {70, 39, 2694}, {70, 40, 2721}};
  struct instance instance;
  if (!read_instance("G2KP/W.csv", &instance)) {
    print_message("the pieces are not at hand\n");
    skip();
  }
  for (size_t i = 0; i < sizeof sheet / sizeof sheet[0]; i++) {
    instance.stock.length = sheet[i].length;
    instance.stock.width = sheet[i].width;
    expect_optimum("Wang", &instance, sheet[i].optimum);
  }
}

/* Oliveira, Ferreira, An improved version of Wang's algorithm, EJOR 44 (1990), 256-266. */
static void of1(void **state) {
  (void)state;
  expect_file("G2KP/OF1.csv", 2737);
}

/* All of the collection: no answer may contradict the optimum, and all but few are proved. */
static void collection(void **state) {
  (void)state;
  FILE *optima = open_data("best/g2kp_knapsack_optimum.csv");
  if (optima == NULL) {
    print_message("the collection is not at hand\n");
    skip();
  }
  char line[LINE_ROOM];
  int tried = 0;
  int proved = 0;
  while (fgets(line, sizeof line, optima) != NULL) {
    char *comma = strchr(line, ',');
    if (comma == NULL) continue;
    *comma = '\0';
    char name[LINE_ROOM + 16];
    snprintf(name, sizeof name, "G2KP/%s.csv", line);
    struct instance instance;
    if (strcmp(line, "name") == 0 || !read_instance(name, &instance)) continue;
    cost_t optimum = strtoll(comma + 1, NULL, 10);
    struct outcome outcome = run(&instance, STEPS);
    print_message("%-8s %8lld %8lld bound %8lld %9lld steps %7.3f s\n", line, (long long)optimum,
                  (long long)outcome.value, (long long)outcome.bound, (long long)outcome.steps,
                  outcome.seconds);
    assert_true(outcome.value <= optimum);
    assert_true(outcome.bound >= optimum);
    tried++;
    if (outcome.value == outcome.bound) proved++;
  }
  fclose(optima);
  print_message("%d of %d proved\n", proved, tried);
  assert_true(proved + 1 >= tried);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(cgcut1), cmocka_unit_test(cgcut2), cmocka_unit_test(cgcut3),
      cmocka_unit_test(of1),    cmocka_unit_test(wang),   cmocka_unit_test(collection),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
