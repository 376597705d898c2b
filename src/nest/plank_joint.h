/* How many pieces a yield takes at least where one and the same set of pieces has to fit every view
 * of the stock at once: more than any view tells alone. */
#ifndef BLANKWRIGHT_NEST_PLANK_JOINT_H
#define BLANKWRIGHT_NEST_PLANK_JOINT_H

#include "nest/count_box.h"
#include "nest/plank_views.h"

enum { PLANK_JOINT_VIEWS_MOST = 128 };

/* The functions along and across of each view. */
struct plank_pairs {
  struct plank_sight along[PLANK_JOINT_VIEWS_MOST], across[PLANK_JOINT_VIEWS_MOST];
  size_t count;
};

/* Raises pieces[c], per cell of the box, wherever no set of so many pieces yields the numbers of
 * the cell and fits; a cell of `never` or more cannot be had. About `steps` (looks at a view) are
 * done at most, and taken from them. */
void plank_joint_raise(const struct plank *plank, const struct plank_pairs *pairs,
                       const struct count_box *box, uint16_t never, int64_t *steps,
                       uint16_t *pieces);

#endif
