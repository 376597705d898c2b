#include "exhaustive.h"

#include <limits.h>
#include <string.h>

/* A "yield" numbers the pieces got per demand, in mixed radix, each at most its demand.
 * Table[yield] is the fewest cuts that get it, or NEVER. More of a demand than wanted is
 * the same as just enough: a piece too many is waste. */
#define NEVER (INT_MAX / 4)
#define LENGTH_CELLS 12
#define WIDTH_CELLS 6

/* How a rectangle was reached: by no cut, by a last cut in stage s along an axis, or by a
 * trim that must not free more than one piece. */
enum { STATE_ROOT, STATE_TRIM_X, STATE_TRIM_Y, STATE_STAGE, STATE_COUNT = STATE_STAGE + 6 };

enum axis { AXIS_X, AXIS_Y }; /* what a cut divides: crosscuts x, rips y */

struct rectangle {
  int x, y, length, width, state;
};

struct search {
  struct arena *arena;
  const struct nest_problem *problem;
  const struct nest_stock *stock;
  length_t unit;
  int yields;
  int *radix;         /* per demand */
  int *sum;           /* yields x yields: the yield of two together */
  int **known;        /* tables of this stock by rectangle, NULL where not yet looked at */
  const int *nothing; /* the table of a rectangle of no size */
};

static void number_yields(struct search *search) {
  size_t demands = search->problem->demand_count;
  search->radix = ARENA_ARRAY(search->arena, demands, int);
  search->yields = 1;
  for (size_t d = 0; d < demands; d++) {
    search->radix[d] = search->yields;
    search->yields *= (int)search->problem->demand[d] + 1;
  }
  search->sum = ARENA_ARRAY(search->arena, search->yields * search->yields, int);
  for (int a = 0; a < search->yields; a++)
    for (int b = 0; b < search->yields; b++) {
      int sum = 0;
      for (size_t d = 0; d < demands; d++) {
        int limit = (int)search->problem->demand[d];
        int pieces = a / search->radix[d] % (limit + 1) + b / search->radix[d] % (limit + 1);
        sum += search->radix[d] * (pieces < limit ? pieces : limit);
      }
      search->sum[a * search->yields + b] = sum;
    }
}

static int *new_table(const struct search *search) {
  int *table = ARENA_ARRAY(search->arena, search->yields, int);
  for (int i = 0; i < search->yields; i++) table[i] = NEVER;
  table[0] = 0;
  return table;
}

static void lower(int *value, int other) {
  if (other < *value) *value = other;
}

static void join(const struct search *search, int *table, const int *low, const int *high) {
  for (int a = 0; a < search->yields; a++) {
    if (low[a] >= NEVER) continue;
    for (int b = 0; b < search->yields; b++)
      if (high[b] < NEVER) lower(&table[search->sum[a * search->yields + b]], low[a] + high[b] + 1);
  }
}

static bool flawed(const struct search *search, const struct rectangle *at,
                   const struct nest_option *option) {
  for (size_t i = 0; i < search->stock->flaw_count; i++) {
    const struct nest_flaw *flaw = &search->stock->flaws[i];
    length_t rim_x = flaw->rim_ok ? option->core_x : 0;
    length_t rim_y = flaw->rim_ok ? option->core_y : 0;
    length_t x = at->x * search->unit;
    length_t y = at->y * search->unit;
    if (x + rim_x < flaw->x + flaw->length && flaw->x < x + option->length - rim_x &&
        y + rim_y < flaw->y + flaw->width && flaw->y < y + option->width - rim_y)
      return true;
  }
  return false;
}

static void take_pieces(const struct search *search, const struct rectangle *at, int *table) {
  for (size_t i = 0; i < search->stock->option_count; i++) {
    const struct nest_option *option = &search->stock->options[i];
    if (option->length != at->length * search->unit || option->width != at->width * search->unit)
      continue;
    if (search->problem->demand[option->demand] == 0 || flawed(search, at, option)) continue;
    table[search->radix[option->demand]] = 0;
  }
}

/* The state behind a cut along `axis`, or -1 where none is allowed. */
static int next_state(const struct nest_rules *rules, int state, enum axis axis) {
  if (state == STATE_ROOT) {
    bool allowed = axis == AXIS_X ? rules->crosscut_first : rules->rip_first;
    return allowed ? STATE_STAGE + (int)axis : -1;
  }
  int trim = axis == AXIS_X ? STATE_TRIM_X : STATE_TRIM_Y;
  if (state < STATE_STAGE) return state == trim ? trim : -1;
  int stage = (state - STATE_STAGE) / 2;
  int last = (state - STATE_STAGE) % 2;
  if (rules->stages == 0) return STATE_STAGE + (int)axis;
  if (last != (int)axis && stage + 1 == rules->stages) return trim;
  return STATE_STAGE + 2 * (stage + (last != (int)axis ? 1 : 0)) + (int)axis;
}

static bool offers(const struct search *search, const struct rectangle *at, enum axis axis) {
  const struct nest_rules *rules = &search->stock->rules;
  if (axis == AXIS_Y) return at->length * search->unit >= rules->rip_min_length;
  return rules->crosscut_capacity == 0 || at->width * search->unit <= rules->crosscut_capacity;
}

static bool parts_allowed(const struct search *search, const struct rectangle *at, enum axis axis,
                          int narrower) {
  const struct nest_rules *rules = &search->stock->rules;
  if (axis == AXIS_X) return true;
  if (rules->rip_no_wider_than_long && narrower > at->length) return false;
  return rules->rip_capacity == 0 || narrower * search->unit <= rules->rip_capacity;
}

static const int *table_of(struct search *search, struct rectangle at);

