/* Properties of whole runs over random project folders: every plan passes the independent
 * check, comes out the same again and can be settled, and a spoilt folder is told of where it is
 * spoilt. BLANKWRIGHT_RUNS sets how many folders are planned, BLANKWRIGHT_SEED the first of them.
 */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>

#include "blankwright/blankwright.h"
#include "project_disk.h"
#include "project_spoil.h"
#include "sanitized.h"

#ifdef SANITIZED
enum { USUAL_RUNS = 24 };
#else
enum { USUAL_RUNS = 240 };
#endif

enum { SPOILT_PER_RUN = 4, RUNS_PER_REPEAT = 10 };

/* One folder under test. */
struct scene {
  struct arena *arena;
  uint64_t seed;
  const char *folder, *out, *other_out;
};

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

/* Tells of a fault with all it takes to see it again; always 1. */
static int blame(const struct scene *scene, const struct bw_run *run, const char *what) {
  fprintf(stderr, "---- project of seed %" PRIu64 ": %s\n", scene->seed, what);
  if (run != NULL) {
    fprintf(stderr, "status: %s\n", status_name(bw_run_status(run)));
    print_messages(run);
  }
  disk_print(scene->arena, stderr, scene->folder);
  return 1;
}

/* ---- one planned folder ---- */

static bool has_error(const struct bw_run *run, const char *part) {
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity == BW_ERROR && message.text[0] != '\0' &&
        (part == NULL || strstr(message.text, part) != NULL))
      return true;
  }
  return false;
}

static struct bw_options options_of(const struct random_project *project, const char *out) {
  return (struct bw_options){
      .sets = project->sets, .most = project->most, .effort = project->effort, .out = out};
}

static int faults_of_proof(const struct scene *scene) {
  const char *plan_file = disk_path(scene->arena, scene->out, "plan.json");
  if (!disk_has(plan_file)) return blame(scene, NULL, "there is no plan.json");
  struct bw_run *proof = bw_proof(plan_file);
  int faults = bw_run_status(proof) == BW_DONE
                   ? 0
                   : blame(scene, proof, "the written plan does not pass the check");
  bw_run_free(proof);
  return faults;
}

static int faults_of_repeat(const struct scene *scene, const struct random_project *project) {
  struct bw_options options = options_of(project, scene->other_out);
  disk_remove(scene->arena, scene->other_out);
  struct bw_run *again = bw_plan(scene->folder, &options);
  int faults = 0;
  if (bw_run_status(again) != BW_DONE) faults = blame(scene, again, "planned again it fails");
  bw_run_free(again);
  const char *differs = disk_difference(scene->arena, scene->out, scene->other_out);
  if (differs == NULL) return faults;
  fprintf(stderr, "%s differs\n", differs);
  return faults + blame(scene, NULL, "planned again the files are others");
}

static int faults_of_status(const struct scene *scene, const struct bw_run *run) {
  enum bw_status status = bw_run_status(run);
  if (status == BW_BAD_INPUT) return blame(scene, run, "a project without faults is refused");
  if (status == BW_NOT_WRITTEN) return blame(scene, run, "nothing could be written");
  if (status == BW_DONE) return has_error(run, NULL) ? blame(scene, run, "done with errors") : 0;
  if (disk_has(scene->out)) return blame(scene, run, "written without a plan");
  if (!has_error(run, NULL)) return blame(scene, run, "no plan and no reason");
  if (has_error(run, "independent check") || has_error(run, "fault of its own"))
    return blame(scene, run, "the plan was refused");
  return 0;
}

/* Sizing says the same by itself. */
static int faults_of_check(const struct scene *scene, enum bw_status planned) {
  struct bw_run *check = bw_check(scene->folder, NULL);
  enum bw_status status = bw_run_status(check);
  bool agrees = status == BW_DONE || (status == BW_NO_PLAN && planned == BW_NO_PLAN);
  int faults = agrees ? 0 : blame(scene, check, "check and plan do not agree");
  bw_run_free(check);
  return faults;
}

/* Rack and flaws after cutting can be read, and the plan is known to be settled: unless there is
 * nothing left of all stock, or nothing to settle. */
