#include <inttypes.h>
#include <math.h>

#include "write/price.h"
#include "write/safe_text.h"
#include "write/table.h"

static const char header[] =
    "sets,sets_started,pieces_of_stock,wood,wood_bought,wood_rack,wood_used_up,stock_and_handling,"
    "bound,proved,bought_items,bought_items_used_up,finish,packing,hours_machine,hours_attended,"
    "hours_setups,hours_cutters_and_probing,hours_saw,hours_tabs,hours_other_hand,hours_selling,"
    "hours_paid,labour,machine,stall,travel,selling,cost,cost_used_up,cash_now,payment_fees,tax,"
    "total,per_set,next_set,profit_all_sold,margin_percent,markup_percent,earned_per_hour,"
    "break_even_price,wage_price,wholesale_profit,price_for_wholesale,expected_sales,"
    "expected_profit,chance_to_sell_out,chance_to_lose_money,marks,note";

static void add_hours(struct table *table, int64_t minutes) {
  table_text(table, price_hours(table->arena, minutes));
}

static void add_cents_if(struct table *table, bool known, cents_t value) {
  if (known)
    table_cents(table, value);
  else
    table_text(table, "");
}

static void add_decimal_if(struct table *table, bool known, double value, int digits) {
  if (known)
    table_decimal(table, llround(value * pow(10, digits)), digits);
  else
    table_text(table, "");
}

static void add_wood(struct table *table, const struct price_point *point) {
  table_whole(table, point->sets);
  table_whole(table, point->started);
  table_whole(table, point->pieces);
  table_cents(table, point->wood);
  table_cents(table, point->wood_cash);
  table_cents(table, point->wood_rack);
  table_cents(table, point->wood_consumed);
  table_cents(table, point->plan_cost);
  table_cents(table, point->plan_bound);
  table_text(table, point->proved ? "yes" : "no");
}

static void add_hours_of(struct table *table, const struct price_table *prices,
                         const struct price_point *point) {
  const struct run_time *time = &point->time;
  add_hours(table, time->total.machine);
  add_hours(table, time->total.attended);
  add_hours(table, time->setups);
  add_hours(table, time->changes + time->probing);
  add_hours(table, time->sawing + time->fences);
  add_hours(table, time->tab_cleaning);
  add_hours(table, time->hand);
  add_hours(table, prices->terms.selling);
  add_hours(table, point->minutes);
}

static void add_costs(struct table *table, const struct price_point *point) {
  table_cents(table, point->labour);
  table_cents(table, point->machine);
  table_cents(table, point->stall);
  table_cents(table, point->travel);
  table_cents(table, point->selling);
  table_cents(table, point->cost);
  table_cents(table, point->used_cost);
  table_cents(table, point->cash_now);
  table_cents(table, point->payment_fees);
  table_cents(table, point->tax);
  table_cents(table, point->total);
  table_cents(table, point->per_set);
}

static void add_prices(struct table *table, const struct price_table *prices,
                       const struct price_point *point) {
  bool priced = prices->terms.priced, hours = priced && point->minutes > 0;
  add_cents_if(table, point->sets < prices->count, point->next_set);
  add_cents_if(table, priced, point->profit);
  add_decimal_if(table, priced, 100 * point->margin, 2);
  add_decimal_if(table, priced, 100 * point->markup, 2);
  add_cents_if(table, hours, point->earned_per_hour);
  add_cents_if(table, point->break_even_price != PRICE_NONE, point->break_even_price);
  add_cents_if(table, point->wage_price != PRICE_NONE, point->wage_price);
  add_cents_if(table, priced, point->wholesale_profit);
  add_cents_if(table, point->wholesale_price != PRICE_NONE, point->wholesale_price);
}

static void add_expectation(struct table *table, const struct price_table *prices,
                            const struct price_point *point) {
  bool known = price_has_demand(prices);
  add_decimal_if(table, known, point->expected_sales, 2);
  add_cents_if(table, known, price_cents(point->expected_profit));
  add_decimal_if(table, known, point->sell_out, 4);
  add_decimal_if(table, known, point->lose_money, 4);
}

static const char *add_mark(struct arena *arena, const char *marks, const char *mark) {
  return arena_format(arena, "%s%s%s", marks, *marks == '\0' ? "" : "; ", mark);
}

static const char *marks_text(struct arena *arena, const struct price_table *prices, int64_t sets) {
  const char *marks = "";
  const struct price_crossing *crossing = price_crossing_at(prices, sets);
  const struct price_plateau *plateau = price_plateau_of(prices, sets);
  if (sets == prices->asked) marks = add_mark(arena, marks, "asked for");
  if (sets == prices->recommended) marks = add_mark(arena, marks, "best for the demand");
  if (sets == prices->cheapest) marks = add_mark(arena, marks, "least cost a set");
  if (crossing != NULL)
    marks = add_mark(arena, marks, crossing->up ? "breaks even from here" : "at a loss from here");
  if (plateau != NULL)
    marks = add_mark(arena, marks,
                     arena_format(arena, "same wood for %" PRId64 " to %" PRId64, plateau->first,
                                  plateau->last));
  return marks;
}

void write_price_csv(struct buffer *buffer, const struct price_table *prices) {
  struct table *table = table_create(buffer_create(buffer->arena), UNIT_MM, header);
  for (int64_t n = 1; n <= prices->count; n++) {
    const struct price_point *point = price_point_of(prices, n);
    add_wood(table, point);
    table_cents(table, point->bought_cost);
    table_cents(table, point->bought_used);
    table_cents(table, point->finish);
    table_cents(table, point->packing);
    add_hours_of(table, prices, point);
    add_costs(table, point);
    add_prices(table, prices, point);
    add_expectation(table, prices, point);
    table_text(table, marks_text(table->arena, prices, n));
    table_text(table, point->why_less);
    table_end_row(table);
  }
  buffer_format(buffer, "# %s: cost and profit by quantity; money in that of money.csv\r\n",
                safe_line(buffer->arena, prices->project->name));
  buffer_add(buffer,
             "# margin = (price - total per set) / price; markup = (price - total per set) / total "
             "per set; both with all sets sold\r\n"
             "# wood: whole planks, sheets and packs, the rack at its value; used_up: without "
             "offcuts kept and items left over, in no total\r\n");
  buffer_add_bytes(buffer, table->buffer->text, table->buffer->length);
}
