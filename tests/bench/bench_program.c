/* Whole runs of the program as its user sees them:
 *
 *   bench_program [PROGRAM]
 *
 * in the repository's root. Each case is run five times; one line a case: median times, the
 * most memory, and how good the plan is. The last note holds the figures against the bars
 * the program is meant to meet on an ordinary machine; it never fails for one. */
#define _DEFAULT_SOURCE /* wait4 */

#include <errno.h>
#include <fcntl.h>
#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "random/project_disk.h"

enum { RUNS = 5, PART_ROWS = 50000, ARGUMENTS_MOST = 12 };

struct run_measure {
  double wall, cpu;
  long peak_kib;
};

struct measures {
  struct run_measure median; /* the peak is the highest of all runs */
  int status;                /* of the last run */
  bool planned;
  double cost, bound;
  bool proved;
};

static _Noreturn void give_up(const char *what) {
  fprintf(stderr, "%s: %s\n", what, strerror(errno));
  exit(EXIT_FAILURE);
}

/* ---- one run ---- */

static double now_seconds(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + (double)now.tv_nsec * 1e-9;
}

static double seconds_of(const struct timeval *time) {
  return (double)time->tv_sec + (double)time->tv_usec * 1e-6;
}

static _Noreturn void become(char *const arguments[]) {
  int nowhere = open("/dev/null", O_WRONLY);
  if (nowhere < 0 || dup2(nowhere, STDOUT_FILENO) < 0 || dup2(nowhere, STDERR_FILENO) < 0)
    _exit(126);
  execv(arguments[0], arguments);
  _exit(127);
}

static int run_once(char *const arguments[], struct run_measure *measure) {
  double start = now_seconds();
  pid_t child = fork();
  if (child < 0) give_up("fork");
  if (child == 0) become(arguments);
  int status = 0;
  struct rusage usage;
  if (wait4(child, &status, 0, &usage) < 0) give_up("wait4");
  measure->wall = now_seconds() - start;
  measure->cpu = seconds_of(&usage.ru_utime) + seconds_of(&usage.ru_stime);
  measure->peak_kib = usage.ru_maxrss;
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128;
}

/* ---- one case ---- */

static int by_value(const void *a, const void *b) {
  double left = *(const double *)a, right = *(const double *)b;
  return (left > right) - (left < right);
}

static double median(double values[RUNS]) {
  qsort(values, RUNS, sizeof *values, by_value);
  return values[RUNS / 2];
}

static void read_plan(struct arena *arena, const char *out, struct measures *measures) {
  json_t *plan = json_load_file(disk_path(arena, out, "plan.json"), 0, NULL);
  if (plan == NULL) return;
  measures->planned = true;
  measures->cost = json_number_value(json_object_get(json_object_get(plan, "cost"), "total"));
  measures->bound = json_number_value(json_object_get(plan, "bound"));
  measures->proved = json_is_true(json_object_get(plan, "proved"));
  json_decref(plan);
}

static void print_line(const char *name, const struct measures *measures) {
  printf("%s,%d,%d,%.3f,%.3f,%ld,", name, RUNS, measures->status, measures->median.wall,
         measures->median.cpu, measures->median.peak_kib);
  if (!measures->planned) {
    printf(",,,\n");
    return;
  }
  double gap = measures->cost > 0 ? 100 * (measures->cost - measures->bound) / measures->cost : 0;
  printf("%.2f,%.2f,%.3f,%s\n", measures->cost, measures->bound, gap,
         measures->proved ? "yes" : "no");
}

/* Runs the program RUNS times; the words are parted by blanks, the first is
 * the command. */
