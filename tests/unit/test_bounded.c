/* The bounded search against an exhaustive one on tiny stock, its trees against rules
 * written down again here. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "nest/bounded.h"
#include "nest/cutting.h"
#include "random/sanitized.h"

#ifdef SANITIZED
enum { CASES = 120 };
#else
enum { CASES = 500 };
#endif
enum { MOST_DEMANDS = 3, MOST_OPTIONS = 5, MOST_SIDE = 10 };

static uint64_t random_state;

static int64_t random_between(int64_t low, int64_t high) {
  random_state = random_state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return low + (int64_t)((random_state >> 33) % (uint64_t)(high - low + 1));
}

struct instance {
  struct nest_problem problem;
  struct nest_stock stock;
  struct nest_option options[MOST_OPTIONS];
  cost_t value[MOST_DEMANDS];
  int64_t limit[MOST_DEMANDS];
};

/* ---- the exhaustive search ---- */

/* How a rectangle was come by: nothing cut yet, in stage s by a cut that divided an axis, or
 * by a trim that may free one piece only. */
enum { REACHED_WHOLE, REACHED_TRIM_X, REACHED_TRIM_Y, REACHED_STAGE, REACHED_COUNT = 3 + 8 };

enum { MOST_YIELDS = 27, UNKNOWN = -1000000 };

struct exhaustive {
  const struct instance *instance;
  int yields;
  /* the most to be got with at most so many copies */
  int known[MOST_SIDE + 1][MOST_SIDE + 1][REACHED_COUNT][MOST_YIELDS];
};

static int radix(const struct exhaustive *all, size_t demand) {
  int radix = 1;
  for (size_t d = 0; d < demand; d++) radix *= (int)all->instance->limit[d] + 1;
  return radix;
}

static bool splits(const struct exhaustive *all, int yield, int part) {
  for (size_t d = 0; d < all->instance->problem.demand_count; d++) {
    int base = (int)all->instance->limit[d] + 1;
    if (part / radix(all, d) % base > yield / radix(all, d) % base) return false;
  }
  return true;
}

static int reached_by(const struct nest_rules *rules, int reached, int axis) {
  if (reached == REACHED_WHOLE)
    return (axis == 0 ? rules->crosscut_first : rules->rip_first) ? REACHED_STAGE + axis : -1;
  int trim = axis == 0 ? REACHED_TRIM_X : REACHED_TRIM_Y;
  if (reached < REACHED_STAGE) return reached == trim ? trim : -1;
  if (rules->stages == 0) return REACHED_STAGE + axis;
  int stage = (reached - REACHED_STAGE) / 2;
  if ((reached - REACHED_STAGE) % 2 == axis) return reached;
  return stage + 1 == rules->stages ? trim : REACHED_STAGE + 2 * (stage + 1) + axis;
}

static int best_of(struct exhaustive *all, int length, int width, int reached, int yield);

static int best_cut(struct exhaustive *all, int length, int width, int axis, int next, int low,
                    int yield) {
  const struct nest_stock *stock = &all->instance->stock;
  int extent = axis == 0 ? length : width;
  int high = extent - low - (int)(axis == 0 ? stock->kerf_crosscut : stock->kerf_rip);
  if (high < 0) high = 0;
  int narrower = low < high ? low : high;
  if (axis == 1 && stock->rules.rip_no_wider_than_long && narrower > length) return UNKNOWN;
  if (axis == 1 && stock->rules.rip_capacity > 0 && narrower > stock->rules.rip_capacity)
    return UNKNOWN;
  int best = UNKNOWN;
  for (int part = 0; part <= yield; part++) {
    if (!splits(all, yield, part)) continue;
    if (next < REACHED_STAGE && part != 0 && part != yield) continue;
    int low_worth =
        axis == 0 ? best_of(all, low, width, next, part) : best_of(all, length, low, next, part);
    int high_worth = axis == 0 ? best_of(all, high, width, next, yield - part)
                               : best_of(all, length, high, next, yield - part);
    int worth = low_worth + high_worth - (int)all->instance->problem.cut_cost;
    if (worth > best) best = worth;
  }
  return best;
}

