/* Loads of the demonstration projects: what is listed can be held, and nothing of it is beaten. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "hold/blank_loads.h"
#include "hold/catalogue.h"
#include "hold/finish.h"
#include "read/read.h"
#include "size/size.h"
#include "unit/project_folder.h"

#ifndef SOURCE_ROOT
#define SOURCE_ROOT "."
#endif

struct bench {
  struct arena *arena;
  struct diagnostics *diagnostics;
  struct project *project;
  struct blanks blanks;
};

static void open_project(struct bench *bench, const char *folder, int64_t sets) {
  bench->arena = arena_create();
  assert_non_null(bench->arena);
  bench->diagnostics = diagnostics_create(bench->arena);
  assert_int_equal(read_project(bench->arena, folder, bench->diagnostics, &bench->project),
                   STATUS_OK);
  size_blanks(bench->arena, bench->project, bench->diagnostics, &bench->blanks);
  int64_t *needed = project_needed_of_each(bench->arena, bench->project, sets);
  catalogue_add_loads(bench->arena, bench->project, needed, 100, NULL, bench->diagnostics,
                      &bench->blanks);
  blank_loads_add(bench->arena, bench->project, needed, bench->diagnostics, &bench->blanks);
  assert_int_equal(bench->diagnostics->errors, 0);
}

/* The shortest load from a stock that holds so many of a part; SIZE_MAX for none. */
static size_t find_load(const struct bench *bench, const char *part, int64_t count) {
  size_t best = SIZE_MAX;
  for (size_t b = 0; b < bench->blanks.count; b++) {
    const struct blank *blank = &bench->blanks.items[b];
    if (blank->role != ROLE_LOAD) continue;
    size_t p = blank->load->parts[0].part;
    if (load_count(blank->load, p) != count) continue;
    if (strcmp(bench->project->parts[p].name, part) != 0) continue;
    if (best == SIZE_MAX || blank->length < bench->blanks.items[best].length) best = b;
  }
  return best;
}

static void check_inside(const struct load *load, const struct shop *shop) {
  length_t edge = load->cutter_diameter + shop->rim;
  for (size_t i = 0; i < load->part_count; i++) {
    const struct held_part *part = &load->parts[i];
    assert_true(part->x >= edge && part->y >= edge);
    assert_true(part->x + part->length + edge <= load->length);
    assert_true(part->y + part->width + edge <= load->width);
    for (size_t j = 0; j < i; j++) {
      const struct held_part *other = &load->parts[j];
      length_t x = part->x > other->x ? part->x - other->x - other->length
                                      : other->x - part->x - part->length;
      length_t y =
          part->y > other->y ? part->y - other->y - other->width : other->y - part->y - part->width;
      assert_true(x >= load->part_gap || y >= load->part_gap);
    }
  }
}

/* By hand six rounds of 88 take 330 x 210 with the clamps outside their rows (288 + 2 x 21, 188 +
 * 2 x 11); with clamps between the rounds they take no more. */
static void six_rounds_lie_in_one_load(void **state) {
  struct bench bench = {0};
  (void)state;
  open_project(&bench, SOURCE_ROOT "/boards/coasters", 16);
  size_t six = find_load(&bench, "coaster", 6);
  assert_true(six != SIZE_MAX);
  const struct blank *blank = &bench.blanks.items[six];
  assert_true(blank->length <= MM(330));
  assert_true(blank->width <= MM(214));
  assert_true(blank->length >= MM(310)); /* 288 and the rims */
  assert_true(blank->load->clamp_count >= 4 && blank->load->clamp_count <= 6);
  assert_true(find_load(&bench, "coaster", 7) == SIZE_MAX);
  check_inside(blank->load, &bench.project->shop);
  arena_destroy(bench.arena);
}

