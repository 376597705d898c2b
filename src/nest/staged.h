/* The best unlimited layout of a rectangle in at most three stages, exact with the cost
 * of every cut, for given values of the options: dynamic programs over raster points,
 * after the two- and three-stage programs of Gilmore and Gomory, Oper. Res. 13 (1965),
 * with the free last trim. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_STAGED_H
#define BLANKWRIGHT_NEST_STAGED_H

#include "nest/cutting.h"
#include "nest/series.h"

struct staged;

/* Tables for one stock (its flaws are not looked at). */
struct staged *staged_create(struct arena *arena, const struct nest_stock *stock, cost_t cut_cost);

/* Whether sizes are so fine that the tables know some of the raster points only: then the layouts
 * are allowed but perhaps not the best, and their worths are no bounds. */
bool staged_is_thinned(const struct staged *staged);

/* Fills the tables for the worth of one piece of each option (>= 0). The worths must stay
 * in place until the next pricing. */
void staged_price(struct staged *staged, const cost_t *option_worth);

/* What the whole stock is worth in its stages (three when it allows more). */
cost_t staged_best(struct staged *staged);

/* What an unflawed rectangle is worth in `stages` stages, the next cut dividing as said.
 * Of two stages, rectangles of full extent across the next cut only are known: the full
 * length when the length is divided next, the full width when the width is. Of three: the
 * whole stock. The rectangle need not lie on raster points. */
cost_t staged_worth(struct staged *staged, int stages, enum division next, length_t length,
                    length_t width);

/* Builds the layout of that worth into `node`, whose place and size are set. */
void staged_build(struct arena *arena, struct staged *staged, int stages, enum division next,
                  struct node *node);

/* Builds the layout of staged_best into `root`. */
void staged_build_best(struct arena *arena, struct staged *staged, struct node *root);

/* Distinct extents of the options along a division, with the shortest piece that may be
 * ripped among the lengths; ascending. */
const struct series_sizes *staged_sizes(const struct staged *staged, enum division division);

/* Table cells filled so far. */
int64_t staged_steps(const struct staged *staged);

#endif
