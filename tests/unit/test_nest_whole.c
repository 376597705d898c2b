/* Whole numbers of layouts, against every choice of them. */
#include "nest/whole.h"
#include "nest_fixture.h"

enum { CASES = 300, LAYOUTS = 5, DEMANDS = 3, STOCKS = 2 };

struct asked {
  int64_t counts[LAYOUTS][DEMANDS];
  struct whole_layout layouts[LAYOUTS];
  int64_t demand[DEMANDS], most[STOCKS];
  cost_t missing_cost[DEMANDS];
};

static void make_case(struct asked *asked) {
  for (size_t l = 0; l < LAYOUTS; l++) {
    asked->layouts[l].stock = (size_t)random_between(0, STOCKS - 1);
    asked->layouts[l].counts = asked->counts[l];
    for (size_t d = 0; d < DEMANDS; d++) asked->counts[l][d] = random_between(0, 4);
  }
  for (size_t d = 0; d < DEMANDS; d++) {
    asked->demand[d] = random_between(3, 14);
    asked->missing_cost[d] = COST_PER_CENT;
  }
  for (size_t s = 0; s < STOCKS; s++) asked->most[s] = random_between(0, 4);
}

static bool holds(const struct asked *asked, const int64_t *taken) {
  for (size_t s = 0; s < STOCKS; s++) {
    int64_t used = 0;
    for (size_t l = 0; l < LAYOUTS; l++)
      if (asked->layouts[l].stock == s) used += taken[l];
    if (used > asked->most[s]) return false;
  }
  for (size_t d = 0; d < DEMANDS; d++) {
    int64_t made = 0;
    for (size_t l = 0; l < LAYOUTS; l++) made += taken[l] * asked->counts[l][d];
    if (made < asked->demand[d]) return false;
  }
  return true;
}

static bool any_holds(const struct asked *asked) {
  int64_t taken[LAYOUTS] = {0};
  for (size_t l = 0; l < LAYOUTS;) {
    if (holds(asked, taken)) return true;
    for (l = 0; l < LAYOUTS && ++taken[l] > asked->most[asked->layouts[l].stock]; l++) taken[l] = 0;
  }
  return false;
}

static struct whole_question question_of(const struct asked *asked, int64_t steps) {
  return (struct whole_question){.demand_count = DEMANDS,
                                 .stock_count = STOCKS,
                                 .demand = asked->demand,
                                 .most = asked->most,
                                 .missing_cost = asked->missing_cost,
                                 .layouts = asked->layouts,
                                 .layout_count = LAYOUTS,
                                 .steps = steps};
}

static void found_or_none(struct arena *arena) {
  int found = 0;
  random_start(81);
  for (int round = 0; round < CASES; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct asked asked;
    int64_t taken[LAYOUTS];
    make_case(&asked);
    struct whole_question question = question_of(&asked, INT64_C(1000000000));
    enum whole_answer answer = whole_search(arena, &question, taken);
    bool any = any_holds(&asked);
    assert_int_equal(answer, any ? WHOLE_FOUND : WHOLE_NONE);
    if (any) assert_true(holds(&asked, taken));
    found += any ? 1 : 0;
    arena_release(arena, mark);
  }
  assert_true(found > CASES / 10 && found < CASES * 9 / 10);
}

static void unknown_when_steps_run_out(struct arena *arena) {
  random_start(82);
  struct asked asked;
  int64_t taken[LAYOUTS];
  make_case(&asked);
  struct whole_question question = question_of(&asked, 1);
  assert_int_equal(whole_search(arena, &question, taken), WHOLE_UNKNOWN);
}

int main(void) {
  const struct CMUnitTest tests[] = {ARENA_TEST(found_or_none),
                                     ARENA_TEST(unknown_when_steps_run_out)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
