/* The saw cuts of one layout: which side of each is kept against the fence or stop, and
 * which cuts must come before it.
 *
 * The children of a cut node are peeled off from both its ends until one, the core, is
 * left. A wanted child is peeled with the fence at its own size; a left-over at an end is
 * cut off with the fence at what stays. The two ends do not wait for each other, except
 * where the fence is set to what stays. */
#ifndef BLANKWRIGHT_SAW_PEEL_H
#define BLANKWRIGHT_SAW_PEEL_H

#include "saw/extents.h"

#define PEEL_NONE SIZE_MAX

/* One cut. */
struct peel {
  const struct node *node;
  size_t node_index; /* of the node among the layout's cut nodes */
  size_t behind;     /* the cut lies right behind this child */
  bool from_low;     /* takes the lowest child off what is left of the node, else the highest */
  bool keep_high;
  length_t keep;
  size_t setting;    /* for the user of the list */
  size_t waits_for;  /* how many peels come before it */
  size_t first_edge; /* of the peels that wait for it; PEEL_NONE ends the list */
};

/* An entry in the list of the peels that wait for another. */
struct peel_edge {
  size_t peel;
  size_t next;
};

struct peels {
  struct peel *items;
  size_t count, room;
  struct peel_edge *edges;
  size_t edge_count, edge_room;
  size_t node_count;
};

/* All cuts of a layout of this stock, each behind every one it waits for. Extents say which
 * sizes are frequent: the core of a node without left-over is its rarest child. */
void peel_layout(struct arena *arena, const struct shop *shop, const struct stock *stock,
                 const struct extents *extents, const struct node *root, struct peels *peels);

#endif
