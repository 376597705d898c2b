#include "nest/lattice.h"

#include "base/divisor.h"

enum { MOST_SUMS = 1 << 20 };

static int64_t pack_of(const struct nest_stock *stock) { return stock->pack < 1 ? 1 : stock->pack; }

/* A pack's price: what stock adds to the cost in whole steps, trims apart. */
static cost_t pack_price(const struct nest_stock *stock) {
  return (stock->cost - stock->trim_cost) * pack_of(stock);
}

static int64_t packs(const struct nest_stock *stock, int64_t pieces) {
  return (pieces + pack_of(stock) - 1) / pack_of(stock);
}

static cost_t next_multiple(cost_t value, cost_t step) {
  if (value <= 0) return 0;
  return (value + step - 1) / step * step;
}

/* Sums of pack prices in multiples of `unit`, from the least packs on: bit i of reached[] tells
 * whether base + i * unit is one. */
struct sums {
  cost_t base;
  cost_t unit;
  uint64_t *reached;
  size_t count;
};

enum { WORD_BITS = 64 };

static bool is_reached(const struct sums *sums, size_t sum) {
  return (sums->reached[sum / WORD_BITS] >> sum % WORD_BITS & 1) != 0;
}

/* Every sum with `by` more is one too; from the top, so that none is raised twice. */
static void raise_sums(struct sums *sums, size_t by) {
  size_t words = by / WORD_BITS, bits = by % WORD_BITS;
  for (size_t w = (sums->count + WORD_BITS - 1) / WORD_BITS; w-- > words;) {
    uint64_t raised = sums->reached[w - words] << bits;
    if (bits > 0 && w > words) raised |= sums->reached[w - words - 1] >> (WORD_BITS - bits);
    sums->reached[w] |= raised;
  }
}

/* Any number of packs up to the most is a sum of some of 1, 2, 4, ... and what is left of it. */
static void add_packs(struct sums *sums, size_t step, int64_t most) {
  if (step == 0) return;
  if (most > (int64_t)(sums->count / step)) most = (int64_t)(sums->count / step);
  for (int64_t packs = 1; most > 0; packs *= 2) {
    if (packs > most) packs = most;
    raise_sums(sums, step * (size_t)packs);
    most -= packs;
  }
}

static cost_t least_sum(const struct nest_problem *problem, const int64_t *least) {
  cost_t total = 0;
  for (size_t s = 0; s < problem->stock_count; s++)
    total += nest_stock_cost(&problem->stocks[s], least[s]);
  return total;
}

/* Whether more than the least of a stock can be used at all within `room`. */
static bool is_open(const struct nest_problem *problem, const int64_t *least, const int64_t *most,
                    cost_t room, size_t s) {
  cost_t price = pack_price(&problem->stocks[s]);
  return least[s] != most[s] && price > 0 && price <= room;
}

static bool all_fixed(const struct nest_problem *problem, const int64_t *least, const int64_t *most,
                      cost_t room) {
  for (size_t s = 0; s < problem->stock_count; s++)
    if (is_open(problem, least, most, room, s)) return false;
  return true;
}

/* The largest amount that every pack price is a multiple of; packs too dear to be bought
 * are left out. */
static cost_t price_unit(const struct nest_problem *problem, const int64_t *least,
                         const int64_t *most, cost_t room) {
  cost_t unit = 0;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (is_open(problem, least, most, room, s))
      unit = common_divisor(unit, pack_price(&problem->stocks[s]));
  return unit;
}

static void fill_sums(struct arena *arena, const struct nest_problem *problem, const int64_t *least,
                      const int64_t *most, struct sums *sums) {
  sums->reached = ARENA_ARRAY(arena, (sums->count + WORD_BITS - 1) / WORD_BITS, uint64_t);
  sums->reached[0] = 1;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    int64_t more = packs(stock, most[s]) - packs(stock, least[s]);
    size_t step = (size_t)(pack_price(stock) / sums->unit);
    if (more > 0 && step < sums->count) add_packs(sums, step, more);
  }
}

/* The least sum that is no less than the bound; with cuts that cost, also a lesser one with the
 * whole cuts that lift it there. */
static cost_t raise_over_sums(const struct nest_problem *problem, const struct sums *sums,
                              cost_t bound, cost_t above) {
  cost_t best = above;
  for (size_t i = 0; i < sums->count && best > bound; i++) {
    if (!is_reached(sums, i)) continue;
    cost_t sum = sums->base + (cost_t)i * sums->unit;
    if (sum >= bound) return sum < best ? sum : best;
    if (problem->cut_cost <= 0) continue;
    cost_t cost = sum + next_multiple(bound - sum, problem->cut_cost);
    if (cost < best) best = cost;
  }
  return best;
}

/* Sums of prices and cuts tell what is achievable only where trims are whole cuts. */
static bool trims_are_cuts(const struct nest_problem *problem) {
  for (size_t s = 0; s < problem->stock_count; s++) {
    cost_t trim = problem->stocks[s].trim_cost;
    if (trim != 0 && (problem->cut_cost <= 0 || trim % problem->cut_cost != 0)) return false;
  }
  return true;
}

