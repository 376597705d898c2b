#include "base/share.h"
#include "write/safe_text.h"
#include "write/table.h"
#include "write/writers.h"

static const char *face_grain_cell(const struct stock *stock) {
  static const char *const texts[] = {"length", "width", "none"};
  return stock->kind == STOCK_SHEET ? texts[stock->face_grain] : "";
}

/* The part of a flaw inside a place, counted from the place's lower left corner. */
static struct view_place flaw_inside(const struct view_place *place, const struct flaw *flaw) {
  length_t left = flaw->x > place->x ? flaw->x : place->x;
  length_t low = flaw->y > place->y ? flaw->y : place->y;
  length_t right = flaw->x + flaw->length;
  length_t high = flaw->y + flaw->width;
  if (right > place->x + place->length) right = place->x + place->length;
  if (high > place->y + place->width) high = place->y + place->width;
  return (struct view_place){left - place->x, low - place->y, right - left, high - low};
}

static const char *note_text(struct arena *arena, const struct view *view,
                             const struct view_stock *entry, const struct view_piece *piece) {
  const char *note = arena_format(arena, "offcut of %s", entry->title);
  for (size_t i = 0; i < entry->flaw_count; i++) {
    const struct flaw *flaw = entry->flaws[i];
    if (!view_overlap(&piece->place, flaw)) continue;
    struct view_place inside = flaw_inside(&piece->place, flaw);
    const char *what = flaw->what != NULL && *flaw->what != '\0' ? flaw->what : "flaw";
    note =
        arena_format(arena, "%s; %s at %s, %s: %s %s", note, what,
                     length_text(arena, inside.x, view->unit, ROUND_DOWN, NULL),
                     length_text(arena, inside.y, view->unit, ROUND_DOWN, NULL),
                     view_size(arena, view->unit, inside.length, inside.width, "x", ROUND_UP, NULL),
                     view->unit == UNIT_MM ? "mm" : "in");
  }
  return note;
}

/* Of a leaf, the share of its plank's value; the plank's trims take their share too. */
static cents_t offcut_value(const struct view *view, const struct stock *stock,
                            const struct view_place *place) {
  if (stock->leaves > 0) {
    const struct stock *plank = &view->project->stocks[stock->leaf_of];
    return value_share(plank->value, place->length * place->width, plank->length * plank->width) /
           stock->leaves;
  }
  return value_share(stock->value, place->length * place->width, stock->length * stock->width);
}

static void add_row(struct table *table, const struct view *view, const struct view_stock *entry,
                    const struct view_piece *piece) {
  const struct stock *stock = entry->stock;
  table_text(table, piece->rack_name);
  table_text(table, stock_kind_text(stock->kind));
  table_text(table, stock->wood);
  table_length(table, piece->place.length, ROUND_DOWN);
  table_length(table, piece->place.width, ROUND_DOWN);
  table_length(table, stock->thickness, ROUND_DOWN);
  table_whole(table, 1);
  table_cents(table, offcut_value(view, stock, &piece->place));
  table_text(table, stock->surface == SURFACE_PLANED ? "planed" : "rough");
  table_text(table, face_grain_cell(stock));
  table_length(table, 0, ROUND_NEAREST);
  table_length(table, 0, ROUND_NEAREST);
  table_text(table, note_text(table->arena, view, entry, piece));
  table_end_row(table);
}

void write_offcuts_csv(struct buffer *buffer, const struct view *view) {
  struct table *table = table_create(buffer_create(buffer->arena), view->unit,
                                     "stock,kind,wood,length,width,thickness,count,value,surface,"
                                     "face_grain,trim_ends,trim_edges,note");
  for (size_t i = 0; i < view->stock_count; i++) {
    const struct view_stock *entry = &view->stocks[i];
    for (size_t p = 0; p < entry->piece_count; p++)
      if (entry->pieces[p].role == ROLE_OFFCUT) add_row(table, view, entry, &entry->pieces[p]);
  }
  table_finish(table, buffer, view->project->name, "offcuts as lines of a rack.csv", "down");
}
