/* Tables of prices made by hand: a project without parts, wood told directly. */
#ifndef BLANKWRIGHT_TESTS_UNIT_PRICE_FIXTURE_H
#define BLANKWRIGHT_TESTS_UNIT_PRICE_FIXTURE_H

#include "cost/price.h"

struct price_bench {
  struct arena *arena;
  struct project project;
  struct price_table *table;
};

/* Setup and teardown of a cmocka test; the bench is the state. */
int price_bench_open(void **state);
int price_bench_close(void **state);

/* An item of money.csv in thousandths, and a bought item. */
void price_bench_money(struct price_bench *bench, const char *name, int64_t value);
void price_bench_bought(struct price_bench *bench, const char *name, int64_t per_set, int64_t pack,
                        cents_t price);

/* The table of 1 to `count` sets. Wood costs `each` cents a set and `whole` more for every `per`
 * sets begun, and minutes (thousandths) of hands are as many a set; nothing is filled yet. */
struct price_table *price_bench_table(struct price_bench *bench, int64_t count, cents_t each,
                                      cents_t whole, int64_t per, int64_t minutes);

#endif
