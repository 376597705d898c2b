#include "write/price.h"
#include "write/price_cells.h"
#include "write/safe_text.h"
#include "write/table.h"

static void add_cell(struct table *table, const struct price_cell *cell) {
  if (!cell->known)
    table_text(table, "");
  else if (cell->kind == CELL_NUMBER)
    table_decimal(table, cell->scaled, cell->digits);
  else
    table_text(table, cell->kind == CELL_TEXT ? cell->text : cell->scaled != 0 ? "yes" : "no");
}

static const char *header_text(struct arena *arena, const struct price_cells *cells) {
  struct buffer *header = buffer_create(arena);
  for (int i = 0; i < cells->count; i++)
    buffer_format(header, "%s%s", i == 0 ? "" : ",", cells->cells[i].name);
  return header->text;
}

void write_price_csv(struct buffer *buffer, const struct price_table *prices) {
  struct arena *arena = buffer->arena;
  const struct price_cells *first = price_cells_of(arena, prices, price_point_of(prices, 1));
  struct table *table = table_create(buffer_create(arena), UNIT_MM, header_text(arena, first));
  for (int64_t n = 1; n <= prices->count; n++) {
    const struct price_cells *cells = price_cells_of(arena, prices, price_point_of(prices, n));
    for (int i = 0; i < cells->count; i++) add_cell(table, &cells->cells[i]);
    table_end_row(table);
  }
  buffer_format(buffer, "# %s: cost and profit by quantity; money in that of money.csv\r\n",
                safe_line(arena, prices->project->name));
  buffer_add(buffer,
             "# margin = (price - total per set) / price; markup = (price - total per set) / total "
             "per set; both with all sets sold\r\n"
             "# wood: whole planks, sheets and packs, the rack at its value; used_up: without "
             "offcuts kept and items left over, in no total\r\n");
  buffer_add_bytes(buffer, table->buffer->text, table->buffer->length);
}
