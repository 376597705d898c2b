/* Projects at and beyond the limits of model/limits.h: what is beyond is refused by name. With
 * BLANKWRIGHT_LIMITS, since it takes minutes, what is within is planned too: it must end with a
 * checked plan in 1.5 GiB of memory (project_scene.h), also where the search has no hope of coming
 * to its end, and where it is told to stop.
 */
#include <inttypes.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>

#include "model/limits.h"
#include "project_scene.h"
#include "sanitized.h"

#ifdef SANITIZED
enum { KINDS = 40, PLANKS = 150 };
#else
enum { KINDS = 60, PLANKS = 110 };
#endif

/* ---- large projects ---- */

struct size {
  size_t parts, rack, flaws_each, yard;
  int64_t per_set, rack_count, sets;
  const char *way;
  bool all; /* with gluing, resawing, matches, labour, any stages */
};

static struct random_source numbers;

static int64_t between(int64_t low, int64_t high) { return random_between(&numbers, low, high); }

static void write_parts(const struct scene *scene, const struct size *size) {
  struct buffer *text = buffer_create(scene->arena);
  buffer_add(text, "part,per_set,length,width,thickness,wood,way,grain,match\n");
  for (size_t p = 0; p < size->parts; p++)
    buffer_format(text, "p%zu,%" PRId64 ",%" PRId64 ",%" PRId64 ",18,oak,%s,%s,%s\n", p,
                  size->per_set, between(60, 350), between(20, size->all ? 240 : 110), size->way,
                  size->all && p % 3 == 0 ? "any" : "along", size->all && p % 50 < 2 ? "A" : "");
  disk_write(scene->arena, scene->folder, "parts.csv", text);
}

static void write_rack(const struct scene *scene, const struct size *size) {
  struct buffer *text = buffer_create(scene->arena), *flaws = buffer_create(scene->arena);
  buffer_add(text, "stock,kind,wood,length,width,thickness,count,value\n");
  buffer_add(flaws, "stock,x,y,length,width\n");
  for (size_t s = 0; s < size->rack; s++) {
    int64_t length = between(1000, 3000), width = between(130, 300);
    buffer_format(text, "R%zu,plank,oak,%" PRId64 ",%" PRId64 ",%d,%" PRId64 ",%" PRId64 "\n", s,
                  length, width, size->all && s % 4 == 0 ? 45 : 18, size->rack_count,
                  between(5, 60));
    for (size_t f = 0; f < size->flaws_each; f++)
      buffer_format(flaws, "R%zu,%" PRId64 ",%" PRId64 ",%" PRId64 ",%" PRId64 "\n", s,
                    between(0, length - 50), between(0, width - 30), between(10, 60),
                    between(5, 30));
  }
  disk_write(scene->arena, scene->folder, "rack.csv", text);
  if (size->flaws_each > 0) disk_write(scene->arena, scene->folder, "flaws.csv", flaws);
}

static void write_yard(const struct scene *scene, const struct size *size) {
  struct buffer *text = buffer_create(scene->arena);
  buffer_add(text, "stock,kind,wood,length,width,thickness,price,per\n");
  for (size_t s = 0; s < size->yard; s++)
    buffer_format(text, "Y%zu,plank,oak,%zu,300,18,55,each\n", s, 3000 + s);
  disk_write(scene->arena, scene->folder, "yard.csv", text);
}

static void write_shop(const struct scene *scene, const struct size *size) {
  struct buffer *text = buffer_create(scene->arena);
  buffer_format(text, "setting,value\nsets,%" PRId64 "\n", size->sets);
  if (size->all)
    buffer_add(text, "glue_up,yes\nresaw,yes\nlabour_rate,30\nsaw_stages,3\nspoilage,5 %\n");
  disk_write(scene->arena, scene->folder, "shop.csv", text);
}

static void write_project(const struct scene *scene, struct size size) {
  numbers.state = 20240501;
  if (size.way == NULL) size.way = "saw";
  if (size.per_set == 0) size.per_set = 1;
  if (size.rack_count == 0) size.rack_count = 1;
  if (size.sets == 0) size.sets = 1;
  disk_remove(scene->arena, scene->folder);
  disk_make_folder(scene->folder);
  write_parts(scene, &size);
  if (size.rack > 0) write_rack(scene, &size);
  if (size.yard > 0) write_yard(scene, &size);
  write_shop(scene, &size);
}

