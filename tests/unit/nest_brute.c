/* The best layout by trying every cut at every whole place. */
#include "nest_fixture.h"

/* How a rectangle was come by: nothing cut yet, a trim that must not free more than one
 * piece, or a cut of stage s that divided a direction. */
enum { BY_NOTHING, BY_TRIM, BY_STAGE = BY_TRIM + 2, MOST_STATES = BY_STAGE + 2 * 4 };

struct brute {
  struct arena *arena;
  const struct nest_stock *stock;
  const cost_t *worth;
  cost_t cut_cost;
  size_t demand_count;
  int64_t *base; /* per demand: copies allowed and one; 1 for any number */
  int yields;    /* a yield says how many copies of each demand are still allowed */
  cost_t **known;
};

struct spot {
  int x, y, length, width, state;
};

static int place_value(const struct brute *brute, size_t demand) {
  int value = 1;
  for (size_t d = 0; d < demand; d++) value *= (int)brute->base[d];
  return value;
}

static bool is_part(const struct brute *brute, int yield, int part) {
  for (size_t d = 0; d < brute->demand_count; d++) {
    int base = (int)brute->base[d];
    if (part % base > yield % base) return false;
    part /= base;
    yield /= base;
  }
  return true;
}

/* The state behind a cut that divides `axis`, -1 when it is not allowed. */
static int state_after(const struct nest_rules *rules, int state, int axis) {
  if (state == BY_NOTHING)
    return (axis == 0 ? rules->crosscut_first : rules->rip_first) ? BY_STAGE + axis : -1;
  if (state < BY_STAGE) return state == BY_TRIM + axis ? state : -1;
  if (rules->stages == 0) return BY_STAGE + axis;
  int stage = (state - BY_STAGE) / 2;
  if ((state - BY_STAGE) % 2 == axis) return state;
  return stage + 1 == rules->stages ? BY_TRIM + axis : BY_STAGE + 2 * (stage + 1) + axis;
}

static bool hits_flaw(const struct nest_stock *stock, const struct spot *at,
                      const struct nest_option *option) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    length_t dx = flaw->rim_ok ? option->core_x : 0;
    length_t dy = flaw->rim_ok ? option->core_y : 0;
    bool beside = flaw->x + flaw->length <= at->x + dx || flaw->x >= at->x + at->length - dx ||
                  flaw->y + flaw->width <= at->y + dy || flaw->y >= at->y + at->width - dy;
    if (!beside) return true;
  }
  return false;
}

static cost_t best_piece(const struct brute *brute, const struct spot *at, int yield) {
  cost_t best = 0;
  for (size_t o = 0; o < brute->stock->option_count; o++) {
    const struct nest_option *option = &brute->stock->options[o];
    if (option->length != at->length || option->width != at->width) continue;
    bool counted = brute->base[option->demand] > 1;
    if (counted && !is_part(brute, yield, place_value(brute, option->demand))) continue;
    if (brute->worth[o] > best && !hits_flaw(brute->stock, at, option)) best = brute->worth[o];
  }
  return best;
}

static bool may_be_cut(const struct nest_rules *rules, const struct spot *at, int axis) {
  if (axis == 1) return at->length >= rules->rip_min_length;
  return rules->crosscut_capacity == 0 || at->width <= rules->crosscut_capacity;
}

static cost_t best_of(struct brute *brute, struct spot at, int yield);

static cost_t best_cut(struct brute *brute, const struct spot *at, int axis, int state, int low,
                       int yield) {
  const struct nest_stock *stock = brute->stock;
  int behind = low + (int)(axis == 0 ? stock->kerf_crosscut : stock->kerf_rip);
  int extent = axis == 0 ? at->length : at->width;
  int high = extent > behind ? extent - behind : 0;
  if (behind == 0) return 0;
  int narrower = low < high ? low : high;
  if (axis == 1 && stock->rules.rip_no_wider_than_long && narrower > at->length) return 0;
  if (axis == 1 && stock->rules.rip_capacity > 0 && narrower > stock->rules.rip_capacity) return 0;
  struct spot one = *at;
  struct spot other = *at;
  one.state = other.state = state;
  *(axis == 0 ? &one.length : &one.width) = low;
  *(axis == 0 ? &other.length : &other.width) = high;
  *(axis == 0 ? &other.x : &other.y) += behind;
  cost_t best = 0;
  for (int part = 0; part <= yield; part++) {
    if (!is_part(brute, yield, part)) continue;
    cost_t low_worth = best_of(brute, one, part);
    cost_t high_worth = best_of(brute, other, yield - part);
    cost_t worth = low_worth + high_worth;
    if (state < BY_STAGE) worth = low_worth > high_worth ? low_worth : high_worth;
    if (worth - brute->cut_cost > best) best = worth - brute->cut_cost;
  }
  return best;
}

