/* Using up what a layout wastes: pieces still wanted are put into its waste. */
#ifndef BLANKWRIGHT_NEST_FILL_H
#define BLANKWRIGHT_NEST_FILL_H

#include "nest/cutting.h"

/* Puts pieces into waste rectangles of a layout, the dearest first, as long as the layout
 * stays allowed, flaws stay clear, no demand passes its limit and each piece is worth more
 * than its cuts. counts[] follow. */
void fill_waste(struct arena *arena, const struct nest_problem *problem,
                const struct nest_stock *stock, const cost_t *worth, const int64_t *limit,
                struct node *root, int64_t *counts);

#endif
