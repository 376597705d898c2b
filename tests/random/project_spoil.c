#include "project_spoil.h"

#include <inttypes.h>
#include <string.h>

struct spoiling {
  struct arena *arena;
  struct random_source *source;
  struct text_table *table;
  struct spoilt *spoilt;
};

static size_t pick(struct spoiling *spoiling, size_t low, size_t count) {
  return low + (size_t)random_between(spoiling->source, 0, (int64_t)count - 1);
}

/* Writes the table anew and tells where the cell stands. */
static struct cell_start write_again(struct spoiling *spoiling, size_t row, size_t column) {
  const struct text_table *table = spoiling->table;
  struct cell_start *starts =
      ARENA_ARRAY(spoiling->arena, table->row_count * table->column_count, struct cell_start);
  spoiling->spoilt->bytes = text_table_bytes(spoiling->arena, table, starts);
  return starts[row * table->column_count + column];
}

static void expect_at(struct spoiling *spoiling, struct cell_start start) {
  spoiling->spoilt->certain = true;
  spoiling->spoilt->line = start.line;
  spoiling->spoilt->column = start.column;
}

static bool is_one_of(const char *text, const char *const *words, size_t count) {
  for (size_t i = 0; i < count; i++)
    if (strcmp(text, words[i]) == 0) return true;
  return false;
}

/* Any text may stand in these; where one names something, the rest of the project may
 * still refer to it. */
static bool takes_any_text(const struct text_table *table, const char *column) {
  static const char *const texts[] = {"note", "supplier", "what", "match", "shape", "wood"};
  static const char *const names[] = {"part", "stock", "cutter", "clamp"};
  bool shape_of_part = strcmp(column, "shape") == 0 && strcmp(table->name, "parts.csv") == 0;
  if (is_one_of(column, texts, sizeof texts / sizeof *texts)) return !shape_of_part;
  if (strcmp(table->name, "bought.csv") == 0 && strcmp(column, "item") == 0) return true;
  bool refers = strcmp(table->name, "steps.csv") == 0 || strcmp(table->name, "flaws.csv") == 0;
  return !refers && is_one_of(column, names, sizeof names / sizeof *names);
}

/* No setting, no item, no length, no number, no word, no name of the project. */
static void put_junk(struct spoiling *spoiling) {
  static const char *const junk[] = {
      "90 furlongs", "--",       "1e999x", "=cmd|' /C'!A0",
      "5-1/0\"",     "no\nsuch", "\"\"\"", "9999999999999999999999999",
      "1/2/3 in"};
  struct text_table *table = spoiling->table;
  if (table->row_count < 2) return;
  size_t row = pick(spoiling, 1, table->row_count - 1);
  size_t column = pick(spoiling, 0, table->column_count);
  const char *text = junk[pick(spoiling, 0, sizeof junk / sizeof *junk)];
  table->rows[row].cells[column] = text;
  spoiling->spoilt->what = arena_format(spoiling->arena, "row %zu, '%s' is now '%s'", row,
                                        table->rows[0].cells[column], text);
  struct cell_start start = write_again(spoiling, row, column);
  if (!takes_any_text(table, table->rows[0].cells[column])) expect_at(spoiling, start);
}

/* A value moved to another cell of the file may be right, or wrong in a subtle way. */
static void move_value(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  if (table->row_count < 2) return;
  size_t from = pick(spoiling, 1, table->row_count - 1),
         to = pick(spoiling, 1, table->row_count - 1);
  size_t source = pick(spoiling, 0, table->column_count);
  size_t target = pick(spoiling, 0, table->column_count);
  table->rows[to].cells[target] = table->rows[from].cells[source];
  spoiling->spoilt->what =
      arena_format(spoiling->arena, "'%s' of row %zu is now the '%s' of row %zu",
                   table->rows[0].cells[target], to, table->rows[0].cells[source], from);
  (void)write_again(spoiling, to, target);
}

static void empty_cell(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  if (table->row_count < 2) return;
  size_t row = pick(spoiling, 1, table->row_count - 1);
  size_t column = pick(spoiling, 0, table->column_count);
  table->rows[row].cells[column] = "";
  spoiling->spoilt->what =
      arena_format(spoiling->arena, "row %zu, '%s' emptied", row, table->rows[0].cells[column]);
  (void)write_again(spoiling, row, column);
}