static cost_t *known_of(struct brute *brute, const struct spot *at) {
  bool placed = brute->stock->flaw_count > 0;
  size_t columns = (size_t)brute->stock->length + 1;
  size_t rows = (size_t)brute->stock->width + 1;
  size_t slot = placed ? (size_t)at->x * rows + (size_t)at->y : 0;
  slot = ((slot * columns + (size_t)at->length) * rows + (size_t)at->width) * MOST_STATES;
  slot += (size_t)at->state;
  if (brute->known[slot] == NULL) {
    brute->known[slot] = ARENA_ARRAY(brute->arena, brute->yields, cost_t);
    for (int y = 0; y < brute->yields; y++) brute->known[slot][y] = -1;
  }
  return brute->known[slot];
}

static cost_t best_of(struct brute *brute, struct spot at, int yield) {
  if (at.length <= 0 || at.width <= 0) return 0;
  cost_t *known = &known_of(brute, &at)[yield];
  if (*known >= 0) return *known;
  cost_t best = best_piece(brute, &at, yield);
  for (int axis = 0; axis < 2; axis++) {
    int state = state_after(&brute->stock->rules, at.state, axis);
    if (state < 0 || !may_be_cut(&brute->stock->rules, &at, axis)) continue;
    for (int low = 0; low < (axis == 0 ? at.length : at.width); low++) {
      cost_t worth = best_cut(brute, &at, axis, state, low, yield);
      if (worth > best) best = worth;
    }
  }
  *known = best;
  return best;
}

static cost_t run(struct arena *arena, const struct nest_stock *stock, const cost_t *worth,
                  const int64_t *limit, cost_t cut_cost, const struct spot *from) {
  struct brute brute = {.arena = arena, .stock = stock, .worth = worth, .cut_cost = cut_cost};
  assert_true(stock->length <= BRUTE_SIDE && stock->width <= BRUTE_SIDE &&
              stock->rules.stages <= 4);
  for (size_t o = 0; o < stock->option_count; o++)
    if (stock->options[o].demand >= brute.demand_count)
      brute.demand_count = stock->options[o].demand + 1;
  struct arena_mark mark = arena_mark(arena);
  brute.base = ARENA_ARRAY(arena, brute.demand_count, int64_t);
  brute.yields = 1;
  for (size_t d = 0; d < brute.demand_count; d++) {
    bool limited = limit != NULL && limit[d] >= 0;
    brute.base[d] = limited ? limit[d] + 1 : 1;
    brute.yields *= (int)brute.base[d];
  }
  size_t places = (size_t)(stock->length + 1) * (size_t)(stock->width + 1);
  size_t slots = places * MOST_STATES;
  if (stock->flaw_count > 0) slots *= places;
  brute.known = ARENA_ARRAY(arena, slots, cost_t *);
  /* a demand that may not be met at all is worth nothing */
  cost_t *own = ARENA_ARRAY(arena, stock->option_count, cost_t);
  for (size_t o = 0; o < stock->option_count; o++) {
    size_t demand = stock->options[o].demand;
    own[o] = limit != NULL && limit[demand] == 0 ? 0 : worth[o];
  }
  brute.worth = own;
  cost_t best = best_of(&brute, *from, brute.yields - 1);
  arena_release(arena, mark);
  return best;
}

cost_t brute_best(struct arena *arena, const struct nest_stock *stock, const cost_t *worth,
                  const int64_t *limit, cost_t cut_cost) {
  struct spot whole = {0, 0, (int)stock->length, (int)stock->width, BY_NOTHING};
  return run(arena, stock, worth, limit, cut_cost, &whole);
}

cost_t brute_inside(struct arena *arena, const struct nest_stock *stock, const cost_t *worth,
                    cost_t cut_cost, enum division next, length_t length, length_t width) {
  struct spot inside = {0, 0, (int)length, (int)width, BY_STAGE + (next == DIVIDE_LENGTH ? 0 : 1)};
  return run(arena, stock, worth, NULL, cut_cost, &inside);
}
