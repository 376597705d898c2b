#include <inttypes.h>
#include <math.h>

#include "write/paragraph.h"
#include "write/plan_words.h"
#include "write/price.h"
#include "write/safe_text.h"

enum {
  LABEL = 16,
  MONEY_COLUMNS = 12,
  SETS_COLUMNS = 6,
  PLATEAUS_TOLD = 30,
  MINUTES_AN_HOUR = 60000
};

/* The quantity told line by line. */
static int64_t focus_of(const struct price_table *table) {
  if (table->asked > 0) return table->asked;
  return table->recommended > 0 ? table->recommended : table->cheapest;
}

static const char *money(struct arena *arena, int64_t thousandths) {
  return cents_text(arena, (thousandths + 5) / 10);
}

static const char *percent(struct arena *arena, double share) {
  return arena_format(arena, "%s %%", decimal_text(arena, llround(1000 * share), 1));
}

/* ---- one quantity, line by line ---- */

static void add_line(struct buffer *buffer, const char *label, cents_t cents, const char *note) {
  struct arena *arena = buffer->arena;
  struct buffer *first = buffer_create(arena);
  buffer_add(first, "  ");
  column_left(first, label, LABEL);
  column_right(first, cents_text(arena, cents), MONEY_COLUMNS);
  if (*note == '\0') {
    buffer_format(buffer, "%s\n", first->text);
    return;
  }
  buffer_add(first, "  ");
  paragraph(buffer, first->text, 2 + LABEL + MONEY_COLUMNS + 2, note);
}

static void add_line_if(struct buffer *buffer, const char *label, cents_t cents, const char *note) {
  if (cents != 0) add_line(buffer, label, cents, note);
}

static const char *packs_text(struct arena *arena, const struct price_table *table,
                              const struct price_point *point) {
  const char *text = "";
  for (size_t i = 0; i < table->project->bought_count; i++) {
    const struct bought *bought = &table->project->bought[i];
    int64_t packs = point->bought[i].packs;
    const char *how = bought->pack == 1 ? arena_format(arena, "%" PRId64, packs)
                                        : arena_format(arena, "%" PRId64 " pack%s of %" PRId64,
                                                       packs, packs == 1 ? "" : "s", bought->pack);
    text = arena_format(arena, "%s%s%s: %s", text, *text == '\0' ? "" : ", ", bought->name, how);
  }
  return text;
}

static const char *hours_at(struct arena *arena, int64_t minutes, int64_t rate) {
  return arena_format(arena, "%s h at %s", price_hours(arena, minutes), money(arena, rate));
}

static void add_costs(struct buffer *buffer, const struct price_table *table,
                      const struct price_point *point) {
  struct arena *arena = buffer->arena;
  const struct price_terms *terms = &table->terms;
  const struct work_time *time = &point->time.total;
  add_line(buffer, "wood", point->wood,
           arena_format(arena, "bought %s, from the rack %s; used up %s",
                        cents_text(arena, point->wood_cash), cents_text(arena, point->wood_rack),
                        cents_text(arena, point->wood_consumed)));
  add_line_if(buffer, "bought items", point->bought_cost, packs_text(arena, table, point));
  add_line_if(buffer, "finish", point->finish, "");
  add_line_if(buffer, "packing", point->packing, "");
  add_line_if(buffer, "labour", point->labour,
              hours_at(arena, time->attended + time->hand, terms->labour_rate));
  add_line_if(buffer, "machine", point->machine,
              hours_at(arena, time->machine, terms->machine_rate));
  add_line_if(buffer, "stall", point->stall, "");
  add_line_if(buffer, "travel", point->travel, "");
  add_line_if(buffer, "selling", point->selling,
              hours_at(arena, terms->selling, terms->labour_rate));
  add_line_if(buffer, "payment fees", point->payment_fees, "where all are sold");
  add_line_if(buffer, "tax", point->tax, "where all are sold");
  add_line(buffer, "total", point->total, "");
  add_line(buffer, "a set", point->per_set, "");
  add_line(buffer, "cash to pay now", point->cash_now, "");
}

