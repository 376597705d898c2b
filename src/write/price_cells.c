#include "write/price_cells.h"

#include <inttypes.h>
#include <math.h>

#include "write/price.h"

enum { MONEY_DIGITS = 2, HOUR_DIGITS = 2, SHARE_DIGITS = 4 };

static void add(struct price_cells *cells, struct price_cell cell) {
  if (cells->count < PRICE_CELLS_MOST) cells->cells[cells->count++] = cell;
}

static void add_whole(struct price_cells *cells, const char *name, int64_t value) {
  add(cells, (struct price_cell){name, CELL_NUMBER, true, value, 0, NULL});
}

static void add_money_if(struct price_cells *cells, bool known, const char *name, cents_t value) {
  add(cells, (struct price_cell){name, CELL_NUMBER, known, value, MONEY_DIGITS, NULL});
}

static void add_money(struct price_cells *cells, const char *name, cents_t value) {
  add_money_if(cells, true, name, value);
}

static void add_price(struct price_cells *cells, const char *name, cents_t value) {
  add_money_if(cells, value != PRICE_NONE, name, value);
}

static void add_hours(struct price_cells *cells, const char *name, int64_t minutes) {
  int64_t hours = (minutes + 300) / 600;
  add(cells, (struct price_cell){name, CELL_NUMBER, true, hours, HOUR_DIGITS, NULL});
}

/* A double to so many decimals; `times` is 10 to that power. */
static void add_double_if(struct price_cells *cells, bool known, const char *name, double value,
                          int digits, double times) {
  int64_t scaled = known ? llround(value * times) : 0;
  add(cells, (struct price_cell){name, CELL_NUMBER, known, scaled, digits, NULL});
}

static void add_text(struct price_cells *cells, const char *name, const char *text) {
  add(cells, (struct price_cell){name, CELL_TEXT, text != NULL && *text != '\0', 0, 0, text});
}

static void add_wood(struct price_cells *cells, const struct price_point *point) {
  add_whole(cells, "sets", point->sets);
  add_whole(cells, "sets_started", point->started);
  add_whole(cells, "pieces_of_stock", point->pieces);
  add_money(cells, "wood", point->wood);
  add_money(cells, "wood_bought", point->wood_cash);
  add_money(cells, "wood_rack", point->wood_rack);
  add_money(cells, "wood_used_up", point->wood_consumed);
  add_money(cells, "stock_and_handling", point->plan_cost);
  add_money(cells, "bound", point->plan_bound);
  add(cells, (struct price_cell){"proved", CELL_FLAG, true, point->proved, 0, NULL});
}

static void add_all_hours(struct price_cells *cells, const struct price_table *table,
                          const struct price_point *point) {
  const struct run_time *time = &point->time;
  add_hours(cells, "hours_machine", time->total.machine);
  add_hours(cells, "hours_attended", time->total.attended);
  add_hours(cells, "hours_setups", time->setups);
  add_hours(cells, "hours_cutters_and_probing", time->changes_by_hand + time->probing);
  add_hours(cells, "hours_saw", time->sawing + time->fences);
  add_hours(cells, "hours_tabs", time->tab_cleaning);
  add_hours(cells, "hours_other_hand", time->hand);
  add_hours(cells, "hours_selling", table->terms.selling);
  add_hours(cells, "hours_paid", point->minutes);
}

static void add_costs(struct price_cells *cells, const struct price_point *point) {
  add_money(cells, "bought_items", point->bought_cost);
  add_money(cells, "bought_items_used_up", point->bought_used);
  add_money(cells, "finish", point->finish);
  add_money(cells, "packing", point->packing);
  add_money(cells, "labour", point->labour);
  add_money(cells, "machine", point->machine);
  add_money(cells, "stall", point->stall);
  add_money(cells, "travel", point->travel);
  add_money(cells, "selling", point->selling);
  add_money(cells, "cost", point->cost);
  add_money(cells, "cost_used_up", point->used_cost);
  add_money(cells, "cash_now", point->cash_now);
  add_money(cells, "payment_fees", point->payment_fees);
  add_money(cells, "tax", point->tax);
  add_money(cells, "total", point->total);
  add_money(cells, "per_set", point->per_set);
}

static void add_prices(struct price_cells *cells, const struct price_table *table,
                       const struct price_point *point) {
  bool priced = table->terms.priced;
  add_money_if(cells, point->sets < table->count, "next_set", point->next_set);
  add_money_if(cells, priced, "profit_all_sold", point->profit);
  add_double_if(cells, priced, "margin_percent", 100 * point->margin, 2, 1e2);
  add_double_if(cells, priced, "markup_percent", 100 * point->markup, 2, 1e2);
  add_money_if(cells, priced && point->minutes > 0, "earned_per_hour", point->earned_per_hour);
  add_price(cells, "break_even_price", point->break_even_price);
  add_price(cells, "wage_price", point->wage_price);
  add_money_if(cells, priced, "wholesale_profit", point->wholesale_profit);
  add_price(cells, "price_for_wholesale", point->wholesale_price);
}

static void add_expectation(struct price_cells *cells, const struct price_table *table,
                            const struct price_point *point) {
  bool known = price_has_demand(table);
  add_double_if(cells, known, "expected_sales", point->expected_sales, 2, 1e2);
  add_money_if(cells, known, "expected_profit", price_cents(point->expected_profit));
  add_double_if(cells, known, "chance_to_sell_out", point->sell_out, SHARE_DIGITS, 1e4);
  add_double_if(cells, known, "chance_to_lose_money", point->lose_money, SHARE_DIGITS, 1e4);
}

static const char *add_mark(struct arena *arena, const char *marks, const char *mark) {
  return arena_format(arena, "%s%s%s", marks, *marks == '\0' ? "" : "; ", mark);
}

static const char *marks_text(struct arena *arena, const struct price_table *table, int64_t sets) {
  const char *marks = "";
  const struct price_crossing *crossing = price_crossing_at(table, sets);
  const struct price_plateau *plateau = price_plateau_of(table, sets);
  if (sets == table->asked) marks = add_mark(arena, marks, "asked for");
  if (sets == table->recommended) marks = add_mark(arena, marks, "best for the demand");
  if (sets == table->cheapest) marks = add_mark(arena, marks, "least cost a set");
  if (crossing != NULL)
    marks = add_mark(arena, marks, crossing->up ? "breaks even from here" : "at a loss from here");
  if (plateau != NULL)
    marks = add_mark(arena, marks,
                     arena_format(arena, "same wood for %" PRId64 " to %" PRId64, plateau->first,
                                  plateau->last));
  return marks;
}

struct price_cells *price_cells_of(struct arena *arena, const struct price_table *table,
                                   const struct price_point *point) {
  struct price_cells *cells = ARENA_NEW(arena, struct price_cells);
  add_wood(cells, point);
  add_all_hours(cells, table, point);
  add_costs(cells, point);
  add_prices(cells, table, point);
  add_expectation(cells, table, point);
  add_text(cells, "marks", marks_text(arena, table, point->sets));
  add_text(cells, "note", point->why_less);
  return cells;
}
