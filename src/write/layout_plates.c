/* The numbers of the saw cuts, on small plates where no other type stands. */
#include <inttypes.h>

#include "write/drawing.h"

enum { BOXES_CHECKED = 4000 /* beyond so many, plates are set without a search */ };

void plates_take(struct drawing *drawing, length_t middle_x, length_t middle_y, length_t width,
                 length_t height) {
  *ARENA_PUSH(drawing->arena, drawing->boxes, drawing->box_count, drawing->box_room) =
      (struct box){middle_x - width / 2, middle_y - height / 2, width, height};
}

/* All plates of a plan have the room the last step needs, so that copies look the same. */
length_t plate_width(const struct drawing *drawing, length_t size) {
  size_t digits = 1;
  for (size_t most = drawing->view->plan->cut_count; most >= 10; most /= 10) digits++;
  return characters_width(size, digits) + tenths(size, 6);
}

static size_t boxes_met(const struct drawing *drawing, const struct plate *plate) {
  size_t met = 0;
  for (size_t i = 0; i < drawing->box_count; i++) {
    const struct box *box = &drawing->boxes[i];
    met += box->x < plate->x + plate->width / 2 &&
           plate->x - plate->width / 2 < box->x + box->width &&
           box->y < plate->y + plate->height / 2 &&
           plate->y - plate->height / 2 < box->y + box->height;
  }
  return met;
}

/* Sixteenths of the span, in the order they are tried: crosscuts carry their number in
 * the middle, rips near an end, so that they seldom meet. */
static const int64_t crosscut_places[] = {8, 4, 12, 6, 10, 2, 14, 7, 9, 3, 13, 5, 11, 1, 15};
static const int64_t rip_places[] = {1, 15, 2, 14, 3, 13, 4, 12, 8, 6, 10, 5, 11, 7, 9};
enum { PLACES = 15 };

static void move_plate(const struct drawing *drawing, const struct cut *cut, int64_t sixteenths,
                       struct plate *plate) {
  length_t along = cut->span / 16 * sixteenths;
  length_t x = cut->rip ? cut->x + along : cut->x + cut->kerf / 2;
  length_t y = cut->rip ? cut->y + cut->kerf / 2 : cut->y + along;
  plate->x = paper_x(drawing, x);
  plate->y = paper_y(drawing, y);
}

static void set_plate_size(const struct drawing *drawing, struct plate *plate, length_t size) {
  plate->size = size;
  plate->width = plate_width(drawing, size);
  plate->height = tenths(size, 14);
}

/* Tries the places of the cut; true when one is free, else the least crowded is kept. */
static bool search_place(const struct drawing *drawing, const struct cut *cut,
                         struct plate *plate) {
  const int64_t *places = cut->rip ? rip_places : crosscut_places;
  struct plate best = *plate;
  size_t least = SIZE_MAX;
  for (size_t i = 0; i < PLACES; i++) {
    move_plate(drawing, cut, places[i], plate);
    size_t met = drawing->box_count > BOXES_CHECKED ? 0 : boxes_met(drawing, plate);
    if (met == 0) return true;
    if (met >= least) continue;
    least = met;
    best = *plate;
  }
  *plate = best;
  return false;
}

static void place_plate(struct drawing *drawing, const struct cut *cut, struct plate *plate) {
  plate->text = arena_format(drawing->arena, "%" PRId64, cut->step);
  set_plate_size(drawing, plate, tenths(drawing->type, 7));
  if (!search_place(drawing, cut, plate)) {
    set_plate_size(drawing, plate, tenths(drawing->type, 5));
    search_place(drawing, cut, plate);
  }
  plates_take(drawing, plate->x, plate->y, plate->width, plate->height);
}

void plates_place(struct drawing *drawing) {
  const struct view_stock *entry = drawing->entry;
  drawing->plates = ARENA_ARRAY(drawing->arena, entry->cut_count, struct plate);
  for (size_t i = 0; i < entry->cut_count; i++)
    place_plate(drawing, entry->cuts[i].cut, &drawing->plates[i]);
}

static void draw_plate(struct drawing *drawing, const struct plate *plate) {
  struct svg *svg = drawing->svg;
  svg_start_rect(svg, plate->x - plate->width / 2, plate->y - plate->height / 2, plate->width,
                 plate->height);
  svg_length(svg, "rx", plate->height / 2);
  svg_attribute(svg, "fill", "#FFFFFF");
  svg_stroke(svg, COLOUR_INK, tenths(plate->size, 1));
  svg_end(svg);
  svg_text(svg, plate->x, plate->y + tenths(plate->size, 3) + tenths(plate->size, 1) / 2,
           plate->size, "middle", false, plate->text);
}

void plates_draw(struct drawing *drawing) {
  svg_layer(drawing->svg, "cut-numbers", "steps of the saw cuts");
  for (size_t i = 0; i < drawing->entry->cut_count; i++) draw_plate(drawing, &drawing->plates[i]);
  svg_end(drawing->svg);
}
