/* From parts to blanks: how big each sawn piece must be, per stock and way of holding. */
#ifndef BLANKWRIGHT_SIZE_SIZE_H
#define BLANKWRIGHT_SIZE_SIZE_H

#include "base/diagnostics.h"
#include "model/blank.h"

/* Every size every part may have in every stock. Sizes that another
 * size of the same part and stock beats in both directions are left out. For a part that
 * no stock can yield, one error is added to `diagnostics` with the reason (too thick,
 * too wide by 12 mm, wood not in rack or yard) and what would cure it. Cautions of
 * sizing are added as SEVERITY_CAUTION. The result lives in the arena. */
void size_blanks(struct arena *arena, const struct project *project,
                 struct diagnostics *diagnostics, struct blanks *blanks);

#endif