cost_t lattice_raise(struct arena *arena, const struct nest_problem *problem, const int64_t *least,
                     const int64_t *most, cost_t bound, cost_t above) {
  cost_t base = least_sum(problem, least);
  if (bound < base) bound = base;
  if (bound >= above) return above;
  if (!trims_are_cuts(problem)) return bound;
  if (all_fixed(problem, least, most, above - base)) {
    cost_t cost = problem->cut_cost > 0 ? base + next_multiple(bound - base, problem->cut_cost)
                                        : (bound > base ? above : base);
    return cost < above ? cost : above;
  }
  cost_t unit = price_unit(problem, least, most, above - base);
  cost_t step = common_divisor(unit, problem->cut_cost);
  if (step <= 0) return bound;
  cost_t raised = base + next_multiple(bound - base, step);
  if (raised >= above) return above;
  if (unit <= 0 || (above - base) / unit >= MOST_SUMS) return raised;
  struct arena_mark mark = arena_mark(arena);
  struct sums sums = {base, unit, NULL, (size_t)((above - base) / unit) + 1};
  fill_sums(arena, problem, least, most, &sums);
  raised = raise_over_sums(problem, &sums, bound, above);
  arena_release(arena, mark);
  return raised;
}

__extension__ typedef __int128 wide_area;

static length_t least_kerf(const struct nest_problem *problem, bool rip) {
  length_t least = INT64_MAX;
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (problem->stocks[s].given != NULL) continue;
    length_t kerf = rip ? problem->stocks[s].kerf_rip : problem->stocks[s].kerf_crosscut;
    if (kerf < least) least = kerf;
  }
  return least;
}

/* Area of the smallest option of each demand, grown by the kerfs; 0 when it has none. */
static wide_area *smallest_areas(struct arena *arena, const struct nest_problem *problem,
                                 length_t kerf_x, length_t kerf_y) {
  wide_area *smallest = ARENA_ARRAY(arena, problem->demand_count, wide_area);
  for (size_t s = 0; s < problem->stock_count; s++)
    for (size_t o = 0; o < problem->stocks[s].option_count; o++) {
      const struct nest_option *option = &problem->stocks[s].options[o];
      wide_area area = (wide_area)(option->length + kerf_x) * (option->width + kerf_y);
      wide_area *own = &smallest[option->demand];
      if (*own == 0 || area < *own) *own = area;
    }
  for (size_t d = 0; d < problem->demand_count && problem->loads != NULL; d++)
    if (problem->loads->grown_area[d] > 0) smallest[d] = problem->loads->grown_area[d];
  return smallest;
}

static wide_area grown_area(const struct nest_stock *stock, length_t kerf_x, length_t kerf_y) {
  return (wide_area)(stock->length + kerf_x) * (stock->width + kerf_y);
}

/* The stock not yet used up that is cheapest for its area; SIZE_MAX for none. */
static size_t cheapest_left(const struct nest_problem *problem, const bool *used_up,
                            length_t kerf_x, length_t kerf_y) {
  size_t best = SIZE_MAX;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (used_up[s]) continue;
    if (best == SIZE_MAX) best = s;
    const struct nest_stock *other = &problem->stocks[best];
    if ((wide_area)stock->cost * grown_area(other, kerf_x, kerf_y) <
        (wide_area)other->cost * grown_area(stock, kerf_x, kerf_y))
      best = s;
  }
  return best;
}

/* Units that are given as they are take no area, and strips of glued blanks are not reckoned
 * with: only loads are. */
static bool is_by_area(const struct nest_problem *problem) {
  if (problem->coupling_count > 0 && problem->loads == NULL) return false;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].given != NULL && !problem->stocks[s].assembly) return false;
  return true;
}

/* What the handling of the loads comes to at least: they are not less than their parts fill. */
static wide_area handling_of_loads(const struct nest_problem *problem) {
  const struct nest_loads *loads = problem->loads;
  wide_area filled = 0;
  if (loads == NULL) return 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    filled += (wide_area)loads->share[d] * problem->demand[d];
  return (filled + 999999) / 1000000 * loads->least_cost;
}

cost_t lattice_area_bound(struct arena *arena, const struct nest_problem *problem) {
  if (!is_by_area(problem)) return 0;
  struct arena_mark mark = arena_mark(arena);
  length_t kerf_x = least_kerf(problem, false);
  length_t kerf_y = least_kerf(problem, true);
  bool *used_up = ARENA_ARRAY(arena, problem->stock_count, bool);
  wide_area left = 0;
  wide_area cost = handling_of_loads(problem);
  const wide_area *smallest = smallest_areas(arena, problem, kerf_x, kerf_y);
  for (size_t d = 0; d < problem->demand_count; d++) left += smallest[d] * problem->demand[d];
  while (left > 0) {
    size_t s = cheapest_left(problem, used_up, kerf_x, kerf_y);
    if (s == SIZE_MAX) break;
    const struct nest_stock *stock = &problem->stocks[s];
    if (stock->given != NULL) {
      used_up[s] = true;
      continue;
    }
    wide_area area = grown_area(stock, kerf_x, kerf_y);
    wide_area most = nest_stock_most(stock);
    if (most > left / area) {
      cost += (wide_area)stock->cost * left / area;
      left = 0;
    } else {
      cost += (wide_area)stock->cost * most;
      left -= area * most;
    }
    used_up[s] = true;
  }
  arena_release(arena, mark);
  return cost > INT64_MAX / 4 ? INT64_MAX / 4 : (cost_t)cost;
}
