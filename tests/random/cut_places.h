/* Where cuts need to be tried, and where a piece may lie. */
#ifndef BLANKWRIGHT_TESTS_RANDOM_CUT_PLACES_H
#define BLANKWRIGHT_TESTS_RANDOM_CUT_PLACES_H

#include "base/arena.h"
#include "nest/problem.h"

enum cut_axis { CUT_X, CUT_Y }; /* what the cut divides: crosscuts x, rips y */

/* Per axis, ascending. Of stock without flaws: extents of the low part of a cut. Of flawed
 * stock: coordinates at which a kerf begins. */
struct cut_places {
  length_t *place[2];
  size_t count[2], room[2];
};

/* Some plan of least cost keeps to these places. Without flaws every part may be pushed to
 * the low side: a low part is a sum of piece sizes and kerfs, or it is as long as a rule on
 * rips asks for. With flaws a piece pushed low rests on the low side, on a kerf or on a flaw. */
void cut_places_find(struct arena *arena, const struct nest_stock *stock,
                     struct cut_places *places);

/* Whether a piece of that option, low corner at (x, y), is clear of flaws. */
bool cut_places_clear(const struct nest_stock *stock, const struct nest_option *option, length_t x,
                      length_t y);

/* Whether the piece has a place in the rectangle: at its low side, or a kerf at least from it.
 * Stocks with more than 8 flaws are beyond it. */
bool cut_places_spot(const struct nest_stock *stock, const struct nest_option *option, length_t x,
                     length_t y, length_t length, length_t width);

#endif
