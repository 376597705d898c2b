/* One line for each fixing on the bed, those alike together. */
#include "write/table.h"
#include "write/work_words.h"
#include "write/writers.h"

static const char *parts_text(const struct table *table, const struct view *view,
                              const struct view_load *held) {
  struct buffer *text = buffer_create(table->arena);
  for (size_t i = 0; i < held->made_count; i++)
    buffer_format(text, "%s%s", i == 0 ? "" : "; ",
                  part_place_text(table->arena, view, held->load, held->made[i].held));
  return text->text;
}

static const char *tools_text(const struct table *table, const struct view *view,
                              const struct load *load, const struct fixing *fixing) {
  struct buffer *text = buffer_create(table->arena);
  for (size_t c = 0; c < fixing->order.count; c++)
    buffer_format(text, "%s%s", c == 0 ? "" : "; ",
                  cutter_text(table->arena, view, load, fixing, c));
  return fixing->order.count == 0 ? default_cutter_text(table->arena, view) : text->text;
}

static const char *clamps_text(const struct table *table, const struct view *view,
                               const struct load *load) {
  struct buffer *text = buffer_create(table->arena);
  for (size_t c = 0; c < load->clamp_count; c++)
    buffer_format(text, "%s%s", c == 0 ? "" : "; ",
                  clamp_place_text(table->arena, view, load, &load->clamps[c]));
  return load->clamp_count == 0 ? "tape" : text->text;
}

static void add_row(struct table *table, const struct view *view, size_t index, size_t number,
                    int64_t times) {
  const struct view_load *held = &view->loads[index];
  const struct load *load = held->load;
  const struct fixing *fixing = &load->fixings[number];
  table_text(table, view_load_title(table->arena, view, index));
  table_whole(table, times);
  table_whole(table, (int64_t)number + 1);
  table_text(table, held->drawing);
  table_length(table, load->length, ROUND_UP);
  table_length(table, load->width, ROUND_UP);
  table_length(table, load->thickness, ROUND_NEAREST);
  table_text(table, load->across ? "front to back" : "left to right");
  table_text(table, fixing_side_text(fixing));
  table_text(table, fixing_stand_text(fixing));
  table_text(table, fixing_stops_text(table->arena, view->project, load, fixing));
  table_text(table, bed_origin_text(&view->project->shop));
  table_text(table, parts_text(table, view, held));
  table_length(table, finished_below_raw(view, load), ROUND_NEAREST);
  table_text(table, tools_text(table, view, load, fixing));
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
