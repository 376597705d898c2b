/* Alterations of what a plan says its run costs and brings: a plan of 4 sets, priced at 1 to 8. */
#include "proof/alter.h"

static const char *const priced = SOURCE_ROOT "/tests/proof/priced-mm.json";

static json_t *prices_of(struct altered *altered) { return list(altered->plan, "price"); }

static json_t *quantity(struct altered *altered, size_t sets) {
  return json_array_get(list(prices_of(altered), "quantities"), sets - 1);
}

static bool names_sets(struct altered *altered, size_t sets) {
  (void)snprintf(altered->subject, sizeof altered->subject, "%zu sets", sets);
  return true;
}

/* ---- sums of a quantity ---- */

static bool change(struct altered *altered, size_t sets, const char *key, double by) {
  add_number(quantity(altered, sets), key, by);
  return names_sets(altered, sets);
}

static bool change_wood(struct altered *altered) { return change(altered, 3, "wood", 1); }
static bool change_rack(struct altered *altered) { return change(altered, 3, "wood_rack", 1); }
static bool change_labour(struct altered *altered) { return change(altered, 2, "labour", 0.01); }
static bool change_cost(struct altered *altered) { return change(altered, 5, "cost", -0.01); }
static bool change_cash(struct altered *altered) { return change(altered, 8, "cash_now", 1); }
static bool change_tax(struct altered *altered) { return change(altered, 8, "tax", 1); }
static bool change_per_set(struct altered *altered) { return change(altered, 7, "per_set", 0.01); }
static bool change_next(struct altered *altered) { return change(altered, 7, "next_set", 0.01); }
static bool change_profit(struct altered *altered) {
  return change(altered, 6, "profit_all_sold", 0.01);
}

static bool raise_bound(struct altered *altered) { return change(altered, 6, "bound", 1000); }

static bool turn_proved(struct altered *altered) {
  json_t *item = quantity(altered, 6);
  put_flag(item, "proved", !flag(item, "proved"));
  return names_sets(altered, 6);
}

/* ---- quantities beside each other ---- */

static bool leave_out(struct altered *altered) {
  json_array_remove(list(prices_of(altered), "quantities"), 2);
  return names_sets(altered, 4);
}

static bool other_cheapest(struct altered *altered) {
  put_number(prices_of(altered), "least_cost_a_set_at", 3);
  return names_text(altered, "least_cost_a_set_at");
}

static bool other_best(struct altered *altered) {
  put_number(prices_of(altered), "recommended", 1);
  return names_text(altered, "recommended");
}

static bool best_beyond(struct altered *altered) {
  put_number(prices_of(altered), "recommended", 9);
  return names_text(altered, "recommended");
}

static bool breaks_even(struct altered *altered) {
  json_t *item = json_object();
  put_number(item, "sets", 5);
  put_flag(item, "pays", true);
  json_array_append_new(list(prices_of(altered), "break_even"), item);
  return names_sets(altered, 5);
}

static bool breaks_even_beyond(struct altered *altered) {
  (void)breaks_even(altered);
  put_number(json_array_get(list(prices_of(altered), "break_even"), 0), "sets", 9);
  return names_text(altered, "break_even");
}

static bool widen_range(struct altered *altered) {
  add_number(json_array_get(list(prices_of(altered), "same_wood"), 0), "last", 1);
  return names_sets(altered, 3);
}

static bool range_beyond(struct altered *altered) {
  put_number(json_array_get(list(prices_of(altered), "same_wood"), 3), "last", 12);
  return names_text(altered, "same_wood");
}

static bool other_price(struct altered *altered) {
  add_number(prices_of(altered), "price", 1);
  return names_text(altered, "profit_all_sold");
}

static bool no_price(struct altered *altered) {
  json_object_del(prices_of(altered), "price");
  return names_sets(altered, 1);
}

/* ---- the plan among them ---- */

static bool other_asked(struct altered *altered) {
  put_number(prices_of(altered), "asked_for", 5);
  return names_text(altered, "asked_for");
}

static bool not_asked(struct altered *altered) {
  json_object_del(prices_of(altered), "asked_for");
  return names_text(altered, "asked_for");
}

