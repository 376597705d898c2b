#include "write/dimension.h"

#include "write/drawing.h"

static void draw_tick(struct svg *svg, length_t type, length_t x, length_t y) {
  length_t half = tenths(type, 3);
  svg_line(svg, x - half, y + half, x + half, y - half);
}

void dimension_level(struct svg *svg, length_t type, length_t x1, length_t x2, length_t y) {
  svg_line(svg, x1, y, x2, y);
  draw_tick(svg, type, x1, y);
  draw_tick(svg, type, x2, y);
}

void dimension_upright(struct svg *svg, length_t type, length_t x, length_t y1, length_t y2) {
  svg_line(svg, x, y1, x, y2);
  draw_tick(svg, type, x, y1);
  draw_tick(svg, type, x, y2);
}

void dimension_box(struct svg *svg, length_t type, const struct dimensioned_box *box) {
  length_t right = box->left + box->length, low = box->top + box->width;
  length_t y = low + box->down, x = box->left - box->aside;
  length_t gap = tenths(type, 5), beyond = tenths(type, 4);
  svg_line(svg, box->left, low + gap, box->left, y + beyond);
  svg_line(svg, right, low + gap, right, y + beyond);
  svg_line(svg, box->left - gap, low, x - beyond, low);
  svg_line(svg, box->left - gap, box->top, x - beyond, box->top);
  dimension_level(svg, type, box->left, right, y);
  dimension_upright(svg, type, x, box->top, low);
  svg_text(svg, (box->left + right) / 2, y - tenths(type, 3), type, "middle", false,
           box->length_text);
  svg_text(svg, x - tenths(type, 3), (box->top + low) / 2, type, "middle", true, box->width_text);
}

void scale_bar(struct svg *svg, length_t type, length_t left, length_t top, length_t length,
               length_t height) {
  for (int i = 0; i < 4; i++) {
    svg_start_rect(svg, left + length * i / 4, top, length / 4, height);
    svg_attribute(svg, "fill", i % 2 == 0 ? COLOUR_INK : "#FFFFFF");
    svg_stroke(svg, COLOUR_INK, tenths(type, 1) / 2);
    svg_end(svg);
  }
}

static void draw_arrow_head(struct svg *svg, length_t x, length_t y, length_t dx, length_t dy) {
  svg_line(svg, x, y, x + dx - dy / 2, y + dy - dx / 2);
  svg_line(svg, x, y, x + dx + dy / 2, y + dy + dx / 2);
}

void grain_arrow(struct svg *svg, length_t type, length_t x, length_t y, bool level) {
  length_t half = level ? tenths(type, 40) : tenths(type, 10);
  length_t head = tenths(type, 6);
  svg_start(svg, "g");
  svg_stroke(svg, COLOUR_INK, tenths(type, 1));
  if (level) {
    svg_line(svg, x - half, y, x + half, y);
    draw_arrow_head(svg, x - half, y, head, 0);
    draw_arrow_head(svg, x + half, y, -head, 0);
  } else {
    svg_line(svg, x, y - half, x, y + half);
    draw_arrow_head(svg, x, y - half, 0, head);
    draw_arrow_head(svg, x, y + half, 0, -head);
  }
  svg_end(svg);
}
