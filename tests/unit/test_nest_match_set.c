/* One set of a match from one piece of stock, against trying every cut; and plans that must hold
 * sets among much else. */
#include "nest/match_set.h"
#include "nest_fixture.h"

enum { STEPS = 1000000, NO_STEPS = 1 };

/* A match of all the demands that a stock's options serve, so many of each to a set. */
struct matched {
  struct nest_problem problem;
  struct nest_stock stock;
  struct nest_match match;
  size_t member[MOST_OPTIONS];
  int64_t per_set[MOST_OPTIONS];
  int64_t demand[MOST_OPTIONS + 1];
};

static void match_all(struct matched *matched, const struct nest_stock *stock, size_t members) {
  matched->stock = *stock;
  matched->match = (struct nest_match){members, matched->member, matched->per_set, members};
  for (size_t i = 0; i < members; i++) {
    matched->member[i] = i;
    matched->demand[i] = matched->per_set[i];
  }
  matched->demand[members] = 1;
  matched->problem = (struct nest_problem){.demand = matched->demand,
                                           .demand_count = members + 1,
                                           .stocks = &matched->stock,
                                           .stock_count = 1,
                                           .cut_cost = 5,
                                           .matches = &matched->match,
                                           .match_count = 1};
}

static void expect_layout_of_set(const struct matched *matched, const struct node *root,
                                 const int64_t *counts) {
  static const cost_t worthless[MOST_OPTIONS + 1];
  struct tree_look look;
  const char *fault = tree_fault(&matched->stock, root, worthless, 0, true, &look);
  if (fault != NULL) fail_msg("%s", fault);
  for (size_t i = 0; i < matched->match.member_count; i++) {
    assert_int_equal(counts[i], matched->per_set[i]);
    assert_int_equal(look.counts[i], matched->per_set[i]);
  }
  assert_int_equal(counts[matched->match.demand], 1);
}

static enum set_answer ask(struct arena *arena, const struct matched *matched, int64_t steps) {
  int64_t counts[MOST_OPTIONS + 1];
  int64_t taken = 0;
  struct node root;
  enum set_answer answer =
      match_set_lay(arena, &matched->problem, 0, 0, steps, &taken, &root, counts);
  if (answer == SET_HELD) expect_layout_of_set(matched, &root, counts);
  assert_true(taken >= 0);
  assert_int_equal(match_set_is_refuted(arena, &matched->problem, 0, steps), answer == SET_REFUTED);
  return answer;
}

/* Three of 10 x 5 with kerfs of 1 in a row take 32. */
static void sets_by_hand(struct arena *arena) {
  struct matched matched = {.per_set = {2, 1}};
  struct nest_option options[] = {plain_option(0, 0, 10, 5), plain_option(1, 1, 10, 5)};
  struct nest_stock stock = plain_stock(32, 5, 1);
  stock.options = options;
  stock.option_count = 2;
  match_all(&matched, &stock, 2);
  assert_int_equal(ask(arena, &matched, STEPS), SET_HELD);
  matched.stock.length = 31;
  assert_int_equal(ask(arena, &matched, STEPS), SET_REFUTED);
  /* a member that the stock does not yield */
  matched.stock.length = 32;
  matched.stock.option_count = 1;
  assert_int_equal(ask(arena, &matched, STEPS), SET_REFUTED);
}

/* Whole area and each piece fit, but in no cuts from edge to edge. */
static void a_ring_of_pieces_is_refuted(struct arena *arena) {
  struct matched matched = {.per_set = {2, 2, 1}};
  struct nest_option options[] = {plain_option(0, 0, 6, 3), plain_option(1, 1, 3, 6),
                                  plain_option(2, 2, 3, 3)};
  struct nest_stock stock = plain_stock(9, 9, 0);
  stock.rules.stages = 0;
  stock.options = options;
  stock.option_count = 3;
  match_all(&matched, &stock, 3);
  assert_int_equal(ask(arena, &matched, STEPS), SET_REFUTED);
}

static cost_t worth_of_set(const struct matched *matched, cost_t *worth) {
  cost_t whole = 0;
  for (size_t i = 0; i < matched->match.member_count; i++) {
    worth[i] = matched->stock.options[i].length * matched->stock.options[i].width;
    whole += worth[i] * matched->per_set[i];
  }
  return whole;
}

