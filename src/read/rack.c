#include "read/cell.h"
#include "read/stock.h"

enum { RACK_VALUE = STOCK_COLUMNS, RACK_COLUMNS };

static const struct column columns[RACK_COLUMNS] = {
    STOCK_COLUMN_LIST,
    [RACK_VALUE] = {"value", false},
};

struct table *rack_open(struct arena *arena, struct diagnostics *diagnostics, const char *folder) {
  return table_open(arena, diagnostics, folder, "rack.csv", columns, RACK_COLUMNS);
}

bool read_rack(struct reader *reader) {
  struct table *table = rack_open(reader->arena, reader->diagnostics, reader->folder);
  if (table == NULL) return false;
  reader->project->rack_file = table_fingerprint(table);
  table_set_most_rows(table, LIMIT_STOCKS);
  while (table_next(table)) {
    struct stock stock = {.source = SOURCE_RACK, .count = 1, .per = PER_EACH};
    (void)stock_read(reader, table, &stock);
    (void)cell_money(table, RACK_VALUE, OPTIONAL, &stock.value);
    stock_keep(reader, &stock);
  }
  return true;
}
