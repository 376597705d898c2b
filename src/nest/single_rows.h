/* The best row of single pieces around flaws, by a table of all places along it: fast where sizes
 * and flaws lie on a grid that is not too fine. Cuts are free. Lives in the arena it was made in.
 */
#ifndef BLANKWRIGHT_NEST_SINGLE_ROWS_H
#define BLANKWRIGHT_NEST_SINGLE_ROWS_H

#include "nest/flawed_areas.h"

struct single_rows;

/* For one stock, which must stay in place. */
struct single_rows *single_rows_create(struct arena *arena, const struct nest_stock *stock);

/* What pieces that lie along `along` in an area, each alone across it, are worth at most; *steps
 * grows by the work. False where the grid is too fine or the area is not on it. The area may be
 * divided. */
bool single_rows_worth(struct single_rows *rows, const struct flawed *flawed,
                       const cost_t *option_worth, const struct area *area, enum division along,
                       int64_t *steps, cost_t *worth);

#endif
