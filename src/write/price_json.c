#include <inttypes.h>

#include "write/price.h"
#include "write/price_cells.h"
#include "write/safe_text.h"

/* A safe line has no control characters: quotes and backslashes are all there is to escape. */
static void add_text(struct buffer *buffer, const char *text) {
  buffer_add(buffer, "\"");
  for (const char *c = safe_line(buffer->arena, text); *c != '\0'; c++) {
    if (*c == '"' || *c == '\\') buffer_add(buffer, "\\");
    buffer_add_bytes(buffer, c, 1);
  }
  buffer_add(buffer, "\"");
}

/* Numbers are written as the decimals they are. */
static void add_number(struct buffer *buffer, const char *name, int64_t scaled, int digits) {
  buffer_format(buffer, "\"%s\": %s", name, decimal_text(buffer->arena, scaled, digits));
}

static void add_cell(struct buffer *buffer, const struct price_cell *cell) {
  if (cell->kind == CELL_NUMBER) {
    add_number(buffer, cell->name, cell->scaled, cell->digits);
    return;
  }
  buffer_format(buffer, "\"%s\": ", cell->name);
  if (cell->kind == CELL_FLAG)
    buffer_add(buffer, cell->scaled != 0 ? "true" : "false");
  else
    add_text(buffer, cell->text);
}

static void add_point(struct buffer *buffer, const struct price_table *table,
                      const struct price_point *point) {
  const struct price_cells *cells = price_cells_of(buffer->arena, table, point);
  bool first = true;
  buffer_add(buffer, "{");
  for (int i = 0; i < cells->count; i++) {
    if (!cells->cells[i].known) continue;
    buffer_add(buffer, first ? "" : ", ");
    add_cell(buffer, &cells->cells[i]);
    first = false;
  }
  buffer_add(buffer, "}");
}

static void add_demand(struct buffer *buffer, const struct demand *demand) {
  if (demand->kind == DEMAND_UNKNOWN) return;
  buffer_add(buffer, ",\n  \"demand\": {");
  if (demand->kind == DEMAND_TRIANGULAR) {
    add_number(buffer, "low", demand->low, 3);
    buffer_add(buffer, ", ");
    add_number(buffer, "likely", demand->likely, 3);
    buffer_add(buffer, ", ");
    add_number(buffer, "high", demand->high, 3);
  } else {
    buffer_add(buffer, "\"sales\": [");
    for (size_t i = 0; i < demand->sale_count; i++)
      buffer_format(buffer, "%s%" PRId64, i == 0 ? "" : ", ", demand->sales[i]);
    buffer_add(buffer, "]");
  }
  buffer_add(buffer, "}");
}

static void add_terms(struct buffer *buffer, const struct price_table *table) {
  const struct price_terms *terms = &table->terms;
  add_number(buffer, "least_cost_a_set_at", table->cheapest, 0);
  if (table->asked > 0) {
    buffer_add(buffer, ", ");
    add_number(buffer, "asked_for", table->asked, 0);
  }
  if (table->recommended > 0) {
    buffer_add(buffer, ", ");
    add_number(buffer, "recommended", table->recommended, 0);
  }
  if (terms->priced) {
    buffer_add(buffer, ",\n  ");
    add_number(buffer, "price", terms->price, 2);
  }
  buffer_add(buffer, ",\n  ");
  add_number(buffer, "wage", (terms->wage + 5) / 10, 2);
  buffer_add(buffer, ", ");
  add_number(buffer, "unsold_value", terms->unsold_value, 2);
  add_demand(buffer, &terms->demand);
}

void write_price_json(struct buffer *buffer, const struct price_table *table) {
  buffer_add(buffer, "{\n  ");
  add_terms(buffer, table);
  buffer_add(buffer, ",\n  \"break_even\": [");
  for (size_t i = 0; i < table->crossing_count; i++)
    buffer_format(buffer, "%s{\"sets\": %" PRId64 ", \"pays\": %s}", i == 0 ? "" : ", ",
                  table->crossings[i].sets, table->crossings[i].up ? "true" : "false");
  buffer_add(buffer, "],\n  \"same_wood\": [");
  for (size_t i = 0; i < table->plateau_count; i++)
    buffer_format(buffer, "%s{\"first\": %" PRId64 ", \"last\": %" PRId64 "}", i == 0 ? "" : ", ",
                  table->plateaus[i].first, table->plateaus[i].last);
  buffer_add(buffer, "],\n  \"quantities\": [");
  for (int64_t n = 1; n <= table->count; n++) {
    buffer_add(buffer, n == 1 ? "\n    " : ",\n    ");
    add_point(buffer, table, price_point_of(table, n));
  }
  buffer_add(buffer, "\n  ]\n}");
}
