/* Whether a piece of wood on the rack is still what it was. */
#ifndef BLANKWRIGHT_MODEL_STOCK_FINGERPRINT_H
#define BLANKWRIGHT_MODEL_STOCK_FINGERPRINT_H

#include "model/project.h"

/* The fingerprint of what a line of rack.csv says of the wood, and of all its flaws. Trims are left
 * out, since they may be the shop's, and so is the note. */
uint64_t stock_fingerprint(const struct stock *stock);

#endif
