#include "write/table.h"

#include <inttypes.h>
#include <string.h>

#include "write/safe_text.h"

struct table *table_create(struct buffer *buffer, enum unit unit, const char *header) {
  struct table *table = ARENA_NEW(buffer->arena, struct table);
  *table = (struct table){.arena = buffer->arena, .buffer = buffer, .unit = unit};
  buffer_format(buffer, "%s\r\n", header);
  return table;
}

static void start_cell(struct table *table) {
  if (table->row_started) buffer_add(table->buffer, ",");
  table->row_started = true;
}

static bool looks_like_formula(const char *text) {
  return *text != '\0' && strchr("=+-@\t\r\n", *text) != NULL;
}

static bool must_be_quoted(const char *text) {
  size_t length = strlen(text);
  if (length == 0) return false;
  return strpbrk(text, ",;\"\t\r\n") != NULL || text[0] == '#' || text[0] == ' ' ||
         text[length - 1] == ' ';
}

void table_text(struct table *table, const char *text) {
  start_cell(table);
  bool formula = text != NULL && looks_like_formula(text);
  const char *plain = safe_line(table->arena, text);
  if (formula) plain = arena_format(table->arena, "'%s", plain);
  if (!must_be_quoted(plain)) {
    buffer_add(table->buffer, plain);
    return;
  }
  buffer_add(table->buffer, "\"");
  for (const char *c = plain; *c != '\0'; c++)
    buffer_add_bytes(table->buffer, *c == '"' ? "\"\"" : c, *c == '"' ? 2 : 1);
  buffer_add(table->buffer, "\"");
}

void table_whole(struct table *table, int64_t value) {
  start_cell(table);
  buffer_format(table->buffer, "%" PRId64, value);
}

void table_length(struct table *table, length_t value, enum rounding rounding) {
  start_cell(table);
  buffer_add(table->buffer,
             length_text(table->arena, value, table->unit, rounding, &table->rounded));
  if (table->unit == UNIT_INCH) buffer_add(table->buffer, " in");
}

void table_cents(struct table *table, cents_t value) {
  start_cell(table);
  buffer_add(table->buffer, cents_text(table->arena, value));
}

void table_decimal(struct table *table, int64_t scaled, int digits) {
  start_cell(table);
  buffer_add(table->buffer, decimal_text(table->arena, scaled, digits));
}

void table_end_row(struct table *table) {
  buffer_add(table->buffer, "\r\n");
  table->row_started = false;
}

void table_finish(struct table *table, struct buffer *to, const char *project, const char *what,
                  const char *how_rounded) {
  bool inches = table->unit == UNIT_INCH;
  buffer_format(to, "# %s: %s; lengths in %s\r\n", safe_line(table->arena, project), what,
                inches ? "inches" : "mm");
  if (table->rounded)
    buffer_format(to, "# some lengths do not come out even in %s and are rounded: %s\r\n",
                  inches ? "1/32 in" : "0.1 mm", how_rounded);
  buffer_add_bytes(to, table->buffer->text, table->buffer->length);
}
