#include "nest/pool_exchange.h"

#include <string.h>

#include "nest/random.h"

enum {
  ROUND_STEPS = 8, /* for one exchange looked at, and one more for each demand */
  FIRST_ROUNDS = 200000,
  ROUNDS_PER_LAYOUT = 20000, /* few layouts are soon tried in all ways */
  MOST_TAKEN = 1000,
  KINDS_OF_CHANGE = 8, /* one of them adds a layout, one leaves one out */
  THRESHOLDS = 3,
  PARTS = 1000
};

/* What a change for the worse may take at first, in parts of what a layout is worth. */
static const int64_t first_threshold[THRESHOLDS] = {250, 125, 500};

struct exchange {
  const struct pool_question *question;
  size_t demands;
  cost_t *worth;   /* per demand, at least 1 */
  size_t *layout;  /* those that may be taken */
  size_t *stock;   /* of each of them */
  cost_t *cuts;    /* its cost beside the stock */
  int32_t *counts; /* [layout * demands + demand] */
  size_t count;
  size_t taken[MOST_TAKEN];
  size_t taken_count;
  int64_t *pieces; /* per stock */
  int64_t *open;   /* per demand: pieces missing; below 0 too many */
  cost_t cost;
  cost_t fault; /* worth of what is missing, and cost that is too much */
  uint64_t random;
};

/* Layouts taken out and in; SIZE_MAX: none. */
struct change {
  size_t place; /* in taken[] */
  size_t out, in;
  cost_t cost, fault; /* after it */
};

static size_t below(struct exchange *exchange, size_t limit) {
  return (size_t)((random_draw(&exchange->random) >> 32) * limit >> 32);
}

static void list_layouts(struct arena *arena, struct exchange *exchange) {
  const struct pool_question *question = exchange->question;
  size_t all = question->layout_count;
  exchange->layout = ARENA_ARRAY(arena, all, size_t);
  exchange->stock = ARENA_ARRAY(arena, all, size_t);
  exchange->cuts = ARENA_ARRAY(arena, all, cost_t);
  exchange->counts = ARENA_ARRAY(arena, all * exchange->demands, int32_t);
  for (size_t i = 0; i < all; i++) {
    const struct pool_layout *layout = &question->layouts[i];
    const struct nest_stock *stock = &question->problem->stocks[layout->stock];
    if (question->most[layout->stock] <= 0 || stock->given != NULL) continue;
    if (layout->cost >= question->below) continue;
    size_t own = exchange->count++;
    exchange->layout[own] = i;
    exchange->stock[own] = layout->stock;
    exchange->cuts[own] = layout->cost > stock->cost ? layout->cost - stock->cost : 0;
    for (size_t d = 0; d < exchange->demands; d++)
      exchange->counts[own * exchange->demands + d] = (int32_t)layout->counts[d];
  }
}

static cost_t mean_worth(const struct exchange *exchange) {
  cost_t worth = 0;
  for (size_t i = 0; i < exchange->count; i++)
    for (size_t d = 0; d < exchange->demands; d++)
      worth += exchange->counts[i * exchange->demands + d] * exchange->worth[d] /
               (cost_t)exchange->count;
  return worth;
}

/* What one piece of a stock more costs beside so many, or one less saves. */
static cost_t next_cost(const struct exchange *exchange, size_t stock, int64_t pieces) {
  const struct nest_stock *kind = &exchange->question->problem->stocks[stock];
  return kind->pack <= 1 ? kind->cost
                         : nest_stock_cost(kind, pieces + 1) - nest_stock_cost(kind, pieces);
}

static void weigh(const struct exchange *exchange, struct change *change) {
  size_t demands = exchange->demands;
  const int32_t *out = change->out == SIZE_MAX ? NULL : &exchange->counts[change->out * demands];
  const int32_t *in = change->in == SIZE_MAX ? NULL : &exchange->counts[change->in * demands];
  size_t out_stock = out == NULL ? SIZE_MAX : exchange->stock[change->out];
  size_t in_stock = in == NULL ? SIZE_MAX : exchange->stock[change->in];
  change->cost = exchange->cost;
  if (out != NULL) change->cost -= exchange->cuts[change->out];
  if (in != NULL) change->cost += exchange->cuts[change->in];
  if (out_stock != in_stock && out != NULL)
    change->cost -= next_cost(exchange, out_stock, exchange->pieces[out_stock] - 1);
  if (out_stock != in_stock && in != NULL)
    change->cost += next_cost(exchange, in_stock, exchange->pieces[in_stock]);
  cost_t over = change->cost - exchange->question->below + 1;
  change->fault = over > 0 ? over : 0;
  for (size_t d = 0; d < demands; d++) {
    int64_t open = exchange->open[d] + (out == NULL ? 0 : out[d]) - (in == NULL ? 0 : in[d]);
    if (open > 0) change->fault += open * exchange->worth[d];
  }
}

