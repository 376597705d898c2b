/* How often each width to rip and each length to crosscut is wanted. */
#ifndef BLANKWRIGHT_SAW_EXTENTS_H
#define BLANKWRIGHT_SAW_EXTENTS_H

#include "model/plan.h"

struct extent {
  bool rip;
  length_t size;
  int64_t times;
};

struct extents {
  struct extent *items; /* after extents_sort: one for each kind and size, in order */
  size_t count, room;
};

/* A child that is left over, or that a kerf beyond the edge of the piece has eaten whole. */
bool extents_is_waste(const struct node *child, bool rip);

/* Where a node starts along the normal of a rip (y) or a crosscut (x), and its extent there. */
length_t extents_start(const struct node *node, bool rip);
length_t extents_size(const struct node *node, bool rip);

/* Adds every wanted child of every cut of a layout that is cut `times` times. */
void extents_add(struct arena *arena, struct extents *extents, const struct node *root,
                 int64_t times);

/* Puts them in order and adds up those alike. */
void extents_sort(struct extents *extents);

/* How often a size is wanted, once they are sorted; 0 when it is wanted nowhere. */
int64_t extents_times(const struct extents *extents, bool rip, length_t size);

#endif
