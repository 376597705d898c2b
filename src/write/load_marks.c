/* Where to mark: running distances along the sides of a load, and the list beneath it. */
#include <inttypes.h>

#include "write/drawing.h"
#include "write/load_drawing.h"
#include "write/safe_text.h"

enum { ROW = 14 };

bool load_counts_from_right(const struct shop *shop) { return bed_has_stop(shop, BED_RIGHT); }
bool load_counts_from_back(const struct shop *shop) { return bed_has_stop(shop, BED_BACK); }

length_t load_distance(const struct view *view, const struct load *load, bool along_y,
                       length_t start, length_t extent) {
  const struct shop *shop = &view->project->shop;
  bool from_high = along_y ? load_counts_from_back(shop) : load_counts_from_right(shop);
  return from_high ? (along_y ? load->width : load->length) - start - extent : start;
}

const char *load_clamp_number(struct arena *arena, size_t clamp) {
  return arena_format(arena, "C%zu", clamp + 1);
}

const char *load_part_number(struct arena *arena, size_t made) {
  return arena_format(arena, "P%zu", made + 1);
}

static bool is_upright(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT; }

/* ---- running distances ---- */

/* A line from the load's edge outwards at a clamp's nearer end, its distance beside it. */
static void draw_distance(struct load_drawing *drawing, const struct held_clamp *clamp) {
  const struct load *load = drawing->held->load;
  const struct view *view = drawing->view;
  bool upright = is_upright(clamp->side);
  length_t start = upright ? clamp->y : clamp->x, extent = upright ? clamp->width : clamp->length;
  length_t distance = load_distance(view, load, upright, start, extent);
  length_t at = distance == start ? start : start + extent;
  length_t size = tenths(drawing->type, 9);
  const char *text = length_text(drawing->arena, distance, view->unit, ROUND_NEAREST, NULL);
  length_t out = drawing->beside[clamp->side] - tenths(drawing->type, 46);
  length_t end = drawing->beside[clamp->side] - tenths(drawing->type, 32);
  if (upright) {
    bool left = clamp->side == BED_LEFT;
    length_t edge = load_paper_x(drawing, left ? 0 : load->length), y = load_paper_y(drawing, at);
    svg_line(drawing->svg, left ? edge - out : edge + out, y, left ? edge - end : edge + end, y);
    svg_text(drawing->svg, left ? edge - end - tenths(size, 3) : edge + end + tenths(size, 3),
             y + tenths(size, 3), size, left ? "end" : "start", false, text);
    return;
  }
  bool front = clamp->side == BED_FRONT;
  length_t edge = load_paper_y(drawing, front ? 0 : load->width), x = load_paper_x(drawing, at);
  svg_line(drawing->svg, x, front ? edge + out : edge - out, x, front ? edge + end : edge - end);
  svg_text(drawing->svg, x, front ? edge + end + size : edge - end - tenths(size, 3), size,
           "middle", false, text);
}

void marks_draw_distances(struct load_drawing *drawing) {
  const struct load *load = drawing->held->load;
  svg_layer_of_lines(drawing->svg, "distances", "distances of clamps along the edges",
                     tenths(drawing->type, 1) / 2);
  for (size_t i = 0; i < load->clamp_count; i++) draw_distance(drawing, &load->clamps[i]);
  svg_end(drawing->svg);
}

/* ---- the list ---- */

static const char *length_here(const struct load_drawing *drawing, length_t value) {
  return length_text(drawing->arena, value, drawing->view->unit, ROUND_NEAREST, NULL);
}

