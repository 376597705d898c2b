#include "read/csv.h"

#include <csv.h>
#include <stdint.h>
#include <string.h>

#include "base/buffer.h"
#include "base/text.h"
#include "read/faults.h"
#include "read/lines.h"

struct cell {
  size_t offset; /* of its terminated text in the table's texts */
  long line;
  long column; /* bytes from 1 in the line */
  const char *row;
};

struct table {
  struct arena *arena;
  struct faults faults;
  const struct column *columns;
  size_t column_count;
  size_t *position; /* of each column in the rows, SIZE_MAX when it has none */
  bool *meant;      /* of each column: an unknown one may be it, misspelt */
  bool *named;      /* of each position: has a header */
  size_t named_count;
  struct lines lines;
  const char *at; /* start of the next line */
  long line;      /* number of the line before it */
  char delimiter;
  struct csv_parser parser;
  const char *cell_start; /* first byte of the cell being read, in cell_row */
  const char *cell_row;
  long cell_line;
  struct buffer *texts;
  struct cell *cells;
  size_t cell_count, cell_room;
  const char *row; /* first line of the present row */
  long row_line;
  bool row_done;
  size_t rows, most_rows;
};

static void release_parser(void *resource) { csv_free(resource); }

static void start_parser(struct table *table) {
  if (csv_init(&table->parser, 0) != 0) arena_raise(table->arena, STATUS_NO_MEMORY);
  csv_set_delim(&table->parser, (unsigned char)table->delimiter);
}

/* libcsv hands over a cell when it has seen the delimiter or line end behind it. */
static void take_cell(void *text, size_t length, void *data) {
  struct table *table = data;
  struct cell *cell = ARENA_PUSH(table->arena, table->cells, table->cell_count, table->cell_room);
  cell->offset = table->texts->length;
  cell->line = table->cell_line;
  cell->column = (long)(table->cell_start - table->cell_row) + 1;
  cell->row = table->cell_row;
  buffer_add_bytes(table->texts, text, length);
  buffer_add_bytes(table->texts, "", 1);
}

static void take_row(int end, void *data) {
  (void)end;
  struct table *table = data;
  table->row_done = true;
}

/* A cell that begins with a quote must end with one (strict); in any other a quote is a
 * plain character. */
static void begin_cell(struct table *table, const char *start) {
  const char *first = start;
  while (*first == ' ' || (*first == '\t' && table->delimiter != '\t')) first++;
  csv_set_opts(&table->parser, *first == '"' ? CSV_STRICT : 0);
  table->cell_start = start;
}

static bool feed(struct table *table, const char *bytes, size_t count) {
  size_t taken = csv_parse(&table->parser, bytes, count, take_cell, take_row, table);
  if (taken == count) return true;
  if (csv_error(&table->parser) == CSV_EPARSE) return false;
  arena_raise(table->arena, STATUS_NO_MEMORY);
}

/* Feeds one line delimiter by delimiter, so that every cell's start is known. */
static bool feed_line(struct table *table, const char *line, const char **next) {
  const char stops[] = {table->delimiter, '\0'};
  const char *at = line;
  for (;;) {
    size_t length = strcspn(at, stops);
    bool last = at[length] == '\0';
    size_t cells = table->cell_count;
    if (!feed(table, at, length + (last ? 0 : 1))) return false;
    at += length;
    if (last) break;
    at++;
    if (table->cell_count == cells) continue;
    table->cell_row = line;
    table->cell_line = table->line;
    begin_cell(table, at);
  }
  *next = at + 1;
  return feed(table, "\n", 1);
}

static bool is_passed_over(const char *line) {
  size_t white = 0;
  while ((white = text_white(line)) > 0) line += white;
  return *line == '\0' || *line == '#';
}

/* After a quote gone wrong reading starts afresh behind the line it stands in. */
static void recover(struct table *table) {
  struct place place = {table->faults.file, table->cell_line,
                        (long)(table->cell_start - table->cell_row) + 1, table->cell_row};
  faults_add(&table->faults, &place,
             "quoted cell is not closed, expected a closing quote before the next '%s' "
             "(a quote inside is doubled)",
             table->delimiter == '\t' ? "tab" : (const char[]){table->delimiter, '\0'});
  table->at = table->cell_row + strlen(table->cell_row) + 1;
  table->line = table->cell_line;
  csv_free(&table->parser);
  start_parser(table);
}

/* Cuts a cell's white space, which also stands inside quotes, off both ends. */
static void trim_cells(struct table *table) {
  for (size_t i = 0; i < table->cell_count; i++) {
    char *text = table->texts->text + table->cells[i].offset;
    size_t length = 0;
    const char *start = text_trim_span(text, &length);
    table->cells[i].offset += (size_t)(start - text);
    table->texts->text[table->cells[i].offset + length] = '\0';
  }
}

