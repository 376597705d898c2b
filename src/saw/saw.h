/* From layouts to the order of work at the saw: cuts, fence settings, cautions. */
#ifndef BLANKWRIGHT_SAW_SAW_H
#define BLANKWRIGHT_SAW_SAW_H

#include "model/plan.h"

/* Fills plan->cuts, plan->fence_settings from plan->layouts. Each cut frees a piece a
 * later cut needs or a finished piece; cuts of the same fence setting follow each other
 * where that order allows. Deterministic. */
void saw_order(struct arena *arena, const struct project *project, struct plan *plan);

/* What a caution says, with its numbers, in the project's unit; lives in the arena. */
const char *saw_caution_text(struct arena *arena, const struct project *project,
                             const struct cut *cut, unsigned caution_bit);

/* A few words naming a caution for a table cell or plan.json ("short rip"); never NULL. */
const char *saw_caution_name(unsigned caution_bit);

#endif