static int faults_of_settling(const struct scene *scene) {
  const char *plan_file = disk_path(scene->arena, scene->out, "plan.json");
  struct bw_run *run = bw_settle(scene->folder, plan_file);
  int faults = bw_run_status(run) == BW_DONE ? 0 : blame(scene, run, "cannot be settled");
  bw_run_free(run);
  struct bw_run *check = bw_check(scene->folder, NULL);
  if (bw_run_status(check) == BW_BAD_INPUT && !has_error(check, "no stock"))
    faults += blame(scene, check, "what was settled cannot be read");
  bw_run_free(check);
  if (!disk_has(disk_path(scene->arena, scene->folder, "rack.csv.before"))) return faults;
  struct bw_run *again = bw_settle(scene->folder, plan_file);
  if (bw_run_status(again) != BW_BAD_INPUT || !has_error(again, "settled already"))
    faults += blame(scene, again, "settled twice");
  bw_run_free(again);
  return faults;
}

static int faults_of_run(const struct scene *scene, int *plans) {
  const struct random_project *project = random_project(scene->arena, scene->seed);
  disk_write_project(scene->arena, scene->folder, project);
  disk_remove(scene->arena, scene->out);
  struct bw_options options = options_of(project, scene->out);
  struct bw_run *run = bw_plan(scene->folder, &options);
  enum bw_status status = bw_run_status(run);
  int faults = faults_of_status(scene, run);
  bw_run_free(run);
  if (status == BW_DONE) {
    ++*plans;
    faults += faults_of_proof(scene);
  }
  if (scene->seed % RUNS_PER_REPEAT == 0) faults += faults_of_check(scene, status);
  if (scene->seed % RUNS_PER_REPEAT == 0 && status == BW_DONE)
    faults += faults_of_repeat(scene, project);
  if (status == BW_DONE) faults += faults_of_settling(scene);
  return faults;
}

/* ---- one spoilt folder ---- */

/* The text of a line of bytes, without its end; NULL when there are fewer lines. */
static const char *line_of(struct arena *arena, const struct buffer *bytes, long line) {
  const char *at = bytes->text, *end = bytes->text + bytes->length;
  if (bytes->length >= 3 && memcmp(at, "\xEF\xBB\xBF", 3) == 0) at += 3;
  for (long number = 1; at < end; number++) {
    const char *stop = memchr(at, '\n', (size_t)(end - at));
    size_t length = (size_t)((stop == NULL ? end : stop) - at);
    if (number == line) {
      if (length > 0 && at[length - 1] == '\r') length--;
      return arena_copy_bytes(arena, at, length);
    }
    at += length + 1;
  }
  return NULL;
}

/* The row a message shows is the file's, and its column lies in it. Bytes that are no
 * text are shown as question marks. */
static bool place_is_real(const struct scene *scene, const struct bw_message *message) {
  if (message->line == 0) return message->row == NULL;
  const struct buffer *bytes = disk_read(scene->arena, message->file);
  const char *line = line_of(scene->arena, bytes, message->line);
  if (line == NULL || message->row == NULL || message->column < 1) return false;
  size_t length = strlen(message->row);
  if ((size_t)message->column > length + 1) return false;
  for (size_t i = 0; i < length; i++)
    if (message->row[i] != line[i] && message->row[i] != '?') return false;
  return true;
}

static bool names_file(const struct bw_message *message, const char *name) {
  const char *slash = message->file == NULL ? NULL : strrchr(message->file, '/');
  return slash != NULL && strcmp(slash + 1, name) == 0;
}

static bool tells_place(const struct bw_run *run, const char *name, const struct spoilt *spoilt) {
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity == BW_ERROR && names_file(&message, name) &&
        message.line == spoilt->line && message.column == spoilt->column)
      return true;
  }
  return false;
}

static int faults_of_places(const struct scene *scene, const struct bw_run *run) {
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity != BW_ERROR) continue;
    if (message.file == NULL || !place_is_real(scene, &message))
      return blame(scene, run, "a fault is told of at a place that is none");
  }
  return has_error(run, NULL) ? 0 : blame(scene, run, "bad input and no reason");
}

