/* Bounds and plans of all quantities at once, on random projects of parts that share loads: no
 * plan that is searched costs less than the bound, no plan of the tables less than the bound of
 * the search over the same loads, and each of their plans passes the independent check. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdlib.h>
/* cmocka wants the above first */
#include <cmocka.h>
#include <string.h>

#include "cost/run.h"
#include "hold/finish.h"
#include "nest/plan_run.h"
#include "nest/quantities.h"
#include "nest/setup.h"
#include "pipeline_work.h"
#include "project_disk.h"
#include "random_problem.h"
#include "saw/saw.h"
#include "write/view.h"

enum { PROJECTS = 8 };

static const struct what_if as_it_is = {NULL, NULL, false};

struct tally {
  int told, complete, proved, checked, loads;
};

/* ---- projects ---- */

static const char *pick(struct random_source *source, const char *const *words, int64_t count) {
  return words[random_between(source, 0, count - 1)];
}

static long draw(struct random_source *source, int64_t low, int64_t high) {
  return (long)random_between(source, low, high);
}

static void write_parts(struct arena *arena, struct random_source *source, const char *folder,
                        long thickness) {
  static const char *const grains[] = {"along", "along", "any", "across"};
  static const char *const holds[] = {"auto", "auto", "ends", "sides"};
  struct buffer *text = buffer_create(arena);
  buffer_add(text, "part,per_set,length,width,thickness,wood,grain,way,shape,hold\n");
  long kinds = draw(source, 1, 3);
  for (long k = 0; k < kinds; k++) {
    bool is_round = random_chance(source, 1, 4);
    long length = draw(source, 20, 140);
    buffer_format(text, "part %ld,%ld,%ld,%ld,%ld,maple,%s,gang,%s,%s\n", k, draw(source, 1, 4),
                  length, is_round ? length : draw(source, 14, 90), thickness,
                  pick(source, grains, 4), is_round ? "round" : "rectangle",
                  pick(source, holds, 4));
  }
  if (random_chance(source, 1, 3))
    buffer_format(text, "rail,%ld,%ld,%ld,%ld,maple,along,saw,rectangle,auto\n", draw(source, 1, 2),
                  draw(source, 100, 300), draw(source, 30, 90), thickness);
  disk_write(arena, folder, "parts.csv", text);
}

static void write_stocks(struct arena *arena, struct random_source *source, const char *folder,
                         long thickness) {
  struct buffer *text = buffer_create(arena);
  buffer_add(text, "stock,kind,wood,length,width,thickness,count,price,per\n");
  long rows = draw(source, 1, 3);
  for (long s = 0; s < rows; s++) {
    buffer_format(text, "Y%ld,plank,maple,%ld,%ld,%ld,", s, draw(source, 400, 1600),
                  draw(source, 90, 240), thickness + (s == 0 ? 0 : draw(source, 0, 2)));
    if (s > 0 && random_chance(source, 1, 3)) buffer_add(text, "2");
    buffer_format(text, ",%ld,each\n", draw(source, 5, 40));
  }
  disk_write(arena, folder, "yard.csv", text);
}

static void write_shop(struct arena *arena, struct random_source *source, const char *folder) {
  static const char *const marks[] = {"0.5", "1", "2"};
  static const char *const rates[] = {"0", "10", "24", "60", "200"};
  static const char *const pitches[] = {"0", "0", "10", "25"};
  struct buffer *text = buffer_create(arena);
  buffer_format(text, "setting,value\nlabour_rate,%s\nsetup_min,%ld\n", pick(source, rates, 5),
                draw(source, 2, 8));
  buffer_format(text, "mark_step,%s\nbed_pitch,%s\n", pick(source, marks, 3),
                pick(source, pitches, 4));
  disk_write(arena, folder, "shop.csv", text);
  text = buffer_create(arena);
  buffer_format(
      text, "clamp,kind,count,width,over,beside,height\nhold-down,hold-down,%ld,%ld,%ld,20,12\n",
      draw(source, 4, 9), draw(source, 20, 40), draw(source, 10, 20));
  disk_write(arena, folder, "clamps.csv", text);
}

static const char *write_project(struct arena *arena, uint64_t seed) {
  struct random_source source = {seed};
  const char *folder = disk_scratch(arena);
  long thickness = draw(&source, 5, 10);
  write_parts(arena, &source, folder, thickness);
  write_stocks(arena, &source, folder, thickness);
  write_shop(arena, &source, folder);
  return folder;
}

/* ---- loads that were found, and what loads come to at least ---- */