static int best_of(struct exhaustive *all, int length, int width, int reached, int yield) {
  if (length == 0 || width == 0 || yield == 0) return 0;
  int *known = &all->known[length][width][reached][yield];
  if (*known != UNKNOWN) return *known;
  const struct instance *instance = all->instance;
  const struct nest_rules *rules = &instance->stock.rules;
  int best = 0;
  for (size_t o = 0; o < instance->stock.option_count; o++) {
    const struct nest_option *option = &instance->options[o];
    if (option->length != length || option->width != width) continue;
    if (instance->limit[option->demand] == 0) continue;
    if (!splits(all, yield, radix(all, option->demand))) continue;
    if (instance->value[option->demand] > best) best = (int)instance->value[option->demand];
  }
  for (int axis = 0; axis < 2; axis++) {
    int next = reached_by(rules, reached, axis);
    if (next < 0) continue;
    if (axis == 1 && length < rules->rip_min_length) continue;
    if (axis == 0 && rules->crosscut_capacity > 0 && width > rules->crosscut_capacity) continue;
    for (int low = 1; low < (axis == 0 ? length : width); low++) {
      int worth = best_cut(all, length, width, axis, next, low, yield);
      if (worth > best) best = worth;
    }
  }
  *known = best;
  return best;
}

static struct exhaustive exhaustive;

static cost_t exhaustive_best(const struct instance *instance) {
  exhaustive.instance = instance;
  exhaustive.yields = radix(&exhaustive, instance->problem.demand_count);
  assert_true(exhaustive.yields <= MOST_YIELDS);
  for (int l = 0; l <= MOST_SIDE; l++)
    for (int w = 0; w <= MOST_SIDE; w++)
      for (int r = 0; r < REACHED_COUNT; r++)
        for (int y = 0; y < MOST_YIELDS; y++) exhaustive.known[l][w][r][y] = UNKNOWN;
  return best_of(&exhaustive, (int)instance->stock.length, (int)instance->stock.width,
                 REACHED_WHOLE, exhaustive.yields - 1);
}

/* ---- what a layout must be ---- */

struct looked_at {
  const struct instance *instance;
  int64_t counts[MOST_DEMANDS];
  int64_t cuts;
};

static int pieces_in(const struct node *node) {
  int pieces = node->kind == NODE_PIECE ? 1 : 0;
  for (size_t i = 0; i < node->child_count; i++) pieces += pieces_in(&node->children[i]);
  return pieces;
}

static void look_at_rip(const struct nest_rules *rules, const struct node *node) {
  assert_true(node->length >= rules->rip_min_length);
  for (size_t i = 0; i + 1 < node->child_count; i++) {
    length_t strip = node->children[i].width;
    length_t rest = node->y + node->width - node->children[i + 1].y;
    length_t narrower = strip < rest ? strip : rest;
    if (narrower < 0) narrower = 0;
    if (rules->rip_no_wider_than_long) assert_true(narrower <= node->length);
    if (rules->rip_capacity > 0) assert_true(narrower <= rules->rip_capacity);
  }
}

static void look_at_children(const struct looked_at *seen, const struct node *node) {
  bool crosscut = node->kind == NODE_CROSSCUT;
  const struct nest_stock *stock = &seen->instance->stock;
  length_t kerf = crosscut ? stock->kerf_crosscut : stock->kerf_rip;
  length_t at = crosscut ? node->x : node->y;
  length_t end = at + (crosscut ? node->length : node->width);
  assert_true(node->child_count >= 2);
  for (size_t i = 0; i < node->child_count; i++) {
    const struct node *child = &node->children[i];
    length_t size = crosscut ? child->length : child->width;
    bool last = i + 1 == node->child_count;
    assert_int_equal(crosscut ? child->x : child->y, at);
    assert_int_equal(crosscut ? child->y : child->x, crosscut ? node->y : node->x);
    assert_int_equal(crosscut ? child->width : child->length,
                     crosscut ? node->width : node->length);
    if (last) {
      assert_int_equal(size, end > at ? end - at : 0);
      assert_true(at - kerf < end);
    } else {
      assert_true(size > 0 && at + size <= end);
    }
    if (last && size == 0) assert_int_equal(child->kind, NODE_WASTE);
    at += size + kerf;
  }
}

