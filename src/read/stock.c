#include "read/stock.h"

#include "read/cell.h"

static void read_words(struct reader *reader, struct table *table, struct stock *stock) {
  int kind = STOCK_PLANK, surface = SURFACE_ROUGH, face_grain = FACE_GRAIN_LENGTH;
  bool known = cell_word(reader, table, STOCK_KIND, REQUIRED, "plank|sheet", &kind);
  (void)cell_word(reader, table, STOCK_SURFACE, OPTIONAL, "rough|planed", &surface);
  (void)cell_word(reader, table, STOCK_FACE_GRAIN, OPTIONAL, "length|width|none", &face_grain);
  stock->kind = (enum stock_kind)kind;
  stock->surface = (enum surface)surface;
  stock->face_grain = (enum face_grain)face_grain;
  if (known && stock->kind == STOCK_PLANK && face_grain != FACE_GRAIN_LENGTH)
    table_fault(table, STOCK_FACE_GRAIN,
                "'%s' is no grain of a plank, expected length or an empty cell",
                table_cell(table, STOCK_FACE_GRAIN));
}

static void check_trim(struct reader *reader, struct table *table, size_t column, length_t size,
                       length_t trim, const char *sides) {
  if (size == 0 || size > 2 * trim) return;
  table_fault(table, column, "'%s' is used up by the trim of %s at both %s, expected more",
              table_cell(table, column),
              length_text_unit(reader->arena, trim, reader->unit, ROUND_UP), sides);
}

static void read_trims(struct reader *reader, struct table *table, struct stock *stock) {
  const struct shop *shop = &reader->project->shop;
  stock->trim_ends = stock_usual_trim(shop, stock->kind, stock->surface, true);
  stock->trim_edges = stock_usual_trim(shop, stock->kind, stock->surface, false);
  (void)cell_length(reader, table, STOCK_CROOK, OPTIONAL, SPAN_DISTANCE, &stock->crook);
  (void)cell_length(reader, table, STOCK_TRIM_ENDS, OPTIONAL, SPAN_DISTANCE, &stock->trim_ends);
  (void)cell_length(reader, table, STOCK_TRIM_EDGES, OPTIONAL, SPAN_DISTANCE, &stock->trim_edges);
  if (stock->trim_edges < stock->crook) stock->trim_edges = stock->crook;
  check_trim(reader, table, STOCK_LENGTH, stock->length, stock->trim_ends, "ends");
  check_trim(reader, table, STOCK_WIDTH, stock->width, stock->trim_edges, "edges");
}

bool stock_read(struct reader *reader, struct table *table, struct stock *stock) {
  const char *name = NULL;
  bool fine = cell_new_name(reader, table, STOCK_NAME, "stock", reader->stocks, &name);
  if (fine) stock->name = name;
  stock->place = table_place(table, STOCK_NAME);
  read_words(reader, table, stock);
  (void)cell_name(reader, table, STOCK_WOOD, REQUIRED, &stock->wood);
  fine = cell_length(reader, table, STOCK_LENGTH, REQUIRED, SPAN_SIZE, &stock->length) && fine;
  fine = cell_length(reader, table, STOCK_WIDTH, REQUIRED, SPAN_SIZE, &stock->width) && fine;
  fine =
      cell_length(reader, table, STOCK_THICKNESS, REQUIRED, SPAN_SIZE, &stock->thickness) && fine;
  (void)cell_count(table, STOCK_COUNT, OPTIONAL, 0, STOCK_COUNT_MOST, &stock->count);
  read_trims(reader, table, stock);
  stock->note = cell_note(reader, table, STOCK_NOTE);
  stock->pack = 1;
  return fine;
}

void stock_keep(struct reader *reader, const struct stock *stock) {
  struct project *project = reader->project;
  if (stock->name == NULL) return;
  *ARENA_PUSH(reader->arena, project->stocks, project->stock_count, project->stock_room) = *stock;
}
