/* Tabs on the outline of a round part. */
#ifndef BLANKWRIGHT_HOLD_TABS_ROUND_H
#define BLANKWRIGHT_HOLD_TABS_ROUND_H

#include "hold/tabs.h"

/* Puts up to result->wanted tabs into `part` and says in `result` how many, and whether they hold
 * it all round: no gap between neighbours is over half a turn. */
void tabs_round(struct arena *arena, const struct tab_work *work, size_t index,
                struct held_part *part, struct tab_result *result);

#endif
