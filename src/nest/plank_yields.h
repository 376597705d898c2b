/* What one piece of stock can yield at most, for what cost at least: whatever its layout. */
#ifndef BLANKWRIGHT_NEST_PLANK_YIELDS_H
#define BLANKWRIGHT_NEST_PLANK_YIELDS_H

#include "nest/count_box.h"
#include "nest/plank_views.h"

/* A way to use one piece of a stock. */
struct yield {
  size_t stock;
  const int64_t *counts; /* per kind of part, at most what is wanted */
  cost_t cost;           /* of the piece, its cuts and the handling of what is cut */
};

struct yields {
  struct yield *items;
  size_t count, room;
};

/* False where times[] of the yields use more pieces of a stock than there are, or stock sold in
 * packs: then they cost more than their sum. */
bool yields_can_be_had(const struct nest_problem *problem, const struct yields *yields,
                       const int64_t *times);

/* Adds yields of a stock such that every layout of it, of pieces sawn as they are and of any loads
 * there can be, yields no more of any part than one of them that costs no more. Flaws and the
 * rules of the saw are left aside. most[] per kind: more is of no use. False where the numbers are
 * too many to be told, or to be told in so many steps (cells of tables); what was added then says
 * nothing. With few steps the yields are larger. `scratch` is as before afterwards. */
bool plank_yields_add(struct arena *arena, struct arena *scratch,
                      const struct nest_problem *problem, size_t stock, const int64_t *most,
                      int64_t steps, struct yields *yields);

#endif