static void add_hours(struct buffer *buffer, const struct price_table *table,
                      const struct price_point *point) {
  struct arena *arena = buffer->arena;
  const struct run_time *time = &point->time;
  if (point->minutes == 0 && time->total.machine == 0) return;
  paragraph_format(buffer, "  ", 4, "hours: %s; selling %s", times_text(arena, time, price_hours),
                   price_hours(arena, table->terms.selling));
}

static void add_bound(struct buffer *buffer, const struct price_point *point) {
  struct arena *arena = buffer->arena;
  if (point->proved)
    paragraph(buffer, "  ", 4, "wood and handling proved: no plan of the allowed kind costs less");
  else
    paragraph_format(buffer, "  ", 4, "wood and handling %s, and no plan costs less than %s",
                     cents_text(arena, point->plan_cost), cents_text(arena, point->plan_bound));
}

/* What the neighbour does to the run's cost, its wood and its profit. */
static void add_neighbour(struct buffer *buffer, const struct price_table *table,
                          const struct price_point *point, int64_t by) {
  struct arena *arena = buffer->arena;
  if (point->sets + by < 1 || point->sets + by > table->count) return;
  const struct price_point *other = price_point_of(table, point->sets + by);
  cents_t more = other->total - point->total, wood = other->wood - point->wood;
  const char *profit = "";
  if (table->terms.priced)
    profit = arena_format(arena, ", profit %s if all are sold", cents_text(arena, other->profit));
  paragraph_format(
      buffer, "  ", 4, "one set %s: %s %s, of it %s for wood; %s a set%s", by < 0 ? "less" : "more",
      more < 0 ? "saves" : "costs", cents_text(arena, more < 0 ? -more : more),
      cents_text(arena, more < 0 ? -wood : wood), cents_text(arena, other->per_set), profit);
}

static void add_focus(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  const struct price_point *point = price_point_of(table, focus_of(table));
  const struct price_plateau *plateau = price_plateau_of(table, point->sets);
  buffer_format(buffer, "\nCost of %s\n", price_sets(arena, point->sets));
  add_costs(buffer, table, point);
  add_hours(buffer, table, point);
  if (point->started > point->sets)
    paragraph_format(buffer, "  ", 4, "%s started, since spoilage takes %" PRId64,
                     price_sets(arena, point->started), point->started - point->sets);
  paragraph_format(buffer, "  ", 4,
                   "with wood and bought items at the share used up it would be %s in place of %s",
                   cents_text(arena, point->used_cost + point->payment_fees + point->tax),
                   cents_text(arena, point->total));
  add_bound(buffer, point);
  if (plateau != NULL) paragraph(buffer, "  ", 4, price_plateau_words(arena, plateau));
  if (point->why_less != NULL) paragraph(buffer, "  ", 4, point->why_less);
  add_neighbour(buffer, table, point, -1);
  add_neighbour(buffer, table, point, 1);
}

/* ---- quantities beside each other ---- */

static bool is_of_note(const struct price_table *table, int64_t sets) {
  int64_t focus = focus_of(table);
  return (sets >= focus - 1 && sets <= focus + 1) || sets == table->recommended ||
         sets == table->cheapest || price_crossing_at(table, sets) != NULL || sets == 1 ||
         sets == table->count;
}

static const char *row_note(const struct price_table *table, int64_t sets) {
  const struct price_crossing *crossing = price_crossing_at(table, sets);
  if (sets == table->recommended) return "best for demand";
  if (sets == table->asked) return "asked for";
  if (crossing != NULL) return crossing->up ? "breaks even" : "at a loss";
  return sets == table->cheapest ? "least a set" : "";
}

/* Right in its column; blank where it is not known. */
static void add_money_if(struct buffer *row, bool known, cents_t cents, size_t columns) {
  column_right(row, known ? cents_text(row->arena, cents) : "", columns);
}

