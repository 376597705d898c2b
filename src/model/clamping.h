/* Work as it is held on the bed: places are from the lower left corner of the load, x to the
 * right and y to the back of the bed, in 1/8000 mm. A blank is a load of one part. */
#ifndef BLANKWRIGHT_MODEL_CLAMPING_H
#define BLANKWRIGHT_MODEL_CLAMPING_H

#include "model/project.h"

enum bed_side { BED_LEFT, BED_RIGHT, BED_FRONT, BED_BACK };
enum { BED_SIDES = 4 };

/* "left", "right", "front", "back". */
const char *bed_side_text(enum bed_side side);

/* A bridge left between part and rim; (x, y) is its middle on the part's outline, `side` the
 * side of the part it leaves by. */
struct tab {
  length_t x, y;
  enum bed_side side;
};

/* A part's finished outline as it lies: `length` along x. A round fills its square. */
struct held_part {
  size_t part;
  length_t x, y, length, width;
  bool turned; /* the part's own length lies across */
  struct tab *tabs;
  size_t tab_count;
};

/* A clamp's body: the strip on the load and what stands beside it, so that x or y may be below 0
 * or the body reach past the load. `keep_out` is by how much it is grown on all sides. */
struct held_clamp {
  size_t clamp; /* index into the clamps reckoned with */
  enum bed_side side;
  length_t x, y, length, width;
  length_t keep_out;
};

#endif
