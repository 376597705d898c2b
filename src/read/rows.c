#include "read/rows.h"

#include <stdint.h>
#include <string.h>

#include "base/fingerprint.h"
#include "base/text.h"
#include "read/lines.h"
#include "read/reader.h"

struct finder {
  struct arena *arena;
  struct table *table;
  struct file_rows *file;
  size_t *starts; /* of each line, and behind the last */
  size_t line_count, line_room;
};

/* The bytes of the line end at `at`, 0 for none. */
static size_t line_end_at(const struct file_rows *file, size_t at) {
  if (at >= file->length) return 0;
  if (file->bytes[at] == '\n') return 1;
  if (file->bytes[at] != '\r') return 0;
  return at + 1 < file->length && file->bytes[at + 1] == '\n' ? 2 : 1;
}

static void add_start(struct finder *finder, size_t at) {
  *ARENA_PUSH(finder->arena, finder->starts, finder->line_count, finder->line_room) = at;
}

static void find_lines(struct finder *finder) {
  struct file_rows *file = finder->file;
  size_t at = file->length >= 3 && memcmp(file->bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
  add_start(finder, at);
  file->line_end = "\n";
  while (at < file->length) {
    size_t end = line_end_at(file, at);
    if (end > 0 && finder->line_count == 1)
      file->line_end = arena_copy_bytes(finder->arena, file->bytes + at, end);
    at += end > 0 ? end : 1;
    if (end > 0) add_start(finder, at);
  }
  add_start(finder, file->length);
}

/* Where line `number` (from 1) starts, or what follows the last line. */
static size_t line_start(const struct finder *finder, long number) {
  size_t last = finder->line_count - 1;
  size_t line = number < 1 ? 0 : (size_t)number - 1;
  return finder->starts[line < last ? line : last];
}

/* The text as it stands in the file, behind the white space and the quote of its cell. */
static size_t find_text(const struct file_rows *file, size_t at, const char *text) {
  size_t length = strlen(text);
  while (length > 0 && at + length <= file->length) {
    const char *bytes = file->bytes + at;
    if (memcmp(bytes, text, length) == 0) return at;
    size_t white = bytes[0] == '"' ? 1 : text_white(bytes);
    if (white == 0) break;
    at += white;
  }
  return SIZE_MAX;
}

static void find_row(struct finder *finder) {
  struct file_rows *file = finder->file;
  struct file_row *row = ARENA_PUSH(finder->arena, file->rows, file->row_count, file->row_room);
  row->start = line_start(finder, table_place(finder->table, TABLE_ROW).line);
  row->end = line_start(finder, table_last_line(finder->table) + 1);
  row->cells = ARENA_ARRAY(finder->arena, file->column_count, const char *);
  row->at = ARENA_ARRAY(finder->arena, file->column_count, size_t);
  for (size_t c = 0; c < file->column_count; c++) {
    row->cells[c] = arena_copy_text(finder->arena, table_cell(finder->table, c));
    struct place place = table_place(finder->table, c);
    size_t start = line_start(finder, place.line) + (size_t)(place.column - 1);
    row->at[c] = find_text(file, start, row->cells[c]);
  }
}

static void find_header(struct finder *finder) {
  struct file_rows *file = finder->file;
  file->delimiter = table_delimiter(finder->table);
  file->width = table_width(finder->table);
  if (file->width == 0) return;
  for (size_t c = 0; c < file->column_count; c++)
    file->position[c] = table_position(finder->table, c);
  long line = table_last_line(finder->table);
  size_t start = line_start(finder, line);
  file->header_end = line_start(finder, line + 1);
  while (file->header_end > start && strchr("\r\n", file->bytes[file->header_end - 1]) != NULL)
    file->header_end--;
  file->quoted = file->bytes[start] == '"';
}

static void name_columns(struct arena *arena, const struct table *table, struct file_rows *file) {
  const struct column *columns = table_columns(table, &file->column_count);
  file->columns = ARENA_ARRAY(arena, file->column_count, const char *);
  file->position = ARENA_ARRAY(arena, file->column_count, size_t);
  for (size_t c = 0; c < file->column_count; c++) {
    file->columns[c] = columns[c].name;
    file->position[c] = SIZE_MAX;
  }
}

static enum status read_rows(struct arena *arena, struct table *table, const char *path,
                             struct diagnostics *diagnostics, struct file_rows *file) {
  size_t errors = diagnostics->errors;
  *file = (struct file_rows){.path = path, .bytes = "", .line_end = "\n", .delimiter = ','};
  if (table == NULL) return STATUS_OK;
  struct faults faults = {.arena = arena, .diagnostics = diagnostics, .file = path};
  char *bytes = NULL;
  if (file_read(&faults, &bytes, &file->length) != LINES_READ) return STATUS_BAD_INPUT;
  file->bytes = bytes;
  file->present = true;
  name_columns(arena, table, file);
  struct finder finder = {.arena = arena, .table = table, .file = file};
  find_lines(&finder);
  find_header(&finder);
  while (table_next(table)) find_row(&finder);
  file->fingerprint = fingerprint_bytes(FINGERPRINT_START, bytes, file->length);
  if (file->fingerprint == table_fingerprint(table))
    return diagnostics->errors == errors ? STATUS_OK : STATUS_BAD_INPUT;
  struct place place = {path, 0, 0, NULL};
  diagnostics_add(diagnostics, SEVERITY_ERROR, &place,
                  "changed while it was read, expected it to be left alone");
  return STATUS_BAD_INPUT;
}

enum status read_rack_rows(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                           struct file_rows *file) {
  return read_rows(arena, rack_open(arena, diagnostics, folder),
                   text_path(arena, folder, "rack.csv"), diagnostics, file);
}

enum status read_flaws_rows(struct arena *arena, const char *folder,
                            struct diagnostics *diagnostics, struct file_rows *file) {
  return read_rows(arena, flaws_open(arena, diagnostics, folder),
                   text_path(arena, folder, "flaws.csv"), diagnostics, file);
}