/* runs: changes of direction so far; lone: the present run began with one piece in it. */
static void look_at(struct looked_at *seen, const struct node *node, int runs, enum node_kind last,
                    bool lone) {
  const struct nest_stock *stock = &seen->instance->stock;
  if (node->kind == NODE_WASTE || node->kind == NODE_PIECE) {
    assert_int_equal(node->child_count, 0);
    if (node->kind == NODE_WASTE) return;
    size_t found = stock->option_count;
    for (size_t o = 0; o < stock->option_count; o++)
      if (stock->options[o].blank == node->blank && stock->options[o].turned == node->turned)
        found = o;
    assert_true(found < stock->option_count);
    assert_int_equal(node->length, stock->options[found].length);
    assert_int_equal(node->width, stock->options[found].width);
    seen->counts[stock->options[found].demand]++;
    if (stock->rules.stages > 0) assert_true(runs - (lone ? 1 : 0) <= stock->rules.stages);
    return;
  }
  look_at_children(seen, node);
  seen->cuts += (int64_t)node->child_count - 1;
  if (last == NODE_WASTE)
    assert_true(node->kind == NODE_CROSSCUT ? stock->rules.crosscut_first : stock->rules.rip_first);
  if (node->kind == NODE_RIP) look_at_rip(&stock->rules, node);
  if (node->kind == NODE_CROSSCUT && stock->rules.crosscut_capacity > 0)
    assert_true(node->width <= stock->rules.crosscut_capacity);
  if (node->kind != last) {
    runs++;
    lone = pieces_in(node) == 1;
  }
  for (size_t i = 0; i < node->child_count; i++)
    look_at(seen, &node->children[i], runs, node->kind, lone);
}

static void look_at_answer(const struct instance *instance, const struct bounded_answer *answer) {
  struct looked_at seen = {.instance = instance};
  assert_int_equal(answer->root.x, 0);
  assert_int_equal(answer->root.y, 0);
  assert_int_equal(answer->root.length, instance->stock.length);
  assert_int_equal(answer->root.width, instance->stock.width);
  look_at(&seen, &answer->root, 0, NODE_WASTE, false);
  cost_t value = -seen.cuts * instance->problem.cut_cost;
  for (size_t d = 0; d < instance->problem.demand_count; d++) {
    assert_int_equal(seen.counts[d], answer->counts[d]);
    assert_true(seen.counts[d] <= instance->limit[d]);
    value += seen.counts[d] * instance->value[d];
  }
  assert_int_equal(value, answer->value);
  assert_true(answer->bound >= answer->value);
  assert_true(cutting_obeys(&answer->root, &instance->stock.rules));
}

/* ---- random instances ---- */

struct spread {
  bool kerfs, cut_cost, stages, first, rip_min, capacity, strips;
};