static void make(struct exchange *exchange, const struct change *change) {
  size_t demands = exchange->demands;
  if (change->out != SIZE_MAX) {
    exchange->pieces[exchange->stock[change->out]]--;
    for (size_t d = 0; d < demands; d++)
      exchange->open[d] += exchange->counts[change->out * demands + d];
  }
  if (change->in != SIZE_MAX) {
    exchange->pieces[exchange->stock[change->in]]++;
    for (size_t d = 0; d < demands; d++)
      exchange->open[d] -= exchange->counts[change->in * demands + d];
  }
  if (change->out == SIZE_MAX)
    exchange->taken[exchange->taken_count++] = change->in;
  else if (change->in == SIZE_MAX)
    exchange->taken[change->place] = exchange->taken[--exchange->taken_count];
  else
    exchange->taken[change->place] = change->in;
  exchange->cost = change->cost;
  exchange->fault = change->fault;
}

/* False where the stock drawn is used up, or there is nothing to leave out. */
static bool draw_change(struct exchange *exchange, struct change *change) {
  size_t kind = below(exchange, KINDS_OF_CHANGE);
  *change = (struct change){.out = SIZE_MAX, .in = SIZE_MAX};
  if (kind != 0) {
    if (exchange->taken_count == 0) return false;
    change->place = below(exchange, exchange->taken_count);
    change->out = exchange->taken[change->place];
  }
  if (kind == 1) return true;
  if (kind == 0 && exchange->taken_count == MOST_TAKEN) return false;
  change->in = below(exchange, exchange->count);
  size_t stock = exchange->stock[change->in];
  bool same = change->out != SIZE_MAX && exchange->stock[change->out] == stock;
  return same || exchange->pieces[stock] < exchange->question->most[stock];
}

static void begin(struct exchange *exchange) {
  const struct pool_question *question = exchange->question;
  memset(exchange->pieces, 0, question->problem->stock_count * sizeof *exchange->pieces);
  exchange->taken_count = 0;
  exchange->cost = 0;
  exchange->fault = 0;
  for (size_t d = 0; d < exchange->demands; d++) {
    exchange->open[d] = question->demand[d];
    if (question->demand[d] > 0) exchange->fault += question->demand[d] * exchange->worth[d];
  }
}

/* From nothing, the threshold falling with the cube of what is left of the rounds. True when it
 * ends with a plan. */
static bool run(struct exchange *exchange, cost_t threshold, int64_t rounds) {
  begin(exchange);
  for (int64_t round = 0; round < rounds && exchange->fault > 0; round++) {
    struct change change;
    if (!draw_change(exchange, &change)) continue;
    weigh(exchange, &change);
    if (change.fault > exchange->fault) {
      double left = (double)(rounds - round) / (double)rounds;
      double share = (double)(random_draw(&exchange->random) >> 44) / (double)(1 << 20);
      double most = (double)threshold * left * left * left * share * share;
      if ((double)(change.fault - exchange->fault) > most) continue;
    }
    make(exchange, &change);
  }
  return exchange->fault == 0;
}

static void read_taken(const struct exchange *exchange, int64_t *taken) {
  for (size_t i = 0; i < exchange->question->layout_count; i++) taken[i] = 0;
  for (size_t i = 0; i < exchange->taken_count; i++) taken[exchange->layout[exchange->taken[i]]]++;
}

static struct exchange *open_exchange(struct arena *arena, const struct pool_question *question,
                                      const cost_t *worth, uint64_t seed) {
  struct exchange *exchange = ARENA_NEW(arena, struct exchange);
  exchange->question = question;
  exchange->demands = question->problem->demand_count;
  exchange->random = seed;
  exchange->open = ARENA_ARRAY(arena, exchange->demands, int64_t);
  exchange->pieces = ARENA_ARRAY(arena, question->problem->stock_count, int64_t);
  exchange->worth = ARENA_ARRAY(arena, exchange->demands, cost_t);
  for (size_t d = 0; d < exchange->demands; d++) exchange->worth[d] = worth[d] > 0 ? worth[d] : 1;
  list_layouts(arena, exchange);
  return exchange;
}

bool pool_exchange(struct arena *arena, struct pool_question *question, const cost_t *worth,
                   uint64_t seed, int64_t *taken) {
  struct exchange *exchange = open_exchange(arena, question, worth, seed);
  int64_t round_steps = ROUND_STEPS + (int64_t)exchange->demands;
  int64_t left = question->steps / round_steps;
  int64_t most = ROUNDS_PER_LAYOUT * (int64_t)exchange->count;
  int64_t rounds = FIRST_ROUNDS;
  bool found = false;
  if (left > most) left = most;
  question->steps = 0;
  if (exchange->count == 0) return false;
  cost_t unit = mean_worth(exchange) / PARTS;
  for (int try = 0; left > 0 && !found; try++) {
    int64_t own = rounds < left ? rounds : left;
    found = run(exchange, unit * first_threshold[try % THRESHOLDS], own);
    left -= own;
    question->steps += own * round_steps;
    if (try % THRESHOLDS == THRESHOLDS - 1) rounds *= 2;
  }
  if (found) read_taken(exchange, taken);
  return found;
}
