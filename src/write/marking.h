/* What the files that make the templates share. Places are on the template: from its upper left
 * corner, y downwards, to the front of the bed. A template is the load or part and a border all
 * around. */
#ifndef BLANKWRIGHT_WRITE_MARKING_H
#define BLANKWRIGHT_WRITE_MARKING_H

#include "write/load_holes.h"
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

enum marking_grain { MARKING_ALONG, MARKING_ACROSS, MARKING_ANY };

struct marking {
  struct arena *arena;
  struct pdf *pdf;
  const struct view *view;
  const struct view_load *held; /* NULL: a part by itself, sawn and lying with its length along x */
  const struct held_part *part; /* that part, at 0, 0; else NULL */
  length_t length, width;       /* of the load or that part */
  const char *title, *wood;     /* what it is for, and of which wood */
  enum marking_grain grain;
  struct marking_tiles tiles;
  int64_t column, row;     /* of the sheet being drawn */
  length_t left, top;      /* where the template's corner comes to lie, seen from the paper's */
  length_t seen_x, seen_y; /* upper left corner of the window on paper */
  length_t seen_length, seen_width;
};

/* From load or part to paper. */
static inline length_t marking_x(const struct marking *marking, length_t x) {
  return marking->left + MARKING_BORDER + x;
}
static inline length_t marking_y(const struct marking *marking, length_t y) {
  return marking->top + MARKING_BORDER + marking->width - y;
}

/* Height kept on each sheet for check lines, words and map. */
#define MARKING_FOOT MM(31)

/* The way of the paper that takes fewer sheets; upright when both take as many. */
struct marking_tiles marking_tiles_of(struct pdf_paper paper, length_t length, length_t width);

/* "A1". */
const char *marking_name(struct arena *arena, int64_t row, int64_t column);

/* marking_load: the load within the window, on paper. */
void marking_draw_load(struct marking *marking);

/* marking_part: a part by itself; what it shares with a load: holes, an arrow along the grain
 * beside the wood (where clamps leave room), and a name nearest to `wanted` below the middle that
 * keeps clear of the holes; the name lies over them where it cannot. */
void marking_draw_part(struct marking *marking);
void marking_draw_holes(struct marking *marking, const struct load_hole *holes, size_t count);
void marking_draw_grain(struct marking *marking);
void marking_draw_name(struct marking *marking, const struct held_part *part,
                       const struct load_hole *holes, size_t count, const char *name);

/* marking_joint: marks and words where the sheet meets others. */
void marking_draw_joints(struct marking *marking);

/* marking_foot: what stands below the window. */
void marking_draw_foot(struct marking *marking);

#endif