static const char *clamp_row(const struct load_drawing *drawing, size_t index) {
  const struct load *load = drawing->held->load;
  const struct held_clamp *clamp = &load->clamps[index];
  const struct shop *shop = &drawing->view->project->shop;
  bool upright = is_upright(clamp->side);
  length_t start = upright ? clamp->y : clamp->x, extent = upright ? clamp->width : clamp->length;
  length_t distance = load_distance(drawing->view, load, upright, start, extent);
  const char *from = upright ? (load_counts_from_back(shop) ? "back" : "front")
                             : (load_counts_from_right(shop) ? "right" : "left");
  length_t over = held_clamp_over(load, clamp);
  const char *foot =
      over > 0 ? arena_format(drawing->arena, "%s on the wood", length_here(drawing, over))
               : "against the edge";
  return arena_format(drawing->arena, "%s  %s: %s side, %s; from %s to %s from the %s edge",
                      load_clamp_number(drawing->arena, index),
                      safe_line(drawing->arena, clamp_name(drawing->view->project, clamp->clamp)),
                      bed_side_text(clamp->side), foot, length_here(drawing, distance),
                      length_here(drawing, distance + extent), from);
}

static const char *part_row(const struct load_drawing *drawing, size_t index) {
  const struct view_made *made = &drawing->held->made[index];
  const struct held_part *held = made->held;
  const struct load *load = drawing->held->load;
  const struct shop *shop = &drawing->view->project->shop;
  return arena_format(
      drawing->arena, "%s  %s: %s; outline %s from the %s edge, %s from the %s edge",
      load_part_number(drawing->arena, index),
      safe_line(drawing->arena, drawing->view->project->parts[held->part].name),
      view_part_size(drawing->arena, drawing->view->unit,
                     &drawing->view->project->parts[held->part], held->turned, "\xC3\x97"),
      length_here(drawing, load_distance(drawing->view, load, false, held->x, held->length)),
      load_counts_from_right(shop) ? "right" : "left",
      length_here(drawing, load_distance(drawing->view, load, true, held->y, held->width)),
      load_counts_from_back(shop) ? "back" : "front");
}

static const char *const keys[] = {
    "thick black edge: stop; ring and cross: the router's zero; black bars: tabs",
    "dashed: furthest any cutter goes; hatched: clamp; hatched and dotted edge: keep-out"};
static const char key_of_holes[] = "ring with cross: hole; dashed ring: drilled from under";

enum { KEYS = 2 };

static bool has_holes(const struct load_drawing *drawing) {
  for (size_t i = 0; i < drawing->held->made_count; i++) {
    const struct step_list *list = &drawing->view->steps[drawing->held->made[i].held->part];
    for (size_t s = 0; s < list->count; s++)
      if (list->steps[s]->hole_count > 0) return true;
  }
  return false;
}

static size_t row_count(const struct load_drawing *drawing) {
  return drawing->held->load->clamp_count + drawing->held->made_count + KEYS +
         (drawing->held->load->trouble != NULL ? 1 : 0) + (has_holes(drawing) ? 1 : 0);
}

length_t marks_height(const struct load_drawing *drawing) {
  return tenths(drawing->type, ROW * (int64_t)row_count(drawing));
}

static void draw_row(struct load_drawing *drawing, length_t *y, const char *text) {
  length_t size = drawing->type, margin = tenths(drawing->type, 20);
  length_t room = drawing->width - 2 * margin;
  while (size > tenths(drawing->type, 6) && type_width(size, text) > room) size = size * 9 / 10;
  svg_text(drawing->svg, margin, *y, size, "start", false, text);
  *y += tenths(drawing->type, ROW);
}

void marks_draw(struct load_drawing *drawing, length_t y) {
  const struct load *load = drawing->held->load;
  svg_layer(drawing->svg, "marks", "where clamps and parts lie");
  if (load->trouble != NULL) draw_row(drawing, &y, load->trouble);
  for (size_t i = 0; i < load->clamp_count; i++) draw_row(drawing, &y, clamp_row(drawing, i));
  for (size_t i = 0; i < drawing->held->made_count; i++)
    draw_row(drawing, &y, part_row(drawing, i));
  for (size_t i = 0; i < KEYS; i++) draw_row(drawing, &y, keys[i]);
  if (has_holes(drawing)) draw_row(drawing, &y, key_of_holes);
  svg_end(drawing->svg);
}
