/* Prices: every sum of every quantity, what is said of quantities beside each other, and that the
 * plan's own quantity costs no more than the plan. What rests on rates and times that a plan does
 * not hold, the lines of labour for instance, is taken as it stands. */
#include <inttypes.h>
#include <stdlib.h>

#include "proof/check.h"

/* No run is priced at more; money times sets then fits. */
#define QUANTITIES_MAX 10000

static const char *money_text(struct proof *proof, cents_t value) {
  int64_t cents = llabs(value);
  return arena_format(proof->arena, "%s%" PRId64 ".%02" PRId64, value < 0 ? "-" : "", cents / 100,
                      cents % 100);
}

static void check_sum(struct proof *proof, const struct claim_quantity *quantity, const char *key,
                      cents_t claimed, cents_t right) {
  if (claimed == right) return;
  proof_fault(proof, "wrong sum: '%s' of %" PRId64 " sets is %s, it comes to %s", key,
              quantity->sets, money_text(proof, claimed), money_text(proof, right));
}

/* Amounts are at most MONEY_MAX each, so that sums of a few fit. */
static void check_costs(struct proof *proof, const struct claim_quantity *quantity) {
  cents_t given = quantity->finish + quantity->packing + quantity->stall + quantity->travel;
  check_sum(proof, quantity, "wood", quantity->wood, quantity->wood_bought + quantity->wood_rack);
  check_sum(proof, quantity, "cost", quantity->cost,
            quantity->wood + quantity->bought_items + given + quantity->labour + quantity->machine +
                quantity->selling);
  check_sum(proof, quantity, "cash_now", quantity->cash_now,
            quantity->wood_bought + quantity->bought_items + given);
  check_sum(proof, quantity, "total", quantity->total,
            quantity->cost + quantity->payment_fees + quantity->tax);
  check_sum(proof, quantity, "per_set", quantity->per_set,
            (2 * quantity->total + quantity->sets) / (2 * quantity->sets));
  if (quantity->bound > quantity->stock_and_handling)
    proof_fault(proof, "bound too high: 'bound' of %" PRId64 " sets is %s, wood and handling %s",
                quantity->sets, money_text(proof, quantity->bound),
                money_text(proof, quantity->stock_and_handling));
  if (quantity->proved != (quantity->bound == quantity->stock_and_handling))
    proof_fault(proof, "not proved: 'proved' of %" PRId64 " sets is %s, its bound %s of %s",
                quantity->sets, quantity->proved ? "true" : "false",
                money_text(proof, quantity->bound),
                money_text(proof, quantity->stock_and_handling));
}

static void check_sale(struct proof *proof, const struct claim_prices *prices,
                       const struct claim_quantity *quantity) {
  int64_t sales = 0;
  if (quantity->has_profit != prices->priced) {
    proof_fault(proof, "price disagrees: %" PRId64 " sets have %s, the run has %s price",
                quantity->sets, quantity->has_profit ? "a profit" : "no profit",
                prices->priced ? "a" : "no");
  } else if (prices->priced && (!checked_times(prices->price, quantity->sets, &sales) ||
                                sales - quantity->total != quantity->profit)) {
    proof_fault(
        proof, "wrong sum: 'profit_all_sold' of %" PRId64 " sets is %s, not their sales less %s",
        quantity->sets, money_text(proof, quantity->profit), money_text(proof, quantity->total));
  }
}

static void check_quantity(struct proof *proof, const struct claim_prices *prices, size_t index) {
  const struct claim_quantity *quantity = &prices->quantities[index];
  check_costs(proof, quantity);
  check_sale(proof, prices, quantity);
  if (index + 1 < prices->quantity_count)
    check_sum(proof, quantity, "next_set", quantity->next_set, quantity[1].total - quantity->total);
}

static const struct claim_quantity *quantity_of(const struct claim_prices *prices, int64_t sets) {
  return sets >= 1 && (size_t)sets <= prices->quantity_count ? &prices->quantities[sets - 1] : NULL;
}

static void check_within(struct proof *proof, const struct claim_prices *prices, const char *key,
                         int64_t sets) {
  if (sets != 0 && quantity_of(prices, sets) == NULL)
    proof_fault(proof, "no such quantity: '%s' is %" PRId64 " sets, %zu are priced", key, sets,
                prices->quantity_count);
}