static void rename_header(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  size_t column = pick(spoiling, 0, table->column_count);
  const char **name = &table->rows[0].cells[column];
  *name = arena_format(spoiling->arena, "%sx", *name);
  spoiling->spoilt->what = arena_format(spoiling->arena, "column is now '%s'", *name);
  expect_at(spoiling, write_again(spoiling, 0, column));
}

static void drop_row(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  size_t row = pick(spoiling, 0, table->row_count);
  for (size_t r = row; r + 1 < table->row_count; r++) table->rows[r] = table->rows[r + 1];
  table->row_count--;
  spoiling->spoilt->what = arena_format(spoiling->arena, "row %zu dropped", row);
  spoiling->spoilt->bytes = text_table_bytes(spoiling->arena, table, NULL);
}

/* No other quote may stand behind it in the file, or that one could close it. */
static void open_quote(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  size_t row = pick(spoiling, 0, table->row_count);
  size_t column = pick(spoiling, 0, table->column_count);
  const char **text = &table->rows[row].cells[column];
  *text = arena_format(spoiling->arena, "\"%s", *text);
  table->bare_row = row;
  table->bare_column = column;
  spoiling->spoilt->what =
      arena_format(spoiling->arena, "row %zu, column %zu: quote opened", row, column);
  struct cell_start start = write_again(spoiling, row, column);
  const struct buffer *bytes = spoiling->spoilt->bytes;
  if (strchr(bytes->text + start.offset + 1, '"') == NULL) expect_at(spoiling, start);
}

/* Puts a byte that no text may have before a character of the file. */
static void insert_byte(struct spoiling *spoiling, char byte) {
  const struct text_table *table = spoiling->table;
  const struct buffer *bytes = text_table_bytes(spoiling->arena, table, NULL);
  size_t first = table->byte_order_mark ? 3 : 0;
  size_t at = pick(spoiling, first, bytes->length - first);
  while (at > first && ((unsigned char)bytes->text[at] & 0xC0) == 0x80) at--;
  /* Between the two characters of a line end it would make lines of its own. */
  if (at > first && bytes->text[at] == '\n' && bytes->text[at - 1] == '\r') at--;
  struct cell_start start = {.line = 1, .column = (long)(at - first) + 1};
  for (size_t i = first; i < at; i++) {
    if (bytes->text[i] != '\n') continue;
    start.line++;
    start.column = (long)(at - i);
  }
  spoiling->spoilt->what =
      arena_format(spoiling->arena, "byte 0x%02x put in at %zu", (unsigned)(unsigned char)byte, at);
  struct buffer *spoilt = buffer_create(spoiling->arena);
  buffer_add_bytes(spoilt, bytes->text, at);
  buffer_add_bytes(spoilt, &byte, 1);
  buffer_add_bytes(spoilt, bytes->text + at, bytes->length - at);
  spoiling->spoilt->bytes = spoilt;
  expect_at(spoiling, start);
}

static void cut_off(struct spoiling *spoiling) {
  struct buffer *bytes = text_table_bytes(spoiling->arena, spoiling->table, NULL);
  bytes->length = pick(spoiling, 0, bytes->length);
  spoiling->spoilt->what = arena_format(spoiling->arena, "cut off after %zu bytes", bytes->length);
  spoiling->spoilt->bytes = bytes;
}

struct spoilt spoil_project(struct arena *arena, struct random_source *source,
                            struct random_project *project) {
  struct spoilt spoilt = {.what = "nothing"};
  struct spoiling spoiling = {arena, source, NULL, &spoilt};
  spoilt.file = pick(&spoiling, 0, project->file_count);
  spoiling.table = &project->files[spoilt.file];
  spoilt.bytes = text_table_bytes(arena, spoiling.table, NULL);
  switch (random_between(source, 0, 11)) {
    case 0:
      rename_header(&spoiling);
      break;
    case 1:
      drop_row(&spoiling);
      break;
    case 2:
      open_quote(&spoiling);
      break;
    case 3:
      insert_byte(&spoiling, '\0');
      break;
    case 4:
      insert_byte(&spoiling, random_chance(source, 1, 2) ? '\xFF' : '\xC3');
      break;
    case 5:
      cut_off(&spoiling);
      break;
    case 6:
      move_value(&spoiling);
      break;
    case 7:
      empty_cell(&spoiling);
      break;
    default:
      put_junk(&spoiling);
      break;
  }
  return spoilt;
}
