/* Rows that couple: strips glued up to blanks, planks resawn into leaves. */
#include "nest/nest.h"
#include "nest_fixture.h"

enum { BLANK, STRIPS, LEAVES, ROWS };

/* One kind of blank, 10 x 10, no kerfs: pieces of stock are rows of places 10 long, each of which
 * holds a blank or a strip 10 x 6. */
struct yard {
  int64_t wanted;
  int64_t strips;                            /* of a blank; 0: not glued up */
  int64_t wide, wide_cost, wide_count;       /* places; only whole blanks */
  int64_t narrow, narrow_cost, narrow_count; /* only strips */
  int64_t thick, thick_cost, thick_count;    /* of a plank and of each of its leaves */
  int64_t leaves;                            /* 0: not resawn */
  int64_t resaw_cuts;
  bool thick_whole;              /* blanks may come from the plank as it is */
  bool leaf_blanks, leaf_strips; /* from a leaf */
  int64_t cut_cost;
};

struct market {
  struct nest_problem problem;
  int64_t demand[ROWS];
  int64_t given[ROWS];
  struct nest_stock stocks[5];
  struct nest_option options[5][2];
  struct nest_split split;
};

static void add_stock(struct market *market, int64_t places, length_t width, int64_t cost,
                      int64_t count, bool blanks, bool strips) {
  size_t s = market->problem.stock_count;
  if (places == 0) return;
  struct nest_stock *stock = &market->stocks[s];
  *stock = plain_stock(10 * places, width, 0);
  stock->cost = cost * COST_PER_CENT;
  stock->count = count;
  stock->options = market->options[s];
  stock->option_count = 0;
  if (blanks) market->options[s][stock->option_count++] = plain_option(BLANK, 0, 10, 10);
  if (strips) market->options[s][stock->option_count++] = plain_option(STRIPS, 1, 10, 6);
  market->problem.stock_count++;
}

static void open_market(struct market *market, const struct yard *yard) {
  *market = (struct market){.demand = {yard->wanted, 0, 0}};
  market->problem = (struct nest_problem){.demand = market->demand,
                                          .demand_count = ROWS,
                                          .coupling_count = 2,
                                          .stocks = market->stocks,
                                          .cut_cost = yard->cut_cost * COST_PER_CENT};
  bool glued = yard->strips > 0;
  add_stock(market, yard->wide, 10, yard->wide_cost, yard->wide_count, true, false);
  if (glued) add_stock(market, yard->narrow, 6, yard->narrow_cost, yard->narrow_count, false, true);
  if (yard->leaves > 0) {
    bool strips = glued && yard->leaf_strips;
    int64_t count = yard->thick_count < 0 ? -1 : yard->thick_count * yard->leaves;
    add_stock(market, yard->thick, 10, 0, count, yard->leaf_blanks, strips);
    market->stocks[market->problem.stock_count - 1].is_leaf = true;
    market->stocks[market->problem.stock_count - 1].leaf_demand = LEAVES;
    add_stock(market, yard->thick, 10, yard->thick_cost, yard->thick_count, yard->thick_whole,
              false);
    market->split = (struct nest_split){LEAVES, yard->leaves, yard->resaw_cuts};
    market->stocks[market->problem.stock_count - 1].splits = &market->split;
    market->stocks[market->problem.stock_count - 1].split_count = 1;
  }
  if (!glued) return;
  market->given[BLANK] = 1;
  market->given[STRIPS] = -yard->strips;
  market->stocks[market->problem.stock_count++] = (struct nest_stock){
      .count = yard->wanted, .pack = 1, .given = market->given, .assembly = true};
}

static bool is_enough(const struct yard *yard, int64_t wide, int64_t narrow, int64_t whole,
                      int64_t split) {
  for (int64_t glued = 0; glued <= (yard->strips > 0 ? yard->wanted : 0); glued++) {
    int64_t leaf_places = split * yard->leaves * yard->thick;
    int64_t blanks = yard->wanted - glued - wide * yard->wide;
    int64_t strips = glued * yard->strips - narrow * yard->narrow;
    if (yard->thick_whole) blanks -= whole * yard->thick;
    if (blanks < 0) blanks = 0;
    if (strips < 0) strips = 0;
    if (blanks > 0 && !yard->leaf_blanks) continue;
    if (strips > 0 && !yard->leaf_strips) continue;
    if (blanks + strips <= leaf_places) return true;
  }
  return false;
}

static int64_t most_of(int64_t places, int64_t count, int64_t wanted) {
  if (places == 0) return 0;
  return count >= 0 && count < wanted ? count : wanted;
}

