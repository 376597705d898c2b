/* Whether a piece of a part can lie in a stock, and which way round. */
#ifndef BLANKWRIGHT_SIZE_FIT_H
#define BLANKWRIGHT_SIZE_FIT_H

#include "model/blank.h"

struct fit {
  bool straight, turned; /* allowed by the grain and within the room */
  /* Where neither: by how much the allowed way that misses least is too large; each 0 or more. */
  length_t too_long, too_wide;
};

/* `length` and `width` are the piece's, along the part's own. Room is what the trims leave. */
struct fit fit_in_stock(const struct part *part, const struct stock *stock, length_t length,
                        length_t width);

/* True when a piece fits the rectangle, straight or turned. */
bool fit_either_way(length_t length, length_t width, length_t room_length, length_t room_width);

#endif
