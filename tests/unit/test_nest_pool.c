/* Plans of layouts at hand: known cutting stock problems, and random ones against trying all. */
#include "nest/pool_dive.h"
#include "nest/pool_exchange.h"
#include "nest/pool_plan.h"

#include "nest_fixture.h"

enum { MOST_LAYOUTS = 200, MOST_DEMANDS = 4, MOST_STOCKS = 3, STEPS = 50000000 };

/* A problem and its layouts. */
struct pool {
  struct nest_problem problem;
  struct nest_stock stocks[MOST_STOCKS];
  int64_t demand[MOST_DEMANDS], least[MOST_STOCKS], most[MOST_STOCKS];
  int64_t counts[MOST_LAYOUTS][MOST_DEMANDS];
  struct pool_layout layouts[MOST_LAYOUTS];
  struct pool_question question;
};

static void open_pool(struct pool *pool, size_t demands, size_t stocks) {
  memset(pool, 0, sizeof *pool);
  pool->problem = (struct nest_problem){.demand = pool->demand,
                                        .demand_count = demands,
                                        .stocks = pool->stocks,
                                        .stock_count = stocks};
  pool->question = (struct pool_question){.problem = &pool->problem,
                                          .demand = pool->demand,
                                          .least = pool->least,
                                          .most = pool->most,
                                          .layouts = pool->layouts};
}

static void add_layout(struct pool *pool, size_t stock, const int64_t *counts, cost_t cuts) {
  size_t number = pool->question.layout_count++;
  assert_true(number < MOST_LAYOUTS);
  memcpy(pool->counts[number], counts, sizeof pool->counts[number]);
  pool->layouts[number] =
      (struct pool_layout){stock, pool->counts[number], pool->stocks[stock].cost + cuts};
}

/* What a plan costs; it must meet the demand and keep to the stock. */
static cost_t checked_cost(const struct pool *pool, const int64_t *taken) {
  int64_t made[MOST_DEMANDS] = {0};
  int64_t pieces[MOST_STOCKS] = {0};
  cost_t cost = 0;
  for (size_t i = 0; i < pool->question.layout_count; i++) {
    const struct pool_layout *layout = &pool->layouts[i];
    assert_true(taken[i] >= 0);
    pieces[layout->stock] += taken[i];
    cost += taken[i] * (layout->cost - pool->stocks[layout->stock].cost);
    for (size_t d = 0; d < pool->problem.demand_count; d++) made[d] += taken[i] * layout->counts[d];
  }
  for (size_t d = 0; d < pool->problem.demand_count; d++) assert_true(made[d] >= pool->demand[d]);
  for (size_t s = 0; s < pool->problem.stock_count; s++) {
    assert_true(pieces[s] <= pool->most[s]);
    cost += nest_stock_cost(&pool->stocks[s], pieces[s]);
  }
  return cost;
}

enum method { CHEAPEST, ANY, BY_EXCHANGES, BY_DIVES };

static bool ask(struct arena *arena, struct pool *pool, enum method method, cost_t below,
                int64_t *taken) {
  cost_t worth[MOST_DEMANDS];
  struct pool_question question = pool->question;
  question.below = below;
  question.steps = STEPS;
  for (size_t d = 0; d < pool->problem.demand_count; d++) worth[d] = 5 * COST_PER_CENT;
  switch (method) {
    case CHEAPEST:
      return pool_plan(arena, &question, taken);
    case ANY:
      return pool_fill(arena, &question, taken) == POOL_FOUND;
    case BY_EXCHANGES:
      return pool_exchange(arena, &question, worth, 7, taken);
    case BY_DIVES:
      return pool_dive(arena, &question, 7, taken);
  }
  return false;
}

/* ---- known problems ---- */

static void list_patterns(struct pool *pool, const length_t *size, size_t at, length_t left,
                          int64_t *counts) {
  if (at == pool->problem.demand_count) {
    add_layout(pool, 0, counts, 0);
    return;
  }
  for (int64_t n = 0; n * size[at] <= left; n++) {
    counts[at] = n;
    list_patterns(pool, size, at + 1, left - n * size[at], counts);
  }
  counts[at] = 0;
}

static void check_known(struct arena *arena, length_t length, size_t count, const length_t *size,
                        const int64_t *demand, int64_t optimum) {
  struct pool pool;
  int64_t counts[MOST_DEMANDS] = {0};
  int64_t taken[MOST_LAYOUTS];
  open_pool(&pool, count, 1);
  cost_t cost = pool.stocks[0].cost = 12 * COST_PER_CENT;
  pool.stocks[0].pack = 1;
  pool.most[0] = INT64_MAX / 4;
  memcpy(pool.demand, demand, count * sizeof *demand);
  list_patterns(&pool, size, 0, length, counts);
  assert_false(ask(arena, &pool, CHEAPEST, optimum * cost, taken));
  for (int method = CHEAPEST; method <= BY_DIVES; method++) {
    if (method == ANY || (method == BY_EXCHANGES && optimum > 100)) continue;
    assert_true(ask(arena, &pool, (enum method)method, optimum * cost + cost / 2, taken));
    assert_int_equal(checked_cost(&pool, taken), optimum * cost);
  }
  pool.most[0] = optimum;
  assert_true(ask(arena, &pool, ANY, 0, taken));
  assert_int_equal(checked_cost(&pool, taken), optimum * cost);
  pool.most[0] = optimum - 1;
  pool.question.steps = STEPS;
  assert_int_equal(pool_fill(arena, &pool.question, taken), POOL_NONE);
}