/* No other quantity costs less a set, or is expected to bring more. */
static void check_best(struct proof *proof, const struct claim_prices *prices) {
  const struct claim_quantity *cheapest = quantity_of(prices, prices->cheapest);
  const struct claim_quantity *best = quantity_of(prices, prices->recommended);
  for (size_t i = 0; i < prices->quantity_count; i++) {
    const struct claim_quantity *other = &prices->quantities[i];
    if (cheapest != NULL && other->total * cheapest->sets < cheapest->total * other->sets)
      proof_fault(proof,
                  "not the least: %" PRId64
                  " sets cost less each than 'least_cost_a_set_at' %" PRId64,
                  other->sets, cheapest->sets);
    if (best != NULL && other->has_expected && other->expected > best->expected)
      proof_fault(proof,
                  "not the best: %" PRId64
                  " sets are expected to bring more than 'recommended' %" PRId64,
                  other->sets, best->sets);
  }
}

static void check_break_even(struct proof *proof, const struct claim_prices *prices) {
  size_t next = 0;
  bool pays = false;
  for (size_t i = 0; prices->priced && i < prices->quantity_count; i++) {
    const struct claim_quantity *quantity = &prices->quantities[i];
    bool told = next < prices->crossing_count && prices->crossings[next].sets == quantity->sets;
    bool turns = (quantity->profit >= 0) != pays;
    if (turns) pays = !pays;
    if (told != turns || (told && prices->crossings[next].pays != pays))
      proof_fault(proof, "wrong break-even: at %" PRId64 " sets the profit is %s", quantity->sets,
                  money_text(proof, quantity->profit));
    if (told) next++;
  }
  if (next < prices->crossing_count)
    proof_fault(proof, "wrong break-even: no quantity stands for %zu of 'break_even'",
                prices->crossing_count - next);
}

static void check_same_wood(struct proof *proof, const struct claim_prices *prices) {
  for (size_t i = 0; i < prices->same_wood_count; i++) {
    const struct claim_range *range = &prices->same_wood[i];
    const struct claim_quantity *first = quantity_of(prices, range->first);
    check_within(proof, prices, "same_wood", range->first);
    check_within(proof, prices, "same_wood", range->last);
    if (first == NULL || quantity_of(prices, range->last) == NULL) continue;
    for (int64_t sets = range->first; sets <= range->last; sets++)
      if (quantity_of(prices, sets)->wood != first->wood)
        proof_fault(proof, "not the same wood: %" PRId64 " and %" PRId64 " sets", range->first,
                    sets);
  }
}

/* The plan may cost more than one of more sets does, from which some are left out. */
static void check_plan_priced(struct proof *proof, const struct claim *claim) {
  const struct claim_quantity *own = quantity_of(claim->prices, claim->sets);
  if (claim->prices->asked != claim->sets || own == NULL) {
    proof_fault(proof, "plan not priced: 'asked_for' is %" PRId64 ", the plan makes %" PRId64,
                claim->prices->asked, claim->sets);
    return;
  }
  if (own->stock_and_handling > claim->cost_total)
    proof_fault(proof,
                "plan not priced: %" PRId64 " sets cost %s in wood and handling, the plan %s",
                own->sets, money_text(proof, own->stock_and_handling),
                money_text(proof, claim->cost_total));
  if (own->stock_and_handling == claim->cost_total && own->wood != claim->cost_stock)
    proof_fault(proof, "plan not priced: the wood of %" PRId64 " sets is %s, the plan's %s",
                own->sets, money_text(proof, own->wood), money_text(proof, claim->cost_stock));
}

void check_prices(struct proof *proof, const struct claim *claim) {
  const struct claim_prices *prices = claim->prices;
  if (prices == NULL) return;
  if (prices->quantity_count > QUANTITIES_MAX) {
    proof_fault(proof, "too large: %zu 'quantities' are priced", prices->quantity_count);
    return;
  }
  for (size_t i = 0; i < prices->quantity_count; i++) {
    if (prices->quantities[i].sets != (int64_t)i + 1) {
      proof_fault(proof, "out of order: quantity %zu is of %" PRId64 " sets", i + 1,
                  prices->quantities[i].sets);
      return;
    }
    check_quantity(proof, prices, i);
  }
  check_within(proof, prices, "recommended", prices->recommended);
  check_within(proof, prices, "least_cost_a_set_at", prices->cheapest);
  check_best(proof, prices);
  check_break_even(proof, prices);
  check_same_wood(proof, prices);
  check_plan_priced(proof, claim);
}