static bool dearer_than_plan(struct altered *altered) {
  return change(altered, 4, "stock_and_handling", 1);
}

static bool too_many(struct altered *altered) {
  json_t *all = list(prices_of(altered), "quantities"), *last = quantity(altered, 7);
  json_array_remove(all, 7); /* the last has no next one */
  while (json_array_size(all) <= 10000) json_array_append(all, last);
  return names_text(altered, "quantities");
}

static const struct alteration alterations[] = {
    {"wood changed", change_wood, "wrong sum: 'wood'"},
    {"wood of the rack changed", change_rack, "wrong sum: 'wood'"},
    {"labour changed", change_labour, "wrong sum: 'cost'"},
    {"cost changed", change_cost, "wrong sum: 'cost'"},
    {"cash changed", change_cash, "wrong sum: 'cash_now'"},
    {"tax changed", change_tax, "wrong sum: 'total'"},
    {"cost of a set changed", change_per_set, "wrong sum: 'per_set'"},
    {"cost of the next set changed", change_next, "wrong sum: 'next_set'"},
    {"profit changed", change_profit, "wrong sum: 'profit_all_sold'"},
    {"bound above cost", raise_bound, "bound too high"},
    {"proved turned", turn_proved, "not proved"},
    {"quantity left out", leave_out, "out of order"},
    {"another quantity the cheapest", other_cheapest, "not the least"},
    {"another quantity the best", other_best, "not the best"},
    {"best of none", best_beyond, "no such quantity"},
    {"break-even where there is none", breaks_even, "wrong break-even"},
    {"break-even of no quantity", breaks_even_beyond, "wrong break-even"},
    {"same wood too far", widen_range, "not the same wood"},
    {"same wood beyond", range_beyond, "no such quantity"},
    {"price changed", other_price, "wrong sum"},
    {"price left out", no_price, "price disagrees"},
    {"another quantity asked for", other_asked, "plan not priced"},
    {"none asked for", not_asked, "plan not priced"},
    {"dearer than the plan", dearer_than_plan, "plan not priced"},
    {"too many quantities", too_many, "too large"},
};

static void test_every_alteration_is_refused(void **state) {
  (void)state;
  json_t *plan = load_plan(priced);
  assert_non_null(plan);
  char *dumped = dump_plan(plan);
  assert_true(passes(dumped, strlen(dumped)));
  free(dumped);
  size_t slips = 0;
  for (size_t i = 0; i < sizeof alterations / sizeof *alterations; i++)
    assert_true(alter_one(plan, priced, &alterations[i], &slips));
  assert_int_equal(slips, 0);
  json_decref(plan);
}

/* ---- the schema and the check want the same keys ---- */

static json_t *definition(const json_t *schema, const char *name) {
  return list(list(schema, "$defs"), name);
}

static void compare(const json_t *plan, const json_t *at, json_t *object) {
  size_t i;
  json_t *name, *part;
  const char *key;
  json_array_foreach(list(at, "required"), i, name) {
    key = json_string_value(name);
    json_t *kept = json_incref(json_object_get(object, key));
    assert_non_null(kept);
    json_object_del(object, key);
    char *dumped = dump_plan(plan);
    assert_true(refused_for(dumped, strlen(dumped), "missing key", key, false));
    free(dumped);
    json_object_set_new(object, key, kept);
  }
  json_object_foreach(list(at, "properties"), key, part) {
    assert_non_null(json_object_get(object, key));
  }
}

static void test_schema_and_check_want_the_same_keys(void **state) {
  (void)state;
  json_t *schema = load_plan(SOURCE_ROOT "/tests/plan.schema.json"), *plan = load_plan(priced);
  assert_non_null(schema);
  assert_non_null(plan);
  json_t *prices = list(plan, "price");
  compare(plan, definition(schema, "prices"), prices);
  compare(plan, definition(schema, "quantity"), json_array_get(list(prices, "quantities"), 2));
  json_decref(plan);
  json_decref(schema);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_alteration_is_refused),
      cmocka_unit_test(test_schema_and_check_want_the_same_keys),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