/* Returns how many of the cases stay open. Pieces are small enough that sets fit now and then. */
static int against_every_cut(struct arena *arena, int cases, bool flaws, int *held, int *refuted) {
  int open = 0;
  for (int c = 0; c < cases; c++) {
    struct arena_mark mark = arena_mark(arena);
    struct random_case random;
    struct matched matched;
    cost_t worth[MOST_OPTIONS];
    random_case(&random, 9, 7, (int)random_between(0, 4));
    random_rules(&random);
    if (flaws) random_flaws(&random);
    for (size_t o = 0; o < random.stock.option_count; o++) {
      random.options[o].length = (random.options[o].length + 1) / 2;
      random.options[o].width = (random.options[o].width + 1) / 2;
      random.options[o].core_x = random.options[o].core_y = 0;
      matched.per_set[o] = random_between(1, 2);
    }
    match_all(&matched, &random.stock, random.stock.option_count);
    matched.stock.options = random.options;
    cost_t whole = worth_of_set(&matched, worth);
    bool fits = brute_best(arena, &matched.stock, worth, matched.per_set, 0) >= whole;
    enum set_answer answer = ask(arena, &matched, STEPS);
    if (answer == (fits ? SET_REFUTED : SET_HELD)) {
      random_case_print(&random);
      fail_msg("case %d: answered %d where a set %s", c, (int)answer, fits ? "fits" : "does not");
    }
    *held += answer == SET_HELD;
    *refuted += answer == SET_REFUTED;
    open += answer == SET_OPEN;
    arena_release(arena, mark);
  }
  return open;
}

enum { CASES = 200 };

static void sets_against_every_cut(struct arena *arena) {
  int held = 0, refuted = 0;
  random_start(20261127);
  int open = against_every_cut(arena, CASES, false, &held, &refuted);
  print_message("clear: %d held, %d refuted, %d open\n", held, refuted, open);
  assert_true(held > CASES / 10 && refuted > CASES / 10 && open < CASES / 20);
}

static void sets_around_flaws_against_every_cut(struct arena *arena) {
  int held = 0, refuted = 0;
  random_start(20261128);
  int open = against_every_cut(arena, CASES, true, &held, &refuted);
  print_message("around flaws: %d held, %d refuted, %d open\n", held, refuted, open);
  assert_true(held > CASES / 10 && refuted > CASES / 10);
}

/* ---- in plans ---- */

enum { KINDS = 24, SHORT_PLANKS = 400, LONG_LENGTH = 230 };

struct many {
  struct nest_problem problem;
  int64_t demand[KINDS + 1];
  struct nest_match match;
  struct nest_stock stocks[SHORT_PLANKS + 1];
};

/* Pieces 20 to 43 long, a match of the four longest, one of them twice: 212 with kerfs. Cheap
 * planks that hold three of them at most, so many that they are not solved at once; and one kind
 * that holds a set, dearer for its length. */
static void lay_out_many(struct arena *arena, struct many *many) {
  static size_t member[] = {KINDS - 4, KINDS - 3, KINDS - 2, KINDS - 1};
  static int64_t per_set[] = {1, 1, 2, 1};
  for (size_t d = 0; d < KINDS; d++) many->demand[d] = 2;
  many->demand[KINDS - 2] = 4;
  many->demand[KINDS] = 2;
  many->match = (struct nest_match){KINDS, member, per_set, 4};
  for (size_t s = 0; s <= SHORT_PLANKS; s++) {
    bool is_long = s == SHORT_PLANKS;
    struct nest_stock *stock = &many->stocks[s];
    *stock = plain_stock(is_long ? LONG_LENGTH : 90 + (length_t)s % 40, 10, 1);
    stock->options = ARENA_ARRAY(arena, KINDS, struct nest_option);
    stock->option_count = KINDS;
    for (size_t d = 0; d < KINDS; d++) stock->options[d] = plain_option(d, d, 20 + (length_t)d, 10);
    stock->count = is_long ? -1 : 1;
    stock->cost = is_long ? 2000 : 100 + (cost_t)s % 7;
  }
  many->problem = (struct nest_problem){.demand = many->demand,
                                        .demand_count = KINDS + 1,
                                        .stocks = many->stocks,
                                        .stock_count = SHORT_PLANKS + 1,
                                        .matches = &many->match,
                                        .match_count = 1};
}

