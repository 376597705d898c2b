/* One layout at given worths and limits, against every cut of tiny stock. */
#include "nest/pricer.h"
#include "nest/unstaged.h"

#include "nest_fixture.h"

enum { PLENTY = 50000000, DEMANDS = 3 };

struct priced_case {
  struct random_case random;
  cost_t option_worth[MOST_OPTIONS];
  int64_t limit[MOST_OPTIONS];
};

enum { RULES = 1, FIRST_CUT = 2, FLAWS = 4 };

/* Two or three demands, the first perhaps with a turned option too. */
static void make_case(struct priced_case *made, int stages, int what) {
  struct random_case *random = &made->random;
  do random_case(random, 9, 6, stages);
  while (random->stock.option_count < 2 || random->stock.option_count > DEMANDS);
  struct nest_stock *stock = &random->stock;
  struct nest_option turned =
      plain_option(0, 0, random->options[0].width, random->options[0].length);
  turned.turned = true;
  bool fits = turned.length <= stock->length && turned.width <= stock->width;
  if ((what & FIRST_CUT) != 0 && random_chance(1, 2)) random_first_cut(random);
  if ((what & RULES) != 0) {
    random_rules(random);
    stock->rules.rip_no_wider_than_long = random_chance(1, 2);
    if (random_chance(1, 2)) stock->rules.rip_capacity = random_between(1, 4);
  }
  if ((what & FLAWS) != 0) {
    stock->kerf_crosscut = random_between(0, 1);
    stock->kerf_rip = random_between(0, 1);
    random_flaws(random);
  }
  if (fits && random_chance(1, 2)) random->options[stock->option_count++] = turned;
  for (size_t o = 0; o < stock->option_count; o++)
    made->option_worth[o] = random->worth[random->options[o].demand];
  for (size_t d = 0; d < random->problem.demand_count; d++)
    made->limit[d] = random_chance(1, 8) ? 0 : random_between(1, 2);
}

static void blame(const struct priced_case *made, const struct priced *priced, cost_t brute,
                  int round, const char *fault) {
  fprintf(stderr, "case %d: worth %d, bound %d, brute %d; limits %d %d %d; %s\n", round,
          (int)priced->worth, (int)priced->bound, (int)brute, (int)made->limit[0],
          (int)made->limit[1], (int)made->limit[2], fault == NULL ? "" : fault);
  random_case_print(&made->random);
  tree_print(&priced->root, 1);
}

/* Whether the run came to one of the two ends where nothing is left to look for. */
static bool check(struct arena *arena, const struct priced_case *made, int round, cost_t goal,
                  int64_t steps) {
  const struct random_case *random = &made->random;
  struct pricer *pricer = pricer_create(arena, &random->problem, 0, &(size_t){UNSTAGED_CELLS_MOST});
  struct priced priced;
  struct tree_look look;
  pricer_run(arena, pricer, random->worth, made->limit, goal, steps, &priced);
  cost_t brute =
      brute_best(arena, &random->stock, made->option_worth, made->limit, random->problem.cut_cost);
  const char *fault = tree_fault(&random->stock, &priced.root, made->option_worth,
                                 random->problem.cut_cost, true, &look);
  bool fine =
      fault == NULL && look.worth == priced.worth && priced.worth <= brute && brute <= priced.bound;
  if (!fine) blame(made, &priced, brute, round, fault);
  assert_string_equal(fault == NULL ? "" : fault, "");
  assert_int_equal(look.worth, priced.worth);
  assert_int_equal(look.cuts, priced.cuts);
  assert_true(priced.worth <= brute);
  assert_true(brute <= priced.bound);
  for (size_t d = 0; d < random->problem.demand_count; d++) {
    assert_int_equal(look.counts[d], priced.counts[d]);
    assert_true(priced.counts[d] <= made->limit[d]);
  }
  if (priced.worth == 0) assert_int_equal(look.cuts, 0);
  assert_true(pricer_steps(pricer) >= 0);
  return priced.worth == priced.bound || priced.bound <= goal || priced.worth > goal;
}

/* The number of runs that left something to look for. */
static int check_cases(struct arena *arena, uint64_t seed, int what) {
  random_start(seed);
  int open = 0;
  for (int round = 0; round < 150; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct priced_case made;
    make_case(&made, round % 4, what);
    cost_t goal = random_chance(1, 3) ? random_between(0, 200) : INT64_MAX / 4;
    if (!check(arena, &made, round, goal, PLENTY)) open++;
    arena_release(arena, mark);
  }
  return open;
}

static void limits_and_bounds_hold(struct arena *arena) {
  assert_true(check_cases(arena, 91, 0) < 15);
}

static void with_rules(struct arena *arena) {
  assert_true(check_cases(arena, 92, RULES | FIRST_CUT) < 15);
}

static void with_flaws(struct arena *arena) { check_cases(arena, 93, FLAWS); }
static void with_flaws_and_rules(struct arena *arena) { check_cases(arena, 94, FLAWS | RULES); }

static void with_flaws_and_a_first_cut(struct arena *arena) {
  check_cases(arena, 98, FLAWS | FIRST_CUT);
}

static void stopped_early(struct arena *arena) {
  random_start(95);
  for (int round = 0; round < 150; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct priced_case made;
    make_case(&made, round % 4, (round % 3 == 0 ? RULES : 0) | (round % 5 == 0 ? FLAWS : 0));
    check(arena, &made, round, INT64_MAX / 4, random_between(0, 200));
    arena_release(arena, mark);
  }
}

