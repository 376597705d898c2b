/* What the wood of a plan is worth, bought and used up; figures by hand. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>

#include "cost/wood_used.h"
#include "unit/test_write_fixture.h"

static int open_arena(void **state) {
  *state = arena_create();
  return *state == NULL ? -1 : 0;
}

static int close_arena(void **state) {
  arena_destroy(*state);
  return 0;
}

/* W1 of the rack is worth 78.00 and keeps an offcut of 222 x 100 out of 1830 x 215: 4.40. Two of
 * Y2 are cut, three are paid for: the third is not used up. */
static void offcuts_and_whole_planks_are_left(void **state) {
  struct fixture fixture;
  fixture_make_mm(*state, &fixture);
  struct wood_used used = wood_used_of(fixture.project, &fixture.plan);
  assert_int_equal(used.cash, 3 * 5800);
  assert_int_equal(used.rack, 7800);
  assert_int_equal(used.consumed, 7800 + 2 * 5800 - 440);
  assert_int_equal(used.pieces, 3);
}

/* With 300 as the shortest worth keeping nothing is left. */
static void small_offcuts_are_used_up(void **state) {
  struct fixture fixture;
  fixture_make_mm(*state, &fixture);
  fixture.project->shop.offcut_min_length = MM(300);
  assert_int_equal(wood_used_of(fixture.project, &fixture.plan).consumed, 7800 + 2 * 5800);
}

/* A plank of 31.00, 2000 x 130, is split into two leaves of 1980 x 126: of one half is kept, the
 * other is not cut. A leaf bears half of the plank's worth: 31.00 x 375480 / 260000 / 2 is 22.38.
 */
static void leaves_bear_their_share(void **state) {
  struct stock stocks[] = {
      {.name = "A", .source = SOURCE_YARD, .length = MM(2000), .width = MM(130), .value = 3100},
      {.name = "A", .source = SOURCE_YARD, .length = MM(1980), .width = MM(126), .leaves = 2}};
  struct project project = {.stocks = stocks, .stock_count = 2};
  shop_set_defaults(*state, &project.shop, UNIT_MM);
  struct node parts[] = {{.kind = NODE_PIECE, .length = MM(977), .width = MM(126)},
                         {.kind = NODE_WASTE, .length = MM(1000), .width = MM(126)}};
  struct layout layouts[] = {
      {.stock = 0, .first_copy = 1, .times = 1, .root = {.kind = NODE_SPLIT, .blank = 1}},
      {.stock = 1,
       .first_copy = 1,
       .times = 1,
       .root = {.kind = NODE_CROSSCUT, .children = parts, .child_count = 2}}};
  struct purchase purchases[] = {{0, 1, 1, 3100}, {1, 1, 0, 0}};
  struct plan plan = {
      .layouts = layouts, .layout_count = 2, .purchases = purchases, .purchase_count = 2};
  struct wood_used used = wood_used_of(&project, &plan);
  assert_int_equal(used.cash, 3100);
  assert_int_equal(used.consumed, 3100 - 2238);
  assert_int_equal(used.pieces, 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(offcuts_and_whole_planks_are_left, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(small_offcuts_are_used_up, open_arena, close_arena),
      cmocka_unit_test_setup_teardown(leaves_bear_their_share, open_arena, close_arena),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
