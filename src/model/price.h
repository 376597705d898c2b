/* What a run costs and what it brings, at every quantity from 1 to N. Filled by `cost`, read by the
 * writers; lives in the arena it was made in and points into the project.
 *
 * Conventions, the same in every report:
 * - Money is in whole cents. Each line of a cost is rounded to the nearest cent by itself, so that
 *   the lines printed add up to the total printed.
 * - A run of n sets has n good sets. Spoilage raises them to the sets started; a set that is lost
 *   is lost when it is done, before it is packed: wood, hours, bought items and finish are spent.
 * - Wood is counted as it is taken: what is bought in whole planks, sheets and packs, what comes
 *   from the rack at its value, a plank that is begun as a whole one. Bought items come in whole
 *   packs. What both would be at the share used up stands beside it and is in no total.
 * - Labour is the attended share of machine time and the work of hands at the labour rate.
 *   The hours at the stall are paid at the same rate, as `selling`. Earned per hour divides by all
 *   of these hours.
 * - A sale is of one set. Payment fees and tax are percentages of the price, rounded for each sale.
 */
#ifndef BLANKWRIGHT_MODEL_PRICE_H
#define BLANKWRIGHT_MODEL_PRICE_H

#include "model/project.h"
#include "model/work_time.h"

enum demand_kind { DEMAND_UNKNOWN, DEMAND_TRIANGULAR, DEMAND_SALES };

/* How many sets could be sold. Triangular: low <= likely <= high, rounded to the nearest whole set,
 * so that k sets have the mass from k - 1/2 to k + 1/2. Sales: each of the past ones as likely. */
struct demand {
  enum demand_kind kind;
  int64_t low, likely, high; /* thousandths of a set */
  const char *missing;       /* item of the three without which the others tell nothing; or NULL */
  int64_t *sales;            /* whole sets */
  size_t sale_count, sale_room;
};

/* What money.csv and shop.csv say; 0 for what is not given. */
struct price_terms {
  bool priced; /* there is a price */
  cents_t price, unsold_value;
  cents_t stall_fee, travel;
  int64_t finish_per_set, packing_per_set, payment_fixed; /* thousandths of money */
  int64_t labour_rate, machine_rate;                      /* thousandths of money per hour */
  int64_t wage;                                           /* wanted, likewise; labour_rate unless
                                                             hourly_rate is given */
  int64_t selling;                                        /* thousandths of a minute */
  int64_t payment_percent, tax_percent;                   /* thousandths of a percent */
  struct demand demand;
};

/* In place of a price where none does what is asked of it. */
#define PRICE_NONE INT64_C(-1)

/* One of the project's bought items. */
struct price_bought {
  int64_t needed; /* thousandths of an item */
  int64_t packs;
  cents_t cost; /* of the packs */
  cents_t used; /* of what is needed */
};

struct price_point {
  int64_t sets;

  /* Given: from the plan of this many sets. */
  cents_t wood_cash;             /* bought, whole packs */
  cents_t wood_rack;             /* value of the rack's pieces that are begun */
  cents_t wood_consumed;         /* of both, without the offcuts that are kept */
  cents_t plan_cost, plan_bound; /* stock and handling, as the plan says; the bound is at most it */
  bool proved;
  int64_t pieces; /* of stock, begun */
  struct run_time time;
  const char *why_less; /* where more sets are proved to cost less wood, the reason; or NULL */

  /* Reckoned: what the run costs before anything is sold. */
  int64_t started;             /* sets, with those that spoilage takes */
  struct price_bought *bought; /* one for each of the project's bought items */
  cents_t wood;                /* cash and rack */
  cents_t bought_cost, bought_used;
  cents_t finish, packing, labour, machine, stall, travel, selling;
  cents_t cost;      /* all of these */
  cents_t used_cost; /* the same with wood and bought items at the share used up */
  cents_t cash_now;  /* wood and items bought, finish, packing, stall and travel */
  int64_t minutes;   /* thousandths: attended, by hand, at the stall */

  /* Where all sets are sold at the price; with no price the fees and tax are 0. */
  cents_t payment_fees, tax;
  cents_t total;           /* cost, fees and tax */
  cents_t per_set;         /* the total's, to the nearest cent */
  cents_t next_set;        /* by which one set more raises the total; of the last point 0 */
  cents_t profit;          /* price times sets, less the total */
  cents_t earned_per_hour; /* the profit with labour and selling put back, by hours; 0 for none */
  double margin, markup;   /* (P - C) / P and (P - C) / C, C the total a set; 0 over 0 is 0 */

  /* Prices, each the lowest whole cent that does; PRICE_NONE where fees and tax eat any. */
  cents_t break_even_price; /* all are sold, and the profit is not negative */
  cents_t wage_price;       /* all are sold, and the wage is earned in every hour */
  cents_t wholesale_price;  /* whose half pays for making: see wholesale_profit */

  /* All sold to a shop at half the price: no stall, travel, selling nor payment fees; taxed. */
  cents_t wholesale_profit;

  /* With the demand uncertain; 0 where it or the price is not known. */
  double expected_profit; /* cents */
  double expected_sales;  /* sets */
  double sell_out;        /* chance that as many or more are wanted */
  double lose_money;      /* chance of a profit below 0 */
};

/* From this quantity on the sign of the profit is another, until the next crossing. */
struct price_crossing {
  int64_t sets;
  bool up; /* to a profit of 0 or more; else to a loss */
};

/* Quantities from first to last, more than one, whose wood costs the same and is of no more
 * pieces. */
struct price_plateau {
  int64_t first, last;
  cents_t wood;
};

struct price_table {
  const struct project *project;
  struct price_terms terms;
  struct price_point *points; /* of 1 to `count` sets; points[n - 1] is of n */
  int64_t count;
  int64_t asked;       /* 1 to count; 0: none was asked for */
  int64_t recommended; /* greatest expected profit, which may be a loss, the least of equals; 0
                          where price_has_demand says that none is known */
  int64_t cheapest;    /* least total a set, the least of equals */
  struct price_crossing *crossings;
  size_t crossing_count, crossing_room;
  struct price_plateau *plateaus;
  size_t plateau_count, plateau_room;
};

/* True where the expected profit is known. */
static inline bool price_has_demand(const struct price_table *table) {
  return table->terms.priced && table->terms.demand.kind != DEMAND_UNKNOWN;
}

static inline const struct price_point *price_point_of(const struct price_table *table,
                                                       int64_t sets) {
  return &table->points[sets - 1];
}

#endif
