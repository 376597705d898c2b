/* The pool of layouts and plans made of them. */
#include "nest/columns.h"

#include "nest/staged.h"
#include "nest_fixture.h"

enum { DEMANDS = 4, LAYOUTS = 6 };

/* Two stocks with the same options, and layouts of both. */
struct pool {
  struct nest_problem problem;
  struct nest_stock stocks[2];
  struct nest_option options[DEMANDS];
  int64_t demand[DEMANDS];
  struct columns *columns;
};

static size_t add_layout(struct arena *arena, struct pool *pool, size_t stock) {
  struct staged *staged = staged_create(arena, &pool->stocks[stock], 0);
  cost_t worth[DEMANDS];
  int64_t counts[DEMANDS] = {0};
  static const size_t demand_of_blank[] = {0, 1, 2, 3};
  struct node root;
  bool added = false;
  for (size_t o = 0; o < DEMANDS; o++)
    worth[o] = pool->options[o].length * pool->options[o].width * random_between(2, 5);
  staged_price(staged, worth);
  staged_build_best(arena, staged, &root);
  cutting_count_pieces(&root, demand_of_blank, counts);
  return columns_add(pool->columns, stock, &root, counts, &added);
}

static void open_pool(struct arena *arena, struct pool *pool) {
  *pool = (struct pool){0};
  pool->problem = (struct nest_problem){.demand = pool->demand,
                                        .demand_count = DEMANDS,
                                        .stocks = pool->stocks,
                                        .stock_count = 2,
                                        .cut_cost = random_between(0, 3)};
  for (size_t o = 0; o < DEMANDS; o++)
    pool->options[o] = plain_option(o, o, random_between(3, 12), random_between(3, 9));
  for (size_t s = 0; s < 2; s++) {
    struct nest_stock *stock = &pool->stocks[s];
    *stock = plain_stock(random_between(20, 40), random_between(9, 20), random_between(0, 2));
    stock->pack = random_between(1, 3);
    stock->trim_cost = 4 * pool->problem.cut_cost;
    stock->cost = stock->trim_cost + random_between(50, 90);
    stock->count = -1;
    stock->options = pool->options;
    stock->option_count = DEMANDS;
  }
  pool->columns = columns_create(arena, &pool->problem);
}