static void add_row(struct buffer *buffer, const struct price_table *table,
                    const struct price_point *point) {
  struct arena *arena = buffer->arena;
  struct buffer *row = buffer_create(arena);
  column_right(row, arena_format(arena, "%" PRId64, point->sets), SETS_COLUMNS);
  add_money_if(row, true, point->total, MONEY_COLUMNS);
  add_money_if(row, true, point->per_set, MONEY_COLUMNS - 2);
  add_money_if(row, point->sets < table->count, point->next_set, MONEY_COLUMNS - 2);
  if (table->terms.priced) add_money_if(row, true, point->profit, MONEY_COLUMNS - 1);
  if (price_has_demand(table))
    add_money_if(row, true, price_cents(point->expected_profit), MONEY_COLUMNS - 1);
  buffer_format(row, "  %s", row_note(table, point->sets));
  while (row->length > 0 && row->text[row->length - 1] == ' ') row->text[--row->length] = '\0';
  buffer_format(buffer, "%s\n", row->text);
}

static void add_rows(struct buffer *buffer, const struct price_table *table) {
  buffer_format(buffer, "\nOther quantities\n  sets       total     a set  next set%s%s\n",
                table->terms.priced ? "     profit" : "",
                price_has_demand(table) ? "   expected" : "");
  for (int64_t n = 1; n <= table->count; n++)
    if (is_of_note(table, n)) add_row(buffer, table, price_point_of(table, n));
  paragraph(
      buffer, "  ", 2,
      table->terms.priced
          ? "next set: by which one set more raises the total; profit: where all are sold; the "
            "other quantities are in price.csv"
          : "next set: by which one set more raises the total; the other quantities are in "
            "price.csv");
}

static void add_plateaus(struct buffer *buffer, const struct price_table *table) {
  struct buffer *text = buffer_create(buffer->arena);
  size_t told = table->plateau_count < PLATEAUS_TOLD ? table->plateau_count : PLATEAUS_TOLD;
  for (size_t i = 0; i < told; i++)
    buffer_format(text, "%s%" PRId64 "-%" PRId64, i == 0 ? "" : ", ", table->plateaus[i].first,
                  table->plateaus[i].last);
  if (told < table->plateau_count)
    buffer_format(text, " and %zu more ranges, in price.csv", table->plateau_count - told);
  if (told > 0)
    paragraph_format(buffer, "  ", 2, "quantities that need the same wood: %s", text->text);
}

/* ---- prices ---- */

static void add_wanted_price(struct buffer *buffer, const char *label, cents_t price,
                             const char *note) {
  if (price != PRICE_NONE)
    add_line(buffer, label, price, note);
  else
    paragraph_format(buffer, "  ", 2, "%s: none, fees and tax take all of any price", label);
}

/* Both are easily taken for each other: each with its formula and its numbers. */
static void add_margin(struct buffer *buffer, const struct price_table *table,
                       const struct price_point *point) {
  struct arena *arena = buffer->arena;
  const char *price = cents_text(arena, table->terms.price);
  const char *cost = cents_text(arena, point->per_set);
  paragraph_format(buffer, "  ", 4, "margin (price - cost) / price = (%s - %s) / %s = %s", price,
                   cost, price, percent(arena, point->margin));
  paragraph_format(buffer, "  ", 4, "markup (price - cost) / cost = (%s - %s) / %s = %s", price,
                   cost, cost, percent(arena, point->markup));
}

static void add_at_price(struct buffer *buffer, const struct price_table *table,
                         const struct price_point *point) {
  struct arena *arena = buffer->arena;
  const struct price_terms *terms = &table->terms;
  add_line(buffer, "price", terms->price, "");
  add_line(buffer, "profit", point->profit, "where all are sold");
  if (point->minutes > 0)
    add_line(buffer, "earned per hour", point->earned_per_hour,
             arena_format(arena, "in each of %s h, at the stall too",
                          price_hours(arena, point->minutes)));
  add_margin(buffer, table, point);
  add_line(buffer, "wholesale", terms->price / 2,
           arena_format(arena,
                        "a set, at half the price: profit %s without stall, travel, selling "
                        "and payment fees",
                        cents_text(arena, point->wholesale_profit)));
}