/* The least cost without cuts, by trying every number of each stock; -1 when nothing is enough. */
static int64_t least_cost(const struct yard *yard) {
  int64_t least = -1;
  int64_t thick_most =
      yard->leaves > 0 ? most_of(yard->thick, yard->thick_count, yard->wanted * 3) : 0;
  int64_t narrow_most =
      yard->strips > 0 ? most_of(yard->narrow, yard->narrow_count, yard->wanted * 3) : 0;
  for (int64_t a = 0; a <= most_of(yard->wide, yard->wide_count, yard->wanted); a++)
    for (int64_t b = 0; b <= narrow_most; b++)
      for (int64_t v = 0; v <= thick_most; v++)
        for (int64_t u = 0; u + v <= thick_most; u++) {
          int64_t cost = a * yard->wide_cost + b * yard->narrow_cost + (u + v) * yard->thick_cost;
          if (least >= 0 && cost >= least) continue;
          if (is_enough(yard, a, b, v, u)) least = cost;
        }
  return least;
}

/* What the answer uses balances, stock is not over-used, and the cost is that of its parts. */
static void check_answer(const struct market *market, const struct nest_answer *answer) {
  const struct nest_problem *problem = &market->problem;
  int64_t made[ROWS] = {0};
  int64_t used[5] = {0};
  cost_t cost = 0;
  for (size_t l = 0; l < answer->layout_count; l++) {
    const struct nest_layout *layout = &answer->layouts[l];
    used[layout->stock] += layout->times;
    cost +=
        layout->times * (problem->stocks[layout->stock].cost + layout->cuts * problem->cut_cost);
    for (size_t d = 0; d < ROWS; d++) made[d] += layout->times * layout->counts[d];
  }
  assert_int_equal(cost, answer->cost);
  assert_int_equal(made[BLANK], problem->demand[BLANK]);
  assert_int_equal(made[STRIPS], 0);
  assert_true(made[LEAVES] >= 0);
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].count >= 0) assert_true(used[s] <= problem->stocks[s].count);
}

static cost_t solve(struct arena *arena, const struct yard *yard, bool *met) {
  struct market market;
  struct nest_answer answer;
  struct nest_options options = {.effort = 3000};
  open_market(&market, yard);
  nest_solve(arena, &market.problem, &options, &answer);
  *met = answer.complete && answer.bound == answer.cost;
  if (!answer.complete) return -1;
  check_answer(&market, &answer);
  assert_true(answer.bound <= answer.cost);
  return answer.cost / COST_PER_CENT;
}

static void expect(struct arena *arena, const struct yard *yard, int64_t cost) {
  bool met = false;
  assert_int_equal(solve(arena, yard, &met), cost);
  assert_true(cost < 0 || met);
}

static void gluing_where_it_is_cheaper(struct arena *arena) {
  struct yard yard = {.wanted = 1,
                      .strips = 2,
                      .wide = 1,
                      .wide_cost = 50,
                      .wide_count = -1,
                      .narrow = 1,
                      .narrow_cost = 20,
                      .narrow_count = -1};
  expect(arena, &yard, 40); /* two strips for 20 each */
  yard.wide_cost = 35;
  expect(arena, &yard, 35); /* the wide plank as it is */
  yard.narrow = 3; /* three strips to a plank: four blanks take eight strips, three planks */
  yard.wanted = 4;
  expect(arena, &yard, 60);
  yard.narrow_count = 2; /* six strips make three blanks */
  expect(arena, &yard, 40 + 35);
  yard.strips = 3;
  expect(arena, &yard, 40 + 70);
}

static void gluing_where_no_plank_is_wide_enough(struct arena *arena) {
  struct yard yard = {.wanted = 2, .strips = 3, .narrow = 2, .narrow_cost = 9, .narrow_count = 3};
  expect(arena, &yard, 27);
  yard.narrow_count = 2; /* four strips, six are wanted */
  expect(arena, &yard, -1);
}

static void resawing_where_it_is_cheaper(struct arena *arena) {
  struct yard yard = {.wanted = 2,
                      .wide = 1,
                      .wide_cost = 30,
                      .wide_count = -1,
                      .thick = 1,
                      .thick_cost = 40,
                      .thick_count = 1,
                      .leaves = 2,
                      .resaw_cuts = 1,
                      .leaf_blanks = true};
  expect(arena, &yard, 40); /* one plank, two leaves */
  yard.wanted = 1;
  expect(arena, &yard, 30);
  yard.wanted = 4;
  expect(arena, &yard, 100); /* there is one plank to resaw */
  yard.thick_count = -1;
  expect(arena, &yard, 80);
  yard.cut_cost = 12; /* one cut for each plank resawn: 2 x 52 against 60 and 52 and 120 */
  expect(arena, &yard, 104);
  yard.resaw_cuts = 2;
  expect(arena, &yard, 120);
}

