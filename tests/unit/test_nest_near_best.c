/* Layouts worth nearly the most, against every count of pieces that some layout makes. */
#include "nest/flawed.h"
#include "nest/near_best.h"
#include "nest_fixture.h"

enum { CASES = 150, MOST_COPIES = 2 };

struct asked {
  struct random_case random;
  int64_t limit[MOST_OPTIONS];
  cost_t least;
  struct near_list list;
};

/* The trees built are allowed and make what the entries say, or more. */
static void check_trees(struct arena *arena, const struct asked *asked) {
  const struct nest_stock *stock = &asked->random.stock;
  for (size_t i = 0; i < asked->list.count; i++) {
    struct node root = {.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
    struct tree_look look;
    int64_t counts[MOST_OPTIONS];
    cost_t worth = 0;
    near_entry_build(arena, stock, asked->list.items[i], &root);
    near_entry_counts(asked->list.items[i], stock->option_count, counts);
    const char *fault = tree_fault(stock, &root, asked->random.worth, 0, true, &look);
    assert_string_equal(fault == NULL ? "" : fault, "");
    for (size_t d = 0; d < stock->option_count; d++) {
      assert_true(counts[d] <= asked->limit[d] && counts[d] <= look.counts[d]);
      worth += counts[d] * asked->random.worth[d];
    }
    assert_true(worth >= asked->least);
  }
}

static bool is_covered(const struct asked *asked, const int64_t *wanted) {
  for (size_t i = 0; i < asked->list.count; i++) {
    int64_t counts[MOST_OPTIONS];
    bool covers = true;
    near_entry_counts(asked->list.items[i], asked->random.stock.option_count, counts);
    for (size_t d = 0; d < asked->random.stock.option_count; d++)
      covers = covers && counts[d] >= wanted[d];
    if (covers) return true;
  }
  return false;
}

/* Whether a layout makes so many pieces: with each worth 1, and no more allowed, all are cut. */
static bool is_makeable(struct arena *arena, const struct asked *asked, const int64_t *wanted) {
  cost_t ones[MOST_OPTIONS];
  cost_t pieces = 0;
  for (size_t d = 0; d < asked->random.stock.option_count; d++) {
    ones[d] = 1;
    pieces += wanted[d];
  }
  return brute_best(arena, &asked->random.stock, ones, wanted, 0) == pieces;
}

/* Returns how many count vectors were worth enough. */
static int check_all_listed(struct arena *arena, const struct asked *asked) {
  size_t demands = asked->random.stock.option_count;
  int64_t wanted[MOST_OPTIONS] = {0};
  int checked = 0;
  for (size_t d = 0; d < demands;) {
    cost_t worth = 0;
    for (size_t i = 0; i < demands; i++) worth += wanted[i] * asked->random.worth[i];
    if (worth > 0 && worth >= asked->least && is_makeable(arena, asked, wanted)) {
      assert_true(is_covered(asked, wanted));
      checked++;
    }
    for (d = 0; d < demands && ++wanted[d] > asked->limit[d]; d++) wanted[d] = 0;
  }
  return checked;
}

enum trait { RULED = 1, FLAWED = 2, WIDE_KERFS = 4 };

static void draw(struct asked *asked, int stages, unsigned traits) {
  random_case(&asked->random, 10, 6, stages);
  if (traits & RULED) random_rules(&asked->random);
  if (traits & RULED) random_first_cut(&asked->random);
  if (traits & FLAWED) {
    asked->random.stock.kerf_crosscut = random_between(0, 1);
    asked->random.stock.kerf_rip = random_between(0, 1);
    random_flaws(&asked->random);
  }
  if (traits & WIDE_KERFS) {
    asked->random.stock.kerf_crosscut = random_between(1, 2);
    asked->random.stock.kerf_rip = 3 - asked->random.stock.kerf_crosscut;
  }
}

static struct flawed *flawed_of(struct arena *arena, const struct asked *asked,
                                struct staged *staged) {
  if (asked->random.stock.flaw_count == 0) return NULL;
  return flawed_create(arena, &asked->random.stock, staged, 0);
}

static void check_cases(struct arena *arena, uint64_t seed, unsigned traits) {
  int checked = 0;
  random_start(seed);
  for (int round = 0; round < CASES; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct asked asked = {.list = {NULL, 0, 0}};
    draw(&asked, 1 + round % 3, traits);
    for (size_t d = 0; d < MOST_OPTIONS; d++) asked.limit[d] = random_between(0, MOST_COPIES);
    struct staged *staged = staged_create(arena, &asked.random.stock, 0);
    staged_price(staged, asked.random.worth);
    asked.least = staged_best(staged) * random_between(0, 10) / 10;
    struct near_question question = {.stock = &asked.random.stock,
                                     .staged = staged,
                                     .flawed = flawed_of(arena, &asked, staged),
                                     .option_worth = asked.random.worth,
                                     .demand_worth = asked.random.worth,
                                     .demand_count = asked.random.stock.option_count,
                                     .limit = asked.limit,
                                     .least = asked.least,
                                     .steps = INT64_C(100000000)};
    assert_true(near_best_list(arena, &question, &asked.list));
    check_trees(arena, &asked);
    checked += check_all_listed(arena, &asked);
    arena_release(arena, mark);
  }
  assert_true(checked > CASES / 4);
}

static void all_are_listed(struct arena *arena) { check_cases(arena, 71, 0); }
static void all_are_listed_with_rules(struct arena *arena) { check_cases(arena, 72, RULED); }
static void all_are_listed_around_flaws(struct arena *arena) { check_cases(arena, 74, FLAWED); }

static void all_are_listed_around_flaws_with_rules(struct arena *arena) {
  check_cases(arena, 75, FLAWED | RULED);
}

static void all_are_listed_with_wide_kerfs(struct arena *arena) {
  check_cases(arena, 76, FLAWED | WIDE_KERFS);
}

static void says_when_steps_run_out(struct arena *arena) {
  random_start(73);
  struct asked asked = {.list = {NULL, 0, 0}};
  random_case(&asked.random, 10, 6, 3);
  for (size_t d = 0; d < MOST_OPTIONS; d++) asked.limit[d] = MOST_COPIES;
  struct staged *staged = staged_create(arena, &asked.random.stock, 0);
  staged_price(staged, asked.random.worth);
  struct near_question question = {.stock = &asked.random.stock,
                                   .staged = staged,
                                   .option_worth = asked.random.worth,
                                   .demand_worth = asked.random.worth,
                                   .demand_count = asked.random.stock.option_count,
                                   .limit = asked.limit,
                                   .steps = 1};
  assert_false(near_best_list(arena, &question, &asked.list));
}

int main(void) {
  const struct CMUnitTest tests[] = {ARENA_TEST(all_are_listed),
                                     ARENA_TEST(all_are_listed_with_rules),
                                     ARENA_TEST(all_are_listed_around_flaws),
                                     ARENA_TEST(all_are_listed_around_flaws_with_rules),
                                     ARENA_TEST(all_are_listed_with_wide_kerfs),
                                     ARENA_TEST(says_when_steps_run_out)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