/* One pricer serves many pricings, each as if it were the first. */
static void priced_again(struct arena *arena) {
  random_start(96);
  for (int round = 0; round < 40; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct priced_case made;
    make_case(&made, round % 4, (round % 2 == 0 ? RULES : 0) | (round % 5 == 0 ? FLAWS : 0));
    struct pricer *pricer =
        pricer_create(arena, &made.random.problem, 0, &(size_t){UNSTAGED_CELLS_MOST});
    for (int pricing = 0; pricing < 3; pricing++) {
      cost_t worth[MOST_OPTIONS] = {0};
      for (size_t d = 0; d < made.random.problem.demand_count; d++)
        worth[d] = random_between(0, 100);
      for (size_t o = 0; o < made.random.stock.option_count; o++)
        made.option_worth[o] = worth[made.random.options[o].demand];
      struct priced priced;
      pricer_run(arena, pricer, worth, made.limit, INT64_MAX / 4, PLENTY, &priced);
      cost_t brute = brute_best(arena, &made.random.stock, made.option_worth, made.limit,
                                made.random.problem.cut_cost);
      if (priced.worth > brute || brute > priced.bound) blame(&made, &priced, brute, round, NULL);
      assert_true(priced.worth <= brute);
      assert_true(brute <= priced.bound);
    }
    arena_release(arena, mark);
  }
}

static void nothing_is_worth_a_cut(struct arena *arena) {
  struct nest_option option = plain_option(0, 0, 3, 2);
  int64_t demand = 5;
  cost_t worth = 3;
  struct nest_stock stock = plain_stock(9, 6, 1);
  struct nest_problem problem = {
      .demand = &demand, .demand_count = 1, .stocks = &stock, .stock_count = 1, .cut_cost = 4};
  struct priced priced;
  stock.options = &option;
  stock.option_count = 1;
  pricer_run(arena, pricer_create(arena, &problem, 0, &(size_t){UNSTAGED_CELLS_MOST}), &worth,
             &demand, 0, PLENTY, &priced);
  assert_int_equal(priced.worth, 0);
  assert_int_equal(priced.root.kind, NODE_WASTE);
  assert_int_equal(priced.root.length, 9);
  assert_int_equal(priced.counts[0], 0);
  assert_int_equal(priced.cuts, 0);
}

/* ---- clipping ---- */

static bool has_waste_in_front(const struct node *node) {
  bool piece_behind = false;
  for (size_t i = node->child_count; i-- > 0;) {
    if (node->children[i].kind != NODE_WASTE) piece_behind = true;
    if (node->children[i].kind == NODE_WASTE && piece_behind) return true;
  }
  for (size_t i = 0; i < node->child_count; i++)
    if (has_waste_in_front(&node->children[i])) return true;
  return false;
}

static void clipped_to_the_limits(struct arena *arena) {
  random_start(97);
  int packed = 0;
  for (int round = 0; round < 200; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct priced_case made;
    make_case(&made, 3, (round % 2 == 0 ? RULES | FIRST_CUT : 0) | (round % 4 == 1 ? FLAWS : 0));
    const struct nest_stock *stock = &made.random.stock;
    int64_t plenty[MOST_OPTIONS] = {9, 9, 9, 9, 9};
    struct priced priced;
    struct tree_look look;
    pricer_run(arena, pricer_create(arena, &made.random.problem, 0, &(size_t){UNSTAGED_CELLS_MOST}),
               made.random.worth, plenty, INT64_MAX / 4, PLENTY, &priced);
    int64_t counts[MOST_OPTIONS];
    memcpy(counts, priced.counts, made.random.problem.demand_count * sizeof *counts);
    struct node root = cutting_copy(arena, &priced.root, 0, 0);
    pricer_clip(arena, arena_create_child(arena), &made.random.problem, stock, made.limit, &root,
                counts);
    const char *fault = tree_fault(stock, &root, NULL, 0, true, &look);
    if (fault != NULL) blame(&made, &priced, 0, round, fault);
    assert_string_equal(fault == NULL ? "" : fault, "");
    for (size_t d = 0; d < made.random.problem.demand_count; d++) {
      int64_t expected = priced.counts[d] < made.limit[d] ? priced.counts[d] : made.limit[d];
      assert_int_equal(counts[d], expected);
      assert_int_equal(look.counts[d], expected);
    }
    assert_true(look.cuts <= cutting_count_cuts(&priced.root));
    bool ruled = stock->rules.rip_no_wider_than_long || stock->rules.rip_capacity > 0;
    bool cut = look.cuts < cutting_count_cuts(&priced.root);
    if (stock->flaw_count == 0 && !ruled && cut) {
      assert_false(has_waste_in_front(&root));
      packed++;
    }
    arena_release(arena, mark);
  }
  assert_true(packed > 20);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(limits_and_bounds_hold),
      ARENA_TEST(with_rules),
      ARENA_TEST(with_flaws),
      ARENA_TEST(with_flaws_and_rules),
      ARENA_TEST(with_flaws_and_a_first_cut),
      ARENA_TEST(stopped_early),
      ARENA_TEST(priced_again),
      ARENA_TEST(nothing_is_worth_a_cut),
      ARENA_TEST(clipped_to_the_limits),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
