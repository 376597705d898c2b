#include "read/cell.h"

enum {
  COLUMN_CLAMP,
  COLUMN_KIND,
  COLUMN_COUNT,
  COLUMN_WIDTH,
  COLUMN_OVER,
  COLUMN_BESIDE,
  COLUMN_HEIGHT,
  COLUMN_HEIGHT_FROM,
  COLUMN_MIN_STOCK,
  COLUMN_MAX_STOCK,
  COLUMN_FORCE,
  COLUMN_NOTE,
  COLUMN_TOTAL
};

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_CLAMP] = {"clamp", true},
    [COLUMN_KIND] = {"kind", true},
    [COLUMN_COUNT] = {"count", true},
    [COLUMN_WIDTH] = {"width", true},
    [COLUMN_OVER] = {"over", true},
    [COLUMN_BESIDE] = {"beside", true},
    [COLUMN_HEIGHT] = {"height", true},
    [COLUMN_HEIGHT_FROM] = {"height_from", false},
    [COLUMN_MIN_STOCK] = {"min_stock", false},
    [COLUMN_MAX_STOCK] = {"max_stock", false},
    [COLUMN_FORCE] = {"force", false},
    [COLUMN_NOTE] = {"note", false},
};

#define CLAMPS_MOST 10000

static void check_clamp(struct table *table, const struct clamp *clamp) {
  if (clamp->kind == CLAMP_SIDE && clamp->over > 0)
    table_fault(table, COLUMN_OVER, "'%s' stands on the stock, expected 0 for a side clamp",
                table_cell(table, COLUMN_OVER));
  if (clamp->kind == CLAMP_HOLD_DOWN && clamp->over == 0)
    table_fault(table, COLUMN_OVER, "'%s' holds nothing, expected a length over 0 for a hold-down",
                table_cell(table, COLUMN_OVER));
  if (clamp->min_stock > clamp->max_stock)
    table_fault(table, COLUMN_MIN_STOCK, "'%s' is over max_stock, expected at most '%s'",
                table_cell(table, COLUMN_MIN_STOCK), table_cell(table, COLUMN_MAX_STOCK));
}

static bool read_force(struct reader *reader, struct table *table, int64_t *force) {
  const char *text = table_cell(table, COLUMN_FORCE);
  if (text[0] == '\0') return true;
  if (force_parse(reader->arena, text, table_decimal_comma(table), force) && *force >= 0)
    return true;
  table_fault(table, COLUMN_FORCE, "'%s' is no force, expected such as 300, 300 N or 70 lbf", text);
  return false;
}

static void read_clamp(struct reader *reader, struct table *table) {
  struct project *project = reader->project;
  struct clamp clamp = {.max_stock = LENGTH_MAX};
  int kind = CLAMP_SIDE, from = HEIGHT_FROM_STOCK;
  bool named = cell_new_name(reader, table, COLUMN_CLAMP, "clamp", reader->clamps, &clamp.name);
  bool fine = cell_word(reader, table, COLUMN_KIND, REQUIRED, "side|hold-down", &kind);
  (void)cell_count(table, COLUMN_COUNT, REQUIRED, 0, CLAMPS_MOST, &clamp.count);
  (void)cell_length(reader, table, COLUMN_WIDTH, REQUIRED, SPAN_SIZE, &clamp.width);
  fine = cell_length(reader, table, COLUMN_OVER, REQUIRED, SPAN_DISTANCE, &clamp.over) && fine;
  (void)cell_length(reader, table, COLUMN_BESIDE, REQUIRED, SPAN_DISTANCE, &clamp.beside);
  (void)cell_length(reader, table, COLUMN_HEIGHT, REQUIRED, SPAN_SIZE, &clamp.height);
  (void)cell_word(reader, table, COLUMN_HEIGHT_FROM, OPTIONAL, "stock|bed", &from);
  fine = cell_length(reader, table, COLUMN_MIN_STOCK, OPTIONAL, SPAN_DISTANCE, &clamp.min_stock) &&
         fine;
  fine =
      cell_length(reader, table, COLUMN_MAX_STOCK, OPTIONAL, SPAN_SIZE, &clamp.max_stock) && fine;
  (void)read_force(reader, table, &clamp.force);
  clamp.kind = (enum clamp_kind)kind;
  clamp.height_from = (enum height_from)from;
  if (fine) check_clamp(table, &clamp);
  if (named)
    *ARENA_PUSH(reader->arena, project->clamps, project->clamp_count, project->clamp_room) = clamp;
}

void read_clamps(struct reader *reader) {
  struct table *table = table_open(reader->arena, reader->diagnostics, reader->folder, "clamps.csv",
                                   columns, COLUMN_TOTAL);
  if (table == NULL) return;
  table_set_most_rows(table, LIMIT_TOOLS);
  while (table_next(table)) read_clamp(reader, table);
}
