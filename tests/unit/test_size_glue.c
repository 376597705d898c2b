/* Strips for blanks wider than a plank, and leaves of thick planks, by hand arithmetic. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "size/glue.h"
#include "size/leaves.h"
#include "size/size.h"

enum { MOST = 4 };

struct bench {
  struct arena *arena;
  struct project project;
  struct part parts[MOST];
  struct stock stocks[MOST];
  struct diagnostics *diagnostics;
  struct blanks blanks;
};

static struct bench bench;

static int set_up(void **state) {
  (void)state;
  memset(&bench, 0, sizeof bench);
  bench.arena = arena_create();
  bench.project.parts = bench.parts;
  bench.project.stocks = bench.stocks;
  shop_set_defaults(bench.arena, &bench.project.shop, UNIT_MM);
  bench.project.shop.saw_allowance = 0;
  bench.project.shop.mark_step = MM(1) / 2;
  bench.project.shop.glue_per_edge = MM(1);
  bench.project.shop.rip_min_width = MM(20);
  bench.project.shop.resaw_kerf = MM(3) / 2;
  bench.project.shop.resaw_clean = MM(3) / 2;
  bench.project.shop.resaw_max_height = MM(150);
  bench.diagnostics = diagnostics_create(bench.arena);
  return 0;
}

static int tear_down(void **state) {
  (void)state;
  arena_destroy(bench.arena);
  return 0;
}

/* Sawn, of any wood, its grain along. */
static struct part *add_part(length_t length, length_t width, length_t thickness) {
  struct part *part = &bench.parts[bench.project.part_count++];
  *part = (struct part){.name = "piece",
                        .per_set = 1,
                        .length = length,
                        .width = width,
                        .thickness = thickness,
                        .way = WAY_SAW,
                        .tabs = -1,
                        .fit = -1};
  return part;
}

/* A plank without trims. */
static struct stock *add_plank(const char *name, length_t width, length_t thickness) {
  struct stock *stock = &bench.stocks[bench.project.stock_count++];
  *stock = (struct stock){.name = name,
                          .wood = "walnut",
                          .length = MM(1830),
                          .width = width,
                          .thickness = thickness,
                          .count = 1,
                          .pack = 1};
  return stock;
}

static void size(void) {
  size_blanks(bench.arena, &bench.project, bench.diagnostics, &bench.blanks);
}

/* ---- strips ---- */

/* The only strips of so many that a stock offers, or NULL. */
static const struct blank *strip_of(size_t stock, int64_t strips) {
  const struct blank *found = NULL;
  for (size_t i = 0; i < bench.blanks.count; i++) {
    const struct blank *blank = &bench.blanks.items[i];
    if (blank->stock != stock || blank->strips != strips) continue;
    assert_null(found);
    found = blank;
  }
  return found;
}

static void test_wide_blanks_from_strips(void **state) {
  (void)state;
  add_part(MM(400), MM(300), MM(12));
  add_plank("narrow", MM(160), MM(12));
  add_plank("wide", MM(320), MM(12));
  add_plank("other", MM(320), MM(12) + 8);
  bench.project.shop.glue_up = 1;
  size();
  /* two strips and the millimetre off each face of one joint: 302 / 2; three: 304 / 3 */
  const struct blank *two = strip_of(0, 2);
  assert_non_null(two);
  assert_int_equal(two->length, MM(400));
  assert_int_equal(two->width, MM(151));
  assert_int_equal(two->glued_length, MM(400));
  assert_int_equal(two->glued_width, MM(300));
  assert_true(two->may_lie_straight && !two->may_lie_turned && two->glued_sideways);
  assert_int_equal(strip_of(0, 3)->width, MM(101) + MM(1) / 2);
  assert_null(strip_of(0, 4));
  assert_non_null(strip_of(1, 2)); /* from wide planks too */
  assert_null(strip_of(2, 2));     /* of another thickness, which needs none */
}

static void test_no_strips(void **state) {
  (void)state;
  add_part(MM(400), MM(300), MM(12));
  add_plank("narrow", MM(160), MM(12));
  add_plank("wide", MM(420), MM(12));
  size();
  assert_null(strip_of(0, 2)); /* not asked for */
  bench.project.shop.glue_up = 1;
  bench.project.parts[0].match = "a";
  size();
  assert_null(strip_of(0, 2)); /* from one plank */
  bench.project.parts[0].match = NULL;
  bench.project.shop.rip_min_width = MM(155);
  size();
  assert_null(strip_of(0, 2)); /* too narrow to rip */
}

