/* What one piece of stock has room for, seen through dual feasible functions along both axes:
 * whatever its layout, the pieces cut from it take no more of a view than the view's room. */
#ifndef BLANKWRIGHT_NEST_PLANK_VIEWS_H
#define BLANKWRIGHT_NEST_PLANK_VIEWS_H

#include "nest/problem.h"

/* Kinds of parts: demands that neither couple nor are matches. */
size_t yield_kinds(const struct nest_problem *problem);

/* Wide enough for areas seen through functions. */
__extension__ typedef __int128 wide_area;

/* Pieces, or loads, alike: one of these sizes at least. */
struct plank_maker {
  const int64_t *counts; /* per kind */
  const struct nest_extents *sizes;
  size_t size_count;
  cost_t cost;              /* of handling one */
  struct nest_extents most; /* it is no larger */
};

/* A stock and all that can be cut from one piece of it. */
struct plank {
  struct arena *scratch;
  const struct nest_problem *problem;
  const struct nest_stock *stock;
  size_t kinds;
  struct plank_maker *makers;
  size_t maker_count, maker_room;
  length_t extent[2]; /* grown by a kerf */
};

/* Lists all that can be cut from the stock, in the scratch arena. */
void plank_open(struct arena *scratch, const struct nest_problem *problem, size_t stock,
                struct plank *plank);

/* A dual feasible function (dual_feasible.h): the values of extents that lie side by side within
 * the whole, kerfs included, add up to no more than the whole's. Extents are taken as they are, or
 * rounded (u^(k) of Fekete, Schepers 2004), or with the small ones left out. */
struct plank_sight {
  int64_t rounding; /* k; 0: none */
  length_t small; /* extents below it count as 0, those that leave less beside them as the whole */
};

enum { PLANK_SIGHTS_MOST = 48 };

/* Functions along (0) or across (1) the stock, the plain one first; sights[] has room for the most.
 * Returns how many. */
size_t plank_sights(const struct plank *plank, int way, struct plank_sight *sights);

/* Area seen through a function along and one across: of each maker, and of the whole room. */
struct plank_view {
  int64_t *takes;
  int64_t room;
};

/* Fills in view->takes, which has room for all makers. */
void plank_look(const struct plank *plank, const struct plank_sight *along,
                const struct plank_sight *across, struct plank_view *view);

/* How much of the room an extent takes, grown by the kerf after it; the whole at most. */
length_t plank_grown(const struct plank *plank, const struct nest_extents *size, int way);

#endif
