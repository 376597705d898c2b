/* What the files that draw a load share. Lengths in 1/8000 mm of paper, which is true scale; y
 * counts downwards on paper and to the back on the bed. */
#ifndef BLANKWRIGHT_WRITE_LOAD_DRAWING_H
#define BLANKWRIGHT_WRITE_LOAD_DRAWING_H

#include "write/svg.h"
#include "write/view.h"

struct load_drawing {
  struct arena *arena;
  struct svg *svg;
  const struct view *view;
  const struct view_load *held;
  bool to_fit;                /* not at true scale, and nothing is said of scale */
  const char *title;          /* "L1 to L12" */
  size_t alike;               /* loads it stands for */
  length_t type;              /* size of ordinary type */
  length_t left, top;         /* the load's upper left corner on paper */
  length_t beside[BED_SIDES]; /* how far clamps' bodies and marks reach past each side */
  length_t width, height;     /* of the paper */
};

static inline length_t load_paper_x(const struct load_drawing *drawing, length_t x) {
  return drawing->left + x;
}
static inline length_t load_paper_y(const struct load_drawing *drawing, length_t y) {
  return drawing->top + drawing->held->load->width - y;
}

/* Whether distances along x count from the right, along y from the back: from the stops' corner,
 * from the lower left one where there are none. */
bool load_counts_from_right(const struct shop *shop);
bool load_counts_from_back(const struct shop *shop);

/* The load's edge at the stops to the nearer end of a stretch along x (`along_y`: along y). */
length_t load_distance(const struct view *view, const struct load *load, bool along_y,
                       length_t start, length_t extent);

/* "C1" on the drawing and in the list beneath it. */
const char *load_clamp_number(struct arena *arena, size_t clamp);
const char *load_part_number(struct arena *arena, size_t made);

/* marks: running distances of clamps along the sides; the list under the load. */
length_t marks_height(const struct load_drawing *drawing);
void marks_draw(struct load_drawing *drawing, length_t y);
void marks_draw_distances(struct load_drawing *drawing);

#endif