static void make_instance(struct instance *instance, const struct spread *spread) {
  *instance = (struct instance){0};
  struct nest_stock *stock = &instance->stock;
  stock->length = random_between(4, MOST_SIDE);
  stock->width = random_between(3, 7);
  stock->count = 1;
  stock->pack = 1;
  if (spread->kerfs) stock->kerf_crosscut = random_between(0, 2);
  if (spread->kerfs) stock->kerf_rip = random_between(0, 2);
  stock->rules.crosscut_first = stock->rules.rip_first = true;
  if (spread->stages) stock->rules.stages = (int)random_between(1, 4);
  if (spread->first && random_between(0, 1) == 0)
    *(random_between(0, 1) == 0 ? &stock->rules.crosscut_first : &stock->rules.rip_first) = false;
  if (spread->rip_min) stock->rules.rip_min_length = random_between(0, 6);
  if (spread->capacity) stock->rules.crosscut_capacity = random_between(2, stock->width);
  if (spread->strips) {
    stock->rules.rip_no_wider_than_long = random_between(0, 1) == 0;
    stock->rules.rip_capacity = random_between(0, 3);
  }
  instance->problem.demand_count = (size_t)random_between(1, MOST_DEMANDS);
  instance->problem.cut_cost = spread->cut_cost ? random_between(0, 4) : 0;
  for (size_t d = 0; d < instance->problem.demand_count; d++) {
    instance->value[d] = random_between(0, 16);
    instance->limit[d] = random_between(instance->problem.demand_count > 2 ? 1 : 0, 2);
    if (instance->problem.demand_count == 1) instance->limit[d] = random_between(1, 20);
  }
  stock->options = instance->options;
  stock->option_count = (size_t)random_between(1, MOST_OPTIONS);
  for (size_t o = 0; o < stock->option_count; o++)
    instance->options[o] = (struct nest_option){
        .demand = (size_t)random_between(0, (int64_t)instance->problem.demand_count - 1),
        .length = random_between(1, 7),
        .width = random_between(1, 5),
        .blank = o,
        .turned = random_between(0, 1) == 0};
}

static void print_instance(const struct instance *instance, const struct bounded_answer *answer,
                           cost_t best) {
  const struct nest_stock *s = &instance->stock;
  print_message(
      "stock %d x %d kerf %d %d cut %d stages %d first %d %d rip %d no wider %d cap %d cross %d\n",
      (int)s->length, (int)s->width, (int)s->kerf_crosscut, (int)s->kerf_rip,
      (int)instance->problem.cut_cost, s->rules.stages, s->rules.crosscut_first, s->rules.rip_first,
      (int)s->rules.rip_min_length, s->rules.rip_no_wider_than_long, (int)s->rules.rip_capacity,
      (int)s->rules.crosscut_capacity);
  for (size_t o = 0; o < s->option_count; o++)
    print_message("  %d x %d of %zu worth %d limit %d\n", (int)s->options[o].length,
                  (int)s->options[o].width, s->options[o].demand,
                  (int)instance->value[s->options[o].demand],
                  (int)instance->limit[s->options[o].demand]);
  print_message("value %d bound %d best %d\n", (int)answer->value, (int)answer->bound, (int)best);
}

static void search_with(struct arena *arena, const struct instance *instance, int64_t steps,
                        struct bounded_answer *answer) {
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  bounded_search(arena, &instance->problem, &instance->stock, instance->value, instance->limit,
                 steps, answer);
}

/* Only layouts over a floor are asked for: there is one or there is none, and either can be told.
 */
static void search_above(const struct instance *instance, cost_t best, bool sliced) {
  struct arena *arena = arena_create();
  cost_t price[MOST_OPTIONS] = {0};
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  for (cost_t floor = best > 3 ? best - 3 : 0; floor <= best + 1; floor++) {
    struct bounded_answer answer;
    bounded_search_above(arena, &instance->problem, &instance->stock, instance->value,
                         instance->limit, floor, 1000000, price, &answer);
    look_at_answer(instance, &answer);
    assert_true(answer.value <= best && (answer.value == 0 || answer.value > floor));
    assert_true(answer.bound >= best || answer.bound == floor);
    assert_true(sliced || (answer.value > floor) == (best > floor));
    assert_true(sliced || best > floor || answer.bound == floor);
  }
  arena_destroy(arena);
}

/* With steps to spare the best is found and proved; where the waste beside bound strips may
 * have to be sliced, only nearly always. With few steps the bound holds all the same. */
