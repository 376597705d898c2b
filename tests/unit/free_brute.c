#include "free_brute.h"

#include "nest_fixture.h"

static void random_options(struct free_case *made, size_t s) {
  struct nest_stock *stock = &made->stocks[s];
  for (size_t d = 0; d < made->problem.demand_count; d++) {
    struct nest_option *option = &made->options[s][stock->option_count];
    if (s == 0)
      *option = plain_option(d, d, random_between(1, 6), random_between(1, 6));
    else
      *option = made->options[0][0];
    for (size_t o = 0; s > 0 && o < made->stocks[0].option_count; o++)
      if (made->options[0][o].demand == d) *option = made->options[0][o];
    option->core_x = option->length > 3 ? 1 : 0;
    stock->option_count++;
    if (option->length == option->width || random_chance(1, 2)) continue;
    made->options[s][stock->option_count] = *option;
    made->options[s][stock->option_count].length = option->width;
    made->options[s][stock->option_count].width = option->length;
    made->options[s][stock->option_count].core_x = 0;
    stock->option_count++;
  }
}

static void add_flaws(struct free_case *made, size_t s) {
  if (!random_chance(1, 3)) return;
  struct nest_stock *stock = &made->stocks[s];
  stock->flaw_count = (size_t)random_between(1, BRUTE_FLAWS);
  for (size_t f = 0; f < stock->flaw_count; f++)
    made->flaws[s][f] =
        (struct nest_flaw){random_between(-1, 5), random_between(-1, 5), random_between(1, 2),
                           random_between(1, 3), random_chance(1, 3)};
}

void free_case_random(struct free_case *made) {
  *made = (struct free_case){0};
  struct nest_problem *problem = &made->problem;
  problem->demand = made->demand;
  problem->stocks = made->stocks;
  problem->demand_count = (size_t)random_between(1, 4);
  problem->stock_count = (size_t)random_between(1, BRUTE_STOCKS);
  int64_t left = BRUTE_PIECES;
  for (size_t d = 0; d < problem->demand_count; d++) {
    int64_t spared = (int64_t)(problem->demand_count - d) - 1;
    made->demand[d] = random_between(1, left - spared < 3 ? left - spared : 3);
    left -= made->demand[d];
  }
  length_t gap = random_chance(1, 2) ? 0 : random_between(1, 2);
  for (size_t s = 0; s < problem->stock_count; s++) {
    struct nest_stock *stock = &made->stocks[s];
    *stock = plain_stock(random_between(4, 8), random_between(4, 8), gap);
    if (gap > 0 && random_chance(1, 3)) stock->kerf_rip = gap - 1;
    stock->count = random_chance(1, 3) ? random_between(1, 3) : -1;
    stock->cost = random_between(s == 0 ? 1 : 0, 9);
    stock->options = made->options[s];
    stock->flaws = made->flaws[s];
    random_options(made, s);
    add_flaws(made, s);
  }
}

static bool on_flaw(const struct nest_flaw *flaw, const struct nest_option *option, length_t x,
                    length_t y) {
  length_t rim_x = flaw->rim_ok ? option->core_x : 0, rim_y = flaw->rim_ok ? option->core_y : 0;
  return x + rim_x < flaw->x + flaw->length && flaw->x < x + option->length - rim_x &&
         y + rim_y < flaw->y + flaw->width && flaw->y < y + option->width - rim_y;
}

void assert_on_sound_wood(const struct nest_stock *stock, const struct nest_option *option,
                          length_t x, length_t y) {
  assert_true(x >= 0 && x + option->length <= stock->length);
  assert_true(y >= 0 && y + option->width <= stock->width);
  for (size_t f = 0; f < stock->flaw_count; f++)
    assert_false(on_flaw(&stock->flaws[f], option, x, y));
}

struct laid {
  const struct nest_option *option;
  length_t x, y;
};

