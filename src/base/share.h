/* A value parted by area. */
#ifndef BLANKWRIGHT_BASE_SHARE_H
#define BLANKWRIGHT_BASE_SHARE_H

#include "base/length.h"

/* The share `part` of `whole` (0 <= part <= whole, 0 < whole <= 7 * 10^17) in a
 * value (>= 0), rounded down, exact. */
cents_t value_share(cents_t value, int64_t part, int64_t whole);

#endif
