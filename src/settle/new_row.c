#include "settle/new_row.h"

#include <inttypes.h>
#include <string.h>

/* ---- the form ---- */

/* The first cell of these columns with one of the marks in it, or NULL. */
static const char *cell_with(const struct file_rows *file, const char *const *columns,
                             const char *marks) {
  for (size_t r = 0; r < file->row_count; r++)
    for (size_t c = 0; columns[c] != NULL; c++) {
      const char *cell = file->rows[r].cells[file_column(file, columns[c])];
      if (strpbrk(cell, marks) != NULL) return cell;
    }
  return NULL;
}

/* Where no number says, a semicolon between the cells is a sign of decimal commas. */
static bool has_decimal_comma(const struct file_rows *file, const char *const *numbers) {
  if (file->delimiter == ',') return false;
  const char *cell = cell_with(file, numbers, ",.");
  return cell == NULL ? file->delimiter == ';' : strchr(cell, ',') != NULL;
}

static void add_column(struct row_form *form, const char *name) {
  if (form->width == form->room) {
    size_t room = form->room == 0 ? 16 : 2 * form->room;
    form->names = arena_grow(form->arena, form->names, form->width, room, sizeof *form->names);
    form->cells = arena_grow(form->arena, form->cells, form->width, room, sizeof *form->cells);
    form->room = room;
  }
  form->names[form->width++] = name;
}

static const char *column_at(const struct file_rows *file, size_t position) {
  for (size_t c = 0; c < file->column_count; c++)
    if (file->position[c] == position) return file->columns[c];
  return NULL;
}

struct row_form *row_form_create(struct arena *arena, const struct file_rows *file, enum unit unit,
                                 const char *const *lengths, const char *const *numbers) {
  struct row_form *form = ARENA_NEW(arena, struct row_form);
  *form = (struct row_form){.arena = arena,
                            .unit = unit,
                            .delimiter = file->delimiter,
                            .line_end = file->line_end,
                            .quoted = file->quoted};
  for (size_t p = 0; p < file->width; p++) add_column(form, column_at(file, p));
  form->decimal_comma = has_decimal_comma(file, numbers);
  form->unit_written = cell_with(file, lengths, "\"'cfimCFIM") != NULL;
  return form;
}

static size_t place_of(const struct row_form *form, const char *name) {
  size_t place = 0;
  while (place < form->width &&
         (form->names[place] == NULL || strcmp(form->names[place], name) != 0))
    place++;
  return place;
}

void row_form_need(struct row_form *form, const char *name) {
  if (place_of(form, name) == form->width) add_column(form, name);
}

/* ---- cells ---- */

void row_text(struct row_form *form, const char *name, const char *text) {
  size_t place = place_of(form, name);
  if (place < form->width) form->cells[place] = text;
}

void row_whole(struct row_form *form, const char *name, int64_t value) {
  row_text(form, name, arena_format(form->arena, "%" PRId64, value));
}

static void row_decimal(struct row_form *form, const char *name, char *text) {
  char *point = form->decimal_comma ? strchr(text, '.') : NULL;
  if (point != NULL) *point = ',';
  row_text(form, name, text);
}

void row_cents(struct row_form *form, const char *name, cents_t value) {
  row_decimal(form, name, cents_text(form->arena, value));
}

/* A length is a whole number of 1/8000 mm, so six decimals of a millimetre hold it. */
static char *exact_mm(struct arena *arena, length_t value) {
  char *text = arena_format(arena, "%s%" PRId64 ".%06" PRId64, value < 0 ? "-" : "",
                            (value < 0 ? -value : value) / LENGTH_PER_MM,
                            (value < 0 ? -value : value) % LENGTH_PER_MM * 125);
  size_t end = strlen(text);
  while (text[end - 1] == '0') end--;
  if (text[end - 1] == '.') end--;
  text[end] = '\0';
  return text;
}

/* In 1/64 in, of which the value is a whole number. */
static char *exact_inches(struct arena *arena, length_t value) {
  const char *sign = value < 0 ? "-" : "";
  int64_t parts = (value < 0 ? -value : value) / (LENGTH_PER_INCH / 64);
  int64_t whole = parts / 64, above = parts % 64, below = 64;
  if (above == 0) return arena_format(arena, "%s%" PRId64, sign, whole);
  for (; above % 2 == 0; above /= 2) below /= 2;
  if (whole == 0) return arena_format(arena, "%s%" PRId64 "/%" PRId64, sign, above, below);
  return arena_format(arena, "%s%" PRId64 "-%" PRId64 "/%" PRId64, sign, whole, above, below);
}

void row_length(struct row_form *form, const char *name, length_t value) {
  bool inches = form->unit == UNIT_INCH && value % (LENGTH_PER_INCH / 64) == 0;
  char *text = inches ? exact_inches(form->arena, value) : exact_mm(form->arena, value);
  if (form->unit_written || inches != (form->unit == UNIT_INCH))
    text = arena_format(form->arena, "%s %s", text, inches ? "in" : "mm");
  row_decimal(form, name, text);
}

/* ---- rows ---- */

static bool must_be_quoted(const struct row_form *form, const char *text) {
  const char marks[] = {form->delimiter, '"', '\r', '\n', '\0'};
  size_t length = strlen(text);
  if (length == 0) return false;
  return form->quoted || strpbrk(text, marks) != NULL || text[0] == '#';
}

static void add_cell(const struct row_form *form, const char *text, struct buffer *buffer) {
  if (text == NULL) return;
  if (!must_be_quoted(form, text)) {
    buffer_add(buffer, text);
    return;
  }
  buffer_add(buffer, "\"");
  for (const char *at = text; *at != '\0'; at++)
    buffer_add_bytes(buffer, *at == '"' ? "\"\"" : at, *at == '"' ? 2 : 1);
  buffer_add(buffer, "\"");
}

void row_end(struct row_form *form, struct buffer *buffer) {
  for (size_t place = 0; place < form->width; place++) {
    if (place > 0) buffer_add_bytes(buffer, &form->delimiter, 1);
    add_cell(form, form->cells[place], buffer);
    form->cells[place] = NULL;
  }
  buffer_add(buffer, form->line_end);
}

void row_header(const struct row_form *form, size_t first, struct buffer *buffer) {
  for (size_t place = first; place < form->width; place++) {
    if (place > 0) buffer_add_bytes(buffer, &form->delimiter, 1);
    add_cell(form, form->names[place], buffer);
  }
  if (first == 0) buffer_add(buffer, form->line_end);
}