/* ---- beyond ---- */

struct beyond {
  struct size size;
  enum bw_status status;
  const char *file; /* a fault in its last line; NULL: at no row that is known beforehand */
  long line;
  const char *text;
};

static const struct beyond beyond[] = {
    {{.parts = LIMIT_PARTS + 1, .yard = 1},
     BW_BAD_INPUT,
     "parts.csv",
     LIMIT_PARTS + 2,
     "more than 50000 rows"},
    {{.parts = 1, .rack = LIMIT_STOCKS + 1},
     BW_BAD_INPUT,
     "rack.csv",
     LIMIT_STOCKS + 2,
     "more than 5000 rows"},
    {{.parts = 1, .yard = LIMIT_STOCKS + 1},
     BW_BAD_INPUT,
     "yard.csv",
     LIMIT_STOCKS + 2,
     "more than 5000 rows"},
    {{.parts = 1, .rack = LIMIT_STOCKS, .flaws_each = 5},
     BW_BAD_INPUT,
     "flaws.csv",
     LIMIT_FLAWS + 2,
     "more than 20000 rows"},
    {{.parts = 2, .yard = 1, .sets = LIMIT_PIECES / 2 + 1},
     BW_BAD_INPUT,
     NULL,
     0,
     "50001 sets have more than 100000 parts"},
    {{.parts = 400, .rack = LIMIT_STOCKS}, BW_NO_PLAN, NULL, 0, "more than 1000000 choices"},
    {{.parts = LIMIT_GANG + 1, .yard = 1, .way = "gang"},
     BW_NO_PLAN,
     NULL,
     0,
     "more than 500 parts of way gang"}};

enum { BEYOND = sizeof beyond / sizeof *beyond };

static bool tells(const struct scene *scene, const struct bw_run *run, const struct beyond *case_) {
  const char *file =
      case_->file == NULL ? NULL : disk_path(scene->arena, scene->folder, case_->file);
  for (size_t i = 0; i < bw_run_message_count(run); i++) {
    struct bw_message message = bw_run_message(run, i);
    if (message.severity != BW_ERROR || strstr(message.text, case_->text) == NULL) continue;
    if (file == NULL) return true;
    if (message.file != NULL && strcmp(message.file, file) == 0 && message.line == case_->line)
      return true;
  }
  return false;
}

static void try_beyond(const struct scene *scene, struct outcome *outcome) {
  const struct beyond *case_ = &beyond[scene->seed];
  write_project(scene, case_->size);
  struct bw_options options = {.effort = 1, .threads = 1, .out = scene->out};
  struct bw_run *run = bw_plan(scene->folder, &options);
  if (bw_run_status(run) != case_->status || !tells(scene, run, case_) || disk_has(scene->out)) {
    fprintf(stderr, "status %d, expected %d: %s\n", (int)bw_run_status(run), (int)case_->status,
            case_->text);
    outcome->faults++;
  }
  bw_run_free(run);
}

static void test_what_is_beyond_is_refused_by_name(void **state) {
  (void)state;
  for (uint64_t c = 0; c < BEYOND; c++) assert_int_equal(scene_try(c, try_beyond).faults, 0);
}

/* ---- within ---- */

static int faults_of_plan(const struct scene *scene, const struct bw_run *run, const char *what) {
  if (bw_run_status(run) != BW_DONE) return scene_blame(scene, run, what);
  struct bw_run *proof = bw_proof(disk_path(scene->arena, scene->out, "plan.json"));
  int faults =
      bw_run_status(proof) == BW_DONE ? 0 : scene_blame(scene, proof, "refused by the check");
  bw_run_free(proof);
  return faults;
}

static void count_progress(void *data, const struct bw_progress *progress) {
  int64_t *most = data;
  if (progress->steps > *most) *most = progress->steps;
}