static int faults_of_spoilt_run(const struct scene *scene, const struct bw_run *run,
                                const char *name, const struct spoilt *spoilt) {
  enum bw_status status = bw_run_status(run);
  if (status == BW_NOT_WRITTEN) return blame(scene, run, "nothing could be written");
  if (status != BW_DONE && disk_has(scene->out)) return blame(scene, run, "written without a plan");
  if (status == BW_BAD_INPUT && faults_of_places(scene, run) > 0) return 1;
  if (status == BW_NO_PLAN && has_error(run, "independent check"))
    return blame(scene, run, "the plan was refused");
  if (!spoilt->certain || tells_place(run, name, spoilt)) return 0;
  fprintf(stderr, "expected a fault at %s:%ld:%ld\n", name, spoilt->line, spoilt->column);
  return blame(scene, run, "the fault is not told of");
}

/* What can be read for all that is not planned: the other test does that. */
static struct bw_run *run_spoilt(const struct scene *scene, const struct random_project *project) {
  struct bw_run *check = bw_check(scene->folder, NULL);
  if (bw_run_status(check) == BW_DONE) return check;
  bw_run_free(check);
  struct bw_options options = options_of(project, scene->out);
  return bw_plan(scene->folder, &options);
}

static int faults_of_spoilt(const struct scene *scene, int *refused) {
  struct random_project *project = random_project(scene->arena, scene->seed);
  struct random_source source = {.state = scene->seed * 16 + 5};
  struct spoilt spoilt = spoil_project(scene->arena, &source, project);
  const char *name = project->files[spoilt.file].name;
  disk_write_project(scene->arena, scene->folder, project);
  disk_write(scene->arena, scene->folder, name, spoilt.bytes);
  disk_remove(scene->arena, scene->out);
  struct bw_run *run = run_spoilt(scene, project);
  int faults = faults_of_spoilt_run(scene, run, name, &spoilt);
  if (faults > 0) fprintf(stderr, "spoilt: %s: %s\n", name, spoilt.what);
  if (bw_run_status(run) == BW_BAD_INPUT) ++*refused;
  bw_run_free(run);
  return faults;
}

/* ---- all of them ---- */

static uint64_t setting(const char *name, uint64_t usual) {
  const char *text = getenv(name);
  return text == NULL || *text == '\0' ? usual : strtoull(text, NULL, 10);
}

/* Tries one seed in an arena of its own. */
static int try_one(const char *scratch, uint64_t seed,
                   int (*faults_of)(const struct scene *scene, int *counted), int *counted) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  volatile int faults = 1;
  if (ARENA_TRY(arena) == STATUS_OK) {
    struct scene scene = {arena, seed, disk_path(arena, scratch, "project"),
                          disk_path(arena, scratch, "out"), disk_path(arena, scratch, "again")};
    faults = faults_of(&scene, counted);
  }
  arena_destroy(arena);
  return faults;
}

static void try_all(uint64_t runs, uint64_t least_counted,
                    int (*faults_of)(const struct scene *scene, int *counted)) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  const char *scratch = disk_scratch(arena);
  uint64_t first = setting("BLANKWRIGHT_SEED", 0);
  int counted = 0, faulty = 0;
  for (uint64_t run = 0; run < runs; run++)
    if (try_one(scratch, first + run, faults_of, &counted) > 0) faulty++;
  disk_remove(arena, scratch);
  arena_destroy(arena);
  print_message("%d of %" PRIu64 "\n", counted, runs);
  assert_int_equal(faulty, 0);
  assert_true((uint64_t)counted >= least_counted);
}

/* Most projects have a plan, or the test would look at nothing. */
static void test_every_plan_passes_the_check(void **state) {
  (void)state;
  uint64_t runs = setting("BLANKWRIGHT_RUNS", USUAL_RUNS);
  try_all(runs, runs < 100 ? 0 : runs / 2, faults_of_run);
}

static void test_spoilt_projects_are_told_of(void **state) {
  (void)state;
  uint64_t runs = setting("BLANKWRIGHT_RUNS", USUAL_RUNS) * SPOILT_PER_RUN;
  try_all(runs, runs < 100 ? 0 : runs / 2, faults_of_spoilt);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_spoilt_projects_are_told_of),
      cmocka_unit_test(test_every_plan_passes_the_check),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
