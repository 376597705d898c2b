#include <inttypes.h>

#include "write/paragraph.h"
#include "write/price.h"
#include "write/price_told.h"
#include "write/safe_text.h"

enum { LABEL = 16, MONEY_COLUMNS = 12, SETS_COLUMNS = 6, PLATEAUS_TOLD = 30 };

static void add_line(struct buffer *buffer, const struct price_line *line) {
  struct arena *arena = buffer->arena;
  struct buffer *first = buffer_create(arena);
  buffer_add(first, "  ");
  column_left(first, line->label, LABEL);
  column_right(first, cents_text(arena, line->cents), MONEY_COLUMNS);
  if (*line->note == '\0') {
    buffer_format(buffer, "%s\n", first->text);
    return;
  }
  buffer_add(first, "  ");
  paragraph(buffer, first->text, 2 + LABEL + MONEY_COLUMNS + 2, line->note);
}

static void add_lines(struct buffer *buffer, const struct price_lines *lines) {
  for (int i = 0; i < lines->count; i++) {
    const struct price_line *line = &lines->lines[i];
    if (line->cents != PRICE_NONE)
      add_line(buffer, line);
    else
      paragraph_format(buffer, "  ", 2, "%s: none, fees and tax take all of any price",
                       line->label);
  }
}

static void add_focus(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  const struct price_point *point = price_point_of(table, price_focus(table));
  struct price_lines lines = {.count = 0};
  struct text_list list = {0};
  price_cost_lines(arena, table, point, &lines);
  price_cost_sentences(arena, table, point, &list);
  buffer_format(buffer, "\nCost of %s\n", price_sets(arena, point->sets));
  add_lines(buffer, &lines);
  paragraphs(buffer, 4, &list);
}

/* ---- quantities beside each other ---- */

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
  buffer_format(row, "  %s", price_row_note(table, point->sets));
  while (row->length > 0 && row->text[row->length - 1] == ' ') row->text[--row->length] = '\0';
  buffer_format(buffer, "%s\n", row->text);
}

static void add_rows(struct buffer *buffer, const struct price_table *table) {
  buffer_format(buffer, "\nOther quantities\n  sets       total     a set  next set%s%s\n",
                table->terms.priced ? "     profit" : "",
                price_has_demand(table) ? "   expected" : "");
  for (int64_t n = 1; n <= table->count; n++)
    if (price_is_of_note(table, n)) add_row(buffer, table, price_point_of(table, n));
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

/* ---- prices, demand ---- */

static void add_prices(struct buffer *buffer, const struct price_table *table) {
  struct arena *arena = buffer->arena;
  const struct price_point *point = price_point_of(table, price_focus(table));
  struct price_lines sale = {.count = 0}, wanted = {.count = 0};
  struct text_list list = {0};
  price_sale_lines(arena, table, point, &sale);
  price_sale_sentences(arena, table, point, &list);
  price_wanted_lines(arena, table, point, &wanted);
  buffer_format(buffer, "\nPrice of a set, of %" PRId64 "\n", point->sets);
  add_lines(buffer, &sale);
  paragraphs(buffer, 4, &list);
  add_lines(buffer, &wanted);
}

static void add_break_even(struct buffer *buffer, const struct price_table *table) {
  struct text_list list = {0};
  price_break_even_sentences(buffer->arena, table, &list);
  if (list.count > 0) buffer_add(buffer, "\nBreak-even\n");
  paragraphs(buffer, 2, &list);
}

static void add_demand(struct buffer *buffer, const struct price_table *table) {
  const char *missing = table->terms.demand.missing;
  struct text_list list = {0};
  if (missing != NULL) {
    buffer_add(buffer, "\n");
    paragraph_format(buffer, "", 0,
                     "Demand: '%s' is missing in money.csv, so that nothing is expected", missing);
  }
  price_demand_sentences(buffer->arena, table, &list);
  if (list.count > 0) buffer_add(buffer, "\nDemand\n");
  for (size_t i = 0; i < list.count; i++) paragraph(buffer, "  ", i < 2 ? 2 : 4, list.items[i]);
}

void write_price_summary(struct buffer *buffer, const struct price_table *table) {
  paragraph_format(buffer, "", 0, "%s: price of 1 to %s", table->project->name,
                   price_sets(buffer->arena, table->count));
  add_focus(buffer, table);
  add_rows(buffer, table);
  add_plateaus(buffer, table);
  add_prices(buffer, table);
  add_break_even(buffer, table);
  add_demand(buffer, table);
}