static void add_prices(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  const struct price_point *point = price_point_of(table, focus_of(table));
  buffer_format(buffer, "\nPrice of a set, of %" PRId64 "\n", point->sets);
  if (table->terms.priced) add_at_price(buffer, table, point);
  add_wanted_price(buffer, "break-even", point->break_even_price,
                   "lowest price without a loss, all sold");
  if (table->terms.wage > 0)
    add_wanted_price(buffer, "for the wage", point->wage_price,
                     arena_format(arena, "lowest that earns %s in every hour, all sold",
                                  money(arena, table->terms.wage)));
  add_wanted_price(buffer, "for wholesale", point->wholesale_price,
                   "lowest whose half pays for making");
}

static void add_crossings(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  if (!table->terms.priced) return;
  buffer_add(buffer, "\nBreak-even\n");
  if (table->crossing_count == 0)
    paragraph_format(buffer, "  ", 2, "none: no quantity up to %" PRId64 " pays for itself",
                     table->count);
  for (size_t i = 0; i < table->crossing_count; i++) {
    const struct price_crossing *crossing = &table->crossings[i];
    paragraph_format(buffer, "  ", 2,
                     crossing->up ? "from %s on the run pays for itself, if all are sold"
                                  : "from %s on it is at a loss again: more wood is begun",
                     price_sets(arena, crossing->sets));
  }
}

/* ---- demand ---- */

static const char *demand_text(struct arena *arena, const struct demand *demand) {
  if (demand->kind == DEMAND_SALES)
    return arena_format(arena, "as one of %zu past sales", demand->sale_count);
  return arena_format(arena, "%s to %s, most likely %s", decimal_trimmed(arena, demand->low, 3),
                      decimal_trimmed(arena, demand->high, 3),
                      decimal_trimmed(arena, demand->likely, 3));
}

static void add_chances(struct buffer *buffer, const struct price_table *table, int64_t sets) {
  struct arena *arena = buffer->arena;
  const struct price_point *point = price_point_of(table, sets);
  double earned = point->expected_profit + (double)(point->labour + point->selling);
  const char *hourly = "";
  if (point->minutes > 0)
    hourly = arena_format(
        arena, ", %s in each hour",
        cents_text(arena, price_cents(earned * (double)MINUTES_AN_HOUR / (double)point->minutes)));
  paragraph_format(buffer, "  ", 4,
                   "%s: expected profit %s%s; %s sold on average; chance to sell out %s, to lose "
                   "money %s",
                   price_sets(arena, sets), cents_text(arena, price_cents(point->expected_profit)),
                   hourly, decimal_text(arena, llround(10 * point->expected_sales), 1),
                   percent(arena, point->sell_out), percent(arena, point->lose_money));
}

static void add_best(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  const struct price_point *best = price_point_of(table, table->recommended);
  paragraph_format(
      buffer, "  ", 2, "best: %s%s", price_sets(arena, best->sets),
      best->sets == table->count ? ", the most looked at: more may be better still" : "");
  if (best->expected_profit < 0)
    paragraph(
        buffer, "  ", 2,
        "but every quantity is expected to fall short of its costs, with hours paid at the labour "
        "rate");
}

static void add_demand(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  const struct price_terms *terms = &table->terms;
  if (terms->demand.missing != NULL) {
    buffer_add(buffer, "\n");
    paragraph_format(buffer, "", 0,
                     "Demand: '%s' is missing in money.csv, so that nothing is expected",
                     terms->demand.missing);
  }
  if (!price_has_demand(table)) return;
  buffer_add(buffer, "\nDemand\n");
  paragraph_format(buffer, "  ", 2, "%s; a set not sold is worth %s",
                   demand_text(arena, &terms->demand), cents_text(arena, terms->unsold_value));
  add_best(buffer, table);
  add_chances(buffer, table, table->recommended);
  if (focus_of(table) != table->recommended) add_chances(buffer, table, focus_of(table));
}

void write_price_summary(struct buffer *buffer, const struct price_table *table) {
  paragraph_format(buffer, "", 0, "%s: price of 1 to %s", table->project->name,
                   price_sets(buffer->arena, table->count));
  add_focus(buffer, table);
  add_rows(buffer, table);
  add_plateaus(buffer, table);
  add_prices(buffer, table);
  add_crossings(buffer, table);
  add_demand(buffer, table);
}
