#include "base/text.h"
#include "read/cell.h"

enum {
  COLUMN_STOCK,
  COLUMN_COPY,
  COLUMN_X,
  COLUMN_Y,
  COLUMN_LENGTH,
  COLUMN_WIDTH,
  COLUMN_WHAT,
  COLUMN_RIM_OK,
  COLUMN_TOTAL
};

static const struct column columns[COLUMN_TOTAL] = {
    [COLUMN_STOCK] = {"stock", true},   [COLUMN_COPY] = {"copy", false},
    [COLUMN_X] = {"x", true},           [COLUMN_Y] = {"y", true},
    [COLUMN_LENGTH] = {"length", true}, [COLUMN_WIDTH] = {"width", true},
    [COLUMN_WHAT] = {"what", false},    [COLUMN_RIM_OK] = {"rim_ok", false},
};

/* A rack line with a count of 0 is used up: its flaws may still name any copy of it. */
static void check_copy(struct table *table, const struct stock *stock, const struct flaw *flaw) {
  if (stock->count == 0 || flaw->copy <= stock->count) return;
  table_fault(table, COLUMN_COPY, "copy '%s' of '%s' is not on the rack, expected 1 to %lld",
              table_cell(table, COLUMN_COPY), stock->name, (long long)stock->count);
}

/* Where the flaws of a stock may lie. Lengths and widths of planks are easily taken for each other.
 */
static const char *within_text(struct reader *reader, const struct stock *stock) {
  return arena_format(reader->arena, "%s along and %s across the %s",
                      length_text_unit(reader->arena, stock->length, reader->unit, ROUND_DOWN),
                      length_text_unit(reader->arena, stock->width, reader->unit, ROUND_DOWN),
                      stock->kind == STOCK_PLANK ? "plank" : "sheet");
}

/* By how much a flaw reaches past an end of the stock, or past an edge (`across`). */
static length_t reach_past(const struct stock *stock, const struct flaw *flaw, bool across) {
  length_t start = across ? flaw->y : flaw->x, extent = across ? flaw->width : flaw->length;
  length_t room = across ? stock->width : stock->length;
  return larger(larger(-start, start + extent - room), 0);
}

/* A flaw at an edge may be told larger than it is; one told in the wrong place is cut into. */
static void warn_of_reach(struct reader *reader, struct table *table, const struct stock *stock,
                          const struct flaw *flaw, bool across) {
  length_t past = reach_past(stock, flaw, across);
  if (past == 0) return;
  struct place place = table_place(table, across ? COLUMN_Y : COLUMN_X);
  diagnostics_add(reader->diagnostics, SEVERITY_CAUTION, &place,
                  "the flaw reaches %s past %s of '%s', expected it within %s: x is along, y is "
                  "across",
                  length_text_unit(reader->arena, past, reader->unit, ROUND_UP),
                  across ? "an edge" : "an end", stock->name, within_text(reader, stock));
}

static void check_touches(struct reader *reader, struct table *table, const struct stock *stock,
                          const struct flaw *flaw) {
  if (stock->length == 0 || stock->width == 0) return;
  bool along = flaw->x < stock->length && flaw->x + flaw->length > 0;
  bool across = flaw->y < stock->width && flaw->y + flaw->width > 0;
  if (along && across) {
    warn_of_reach(reader, table, stock, flaw, false);
    warn_of_reach(reader, table, stock, flaw, true);
    return;
  }
  size_t column = along ? COLUMN_Y : COLUMN_X;
  table_fault(table, column,
              "'%s' puts the flaw off '%s', expected it within %s: x is along, y is "
              "across",
              table_cell(table, column), stock->name, within_text(reader, stock));
}

static void read_flaw(struct reader *reader, struct table *table) {
  size_t number = 0;
  struct flaw flaw = {0};
  int rim_ok = 0;
  bool known =
      cell_reference(reader, table, COLUMN_STOCK, "stock", "rack.csv", reader->stocks, &number);
  (void)cell_count(table, COLUMN_COPY, OPTIONAL, 1, INT64_C(1000000), &flaw.copy);
  bool placed = cell_length(reader, table, COLUMN_X, REQUIRED, SPAN_PLACE, &flaw.x);
  placed = cell_length(reader, table, COLUMN_Y, REQUIRED, SPAN_PLACE, &flaw.y) && placed;
  placed = cell_length(reader, table, COLUMN_LENGTH, REQUIRED, SPAN_SIZE, &flaw.length) && placed;
  placed = cell_length(reader, table, COLUMN_WIDTH, REQUIRED, SPAN_SIZE, &flaw.width) && placed;
  flaw.what = cell_note(reader, table, COLUMN_WHAT);
  (void)cell_word(reader, table, COLUMN_RIM_OK, OPTIONAL, "no|yes", &rim_ok);
  flaw.rim_ok = rim_ok == 1;
  if (!known) return;
  struct stock *stock = &reader->project->stocks[number];
  if (stock->source == SOURCE_YARD) {
    table_fault(table, COLUMN_STOCK, "'%s' is yard stock, expected stock of the rack", stock->name);
    return;
  }
  check_copy(table, stock, &flaw);
  if (placed) check_touches(reader, table, stock, &flaw);
  *ARENA_PUSH(reader->arena, stock->flaws, stock->flaw_count, stock->flaw_room) = flaw;
}

struct table *flaws_open(struct arena *arena, struct diagnostics *diagnostics, const char *folder) {
  return table_open(arena, diagnostics, folder, "flaws.csv", columns, COLUMN_TOTAL);
}

void read_flaws(struct reader *reader) {
  struct table *table = flaws_open(reader->arena, reader->diagnostics, reader->folder);
  if (table == NULL) return;
  reader->project->flaws_file = table_fingerprint(table);
  table_set_most_rows(table, LIMIT_FLAWS);
  while (table_next(table)) read_flaw(reader, table);
}
