/* What the files that make the templates share. Places are on the template: from its upper left
 * corner, y downwards, to the front of the bed. It is the load and a border all around. */
#ifndef BLANKWRIGHT_WRITE_MARKING_H
#define BLANKWRIGHT_WRITE_MARKING_H

#include "write/pdf_page.h"

#define MARKING_BORDER MM(6)

/* How a template is spread over sheets of paper: rows A, B.. from the back of the bed, columns 1,
 * 2.. from the left. A sheet shows a window of it, the first ones of all sheets `step` apart. */
struct marking_tiles {
  struct pdf_paper paper; /* upright or broad */
  length_t length, width; /* of the template */
  length_t window_length, window_width;
  length_t step_length, step_width;
  int64_t columns, rows;
};

struct marking {
  struct arena *arena;
  struct pdf *pdf;
  const struct view *view;
  size_t index; /* into the view's loads */
  const struct view_load *held;
  struct marking_tiles tiles;
  int64_t column, row;     /* of the sheet being drawn */
  length_t left, top;      /* where the template's corner comes to lie, seen from the paper's */
  length_t seen_x, seen_y; /* upper left corner of the window on paper */
  length_t seen_length, seen_width;
};

/* Height kept on each sheet for check lines, words and map. */
#define MARKING_FOOT MM(31)

/* The way of the paper that takes fewer sheets; upright when both take as many. */
struct marking_tiles marking_tiles_of(struct pdf_paper paper, length_t length, length_t width);

/* "A1". */
const char *marking_name(struct arena *arena, int64_t row, int64_t column);

/* marking_load: the load within the window, on paper. */
void marking_draw_load(struct marking *marking);

/* marking_foot: what stands below the window. */
void marking_draw_foot(struct marking *marking);

#endif
