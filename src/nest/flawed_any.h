/* The best unlimited guillotine layout of a stock with flaws, in any number of stages, cuts
 * free and the saw's rules not looked at: the table of unstaged.h where a rectangle holds no
 * flaw; where it does, a search from the whole stock down that remembers bounds of the
 * rectangles it meets and looks only into cuts that could be worth more than what is asked for.
 * Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_FLAWED_ANY_H
#define BLANKWRIGHT_NEST_FLAWED_ANY_H

#include "nest/unstaged.h"

struct flawed_any;

/* NULL when the table would be too large, or there are too many flaws. */
struct flawed_any *flawed_any_create(struct arena *arena, const struct nest_stock *stock,
                                     size_t *cells);

/* Searches with the worth of one piece of each option (those <= 0 are left out). A layout worth
 * no more than `floor` need not be found: *bound <= floor says that there is no better one.
 * *bound is valid however early the search stops (after about `steps`; memory grows with
 * them, up to some hundred megabytes), `root` is a layout and *worth what it is worth; they
 * meet when the search ran to its end and *bound > floor. Where there are kerfs a layout
 * may turn out not to be cuttable so close to a flaw: then *worth is 0. */
void flawed_any_search(struct arena *arena, struct flawed_any *flawed, const cost_t *option_worth,
                       cost_t floor, int64_t steps, struct node *root, cost_t *worth,
                       cost_t *bound);

/* Work of all searches so far. */
int64_t flawed_any_steps(const struct flawed_any *flawed);

#endif
