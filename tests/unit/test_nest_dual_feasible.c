/* Bounds from dual feasible functions: the functions against every filling, the bound against
 * hand values and against trying everything. */
#include "nest/dual_feasible.h"

#include "free_brute.h"
#include "nest_fixture.h"

enum { MOST_WHOLE = 30 };

/* The most that pieces of any sizes, repeated at will, are worth in a length. */
static int64_t best_filling(enum dual_family family, length_t k, length_t whole) {
  int64_t most[MOST_WHOLE + 1] = {0};
  for (length_t room = 1; room <= whole; room++)
    for (length_t x = 1; x <= room; x++) {
      int64_t worth = most[room - x] + dual_value(family, k, whole, x, NULL);
      if (worth > most[room]) most[room] = worth;
    }
  return most[whole];
}

static void test_no_filling_is_worth_more_than_the_whole(struct arena *arena) {
  (void)arena;
  for (length_t whole = 2; whole <= MOST_WHOLE; whole++)
    for (length_t k = 1; k <= whole; k++) {
      assert_int_equal(best_filling(DUAL_PLAIN, k, whole), whole);
      assert_int_equal(best_filling(DUAL_ROUND, k, whole),
                       dual_value(DUAL_ROUND, k, whole, whole, NULL));
      if (k > 1)
        assert_int_equal(best_filling(DUAL_SPLIT, k, whole),
                         dual_value(DUAL_SPLIT, k, whole, whole, NULL));
      if (2 * k > whole) continue;
      assert_int_equal(best_filling(DUAL_CLIP, k, whole),
                       dual_value(DUAL_CLIP, k, whole, whole, NULL));
      assert_int_equal(best_filling(DUAL_STEP, k, whole),
                       dual_value(DUAL_STEP, k, whole, whole, NULL));
    }
}

/* DUAL_COUNT holds for the pieces at hand: every subset of them that fits, by its bits. */
static void test_counting_holds_for_the_pieces_at_hand(struct arena *arena) {
  (void)arena;
  random_start(3);
  int64_t tight = 0;
  for (int run = 0; run < 400; run++) {
    length_t whole = random_between(6, 30), k = random_between(1, whole / 2);
    length_t piece[8], counted[8];
    struct dual_sizes sizes = {counted, 0};
    for (size_t i = 0; i < 8; i++) {
      piece[i] = random_between(1, whole);
      if (piece[i] < k || 2 * piece[i] > whole) continue;
      size_t at = sizes.count++;
      for (; at > 0 && counted[at - 1] > piece[i]; at--) counted[at] = counted[at - 1];
      counted[at] = piece[i];
    }
    int64_t most = dual_value(DUAL_COUNT, k, whole, whole, &sizes);
    for (unsigned set = 0; set < 256; set++) {
      length_t length = 0;
      int64_t worth = 0;
      for (size_t i = 0; i < 8; i++) {
        if ((set >> i & 1) == 0) continue;
        length += piece[i];
        worth += dual_value(DUAL_COUNT, k, whole, piece[i], &sizes);
      }
      if (length > whole) continue;
      assert_true(worth <= most);
      tight += worth == most && most > 0;
    }
  }
  assert_true(tight > 400);
}

/* Values by hand from the definitions. */
static void test_values_by_hand(struct arena *arena) {
  (void)arena;
  /* 2/5 of 10 to thirds of 3: 4 * 4 / 10 = 1 whole; 5 is 2 of 4 parts exactly */
  assert_int_equal(dual_value(DUAL_ROUND, 3, 10, 4, NULL), 10);
  assert_int_equal(dual_value(DUAL_ROUND, 3, 10, 5, NULL), 15);
  assert_int_equal(dual_value(DUAL_CLIP, 3, 10, 8, NULL), 10);
  assert_int_equal(dual_value(DUAL_CLIP, 3, 10, 7, NULL), 7);
  assert_int_equal(dual_value(DUAL_CLIP, 3, 10, 2, NULL), 0);
  /* threes: 10 holds 3 of them; 7 leaves room for one */
  assert_int_equal(dual_value(DUAL_STEP, 3, 10, 7, NULL), 4);
  assert_int_equal(dual_value(DUAL_STEP, 3, 10, 5, NULL), 3);
  assert_int_equal(dual_value(DUAL_STEP, 3, 10, 4, NULL), 2);
  /* thirds of 10, less than a whole number of them */
  assert_int_equal(dual_value(DUAL_SPLIT, 3, 10, 4, NULL), 2);
  assert_int_equal(dual_value(DUAL_SPLIT, 3, 10, 3, NULL), 0);
  assert_int_equal(dual_value(DUAL_SPLIT, 3, 10, 7, NULL), 4);
}

