/* What is expected of a run whose demand is uncertain: sums over every demand, nothing drawn. */
#include "cost/price.h"
#include "cost/price_demand.h"

/* Two expectations nearer than this (cents) count as equal, and the fewer sets are taken. */
#define SAME_CENTS 1e-6

/* The profit of `sets` made where `wanted` are. */
static cents_t profit_at(const struct price_terms *terms, const struct price_point *point,
                         cents_t stays, int64_t wanted) {
  int64_t sold = wanted < point->sets ? wanted : point->sets;
  return sold * stays + (point->sets - sold) * terms->unsold_value - point->cost;
}

static void expect(const struct price_table *table, const struct demand_chances *chances,
                   struct price_point *point) {
  const struct price_terms *terms = &table->terms;
  cents_t stays =
      terms->price - price_payment_fee(terms, terms->price) - price_tax(terms, terms->price);
  point->sell_out = chances->from[point->sets];
  point->expected_profit = 0;
  point->expected_sales = 0;
  point->lose_money = 0;
  for (int64_t wanted = 0; wanted <= point->sets; wanted++) {
    double chance = wanted < point->sets ? chances->of[wanted] : point->sell_out;
    cents_t profit = profit_at(terms, point, stays, wanted);
    point->expected_profit += chance * (double)profit;
    point->expected_sales += chance * (double)wanted;
    if (profit < 0) point->lose_money += chance;
  }
}

void price_expect(struct arena *arena, struct price_table *table) {
  table->recommended = 0;
  if (!price_has_demand(table)) return;
  struct demand_chances chances = demand_chances(arena, &table->terms.demand, table->count);
  for (int64_t n = 1; n <= table->count; n++) {
    struct price_point *point = &table->points[n - 1];
    expect(table, &chances, point);
    if (n == 1 || point->expected_profit >
                      price_point_of(table, table->recommended)->expected_profit + SAME_CENTS)
      table->recommended = n;
  }
}
