#include "read/cell.h"
#include "read/stock.h"

enum { RACK_VALUE = STOCK_COLUMNS, RACK_COLUMNS };

static const struct column columns[RACK_COLUMNS] = {
    STOCK_COLUMN_LIST,
    [RACK_VALUE] = {"value", false},
};

bool read_rack(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "rack.csv",
                                   columns, RACK_COLUMNS);
  if (table == NULL) return false;
  while (table_next(table)) {
    struct stock stock = {.source = SOURCE_RACK, .count = 1, .per = PER_EACH};
    (void)stock_read(reader, table, &stock);
    (void)cell_money(table, RACK_VALUE, OPTIONAL, &stock.value);
    stock_keep(reader, &stock);
  }
  return true;
}
