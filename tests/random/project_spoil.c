#include "project_spoil.h"

#include <inttypes.h>
#include <string.h>

#include "project_spoiling.h"

size_t spoil_pick(struct spoiling *spoiling, size_t low, size_t count) {
  return low + (size_t)random_between(spoiling->source, 0, (int64_t)count - 1);
}

const char *spoil_header(const struct spoiling *spoiling, size_t column) {
  return spoiling->table->rows[0].cells[column];
}

struct cell_start spoil_write(struct spoiling *spoiling, size_t row, size_t column) {
  const struct text_table *table = spoiling->table;
  struct cell_start *starts =
      ARENA_ARRAY(spoiling->arena, table->row_count * table->column_count, struct cell_start);
  spoiling->spoilt->bytes = text_table_bytes(spoiling->arena, table, starts);
  return starts[row * table->column_count + column];
}

void spoil_expect(struct spoiling *spoiling, struct cell_start start) {
  spoiling->spoilt->certain = true;
  spoiling->spoilt->line = start.line;
  spoiling->spoilt->column = start.column;
}

bool spoil_is_one_of(const char *text, const char *words) {
  size_t length = strlen(text);
  for (const char *at = words; length > 0 && (at = strstr(at, text)) != NULL; at++)
    if ((at == words || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0')) return true;
  return false;
}

static void put(struct spoiling *spoiling, size_t row, size_t column, const char *text) {
  struct text_table *table = spoiling->table;
  table->rows[row].cells[column] = text;
  if (text[0] == '\0') { /* written, even at a row's end */
    table->bare_row = row;
    table->bare_column = column;
  }
  spoiling->spoilt->what = arena_format(spoiling->arena, "row %zu, '%s' is now '%s'", row,
                                        spoil_header(spoiling, column), text);
}

bool spoil_cell(struct spoiling *spoiling, size_t row, size_t column, const char *text) {
  put(spoiling, row, column, text);
  spoil_expect(spoiling, spoil_write(spoiling, row, column));
  return true;
}

/* ---- cells ---- */

/* Any text may stand in these; where one names something, the rest of the project may
 * still refer to it. */
static bool takes_any_text(const struct text_table *table, const char *column) {
  bool shape_of_part = strcmp(column, "shape") == 0 && strcmp(table->name, "parts.csv") == 0;
  if (spoil_is_one_of(column, "note supplier what match shape wood")) return !shape_of_part;
  if (strcmp(table->name, "bought.csv") == 0 && strcmp(column, "item") == 0) return true;
  bool refers = spoil_is_one_of(table->name, "steps.csv flaws.csv");
  return !refers && spoil_is_one_of(column, "part stock cutter clamp");
}

/* No setting, no item, no length, no number, no word, no name of the project. */
static bool put_junk(struct spoiling *spoiling) {
  static const char *const junk[] = {
      "90 furlongs", "--",       "1e999x", "=cmd|' /C'!A0",
      "5-1/0\"",     "no\nsuch", "\"\"\"", "9999999999999999999999999",
      "1/2/3 in",    "NaN",      "0x1F",   "\xD9\xA1\xD9\xA2",
      "1 000",       "12 mm mm", "+-5",    "\xE2\x88\x92"};
  const struct text_table *table = spoiling->table;
  if (table->row_count < 2) return false;
  size_t row = spoil_pick(spoiling, 1, table->row_count - 1);
  size_t column = spoil_pick(spoiling, 0, table->column_count);
  const char *text = junk[spoil_pick(spoiling, 0, sizeof junk / sizeof *junk)];
  put(spoiling, row, column, text);
  struct cell_start start = spoil_write(spoiling, row, column);
  if (!takes_any_text(table, spoil_header(spoiling, column))) spoil_expect(spoiling, start);
  return true;
}

/* A value moved to another cell of the file may be right, or wrong in a subtle way. */
static bool move_value(struct spoiling *spoiling) {
  const struct text_table *table = spoiling->table;
  if (table->row_count < 2) return false;
  size_t from = spoil_pick(spoiling, 1, table->row_count - 1);
  size_t to = spoil_pick(spoiling, 1, table->row_count - 1);
  size_t source = spoil_pick(spoiling, 0, table->column_count);
  size_t target = spoil_pick(spoiling, 0, table->column_count);
  put(spoiling, to, target, table->rows[from].cells[source]);
  (void)spoil_write(spoiling, to, target);
  return true;
}

static bool empty_cell(struct spoiling *spoiling) {
  const struct text_table *table = spoiling->table;
  if (table->row_count < 2) return false;
  size_t row = spoil_pick(spoiling, 1, table->row_count - 1);
  size_t column = spoil_pick(spoiling, 0, table->column_count);
  put(spoiling, row, column, "");
  (void)spoil_write(spoiling, row, column);
  return true;
}

/* Under no header nothing may stand. */
static bool add_surplus_cell(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  if (table->row_count < 2 || table->column_count == TABLE_COLUMNS_MOST) return false;
  size_t row = spoil_pick(spoiling, 1, table->row_count - 1);
  return spoil_cell(spoiling, row, table->column_count++, "surplus");
}

/* ---- header and rows ---- */

static bool rename_column(struct spoiling *spoiling) {
  size_t column = spoil_pick(spoiling, 0, spoiling->table->column_count);
  const char *name =
      arena_format(spoiling->arena, random_chance(spoiling->source, 1, 2) ? "%sx" : "un%s",
                   spoil_header(spoiling, column));
  return spoil_cell(spoiling, 0, column, name);
}

static bool double_column(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  if (table->column_count == TABLE_COLUMNS_MOST) return false;
  size_t column = spoil_pick(spoiling, 0, table->column_count);
  const char *name = spoil_header(spoiling, column);
  return spoil_cell(spoiling, 0, table->column_count++, name);
}

static bool drop_column(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  size_t column = spoil_pick(spoiling, 0, table->column_count);
  spoiling->spoilt->what =
      arena_format(spoiling->arena, "column '%s' dropped", spoil_header(spoiling, column));
  for (size_t r = 0; r < table->row_count; r++)
    for (size_t c = column; c + 1 < table->column_count; c++)
      table->rows[r].cells[c] = table->rows[r].cells[c + 1];
  table->column_count--;
  spoiling->spoilt->bytes = text_table_bytes(spoiling->arena, table, NULL);
  return true;
}

static bool drop_row(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  size_t row = spoil_pick(spoiling, 0, table->row_count);
  for (size_t r = row; r + 1 < table->row_count; r++) table->rows[r] = table->rows[r + 1];
  table->row_count--;
  spoiling->spoilt->what = arena_format(spoiling->arena, "row %zu dropped", row);
  spoiling->spoilt->bytes = text_table_bytes(spoiling->arena, table, NULL);
  return true;
}

/* ---- bytes ---- */

/* No other quote may stand behind it in the file, or that one could close it. */
static bool open_quote(struct spoiling *spoiling) {
  struct text_table *table = spoiling->table;
  size_t row = spoil_pick(spoiling, 0, table->row_count);
  size_t column = spoil_pick(spoiling, 0, table->column_count);
  const char **text = &table->rows[row].cells[column];
  *text = arena_format(spoiling->arena, "\"%s", *text);
  table->bare_row = row;
  table->bare_column = column;
  spoiling->spoilt->what =
      arena_format(spoiling->arena, "row %zu, column %zu: quote opened", row, column);
  struct cell_start start = spoil_write(spoiling, row, column);
  const struct buffer *bytes = spoiling->spoilt->bytes;
  if (strchr(bytes->text + start.offset + 1, '"') == NULL) spoil_expect(spoiling, start);
  return true;
}

/* Puts a byte that no text may have before a character of the file. */
static bool insert_byte(struct spoiling *spoiling, char byte) {
  const struct text_table *table = spoiling->table;
  const struct buffer *bytes = text_table_bytes(spoiling->arena, table, NULL);
  size_t first = table->byte_order_mark ? 3 : 0;
  size_t at = spoil_pick(spoiling, first, bytes->length - first);
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
  spoil_expect(spoiling, start);
  return true;
}

static bool insert_nul(struct spoiling *spoiling) { return insert_byte(spoiling, '\0'); }

static bool insert_control(struct spoiling *spoiling) {
  static const char controls[] = {'\x01', '\x02', '\x07', '\x1B', '\x7F'};
  return insert_byte(spoiling, controls[spoil_pick(spoiling, 0, sizeof controls)]);
}

static bool insert_no_text(struct spoiling *spoiling) {
  return insert_byte(spoiling, random_chance(spoiling->source, 1, 2) ? '\xFF' : '\xC3');
}

static bool cut_off(struct spoiling *spoiling) {
  struct buffer *bytes = text_table_bytes(spoiling->arena, spoiling->table, NULL);
  bytes->length = spoil_pick(spoiling, 0, bytes->length);
  spoiling->spoilt->what = arena_format(spoiling->arena, "cut off after %zu bytes", bytes->length);
  spoiling->spoilt->bytes = bytes;
  return true;
}

/* ---- whole files ---- */

static bool make_utf16(struct spoiling *spoiling) {
  const struct buffer *bytes = text_table_bytes(spoiling->arena, spoiling->table, NULL);
  struct buffer *wide = buffer_create(spoiling->arena);
  buffer_add_bytes(wide, "\xFF\xFE", 2);
  for (size_t i = 0; i < bytes->length; i++) {
    buffer_add_bytes(wide, bytes->text + i, 1);
    buffer_add_bytes(wide, "", 1);
  }
  spoiling->spoilt->bytes = wide;
  spoiling->spoilt->what = "in UTF-16";
  spoil_expect(spoiling, (struct cell_start){0});
  return true;
}

static bool make_folder(struct spoiling *spoiling) {
  spoiling->spoilt->is_folder = true;
  spoiling->spoilt->what = "a folder";
  spoil_expect(spoiling, (struct cell_start){0});
  return true;
}

static void remove_file(struct spoiling *spoiling, const char *name) {
  struct random_project *project = spoiling->project;
  size_t kept = 0;
  for (size_t f = 0; f < project->file_count; f++)
    if (strcmp(project->files[f].name, name) != 0) project->files[kept++] = project->files[f];
  project->file_count = kept;
}

/* Without parts, or without any stock. */
static bool remove_files(struct spoiling *spoiling) {
  bool parts = random_chance(spoiling->source, 1, 2);
  spoiling->spoilt->name = parts ? "parts.csv" : "rack.csv";
  spoiling->spoilt->what = "removed";
  remove_file(spoiling, spoiling->spoilt->name);
  if (!parts) remove_file(spoiling, "yard.csv");
  spoil_expect(spoiling, (struct cell_start){0});
  return true;
}

/* A file of parts without parts. */
static bool remove_rows(struct spoiling *spoiling) {
  if (strcmp(spoiling->table->name, "parts.csv") != 0) return false;
  spoiling->table->row_count = random_chance(spoiling->source, 1, 2) ? 1 : 0;
  spoiling->spoilt->bytes = text_table_bytes(spoiling->arena, spoiling->table, NULL);
  spoiling->spoilt->what = "no parts";
  spoil_expect(spoiling, (struct cell_start){0});
  return true;
}

/* ------------------------------------------------------------------------------------- */

static const struct {
  const char *name;
  spoil_work *spoil;
} kinds[] = {{"junk in a cell", put_junk},
             {"number out of range", spoil_number_out_of_range},
             {"required cell empty", spoil_required_cell},
             {"word not allowed", spoil_word},
             {"name of nothing", spoil_reference},
             {"name twice", spoil_name_twice},
             {"decimal comma", spoil_decimal_comma},
             {"against another cell", spoil_against_other_cell},
             {"value moved", move_value},
             {"cell emptied", empty_cell},
             {"surplus cell", add_surplus_cell},
             {"column renamed", rename_column},
             {"column twice", double_column},
             {"column dropped", drop_column},
             {"row dropped", drop_row},
             {"quote opened", open_quote},
             {"NUL byte", insert_nul},
             {"control character", insert_control},
             {"no UTF-8", insert_no_text},
             {"cut off", cut_off},
             {"UTF-16", make_utf16},
             {"folder for a file", make_folder},
             {"file missing", remove_files},
             {"no rows", remove_rows}};

const size_t spoil_kind_count = sizeof kinds / sizeof *kinds;

const char *spoil_kind_name(size_t kind) { return kinds[kind].name; }

/* Another file, and another kind, until one can be spoilt so: a row can always be dropped. */
struct spoilt spoil_project(struct arena *arena, struct random_source *source,
                            struct random_project *project) {
  struct spoilt spoilt = {.what = "nothing"};
  struct spoiling spoiling = {arena, source, project, NULL, &spoilt};
  do {
    size_t file = spoil_pick(&spoiling, 0, project->file_count);
    spoilt.kind = spoil_pick(&spoiling, 0, spoil_kind_count);
    spoiling.table = &project->files[file];
    spoilt.name = spoiling.table->name;
  } while (!kinds[spoilt.kind].spoil(&spoiling));
  return spoilt;
}