/* Source: Winston, Operations Research, boards of 17 ft. */
static void winston_boards(struct arena *arena) {
  check_known(arena, 17, 3, (length_t[]){3, 5, 9}, (int64_t[]){25, 20, 15}, 19);
}

/* Source: Chvatal, Linear Programming (1983), chapter 13. */
static void chvatal_rolls(struct arena *arena) {
  check_known(arena, 100, 4, (length_t[]){45, 36, 31, 14}, (int64_t[]){97, 610, 395, 211}, 453);
}

/* Twice the largest size fits nowhere else: a piece of stock for each. */
static void large_pieces(struct arena *arena) {
  check_known(arena, 10, 2, (length_t[]){6, 4}, (int64_t[]){7, 9}, 8);
}

/* ---- random problems ---- */

static void make_random(struct pool *pool) {
  open_pool(pool, (size_t)random_between(1, 3), (size_t)random_between(1, 3));
  for (size_t s = 0; s < pool->problem.stock_count; s++) {
    pool->stocks[s].pack = random_chance(1, 3) ? random_between(2, 3) : 1;
    pool->stocks[s].cost = random_between(1, 9) * COST_PER_CENT;
    pool->most[s] = pool->stocks[s].pack * random_between(1, 2);
  }
  for (size_t d = 0; d < pool->problem.demand_count; d++) pool->demand[d] = random_between(1, 6);
  for (int64_t i = random_between(1, 5); i > 0; i--) {
    int64_t counts[MOST_DEMANDS] = {0};
    for (size_t d = 0; d < pool->problem.demand_count; d++) counts[d] = random_between(0, 3);
    size_t stock = (size_t)random_between(0, (int64_t)pool->problem.stock_count - 1);
    add_layout(pool, stock, counts, random_between(0, 2) * COST_PER_CENT / 4);
  }
}

/* Tries every number of every layout. The least cost; INT64_MAX for no plan. */
static cost_t try_all(const struct pool *pool, size_t at, int64_t *taken) {
  if (at < pool->question.layout_count) {
    cost_t best = INT64_MAX;
    for (taken[at] = 0; taken[at] <= 6; taken[at]++) {
      cost_t cost = try_all(pool, at + 1, taken);
      if (cost < best) best = cost;
    }
    taken[at] = 0;
    return best;
  }
  int64_t pieces[MOST_STOCKS] = {0};
  cost_t cost = 0;
  for (size_t i = 0; i < at; i++) {
    size_t s = pool->layouts[i].stock;
    pieces[s] += taken[i];
    cost += taken[i] * (pool->layouts[i].cost - pool->stocks[s].cost);
  }
  for (size_t s = 0; s < pool->problem.stock_count; s++) {
    if (pieces[s] > pool->most[s]) return INT64_MAX;
    cost += nest_stock_cost(&pool->stocks[s], pieces[s]);
  }
  for (size_t d = 0; d < pool->problem.demand_count; d++) {
    int64_t made = 0;
    for (size_t i = 0; i < at; i++) made += taken[i] * pool->layouts[i].counts[d];
    if (made < pool->demand[d]) return INT64_MAX;
  }
  return cost;
}

static void random_pools(struct arena *arena) {
  int64_t taken[MOST_LAYOUTS] = {0};
  int plans = 0;
  int found[BY_DIVES + 1] = {0};
  random_start(311);
  for (int n = 0; n < 300; n++) {
    struct pool pool;
    make_random(&pool);
    cost_t optimum = try_all(&pool, 0, taken);
    bool any = optimum < INT64_MAX;
    plans += any;
    for (int method = CHEAPEST; method <= BY_DIVES; method++) {
      cost_t below = any ? optimum + COST_PER_CENT / 8 : INT64_MAX / 4;
      if (!ask(arena, &pool, (enum method)method, below, taken)) continue;
      assert_true(any);
      found[method]++;
      cost_t cost = checked_cost(&pool, taken);
      assert_true(method == ANY ? cost >= optimum : cost == optimum);
    }
    if (any) assert_false(ask(arena, &pool, CHEAPEST, optimum, taken));
  }
  assert_true(plans > 100 && plans < 300);
  assert_int_equal(found[CHEAPEST], plans);
  assert_int_equal(found[ANY], plans);
  assert_true(found[BY_EXCHANGES] > plans * 9 / 10);
  assert_true(found[BY_DIVES] > plans * 3 / 4);
}

/* The same numbers and seed, the same plan. */
static void plans_repeat(struct arena *arena) {
  struct pool pool;
  int64_t counts[MOST_DEMANDS] = {0};
  int64_t taken[2][MOST_LAYOUTS];
  open_pool(&pool, 3, 1);
  pool.stocks[0] = (struct nest_stock){.pack = 1, .cost = COST_PER_CENT};
  pool.most[0] = 40;
  for (size_t d = 0; d < 3; d++) pool.demand[d] = 20;
  list_patterns(&pool, (length_t[]){3, 4, 5}, 0, 14, counts);
  for (int method = CHEAPEST; method <= BY_DIVES; method++) {
    for (int i = 0; i < 2; i++)
      assert_true(ask(arena, &pool, (enum method)method, 40 * COST_PER_CENT, taken[i]));
    assert_memory_equal(taken[0], taken[1], pool.question.layout_count * sizeof taken[0][0]);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(chvatal_rolls), ARENA_TEST(winston_boards), ARENA_TEST(large_pieces),
      ARENA_TEST(random_pools),  ARENA_TEST(plans_repeat),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
