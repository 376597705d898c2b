#include "model/blank.h"

#include "base/text.h"

bool blank_same_strips(const struct project *project, const struct blank *a,
                       const struct blank *b) {
  const struct stock *from_a = &project->stocks[a->stock];
  const struct stock *from_b = &project->stocks[b->stock];
  return a->part == b->part && a->strips == b->strips && a->hold == b->hold &&
         a->clamp == b->clamp && a->length == b->length && a->width == b->width &&
         a->glued_sideways == b->glued_sideways && from_a->thickness == from_b->thickness &&
         text_equal_fold(from_a->wood, from_b->wood);
}
