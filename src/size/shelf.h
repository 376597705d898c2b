/* The project's stocks sorted by wood and thickness, so that a part finds those fit
 * for it without looking at every other. */
#ifndef BLANKWRIGHT_SIZE_SHELF_H
#define BLANKWRIGHT_SIZE_SHELF_H

#include "model/project.h"

struct shelf_entry {
  const char *wood;
  length_t thickness;
  size_t stock;
};

struct shelf {
  struct shelf_entry *by_wood;      /* by wood (case folded), then thickness, then stock */
  struct shelf_entry *by_thickness; /* by thickness, then stock */
  size_t count;
  size_t *thickness_rank; /* per stock: which of the distinct thicknesses it has */
  size_t thickness_count;
};

/* Lives in the arena; keeps pointers into the project. */
void shelf_fill(struct arena *arena, const struct project *project, struct shelf *shelf);

/* The stocks of a wood the part takes whose thickness is within [thinnest, thickest], in
 * ascending order into `found`, which has room for every stock. Returns how many. */
size_t shelf_find(const struct shelf *shelf, const struct part *part, length_t thinnest,
                  length_t thickest, size_t *found);

#endif
