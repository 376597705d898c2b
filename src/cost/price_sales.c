/* What a run brings where all its sets are sold, and the prices it wants. */
#include "cost/price.h"

#define WHOLE_PERCENT INT64_C(100000) /* 100 % in thousandths of a percent */
#define THOUSANDTHS_AN_HOUR INT64_C(60000)
#define WANTED_PRICE_MOST INT64_C(100000000000) /* cents; no price of the input is higher */
enum { THOUSANDTHS_A_CENT = 10 };

cents_t price_payment_fee(const struct price_terms *terms, cents_t price) {
  /* Percentage and fixed part are one fee and are rounded once. Both are within the limits of
   * money.csv, so that neither product passes 10^16. */
  int64_t share = price * terms->payment_percent;
  int64_t fixed = terms->payment_fixed * (WHOLE_PERCENT / THOUSANDTHS_A_CENT);
  return (share + fixed + WHOLE_PERCENT / 2) / WHOLE_PERCENT;
}

cents_t price_tax(const struct price_terms *terms, cents_t price) {
  return price_scaled(price, terms->tax_percent, WHOLE_PERCENT);
}

/* What stays of a price; wholesale: of its half, from a shop that pays no fee. */
static cents_t stays(const struct price_terms *terms, cents_t price, bool wholesale) {
  cents_t paid = wholesale ? price / 2 : price;
  cents_t fee = wholesale ? 0 : price_payment_fee(terms, paid);
  return paid - fee - price_tax(terms, paid);
}

/* How far below a price that does, with one just below it that does not, a lower one may do:
 * each rounding is off its line by at most half a cent, so that what stays is within a cent of a
 * line that rises by `kept` of WHOLE_PERCENT a cent; halving doubles the way. */
static cents_t doubtful(int64_t kept) { return 2 * (2 * WHOLE_PERCENT / kept + 2); }

/* The lowest price at which `sets` sales leave `wanted`. */
static cents_t lowest_price(const struct price_terms *terms, int64_t sets, cents_t wanted,
                            bool wholesale) {
  cents_t each = wanted <= 0 ? 0 : wanted / sets + (wanted % sets > 0);
  int64_t kept = WHOLE_PERCENT - terms->tax_percent - (wholesale ? 0 : terms->payment_percent);
  cents_t low = 0, high = WANTED_PRICE_MOST;
  if (stays(terms, low, wholesale) >= each) return low;
  if (kept <= 0 || stays(terms, high, wholesale) < each) return PRICE_NONE;
  while (low < high) {
    cents_t middle = low + (high - low) / 2;
    if (stays(terms, middle, wholesale) >= each)
      high = middle;
    else
      low = middle + 1;
  }
  cents_t price = high > doubtful(kept) ? high - doubtful(kept) : 0;
  while (stays(terms, price, wholesale) < each) price++;
  return price;
}

static void set_prices(const struct price_terms *terms, struct price_point *point) {
  cents_t not_paid = point->cost - point->labour - point->selling;
  cents_t making = point->cost - point->stall - point->travel - point->selling;
  cents_t wages =
      price_scaled(point->minutes / THOUSANDTHS_AN_HOUR, terms->wage, THOUSANDTHS_A_CENT) +
      price_scaled(point->minutes % THOUSANDTHS_AN_HOUR, terms->wage,
                   THOUSANDTHS_AN_HOUR * THOUSANDTHS_A_CENT);
  point->break_even_price = lowest_price(terms, point->sets, point->cost, false);
  point->wage_price = lowest_price(terms, point->sets, not_paid + wages, false);
  point->wholesale_price = lowest_price(terms, point->sets, making, true);
  if (terms->priced)
    point->wholesale_profit = point->sets * stays(terms, terms->price, true) - making;
}

/* Money for each hour, to the nearest cent, halves away from 0. */
static cents_t by_hour(cents_t money, int64_t minutes) {
  if (minutes == 0) return 0;
  cents_t size = money < 0 ? -money : money;
  cents_t each = price_scaled(size, THOUSANDTHS_AN_HOUR, minutes);
  return money < 0 ? -each : each;
}

static double share(cents_t part, cents_t whole) {
  return whole == 0 ? 0 : (double)part / (double)whole;
}

void price_sales(const struct price_table *table, struct price_point *point) {
  const struct price_terms *terms = &table->terms;
  point->payment_fees = terms->priced ? point->sets * price_payment_fee(terms, terms->price) : 0;
  point->tax = terms->priced ? point->sets * price_tax(terms, terms->price) : 0;
  point->total = point->cost + point->payment_fees + point->tax;
  point->per_set = price_scaled(point->total, 1, point->sets);
  set_prices(terms, point);
  if (!terms->priced) return;
  cents_t takings = point->sets * terms->price;
  point->profit = takings - point->total;
  point->earned_per_hour = by_hour(point->profit + point->labour + point->selling, point->minutes);
  point->margin = share(point->profit, takings);
  point->markup = share(point->profit, point->total);
}
