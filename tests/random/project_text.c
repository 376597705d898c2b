#include "project_text.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* ---- tables ---- */

struct text_row *text_table_row(struct arena *arena, struct text_table *table) {
  struct text_row *row = ARENA_PUSH(arena, table->rows, table->row_count, table->row_room);
  for (size_t c = 0; c < TABLE_COLUMNS_MOST; c++) row->cells[c] = "";
  return row;
}

void text_table_start(struct arena *arena, struct text_table *table, const char *name,
                      const char *header) {
  *table = (struct text_table){
      .name = name, .delimiter = ',', .bare_row = SIZE_MAX, .bare_column = SIZE_MAX};
  struct text_row *row = text_table_row(arena, table);
  while (*header != '\0' && table->column_count < TABLE_COLUMNS_MOST) {
    size_t length = strcspn(header, " ");
    row->cells[table->column_count++] = arena_copy_bytes(arena, header, length);
    header += length + (header[length] == ' ' ? 1 : 0);
  }
}

size_t text_table_column(const struct text_table *table, const char *column) {
  for (size_t c = 0; c < table->column_count; c++)
    if (strcmp(table->rows[0].cells[c], column) == 0) return c;
  abort(); /* the test is at fault */
}

void text_table_set(struct text_table *table, struct text_row *row, const char *column,
                    const char *text) {
  row->cells[text_table_column(table, column)] = text;
}

/* ---- bytes ---- */

struct writing {
  struct arena *arena;
  const struct text_table *table;
  struct buffer *bytes;
  struct random_source manner;
  long line;
  size_t line_start;
};

static void end_line(struct writing *writing) {
  buffer_add(writing->bytes, writing->table->crlf ? "\r\n" : "\n");
  writing->line++;
  writing->line_start = writing->bytes->length;
}

static bool needs_quotes(const struct text_table *table, const char *text) {
  return strchr(text, table->delimiter) != NULL || strchr(text, '\n') != NULL || text[0] == '"' ||
         text[0] == '#' || text[0] == ' ';
}

static void add_quoted(struct writing *writing, const char *text) {
  buffer_add(writing->bytes, "\"");
  for (; *text != '\0'; text++) {
    if (*text == '\n') {
      end_line(writing);
      continue;
    }
    buffer_add_bytes(writing->bytes, text, 1);
    if (*text == '"') buffer_add(writing->bytes, "\"");
  }
  buffer_add(writing->bytes, "\"");
}

static void add_cell(struct writing *writing, size_t row, size_t column) {
  const struct text_table *table = writing->table;
  const char *text = table->rows[row].cells[column];
  bool quoted = random_chance(&writing->manner, 1, 12) || needs_quotes(table, text);
  bool spaced = random_chance(&writing->manner, 1, 20);
  if (row == table->bare_row && column == table->bare_column) {
    buffer_add(writing->bytes, text);
    return;
  }
  if (spaced) buffer_add(writing->bytes, "  ");
  if (quoted)
    add_quoted(writing, text);
  else
    buffer_add(writing->bytes, text);
  if (spaced) buffer_add(writing->bytes, " ");
}

/* Empty cells at a row's end may be left out, but for one. */
static size_t columns_written(struct writing *writing, size_t row) {
  size_t count = writing->table->column_count;
  if (row == 0 || !random_chance(&writing->manner, 1, 4)) return count;
  while (count > 1 && writing->table->rows[row].cells[count - 1][0] == '\0' &&
         !(row == writing->table->bare_row && count - 1 == writing->table->bare_column))
    count--;
  return count;
}

static void add_row(struct writing *writing, size_t row, struct cell_start *starts) {
  const struct text_table *table = writing->table;
  size_t count = columns_written(writing, row);
  for (size_t c = 0; c < count; c++) {
    if (c > 0) buffer_add_bytes(writing->bytes, &table->delimiter, 1);
    size_t offset = writing->bytes->length;
    if (starts != NULL)
      starts[row * table->column_count + c] =
          (struct cell_start){writing->line, (long)(offset - writing->line_start) + 1, offset};
    add_cell(writing, row, c);
  }
  end_line(writing);
}

