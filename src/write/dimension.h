/* Dimension lines, the bar of the scale and the arrow of the grain, in layouts and loads alike.
 * `type` is the size of the drawing's ordinary type, by which marks are sized. The pen is the
 * caller's. */
#ifndef BLANKWRIGHT_WRITE_DIMENSION_H
#define BLANKWRIGHT_WRITE_DIMENSION_H

#include <stdbool.h>

#include "write/svg.h"

/* A line with a slash across each end. */
void dimension_level(struct svg *svg, length_t type, length_t x1, length_t x2, length_t y);
void dimension_upright(struct svg *svg, length_t type, length_t x, length_t y1, length_t y2);

/* Dimensions of a box, with its lines drawn out: the length `down` below it, the width `aside` to
 * the left of it. */
struct dimensioned_box {
  length_t left, top, length, width;
  length_t down, aside;
  const char *length_text, *width_text;
};
void dimension_box(struct svg *svg, length_t type, const struct dimensioned_box *box);

/* A bar of four fields, dark and white by turns, as long as it says. */
void scale_bar(struct svg *svg, length_t type, length_t left, length_t top, length_t length,
               length_t height);

/* An arrow with two heads around a middle, level or upright, in ink of its own. */
void grain_arrow(struct svg *svg, length_t type, length_t x, length_t y, bool level);

#endif