static bool is_matched(const struct blank *blank, const struct least_load *least) {
  for (size_t i = 0; i < least->part_count; i++)
    if (load_count(blank->load, least->parts[i]) > least->counts[i]) return false;
  for (size_t i = 0; i < least->size_count; i++) {
    const struct least_size *size = &least->sizes[i];
    if (blank->length >= size->length && blank->width >= size->width) return true;
    if (least->any_way && blank->width >= size->length && blank->length >= size->width) return true;
  }
  return false;
}

/* Some are at hand that only another stock is wide enough for. */
static bool lies_in_stock(const struct project *project, const struct blank *blank) {
  const struct stock *stock = &project->stocks[blank->stock];
  length_t length = stock->length - 2 * stock->trim_ends;
  length_t width = stock->width - 2 * stock->trim_edges;
  return (blank->may_lie_straight && blank->length <= length && blank->width <= width) ||
         (blank->may_lie_turned && blank->width <= length && blank->length <= width);
}

/* What the bound for any loads rests on holds of those that were found. Returns how many. */
static int check_least(const struct work *work, uint64_t seed) {
  const struct blanks *blanks = &work->blanks;
  int found = 0;
  for (size_t b = 0; b < blanks->count && blanks->least_count > 0; b++) {
    if (blanks->items[b].role != ROLE_LOAD || !lies_in_stock(work->project, &blanks->items[b]))
      continue;
    bool matched = false;
    for (size_t l = 0; l < blanks->least_count && !matched; l++)
      matched = is_matched(&blanks->items[b], &blanks->least[l]);
    if (!matched)
      fail_msg("project %llu: a load is smaller than any can be", (unsigned long long)seed);
    found++;
  }
  return found;
}

/* ---- one number of sets ---- */

static struct materials materials_of(const struct work *work, int64_t sets) {
  const struct project *project = work->project;
  int64_t *needed = project_needed_of_each(work->arena, project, sets);
  struct materials materials =
      setup_materials(work->arena, project, &work->blanks, needed, false, false);
  for (size_t m = 0; m < materials.count; m++)
    setup_rules(project, &materials.items[m], SAFETY_STRICT);
  return materials;
}

static void compare(struct work *work, const struct quantities *quantities, uint64_t seed,
                    const struct nest_problem *problem, struct tally *tally) {
  struct nest_options options = {.effort = 10000};
  struct nest_answer searched;
  struct nest_answer known;
  bool planned = quantities_answer(quantities, work->arena, problem, &known);
  nest_solve(work->arena, problem, &options, &searched);
  tally->told++;
  if (searched.complete && searched.cost < known.bound)
    fail_msg("project %llu: a plan of %lld lies under the bound of %lld", (unsigned long long)seed,
             (long long)searched.cost, (long long)known.bound);
  if (!planned) return;
  tally->complete++;
  tally->proved += known.cost == known.bound;
  assert_true(known.cost >= known.bound);
  if (searched.complete && known.cost < searched.listed_bound)
    fail_msg("project %llu: a plan of %lld, though the search says none is under %lld",
             (unsigned long long)seed, (long long)known.cost, (long long)searched.listed_bound);
}

/* Tabs are cleaned off the parts that are made, not off those that the last loads go without. */
static void compare_tabs(struct work *work, uint64_t seed, int64_t sets) {
  const struct view *view = view_create(work->arena, work->project, &work->blanks, &work->plan);
  int64_t tabs = 0;
  for (size_t l = 0; l < view->load_count; l++)
    for (size_t i = 0; i < view->loads[l].made_count; i++)
      tabs += (int64_t)view->loads[l].made[i].held->tab_count;
  int64_t minutes = tabs * work->project->shop.tab_clean_min;
  if (work->plan.time.tab_cleaning != minutes)
    fail_msg("project %llu: %lld sets are to take %lld to clean off %lld tabs",
             (unsigned long long)seed, (long long)sets, (long long)work->plan.time.tab_cleaning,
             (long long)tabs);
}

/* As `price` plans it: what the tables know stands. */
static void check_plan(struct work *work, const struct nest_known *known, uint64_t seed,
                       int64_t sets, struct tally *tally) {
  struct nest_run_options run = {.sets = sets, .effort = 4, .known = known, .threads = 1};
  struct buffer *json = NULL;
  const char *checked = NULL;
  memset(&work->plan, 0, sizeof work->plan);
  if (nest_run(work->arena, work->project, &work->blanks, &run, work->diagnostics, &work->plan) !=
      STATUS_OK)
    return;
  loads_finish(work->arena, work->project, &work->blanks, &work->plan);
  saw_order(work->arena, work->project, &work->plan);
  run_time_add(work->arena, work->project, &work->blanks, &work->plan);
  if (work_prove(work, NULL, &json, &checked) != STATUS_OK)
    fail_msg("project %llu: the plan of %lld sets is refused: %s", (unsigned long long)seed,
             (long long)sets, work->diagnostics->items[work->diagnostics->count - 1].text);
  compare_tabs(work, seed, sets);
  tally->checked++;
}

