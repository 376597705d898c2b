/* Between plates and trees of cuts. */
#ifndef BLANKWRIGHT_NEST_REPACK_TREE_H
#define BLANKWRIGHT_NEST_REPACK_TREE_H

#include "nest/nest.h"
#include "nest/repack_state.h"

/* The layout of a plate with pieces; false when rules cannot be kept after all. */
bool repack_to_layout(struct arena *arena, const struct packing *packing, size_t plate,
                      struct nest_layout *layout);

/* Puts one copy of a layout on a new plate; pieces that are not wanted any more are taken out.
 * False when there is no stock or no room for it. */
bool repack_from_layout(struct arena *scratch, struct packing *packing,
                        const struct nest_layout *layout);

#endif
