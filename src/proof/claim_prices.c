#include "proof/claim_prices.h"

static void read_costs(const struct spot *item, struct claim_quantity *quantity) {
  quantity->wood = field_money(item, "wood");
  quantity->wood_bought = field_money(item, "wood_bought");
  quantity->wood_rack = field_money(item, "wood_rack");
  quantity->stock_and_handling = field_money(item, "stock_and_handling");
  quantity->bound = field_money(item, "bound");
  quantity->proved = field_flag(item, "proved");
  quantity->bought_items = field_money(item, "bought_items");
  quantity->finish = field_money(item, "finish");
  quantity->packing = field_money(item, "packing");
  quantity->labour = field_money(item, "labour");
  quantity->machine = field_money(item, "machine");
  quantity->stall = field_money(item, "stall");
  quantity->travel = field_money(item, "travel");
  quantity->selling = field_money(item, "selling");
  quantity->cost = field_money(item, "cost");
  quantity->cash_now = field_money(item, "cash_now");
  quantity->payment_fees = field_money(item, "payment_fees");
  quantity->tax = field_money(item, "tax");
  quantity->total = field_money(item, "total");
  quantity->per_set = field_money(item, "per_set");
}

static void read_quantity(const struct spot *item, bool last, struct claim_quantity *quantity) {
  quantity->sets = field_count(item, "sets", 1);
  read_costs(item, quantity);
  if (!last) quantity->next_set = field_gain(item, "next_set");
  quantity->has_profit = field_present(item, "profit_all_sold");
  if (quantity->has_profit) quantity->profit = field_gain(item, "profit_all_sold");
  quantity->has_expected = field_present(item, "expected_profit");
  if (quantity->has_expected) quantity->expected = field_gain(item, "expected_profit");
}

static void read_ranges(const struct spot *spot, struct claim_prices *prices) {
  struct spot item;
  const json_t *list = field_list(spot, "break_even");
  prices->crossing_count = json_array_size(list);
  prices->crossings =
      ARENA_ARRAY(spot->proof->arena, prices->crossing_count, struct claim_crossing);
  for (size_t i = 0; i < prices->crossing_count; i++) {
    if (!spot_open(&item, spot, "break_even", list, i, NULL)) continue;
    prices->crossings[i].sets = field_count(&item, "sets", 1);
    prices->crossings[i].pays = field_flag(&item, "pays");
  }
  list = field_list(spot, "same_wood");
  prices->same_wood_count = json_array_size(list);
  prices->same_wood = ARENA_ARRAY(spot->proof->arena, prices->same_wood_count, struct claim_range);
  for (size_t i = 0; i < prices->same_wood_count; i++) {
    if (!spot_open(&item, spot, "same_wood", list, i, NULL)) continue;
    prices->same_wood[i].first = field_count(&item, "first", 1);
    prices->same_wood[i].last = field_count(&item, "last", 1);
  }
}

static int64_t optional_count(const struct spot *spot, const char *key) {
  return field_present(spot, key) ? field_count(spot, key, 1) : 0;
}

struct claim_prices *claim_read_prices(const struct spot *top) {
  struct spot spot, item;
  if (!spot_enter(&spot, top, "price")) return NULL;
  struct claim_prices *prices = ARENA_NEW(top->proof->arena, struct claim_prices);
  prices->asked = optional_count(&spot, "asked_for");
  prices->recommended = optional_count(&spot, "recommended");
  prices->cheapest = field_count(&spot, "least_cost_a_set_at", 1);
  prices->priced = field_present(&spot, "price");
  if (prices->priced) prices->price = field_money(&spot, "price");
  read_ranges(&spot, prices);
  const json_t *list = field_list(&spot, "quantities");
  size_t count = json_array_size(list);
  prices->quantity_count = count;
  prices->quantities = ARENA_ARRAY(top->proof->arena, count, struct claim_quantity);
  for (size_t i = 0; i < count; i++) {
    if (spot_open(&item, &spot, "quantity", list, i, NULL))
      read_quantity(&item, i + 1 == count, &prices->quantities[i]);
  }
  return prices;
}