/* One cut: `low` units stay below the kerf. */
static void cut(struct search *search, const struct rectangle *at, enum axis axis, int state,
                int low, int *table) {
  length_t kerf = axis == AXIS_X ? search->stock->kerf_crosscut : search->stock->kerf_rip;
  int start = low + (int)(kerf / search->unit);
  int extent = axis == AXIS_X ? at->length : at->width;
  int high = extent > start ? extent - start : 0;
  if (!parts_allowed(search, at, axis, low < high ? low : high)) return;
  struct rectangle one = *at;
  struct rectangle other = *at;
  one.state = other.state = state;
  *(axis == AXIS_X ? &one.length : &one.width) = low;
  *(axis == AXIS_X ? &other.length : &other.width) = high;
  *(axis == AXIS_X ? &other.x : &other.y) += start;
  const int *low_table = low > 0 ? table_of(search, one) : search->nothing;
  const int *high_table = high > 0 ? table_of(search, other) : search->nothing;
  if (state == STATE_TRIM_X || state == STATE_TRIM_Y) {
    join(search, table, low_table, search->nothing);
    join(search, table, search->nothing, high_table);
  } else {
    join(search, table, low_table, high_table);
  }
}

static size_t slot_of(const struct search *search, const struct rectangle *at) {
  bool fixed = search->stock->flaw_count > 0; /* else all places are alike */
  size_t slot = fixed ? (size_t)(at->x * (WIDTH_CELLS + 1) + at->y) : 0;
  slot = slot * (LENGTH_CELLS + 1) + (size_t)at->length;
  slot = slot * (WIDTH_CELLS + 1) + (size_t)at->width;
  return slot * STATE_COUNT + (size_t)at->state;
}

static const int *table_of(struct search *search, struct rectangle at) {
  int **known = &search->known[slot_of(search, &at)];
  if (*known != NULL) return *known;
  int *table = new_table(search);
  take_pieces(search, &at, table);
  for (enum axis axis = AXIS_X; axis <= AXIS_Y; axis++) {
    int state = next_state(&search->stock->rules, at.state, axis);
    if (state < 0 || !offers(search, &at, axis)) continue;
    int extent = axis == AXIS_X ? at.length : at.width;
    for (int low = 0; low < extent; low++) cut(search, &at, axis, state, low, table);
  }
  *known = table;
  return table;
}

/* cost[yield] is the least money for it, INT64_MAX where it cannot be had. Adds what any
 * number of pieces of the stock can do. */
static void add_stock(struct search *search, const int *table, cost_t *cost) {
  const struct nest_stock *stock = search->stock;
  int *now = new_table(search); /* fewest cuts with exactly `used` pieces */
  cost_t *better = ARENA_ARRAY(search->arena, search->yields, cost_t);
  int64_t most = 0;
  for (size_t d = 0; d < search->problem->demand_count; d++) most += search->problem->demand[d];
  if (stock->count >= 0 && stock->count < most) most = stock->count;
  memcpy(better, cost, (size_t)search->yields * sizeof *cost);
  for (int64_t used = 1; used <= most; used++) {
    int *next = new_table(search);
    join(search, next, now, table);
    for (int i = 1; i < search->yields; i++)
      if (next[i] < NEVER) next[i]--; /* join counts a cut between its two */
    now = next;
    int64_t bought = (used + stock->pack - 1) / stock->pack * stock->pack;
    cost_t wood = bought * (stock->cost - stock->trim_cost) + used * stock->trim_cost;
    for (int a = 0; a < search->yields; a++)
      for (int b = 0; b < search->yields; b++) {
        if (cost[a] == INT64_MAX || now[b] >= NEVER) continue;
        cost_t *to = &better[search->sum[a * search->yields + b]];
        cost_t total = cost[a] + wood + now[b] * search->problem->cut_cost;
        if (total < *to) *to = total;
      }
  }
  memcpy(cost, better, (size_t)search->yields * sizeof *cost);
}

/* What one piece of the stock can yield. */
static const int *stock_table(struct search *search) {
  const struct nest_stock *stock = search->stock;
  if (stock->given != NULL) {
    int yield = 0;
    for (size_t d = 0; d < search->problem->demand_count; d++)
      yield += search->radix[d] * (int)stock->given[d];
    int *table = new_table(search);
    table[yield] = 0;
    return table;
  }
  struct rectangle whole = {.length = (int)(stock->length / search->unit),
                            .width = (int)(stock->width / search->unit),
                            .state = STATE_ROOT};
  struct rectangle last = {LENGTH_CELLS, WIDTH_CELLS, LENGTH_CELLS, WIDTH_CELLS, STATE_COUNT - 1};
  struct rectangle last_unplaced = {0, 0, LENGTH_CELLS, WIDTH_CELLS, STATE_COUNT - 1};
  size_t slots = slot_of(search, stock->flaw_count > 0 ? &last : &last_unplaced) + 1;
  search->known = ARENA_ARRAY(search->arena, slots, int *);
  return table_of(search, whole);
}

cost_t exhaustive_optimum(struct arena *arena, const struct nest_problem *problem, length_t unit) {
  struct search search = {.arena = arena, .problem = problem, .unit = unit};
  number_yields(&search);
  search.nothing = new_table(&search);
  cost_t *cost = ARENA_ARRAY(arena, search.yields, cost_t);
  for (int i = 1; i < search.yields; i++) cost[i] = INT64_MAX;
  for (size_t s = 0; s < problem->stock_count; s++) {
    struct arena_mark mark = arena_mark(arena);
    search.stock = &problem->stocks[s];
    add_stock(&search, stock_table(&search), cost);
    arena_release(arena, mark);
  }
  cost_t optimum = cost[search.yields - 1];
  return optimum == INT64_MAX ? EXHAUSTIVE_NO_PLAN : optimum;
}
