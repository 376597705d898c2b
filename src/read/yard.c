#include "read/cell.h"
#include "read/price.h"
#include "read/stock.h"

enum {
  YARD_PRICE = STOCK_COLUMNS,
  YARD_PER,
  YARD_PACK,
  YARD_TALLY_THICKNESS,
  YARD_SUPPLIER,
  YARD_COLUMNS
};

static const struct column columns[YARD_COLUMNS] = {
    STOCK_COLUMN_LIST,
    [YARD_PRICE] = {"price", true},
    [YARD_PER] = {"per", true},
    [YARD_PACK] = {"pack", false},
    [YARD_TALLY_THICKNESS] = {"tally_thickness", false},
    [YARD_SUPPLIER] = {"supplier", false},
};

static void read_price(struct reader *reader, struct table *table, struct stock *stock,
                       bool sized) {
  int per = PER_EACH;
  bool priced = cell_money(table, YARD_PRICE, REQUIRED, &stock->price);
  priced = cell_word(reader, table, YARD_PER, REQUIRED, "each|m|ft|m2|ft2|m3|bf", &per) && priced;
  priced = cell_length(reader, table, YARD_TALLY_THICKNESS, OPTIONAL, SPAN_SIZE,
                       &stock->tally_thickness) &&
           priced;
  stock->per = (enum price_per)per;
  if (!sized || !priced) return;
  stock->value = price_of_piece(stock);
  if (stock->value < 0)
    table_fault(table, YARD_PRICE, "'%s' makes a piece cost over %lld, expected less",
                table_cell(table, YARD_PRICE), (long long)(PRICE_MOST / 100));
}

bool read_yard(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "yard.csv",
                                   columns, YARD_COLUMNS);
  if (table == NULL) return false;
  table_set_most_rows(table, LIMIT_STOCKS);
  while (table_next(table)) {
    struct stock stock = {.source = SOURCE_YARD, .count = -1};
    bool sized = stock_read(reader, table, &stock);
    read_price(reader, table, &stock, sized);
    (void)cell_count(table, YARD_PACK, OPTIONAL, 1, STOCK_COUNT_MOST, &stock.pack);
    stock.supplier = cell_note(reader, table, YARD_SUPPLIER);
    stock_keep(reader, &stock);
  }
  return true;
}
