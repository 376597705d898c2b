/* How answers for published instances compare with the best known, and what they take:
 *
 *   published [DATA_DIR] [--set NAME] [--problem KO|KR|OG|RG|OF|RF] [--effort PERCENT]
 *             [--jobs N] [--only SUBSTRING]
 *
 * DATA_DIR (see published/instance.h for the usual one) holds a folder for each set, and in
 * best/ tables of what is known. A line of CSV for each instance and problem, the answer checked
 * before it is printed; then lines that start with # sum up. PERCENT (100) is of the budgets
 * stated in published_sets.c, N (1) how many instances are worked at once. Exit status 1 when an
 * answer was at fault or there was none. */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "bench_arguments.h"
#include "published_answer.h"
#include "published_jobs.h"
#include "published_list.h"
#include "published_tally.h"

struct bench {
  struct task_list list;
  struct task_filter filter;
  int64_t percent;
  int jobs;
  struct tallies tallies;
};

static void work(void *data, size_t index, void *result) {
  const struct bench *bench = data;
  const struct task *task = &bench->list.items[index];
  static struct instance instance;
  struct published_answer answer = {.fault = "not an instance"};
  int64_t effort = set_budget(task->set, task->question) * bench->percent / 100;
  if (task_read(task, &instance))
    published_answer(&instance, task->question, effort < 1 ? 1 : effort, &answer);
  memcpy(result, &answer, sizeof answer);
}

/* A bound and a published answer on the wrong sides of each other cannot both be right. */
static bool contradicts(enum question question, const struct published_answer *answer,
                        const int64_t *best) {
  if (best == NULL || !answer->complete) return false;
  return question_is_knapsack(question) ? answer->bound < *best : answer->bound > *best;
}

static bool is_proved(enum question question, const struct published_answer *answer) {
  if (!answer->complete || answer->fault[0] != '\0') return false;
  return question_is_knapsack(question) ? answer->bound <= answer->result
                                        : answer->bound >= answer->result;
}

static void print_line(const struct task *task, const struct tally_line *line) {
  const struct published_answer *answer = line->answer;
  printf("%s,%s,%s,", task->set, task->name, question_name(task->question));
  if (answer == NULL) {
    printf(",,,no,no,,,,,ERROR: the process died\n");
    return;
  }
  printf("%" PRId64 ",", answer->result);
  if (line->best != NULL) printf("%" PRId64, *line->best);
  printf(",%" PRId64 ",%s,%s,%.2f,%" PRId64 ",%.3f,%" PRId64 ",", answer->bound,
         line->proved ? "yes" : "no", answer->complete ? "yes" : "no", answer->used_percent,
         answer->steps, answer->seconds, answer->peak / 1024);
  if (answer->fault[0] != '\0') printf("\"FAULT: %s\"", answer->fault);
  printf("\n");
}

/* Where the best use of area is published for a class, the class is summed up too. */
static void note_class(struct bench *bench, const struct task *task, struct tally_line line) {
  size_t length = 0;
  double use = 0;
  char class[2 * NAME_ROOM];
  if (task->question != ASK_OG || !set_best_use(task->set, task->name, &length, &use)) return;
  snprintf(class, sizeof class, "%s %.*s", task->set, (int)length, task->name);
  line.group = class;
  line.best_use = &use;
  tally_note(&bench->tallies, &line);
}

static void deliver(void *data, size_t index, const void *result) {
  struct bench *bench = data;
  const struct task *task = &bench->list.items[index];
  struct published_answer answer;
  int64_t best = 0;
  struct tally_line line = {.group = task->set, .question = task->question};
  if (set_best(task->set, task->name, task->question, &best)) line.best = &best;
  if (result != NULL) {
    memcpy(&answer, result, sizeof answer);
    if (answer.fault[0] == '\0' && contradicts(task->question, &answer, line.best))
      snprintf(answer.fault, sizeof answer.fault, "the bound contradicts the best known");
    line.answer = &answer;
    line.proved = is_proved(task->question, &answer);
  }
  print_line(task, &line);
  fflush(stdout);
  tally_note(&bench->tallies, &line);
  note_class(bench, task, line);
}

static const char usage[] =
    "published [DATA_DIR] [--set NAME] [--problem KO|KR|OG|RG|OF|RF] [--effort PERCENT] "
    "[--jobs N] [--only SUBSTRING]";

static void take_option(struct bench *bench, const char *option, const char *value) {
  if (strcmp(option, "--set") == 0)
    bench->filter.set = value;
  else if (strcmp(option, "--only") == 0)
    bench->filter.part = value;
  else if (strcmp(option, "--effort") == 0)
    bench->percent = whole_argument(usage, value, MOST_NUMBER);
  else if (strcmp(option, "--jobs") == 0)
    bench->jobs = (int)whole_argument(usage, value, MOST_JOBS);
  else if (strcmp(option, "--problem") != 0)
    refuse_argument(usage, "unknown option", option);
  else if (question_find(value, &bench->filter.question))
    bench->filter.one_question = true;
  else
    refuse_argument(usage, "unknown problem", value);
}

static void take_arguments(struct bench *bench, int count, char **arguments) {
  for (int i = 1; i < count; i++) {
    if (arguments[i][0] != '-') {
      instance_set_folder(arguments[i]);
      continue;
    }
    if (i + 1 == count) refuse_argument(usage, "no value for", arguments[i]);
    take_option(bench, arguments[i], arguments[i + 1]);
    i++;
  }
}

int main(int count, char **arguments) {
  static struct bench bench = {.percent = 100, .jobs = 1};
  take_arguments(&bench, count, arguments);
  if (!task_list_fill(&bench.list, &bench.filter)) {
    printf("# no published instances: '%s' cannot be read\n", instance_folder());
    return EXIT_SUCCESS;
  }
  if (bench.list.count == 0) refuse_argument(usage, "no instance fits in", instance_folder());
  printf(
      "set,instance,problem,result,best_known,bound,proved,complete,used_percent,steps,cpu_s,"
      "peak_mib,fault\n");
  jobs_run(bench.list.count, bench.jobs, sizeof(struct published_answer), work, deliver, &bench);
  int bad = tally_print(&bench.tallies);
  free(bench.list.items);
  return bad == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
