#include "read/cell.h"

enum { COLUMN_ITEM, COLUMN_PER_SET, COLUMN_PACK, COLUMN_PRICE, COLUMN_NOTE, COLUMN_TOTAL };

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_ITEM] = {"item", true},  [COLUMN_PER_SET] = {"per_set", true},
    [COLUMN_PACK] = {"pack", false}, [COLUMN_PRICE] = {"price", true},
    [COLUMN_NOTE] = {"note", false},
};

#define PER_SET_MOST INT64_C(1000000000) /* thousandths of an item */
#define PACK_MOST 1000000

void read_bought(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "bought.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  struct project *project = reader->project;
  struct name_index *names = name_index_create(reader->arena, 0);
  table_set_most_rows(table, LIMIT_ITEMS);
  while (table_next(table)) {
    struct bought bought = {.pack = 1};
    bool named = cell_new_name(reader, table, COLUMN_ITEM, "item", names, &bought.name);
    (void)cell_number(table, COLUMN_PER_SET, REQUIRED, 0, PER_SET_MOST, &bought.per_set);
    (void)cell_count(table, COLUMN_PACK, OPTIONAL, 1, PACK_MOST, &bought.pack);
    (void)cell_money(table, COLUMN_PRICE, REQUIRED, &bought.price);
    if (named)
      *ARENA_PUSH(reader->arena, project->bought, project->bought_count, project->bought_room) =
          bought;
  }
}