/* By hand two lids and four spacers take 268 x 114. */
static void lids_and_spacers_share_loads(void **state) {
  struct bench bench = {0};
  bool found = false;
  (void)state;
  open_project(&bench, SOURCE_ROOT "/boards/cribbage", 24);
  for (size_t b = 0; b < bench.blanks.count; b++) {
    const struct blank *blank = &bench.blanks.items[b];
    assert_non_null(blank->load);
    check_inside(blank->load, &bench.project->shop);
    if (blank->role != ROLE_LOAD) continue;
    assert_int_equal(blank->load->clampings, 1);
    found = found || (load_count(blank->load, 1) >= 2 && load_count(blank->load, 2) >= 4 &&
                      blank->length <= MM(268) && blank->width <= MM(114));
  }
  assert_true(found);
  arena_destroy(bench.arena);
}

static void no_load_is_beaten_by_another(void **state) {
  struct bench bench = {0};
  (void)state;
  open_project(&bench, SOURCE_ROOT "/boards/cribbage", 24);
  for (size_t a = 0; a < bench.blanks.count; a++)
    for (size_t b = 0; b < bench.blanks.count; b++) {
      const struct blank *one = &bench.blanks.items[a], *other = &bench.blanks.items[b];
      if (one->role != ROLE_LOAD || other->role != ROLE_LOAD || one->load == other->load ||
          one->stock != other->stock)
        continue;
      /* a narrower one may take one cut more */
      bool beats = other->length <= one->length && other->width == one->width;
      for (size_t p = 0; p < bench.project->part_count; p++)
        beats = beats && load_count(other->load, p) >= load_count(one->load, p);
      assert_false(beats);
    }
  arena_destroy(bench.arena);
}

/* No load takes less stock for its parts than their shares: what the bound rests on. */
static void shares_hold_of_every_load(void **state) {
  static const char *const folders[] = {SOURCE_ROOT "/boards/coasters",
                                        SOURCE_ROOT "/boards/cribbage"};
  (void)state;
  for (size_t f = 0; f < 2; f++) {
    struct bench bench = {0};
    open_project(&bench, folders[f], 24);
    const struct shop *shop = &bench.project->shop;
    for (size_t b = 0; b < bench.blanks.count; b++) {
      const struct blank *blank = &bench.blanks.items[b];
      if (blank->role != ROLE_LOAD) continue;
      double taken =
          (double)(blank->length + shop->kerf_crosscut) * (double)(blank->width + shop->kerf_rip);
      double least = 0;
      int64_t filled = 0;
      for (size_t p = 0; p < bench.project->part_count; p++) {
        int64_t count = load_count(blank->load, p);
        least += (double)count * (double)bench.blanks.shares[p].area;
        filled += count * bench.blanks.shares[p].millionths;
      }
      assert_true(least > 0 && least <= taken);
      assert_true(filled <= 1000000);
      assert_true(blank->load->handling >= bench.blanks.least_handling);
    }
    arena_destroy(bench.arena);
  }
}

/* A lid is faced by a wide cutter, a clip is not: loads of clips alone are found with the reach of
 * both, which is told of them too. */
static const char *const clips[][2] = {
    {"parts.csv",
     "part,per_set,length,width,thickness,wood,grain,way,faced\n"
     "lid,1,138,34,5,maple,along,gang,one\nclip,3,40,20,5,maple,any,gang,one\n"},
    {"rack.csv", NULL},
    {"yard.csv",
     "stock,kind,wood,length,width,thickness,price,per,trim_ends,trim_edges\n"
     "Y,plank,maple,1200,120,7,15,each,20,3\n"},
    {"clamps.csv",
     "clamp,kind,count,width,over,beside,height,height_from,min_stock,force\n"
     "hold-down,hold-down,6,25,15,25,12,stock,3,300\n"},
    {"cutters.csv",
     "cutter,diameter,flute_length,feed,stepdown,stickout,nut_diameter\n"
     "flat6,6,25,900,2,36,20\nface16,16,8,1500,1,25,20\n"},
};

