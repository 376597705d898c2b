/* Rows of single pieces around flaws against every cut of tiny rectangles. */
#include "nest/single_rows.h"
#include "nest_fixture.h"

static cost_t row_of(struct arena *arena, const struct nest_stock *stock, const cost_t *worth,
                     enum division along) {
  struct staged *staged = staged_create(arena, stock, 0);
  struct flawed *flawed = flawed_create(arena, stock, staged, 0);
  struct single_rows *rows = single_rows_create(arena, stock);
  struct area whole = {{0, 0}, {stock->length, stock->width}};
  int64_t steps = 0;
  cost_t most = 0;
  assert_true(single_rows_worth(rows, flawed, worth, &whole, along, &steps, &most));
  assert_true(steps > 0);
  return most;
}

/* A piece as long as the row needs no cut along it, which the first cut would be. */
static bool is_whole(const struct nest_stock *stock, enum division along) {
  for (size_t o = 0; o < stock->option_count; o++)
    if (along == DIVIDE_LENGTH ? stock->options[o].length == stock->length
                               : stock->options[o].width == stock->width)
      return true;
  return false;
}

static void rows_are_the_best_there_are(struct arena *arena) {
  int compared = 0;
  random_start(42);
  for (int round = 0; round < 600; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    enum division along = round % 2 == 0 ? DIVIDE_LENGTH : DIVIDE_WIDTH;
    random_case(&random, 14, 9, 1);
    random_flaws(&random);
    if (round % 3 == 0) random_rules(&random);
    random.stock.rules.crosscut_first = along == DIVIDE_LENGTH;
    random.stock.rules.rip_first = along == DIVIDE_WIDTH;
    cost_t best = brute_best(arena, &random.stock, random.worth, NULL, 0);
    const struct nest_rules *rules = &random.stock.rules;
    bool divides = along == DIVIDE_LENGTH ? rules->crosscut_capacity == 0 ||
                                                random.stock.width <= rules->crosscut_capacity
                                          : random.stock.length >= rules->rip_min_length;
    if (divides) {
      cost_t most = row_of(arena, &random.stock, random.worth, along);
      bool fine = is_whole(&random.stock, along) ? most >= best : most == best;
      if (!fine) random_case_print(&random);
      assert_true(fine);
      if (!is_whole(&random.stock, along) && best > 0) compared++;
    }
    arena_release(arena, mark);
  }
  assert_true(compared > 100);
}

/* One piece low, one high: each passes another flaw. */
static void pieces_pass_flaws_on_both_sides(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 4, 3);
  struct nest_flaw flaws[] = {{1, 3, 1, 3, false}, {6, -1, 1, 3, false}};
  struct nest_stock stock = plain_stock(9, 5, 1);
  cost_t worth = 7;
  stock.options = &option;
  stock.option_count = 1;
  stock.flaws = flaws;
  stock.flaw_count = 2;
  assert_int_equal(row_of(arena, &stock, &worth, DIVIDE_LENGTH), 14);
  flaws[1].y = 0; /* a high piece would start where flaw and kerf leave no room */
  assert_int_equal(row_of(arena, &stock, &worth, DIVIDE_LENGTH), 7);
}

/* Where sizes are finer than the table nothing is told. */
static void too_fine_is_not_told(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 4001, 3);
  struct nest_stock stock = plain_stock(90000, 5, 1);
  struct single_rows *rows;
  struct area whole = {{0, 0}, {90000, 5}};
  int64_t steps = 0;
  cost_t worth = 7;
  cost_t most = 0;
  stock.options = &option;
  stock.option_count = 1;
  rows = single_rows_create(arena, &stock);
  struct staged *staged = staged_create(arena, &stock, 0);
  struct flawed *flawed = flawed_create(arena, &stock, staged, 0);
  assert_false(single_rows_worth(rows, flawed, &worth, &whole, DIVIDE_LENGTH, &steps, &most));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(rows_are_the_best_there_are),
      ARENA_TEST(pieces_pass_flaws_on_both_sides),
      ARENA_TEST(too_fine_is_not_told),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
