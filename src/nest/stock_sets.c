#include "nest/stock_sets.h"

#include <math.h>
#include <string.h>

enum { MOST_NODES = 200000 };

struct listing {
  struct arena *arena;
  const struct nest_problem *problem;
  const int64_t *used;
  cost_t budget;
  double area;
  const struct stock_choice *known;
  int64_t *together; /* per stock: used and taken */
  size_t most;
  size_t *order; /* stocks that may be taken, the largest first */
  size_t order_count;
  const int64_t *available;
  int64_t *pieces;
  int nodes;
  struct stock_sets sets;
};

static double area_of(const struct nest_stock *stock) {
  return (double)stock->length * (double)stock->width;
}

/* Room in one large piece is worth more than in several small ones. */
static double worth_of(const struct nest_stock *stock) {
  double area = area_of(stock);
  return area * sqrt(sqrt(area));
}

static cost_t price_of(const struct listing *listing, size_t s, int64_t pieces) {
  const struct nest_stock *stock = &listing->problem->stocks[s];
  return nest_stock_cost(stock, listing->used[s] + pieces) -
         nest_stock_cost(stock, listing->used[s]);
}

static bool holds_one_more(const struct listing *listing, cost_t left) {
  for (size_t i = 0; i < listing->order_count; i++) {
    size_t s = listing->order[i];
    int64_t pieces = listing->pieces[s];
    if (pieces < listing->available[s] &&
        price_of(listing, s, pieces + 1) - price_of(listing, s, pieces) <= left)
      return true;
  }
  return false;
}

static bool may_hold(const struct listing *listing) {
  if (listing->known == NULL) return true;
  for (size_t s = 0; s < listing->problem->stock_count; s++)
    listing->together[s] = listing->used[s] + listing->pieces[s];
  return stock_choice_may_hold(listing->known, listing->together);
}

/* Keeps the list sorted by rank and no longer than `most`. */
static void list_set(struct listing *listing) {
  const struct nest_problem *problem = listing->problem;
  struct stock_sets *sets = &listing->sets;
  double rank = 0;
  double area = 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    rank += worth_of(&problem->stocks[s]) * (double)listing->pieces[s];
    area += area_of(&problem->stocks[s]) * (double)listing->pieces[s];
  }
  if (area < listing->area) return;
  if (sets->count == listing->most && rank <= sets->items[sets->count - 1].rank) return;
  if (!may_hold(listing)) return;
  if (sets->count < listing->most) {
    sets->items[sets->count].pieces = ARENA_ARRAY(listing->arena, problem->stock_count, int64_t);
    sets->count++;
  }
  struct stock_set set = {sets->items[sets->count - 1].pieces, rank};
  memcpy(set.pieces, listing->pieces, problem->stock_count * sizeof *set.pieces);
  size_t at = sets->count - 1;
  for (; at > 0 && sets->items[at - 1].rank < rank; at--) sets->items[at] = sets->items[at - 1];
  sets->items[at] = set;
}

static void choose(struct listing *listing, size_t i, cost_t left) {
  if (listing->nodes++ > MOST_NODES) return;
  if (i == listing->order_count) {
    if (!holds_one_more(listing, left)) list_set(listing);
    return;
  }
  size_t s = listing->order[i];
  int64_t most = 0;
  while (most < listing->available[s] && price_of(listing, s, most + 1) <= left) most++;
  listing->nodes += (int)(most < MOST_NODES ? most : MOST_NODES);
  for (int64_t pieces = most; pieces >= 0; pieces--) {
    listing->pieces[s] = pieces;
    choose(listing, i + 1, left - price_of(listing, s, pieces));
  }
  listing->pieces[s] = 0;
}

struct stock_sets stock_sets_list(struct arena *arena, const struct nest_problem *problem,
                                  const int64_t *available, const int64_t *used, cost_t budget,
                                  double area, const struct stock_choice *known, size_t most) {
  struct listing listing = {.arena = arena,
                            .problem = problem,
                            .used = used,
                            .budget = budget,
                            .area = area,
                            .known = known,
                            .most = most,
                            .available = available};
  listing.order = ARENA_ARRAY(arena, problem->stock_count, size_t);
  listing.together = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  listing.pieces = ARENA_ARRAY(arena, problem->stock_count, int64_t);
  listing.sets.items = ARENA_ARRAY(arena, most, struct stock_set);
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (available[s] <= 0) continue;
    size_t at = listing.order_count++;
    for (;
         at > 0 && area_of(&problem->stocks[listing.order[at - 1]]) < area_of(&problem->stocks[s]);
         at--)
      listing.order[at] = listing.order[at - 1];
    listing.order[at] = s;
  }
  choose(&listing, 0, budget);
  return listing.sets;
}
