/* Alterations of demand, money, shares and settings, and of the form of the file. */
#include "proof/alter.h"

static json_t *first_of(struct altered *altered, const char *key) {
  return json_array_get(list(altered->plan, key), 0);
}

/* ---- demand ---- */

static bool raise_needed(struct altered *altered) {
  json_t *need = first_of(altered, "needed");
  add_number(need, "count", 1);
  return names_text(altered, text(need, "part"));
}

static bool lower_needed(struct altered *altered) {
  json_t *need = first_of(altered, "needed");
  if (number(need, "count") < 2) return false;
  put_number(need, "count", number(need, "per_set") * number(altered->plan, "sets") - 1);
  return names_text(altered, text(need, "part"));
}

static bool raise_sets(struct altered *altered) {
  add_number(altered->plan, "sets", 1000000);
  return names_text(altered, text(first_of(altered, "needed"), "part"));
}

static bool change_needed_size(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  add_number(need_of(altered->plan, piece), "length", altered->step / 8);
  return names_piece(altered, piece);
}

static bool duplicate_needed(struct altered *altered) {
  json_t *need = first_of(altered, "needed");
  json_array_append_new(list(altered->plan, "needed"), json_deep_copy(need));
  return names_text(altered, text(need, "part"));
}

static bool empty_needed(struct altered *altered) {
  json_array_clear(list(altered->plan, "needed"));
  return names_text(altered, "needed");
}

static size_t count_in(const json_t *stock, const json_t *need) {
  size_t i, count = 0;
  json_t *piece;
  json_array_foreach(list(stock, "pieces"), i, piece) {
    if (strcmp(text(piece, "part"), text(need, "part")) == 0) count++;
  }
  return count;
}

static bool share_stock(const json_t *plan, const json_t *one, const json_t *other) {
  size_t i;
  json_t *stock;
  json_array_foreach(list(plan, "stock"), i, stock) {
    if (count_in(stock, one) > 0 && count_in(stock, other) > 0) return true;
  }
  return false;
}

/* One letter for two parts that lie on different planks throughout. */
static bool break_match(struct altered *altered) {
  size_t i, j;
  json_t *one, *other;
  json_array_foreach(list(altered->plan, "needed"), i, one) {
    json_array_foreach(list(altered->plan, "needed"), j, other) {
      if (j <= i || share_stock(altered->plan, one, other)) continue;
      put_text(one, "match", "zz");
      put_text(other, "match", "zz");
      return names_text(altered, "zz");
    }
  }
  return false;
}

/* One set more than the planks give together. */
static bool one_matched_set_more(struct altered *altered) {
  size_t i;
  json_t *need;
  json_array_foreach(list(altered->plan, "needed"), i, need) {
    if (json_object_get(need, "match") == NULL) continue;
    add_number(altered->plan, "sets", 1);
    return names_text(altered, text(need, "match"));
  }
  return false;
}

/* ---- money ---- */

static bool change_stock_price(struct altered *altered) {
  json_t *stock = first_of(altered, "stock");
  add_number(stock, "price", 0.01);
  return names_text(altered, text(stock, "stock"));
}

static bool change_purchase_price(struct altered *altered) {
  json_t *purchase = first_of(altered, "purchase");
  add_number(purchase, "price", 0.01);
  return names_text(altered, text(purchase, "stock"));
}

static bool change_used(struct altered *altered) {
  json_t *purchase = first_of(altered, "purchase");
  add_number(purchase, "used", 1);
  return names_text(altered, text(purchase, "stock"));
}

static bool ignore_pack(struct altered *altered) {
  size_t i;
  json_t *purchase;
  json_array_foreach(list(altered->plan, "purchase"), i, purchase) {
    if (number(purchase, "bought") <= number(purchase, "used")) continue;
    put_number(purchase, "bought", number(purchase, "used"));
    put_number(purchase, "cost", number(purchase, "used") * number(purchase, "price"));
    return names_text(altered, text(purchase, "stock"));
  }
  return false;
}

static bool too_few_for_pack(struct altered *altered) {
  size_t i, j;
  json_t *purchase, *stock;
  json_array_foreach(list(altered->plan, "purchase"), i, purchase) {
    if (number(purchase, "bought") <= number(purchase, "used")) continue;
    json_array_foreach(list(altered->plan, "stock"), j, stock) {
      if (strcmp(text(stock, "stock"), text(purchase, "stock")) != 0) continue;
      put_number(stock, "available", number(purchase, "used"));
      return names_text(altered, text(purchase, "stock"));
    }
  }
  return false;
}

static bool change_pack(struct altered *altered) {
  json_t *purchase = first_of(altered, "purchase");
  add_number(purchase, "pack", 1);
  return names_text(altered, text(purchase, "stock"));
}

