#include <string.h>

#include "base/text.h"
#include "read/cell.h"
#include "read/faults.h"

enum { COLUMN_SETTING, COLUMN_VALUE, COLUMN_NOTE, COLUMN_TOTAL };

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_SETTING] = {"setting", true},
    [COLUMN_VALUE] = {"value", true},
    [COLUMN_NOTE] = {"note", false},
};

/* Short for the trims of all three surfaces; a setting for one surface goes before it. */
static const struct {
  const char *name;
  enum setting settings[3];
} shorthands[] = {
    {"trim_ends", {SETTING_trim_ends_rough, SETTING_trim_ends_planed, SETTING_trim_ends_sheet}},
    {"trim_edges", {SETTING_trim_edges_rough, SETTING_trim_edges_planed, SETTING_trim_edges_sheet}},
};
enum { SHORTHANDS = sizeof shorthands / sizeof shorthands[0], NAMES = SETTING_TOTAL + SHORTHANDS };

/* One row kept until the unit of bare numbers is known; number is an index into the
 * settings with the shorthands behind them. */
struct row {
  size_t number;
  const char *value;
  struct place place;
};

struct rows {
  struct row *items;
  size_t count, room;
  long first_line[NAMES]; /* where each stands, 0 when it does not */
};

static const char *setting_name(size_t number) {
  return number < SETTING_TOTAL ? setting_table[number].name
                                : shorthands[number - SETTING_TOTAL].name;
}

static size_t setting_named(const char *name) {
  for (size_t i = 0; i < NAMES; i++)
    if (text_equal_fold(setting_name(i), name)) return i;
  return SIZE_MAX;
}

static void unknown_setting(struct reader *reader, struct table *table) {
  const char *names[NAMES];
  for (size_t i = 0; i < NAMES; i++) names[i] = setting_name(i);
  const char *text = table_cell(table, COLUMN_SETTING);
  const char *nearest = reader_nearest(reader, text, names, NAMES);
  text = text_shown(reader->arena, text);
  if (nearest != NULL) {
    table_fault(table, COLUMN_SETTING, "'%s' is no known setting, expected '%s'", text, nearest);
  } else {
    table_fault(table, COLUMN_SETTING, "'%s' is no known setting, expected one such as '%s'", text,
                setting_name(SETTING_kerf_rip));
  }
}

static void keep_row(struct reader *reader, struct table *table, struct rows *rows) {
  const char *name = NULL;
  if (!cell_name(reader, table, COLUMN_SETTING, REQUIRED, &name)) return;
  size_t number = setting_named(name);
  if (number == SIZE_MAX) {
    unknown_setting(reader, table);
    return;
  }
  struct place place = table_place(table, COLUMN_VALUE);
  if (rows->first_line[number] != 0) {
    table_fault(table, COLUMN_SETTING,
                "setting '%s' stands twice, first in line %ld, expected it once",
                setting_name(number), rows->first_line[number]);
    return;
  }
  rows->first_line[number] = place.line;
  const char *value = arena_copy_text(reader->arena, table_cell(table, COLUMN_VALUE));
  struct row row = {number, value, place};
  *ARENA_PUSH(reader->arena, rows->items, rows->count, rows->room) = row;
}

static void set_row(struct reader *reader, struct table *table, const struct row *row) {
  struct shop *shop = &reader->project->shop;
  bool single = row->number < SETTING_TOTAL;
  enum setting first =
      single ? (enum setting)row->number : shorthands[row->number - SETTING_TOTAL].settings[0];
  int64_t value = 0;
  const char *expected = NULL;
  if (!table_has(table, COLUMN_VALUE)) return;
  if (!setting_parse(reader->arena, first, row->value, reader->unit, table_decimal_comma(table),
                     &value, &expected)) {
    bool words = setting_table[first].kind == SETTING_CHOICE;
    table_fault_at(table, &row->place, "'%s' does not fit '%s', expected %s%s%s",
                   text_shown(reader->arena, row->value), setting_name(row->number), expected,
                   words ? "" : currency_hint(row->value),
                   words ? "" : comma_hint(row->value, table_decimal_comma(table)));
    return;
  }
  for (size_t i = 0; i < (single ? 1u : 3u); i++) {
    enum setting setting = single ? first : shorthands[row->number - SETTING_TOTAL].settings[i];
    *shop_value(shop, setting) = value;
    shop->given[setting] = true;
  }
}

/* The unit comes first wherever it stands, since bare numbers are read by it. */
static void set_unit(struct reader *reader, struct table *table, const struct rows *rows) {
  for (size_t i = 0; i < rows->count; i++)
    if (rows->items[i].number == SETTING_units) set_row(reader, table, &rows->items[i]);
  reader->unit = shop_unit(&reader->project->shop);
  bool given = reader->project->shop.given[SETTING_units];
  shop_set_defaults(reader->arena, &reader->project->shop, reader->unit);
  reader->project->shop.given[SETTING_units] = given;
}

/* `low` may not be over `high`. */
static void check_order(struct reader *reader, struct table *table, const struct rows *rows,
                        enum setting low, enum setting high) {
  struct shop *shop = &reader->project->shop;
  if (*shop_value(shop, low) <= *shop_value(shop, high)) return;
  enum setting at = shop->given[low] ? low : high;
  for (size_t i = 0; i < rows->count; i++)
    if (rows->items[i].number == (size_t)at)
      table_fault_at(table, &rows->items[i].place, "'%s' is over '%s', expected at most as much",
                     setting_name(low), setting_name(high));
}

void read_shop(struct reader *reader) {
  shop_set_defaults(reader->arena, &reader->project->shop, UNIT_MM);
  reader->unit = UNIT_MM;
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "shop.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  struct rows *rows = ARENA_NEW(reader->arena, struct rows);
  while (table_next(table)) keep_row(reader, table, rows);
  set_unit(reader, table, rows);
  for (size_t i = 0; i < rows->count; i++)
    if (rows->items[i].number >= SETTING_TOTAL) set_row(reader, table, &rows->items[i]);
  for (size_t i = 0; i < rows->count; i++)
    if (rows->items[i].number < SETTING_TOTAL && rows->items[i].number != SETTING_units)
      set_row(reader, table, &rows->items[i]);
  check_order(reader, table, rows, SETTING_face_min, SETTING_face_max);
  check_order(reader, table, rows, SETTING_rip_min_width, SETTING_rip_narrow);
}
