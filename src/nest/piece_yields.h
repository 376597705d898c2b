/* What one piece of stock can yield, of pieces sawn as they are, and layouts that do. */
#ifndef BLANKWRIGHT_NEST_PIECE_YIELDS_H
#define BLANKWRIGHT_NEST_PIECE_YIELDS_H

#include "nest/plank_layouts.h"

/* Adds to `least` yields of a stock such that every layout of it yields just what one of them does,
 * which costs no more; to `layouts` those for which a layout is known. Found by pricing (pricer.h),
 * number by number, all pieces worth more than all cuts. most[] per kind: more is of no use. False
 * where the numbers are too many to be priced, or *steps, which what was done is taken off, do
 * not suffice; what was added then says nothing. */
bool piece_yields_add(struct arena *arena, const struct nest_problem *problem, size_t stock,
                      const int64_t *most, int64_t *steps, struct yields *least,
                      struct plank_layouts *layouts);

#endif