static bool is_free(const struct nest_stock *stock, const struct laid *laid, size_t count,
                    const struct nest_option *option, length_t x, length_t y) {
  for (size_t f = 0; f < stock->flaw_count; f++)
    if (on_flaw(&stock->flaws[f], option, x, y)) return false;
  for (size_t i = 0; i < count; i++) {
    bool apart_x = x >= laid[i].x + laid[i].option->length + stock->kerf_crosscut ||
                   laid[i].x >= x + option->length + stock->kerf_crosscut;
    bool apart_y = y >= laid[i].y + laid[i].option->width + stock->kerf_rip ||
                   laid[i].y >= y + option->width + stock->kerf_rip;
    if (!apart_x && !apart_y) return false;
  }
  return true;
}

/* Whether the pieces (their demands) can all be laid on one sheet, at any whole place. */
static bool can_lay(const struct nest_stock *stock, const size_t *piece, size_t pieces,
                    struct laid *laid, size_t count) {
  if (count == pieces) return true;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    if (option->demand != piece[count]) continue;
    for (length_t x = 0; x + option->length <= stock->length; x++)
      for (length_t y = 0; y + option->width <= stock->width; y++) {
        if (!is_free(stock, laid, count, option, x, y)) continue;
        laid[count] = (struct laid){option, x, y};
        if (can_lay(stock, piece, pieces, laid, count + 1)) return true;
      }
  }
  return false;
}

struct brute {
  const struct free_case *given;
  size_t piece[BRUTE_PIECES]; /* demand of each */
  size_t pieces;
  int8_t holds[BRUTE_STOCKS][1 << BRUTE_PIECES]; /* 0 unknown, 1 yes, -1 no */
  int64_t used[BRUTE_STOCKS];
  cost_t best;
};

/* Whether the pieces' areas alone are too much for a sheet. */
static bool too_much(const struct nest_stock *stock, const size_t *piece, size_t pieces) {
  length_t left = stock->length * stock->width;
  for (size_t p = 0; p < pieces; p++)
    for (size_t o = 0; o < stock->option_count; o++)
      if (stock->options[o].demand == piece[p]) {
        left -= stock->options[o].length * stock->options[o].width;
        break;
      }
  return left < 0; /* all ways of a demand to lie have one area here */
}

static bool holds(struct brute *brute, size_t s, unsigned set) {
  int8_t *known = &brute->holds[s][set];
  if (*known == 0) {
    size_t piece[BRUTE_PIECES], pieces = 0;
    struct laid laid[BRUTE_PIECES];
    for (size_t p = 0; p < brute->pieces; p++)
      if ((set >> p & 1) != 0) piece[pieces++] = brute->piece[p];
    bool can = !too_much(&brute->given->stocks[s], piece, pieces) &&
               can_lay(&brute->given->stocks[s], piece, pieces, laid, 0);
    *known = can ? 1 : -1;
  }
  return *known == 1;
}

/* Every sheet takes the first piece still open and any others. */
static void share_out(struct brute *brute, unsigned open, cost_t cost) {
  if (brute->best >= 0 && cost >= brute->best) return;
  if (open == 0) {
    brute->best = cost;
    return;
  }
  unsigned first = open & (~open + 1);
  for (size_t s = 0; s < brute->given->problem.stock_count; s++) {
    const struct nest_stock *stock = &brute->given->stocks[s];
    if (stock->count >= 0 && brute->used[s] == stock->count) continue;
    brute->used[s]++;
    for (unsigned rest = open & ~first;; rest = (rest - 1) & (open & ~first)) {
      if (holds(brute, s, rest | first))
        share_out(brute, open & ~(rest | first), cost + stock->cost);
      if (rest == 0) break;
    }
    brute->used[s]--;
  }
}

cost_t free_case_least_cost(const struct free_case *given) {
  struct brute brute = {.given = given, .best = -1};
  for (size_t d = 0; d < given->problem.demand_count; d++)
    for (int64_t i = 0; i < given->demand[d]; i++) brute.piece[brute.pieces++] = d;
  share_out(&brute, (1U << brute.pieces) - 1, 0);
  return brute.best;
}