/* Every load there is, from a stock that yields it. */
static void use_all_loads(struct arena *arena, const struct blanks *blanks, struct plan *plan) {
  for (size_t b = 0; b < blanks->count; b++) {
    const struct blank *blank = &blanks->items[b];
    if (blank->role != ROLE_LOAD) continue;
    struct layout *layout = ARENA_PUSH(arena, plan->layouts, plan->layout_count, plan->layout_room);
    *layout = (struct layout){.stock = blank->stock, .first_copy = 1, .times = 1};
    layout->root = (struct node){
        .kind = NODE_PIECE, .length = blank->length, .width = blank->width, .blank = b};
  }
}

static bool meets_a_path(const struct load *load, const struct held_clamp *clamp) {
  for (size_t i = 0; i < load->part_count; i++) {
    const struct held_part *part = &load->parts[i];
    length_t clear = clamp->keep_out + load->reach;
    if (part->x - clear < clamp->x + clamp->length && clamp->x - clear < part->x + part->length &&
        part->y - clear < clamp->y + clamp->width && clamp->y - clear < part->y + part->width)
      return true;
  }
  return false;
}

/* The loads of the clips, finished, lids worked as the steps say. */
static void finish_clips(struct scene *scene, const char *steps, struct blanks *blanks) {
  struct plan plan = {.sets = 24};
  scene_open(scene);
  for (size_t f = 0; f < sizeof clips / sizeof clips[0]; f++)
    scene_file(scene, clips[f][0], clips[f][1]);
  scene_file(scene, "steps.csv", steps);
  scene_read(scene);
  scene_expect_fine(scene);
  size_blanks(scene->arena, scene->project, scene->diagnostics, blanks);
  plan.needed = project_needed_of_each(scene->arena, scene->project, plan.sets);
  catalogue_add_loads(scene->arena, scene->project, plan.needed, 100, NULL, scene->diagnostics,
                      blanks);
  use_all_loads(scene->arena, blanks, &plan);
  loads_finish(scene->arena, scene->project, blanks, &plan);
}

static void finished_clamps_keep_clear_of_the_reach_told(void **state) {
  struct scene scene;
  struct blanks blanks;
  int checked = 0;
  (void)state;
  finish_clips(&scene, "part,step,cutter,depth\nlid,face,face16,\nlid,profile,flat6,\n", &blanks);
  for (size_t b = 0; b < blanks.count; b++)
    for (size_t c = 0; blanks.items[b].role == ROLE_LOAD && c < blanks.items[b].load->clamp_count;
         c++) {
      assert_false(meets_a_path(blanks.items[b].load, &blanks.items[b].load->clamps[c]));
      checked++;
    }
  assert_true(checked > 20);
  scene_close(&scene);
}

/* Lids are drilled on edge as well: loads with lids are fixed twice, those of clips alone once. */
static void loads_are_fixed_as_often_as_their_parts_ask_for(void **state) {
  struct scene scene;
  struct blanks blanks;
  int with_lids = 0, of_clips = 0;
  (void)state;
  finish_clips(&scene,
               "part,step,cutter,depth,stand\nlid,profile,flat6,,\nlid,pocket,flat6,2,edge\n",
               &blanks);
  for (size_t b = 0; b < blanks.count; b++) {
    const struct load *load = blanks.items[b].load;
    if (blanks.items[b].role != ROLE_LOAD) continue;
    bool lids = load_count(load, 0) > 0;
    assert_int_equal(load->clampings, lids ? 2 : 1);
    assert_int_equal(load->fixing_count, load->clampings);
    assert_true(load->handling >= blanks.least_handling);
    with_lids += lids;
    of_clips += !lids;
  }
  assert_true(with_lids > 0 && of_clips > 0);
  scene_close(&scene);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(six_rounds_lie_in_one_load),
      cmocka_unit_test(lids_and_spacers_share_loads),
      cmocka_unit_test(no_load_is_beaten_by_another),
      cmocka_unit_test(shares_hold_of_every_load),
      cmocka_unit_test(finished_clamps_keep_clear_of_the_reach_told),
      cmocka_unit_test(loads_are_fixed_as_often_as_their_parts_ask_for),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
