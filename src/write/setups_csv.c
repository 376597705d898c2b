/* One line for each fixing on the bed, those alike together. */
#include <inttypes.h>

#include "write/load_drawing.h"
#include "write/table.h"
#include "write/writers.h"

static const char *length_here(const struct table *table, length_t value) {
  return length_text_unit(table->arena, value, table->unit, ROUND_NEAREST);
}

/* From the router's zero to the corner of a part's outline nearest the load's lower left. */
static const char *parts_text(const struct table *table, const struct view *view,
                              const struct view_load *held) {
  struct buffer *text = buffer_create(table->arena);
  length_t x = 0, y = 0;
  bed_origin(&view->project->shop, held->load, &x, &y);
  for (size_t i = 0; i < held->made_count; i++) {
    const struct held_part *part = held->made[i].held;
    buffer_format(text, "%s%s at x %s y %s%s", i == 0 ? "" : "; ",
                  view->project->parts[part->part].name, length_here(table, part->x - x),
                  length_here(table, part->y - y), part->turned ? " turned" : "");
  }
  return text->text == NULL ? "" : text->text;
}

static const char *tools_text(const struct table *table, const struct view *view,
                              const struct fixing *fixing) {
  struct buffer *text = buffer_create(table->arena);
  for (size_t c = 0; c < fixing->order.count; c++) {
    const struct cutter *cutter = &view->project->cutters[fixing->order.cutters[c]];
    buffer_format(text, "%s%s", c == 0 ? "" : "; ", cutter->name);
    if (cutter->stickout > 0)
      buffer_format(text, " stick-out %s", length_here(table, cutter->stickout));
    if (cutter->slot > 0) buffer_format(text, " slot %" PRId64, cutter->slot);
  }
  return fixing->order.count == 0 ? "the stated default cutter" : text->text;
}

static const char *clamps_text(const struct table *table, const struct view *view,
                               const struct load *load) {
  struct buffer *text = buffer_create(table->arena);
  const struct shop *shop = &view->project->shop;
  for (size_t c = 0; c < load->clamp_count; c++) {
    const struct held_clamp *clamp = &load->clamps[c];
    bool upright = clamp->side == BED_LEFT || clamp->side == BED_RIGHT;
    length_t start = upright ? clamp->y : clamp->x, extent = upright ? clamp->width : clamp->length;
    const char *from = upright ? (load_counts_from_back(shop) ? "back" : "front")
                               : (load_counts_from_right(shop) ? "right" : "left");
    buffer_format(text, "%s%s on the %s side %s from the %s edge and %s on the wood",
                  c == 0 ? "" : "; ", clamp_name(view->project, clamp->clamp),
                  bed_side_text(clamp->side),
                  length_here(table, load_distance(view, load, upright, start, extent)), from,
                  length_here(table, held_clamp_over(load, clamp)));
  }
  return load->clamp_count == 0 ? "tape" : text->text;
}

static const char *stops_text(struct arena *arena, const struct shop *shop, const struct load *load,
                              const struct fixing *fixing) {
  const char *text = "";
  for (enum bed_side side = BED_LEFT; side <= BED_BACK; side++)
    if (bed_has_stop(shop, side))
      text = arena_format(arena, "%s%s%s", text, *text == '\0' ? "" : " and ", bed_side_text(side));
  if (*text == '\0') text = "none";
  if (!fixing->second) return text;
  return arena_format(arena,
                      "%s; turned over end for end: the same long edge at its stop, so "
                      "distances along the %s count from the other end",
                      text, load->across ? "depth" : "length");
}

static const char *stand_text(const struct fixing *fixing) {
  static const char *const stands[] = {"flat", "on edge", "on end"};
  return stands[fixing->stand];
}

static void add_row(struct table *table, const struct view *view, size_t index, size_t number,
                    int64_t times) {
  const struct view_load *held = &view->loads[index];
  const struct load *load = held->load;
  const struct fixing *fixing = &load->fixings[number];
  const struct part *part = &view->project->parts[load->kinds[0]];
  table_text(table, view_load_title(table->arena, view, index));
  table_whole(table, times);
  table_whole(table, (int64_t)number + 1);
  table_text(table, held->drawing);
  table_length(table, load->length, ROUND_UP);
  table_length(table, load->width, ROUND_UP);
  table_length(table, load->thickness, ROUND_NEAREST);
  table_text(table, load->across ? "front to back" : "left to right");
  table_text(table, fixing->side == SIDE_TOP ? "top" : "under");
  table_text(table, stand_text(fixing));
  table_text(table, stops_text(table->arena, &view->project->shop, load, fixing));
  table_text(table, bed_origin_text(&view->project->shop));
  table_text(table, parts_text(table, view, held));
  table_length(table, load->thickness > part->thickness ? load->thickness - part->thickness : 0,
               ROUND_NEAREST);
  table_text(table, tools_text(table, view, fixing));
  table_text(table, clamps_text(table, view, load));
  table_end_row(table);
}

void write_setups_csv(struct buffer *buffer, const struct view *view) {
  struct table *table = table_create(
      buffer_create(buffer->arena), view->unit,
      "loads,times,fixing,drawing,length,width,thickness,grain,face_up,standing,stops,origin,parts,"
      "finished_top_below_raw,tools,clamps");
  for (size_t i = 0; i < view->load_count; i++) {
    if (view->loads[i].like != i) continue;
    int64_t times = 0;
    for (size_t o = i; o < view->load_count; o++) times += view->loads[o].like == i;
    for (size_t f = 0; f < view->loads[i].load->fixing_count; f++)
      add_row(table, view, i, f, times);
  }
  table_finish(table, buffer, view->project->name,
               "fixings on the bed in order; parts: lower left corner of the outline from the "
               "origin; clamps: nearer end from an edge, then how much lies on the wood",
               "sizes up, all others to the nearest");
}
