/* Projects with one fault: refused with its file, line and column, all else left as it was. Random
 * projects and those of boards/ are spoilt in every way of project_spoil.h. Of some ways a fault
 * is certain, and where it must be told of is known; those that turn out well are not counted.
 * BLANKWRIGHT_RUNS sets how many are spoilt, in fours; BLANKWRIGHT_SEED is the first.
 */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>

#include "project_demo.h"
#include "project_scene.h"
#include "project_spoil.h"
#include "sanitized.h"

#ifdef SANITIZED
enum { USUAL_RUNS = 24 };
#else
enum { USUAL_RUNS = 240 };
#endif

enum { SPOILT_PER_RUN = 4, RUNS_PER_PRICE = 8 };

/* ---- places ---- */

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

static bool tells_place(const struct bw_run *run, const struct spoilt *spoilt) {
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity == BW_ERROR && names_file(&message, spoilt->name) &&
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
      return scene_blame(scene, run, "a fault is told of at a place that is none");
  }
  return scene_has_error(run, NULL) ? 0 : scene_blame(scene, run, "bad input and no reason");
}

static int faults_of_refusal(const struct scene *scene, const struct bw_run *run,
                             const struct spoilt *spoilt) {
  enum bw_status status = bw_run_status(run);
  if (status == BW_BAD_INPUT && faults_of_places(scene, run) > 0) return 1;
  if (!spoilt->certain) return 0;
  if (status == BW_BAD_INPUT && tells_place(run, spoilt)) return 0;
  fprintf(stderr, "expected a fault at %s:%ld:%ld\n", spoilt->name, spoilt->line, spoilt->column);
  return scene_blame(scene, run, "the fault is not told of");
}

/* ---- nothing written ---- */

/* Every second time there are reports of before. */
static void make_reports(const struct scene *scene) {
  disk_remove(scene->arena, scene->out);
  if (scene->seed % 2 == 0) return;
  struct buffer *bytes = buffer_create(scene->arena);
  buffer_add(bytes, "of before\n");
  disk_write(scene->arena, scene->out, "plan.json", bytes);
}

static int faults_of_reports(const struct scene *scene) {
  if (scene->seed % 2 == 0)
    return disk_has(scene->out) ? scene_blame(scene, NULL, "written all the same") : 0;
  disk_remove(scene->arena, scene->other_out);
  struct buffer *bytes = buffer_create(scene->arena);
  buffer_add(bytes, "of before\n");
  disk_write(scene->arena, scene->other_out, "plan.json", bytes);
  return disk_difference(scene->arena, scene->out, scene->other_out) == NULL
             ? 0
             : scene_blame(scene, NULL, "the reports of before are others");
}

/* ------------------------------------------------------------------------------------- */

static void write_spoilt(const struct scene *scene, const char *folder,
                         const struct random_project *project, const struct spoilt *spoilt) {
  disk_write_project(scene->arena, folder, project);
  if (spoilt->is_folder) {
    disk_remove(scene->arena, disk_path(scene->arena, folder, spoilt->name));
    disk_make_folder(disk_path(scene->arena, folder, spoilt->name));
  } else if (spoilt->bytes != NULL) {
    disk_write(scene->arena, folder, spoilt->name, spoilt->bytes);
  }
}

static int faults_of_call(const struct scene *scene, struct bw_run *run,
                          const struct spoilt *spoilt, bool *refused) {
  int faults = faults_of_refusal(scene, run, spoilt);
  if (faults > 0) fprintf(stderr, "spoilt: %s: %s\n", spoilt->name, spoilt->what);
  *refused = bw_run_status(run) == BW_BAD_INPUT;
  bw_run_free(run);
  return faults;
}

/* What can be read for all that is not planned: the other test does that. */
static void try_spoilt(const struct scene *scene, struct outcome *outcome) {
  struct random_source source = {.state = scene->seed * 16 + 5};
  struct random_project *project =
      random_chance(&source, 1, 3)
          ? demo_project(scene->arena, (size_t)random_between(&source, 0, DEMOS - 1),
                         random_next(&source))
          : random_project(scene->arena, scene->seed);
  struct spoilt spoilt = spoil_project(scene->arena, &source, project);
  write_spoilt(scene, scene->folder, project, &spoilt);
  make_reports(scene);
  outcome->kind = spoilt.kind;
  outcome->faults +=
      faults_of_call(scene, bw_check(scene->folder, NULL), &spoilt, &outcome->counted);
  if (!outcome->counted) return;
  struct bw_options options = {.effort = 1, .out = scene->out, .up_to = 1};
  bool refused = false;
  outcome->faults += faults_of_call(scene, bw_plan(scene->folder, &options), &spoilt, &refused);
  if (!refused) outcome->faults += scene_blame(scene, NULL, "planned, and not fit to be checked");
  if (scene->seed % RUNS_PER_PRICE == 0)
    outcome->faults += faults_of_call(scene, bw_price(scene->folder, &options), &spoilt, &refused);
  if (!refused) outcome->faults += scene_blame(scene, NULL, "priced, and not fit to be checked");
  outcome->faults += faults_of_reports(scene);
  write_spoilt(scene, scene->other_out, project, &spoilt);
  if (!spoilt.is_folder && disk_difference(scene->arena, scene->folder, scene->other_out) != NULL)
    outcome->faults += scene_blame(scene, NULL, "the project is another");
}

/* Each kind is met, and those that are faults for certain are all refused. */
static void test_spoilt_projects_are_refused(void **state) {
  (void)state;
  uint64_t runs = scene_setting("BLANKWRIGHT_RUNS", USUAL_RUNS) * SPOILT_PER_RUN;
  struct tally tally = scene_try_all(runs, try_spoilt);
  scene_tell(&tally);
  for (size_t k = 0; k < spoil_kind_count; k++)
    fprintf(stderr, "%-22s %6" PRIu64 " of %6" PRIu64 " refused\n", spoil_kind_name(k),
            tally.kind_counted[k], tally.kind_tried[k]);
  assert_int_equal(tally.faulty, 0);
  if (runs < 500) return;
  assert_true(tally.counted >= runs / 2);
  for (size_t k = 0; k < spoil_kind_count; k++) assert_true(tally.kind_counted[k] > 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_spoilt_projects_are_refused)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
