#include "cost/price.h"

#include "cost/price_terms.h"
#include "cost/wood_used.h"

struct price_table *price_table_create(struct arena *arena, const struct project *project,
                                       int64_t count, int64_t asked) {
  struct price_table *table = ARENA_NEW(arena, struct price_table);
  table->project = project;
  table->terms = price_terms_of(arena, project);
  table->points = ARENA_ARRAY(arena, count, struct price_point);
  table->count = count;
  table->asked = asked;
  for (int64_t n = 1; n <= count; n++) table->points[n - 1].sets = n;
  return table;
}

void price_point_set(struct price_point *point, const struct project *project,
                     const struct plan *plan) {
  struct wood_used wood = wood_used_of(project, plan);
  point->wood_cash = wood.cash;
  point->wood_rack = wood.rack;
  point->wood_consumed = wood.consumed;
  point->pieces = wood.pieces;
  point->plan_cost = plan->cost.total;
  point->plan_bound = plan->cost.bound;
  point->proved = plan->cost.proved;
  point->time = plan->time;
}

static void find_cheapest(struct price_table *table) {
  table->cheapest = 1;
  for (int64_t n = 2; n <= table->count; n++) {
    const struct price_point *point = price_point_of(table, n);
    const struct price_point *best = price_point_of(table, table->cheapest);
    /* Compared before rounding, in a double since the products may be too large. */
    if ((double)point->total * (double)best->sets < (double)best->total * (double)n)
      table->cheapest = n;
  }
}

/* Before the first set there is nothing but costs to come: as if at a loss. */
static void find_crossings(struct arena *arena, struct price_table *table) {
  table->crossing_count = 0;
  bool pays = false;
  for (int64_t n = 1; n <= table->count && table->terms.priced; n++) {
    bool now = price_point_of(table, n)->profit >= 0;
    if (now != pays)
      *ARENA_PUSH(arena, table->crossings, table->crossing_count, table->crossing_room) =
          (struct price_crossing){n, now};
    pays = now;
  }
}

static bool same_wood(const struct price_point *fewer, const struct price_point *more) {
  return more->wood == fewer->wood && more->pieces <= fewer->pieces;
}

static void find_plateaus(struct arena *arena, struct price_table *table) {
  table->plateau_count = 0;
  int64_t first = 1;
  for (int64_t n = 2; n <= table->count + 1; n++) {
    if (n <= table->count && same_wood(price_point_of(table, n - 1), price_point_of(table, n)))
      continue;
    if (n - 1 > first)
      *ARENA_PUSH(arena, table->plateaus, table->plateau_count, table->plateau_room) =
          (struct price_plateau){first, n - 1, price_point_of(table, first)->wood};
    first = n;
  }
}

void price_table_fill(struct arena *arena, struct price_table *table) {
  for (int64_t n = 1; n <= table->count; n++) {
    struct price_point *point = &table->points[n - 1];
    price_costs(arena, table, point);
    price_sales(table, point);
  }
  for (int64_t n = 1; n < table->count; n++)
    table->points[n - 1].next_set = table->points[n].total - table->points[n - 1].total;
  find_cheapest(table);
  find_crossings(arena, table);
  find_plateaus(arena, table);
  price_expect(arena, table);
}