static struct node piece_and_waste(struct arena *arena, const struct nest_stock *stock,
                                   const struct nest_option *option, bool rip_first) {
  struct node root = {.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  cutting_place(arena, &root, stock, option, rip_first);
  return root;
}

static void equal_layouts_are_found(struct arena *arena) {
  struct pool pool;
  random_start(81);
  open_pool(arena, &pool);
  int64_t counts[DEMANDS] = {1};
  bool added = false;
  struct node rip = piece_and_waste(arena, &pool.stocks[0], &pool.options[0], true);
  struct node crosscut = piece_and_waste(arena, &pool.stocks[0], &pool.options[0], false);
  assert_int_equal(columns_add(pool.columns, 0, &rip, counts, &added), 0);
  assert_true(added);
  assert_int_equal(columns_add(pool.columns, 0, &crosscut, counts, &added), 0);
  assert_false(added);
  assert_int_equal(columns_add(pool.columns, 1, &rip, counts, &added), 1);
  assert_true(added);
  counts[1] = 1;
  assert_int_equal(columns_add(pool.columns, 0, &rip, counts, &added), 2);
  assert_true(added);
  assert_int_equal(pool.columns->count, 3);
}

/* The same pieces with fewer cuts are another layout; with more they are the one at hand. */
static void fewer_cuts_are_taken_in(struct arena *arena) {
  struct pool pool;
  random_start(82);
  open_pool(arena, &pool);
  int64_t counts[DEMANDS] = {1};
  bool added = false;
  struct node root = piece_and_waste(arena, &pool.stocks[0], &pool.options[0], true);
  struct node more = cutting_copy(arena, &root, 0, 0);
  length_t extent = 1;
  assert_non_null(cutting_divide(arena, &more.children[1], DIVIDE_LENGTH, 1, &extent, 1));
  size_t first = columns_add(pool.columns, 0, &more, counts, &added);
  size_t second = columns_add(pool.columns, 0, &root, counts, &added);
  assert_true(added);
  assert_true(first != second);
  assert_int_equal(columns_add(pool.columns, 0, &root, counts, &added), second);
  assert_false(added);
  columns_add(pool.columns, 0, &more, counts, &added);
  assert_false(added);
}

static void a_column_keeps_its_own_copy(struct arena *arena) {
  struct pool pool;
  random_start(83);
  open_pool(arena, &pool);
  int64_t counts[DEMANDS] = {1};
  bool added = false;
  struct node root = piece_and_waste(arena, &pool.stocks[1], &pool.options[0], true);
  int64_t cuts = cutting_count_cuts(&root);
  size_t number = columns_add(pool.columns, 1, &root, counts, &added);
  root.children[0].kind = NODE_WASTE;
  counts[0] = 9;
  const struct column *column = &pool.columns->items[number];
  assert_int_equal(column->root.children[0].kind, NODE_CROSSCUT);
  assert_int_equal(column->counts[0], 1);
  assert_int_equal(column->cuts, cuts);
  assert_int_equal(column->cost, pool.stocks[1].cost + cuts * pool.problem.cut_cost);
}

static void uses_of_one_layout_add_up(struct arena *arena) {
  struct uses uses = {0};
  uses_add(arena, &uses, 3, 2);
  uses_add(arena, &uses, 1, 1);
  uses_add(arena, &uses, 3, 5);
  assert_int_equal(uses.count, 2);
  assert_int_equal(uses.items[0].column, 3);
  assert_int_equal(uses.items[0].times, 7);
  assert_int_equal(uses.items[1].times, 1);
}

static struct uses random_uses(struct arena *arena, struct pool *pool) {
  struct uses uses = {0};
  for (int i = 0; i < LAYOUTS; i++)
    uses_add(arena, &uses, add_layout(arena, pool, (size_t)random_between(0, 1)),
             random_between(1, 4));
  return uses;
}

/* Packs are bought across layouts, trims and cuts are of each piece. */
static cost_t cost_by_hand(const struct pool *pool, const struct uses *uses) {
  cost_t cost = 0;
  for (size_t s = 0; s < 2; s++) {
    int64_t pieces = 0;
    for (size_t u = 0; u < uses->count; u++) {
      const struct column *column = &pool->columns->items[uses->items[u].column];
      if (column->stock != s) continue;
      pieces += uses->items[u].times;
      cost += uses->items[u].times * pool->problem.cut_cost * cutting_count_cuts(&column->root);
    }
    int64_t packs = (pieces + pool->stocks[s].pack - 1) / pool->stocks[s].pack;
    cost += packs * pool->stocks[s].pack * (pool->stocks[s].cost - pool->stocks[s].trim_cost);
    cost += pieces * pool->stocks[s].trim_cost;
  }
  return cost;
}

static void cost_is_exact(struct arena *arena) {
  random_start(84);
  for (int round = 0; round < 60; round++) {
    struct pool pool;
    open_pool(arena, &pool);
    struct uses uses = random_uses(arena, &pool);
    assert_int_equal(uses_cost(pool.columns, &uses), cost_by_hand(&pool, &uses));
    int64_t counts[DEMANDS] = {5, 5, 5, 5};
    uses_count(pool.columns, &uses, counts);
    for (size_t d = 0; d < DEMANDS; d++) {
      int64_t made = 0;
      for (size_t u = 0; u < uses.count; u++)
        made += uses.items[u].times * pool.columns->items[uses.items[u].column].counts[d];
      assert_int_equal(counts[d], made);
    }
  }
}

static void check_columns(const struct pool *pool, const struct uses *uses) {
  for (size_t u = 0; u < uses->count; u++) {
    const struct column *column = &pool->columns->items[uses->items[u].column];
    struct tree_look look;
    assert_true(uses->items[u].times > 0);
    const char *fault =
        tree_fault(&pool->stocks[column->stock], &column->root, NULL, 0, true, &look);
    if (fault != NULL) tree_print(&column->root, 1);
    assert_string_equal(fault == NULL ? "" : fault, "");
    assert_int_equal(look.cuts, column->cuts);
    for (size_t d = 0; d < DEMANDS; d++) assert_int_equal(look.counts[d], column->counts[d]);
  }
}

static int64_t pieces_of_stock(const struct uses *uses) {
  int64_t pieces = 0;
  for (size_t u = 0; u < uses->count; u++) pieces += uses->items[u].times;
  return pieces;
}

/* Never below the demand, nothing beyond it, allowed layouts, no dearer than before. */
static void clipping_is_exact(struct arena *arena) {
  random_start(85);
  int clipped = 0;
  for (int round = 0; round < 150; round++) {
    struct pool pool;
    open_pool(arena, &pool);
    if (random_chance(1, 3)) pool.stocks[0].rules.rip_min_length = random_between(3, 9);
    if (random_chance(1, 3)) pool.stocks[1].rules.rip_capacity = random_between(6, 12);
    struct uses uses = random_uses(arena, &pool);
    int64_t made[DEMANDS];
    int64_t left[DEMANDS];
    uses_count(pool.columns, &uses, made);
    for (size_t d = 0; d < DEMANDS; d++) {
      pool.demand[d] = random_between(0, made[d] + 1);
      if (pool.demand[d] < made[d]) clipped++;
    }
    bool allowed = true;
    for (size_t c = 0; c < pool.columns->count; c++)
      allowed = allowed && cutting_obeys(&pool.columns->items[c].root,
                                         &pool.stocks[pool.columns->items[c].stock].rules);
    cost_t cost = uses_cost(pool.columns, &uses);
    int64_t pieces = pieces_of_stock(&uses);
    uses_clip(pool.columns, arena_create_child(pool.columns->arena), &uses, pool.demand);
    uses_count(pool.columns, &uses, left);
    for (size_t d = 0; d < DEMANDS; d++)
      assert_int_equal(left[d], made[d] < pool.demand[d] ? made[d] : pool.demand[d]);
    if (allowed) check_columns(&pool, &uses);
    assert_true(pieces_of_stock(&uses) <= pieces);
    assert_true(uses_cost(pool.columns, &uses) <= cost);
  }
  assert_true(clipped > 100);
}

/* A layout of nothing but surplus goes as a whole. */
static void whole_layouts_go_first(struct arena *arena) {
  struct pool pool;
  struct uses uses = {0};
  random_start(86);
  open_pool(arena, &pool);
  size_t number = add_layout(arena, &pool, 0);
  const int64_t *counts = pool.columns->items[number].counts;
  for (size_t d = 0; d < DEMANDS; d++) pool.demand[d] = 2 * counts[d];
  uses_add(arena, &uses, number, 5);
  uses_clip(pool.columns, arena_create_child(pool.columns->arena), &uses, pool.demand);
  assert_int_equal(uses.count, 1);
  assert_int_equal(uses.items[0].column, number);
  assert_int_equal(uses.items[0].times, 2);
  for (size_t d = 0; d < DEMANDS; d++) pool.demand[d] = 0;
  uses_clip(pool.columns, arena_create_child(pool.columns->arena), &uses, pool.demand);
  assert_int_equal(uses.count, 0);
}

/* What lies ready is taken whole or not at all. */
static void ready_pieces_are_not_cut(struct arena *arena) {
  static const int64_t given[] = {2, 1, 0, 0};
  struct pool pool;
  struct uses uses = {0};
  bool added = false;
  random_start(87);
  open_pool(arena, &pool);
  pool.stocks[1] = (struct nest_stock){.count = -1, .pack = 1, .cost = 5, .given = given};
  struct node nothing = {.kind = NODE_WASTE};
  size_t ready = columns_add(pool.columns, 1, &nothing, given, &added);
  uses_add(arena, &uses, ready, 4);
  pool.demand[0] = 5;
  pool.demand[1] = 1;
  uses_clip(pool.columns, arena_create_child(pool.columns->arena), &uses, pool.demand);
  assert_int_equal(uses.count, 1);
  assert_int_equal(uses.items[0].column, ready);
  assert_int_equal(uses.items[0].times, 3);
}

/* Fewer fence settings first, then the larger rest. */
static void plans_of_one_cost_are_ranked(struct arena *arena) {
  struct pool pool;
  struct uses strips = {0};
  struct uses mixed = {0};
  static const length_t even[] = {5, 5, 5};
  static const length_t uneven[] = {5, 4, 6};
  bool added = false;
  random_start(88);
  open_pool(arena, &pool);
  pool.stocks[0] = plain_stock(30, 20, 1);
  for (int turn = 0; turn < 2; turn++) {
    struct node root = {.kind = NODE_WASTE, .length = 30, .width = 20};
    struct node *children =
        cutting_divide(arena, &root, DIVIDE_LENGTH, 1, turn == 0 ? even : uneven, 3);
    for (size_t i = 0; i < 3; i++) children[i].kind = NODE_PIECE;
    int64_t counts[DEMANDS] = {turn == 0 ? 3 : 1, turn == 0 ? 0 : 1, turn == 0 ? 0 : 1};
    uses_add(arena, turn == 0 ? &strips : &mixed,
             columns_add(pool.columns, 0, &root, counts, &added), 1);
  }
  struct uses_rank few = uses_rank_of(arena, pool.columns, &strips);
  struct uses_rank many = uses_rank_of(arena, pool.columns, &mixed);
  assert_int_equal(few.settings, 1);
  assert_int_equal(many.settings, 3);
  assert_true(uses_ranks_before(&few, &many));
  assert_false(uses_ranks_before(&many, &few));
  assert_true(few.largest_rest > 239.5 && few.largest_rest < 240.5); /* 12 x 20 are left */
  many.settings = few.settings;
  many.largest_rest = few.largest_rest / 2;
  assert_true(uses_ranks_before(&few, &many));
  assert_false(uses_ranks_before(&few, &few));
}

int main(void) {
  const struct CMUnitTest tests[] = {
      ARENA_TEST(equal_layouts_are_found),
      ARENA_TEST(fewer_cuts_are_taken_in),
      ARENA_TEST(a_column_keeps_its_own_copy),
      ARENA_TEST(uses_of_one_layout_add_up),
      ARENA_TEST(cost_is_exact),
      ARENA_TEST(clipping_is_exact),
      ARENA_TEST(whole_layouts_go_first),
      ARENA_TEST(ready_pieces_are_not_cut),
      ARENA_TEST(plans_of_one_cost_are_ranked),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
