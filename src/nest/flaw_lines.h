/* What pieces around flaws are worth at most, told fast: on each line along a direction pieces lie
 * side by side in the stretches between the flaws that it meets, and a piece's worth is spread
 * over the lines across it. So a layout is worth no more than the sum over the lines of the best
 * filling of their stretches, a knapsack problem. It holds for all layouts, whatever their cuts;
 * copies are not limited, cuts free. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_FLAW_LINES_H
#define BLANKWRIGHT_NEST_FLAW_LINES_H

#include "nest/flawed_areas.h"

struct flaw_lines;

/* NULL where sizes are too fine for its tables. */
struct flaw_lines *flaw_lines_create(struct arena *arena, const struct nest_stock *stock);

/* Fills the tables for the worth of one piece of each option (>= 0); returns work in steps. */
int64_t flaw_lines_price(struct flaw_lines *lines, const cost_t *option_worth);

/* No layout of an area of the stock is worth more. */
cost_t flaw_lines_most(struct flaw_lines *lines, const struct area *area);

#endif
