/* Layouts of one piece of stock in rows, for every number of pieces and loads that it can yield. */
#ifndef BLANKWRIGHT_NEST_PLANK_LAYOUTS_H
#define BLANKWRIGHT_NEST_PLANK_LAYOUTS_H

#include "model/plan.h"
#include "nest/plank_yields.h"

struct plank_layout {
  struct node root; /* the usable rectangle */
  int64_t cuts;
  int64_t *counts; /* per demand: pieces and sawn loads */
};

/* A load that, were it so long, would spare a layout its last cut. */
struct load_wish {
  size_t blank;
  length_t length; /* its own, along the stock */
};

struct plank_layouts {
  struct load_wish *wishes; /* each once */
  size_t wish_count, wish_room;
  struct yields yields;
  struct plank_layout *items; /* of each yield */
  size_t room;
};

/* Adds layouts of a stock without flaws, in rows one above the other along either side, that keep
 * the rules of the saw: of each number of parts one in the fewest pieces and loads, but for numbers
 * that another yields more of in as few. Loads are those with an assembly. most[] per kind: more is
 * of no use. Some are left out, or all, where cells of tables are more than `steps`. `scratch` is
 * as before afterwards. */
void plank_layouts_add(struct arena *arena, struct arena *scratch,
                       const struct nest_problem *problem, size_t stock, const int64_t *most,
                       int64_t steps, struct plank_layouts *layouts);

#endif
