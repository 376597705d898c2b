/* Blanks wider than a plank, glued up from strips that lie side by side across the grain. */
#ifndef BLANKWRIGHT_SIZE_GLUE_H
#define BLANKWRIGHT_SIZE_GLUE_H

#include "size/choice.h"

enum { STRIPS_MOST = 6 };

/* The width of each of n strips, alike, that make up `whole` once both faces of each of the
 * n - 1 joints are planed straight; raised to mark_step. */
length_t glue_strip_width(const struct shop *shop, length_t whole, int64_t n);

/* The planks of one wood and thickness that a part may come from; strips of one blank never
 * mix them. */
struct glue_planks {
  const struct project *project;
  const size_t *stocks;
  size_t count;
};

/* Adds the strips of one size of a part to the blanks: for each plank too narrow for the blank
 * as few strips as its width allows, and one more; each number of strips in every plank
 * that holds such a strip. `like` is the blank they make, its stock and size apart. */
void glue_add_strips(struct arena *arena, const struct glue_planks *planks,
                     const struct choice *choice, const struct blank *like, struct blanks *blanks);

#endif
