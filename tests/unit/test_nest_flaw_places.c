/* Places of edges around flaws, by hand. */
#include "nest/flaw_places.h"
#include "nest_fixture.h"

/* 20 x 10, a knot at [8, 11) x [4, 6); pieces of 5 x 3 and 7 x 8. */
static struct nest_option options[2];
static struct nest_flaw flaw;
static const cost_t worth[] = {15, 56};

static struct nest_stock knotty(length_t kerf) {
  struct nest_stock stock = plain_stock(20, 10, kerf);
  options[0] = plain_option(0, 0, 5, 3);
  options[1] = plain_option(1, 1, 7, 8);
  flaw = (struct nest_flaw){8, 4, 3, 2, false};
  stock.options = options;
  stock.option_count = 2;
  stock.flaws = &flaw;
  stock.flaw_count = 1;
  return stock;
}

static void expect(const struct place_list *list, const length_t *places, size_t count) {
  assert_int_equal(list->count, count);
  for (size_t i = 0; i < count; i++) assert_int_equal(list->at[i], places[i]);
}

static void sums_behind_edges_and_flaws(struct arena *arena) {
  struct nest_stock stock = knotty(0);
  struct flaw_places *places = flaw_places_create(arena, &stock, worth);
  struct flaw_box box = {{0, 0}, {20, 10}};
  flaw_set inside = flaw_places_inside(places, &box);
  assert_int_equal(inside, 1);
  /* from 0: 5 7 10 12 14 15 17 19 20; from 11: 16 18 */
  static const length_t ends[] = {5, 7, 10, 12, 14, 15, 16, 17, 18, 19, 20};
  struct place_list list = flaw_places_ends(places, &box, inside, DIVIDE_LENGTH);
  expect(&list, ends, 11);
  /* the same from 20 down; from 8 down: 3 1 */
  static const length_t starts[] = {0, 1, 3, 5, 6, 8, 10, 13, 15};
  list = flaw_places_starts(places, &box, inside, DIVIDE_LENGTH);
  expect(&list, starts, 9);
  assert_int_equal(place_list_ceiling(&list, 7), 5);
  assert_int_equal(place_list_ceiling(&list, 16), 9);
  assert_true(flaw_places_listed(places) > 0);
}

static void only_what_fits_across(struct arena *arena) {
  struct nest_stock stock = knotty(0);
  struct flaw_places *places = flaw_places_create(arena, &stock, worth);
  struct flaw_box low = {{0, 0}, {20, 5}};
  static const length_t ends[] = {5, 10, 15, 16, 20};
  struct place_list list = flaw_places_ends(places, &low, 1, DIVIDE_LENGTH);
  expect(&list, ends, 5);
  struct flaw_box flat = {{0, 3}, {20, 5}};
  assert_int_equal(flaw_places_ends(places, &flat, 1, DIVIDE_LENGTH).count, 0);
  assert_int_equal(flaw_places_last_end(places, &flat, 1, DIVIDE_LENGTH), 0);
  assert_int_equal(flaw_places_first_start(places, &flat, 1, DIVIDE_LENGTH), 20);
  struct flaw_box cut = {{2, 0}, {19, 5}};
  assert_int_equal(flaw_places_last_end(places, &cut, 1, DIVIDE_LENGTH), 17);
  assert_int_equal(flaw_places_first_start(places, &cut, 1, DIVIDE_LENGTH), 3);
  assert_true(flaw_places_is_size(places, DIVIDE_LENGTH, 7));
  assert_false(flaw_places_is_size(places, DIVIDE_LENGTH, 8));
  assert_false(flaw_places_is_size(places, DIVIDE_WIDTH, 5));
}

static void a_kerf_off_the_edge(struct arena *arena) {
  struct nest_stock stock = knotty(2);
  struct flaw_places *places = flaw_places_create(arena, &stock, worth);
  struct flaw_box box = {{10, 0}, {20, 10}};
  /* from 10: 15 17; from 11, which no cut reaches: 16 18; from 12: 17 19 */
  static const length_t ends[] = {15, 16, 17, 18, 19};
  struct place_list list = flaw_places_ends(places, &box, 1, DIVIDE_LENGTH);
  expect(&list, ends, 5);
}

/* Clear rows can be filled, clear columns 9 of 10; the two rows through the flaw 7 before and 7
 * behind it, its three columns 3 below and 3 above it. */
static void waste_line_by_line(struct arena *arena) {
  struct nest_stock stock = knotty(0);
  struct flaw_places *places = flaw_places_create(arena, &stock, worth);
  struct flaw_box box = {{0, 0}, {20, 10}};
  double covered = flaw_places_covered(places, &box, 1);
  /* waste in the flaw 3 x 2, beside it in its rows 2 x (20 - 3 - 14), in its columns
   * 3 x (10 - 2 - 6), in the others 17 x 1, of which no more than those 6 lie in its rows */
  assert_true(covered == 200 - (6 + 6 + 6 + 17 - 6));
  assert_true(flaw_places_covered(places, &box, 0) == 180);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(sums_behind_edges_and_flaws),
      ARENA_TEST(only_what_fits_across),
      ARENA_TEST(a_kerf_off_the_edge),
      ARENA_TEST(waste_line_by_line),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