static int64_t sets_laid(const struct many *many, const struct nest_answer *answer) {
  int64_t sets = 0;
  for (size_t l = 0; l < answer->layout_count; l++) {
    const struct nest_layout *layout = &answer->layouts[l];
    size_t demand_of_blank[KINDS];
    int64_t counts[KINDS + 1] = {0};
    for (size_t d = 0; d < KINDS; d++) demand_of_blank[d] = d;
    cutting_count_pieces(&layout->root, demand_of_blank, counts);
    nest_count_matches(&many->problem, counts);
    sets += layout->times * counts[KINDS];
  }
  return sets;
}

static void sets_are_found_among_very_many_planks(struct arena *arena) {
  struct many *many = ARENA_NEW(arena, struct many);
  struct nest_answer answer;
  lay_out_many(arena, many);
  struct nest_options options = {.effort = NO_STEPS};
  nest_solve(arena, &many->problem, &options, &answer);
  assert_true(answer.complete);
  assert_false(answer.undecided);
  assert_int_equal(sets_laid(many, &answer), 2);
}

/* Larger planks with flaws across them hold no set, though they have the room. */
static void sets_are_found_behind_larger_planks(struct arena *arena) {
  static struct nest_flaw across[] = {{100, 0, 10, 10, false}, {200, 0, 10, 10, false}};
  enum { LARGER = 20 };
  struct many *many = ARENA_NEW(arena, struct many);
  struct nest_answer answer;
  lay_out_many(arena, many);
  for (size_t s = 0; s < LARGER; s++) {
    many->stocks[s].length = 300;
    many->stocks[s].flaws = across;
    many->stocks[s].flaw_count = 2;
  }
  struct nest_options options = {.effort = NO_STEPS};
  nest_solve(arena, &many->problem, &options, &answer);
  assert_true(answer.complete);
  assert_int_equal(sets_laid(many, &answer), 2);
}

/* Told to stop before it began. */
static bool at_once(void *data) {
  (void)data;
  return true;
}

static void a_stop_leaves_a_plan_with_the_sets(struct arena *arena) {
  struct many *many = ARENA_NEW(arena, struct many);
  struct nest_answer answer;
  lay_out_many(arena, many);
  struct nest_options options = {.effort = NO_STEPS, .stop = at_once};
  nest_solve(arena, &many->problem, &options, &answer);
  assert_true(answer.interrupted);
  assert_true(answer.complete);
  assert_int_equal(sets_laid(many, &answer), 2);
}

/* Without the long one there is no plan, and it is known for certain that no set fits. */
static void sets_that_fit_nowhere_are_missing(struct arena *arena) {
  struct many *many = ARENA_NEW(arena, struct many);
  struct nest_answer answer;
  lay_out_many(arena, many);
  many->problem.stock_count--;
  struct nest_options options = {.effort = NO_STEPS};
  nest_solve(arena, &many->problem, &options, &answer);
  assert_false(answer.complete);
  assert_int_equal(answer.missing[KINDS], 2);
  for (size_t d = 0; d < KINDS; d++) assert_int_equal(answer.missing[d], 0);
  assert_true(match_set_is_refuted(arena, &many->problem, 0, STEPS));
  assert_true(answer.undecided);
}

/* Where all the stock has not the area, no effort helps. */
static void too_little_wood_is_for_certain(struct arena *arena) {
  struct many *many = ARENA_NEW(arena, struct many);
  struct nest_answer answer;
  lay_out_many(arena, many);
  many->problem.stock_count--;
  for (size_t d = 0; d <= KINDS; d++) many->demand[d] *= 40;
  struct nest_options options = {.effort = NO_STEPS};
  nest_solve(arena, &many->problem, &options, &answer);
  assert_false(answer.complete);
  assert_false(answer.undecided);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(sets_by_hand),
      ARENA_TEST(a_ring_of_pieces_is_refuted),
      ARENA_TEST(sets_against_every_cut),
      ARENA_TEST(sets_around_flaws_against_every_cut),
      ARENA_TEST(sets_are_found_among_very_many_planks),
      ARENA_TEST(sets_are_found_behind_larger_planks),
      ARENA_TEST(a_stop_leaves_a_plan_with_the_sets),
      ARENA_TEST(sets_that_fit_nowhere_are_missing),
      ARENA_TEST(too_little_wood_is_for_certain),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