static bool change_purchase_cost(struct altered *altered) {
  json_t *purchase = first_of(altered, "purchase");
  add_number(purchase, "cost", 0.01);
  return names_text(altered, text(purchase, "stock"));
}

static bool leave_purchase_out(struct altered *altered) {
  (void)names_text(altered, text(first_of(altered, "purchase"), "stock"));
  json_array_remove(list(altered->plan, "purchase"), 0);
  return true;
}

static bool duplicate_purchase(struct altered *altered) {
  json_t *purchase = first_of(altered, "purchase");
  json_array_append_new(list(altered->plan, "purchase"), json_deep_copy(purchase));
  return names_text(altered, text(purchase, "stock"));
}

static bool buy_unused(struct altered *altered) {
  json_t *purchase = json_deep_copy(first_of(altered, "purchase"));
  put_text(purchase, "stock", "nothing of the plan");
  json_array_append_new(list(altered->plan, "purchase"), purchase);
  return names_text(altered, "nothing of the plan");
}

static bool yard_for_most(struct altered *altered) {
  size_t i;
  json_t *purchase;
  json_array_foreach(list(altered->plan, "purchase"), i, purchase) {
    if (strcmp(text(purchase, "source"), "yard") != 0) continue;
    put_flag(altered->plan, "most", true);
    return names_text(altered, text(purchase, "stock"));
  }
  return false;
}

static bool change_cost(struct altered *altered, const char *key) {
  add_number(list(altered->plan, "cost"), key, 0.01);
  return names_text(altered, key);
}

static bool change_stock_cost(struct altered *altered) { return change_cost(altered, "stock"); }
static bool change_handling(struct altered *altered) { return change_cost(altered, "handling"); }
static bool change_total(struct altered *altered) { return change_cost(altered, "total"); }

static bool change_labour_rate(struct altered *altered) {
  add_number(altered->plan, "labour_rate", 100);
  return names_text(altered, "handling");
}

static bool raise_bound(struct altered *altered) {
  put_number(altered->plan, "bound", number(list(altered->plan, "cost"), "total") + 0.01);
  put_flag(altered->plan, "proved", false);
  return names_text(altered, "bound");
}

static bool prove_with_gap(struct altered *altered) {
  put_number(altered->plan, "bound", number(list(altered->plan, "cost"), "total") - 0.01);
  put_flag(altered->plan, "proved", true);
  return names_text(altered, "proved");
}

/* ---- shares ---- */

static bool change_share(struct altered *altered, const char *key) {
  double by = number(altered->plan, key) > 0.5 ? -0.00001 : 0.00001;
  add_number(altered->plan, key, by);
  return names_text(altered, key);
}

static bool change_yield(struct altered *altered) { return change_share(altered, "yield"); }
static bool change_waste(struct altered *altered) { return change_share(altered, "waste"); }
static bool change_offcuts(struct altered *altered) {
  return change_share(altered, "offcut_share");
}

/* ---- form ---- */

static bool other_format(struct altered *altered) {
  put_number(altered->plan, "format", 2);
  return names_text(altered, "format");
}

static bool other_program(struct altered *altered) {
  put_text(altered->plan, "program", "sawdust");
  return names_text(altered, "sawdust");
}

static bool unknown_unit(struct altered *altered) {
  put_text(altered->plan, "units", "cubit");
  return names_text(altered, "units");
}

static bool not_whole(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  add_number(piece, "x", altered->step / 32768 / 3);
  return names_piece(altered, piece);
}

static bool negative_size(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_number(piece, "width", -number(piece, "width"));
  return names_piece(altered, piece);
}

static bool text_for_number(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_text(piece, "length", "long");
  return names_piece(altered, piece);
}

static bool unknown_role(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  put_text(piece, "role", "stool");
  return names_piece(altered, piece);
}

static bool key_missing(struct altered *altered) {
  json_t *stock = NULL, *piece = first_piece(altered->plan, NULL, &stock);
  json_object_del(piece, "turned");
  return names_piece(altered, piece);
}

static bool unchecked_load(struct altered *altered) {
  json_array_append_new(list(altered->plan, "loads"), json_object());
  return names_text(altered, "parts");
}

/* ---- minutes ---- */

static bool change_minutes(struct altered *altered, const char *key) {
  json_t *minutes = json_object_get(altered->plan, "minutes");
  if (minutes == NULL || json_object_get(altered->plan, "setup_min") == NULL) return false;
  add_number(minutes, key, 0.5);
  return names_text(altered, key);
}

static bool change_sawing(struct altered *altered) { return change_minutes(altered, "sawing"); }

static bool change_fixing(struct altered *altered) { return change_minutes(altered, "fixing"); }