/* A job of one stock, `sides` holding length and width of each piece; turned pieces where asked. */
static cost_t bound_of(struct arena *arena, length_t length, length_t width, length_t kerf,
                       const length_t (*sides)[2], size_t pieces, bool turning) {
  int64_t demand[32];
  struct nest_option option[64];
  struct nest_stock stock = plain_stock(length, width, kerf);
  for (size_t p = 0; p < pieces; p++) {
    demand[p] = 1;
    option[stock.option_count++] = plain_option(p, p, sides[p][0], sides[p][1]);
    if (turning) option[stock.option_count++] = plain_option(p, p, sides[p][1], sides[p][0]);
  }
  stock.count = -1;
  stock.cost = 7;
  stock.options = option;
  struct nest_problem problem = {
      .demand = demand, .demand_count = pieces, .stocks = &stock, .stock_count = 1};
  return dual_feasible_bound(arena, &problem);
}

static void test_large_pieces_need_a_sheet_each(struct arena *arena) {
  static const length_t sixes[3][2] = {{6, 6}, {6, 6}, {6, 6}};
  assert_int_equal(bound_of(arena, 10, 10, 0, sixes, 3, false), 21);
  /* 6 and 5 never lie together; the area is that of less than two sheets */
  static const length_t mixed[3][2] = {{6, 6}, {5, 5}, {6, 6}};
  assert_int_equal(bound_of(arena, 10, 10, 0, mixed, 3, true), 21);
}

/* Four 4 x 4 fit on 10 x 10 with a gap of 2, not with one of 3: then one each way, as 4 + 3 + 4
 * is more than 10. */
static void test_gaps_count(struct arena *arena) {
  static const length_t fours[4][2] = {{4, 4}, {4, 4}, {4, 4}, {4, 4}};
  assert_int_equal(bound_of(arena, 10, 10, 2, fours, 4, false), 7);
  assert_int_equal(bound_of(arena, 10, 10, 3, fours, 4, false), 28);
}

/* gcut1 of Beasley, J. Oper. Res. Soc. 36 (1985), all pieces once: 5 sheets without turning, 4 with
 * (guillotine optima, known to be met by these bounds without turning). */
static void test_gcut1_all_once(struct arena *arena) {
  static const length_t gcut1[10][2] = {{167, 184}, {114, 118}, {167, 152}, {83, 140}, {70, 86},
                                        {143, 166}, {120, 160}, {66, 148},  {87, 141}, {69, 165}};
  cost_t fixed = bound_of(arena, 250, 250, 0, gcut1, 10, false);
  cost_t turning = bound_of(arena, 250, 250, 0, gcut1, 10, true);
  assert_true(fixed <= 5 * 7 && turning <= 4 * 7);
  assert_true(fixed >= 4 * 7 && turning >= 3 * 7);
}

/* With little stock the dearer kind is needed too; with none left, no plan exists. */
static void test_limited_stock(struct arena *arena) {
  int64_t demand = 3;
  struct nest_option option = plain_option(0, 0, 6, 6);
  struct nest_stock stock[2] = {plain_stock(10, 10, 0), plain_stock(10, 8, 0)};
  for (size_t s = 0; s < 2; s++) {
    stock[s].options = &option;
    stock[s].option_count = 1;
    stock[s].count = 2;
    stock[s].cost = s == 0 ? 3 : 10;
  }
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = stock, .stock_count = 2};
  assert_int_equal(dual_feasible_bound(arena, &problem), 16);
  demand = 5;
  assert_int_equal(dual_feasible_bound(arena, &problem), INT64_MAX / 4);
  /* a piece that is not made takes the place of a sheet */
  int64_t given = 1;
  struct nest_stock with_given[3] = {
      stock[0], stock[1], {.count = -1, .pack = 1, .cost = 100, .given = &given}};
  problem.stocks = with_given;
  problem.stock_count = 3;
  assert_int_equal(dual_feasible_bound(arena, &problem), 126);
}

static void test_never_above_the_least_cost(struct arena *arena) {
  random_start(11);
  int met = 0, known = 0;
  for (int run = 0; run < 2000; run++) {
    struct free_case made;
    free_case_random(&made);
    cost_t least = free_case_least_cost(&made);
    struct arena_mark mark = arena_mark(arena);
    cost_t bound = dual_feasible_bound(arena, &made.problem);
    arena_release(arena, mark);
    if (least < 0) continue;
    known++;
    assert_true(bound <= least);
    met += bound == least;
  }
  assert_true(known > 1000);
  assert_true(2 * met > known);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(test_no_filling_is_worth_more_than_the_whole),
      ARENA_TEST(test_counting_holds_for_the_pieces_at_hand),
      ARENA_TEST(test_values_by_hand),
      ARENA_TEST(test_large_pieces_need_a_sheet_each),
      ARENA_TEST(test_gaps_count),
      ARENA_TEST(test_gcut1_all_once),
      ARENA_TEST(test_limited_stock),
      ARENA_TEST(test_never_above_the_least_cost),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
