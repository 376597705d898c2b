/* Lines around flaws against every cut of tiny rectangles: no layout is worth more. */
#include "nest/flaw_lines.h"
#include "nest_fixture.h"

static struct area whole_of_stock(const struct nest_stock *stock) {
  return (struct area){{0, 0}, {stock->length, stock->width}};
}

static cost_t lines_of(struct arena *arena, const struct nest_stock *stock, const cost_t *worth) {
  struct flaw_lines *lines = flaw_lines_create(arena, stock);
  struct area whole = whole_of_stock(stock);
  assert_non_null(lines);
  assert_true(flaw_lines_price(lines, worth) > 0);
  return flaw_lines_most(lines, &whole);
}

static void no_layout_is_worth_more(struct arena *arena) {
  int told = 0;
  random_start(41);
  for (int round = 0; round < 400; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    random_case(&random, 9, 7, 0);
    random_flaws(&random);
    cost_t best = brute_best(arena, &random.stock, random.worth, NULL, 0);
    cost_t most = lines_of(arena, &random.stock, random.worth);
    if (most < best) random_case_print(&random);
    assert_true(most >= best);
    random.stock.flaw_count = 0;
    if (most < lines_of(arena, &random.stock, random.worth)) told++;
    arena_release(arena, mark);
  }
  assert_true(told > 40); /* flaws are seen */
}

/* Between the edges and a flaw across the whole width there is room for one piece each. */
static void by_hand(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 3, 2);
  struct nest_flaw flaw = {4, -1, 2, 4, false};
  struct nest_stock stock = plain_stock(10, 2, 0);
  cost_t worth = 600;
  stock.options = &option;
  stock.option_count = 1;
  stock.flaws = &flaw;
  stock.flaw_count = 1;
  assert_int_equal(lines_of(arena, &stock, &worth), 1200);
  stock.flaw_count = 0;
  assert_int_equal(lines_of(arena, &stock, &worth), 1800);
}

/* A flaw that may lie in a rim of 1 leaves a unit more on both sides. */
static void a_flaw_may_lie_in_rims(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 5, 3);
  struct nest_flaw flaw = {4, -2, 2, 7, true};
  struct nest_stock stock = plain_stock(10, 3, 0);
  cost_t worth = 900;
  option.core_x = 1;
  option.core_y = 1;
  stock.options = &option;
  stock.option_count = 1;
  stock.flaws = &flaw;
  stock.flaw_count = 1;
  assert_int_equal(lines_of(arena, &stock, &worth), 1800);
  flaw.rim_ok = false;
  assert_int_equal(lines_of(arena, &stock, &worth), 0);
}

/* The kerf between two pieces lies on the flaw. */
static void a_kerf_may_lie_on_a_flaw(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 4, 1);
  struct nest_flaw flaw = {-1, 1, 6, 1, false};
  struct nest_stock stock = plain_stock(4, 3, 1);
  cost_t worth = 100;
  stock.options = &option;
  stock.option_count = 1;
  stock.flaws = &flaw;
  stock.flaw_count = 1;
  assert_int_equal(lines_of(arena, &stock, &worth), 200);
}

/* Worths too large to spread are not told of. */
static void large_worths_are_not_told(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 3, 2);
  struct nest_stock stock = plain_stock(10, 2, 0);
  struct flaw_lines *lines;
  struct area whole = whole_of_stock(&stock);
  cost_t worth = INT64_C(1) << 50;
  stock.options = &option;
  stock.option_count = 1;
  lines = flaw_lines_create(arena, &stock);
  flaw_lines_price(lines, &worth);
  assert_true(flaw_lines_most(lines, &whole) >= 3 * worth);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(no_layout_is_worth_more),   ARENA_TEST(by_hand),
      ARENA_TEST(a_flaw_may_lie_in_rims),    ARENA_TEST(a_kerf_may_lie_on_a_flaw),
      ARENA_TEST(large_worths_are_not_told),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
