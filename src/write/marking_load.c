/* A load at true scale: what is on it and beside it, and the points to prick through. */
#include "write/load_drawing.h"
#include "write/marking.h"

#define HAIRLINE (MM(1) / 5)

/* A rectangle of the load, grown on all sides. */
static struct view_place box(const struct marking *marking, length_t x, length_t y, length_t length,
                             length_t width, length_t grown) {
  return (struct view_place){marking_x(marking, x - grown), marking_y(marking, y + width + grown),
                             length + 2 * grown, width + 2 * grown};
}

static void draw_outline(struct marking *marking, const struct held_part *part, length_t grown) {
  struct view_place place = box(marking, part->x, part->y, part->length, part->width, grown);
  bool round = marking->view->project->parts[part->part].shape == SHAPE_ROUND;
  pdf_rect(marking->pdf, &place, round ? place.length / 2 : grown);
}

/* ---- what lies there ---- */

static void draw_keep_outs(struct marking *marking) {
  const struct load *load = marking->held->load;
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    struct view_place keep_out =
        box(marking, clamp->x, clamp->y, clamp->length, clamp->width, clamp->keep_out);
    pdf_pen(marking->pdf, PDF_ORANGE, HAIRLINE, 0, 0);
    pdf_hatch(marking->pdf, &keep_out, true, MM(5));
    pdf_pen(marking->pdf, PDF_ORANGE, HAIRLINE, MM(1), MM(1));
    pdf_rect(marking->pdf, &keep_out, 0);
  }
}

static void draw_clamps(struct marking *marking) {
  const struct load *load = marking->held->load;
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *clamp = &load->clamps[i];
    struct view_place body = box(marking, clamp->x, clamp->y, clamp->length, clamp->width, 0);
    pdf_fill(marking->pdf, &body, PDF_WHITE);
    pdf_pen(marking->pdf, PDF_GREY, HAIRLINE, 0, 0);
    pdf_hatch(marking->pdf, &body, false, MM(2));
    pdf_pen(marking->pdf, PDF_INK, 2 * HAIRLINE, 0, 0);
    pdf_rect(marking->pdf, &body, 0);
  }
}

static void draw_parts(struct marking *marking) {
  const struct view_load *held = marking->held;
  for (size_t i = 0; i < held->made_count; i++) {
    pdf_pen(marking->pdf, PDF_INK, HAIRLINE, 0, 0);
    draw_outline(marking, held->made[i].held, 0);
    pdf_pen(marking->pdf, PDF_BLUE, HAIRLINE, MM(4), MM(2));
    draw_outline(marking, held->made[i].held, held->load->reach);
  }
}

static void draw_tab(struct marking *marking, const struct tab *tab) {
  struct view_place strip = view_tab_place(marking->view, marking->held->load, tab);
  struct view_place place = box(marking, strip.x, strip.y, strip.length, strip.width, 0);
  pdf_fill(marking->pdf, &place, PDF_INK);
}

static void draw_wood(struct marking *marking) {
  const struct load *load = marking->held->load;
  const struct shop *shop = &marking->view->project->shop;
  struct view_place wood = box(marking, 0, 0, load->length, load->width, 0);
  length_t thick = MM(1);
  pdf_pen(marking->pdf, PDF_INK, 3 * HAIRLINE / 2, 0, 0);
  pdf_rect(marking->pdf, &wood, 0);
  const struct view_place stops[BED_SIDES] = {
      [BED_LEFT] = box(marking, -thick, 0, thick, load->width, 0),
      [BED_RIGHT] = box(marking, load->length, 0, thick, load->width, 0),
      [BED_FRONT] = box(marking, 0, -thick, load->length, thick, 0),
      [BED_BACK] = box(marking, 0, load->width, load->length, thick, 0)};
  for (enum bed_side side = BED_LEFT; side <= BED_BACK; side++)
    if (bed_has_stop(shop, side)) pdf_fill(marking->pdf, &stops[side], PDF_INK);
}

/* ---- points and words ---- */

static void draw_point(struct marking *marking, length_t x, length_t y) {
  x = marking_x(marking, x);
  y = marking_y(marking, y);
  pdf_pen(marking->pdf, PDF_INK, HAIRLINE, 0, 0);
  pdf_cross(marking->pdf, x, y, MM(2));
  pdf_ring(marking->pdf, x, y, MM(1));
}

static length_t within(length_t value, length_t most) {
  return value < 0 ? 0 : value > most ? most : value;
}

