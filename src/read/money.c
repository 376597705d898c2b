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

/* The one item that may stand in several lines, each the sets sold on one occasion. */
static const char past_sales[] = "sales";

/* Every item there is. */
static const char *const items[] = {
    "price",         "finish_per_set", "packing_per_set", "hand_minutes_per_set", "machine_rate",
    "hourly_rate",   "stall_fee",      "travel",          "selling_hours",        "payment_percent",
    "payment_fixed", "tax_percent",    "demand_low",      "demand_likely",        "demand_high",
    "unsold_value",  past_sales};
enum { ITEMS = sizeof items / sizeof items[0] };

#define VALUE_MOST INT64_C(1000000000000) /* thousandths */
#define PERCENT_MOST INT64_C(100000)
enum { SALES_MOST = 1000000, THOUSANDTHS = 1000 };

static const char *const demand_items[] = {"demand_low", "demand_likely", "demand_high"};
enum { DEMAND_ITEMS = sizeof demand_items / sizeof demand_items[0] };

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

/* Each item with the next one that is told. */
static void check_rise(struct reader *reader, struct table *table, const struct place *places) {
  const struct money_item *less = NULL;
  size_t low = 0;
  for (size_t i = 0; i < DEMAND_ITEMS; i++) {
    const struct money_item *more = find(reader->project, demand_items[i]);
    if (more == NULL) continue;
    if (less != NULL && less->value > more->value)
      table_fault_at(table, &places[low], "'%s' is over '%s', expected at most as much",
                     demand_items[low], demand_items[i]);
    less = more;
    low = i;
  }
}

/* Demand is told by low, likely and high, or by past sales; `places` are those of the former. */
static void check_demand(struct reader *reader, struct table *table, const struct place *places) {
  bool sales = find(reader->project, past_sales) != NULL;
  for (size_t i = 0; i < DEMAND_ITEMS && sales; i++) {
    if (find(reader->project, demand_items[i]) == NULL) continue;
    table_fault_at(table, &places[i], "'%s' stands beside '%s', expected one or the other",
                   demand_items[i], past_sales);
    break;
  }
  check_rise(reader, table, places);
}

static bool read_sales(struct table *table, struct money_item *item) {
  item->name = past_sales;
  bool fine = cell_count(table, COLUMN_VALUE, REQUIRED, 0, SALES_MOST, &item->value);
  item->value *= THOUSANDTHS;
  return fine;
}

static bool read_item(struct reader *reader, struct table *table, struct name_index *names,
                      struct money_item *item) {
  bool named = cell_new_name(reader, table, COLUMN_ITEM, "item", names, &item->name);
  if (named) item->name = known_item(reader, table);
  named = named && item->name != NULL;
  int64_t most = named ? most_of(item->name) : VALUE_MOST;
  return cell_number(table, COLUMN_VALUE, REQUIRED, 0, most, &item->value) && named;
}

void read_money(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "money.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  struct project *project = reader->project;
  struct name_index *names = name_index_create(reader->arena, ITEMS);
  struct place places[DEMAND_ITEMS] = {{0}};
  table_set_most_rows(table, LIMIT_ITEMS);
  while (table_next(table)) {
    struct money_item item = {0};
    bool sales = text_equal_fold(table_cell(table, COLUMN_ITEM), past_sales);
    bool fine = sales ? read_sales(table, &item) : read_item(reader, table, names, &item);
    item.note = cell_note(reader, table, COLUMN_NOTE);
    if (!fine) continue;
    for (size_t i = 0; i < DEMAND_ITEMS; i++)
      if (strcmp(item.name, demand_items[i]) == 0) places[i] = table_place(table, COLUMN_VALUE);
    *ARENA_PUSH(reader->arena, project->money, project->money_count, project->money_room) = item;
  }
  check_demand(reader, table, places);
}