static bool change_tabs(struct altered *altered) { return change_minutes(altered, "tabs"); }

static bool change_fences(struct altered *altered) {
  return change_minutes(altered, "fence_settings");
}

static bool change_hand(struct altered *altered) { return change_minutes(altered, "hand"); }

static bool attend_too_long(struct altered *altered) {
  json_t *minutes = json_object_get(altered->plan, "minutes");
  if (minutes == NULL) return false;
  put_number(minutes, "attended", number(minutes, "machine") + 0.001);
  return names_text(altered, "attended");
}

/* As much of the machine's time as before is the hands'. */
static bool machine_too_short(struct altered *altered) {
  json_t *minutes = json_object_get(altered->plan, "minutes");
  if (minutes == NULL) return false;
  double less = number(minutes, "machine") - number(minutes, "cutting") + 1;
  add_number(minutes, "machine", -less);
  add_number(minutes, "hand", less);
  return names_text(altered, "machine");
}

static bool change_setup_rate(struct altered *altered) {
  if (json_object_get(altered->plan, "minutes") == NULL) return false;
  if (json_array_size(list(altered->plan, "loads")) == 0) return false;
  put_number(altered->plan, "setup_min", 3);
  return names_text(altered, "fixing");
}

static bool leave_sawing_out(struct altered *altered) {
  json_t *minutes = json_object_get(altered->plan, "minutes");
  if (minutes == NULL) return false;
  json_object_del(minutes, "sawing");
  return names_text(altered, "sawing");
}

static const struct alteration alterations[] = {
    {"needed raised", raise_needed, "demand not met"},
    {"needed lowered", lower_needed, "too few needed"},
    {"more cut than needed", lower_needed, "demand not met"},
    {"sets raised", raise_sets, "too few needed"},
    {"needed size changed", change_needed_size, "wrong finished size"},
    {"part needed twice", duplicate_needed, "part named twice"},
    {"nothing needed", empty_needed, "nothing needed"},
    {"match over two planks", break_match, "match not kept"},
    {"one matched set more", one_matched_set_more, "match not kept"},
    {"price of stock changed", change_stock_price, "wrong price"},
    {"price of purchase changed", change_purchase_price, "wrong price"},
    {"purchase used changed", change_used, "wrong count used"},
    {"pack ignored", ignore_pack, "wrong count bought"},
    {"pack not to be had whole", too_few_for_pack, "more bought than there are"},
    {"pack changed", change_pack, "purchase disagrees"},
    {"cost of purchase changed", change_purchase_cost, "wrong cost"},
    {"purchase left out", leave_purchase_out, "purchase missing"},
    {"purchase duplicated", duplicate_purchase, "purchase named twice"},
    {"purchase not used", buy_unused, "wrong count used"},
    {"yard stock for most", yard_for_most, "bought stock"},
    {"cost of stock changed", change_stock_cost, "wrong sum"},
    {"handling changed", change_handling, "wrong sum"},
    {"total changed", change_total, "wrong sum"},
    {"labour rate changed", change_labour_rate, "wrong sum"},
    {"bound above total", raise_bound, "bound too high"},
    {"proved with a gap", prove_with_gap, "not proved"},
    {"yield changed", change_yield, "wrong share"},
    {"waste changed", change_waste, "wrong share"},
    {"share of offcuts changed", change_offcuts, "wrong share"},
    {"minutes of saw cuts changed", change_sawing, "wrong minutes"},
    {"minutes of fixings changed", change_fixing, "wrong minutes"},
    {"minutes of tabs changed", change_tabs, "wrong minutes"},
    {"minutes of fence settings changed", change_fences, "wrong minutes"},
    {"minutes by hand changed", change_hand, "wrong minutes"},
    {"attended longer than it runs", attend_too_long, "wrong minutes"},
    {"machine shorter than it cuts", machine_too_short, "wrong minutes"},
    {"rate of fixings changed", change_setup_rate, "wrong minutes"},
    {"minutes left out", leave_sawing_out, "missing key"},
    {"format changed", other_format, "unknown format"},
    {"program changed", other_program, "not a plan"},
    {"unit unknown", unknown_unit, "unknown word"},
    {"length not whole", not_whole, "not exact"},
    {"size negative", negative_size, "out of range"},
    {"text for a number", text_for_number, "wrong type"},
    {"role unknown", unknown_role, "unknown word"},
    {"key missing", key_missing, "missing key"},
    {"loads that cannot be checked", unchecked_load, "missing key"},
};

static void test_every_alteration_is_refused(void **state) {
  (void)state;
  alter_all(alterations, sizeof alterations / sizeof *alterations);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_alteration_is_refused)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
