/* Where clamps that may stand anywhere need be looked at.
 *
 * A layout stays one when parts and clamps are pushed to the left and to the front until each is
 * stopped: a part by the edge, a part or a clamp; a clamp by a corner, a part's path, a clamp on
 * its side or at the corner, or by the clamp behind it (or the far corner), which may not be left
 * further away than the span (or the end). So every place is a sum of widths from a corner, and
 * where they are few, looking at those alone leaves out nothing. (For parts alone: Christofides,
 * Whitlock 1977, normal patterns.) */
#ifndef BLANKWRIGHT_HOLD_LOAD_PLACES_H
#define BLANKWRIGHT_HOLD_LOAD_PLACES_H

#include "hold/load_clamps.h"

/* Along x or y, for both sides that run so. */
struct load_begins {
  struct load_begin {
    length_t at;   /* where the clamp begins */
    size_t choice; /* of the problem */
  } items[LOAD_PLACES_MOST];
  size_t count;
};

/* begins[0] along x, [1] along y. False where they are more than there is room for, or where more
 * stops a clamp than is said above: rounds, side clamps that stand in line with others. */
bool load_places_list(const struct load_problem *problem, struct load_begins begins[2]);

/* Whether side clamps may have to stand in line with each other, which places do not tell. */
bool load_stands_in_line(const struct clamp_problem *hold);

#endif