static const char *cell_text(const struct table *table, size_t position) {
  return table->texts->text + table->cells[position].offset;
}

static bool row_says_nothing(const struct table *table) {
  if (table->cell_count > 0 && cell_text(table, 0)[0] == '#') return true;
  for (size_t i = 0; i < table->cell_count; i++)
    if (cell_text(table, i)[0] != '\0') return false;
  return true;
}

/* Reads the row that starts at table->at; false when its quotes go wrong. */
static bool read_row(struct table *table) {
  buffer_clear(table->texts);
  table->cell_count = 0;
  table->row_done = false;
  table->row = table->at;
  table->row_line = table->line + 1;
  table->cell_row = table->at;
  table->cell_line = table->row_line;
  begin_cell(table, table->at);
  while (!table->row_done) {
    if (table->at >= table->lines.end) return false;
    table->line++;
    if (!feed_line(table, table->at, &table->at)) return false;
  }
  trim_cells(table);
  return true;
}

/* The next row that says anything, the header row included. */
static bool next_row(struct table *table) {
  while (table->at < table->lines.end && !table->faults.full) {
    if (is_passed_over(table->at)) {
      table->at += strlen(table->at) + 1;
      table->line++;
    } else if (!read_row(table)) {
      recover(table);
    } else if (!row_says_nothing(table)) {
      return true;
    }
  }
  return false;
}

static char delimiter_of(const char *line) {
  static const char candidates[] = {'\t', ';', ','};
  size_t counts[3] = {0, 0, 0};
  bool quoted = false;
  for (; *line != '\0'; line++) {
    if (*line == '"') quoted = !quoted;
    for (size_t i = 0; i < 3 && !quoted; i++)
      if (*line == candidates[i]) counts[i]++;
  }
  size_t best = 2;
  for (size_t i = 0; i < 3; i++)
    if (counts[i] > counts[best]) best = i;
  return candidates[best];
}

static char *column_names(const struct table *table) {
  struct buffer *names = buffer_create(table->arena);
  for (size_t i = 0; i < table->column_count; i++)
    buffer_format(names, "%s%s", i == 0 ? "" : ", ", table->columns[i].name);
  return names->text;
}

static size_t column_named(const struct table *table, const char *name) {
  for (size_t i = 0; i < table->column_count; i++)
    if (text_equal_fold(table->columns[i].name, name)) return i;
  return SIZE_MAX;
}

static void unknown_column(struct table *table, size_t position) {
  const char **names = ARENA_ARRAY(table->arena, table->column_count, const char *);
  for (size_t i = 0; i < table->column_count; i++) names[i] = table->columns[i].name;
  const char *text = cell_text(table, position);
  const char *nearest = text_nearest(text, names, table->column_count);
  const struct cell *cell = &table->cells[position];
  struct place place = {table->faults.file, cell->line, cell->column, cell->row};
  text = text_shown(table->arena, text);
  if (nearest != NULL) {
    table->meant[column_named(table, nearest)] = true;
    faults_add(&table->faults, &place, "'%s' is no known column, expected '%s'", text, nearest);
  } else {
    faults_add(&table->faults, &place, "'%s' is no known column, expected one of %s", text,
               column_names(table));
  }
}

static void map_header_cell(struct table *table, size_t position) {
  const char *text = cell_text(table, position);
  const struct cell *cell = &table->cells[position];
  table->named[position] = text[0] != '\0';
  if (text[0] == '\0') return;
  size_t column = column_named(table, text);
  if (column == SIZE_MAX) {
    unknown_column(table, position);
  } else if (table->position[column] != SIZE_MAX) {
    struct place place = {table->faults.file, cell->line, cell->column, cell->row};
    faults_add(&table->faults, &place, "column '%s' stands twice, expected it once",
               table->columns[column].name);
  } else {
    table->position[column] = position;
  }
}

static void map_header(struct table *table) {
  bool any = false;
  for (size_t i = 0; i < table->cell_count; i++)
    any = any || column_named(table, cell_text(table, i)) != SIZE_MAX;
  table->named = ARENA_ARRAY(table->arena, table->cell_count, bool);
  table->named_count = table->cell_count;
  struct place place = {table->faults.file, table->row_line, 1, table->row};
  if (!any) {
    faults_add(&table->faults, &place, "no header row, expected one with columns from %s",
               column_names(table));
    table->at = table->lines.end;
    return;
  }
  for (size_t i = 0; i < table->cell_count; i++) map_header_cell(table, i);
  for (size_t i = 0; i < table->column_count; i++)
    if (table->columns[i].required && table->position[i] == SIZE_MAX && !table->meant[i])
      faults_add(&table->faults, &place, "column '%s' is missing, expected it in the header row",
                 table->columns[i].name);
}

