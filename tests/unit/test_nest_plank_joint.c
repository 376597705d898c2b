/* Fewest pieces of a yield, told by all views at once, against layouts cut at random: none has
 * fewer; and more than the same views tell one by one. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/random.h"
#include "nest/plank_joint.h"

enum { KINDS = 2, MAKERS = 4, PLANKS = 150, LAYOUTS = 300, MOST = 4, NEVER = 40 };

static uint64_t seed;

static int64_t draw(int64_t low, int64_t high) {
  return low + (int64_t)(random_draw(&seed) >> 33) % (high - low + 1);
}

struct case_of {
  struct arena *arena;
  struct nest_problem problem;
  struct nest_stock stock;
  struct plank plank;
  struct nest_extents sizes[MAKERS][2];
  int64_t counts[MAKERS][KINDS];
  struct plank_maker makers[MAKERS];
  struct count_box box;
  uint16_t *pieces;
};

static const int64_t most[KINDS] = {MOST, MOST};

static void draw_plank(struct case_of *one) {
  one->stock = (struct nest_stock){.length = draw(30, 60), .width = draw(10, 24)};
  one->stock.kerf_crosscut = draw(0, 2);
  one->stock.kerf_rip = draw(0, 2);
  for (size_t m = 0; m < MAKERS; m++) {
    size_t sizes = (size_t)draw(1, 2);
    one->counts[m][0] = draw(0, 2);
    one->counts[m][1] = one->counts[m][0] > 0 ? draw(0, 2) : draw(1, 2);
    for (size_t i = 0; i < sizes; i++)
      one->sizes[m][i] = (struct nest_extents){draw(8, 30), draw(4, 10)};
    one->makers[m] =
        (struct plank_maker){.counts = one->counts[m], .sizes = one->sizes[m], .size_count = sizes};
  }
  one->plank = (struct plank){
      .scratch = one->arena,
      .problem = &one->problem,
      .stock = &one->stock,
      .kinds = KINDS,
      .makers = one->makers,
      .maker_count = MAKERS,
      .extent = {one->stock.length + one->stock.kerf_crosscut,
                 one->stock.width + one->stock.kerf_rip},
  };
}

static void list_pairs(const struct plank *plank, struct plank_pairs *pairs) {
  struct plank_sight along[PLANK_SIGHTS_MOST], across[PLANK_SIGHTS_MOST];
  size_t along_count = plank_sights(plank, 0, along);
  size_t across_count = plank_sights(plank, 1, across);
  pairs->count = 0;
  for (size_t a = 0; a < along_count; a++)
    for (size_t b = 0; b < across_count; b++) {
      if ((a > 3 && b > 3) || pairs->count == PLANK_JOINT_VIEWS_MOST) continue;
      pairs->along[pairs->count] = along[a];
      pairs->across[pairs->count++] = across[b];
    }
}

static uint16_t *raise(const struct case_of *one, const struct plank_pairs *pairs) {
  uint16_t *pieces = ARENA_ARRAY(one->arena, one->box.cells, uint16_t);
  int64_t steps = 100000000;
  for (size_t c = 1; c < one->box.cells; c++) pieces[c] = 1;
  plank_joint_raise(&one->plank, pairs, &one->box, NEVER, &steps, pieces);
  assert_true(steps > 0);
  return pieces;
}

/* What each view tells alone, the most of it. */
static uint16_t *raise_one_by_one(const struct case_of *one, const struct plank_pairs *pairs) {
  uint16_t *pieces = ARENA_ARRAY(one->arena, one->box.cells, uint16_t);
  for (size_t v = 0; v < pairs->count; v++) {
    struct plank_pairs single = {.count = 1};
    single.along[0] = pairs->along[v];
    single.across[0] = pairs->across[v];
    uint16_t *alone = raise(one, &single);
    for (size_t c = 0; c < one->box.cells; c++)
      if (alone[c] > pieces[c]) pieces[c] = alone[c];
  }
  return pieces;
}

/* Cuts pieces off a rest at random, along and across. */
static void cut(const struct case_of *one, length_t length, length_t width, int64_t *made,
                int64_t *pieces) {
  size_t m = (size_t)draw(0, MAKERS - 1);
  const struct nest_extents *size = &one->sizes[m][draw(0, (int64_t)one->makers[m].size_count - 1)];
  if (size->length > length || size->width > width) return;
  for (size_t k = 0; k < KINDS; k++) made[k] += one->counts[m][k];
  ++*pieces;
  bool across = draw(0, 1) == 1;
  length_t right = length - size->length - one->stock.kerf_crosscut;
  length_t above = width - size->width - one->stock.kerf_rip;
  if (right > 0) cut(one, right, across ? width : size->width, made, pieces);
  if (above > 0) cut(one, across ? size->length : length, above, made, pieces);
}

static void test_no_layout_has_fewer_pieces(void **state) {
  (void)state;
  int64_t more = 0, met = 0;
  for (uint64_t p = 1; p <= PLANKS; p++) {
    struct case_of one = {.arena = arena_create()};
    struct plank_pairs pairs;
    seed = p;
    draw_plank(&one);
    assert_true(count_box_open(one.arena, KINDS, most, 1000, &one.box));
    list_pairs(&one.plank, &pairs);
    uint16_t *pieces = raise(&one, &pairs);
    for (int layout = 0; layout < LAYOUTS; layout++) {
      int64_t made[KINDS] = {0}, used = 0;
      cut(&one, one.stock.length, one.stock.width, made, &used);
      size_t cell = count_box_cell(&one.box, made);
      assert_true(pieces[cell] <= used);
      if (cell > 0 && pieces[cell] == used) met++;
    }
    const uint16_t *alone = raise_one_by_one(&one, &pairs);
    for (size_t c = 0; c < one.box.cells; c++) {
      assert_true(pieces[c] >= alone[c]);
      if (pieces[c] > alone[c]) more++;
    }
    arena_destroy(one.arena);
  }
  assert_true(met > PLANKS);
  assert_true(more > 0);
}

static void test_without_steps_nothing_is_raised(void **state) {
  (void)state;
  struct case_of one = {.arena = arena_create()};
  struct plank_pairs pairs;
  int64_t steps = 0;
  seed = 1;
  draw_plank(&one);
  assert_true(count_box_open(one.arena, KINDS, most, 1000, &one.box));
  list_pairs(&one.plank, &pairs);
  uint16_t *pieces = ARENA_ARRAY(one.arena, one.box.cells, uint16_t);
  for (size_t c = 1; c < one.box.cells; c++) pieces[c] = 1;
  plank_joint_raise(&one.plank, &pairs, &one.box, NEVER, &steps, pieces);
  for (size_t c = 1; c < one.box.cells; c++) assert_int_equal(pieces[c], 1);
  arena_destroy(one.arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_no_layout_has_fewer_pieces),
      cmocka_unit_test(test_without_steps_nothing_is_raised),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
