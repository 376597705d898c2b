/* The best unlimited guillotine layout of a rectangle in any number of stages, cuts
 * free: the dynamic program of Beasley, J. Oper. Res. Soc. 36 (1985), on reduced raster
 * points, trying only first parts better than both their smaller neighbour and every
 * composition in the same direction. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_UNSTAGED_H
#define BLANKWRIGHT_NEST_UNSTAGED_H

#include "nest/cutting.h"
#include "nest/raster.h"

struct unstaged;

/* Cells that all tables at hand may have: some hundreds of megabytes. */
enum { UNSTAGED_CELLS_MOST = 20000000 };

/* Tables for one stock (its flaws and its stage limit are not looked at). NULL when sizes are so
 * fine that they would have more than *cells; else those they have are taken off it. */
struct unstaged *unstaged_create(struct arena *arena, const struct nest_stock *stock,
                                 size_t *cells);

/* The same on all raster points, so that unstaged_worth is exact for rectangles inside the
 * stock too. */
struct unstaged *unstaged_create_inside(struct arena *arena, const struct nest_stock *stock,
                                        size_t *cells);

/* Fills the table for the worth of one piece of each option; worths <= 0 are left out. */
void unstaged_price(struct unstaged *unstaged, const cost_t *option_worth);

/* What the whole stock is worth. Under rules it is a bound: what is left over is rounded down
 * to raster points, and a cut that takes is not held against the rules. */
cost_t unstaged_best(const struct unstaged *unstaged);

/* What a rectangle inside the stock, of any extents, is worth: never too little, and exact
 * without rules on a table made for it. */
cost_t unstaged_worth(const struct unstaged *unstaged, length_t length, length_t width);

/* Builds the layout of that worth into `node`, whose place and size are set. */
void unstaged_build_inside(struct arena *arena, const struct unstaged *unstaged, struct node *node);

/* Builds the layout worth the most into `root` (the whole stock). */
void unstaged_build(struct arena *arena, const struct unstaged *unstaged, struct node *root);

/* Work of all pricing so far. */
int64_t unstaged_steps(const struct unstaged *unstaged);

#endif
