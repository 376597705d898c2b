/* A bound on sheets of several sizes from outside: bars (bars_model.h), solved by CBC.
 *
 *   sheet_bars [DATA_DIR] [--set NAME] [--only SUBSTRING]
 *
 * DATA_DIR (see published/instance.h for the usual one), NAME (HT2001b). A line of CSV for each
 * instance; the bound is empty where there is none. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "bars_model.h"
#include "bench_arguments.h"
#include "published_list.h"
#include "random/run_solver.h"

static const char usage[] = "sheet_bars [DATA_DIR] [--set NAME] [--only SUBSTRING]";

static int64_t pieces_area(const struct instance *instance) {
  int64_t area = 0;
  for (size_t i = 0; i < instance->item_count; i++)
    area += instance->items[i].demand * instance->items[i].width * instance->items[i].height;
  return area;
}

/* The cost is whole, the solver's is not quite. */
static bool bars_bound(const struct instance *instance, int64_t *bound) {
  char folder[] = "/tmp/sheet-bars-XXXXXX";
  char model[64];
  char answer[64];
  double cost = 0;
  if (mkdtemp(folder) == NULL) return false;
  snprintf(model, sizeof model, "%s/model.lp", folder);
  snprintf(answer, sizeof answer, "%s/answer.txt", folder);
  FILE *file = fopen(model, "w");
  bool written = file != NULL && bars_model_write(instance, file);
  if (file != NULL && fclose(file) != 0) written = false;
  bool solved = written && run_solver(model, answer, &cost) == SOLVER_OPTIMAL;
  unlink(model);
  unlink(answer);
  rmdir(folder);
  *bound = (int64_t)ceil(cost - 1e-4);
  return solved;
}

static void take_arguments(struct task_filter *filter, int count, char **arguments) {
  for (int i = 1; i < count; i++) {
    if (arguments[i][0] != '-') {
      instance_set_folder(arguments[i]);
      continue;
    }
    if (i + 1 == count) refuse_argument(usage, "no value for", arguments[i]);
    if (strcmp(arguments[i], "--set") == 0)
      filter->set = arguments[i + 1];
    else if (strcmp(arguments[i], "--only") == 0)
      filter->part = arguments[i + 1];
    else
      refuse_argument(usage, "unknown option", arguments[i]);
    i++;
  }
}

int main(int count, char **arguments) {
  static struct instance instance;
  struct task_filter filter = {.set = "HT2001b", .one_question = true, .question = ASK_OG};
  struct task_list list = {0};
  take_arguments(&filter, count, arguments);
  if (!task_list_fill(&list, &filter)) {
    printf("# no published instances: '%s' cannot be read\n", instance_folder());
    return EXIT_SUCCESS;
  }
  printf("set,instance,area,bound\n");
  for (size_t t = 0; t < list.count; t++) {
    int64_t bound = 0;
    if (!task_read(&list.items[t], &instance)) continue;
    printf("%s,%s,%" PRId64 ",", list.items[t].set, list.items[t].name, pieces_area(&instance));
    if (bars_bound(&instance, &bound)) printf("%" PRId64, bound);
    printf("\n");
    fflush(stdout);
  }
  free(list.items);
  return EXIT_SUCCESS;
}
