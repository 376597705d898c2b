#include <string.h>

#include "base/text.h"
#include "read/cell.h"
#include "read/faults.h"

enum { COLUMN_ITEM, COLUMN_VALUE, COLUMN_NOTE, COLUMN_TOTAL };

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_ITEM] = {"item", true},
    [COLUMN_VALUE] = {"value", true},
    [COLUMN_NOTE] = {"note", false},
};

/* Every item there is. */
static const char *const items[] = {
    "price",         "finish_per_set",  "packing_per_set", "hand_minutes_per_set",
    "machine_rate",  "hourly_rate",     "stall_fee",       "travel",
    "selling_hours", "payment_percent", "payment_fixed",   "tax_percent",
    "demand_low",    "demand_likely",   "demand_high",     "unsold_value"};
enum { ITEMS = sizeof items / sizeof items[0] };

#define VALUE_MOST INT64_C(1000000000000) /* thousandths */
#define PERCENT_MOST INT64_C(100000)

/* The item's value and place in the file; NULL where it is not given. */
static const struct money_item *find(const struct project *project, const char *name) {
  for (size_t i = 0; i < project->money_count; i++)
    if (strcmp(project->money[i].name, name) == 0) return &project->money[i];
  return NULL;
}

/* The item as spelt above, or NULL with a fault. */
static const char *known_item(struct reader *reader, struct table *table) {
  const char *text = table_cell(table, COLUMN_ITEM);
  for (size_t i = 0; i < ITEMS; i++)
    if (text_equal_fold(items[i], text)) return items[i];
  const char *nearest = reader_nearest(reader, text, items, ITEMS);
  text = text_shown(reader->arena, text);
  if (nearest != NULL) {
    table_fault(table, COLUMN_ITEM, "'%s' is no known item, expected '%s'", text, nearest);
  } else {
    table_fault(table, COLUMN_ITEM, "'%s' is no known item, expected one such as '%s'", text,
                items[0]);
  }
  return NULL;
}

static int64_t most_of(const char *name) {
  const char *ending = strstr(name, "_percent");
  return ending == NULL ? VALUE_MOST : PERCENT_MOST;
}

static void check_demand(struct reader *reader, struct table *table, const char *low,
                         const char *high, const struct place *place) {
  const struct money_item *less = find(reader->project, low);
  const struct money_item *more = find(reader->project, high);
  if (less == NULL || more == NULL || less->value <= more->value) return;
  table_fault_at(table, place, "'%s' is over '%s', expected at most as much", low, high);
}

void read_money(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "money.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  struct project *project = reader->project;
  struct name_index *names = name_index_create(reader->arena, ITEMS);
  struct place demand = table_place(table, TABLE_ROW);
  while (table_next(table)) {
    struct money_item item = {0};
    bool named = cell_new_name(reader, table, COLUMN_ITEM, "item", names, &item.name);
    if (named) item.name = known_item(reader, table);
    named = named && item.name != NULL;
    int64_t most = named ? most_of(item.name) : VALUE_MOST;
    named = cell_number(table, COLUMN_VALUE, REQUIRED, 0, most, &item.value) && named;
    item.note = cell_note(reader, table, COLUMN_NOTE);
    if (!named) continue;
    if (strncmp(item.name, "demand", 6) == 0) demand = table_place(table, COLUMN_VALUE);
    *ARENA_PUSH(reader->arena, project->money, project->money_count, project->money_room) = item;
  }
  check_demand(reader, table, "demand_low", "demand_likely", &demand);
  check_demand(reader, table, "demand_likely", "demand_high", &demand);
  check_demand(reader, table, "demand_low", "demand_high", &demand);
}
