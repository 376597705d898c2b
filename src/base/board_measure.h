/* Board measure as hardwood is tallied and sold: a board foot is 1 in x 12 in x 12 in,
 * thickness (in) times width (in) times length (ft) over 12, and stock thinner than
 * 1 in counts as 1 in (rules of the National Hardwood Lumber Association). */
#ifndef BLANKWRIGHT_BASE_BOARD_MEASURE_H
#define BLANKWRIGHT_BASE_BOARD_MEASURE_H

#include <stdint.h>

#include "base/length.h"

/* The thickness that counts for the measure: at least 1 in. */
length_t board_thickness(length_t thickness);

/* Board feet of one piece in thousandths, rounded half up. The sizes are more than 0 and
 * at most LENGTH_MAX; thickness is the nominal one where wood is tallied by it. */
int64_t board_feet(length_t length, length_t width, length_t thickness);

#endif