static struct measures measure(struct arena *arena, const char *name, const char *program,
                               const char *words, const char *project, const char *out) {
  struct measures measures = {0};
  char *arguments[ARGUMENTS_MOST] = {arena_copy_text(arena, program)};
  int count = 1;
  for (const char *at = words; *at != '\0'; at += *at == ' ' ? 1 : 0) {
    size_t length = strcspn(at, " ");
    arguments[count++] = arena_copy_bytes(arena, at, length);
    if (count == 2) arguments[count++] = arena_copy_text(arena, project);
    at += length;
  }
  if (strcmp(arguments[1], "plan") == 0) {
    arguments[count++] = arena_copy_text(arena, "--out");
    arguments[count] = arena_copy_text(arena, out);
  }
  double wall[RUNS], cpu[RUNS];
  for (int run = 0; run < RUNS; run++) {
    struct run_measure one;
    disk_remove(arena, out);
    measures.status = run_once(arguments, &one);
    wall[run] = one.wall;
    cpu[run] = one.cpu;
    if (one.peak_kib > measures.median.peak_kib) measures.median.peak_kib = one.peak_kib;
  }
  measures.median.wall = median(wall);
  measures.median.cpu = median(cpu);
  read_plan(arena, out, &measures);
  print_line(name, &measures);
  fflush(stdout);
  return measures;
}

/* ---- a large project ---- */

static void write_large_project(struct arena *arena, const char *folder) {
  struct buffer *parts = buffer_create(arena);
  buffer_add(parts, "part,per_set,length,width,thickness,wood,grain,way,faced,hold,note\n");
  for (int row = 1; row <= PART_ROWS; row++)
    buffer_format(parts, "part %d,%d,%d,%d.5,18,walnut|cherry,along,%s,one,auto,\"row %d\"\n", row,
                  1 + row % 4, 60 + row % 340, 30 + row % 70, row % 3 == 0 ? "saw" : "blank", row);
  disk_write(arena, folder, "parts.csv", parts);
  struct buffer *rack = buffer_create(arena);
  buffer_add(rack,
             "stock,kind,wood,length,width,thickness,count,value\n"
             "W1,plank,walnut,2440,215,21,900,78\n"
             "C1,plank,cherry,1830,180,20,900,52\n");
  disk_write(arena, folder, "rack.csv", rack);
}

/* ---- bars ---- */

static const char *met(const struct measures *measures, double seconds, long mebibytes) {
  bool fast = measures->status == 0 && measures->median.wall < seconds;
  bool small = mebibytes == 0 || measures->median.peak_kib <= mebibytes * 1024;
  return fast && small ? "met" : "not met";
}

static void run_cases(struct arena *arena, const char *program) {
  const char *scratch = disk_scratch(arena);
  const char *out = disk_path(arena, scratch, "out");
  const char *large = disk_path(arena, scratch, "large");
  const char *cribbage = SOURCE_ROOT "/boards/cribbage";
  write_large_project(arena, large);
  printf("case,runs,status,wall_s,cpu_s,peak_kib,cost,bound,gap_percent,proved\n");
  struct measures few =
      measure(arena, "cribbage 24 sets", program, "plan --sets 24", cribbage, out);
  struct measures many =
      measure(arena, "cribbage 400 sets", program, "plan --sets 400", cribbage, out);
  struct measures most =
      measure(arena, "cribbage 5000 sets", program, "plan --sets 5000", cribbage, out);
  (void)measure(arena, "trays 12 sets", program, "plan --sets 12", SOURCE_ROOT "/boards/trays",
                out);
  struct measures rows = measure(arena, "check 50000 parts", program, "check", large, out);
  printf(
      "# bars: 24 sets under 0.2 s and 64 MiB %s; 400 sets under 1 s %s; 5000 sets under 5 s "
      "and 256 MiB %s; 50000 rows under 1 s %s\n",
      met(&few, 0.2, 64), met(&many, 1, 0), met(&most, 5, 256), met(&rows, 1, 0));
  disk_remove(arena, scratch);
}

int main(int count, char **arguments) {
  struct arena *arena = arena_create();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) return EXIT_FAILURE;
  run_cases(arena, count > 1 ? arguments[1] : BLANKWRIGHT_PROGRAM);
  arena_destroy(arena);
  return EXIT_SUCCESS;
}
