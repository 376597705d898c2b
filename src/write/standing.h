/* What is said with every plan. */
#ifndef BLANKWRIGHT_WRITE_STANDING_H
#define BLANKWRIGHT_WRITE_STANDING_H

#include "base/buffer.h"
#include "model/plan.h"

/* The cautions that always hold, from 0; NULL behind the last. */
const char *standing_caution(size_t index);

/* The cautions that are always printed. */
void add_standing_cautions(struct buffer *buffer);

/* "bed_length 380 mm, daylight 110 mm": what view_default_mattered holds for, or NULL
 * where nothing does. Lives in the arena. */
const char *defaults_text(struct arena *arena, const struct project *project,
                          const struct blanks *blanks, const struct plan *plan);

#endif