static bool run_case(const struct instance *instance, const struct spread *spread) {
  struct arena *arena = arena_create();
  struct bounded_answer answer;
  cost_t best = exhaustive_best(instance);
  for (int64_t steps = 0; steps < 40; steps += 1 + steps) {
    search_with(arena, instance, steps, &answer);
    if (answer.value > best || answer.bound < best) print_instance(instance, &answer, best);
    look_at_answer(instance, &answer);
    assert_true(answer.value <= best && answer.bound >= best);
  }
  search_with(arena, instance, 1000000, &answer);
  bool sliced = instance->problem.cut_cost > 0 && spread->strips;
  bool proved = answer.value == answer.bound;
  if (answer.value > best || answer.bound < best || (!sliced && !proved))
    print_instance(instance, &answer, best);
  look_at_answer(instance, &answer);
  assert_true(answer.value <= best && answer.bound >= best);
  assert_true(sliced || proved);
  arena_destroy(arena);
  search_above(instance, best, sliced);
  return proved;
}

static void run_cases(uint64_t seed, const struct spread *spread) {
  random_state = seed;
  int proved = 0;
  for (int c = 0; c < CASES; c++) {
    struct instance instance;
    make_instance(&instance, spread);
    if (run_case(&instance, spread)) proved++;
  }
  if (proved < CASES) print_message("%d of %d proved\n", proved, CASES);
  assert_true(proved >= CASES - CASES / 10);
}

#define RANDOM_TEST(name, seed, ...) \
  static void name(void **state) { \
    (void)state; \
    struct spread spread = {__VA_ARGS__}; \
    run_cases(seed, &spread); \
  }

RANDOM_TEST(plain, 1, .kerfs = false)
RANDOM_TEST(with_kerfs, 2, .kerfs = true)
RANDOM_TEST(with_cut_cost, 3, .kerfs = true, .cut_cost = true)
RANDOM_TEST(in_stages, 4, .kerfs = true, .stages = true)
RANDOM_TEST(in_stages_with_cut_cost, 5, .kerfs = true, .stages = true, .cut_cost = true)
RANDOM_TEST(first_cut_bound, 6, .kerfs = true, .first = true, .cut_cost = true)
RANDOM_TEST(first_cut_bound_in_stages, 7, .kerfs = true, .first = true, .cut_cost = true,
            .stages = true)
RANDOM_TEST(short_rips_forbidden, 8, .kerfs = true, .rip_min = true)
RANDOM_TEST(short_rips_forbidden_with_cut_cost, 9, .kerfs = true, .rip_min = true, .cut_cost = true)
RANDOM_TEST(short_rips_forbidden_in_stages, 10, .kerfs = true, .rip_min = true, .cut_cost = true,
            .stages = true, .first = true)
RANDOM_TEST(wide_crosscuts_forbidden, 11, .kerfs = true, .capacity = true)
RANDOM_TEST(wide_crosscuts_and_short_rips_forbidden, 12, .kerfs = true, .capacity = true,
            .rip_min = true, .cut_cost = true, .first = true)
RANDOM_TEST(wide_crosscuts_and_short_rips_in_stages, 13, .kerfs = true, .capacity = true,
            .rip_min = true, .cut_cost = true, .first = true, .stages = true)
RANDOM_TEST(wide_strips_forbidden, 14, .kerfs = true, .strips = true)
RANDOM_TEST(all_rules, 15, .kerfs = true, .strips = true, .capacity = true, .rip_min = true,
            .first = true, .stages = true)
RANDOM_TEST(all_rules_with_cut_cost, 16, .kerfs = true, .strips = true, .capacity = true,
            .rip_min = true, .first = true, .stages = true, .cut_cost = true)

static const struct instance two_rows = {
    .problem = {.demand_count = 2, .cut_cost = 1},
    .stock = {.length = 11,
              .width = 7,
              .kerf_crosscut = 1,
              .kerf_rip = 1,
              .count = 1,
              .pack = 1,
              .rules = {.crosscut_first = true, .rip_first = true}},
    .value = {20, 15},
    .limit = {2, 4},
};

static void make_two_rows(struct instance *instance) {
  *instance = two_rows;
  instance->stock.options = instance->options;
  instance->stock.option_count = 2;
  instance->options[0] = (struct nest_option){.demand = 0, .length = 5, .width = 3, .blank = 0};
  instance->options[1] = (struct nest_option){.demand = 1, .length = 5, .width = 3, .blank = 1};
}

