/* What a run costs and brings at every quantity:
 *
 *   table = price_table_create(arena, project, 40, 24);
 *   for n in 1..40: price_point_set(&table->points[n - 1], project, the plan of n sets);
 *   price_table_fill(arena, table);
 *
 * The conventions are those of model/price.h. */
#ifndef BLANKWRIGHT_COST_PRICE_H
#define BLANKWRIGHT_COST_PRICE_H

#include "base/arena.h"
#include "model/plan.h"
#include "model/price.h"

/* A table of 1 to `count` (>= 1) sets, `asked` of them asked for (0 for none), with the terms
 * read from the project's settings and money. Points hold their quantity and nothing else. */
struct price_table *price_table_create(struct arena *arena, const struct project *project,
                                       int64_t count, int64_t asked);

/* Takes over what a point is given: wood, cost, bound and minutes of a plan that has its time. */
void price_point_set(struct price_point *point, const struct project *project,
                     const struct plan *plan);

/* Reckons all the rest from what the points were given and the table's terms. May be called again
 * after either was changed. */
void price_table_fill(struct arena *arena, struct price_table *table);

/* ---- parts of it ---- */

/* The cents of fees or tax on one set sold at a price. */
cents_t price_payment_fee(const struct price_terms *terms, cents_t price);
cents_t price_tax(const struct price_terms *terms, cents_t price);

/* value x times / per to the nearest, halves up; all are 0 or more, per is over 0. At most
 * INT64_MAX / 1024, and that where the product is too large. */
int64_t price_scaled(int64_t value, int64_t times, int64_t per);

/* Cost of a point before sales; what it brings when all is sold, and the prices it wants; what is
 * expected of every point of the table. */
void price_costs(struct arena *arena, const struct price_table *table, struct price_point *point);
void price_sales(const struct price_table *table, struct price_point *point);
void price_expect(struct arena *arena, struct price_table *table);

#endif
