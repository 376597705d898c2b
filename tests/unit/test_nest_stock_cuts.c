/* The cheapest set of stock that meets its cuts, against all sets one by one. */
#include "nest/stock_cuts.h"

#include "nest_fixture.h"

enum { MOST_STOCKS = 4, MOST_CUTS = 3, MOST_REFUSED = 2, BELOW = 300, STEPS = 1000000 };

struct sets {
  struct nest_problem problem;
  struct nest_stock stocks[MOST_STOCKS];
  int64_t least[MOST_STOCKS], most[MOST_STOCKS];
  cost_t worth[MOST_CUTS][MOST_STOCKS];
  struct stock_cut cuts[MOST_CUTS];
  int64_t refused[MOST_REFUSED][MOST_STOCKS];
  const int64_t *refusals[MOST_REFUSED];
  struct stock_choice choice;
};

static void random_sets(struct sets *sets) {
  *sets = (struct sets){.choice = {.stock_count = (size_t)random_between(1, MOST_STOCKS)}};
  sets->problem.stocks = sets->stocks;
  for (size_t s = 0; s < sets->choice.stock_count; s++) {
    sets->stocks[s] = plain_stock(random_between(5, 20), random_between(5, 20), 1);
    sets->stocks[s].pack = random_between(1, 3);
    sets->stocks[s].cost = random_between(1, 40);
    sets->least[s] = random_chance(1, 4) ? sets->stocks[s].pack : 0;
    sets->most[s] = sets->stocks[s].pack * random_between(1, 3);
  }
  sets->choice.problem = &sets->problem;
  sets->choice.least = sets->least;
  sets->choice.most = sets->most;
  sets->choice.cuts = sets->cuts;
  sets->choice.cut_count = (size_t)random_between(0, MOST_CUTS);
  for (size_t c = 0; c < sets->choice.cut_count; c++) {
    for (size_t s = 0; s < sets->choice.stock_count; s++) sets->worth[c][s] = random_between(0, 30);
    sets->cuts[c].most = sets->worth[c];
    sets->cuts[c].need = random_between(0, 120);
  }
  sets->choice.refused.pieces = sets->refusals;
  sets->choice.refused.count = (size_t)random_between(0, MOST_REFUSED);
  for (size_t r = 0; r < sets->choice.refused.count; r++) {
    sets->refusals[r] = sets->refused[r];
    for (size_t s = 0; s < sets->choice.stock_count; s++)
      sets->refused[r][s] = random_between(0, sets->most[s]);
  }
}

static bool is_wanted(const struct sets *sets, const int64_t *pieces) {
  const struct stock_choice *choice = &sets->choice;
  for (size_t c = 0; c < choice->cut_count; c++) {
    cost_t have = 0;
    for (size_t s = 0; s < choice->stock_count; s++) have += pieces[s] * sets->worth[c][s];
    if (have < sets->cuts[c].need) return false;
  }
  for (size_t r = 0; r < choice->refused.count; r++) {
    bool held = true;
    for (size_t s = 0; s < choice->stock_count; s++)
      held = held && pieces[s] <= sets->refused[r][s];
    if (held) return false;
  }
  return true;
}

static cost_t cost_of(const struct sets *sets, const int64_t *pieces) {
  cost_t cost = 0;
  for (size_t s = 0; s < sets->choice.stock_count; s++)
    cost += nest_stock_cost(&sets->stocks[s], pieces[s]);
  return cost;
}

static cost_t cheapest_of_all(const struct sets *sets, size_t s, int64_t *pieces, cost_t below) {
  if (s == sets->choice.stock_count) {
    cost_t cost = cost_of(sets, pieces);
    return cost < below && is_wanted(sets, pieces) ? cost : below;
  }
  for (int64_t n = sets->least[s]; n <= sets->most[s]; n++) {
    pieces[s] = n;
    below = cheapest_of_all(sets, s + 1, pieces, below);
  }
  return below;
}

static void cheapest_against_all(struct arena *arena) {
  random_start(1);
  int found = 0;
  for (int n = 0; n < 2000; n++) {
    struct sets sets;
    int64_t all[MOST_STOCKS];
    int64_t pieces[MOST_STOCKS] = {0};
    int64_t steps = STEPS;
    random_sets(&sets);
    cost_t expected = cheapest_of_all(&sets, 0, all, BELOW);
    cost_t cost = stock_choice_cheapest(arena, &sets.choice, BELOW, pieces, &steps);
    assert_int_equal(cost, expected);
    if (cost == BELOW) continue;
    found++;
    assert_int_equal(cost_of(&sets, pieces), cost);
    assert_true(is_wanted(&sets, pieces));
  }
  assert_in_range(found, 500, 1990);
}

static void just_enough_is_allowed(struct arena *arena) {
  (void)arena;
  cost_t most[] = {3, 2};
  struct stock_choice choice = {.stock_count = 2};
  struct stock_cut cut = {.most = most, .need = 8};
  assert_true(stock_cut_allows(&choice, &cut, (const int64_t[]){2, 1}));
  assert_false(stock_cut_allows(&choice, &cut, (const int64_t[]){1, 2}));
  assert_true(stock_cut_allows(&choice, &cut, (const int64_t[]){0, 4}));
}

static void few_steps_tell_nothing(struct arena *arena) {
  random_start(2);
  struct sets sets;
  do random_sets(&sets);
  while (sets.choice.cut_count == 0);
  int64_t pieces[MOST_STOCKS];
  int64_t steps = 1;
  assert_int_equal(stock_choice_cheapest(arena, &sets.choice, BELOW, pieces, &steps), -1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(cheapest_against_all),
      ARENA_TEST(just_enough_is_allowed),
      ARENA_TEST(few_steps_tell_nothing),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