/* A plank is cut as it is or resawn, never both. */
static void one_plank_for_both(struct arena *arena) {
  struct yard yard = {.wanted = 3,
                      .strips = 2,
                      .wide = 1,
                      .wide_cost = 100,
                      .wide_count = -1,
                      .thick = 2,
                      .thick_cost = 10,
                      .thick_count = 1,
                      .leaves = 2,
                      .thick_whole = true,
                      .leaf_strips = true};
  expect(arena, &yard, 10 + 100); /* two blanks either way; the third from a wide plank */
  yard.leaves = 3;                /* six strips make three blanks */
  expect(arena, &yard, 10);
}

static int64_t maybe_count(void) { return random_chance(1, 2) ? random_between(1, 3) : -1; }

static struct yard random_yard(void) {
  struct yard yard = {.wanted = random_between(1, 5),
                      .strips = random_between(0, 3),
                      .wide = random_between(0, 3),
                      .wide_cost = random_between(20, 90),
                      .wide_count = maybe_count(),
                      .narrow = random_between(0, 4),
                      .narrow_cost = random_between(5, 40),
                      .narrow_count = maybe_count(),
                      .thick = random_between(1, 3),
                      .thick_cost = random_between(20, 90),
                      .thick_count = maybe_count(),
                      .leaves = random_between(0, 3),
                      .thick_whole = random_chance(1, 2),
                      .leaf_blanks = random_chance(1, 2)};
  if (yard.strips == 1) yard.strips = 0;
  if (yard.leaves == 1) yard.leaves = 0;
  yard.leaf_strips = yard.strips > 0 && (!yard.leaf_blanks || random_chance(1, 2));
  return yard;
}

/* No solution by trying everything lies under the bound, and the best one is found. */
static void bounds_hold(struct arena *arena) {
  enum { ROUNDS = 150 };
  int missed = 0;
  int proved = 0;
  random_start(71);
  for (int round = 0; round < ROUNDS; round++) {
    struct yard yard = random_yard();
    struct arena *own = arena_create_child(arena);
    struct market market;
    struct nest_answer answer;
    struct nest_options options = {.effort = 1000};
    int64_t least = least_cost(&yard);
    open_market(&market, &yard);
    if (market.problem.stock_count == 0) continue;
    nest_solve(own, &market.problem, &options, &answer);
    if (answer.complete) check_answer(&market, &answer);
    assert_true(least >= 0 || !answer.complete);
    if (least < 0) continue;
    assert_true(answer.complete);
    assert_true(answer.bound <= least * COST_PER_CENT);
    assert_true(answer.cost >= least * COST_PER_CENT);
    missed += answer.cost > least * COST_PER_CENT;
    proved += answer.bound == answer.cost;
  }
  assert_true(missed <= 2);
  assert_true(proved >= 110);
}

/* Strips on hand count against what is wanted; blanks already made want no strips. */
static void limits_and_assembling(struct arena *arena) {
  struct market market;
  struct yard yard = {.wanted = 4, .strips = 3, .narrow = 2, .narrow_count = -1};
  int64_t limit[ROWS];
  (void)arena;
  open_market(&market, &yard);
  nest_useful_limits(&market.problem, market.demand, limit);
  assert_int_equal(limit[BLANK], 4);
  assert_int_equal(limit[STRIPS], 12);
  assert_int_equal(nest_most_pieces(&market.problem, market.demand), 12);
  int64_t open[ROWS] = {2, -4, 0};
  nest_useful_limits(&market.problem, open, limit);
  assert_int_equal(limit[STRIPS], 2);
  int64_t times[5] = {0};
  nest_assemble(&market.problem, open, times);
  assert_int_equal(open[BLANK], 1);
  assert_int_equal(open[STRIPS], -1);
  assert_int_equal(times[1], 1);
  int64_t done[ROWS] = {0, -7, 0};
  nest_assemble(&market.problem, done, NULL);
  assert_int_equal(done[STRIPS], -7);
  assert_true(nest_is_coupling(&market.problem, LEAVES));
  assert_false(nest_is_coupling(&market.problem, BLANK));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(gluing_where_it_is_cheaper),
      ARENA_TEST(gluing_where_no_plank_is_wide_enough),
      ARENA_TEST(resawing_where_it_is_cheaper),
      ARENA_TEST(one_plank_for_both),
      ARENA_TEST(bounds_hold),
      ARENA_TEST(limits_and_assembling),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
