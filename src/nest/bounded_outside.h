/* What can be got at most around a block, to fill the stock: the completion of every
 * rectangle, by a dynamic program from the whole stock down, over the picks of the inside
 * tables at their present prices. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_OUTSIDE_H
#define BLANKWRIGHT_NEST_BOUNDED_OUTSIDE_H

#include "nest/bounded_inside.h"

struct bounded_outside {
  int levels;
  size_t slots[2];
  cost_t *table[2 * MOST_LEVELS + 1]; /* per form, then pieces; without levels only the first */
  cost_t given_back;                  /* what the prices take too much: sum of price * limit */
};

/* The tables must have been filled by bounded_inside_price with the same prices. */
struct bounded_outside *bounded_outside_create(struct arena *arena, struct bounded_inside *inside,
                                               const cost_t *price);

/* The completion of a block of that form (FORM_PIECE, or a run of so many stages) whose extents
 * have the slots x and y. */
static inline cost_t bounded_outside_worth(const struct bounded_outside *outside, int form,
                                           int stages, size_t x, size_t y) {
  size_t table = 0;
  if (outside->levels > 0)
    table =
        form == FORM_PIECE ? 2 * (size_t)outside->levels : 2 * ((size_t)stages - 1) + (size_t)form;
  return outside->table[table][y * outside->slots[ALONG_X] + x];
}

#endif
