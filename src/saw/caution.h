/* What to beware of at one cut. */
#ifndef BLANKWRIGHT_SAW_CAUTION_H
#define BLANKWRIGHT_SAW_CAUTION_H

#include "model/plan.h"

/* The caution bits whose own check fires for a cut of this stock; the cut's rectangle,
 * keep and kerf are filled in. */
unsigned caution_bits(const struct shop *shop, const struct stock *stock, const struct cut *cut);

#endif
