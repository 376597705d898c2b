/* In what order cutters are put in for several parts in one clamping. */
#ifndef BLANKWRIGHT_MODEL_TOOL_ORDER_H
#define BLANKWRIGHT_MODEL_TOOL_ORDER_H

#include "model/part_steps.h"

/* Cutters in the order they are put in. */
struct tool_order {
  size_t *cutters; /* indices; no two that follow each other are the same */
  size_t count;
};

/* Every part's steps stay in their order, what waits for the cutter that is in is done before it
 * is changed, and no part is cut free before all that does not free parts is done; among the
 * cutters waited for the one most parts wait for is next, the first part's where they are level.
 * Lives in the arena. */
struct tool_order tool_order_of(struct arena *arena, const struct step_list *lists, size_t count);

/* What is done while the cutter at a place in that order is in; `lists` are those the order is
 * of. Lives in the arena. */
struct step_list tool_order_steps(struct arena *arena, const struct step_list *lists, size_t count,
                                  size_t place);

#endif