/* The corners of what lies on the wood; of a clamp beside it, the ends it has along the edge. */
static void draw_clamp_points(struct marking *marking, const struct held_clamp *clamp) {
  const struct load *load = marking->held->load;
  length_t left = within(clamp->x, load->length), low = within(clamp->y, load->width);
  length_t right = within(clamp->x + clamp->length, load->length);
  length_t high = within(clamp->y + clamp->width, load->width);
  draw_point(marking, left, low);
  draw_point(marking, right, high);
  if (left == right || low == high) return;
  draw_point(marking, left, high);
  draw_point(marking, right, low);
}

/* Holes are what is pricked through; a part without any has its middle marked. */
static void draw_part_points(struct marking *marking, size_t index) {
  const struct held_part *part = marking->held->made[index].held;
  struct load_hole *holes = NULL;
  size_t count = load_holes(marking->arena, marking->view, part, &holes);
  const char *name = arena_format(marking->arena, "%s %s", load_part_number(marking->arena, index),
                                  marking->view->project->parts[part->part].name);
  marking_draw_name(marking, part, holes, count, name);
  marking_draw_holes(marking, holes, count);
  if (count == 0) draw_point(marking, part->x + part->length / 2, part->y + part->width / 2);
}

static void draw_origin(struct marking *marking) {
  length_t x = 0, y = 0;
  bed_origin(&marking->view->project->shop, marking->held->load, &x, &y);
  x = marking_x(marking, x);
  y = marking_y(marking, y);
  pdf_pen(marking->pdf, PDF_INK, 2 * HAIRLINE, 0, 0);
  pdf_ring(marking->pdf, x, y, MM(3));
  pdf_cross(marking->pdf, x, y, MM(5));
}

/* In the middle of what lies on the wood, on a white plate; of a clamp beside it, outside. */
static void draw_clamp_number(struct marking *marking, const struct held_clamp *clamp,
                              size_t index) {
  const struct load *load = marking->held->load;
  struct pdf_type type = {.size = MM(7) / 2, .anchor = PDF_MIDDLE, .bold = true};
  length_t left = within(clamp->x, load->length), low = within(clamp->y, load->width);
  length_t right = within(clamp->x + clamp->length, load->length);
  length_t high = within(clamp->y + clamp->width, load->width);
  length_t x = marking_x(marking, (left + right) / 2);
  length_t y = marking_y(marking, (low + high) / 2);
  const length_t half = MM(3);
  if (left == right) x += left == 0 ? -half : half;
  if (low == high) y += low == 0 ? half : -half;
  struct view_place plate = {x - half, y - MM(5) / 2, 2 * half, MM(5)};
  pdf_fill(marking->pdf, &plate, PDF_WHITE);
  pdf_text(marking->pdf, x, y + MM(5) / 4, type, load_clamp_number(marking->arena, index));
}

static void draw_sides(struct marking *marking) {
  const struct load *load = marking->held->load;
  struct pdf_type type = {.size = MM(5) / 2, .anchor = PDF_MIDDLE};
  length_t out = MM(2);
  length_t x = marking_x(marking, load->length / 2), y = marking_y(marking, load->width / 2);
  pdf_text(marking->pdf, x, marking_y(marking, 0) + MARKING_BORDER - out, type, "front");
  pdf_text(marking->pdf, x, marking_y(marking, load->width) - out, type, "back");
  type.upright = true;
  pdf_text(marking->pdf, marking_x(marking, 0) - out, y, type, "left");
  pdf_text(marking->pdf, marking_x(marking, load->length) + MARKING_BORDER - out, y, type, "right");
}

void marking_draw_load(struct marking *marking) {
  const struct view_load *held = marking->held;
  draw_sides(marking); /* a clamp hides a word rather than garble it */
  marking_draw_grain(marking);
  draw_keep_outs(marking);
  draw_parts(marking);
  draw_clamps(marking);
  for (size_t i = 0; i < held->made_count; i++)
    for (size_t t = 0; t < held->made[i].held->tab_count; t++)
      draw_tab(marking, &held->made[i].held->tabs[t]);
  draw_wood(marking);
  for (size_t i = 0; i < held->made_count; i++) {
    struct arena_mark mark = arena_mark(marking->arena);
    draw_part_points(marking, i);
    arena_release(marking->arena, mark);
  }
  for (size_t i = 0; i < held->load->clamp_count; i++) {
    draw_clamp_number(marking, &held->load->clamps[i], i);
    draw_clamp_points(marking, &held->load->clamps[i]);
  }
  draw_origin(marking);
}
