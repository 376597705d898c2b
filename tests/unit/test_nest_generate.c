/* Column generation: the bound by hand and against linear programs over every layout there is. */
#include "nest/improve.h"
#include "nest_search.h"

static const cost_t MONEY = 100 * COST_PER_CENT;
static const cost_t NOT_MADE = 200 * COST_PER_CENT; /* more than a piece and its cut cost */

/* Shadow prices are rounded to whole units, and what they are divided by rounded up. */
enum { ROUNDINGS = 1000 };

enum start { START_FROM_NOTHING, START_FROM_A_PLAN };

/* From a plan on the first prices are those of its layouts, else of pieces not made. `exact`
 * prices limits on copies exactly, which usual steps may leave open. */
static cost_t bound_after(struct arena *arena, struct job *job, enum start start, int rounds,
                          bool exact, struct generated *generated) {
  struct search *search = job_search(arena, job, NOT_MADE, INT64_C(1000000000));
  for (size_t s = 0; s < job->stock_count; s++)
    pricer_set_exact_steps(search->pricers[s], exact ? 1000000 : 0);
  struct region region = job_region(arena, search);
  if (start == START_FROM_A_PLAN) construct(search, &region);
  search->best_cost = COST_UNKNOWN;
  generate(search, &region, rounds, generated);
  return generated->bound;
}

/* Five of 4 out of lengths of 10, two each. At the first prices, those of pieces not made, a
 * layout is worth far more than it costs; scaled down until it pays for itself, the prices
 * prove two and a half lengths at once. */
static void first_prices_prove_a_bound(struct arena *arena) {
  struct job job;
  struct generated generated;
  job_open(&job);
  job_piece(&job, 4, 1, 5);
  job_stock(&job, 10, 1, 0, -1, MONEY);
  cost_t bound = bound_after(arena, &job, START_FROM_NOTHING, 1, false, &generated);
  assert_false(generated.converged);
  assert_in_range(bound, MONEY * 5 / 2 - ROUNDINGS, MONEY * 5 / 2);
}

/* The same with a cut of 1/50 of a length: two cuts a layout. The bound may count cuts or not,
 * but never more than 2.5 lengths and 5 cuts. */
static void cuts_are_not_counted_twice(struct arena *arena) {
  struct job job;
  struct generated generated;
  job_open(&job);
  job_piece(&job, 4, 1, 5);
  job_stock(&job, 10, 1, 0, -1, MONEY);
  job.problem.cut_cost = MONEY / 50;
  cost_t bound = bound_after(arena, &job, START_FROM_NOTHING, 1, false, &generated);
  assert_in_range(bound, MONEY * 5 / 2 - ROUNDINGS, MONEY * 26 / 10);
}

/* One short length of 6 holds one piece for 40, lengths of 10 hold two for 100. The first prices
 * know nothing of there being one short length only: 5 x 40. The last do: 40 + 4 x 50. */
static void the_cheapest_stock_sets_the_scale(struct arena *arena) {
  for (int rounds = 1; rounds <= 100; rounds += 99) {
    struct job job;
    struct generated generated;
    cost_t expected = MONEY / 100 * (rounds == 1 ? 200 : 240);
    job_open(&job);
    job_piece(&job, 4, 1, 5);
    job_stock(&job, 10, 1, 0, -1, MONEY);
    job_stock(&job, 6, 1, 0, 1, MONEY * 4 / 10);
    cost_t bound = bound_after(arena, &job, START_FROM_NOTHING, rounds, false, &generated);
    assert_in_range(bound, expected - ROUNDINGS, expected);
    assert_int_equal(generated.converged, rounds > 1);
  }
}

/* ---- against every layout ---- */

/* All rows of pieces that fit a length, each at most as often as wanted. */
static void add_rows(struct master *master, const struct job *job, size_t stock, size_t demand,
                     length_t left, int64_t *counts, cost_t *costs, size_t *count) {
  const struct nest_stock *from = &job->stocks[stock];
  if (demand < job->problem.demand_count) {
    length_t part = job->options[demand].length + from->kerf_crosscut;
    for (counts[demand] = 0; counts[demand] <= job->demand[demand]; counts[demand]++) {
      length_t rest = left - counts[demand] * part;
      if (rest < 0) break;
      add_rows(master, job, stock, demand + 1, rest, counts, costs, count);
    }
    counts[demand] = 0;
    return;
  }
  int64_t cuts = left > 0 ? 0 : -1; /* no cut behind a last piece that ends with the length */
  for (size_t d = 0; d < job->problem.demand_count; d++) cuts += counts[d];
  if (cuts < 0) return;
  cost_t cost = from->cost + cuts * job->problem.cut_cost;
  master_add(master, &(struct master_column){stock, cost, counts});
  costs[(*count)++] = cost;
}

