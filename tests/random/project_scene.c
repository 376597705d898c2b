/* wait and setrlimit are of POSIX, with their X/Open part. */
#define _XOPEN_SOURCE 700

#include "project_scene.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "sanitized.h"

/* ---- telling ---- */

static const char *status_name(enum bw_status status) {
  static const char *const names[] = {"done", "no plan", "bad input", "not written"};
  return names[status];
}

static void print_messages(const struct bw_run *run) {
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity != BW_ERROR) continue;
    fprintf(stderr, "  %s:%ld:%ld: %s\n", message.file == NULL ? "" : message.file, message.line,
            message.column, message.text);
  }
}

int scene_blame(const struct scene *scene, const struct bw_run *run, const char *what) {
  fprintf(stderr, "---- project of seed %" PRIu64 ": %s\n", scene->seed, what);
  if (run != NULL) {
    fprintf(stderr, "status: %s\n", status_name(bw_run_status(run)));
    print_messages(run);
  }
  disk_print(scene->arena, stderr, scene->folder);
  return 1;
}

bool scene_has_error(const struct bw_run *run, const char *part) {
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity == BW_ERROR && message.text[0] != '\0' &&
        (part == NULL || strstr(message.text, part) != NULL))
      return true;
  }
  return false;
}

void scene_tell(const struct tally *tally) {
  fprintf(stderr,
          "%" PRIu64 " of %" PRIu64 ", %.2f s of processor each; most %.2f s (seed %" PRIu64
          ") and %ld MiB (seed %" PRIu64 ")\n",
          tally->counted, tally->tried,
          tally->seconds / (double)(tally->tried > 0 ? tally->tried : 1), tally->slowest.seconds,
          tally->slowest.seed, tally->largest.peak / 1024, tally->largest.seed);
}

/* ---- a process for each ---- */

uint64_t scene_setting(const char *name, uint64_t usual) {
  const char *text = getenv(name);
  return text == NULL || *text == '\0' ? usual : strtoull(text, NULL, 10);
}

/* A sanitizer sets terabytes of addresses aside. */
static void limit_memory(void) {
#ifndef SANITIZED
  const rlim_t most = (rlim_t)3 << 29;
  struct rlimit limit = {most, most};
  setrlimit(RLIMIT_AS, &limit);
#endif
}

static double seconds_of(const struct timeval *time) {
  return (double)time->tv_sec + (double)time->tv_usec / 1e6;
}

static void measure(struct outcome *outcome) {
  struct rusage usage;
  getrusage(RUSAGE_SELF, &usage);
  outcome->seconds = seconds_of(&usage.ru_utime) + seconds_of(&usage.ru_stime);
  outcome->peak = usage.ru_maxrss;
}

/* In the project's own process. */
static struct outcome outcome_of(const char *scratch, uint64_t seed,
                                 void (*try_one)(const struct scene *, struct outcome *)) {
  struct outcome outcome = {.faults = 1};
  limit_memory();
  struct arena *arena = arena_create();
  if (arena != NULL && ARENA_TRY(arena) == STATUS_OK) {
    struct scene scene = {arena, seed, disk_path(arena, scratch, "project"),
                          disk_path(arena, scratch, "out"), disk_path(arena, scratch, "again")};
    outcome.faults = 0;
    try_one(&scene, &outcome);
  } else {
    fprintf(stderr, "---- project of seed %" PRIu64 ": the test has no memory\n", seed);
  }
  arena_destroy(arena);
  measure(&outcome);
  return outcome;
}

/* True when the process came to its end and handed all over. */
static bool receive(int from, pid_t child, struct outcome *outcome) {
  char *at = (char *)outcome;
  size_t got = 0;
  for (ssize_t count = 1; count > 0 && got < sizeof *outcome; got += (size_t)count) {
    count = read(from, at + got, sizeof *outcome - got);
    if (count < 0) break;
  }
  int status = 0;
  bool waited = waitpid(child, &status, 0) == child;
  return got == sizeof *outcome && waited && WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

static struct outcome try_apart(const char *scratch, uint64_t seed,
                                void (*try_one)(const struct scene *, struct outcome *)) {
  int ends[2];
  fflush(NULL);
  if (pipe(ends) != 0) abort();
  pid_t child = fork();
  if (child < 0) abort();
  if (child == 0) {
    close(ends[0]);
    struct outcome made = outcome_of(scratch, seed, try_one);
    bool sent = write(ends[1], &made, sizeof made) == (ssize_t)sizeof made;
    close(ends[1]);
    exit(sent ? 0 : 1);
  }
  close(ends[1]);
  struct outcome outcome = {0};
  if (!receive(ends[0], child, &outcome)) {
    fprintf(stderr, "---- project of seed %" PRIu64 ": its process broke off\n", seed);
    outcome = (struct outcome){.faults = 1};
  }
  close(ends[0]);
  return outcome;
}

static void count(struct tally *tally, uint64_t seed, const struct outcome *outcome) {
  size_t kind = outcome->kind < SCENE_KINDS_MOST ? outcome->kind : SCENE_KINDS_MOST - 1;
  tally->tried++;
  tally->kind_tried[kind]++;
  tally->seconds += outcome->seconds;
  if (outcome->faults > 0) tally->faulty++;
  if (outcome->counted) {
    tally->counted++;
    tally->kind_counted[kind]++;
  }
  if (outcome->seconds > tally->slowest.seconds) {
    tally->slowest.seconds = outcome->seconds;
    tally->slowest.seed = seed;
  }
  if (outcome->peak > tally->largest.peak) {
    tally->largest.peak = outcome->peak;
    tally->largest.seed = seed;
  }
}

struct tally scene_try_all(uint64_t runs,
                           void (*try_one)(const struct scene *scene, struct outcome *outcome)) {
  struct tally tally = {0};
  struct arena *arena = arena_create();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) abort();
  const char *scratch = disk_scratch(arena);
  bool each = scene_setting("BLANKWRIGHT_EACH", 0) != 0;
  uint64_t first = scene_setting("BLANKWRIGHT_SEED", 0);
  for (uint64_t run = 0; run < runs; run++) {
    struct outcome outcome = try_apart(scratch, first + run, try_one);
    count(&tally, first + run, &outcome);
    if (each)
      printf("%" PRIu64 ",%d,%d,%zu,%.3f,%ld\n", first + run, outcome.faults, outcome.counted,
             outcome.kind, outcome.seconds, outcome.peak);
  }
  disk_remove(arena, scratch);
  arena_destroy(arena);
  return tally;
}

struct outcome scene_try(uint64_t seed,
                         void (*try_one)(const struct scene *scene, struct outcome *outcome)) {
  struct arena *arena = arena_create();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) abort();
  const char *scratch = disk_scratch(arena);
  struct outcome outcome = try_apart(scratch, seed, try_one);
  disk_remove(arena, scratch);
  arena_destroy(arena);
  return outcome;
}