/* By hand: two rows of two fill 11 x 7 with three cuts, the dearer two among them. */
static void kerfs_are_counted(void **state) {
  (void)state;
  struct instance instance;
  make_two_rows(&instance);
  struct arena *arena = arena_create();
  struct bounded_answer answer;
  search_with(arena, &instance, 1000, &answer);
  assert_int_equal(answer.value, 2 * 20 + 2 * 15 - 3);
  assert_int_equal(answer.bound, answer.value);
  assert_int_equal(answer.counts[0], 2);
  assert_int_equal(answer.counts[1], 2);
  assert_int_equal(cutting_count_cuts(&answer.root), 3);
  arena_destroy(arena);
}

static void nothing_to_cut_is_worth_nothing(void **state) {
  (void)state;
  struct instance instance;
  make_two_rows(&instance);
  instance.limit[0] = 0;
  instance.value[1] = 0;
  struct arena *arena = arena_create();
  struct bounded_answer answer;
  search_with(arena, &instance, 1000, &answer);
  assert_int_equal(answer.value, 0);
  assert_int_equal(answer.bound, 0);
  assert_int_equal(answer.root.kind, NODE_WASTE);
  arena_destroy(arena);
}

static void same_input_gives_same_layout(void **state) {
  (void)state;
  random_state = 99;
  struct spread spread = {.kerfs = true, .cut_cost = true, .stages = true};
  for (int c = 0; c < 50; c++) {
    struct instance instance;
    make_instance(&instance, &spread);
    struct arena *arena = arena_create();
    struct bounded_answer first;
    struct bounded_answer second;
    search_with(arena, &instance, 30, &first);
    search_with(arena, &instance, 30, &second);
    assert_int_equal(first.value, second.value);
    assert_int_equal(first.bound, second.bound);
    assert_int_equal(first.steps, second.steps);
    assert_int_equal(first.root.kind, second.root.kind);
    assert_int_equal(first.root.child_count, second.root.child_count);
    arena_destroy(arena);
  }
}

static bool survives(const struct instance *instance, unsigned long allocations) {
  struct arena *arena = arena_create();
  struct bounded_answer answer;
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    arena_fail_after(allocations);
    bounded_search(arena, &instance->problem, &instance->stock, instance->value, instance->limit,
                   1000, &answer);
  }
  arena_fail_after(0);
  arena_destroy(arena);
  return status == STATUS_OK;
}

static void memory_may_run_out_anywhere(void **state) {
  (void)state;
  struct instance instance;
  make_two_rows(&instance);
  unsigned long allocations = 1;
  while (!survives(&instance, allocations)) allocations++;
  assert_true(allocations > 20);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(kerfs_are_counted),
      cmocka_unit_test(nothing_to_cut_is_worth_nothing),
      cmocka_unit_test(same_input_gives_same_layout),
      cmocka_unit_test(memory_may_run_out_anywhere),
      cmocka_unit_test(plain),
      cmocka_unit_test(with_kerfs),
      cmocka_unit_test(with_cut_cost),
      cmocka_unit_test(in_stages),
      cmocka_unit_test(in_stages_with_cut_cost),
      cmocka_unit_test(first_cut_bound),
      cmocka_unit_test(first_cut_bound_in_stages),
      cmocka_unit_test(short_rips_forbidden),
      cmocka_unit_test(short_rips_forbidden_with_cut_cost),
      cmocka_unit_test(short_rips_forbidden_in_stages),
      cmocka_unit_test(wide_crosscuts_forbidden),
      cmocka_unit_test(wide_crosscuts_and_short_rips_forbidden),
      cmocka_unit_test(wide_crosscuts_and_short_rips_in_stages),
      cmocka_unit_test(wide_strips_forbidden),
      cmocka_unit_test(all_rules),
      cmocka_unit_test(all_rules_with_cut_cost),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