static void add_notes(struct writing *writing) {
  if (random_chance(&writing->manner, 1, 10)) {
    buffer_add(writing->bytes, "# a note, \"not closed; of no weight");
    end_line(writing);
  }
  if (random_chance(&writing->manner, 1, 15)) end_line(writing);
}

struct buffer *text_table_bytes(struct arena *arena, const struct text_table *table,
                                struct cell_start *starts) {
  struct writing writing = {.arena = arena,
                            .table = table,
                            .bytes = buffer_create(arena),
                            .manner = {.state = table->manner},
                            .line = 1};
  if (table->byte_order_mark) buffer_add(writing.bytes, "\xEF\xBB\xBF");
  writing.line_start = writing.bytes->length;
  for (size_t r = 0; r < table->row_count; r++) {
    add_notes(&writing);
    add_row(&writing, r, starts);
  }
  add_notes(&writing);
  return writing.bytes;
}

/* ---- numbers ---- */

const char *text_of_decimal(struct arena *arena, int64_t number, int decimals, bool comma) {
  const char *sign = number < 0 ? "-" : "";
  int64_t scale = 1;
  for (int i = 0; i < decimals; i++) scale *= 10;
  number = number < 0 ? -number : number;
  while (scale > 1 && number % 10 == 0) {
    number /= 10;
    scale /= 10;
    decimals--;
  }
  if (scale == 1) return arena_format(arena, "%s%" PRId64, sign, number);
  return arena_format(arena, "%s%" PRId64 "%c%0*" PRId64, sign, number / scale, comma ? ',' : '.',
                      decimals, number % scale);
}

/* A whole number of 0.001 mm. */
static const char *metric(struct arena *arena, struct random_source *source, int64_t microns,
                          bool bare, bool comma) {
  static const struct {
    const char *unit;
    int decimals;
  } forms[] = {{"", 3}, {"", 3}, {"", 3}, {" mm", 3}, {"mm", 3}, {" cm", 4}, {" m", 6}};
  enum { BARE = 3, FORMS = sizeof forms / sizeof *forms };
  int64_t form = random_between(source, bare ? 0 : BARE, FORMS - 1);
  return arena_format(arena, "%s%s", text_of_decimal(arena, microns, forms[form].decimals, comma),
                      forms[form].unit);
}

/* 1/64 in is 0.015625 in. */
static const char *imperial(struct arena *arena, struct random_source *source, int64_t parts,
                            bool bare, bool comma) {
  static const char *const units[] = {"", "\"", " in", " inch"};
  const char *unit = units[random_between(source, bare ? 0 : 1, 3)];
  int64_t whole = parts / 64, above = parts % 64, below = 64;
  while (above != 0 && above % 2 == 0) {
    above /= 2;
    below /= 2;
  }
  if (parts < 0 || random_chance(source, 1, 5))
    return arena_format(arena, "%s%s", text_of_decimal(arena, parts * 15625, 6, comma), unit);
  if (whole >= 12 && above != 0 && random_chance(source, 1, 4))
    return arena_format(arena, "%" PRId64 "' %" PRId64 "-%" PRId64 "/%" PRId64 "\"", whole / 12,
                        whole % 12, above, below);
  if (above == 0) return arena_format(arena, "%" PRId64 "%s", whole, unit);
  if (whole == 0) return arena_format(arena, "%" PRId64 "/%" PRId64 "%s", above, below, unit);
  return arena_format(arena, "%" PRId64 "%c%" PRId64 "/%" PRId64 "%s", whole,
                      random_chance(source, 1, 2) ? '-' : ' ', above, below, unit);
}

const char *text_of_length(struct arena *arena, struct random_source *source, length_t value,
                           enum unit unit, bool comma) {
  const int64_t micron = LENGTH_PER_MM / 1000, part = LENGTH_PER_INCH / 64;
  bool may_be_metric = value % micron == 0, may_be_imperial = value % part == 0;
  if (!may_be_metric && !may_be_imperial) abort(); /* the test is at fault */
  bool as_metric = may_be_metric && (!may_be_imperial || unit == UNIT_MM);
  if (as_metric) return metric(arena, source, value / micron, unit == UNIT_MM, comma);
  return imperial(arena, source, value / part, unit == UNIT_INCH, comma);
}