/* Reads up to and with the header row; a file without one has no rows. */
static void read_header(struct table *table) {
  while (table->at < table->lines.end && is_passed_over(table->at)) {
    table->at += strlen(table->at) + 1;
    table->line++;
  }
  if (table->at >= table->lines.end) return;
  table->delimiter = delimiter_of(table->at);
  start_parser(table);
  arena_defer(table->arena, release_parser, &table->parser);
  size_t faults = table->faults.count;
  bool found = next_row(table);
  if (!found || table->faults.count > faults) {
    table->at = table->lines.end;
  } else {
    map_header(table);
  }
}

struct table *table_open(struct arena *arena, struct diagnostics *diagnostics, const char *folder,
                         const char *name, const struct column *columns, size_t column_count) {
  struct table *table = ARENA_NEW(arena, struct table);
  table->arena = arena;
  table->faults.arena = arena;
  table->faults.diagnostics = diagnostics;
  table->faults.file = text_path(arena, folder, name);
  table->columns = columns;
  table->column_count = column_count;
  table->position = ARENA_ARRAY(arena, column_count, size_t);
  table->meant = ARENA_ARRAY(arena, column_count, bool);
  for (size_t i = 0; i < column_count; i++) table->position[i] = SIZE_MAX;
  if (lines_read(&table->faults, &table->lines) == LINES_ABSENT) return NULL;
  table->at = table->lines.start;
  table->delimiter = ',';
  table->texts = buffer_create(arena);
  table->most_rows = TABLE_ROWS_MOST;
  read_header(table);
  return table;
}

/* Cells behind the header's last one, or under an empty header, must be empty. */
static void check_surplus_cells(struct table *table) {
  for (size_t i = 0; i < table->cell_count; i++) {
    if ((i < table->named_count && table->named[i]) || cell_text(table, i)[0] == '\0') continue;
    const struct cell *cell = &table->cells[i];
    struct place place = {table->faults.file, cell->line, cell->column, cell->row};
    faults_add(&table->faults, &place,
               "'%s' has no column, expected at most %zu cells as in the "
               "header row (a cell with '%s' inside is quoted)",
               text_shown(table->arena, cell_text(table, i)), table->named_count,
               table->delimiter == '\t' ? "tab" : (const char[]){table->delimiter, '\0'});
    return;
  }
}

void table_set_most_rows(struct table *table, size_t most) { table->most_rows = most; }

bool table_next(struct table *table) {
  if (!next_row(table)) return false;
  if (++table->rows > table->most_rows) {
    table_fault(table, TABLE_ROW, "more than %zu rows, expected fewer", table->most_rows);
    table->at = table->lines.end;
    return false;
  }
  check_surplus_cells(table);
  return true;
}

static const struct cell *cell_of(const struct table *table, size_t column) {
  size_t position = column < table->column_count ? table->position[column] : SIZE_MAX;
  return position < table->cell_count ? &table->cells[position] : NULL;
}

const char *table_cell(const struct table *table, size_t column) {
  const struct cell *cell = cell_of(table, column);
  return cell == NULL ? "" : table->texts->text + cell->offset;
}

bool table_has(const struct table *table, size_t column) {
  return table->position[column] != SIZE_MAX;
}

struct place table_place(const struct table *table, size_t column) {
  const struct cell *cell = cell_of(table, column);
  struct place place = {table->faults.file, table->row_line, 1, NULL};
  if (column == TABLE_FILE || table->row == NULL)
    return (struct place){table->faults.file, 0, 0, NULL};
  if (cell != NULL) {
    place.line = cell->line;
    place.column = cell->column;
  } else if (column != TABLE_ROW) {
    place.column = (long)strlen(table->row) + 1;
  }
  place.row = row_shown(table->arena, cell != NULL ? cell->row : table->row);
  return place;
}

void table_fault(struct table *table, size_t column, const char *format, ...) {
  struct place place = table_place(table, column);
  va_list list;
  va_start(list, format);
  faults_add_list(&table->faults, &place, format, list);
  va_end(list);
}

void table_fault_at(struct table *table, const struct place *place, const char *format, ...) {
  va_list list;
  va_start(list, format);
  faults_add_list(&table->faults, place, format, list);
  va_end(list);
}

bool table_decimal_comma(const struct table *table) { return table->delimiter != ','; }

char table_delimiter(const struct table *table) { return table->delimiter; }

uint64_t table_fingerprint(const struct table *table) { return table->lines.fingerprint; }

size_t table_width(const struct table *table) { return table->named_count; }

const struct column *table_columns(const struct table *table, size_t *count) {
  *count = table->column_count;
  return table->columns;
}

size_t table_position(const struct table *table, size_t column) { return table->position[column]; }

long table_last_line(const struct table *table) { return table->line; }

size_t table_rows_at_most(const struct table *table) {
  size_t rows = table->lines.not_empty;
  return rows < TABLE_ROWS_MOST ? rows : (size_t)TABLE_ROWS_MOST;
}

struct arena *table_arena(const struct table *table) {
  return table->arena;
}