static void try_project(uint64_t seed, struct tally *tally) {
  struct arena *arena = arena_create();
  struct random_source source = {seed + 1000};
  const char *folder = write_project(arena, seed);
  struct work work = {.arena = arena, .diagnostics = diagnostics_create(arena)};
  int64_t most = random_between(&source, 2, 8);
  if (work_read(&work, folder, &as_it_is) == STATUS_OK && work_hold(&work, most, 20) == STATUS_OK) {
    tally->loads += check_least(&work, seed);
    struct materials whole = materials_of(&work, most);
    const struct nest_known *known = nest_know(arena, work.project, &work.blanks, most, 20);
    for (int64_t sets = 1; sets <= most; sets += 1 + most / 3) {
      struct materials part = materials_of(&work, sets);
      for (size_t m = 0; m < part.count && part.count == whole.count; m++) {
        const struct quantities *quantities =
            quantities_solve(arena, &whole.items[m].problem, 20, true);
        if (quantities != NULL) compare(&work, quantities, seed, &part.items[m].problem, tally);
      }
      check_plan(&work, known, seed, sets, tally);
    }
  }
  disk_remove(arena, folder);
  arena_destroy(arena);
}

static void no_plan_lies_under_a_bound(void **state) {
  (void)state;
  struct tally tally = {0};
  const char *runs = getenv("BLANKWRIGHT_RUNS");
  long projects = runs == NULL ? PROJECTS : strtol(runs, NULL, 10);
  for (long seed = 1; seed <= projects; seed++) try_project((uint64_t)seed, &tally);
  try_project(31, &tally); /* had a load with nothing left in it */
  print_message("%d quantities told, %d with a plan, %d proved; %d plans checked\n", tally.told,
                tally.complete, tally.proved, tally.checked);
  assert_true(tally.told >= projects);
  assert_true(tally.complete >= tally.told / 4);
  assert_true(tally.checked >= projects);
  assert_true(tally.loads >= projects);
}

static void loads_of_the_boards_are_no_smaller(void **state) {
  static const char *const folders[] = {SOURCE_ROOT "/boards/coasters",
                                        SOURCE_ROOT "/boards/cribbage"};
  (void)state;
  for (size_t f = 0; f < 2; f++) {
    struct arena *arena = arena_create();
    struct work work = {.arena = arena, .diagnostics = diagnostics_create(arena)};
    assert_int_equal(work_read(&work, folders[f], &as_it_is), STATUS_OK);
    assert_int_equal(work_hold(&work, 24, 100), STATUS_OK);
    assert_true(check_least(&work, f) > 0);
    arena_destroy(arena);
  }
}

/* Of 1 to 200 sets of the board with loads the tables alone prove nearly all. */
static void nearly_all_quantities_are_proved(void **state) {
  (void)state;
  enum { SETS = 200, PROVED = 190 };
  struct arena *arena = arena_create();
  struct work work = {.arena = arena, .diagnostics = diagnostics_create(arena)};
  assert_int_equal(work_read(&work, SOURCE_ROOT "/boards/cribbage", &as_it_is), STATUS_OK);
  assert_int_equal(work_hold(&work, SETS, 100), STATUS_OK);
  struct materials whole = materials_of(&work, SETS);
  const struct quantities *loads = NULL;
  size_t number = 0;
  for (size_t m = 0; m < whole.count; m++) {
    if (whole.items[m].problem.loads == NULL) continue;
    number = m;
    loads = quantities_solve(arena, &whole.items[m].problem, 100, true);
  }
  assert_non_null(loads);
  int proved = 0;
  for (int64_t sets = 1; sets <= SETS; sets++) {
    struct materials part = materials_of(&work, sets);
    struct nest_answer known;
    assert_int_equal(part.count, whole.count);
    if (quantities_answer(loads, arena, &part.items[number].problem, &known))
      proved += known.cost == known.bound;
  }
  print_message("%d of %d quantities proved\n", proved, SETS);
  assert_true(proved >= PROVED);
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(no_plan_lies_under_a_bound),
                                     cmocka_unit_test(loads_of_the_boards_are_no_smaller),
                                     cmocka_unit_test(nearly_all_quantities_are_proved)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