static void test_strips_across(void **state) {
  (void)state;
  add_part(MM(300), MM(400), MM(12))->grain = GRAIN_ACROSS;
  add_plank("narrow", MM(160), MM(12));
  bench.project.shop.glue_per_edge = 0;
  bench.project.shop.glue_up = 1;
  size();
  const struct blank *two = strip_of(0, 2);
  assert_non_null(two);
  assert_int_equal(two->length, MM(150));
  assert_int_equal(two->width, MM(400));
  assert_true(two->may_lie_turned && !two->may_lie_straight && !two->glued_sideways);
}

/* ---- leaves ---- */

static void test_how_many_leaves(void **state) {
  (void)state;
  const struct shop *shop = &bench.project.shop;
  struct leaves leaves;
  /* two of 10 and 4.5 between them take 24.5: 26 has 1.5 to spare, no room for a cut */
  assert_true(leaves_of(shop, MM(26), MM(10), MM(10), 800, &leaves));
  assert_int_equal(leaves.count, 2);
  assert_int_equal(leaves.thickness, MM(10));
  assert_int_equal(leaves.cuts, 1);
  /* 5 to spare: one more cut frees the last leaf */
  assert_true(leaves_of(shop, MM(59) / 2, MM(10), MM(10), 800, &leaves));
  assert_int_equal(leaves.cuts, 2);
  /* as thick as they may be: (26 - 4.5) / 2 in whole tenths, at most 10.5 */
  assert_true(leaves_of(shop, MM(26), MM(10), MM(11), 800, &leaves));
  assert_int_equal(leaves.thickness, MM(107) / 10);
  assert_true(leaves_of(shop, MM(26), MM(10), MM(21) / 2, 800, &leaves));
  assert_int_equal(leaves.thickness, MM(21) / 2);
  assert_true(leaves_of(shop, MM(39), MM(10), MM(10), 800, &leaves));
  assert_int_equal(leaves.count, 3);
  assert_false(leaves_of(shop, MM(49) / 2 - 1, MM(10), MM(10), 800, &leaves));
}

static void test_planks_get_leaves(void **state) {
  (void)state;
  add_part(MM(400), MM(60), MM(10));
  add_plank("thick", MM(130), MM(26))->count = 3;
  add_plank("wide", MM(200), MM(26));
  add_plank("thin", MM(130), MM(10));
  bench.project.stocks[0].trim_ends = MM(10);
  bench.project.stocks[0].trim_edges = MM(2);
  struct flaw *flaw =
      ARENA_PUSH(bench.arena, bench.project.stocks[0].flaws, bench.project.stocks[0].flaw_count,
                 bench.project.stocks[0].flaw_room);
  *flaw = (struct flaw){2, MM(100), MM(50), MM(20), MM(10), "knot", false};
  assert_ptr_equal(leaves_add(bench.arena, &bench.project), &bench.project); /* not asked for */
  bench.project.shop.resaw = 1;
  const struct project *with = leaves_add(bench.arena, &bench.project);
  assert_int_equal(with->stock_count, 4); /* the wide one is too high on edge, one is thin */
  const struct stock *leaf = &with->stocks[3];
  assert_int_equal(leaf->leaf_of, 0);
  assert_int_equal(leaf->leaves, 2);
  assert_int_equal(leaf->length, MM(1810));
  assert_int_equal(leaf->width, MM(126));
  assert_int_equal(leaf->thickness, MM(10));
  assert_int_equal(leaf->count, 6);
  assert_int_equal(leaf->value, 0);
  assert_string_equal(leaf->name, "thick leaf 10");
  assert_int_equal(leaf->flaw_count, 2); /* of the second plank: leaves 3 and 4 */
  assert_int_equal(leaf->flaws[0].copy, 3);
  assert_int_equal(leaf->flaws[1].copy, 4);
  assert_int_equal(leaf->flaws[0].x, MM(90));
  assert_int_equal(leaf->flaws[0].y, MM(48));
}

#define CASE(body) cmocka_unit_test_setup_teardown(body, set_up, tear_down)

/* (199 + 2 x 1) / 2 = 100.5 is a whole number of marks; a unit of 1/8000 mm more asks for the next.
 */
static void test_strips_are_never_narrower_than_their_share(void **state) {
  (void)state;
  const struct shop *shop = &bench.project.shop;
  assert_int_equal(glue_strip_width(shop, MM(199), 2), MM(201) / 2);
  assert_int_equal(glue_strip_width(shop, MM(199) + 1, 2), MM(101));
  /* (299 + 4) / 3 = 101 */
  assert_int_equal(glue_strip_width(shop, MM(299), 3), MM(101));
  assert_int_equal(glue_strip_width(shop, MM(299) + 2, 3), MM(203) / 2);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      CASE(test_strips_are_never_narrower_than_their_share),
      CASE(test_wide_blanks_from_strips),
      CASE(test_no_strips),
      CASE(test_strips_across),
      CASE(test_how_many_leaves),
      CASE(test_planks_get_leaves),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
