#include <string.h>

#include "base/board_measure.h"
#include "write/table.h"
#include "write/writers.h"

enum { BOARD_FEET_DIGITS = 3, CUBIC_DIGITS = 6 };

/* The volume of `count` pieces in millionths of a cubic metre, to the nearest. */
static int64_t cubic_millionths(const struct stock *stock, int64_t count) {
  double per_metre = (double)LENGTH_PER_METRE;
  double volume = (double)stock->length / per_metre * ((double)stock->width / per_metre) *
                  ((double)stock->thickness / per_metre);
  return (int64_t)(volume * (double)count * 1e6 + 0.5);
}

static length_t tallied_thickness(const struct stock *stock) {
  return stock->tally_thickness > 0 ? stock->tally_thickness : stock->thickness;
}

/* Sheets are not sold by board measure. */
static void add_board_feet(struct table *table, const struct stock *stock, int64_t count) {
  if (stock->kind == STOCK_SHEET)
    table_text(table, "");
  else
    table_decimal(table, count * board_feet(stock->length, stock->width, tallied_thickness(stock)),
                  BOARD_FEET_DIGITS);
}

static void add_row(struct table *table, const struct stock *stock,
                    const struct purchase *purchase) {
  bool rack = stock->source == SOURCE_RACK;
  int64_t pieces = rack ? purchase->used : purchase->bought;
  table_text(table, stock->name);
  table_text(table, source_text(stock->source));
  table_text(table, stock->supplier);
  table_text(table, stock_kind_text(stock->kind));
  table_text(table, stock->wood);
  table_length(table, stock->length, ROUND_NEAREST);
  table_length(table, stock->width, ROUND_NEAREST);
  table_length(table, stock->thickness, ROUND_NEAREST);
  table_whole(table, purchase->used);
  table_whole(table, rack ? 0 : purchase->bought);
  table_whole(table, stock->pack);
  table_whole(table, rack || stock->pack < 1 ? 0 : purchase->bought / stock->pack);
  add_board_feet(table, stock, pieces);
  table_decimal(table, cubic_millionths(stock, pieces), CUBIC_DIGITS);
  table_cents(table, stock->value);
  table_cents(table, purchase->cost);
  table_end_row(table);
}

void write_purchase_csv(struct buffer *buffer, const struct view *view) {
  struct table *table =
      table_create(buffer_create(buffer->arena), view->unit,
                   "stock,source,supplier,kind,wood,length,width,thickness,used,to_buy,pack,packs,"
                   "board_feet,cubic_metres,price_each,cost");
  for (size_t i = 0; i < view->plan->purchase_count; i++) {
    const struct purchase *purchase = &view->plan->purchases[i];
    add_row(table, &view->project->stocks[purchase->stock], purchase);
  }
  table_finish(table, buffer, view->project->name,
               "stock to take from the rack and to buy; board feet and cubic metres of the pieces "
               "to buy, or taken from the rack, board feet by the nominal thickness, 1 in at least",
               "to the nearest");
}
