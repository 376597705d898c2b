/* The holes of a part as drawings show them, and where type does not run into them. */
#ifndef BLANKWRIGHT_WRITE_LOAD_HOLES_H
#define BLANKWRIGHT_WRITE_LOAD_HOLES_H

#include "write/view.h"

/* Places on the load. */
struct load_hole {
  struct hole middle;
  length_t diameter;
  bool from_under;
};

/* Those of a part's steps whose places were told, in the order of the steps; in the arena. */
size_t load_holes(struct arena *arena, const struct view *view, const struct held_part *part,
                  struct load_hole **holes);

/* How far below the middle of `room` type should stand, so that a box of this size around it lies
 * in the room and clear of the holes: the nearest such distance to `wanted` (above is negative).
 * False where there is none. */
bool load_clear_of_holes(const struct view_place *room, const struct load_hole *holes, size_t count,
                         length_t length, length_t width, length_t wanted, length_t *below);

#endif