enum { MOST_ROWS = 20000 };

static double least_of_all_rows(struct arena *arena, const struct job *job, size_t stocks) {
  struct master *master = master_create(arena, job->problem.demand_count, stocks);
  cost_t *costs = ARENA_ARRAY(arena, MOST_ROWS, cost_t);
  int64_t counts[JOB_DEMANDS] = {0};
  size_t count = 0;
  double least = 0;
  for (size_t d = 0; d < job->problem.demand_count; d++)
    master_set_demand(master, d, job->demand[d]);
  for (size_t s = 0; s < stocks; s++) {
    const struct nest_stock *stock = &job->stocks[s];
    master_set_stock(master, s, 0, stock->count);
    add_rows(master, job, s, 0, stock->length + stock->kerf_crosscut, counts, costs, &count);
    assert_true(count < MOST_ROWS);
  }
  assert_true(master_solve(master));
  for (size_t c = 0; c < count; c++) least += master_value(master, c) * (double)costs[c];
  master_close(master);
  return least;
}

static void random_lengths(struct job *job) {
  length_t kerf = random_between(0, 2);
  int pieces = (int)random_between(3, 7);
  job_open(job);
  for (int p = 0; p < pieces; p++) job_piece(job, random_between(5, 18), 1, random_between(1, 9));
  job_stock(job, random_between(30, 50), 1, kerf, -1, MONEY / 100 * random_between(50, 150));
  job_stock(job, random_between(30, 50), 1, kerf, random_between(0, 3),
            MONEY / 100 * random_between(20, 150));
  if (random_chance(1, 2)) job->problem.cut_cost = MONEY / 100 * random_between(1, 5);
}

/* However many rounds are run the bound is not above the least of all rows, and at the end it is
 * that: prices drawn towards good ones neither prove too much nor end too early. */
static void bounds_against_all_rows(struct arena *arena) {
  random_start(71);
  for (int round = 0; round < 120; round++) {
    struct arena_mark mark = arena_mark(arena);
    struct job job;
    random_lengths(&job);
    double least = least_of_all_rows(arena, &job, job.stock_count);
    for (int rounds = 1; rounds <= 256; rounds *= 2) {
      struct generated generated;
      double bound =
          (double)bound_after(arena, &job, round % 3 == 0 ? START_FROM_NOTHING : START_FROM_A_PLAN,
                              rounds, rounds == 256, &generated);
      assert_true(bound <= least * (1 + 1e-9) + 1);
      if (rounds < 256) continue;
      assert_true(generated.converged);
      assert_true(bound >= least * (1 - 1e-6) - ROUNDINGS);
    }
    arena_release(arena, mark);
  }
}

/* A bound that reaches the best plan's cost ends the rounds: 41 of length are more than four. */
static void no_rounds_past_the_best_plan(struct arena *arena) {
  struct job job;
  struct generated generated;
  job_open(&job);
  job_piece(&job, 4, 1, 5);
  job_piece(&job, 3, 1, 7);
  job_stock(&job, 10, 1, 0, -1, MONEY);
  struct search *search = job_search(arena, &job, NOT_MADE, INT64_C(1000000000));
  struct region region = job_region(arena, search);
  search->best_cost = 4 * MONEY;
  generate(search, &region, 100, &generated);
  assert_in_range(generated.bound, 4 * MONEY, MONEY * 41 / 10 + ROUNDINGS);
  assert_false(generated.converged);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(first_prices_prove_a_bound),        ARENA_TEST(cuts_are_not_counted_twice),
      ARENA_TEST(the_cheapest_stock_sets_the_scale), ARENA_TEST(bounds_against_all_rows),
      ARENA_TEST(no_rounds_past_the_best_plan),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
