/* What one piece of stock costs at a price by measure. */
#ifndef BLANKWRIGHT_READ_PRICE_H
#define BLANKWRIGHT_READ_PRICE_H

#include "model/project.h"

#define PRICE_MOST INT64_C(10000000000) /* cents, for one piece */

/* Cents for one piece of stock->length, width and thickness (over 0) at stock->price per
 * stock->per, rounded half up, once, at the end. Board feet are counted by the
 * tally_thickness where it is given, and 1 in at least. -1 when it comes to over PRICE_MOST. */
cents_t price_of_piece(const struct stock *stock);

#endif