/* More kinds of parts than are solved at once, and every way to make them. */
static void try_hopeless(const struct scene *scene, struct outcome *outcome) {
  write_project(
      scene,
      (struct size){
          .parts = KINDS, .rack = PLANKS, .flaws_each = 2, .yard = 2, .per_set = 2, .all = true});
  int64_t steps = 0;
  struct bw_options options = {.effort = 1,
                               .threads = 1,
                               .out = scene->out,
                               .progress = count_progress,
                               .progress_data = &steps};
  struct bw_run *run = bw_plan(scene->folder, &options);
  outcome->faults += faults_of_plan(scene, run, "no plan of very many kinds");
  bw_run_free(run);
  if (steps <= 0) outcome->faults += scene_blame(scene, NULL, "planned in silence");
  options.threads = 3;
  options.out = scene->other_out;
  bw_run_free(bw_plan(scene->folder, &options));
  if (disk_difference(scene->arena, scene->out, scene->other_out) != NULL)
    outcome->faults += scene_blame(scene, NULL, "by three threads the files are others");
}

static bool stop_soon(void *data) {
  atomic_int *asked = data;
  return atomic_fetch_add(asked, 1) > 50;
}

static void try_stopped(const struct scene *scene, struct outcome *outcome) {
  write_project(
      scene,
      (struct size){.parts = KINDS, .rack = PLANKS, .flaws_each = 2, .yard = 2, .all = true});
  atomic_int asked = 0;
  struct bw_options options = {
      .threads = 2, .out = scene->out, .stop = stop_soon, .stop_data = &asked};
  struct bw_run *run = bw_plan(scene->folder, &options);
  outcome->faults += faults_of_plan(scene, run, "no plan when told to stop");
  if (strstr(bw_run_text(run), "nterrupted") == NULL)
    outcome->faults += scene_blame(scene, run, "does not say that it was interrupted");
  bw_run_free(run);
}

static void test_very_many_kinds_are_planned(void **state) {
  (void)state;
  if (scene_setting("BLANKWRIGHT_LIMITS", 0) == 0) skip();
  assert_int_equal(scene_try(0, try_hopeless).faults, 0);
}

static void test_a_stop_gives_a_plan_of_very_many_kinds(void **state) {
  (void)state;
  if (scene_setting("BLANKWRIGHT_LIMITS", 0) == 0) skip();
  assert_int_equal(scene_try(0, try_stopped).faults, 0);
}

/* ---- as large as can be ---- */

/* More rows of parts than that have too many choices among so many planks. */
enum { PARTS_LARGE = 10000 };

static const struct size largest[] = {
    {.parts = PARTS_LARGE, .rack = 90, .rack_count = 60, .yard = 2},
    {.parts = 10, .rack = LIMIT_STOCKS, .flaws_each = 4, .per_set = 50, .yard = 2},
    {.parts = 10,
     .per_set = 100,
     .sets = LIMIT_PIECES / 1000,
     .rack = 20,
     .rack_count = 5,
     .yard = 2},
    {.parts = 200, .sets = 450, .rack = 300, .flaws_each = 3, .yard = 2, .all = true}};

static void try_largest(const struct scene *scene, struct outcome *outcome) {
  write_project(scene, largest[scene->seed]);
  struct bw_options options = {.effort = 1, .out = scene->out};
  if (largest[scene->seed].all) options.sets = 0;
  struct bw_run *run = bw_plan(scene->folder, &options);
  outcome->faults += faults_of_plan(scene, run, "no plan at the limit");
  bw_run_free(run);
}

static void test_the_largest_are_planned(void **state) {
  (void)state;
  if (scene_setting("BLANKWRIGHT_LIMITS", 0) == 0) skip();
  for (uint64_t c = 0; c < sizeof largest / sizeof *largest; c++) {
    struct outcome outcome = scene_try(c, try_largest);
    fprintf(stderr, "largest %" PRIu64 ": %.1f s, %ld MiB\n", c, outcome.seconds,
            outcome.peak / 1024);
    assert_int_equal(outcome.faults, 0);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_is_beyond_is_refused_by_name),
      cmocka_unit_test(test_very_many_kinds_are_planned),
      cmocka_unit_test(test_a_stop_gives_a_plan_of_very_many_kinds),
      cmocka_unit_test(test_the_largest_are_planned),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
