/* The extents along one direction that matter to a bounded search: the sums of grown option
 * extents, and what lies between two of them. An
 * "index" names the extents a rectangle may have; where it matters whether parts fill a
 * rectangle exactly (`halves`), point i has index 2 i and all that is larger, but smaller
 * than point i + 1, index 2 i + 1; else index i is point i and all up to the next.
 * A "slot" numbers the points, and the whole when it is none; so a block's extent has one. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_AXIS_H
#define BLANKWRIGHT_NEST_BOUNDED_AXIS_H

#include "nest/bounded_job.h"

struct bounded_axis {
  length_t scale; /* extents are divided by it (down) before they are looked up */
  bool halves;
  length_t whole;  /* scaled */
  length_t *point; /* scaled, ascending; point[0] is 0 */
  size_t point_count;
  size_t top;             /* index of the whole */
  size_t slot_count;      /* the last is the whole's */
  uint32_t *floor_point;  /* per multiple of `unit`; NULL: by bisection */
  uint32_t *point_unit;   /* then: points as multiples of `unit` */
  uint32_t *rest_index;   /* then: the index of a rest that is exactly so long */
  uint32_t *beyond_index; /* then: of one that is longer, but by less than the next point is */
  length_t unit;
};

/* The axis along `along` (ALONG_X or ALONG_Y), in the arena. At most `most` points (most >= 16):
 * where there are more, extents are scaled down, which makes a relaxation of the problem. Halves
 * are then never told apart. */
struct bounded_axis *bounded_axis_create(struct arena *arena, const struct bounded_job *job,
                                         int along, bool halves, size_t most);

/* The largest point at most `scaled`. */
size_t bounded_axis_floor(const struct bounded_axis *axis, length_t scaled);

/* The index of an extent; the whole at most. */
size_t bounded_axis_index(const struct bounded_axis *axis, length_t scaled);

/* The slot of a block's extent. False where no block can have this extent. */
bool bounded_axis_slot(const struct bounded_axis *axis, length_t grown, size_t *slot);

/* Whether an index stands for its point alone; its point; the index of a slot's extent. */
static inline bool bounded_axis_exact(const struct bounded_axis *axis, size_t index) {
  return !axis->halves || index % 2 == 0;
}

static inline size_t bounded_axis_point(const struct bounded_axis *axis, size_t index) {
  return axis->halves ? index / 2 : index;
}

static inline size_t bounded_axis_index_of_slot(const struct bounded_axis *axis, size_t slot) {
  if (slot + 1 == axis->slot_count) return axis->top;
  return axis->halves ? 2 * slot : slot;
}

/* The index of what is left of `index` beside a part as large as a point. */
size_t bounded_axis_minus(const struct bounded_axis *axis, size_t index, size_t point);

/* Bounds of the extents (not scaled, grown) that an index stands for. */
length_t bounded_axis_least(const struct bounded_axis *axis, size_t index);
length_t bounded_axis_most(const struct bounded_axis *axis, size_t index, length_t whole);

#endif
