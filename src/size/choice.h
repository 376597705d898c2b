/* The sizes one part may have in stock of one thickness, one per way of holding it. */
#ifndef BLANKWRIGHT_SIZE_CHOICE_H
#define BLANKWRIGHT_SIZE_CHOICE_H

#include "model/blank.h"
#include "model/reach.h"

/* Raw thickness a part can be made from, both ends included. */
struct thickness_window {
  length_t thinnest, thickest;
};
struct thickness_window choice_window(const struct shop *shop, const struct part *part);

enum { CHOICES_MOST = 4 }; /* ends, sides, all, tape */

struct choice {
  enum hold hold;
  size_t clamp; /* as in struct blank */
  length_t length, width;
  length_t margin_ends, margin_sides;
};

/* Fills `choices` (room for CHOICES_MOST) with the sizes of a blank, without those another
 * beats or equals in both directions; the earlier in the order ends, sides, all, tape stays.
 * Returns how many: 0 when no clamp owned can hold this stock in the way asked for. */
size_t choice_blanks(const struct project *project, const struct clamp_set *clamps,
                     const struct part *part, const struct reach *reach, length_t raw,
                     struct choice *choices);

/* The size of a part that is sawn to its finished size. */
struct choice choice_sawn(const struct shop *shop, const struct part *part);

#endif
