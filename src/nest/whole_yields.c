#include "nest/whole_yields.h"

#include <string.h>

enum { CELLS_MOST = 2500000, COPIES_MOST = 8 };

/* Of all tables. */
static const int64_t CHOICES_MOST = 32000000;

/* One more piece of a stock of which there are few. */
struct layer {
  size_t stock;
  uint32_t *choice; /* per cell: yield + 1; 0: none */
};

struct whole_yields {
  struct count_box box;
  const struct nest_problem *problem;
  const struct yields *yields;
  int64_t *cost;   /* per cell */
  uint32_t *often; /* per cell: of the stocks that are not limited, yield + 1 */
  struct layer *layers;
  size_t layer_count;
};

/* Copies told one by one; 0: as many as wanted. */
static int64_t copies_of(const struct nest_stock *stock, int64_t wanted) {
  int64_t most = nest_stock_most(stock);
  return most > COPIES_MOST || most >= wanted ? 0 : most;
}

static bool is_nothing(const struct count_box *box, const int64_t *counts) {
  for (size_t k = 0; k < box->kinds; k++)
    if (counts[k] > 0) return false;
  return true;
}

static void add_often(struct whole_yields *whole, size_t stock) {
  for (size_t y = 0; y < whole->yields->count; y++) {
    const struct yield *yield = &whole->yields->items[y];
    if (yield->stock == stock && !is_nothing(&whole->box, yield->counts))
      count_box_add(&whole->box, whole->cost, whole->cost, yield->counts, yield->cost, whole->often,
                    (uint32_t)y + 1);
  }
}

/* `before` has room for all cells. */
static void add_layer(struct arena *arena, struct whole_yields *whole, size_t stock,
                      int64_t *before) {
  struct layer *layer = &whole->layers[whole->layer_count++];
  *layer = (struct layer){stock, ARENA_ARRAY(arena, whole->box.cells, uint32_t)};
  memcpy(before, whole->cost, whole->box.cells * sizeof *before);
  for (size_t y = 0; y < whole->yields->count; y++) {
    const struct yield *yield = &whole->yields->items[y];
    if (yield->stock == stock && !is_nothing(&whole->box, yield->counts))
      count_box_add(&whole->box, before, whole->cost, yield->counts, yield->cost, layer->choice,
                    (uint32_t)y + 1);
  }
}

/* Whether all tables can be filled in so many steps, and held. */
static bool is_within(const struct whole_yields *whole, int64_t pieces, int64_t steps) {
  int64_t cells = (int64_t)whole->box.cells, layers = 0, additions = 0;
  for (size_t s = 0; s < whole->problem->stock_count; s++)
    layers += copies_of(&whole->problem->stocks[s], pieces);
  for (size_t y = 0; y < whole->yields->count; y++) {
    int64_t copies = copies_of(&whole->problem->stocks[whole->yields->items[y].stock], pieces);
    additions += copies > 1 ? copies : 1;
  }
  return (layers + 1) * cells <= CHOICES_MOST && (additions + layers + 1) * cells <= steps;
}

struct whole_yields *whole_yields_solve(struct arena *arena, const struct nest_problem *problem,
                                        const int64_t *most, const struct yields *yields,
                                        int64_t steps) {
  struct whole_yields *whole = ARENA_NEW(arena, struct whole_yields);
  *whole = (struct whole_yields){.problem = problem, .yields = yields};
  int64_t pieces = 0;
  for (size_t k = 0; k < yield_kinds(problem); k++) pieces += most[k];
  if (!count_box_open(arena, yield_kinds(problem), most, CELLS_MOST, &whole->box)) return NULL;
  if (!is_within(whole, pieces, steps)) return NULL;
  whole->cost = count_box_table(arena, &whole->box);
  whole->often = ARENA_ARRAY(arena, whole->box.cells, uint32_t);
  whole->layers = ARENA_ARRAY(arena, problem->stock_count * COPIES_MOST, struct layer);
  for (size_t s = 0; s < problem->stock_count; s++)
    if (copies_of(&problem->stocks[s], pieces) == 0 && nest_stock_most(&problem->stocks[s]) > 0)
      add_often(whole, s);
  int64_t *before = ARENA_ARRAY(arena, whole->box.cells, int64_t);
  for (size_t s = 0; s < problem->stock_count; s++)
    for (int64_t n = copies_of(&problem->stocks[s], pieces); n > 0; n--)
      add_layer(arena, whole, s, before);
  return whole;
}

cost_t whole_yields_cost(const struct whole_yields *whole, const int64_t *demand) {
  return whole->cost[count_box_cell(&whole->box, demand)];
}

bool whole_yields_take(const struct whole_yields *whole, const int64_t *demand, int64_t *times) {
  size_t cell = count_box_cell(&whole->box, demand);
  memset(times, 0, whole->yields->count * sizeof *times);
  for (size_t l = whole->layer_count; l-- > 0;) {
    uint32_t choice = whole->layers[l].choice[cell];
    if (choice == 0) continue;
    times[choice - 1]++;
    cell = count_box_less(&whole->box, cell, whole->yields->items[choice - 1].counts);
  }
  while (cell != 0) {
    uint32_t choice = whole->often[cell];
    times[choice - 1]++;
    cell = count_box_less(&whole->box, cell, whole->yields->items[choice - 1].counts);
  }
  return yields_can_be_had(whole->problem, whole->yields, times);
}
