#include "model/machining.h"

#include <math.h>

length_t machining_standing(const struct part *part, enum stand stand, length_t raw) {
  switch (stand) {
    case STAND_EDGE:
      return part->width;
    case STAND_END:
      return part->length;
    default:
      return raw;
  }
}

bool machining_through(const struct part *part, const struct step *step) {
  length_t there_is = machining_standing(part, step->stand, part->thickness);
  switch (step->kind) {
    case STEP_PROFILE:
      return true;
    case STEP_POCKET:
    case STEP_DRILL:
      return step->depth == 0 || step->depth >= there_is;
    default:
      return false;
  }
}

/* The one face a part faced on one side gives. */
static enum side faced_side(const struct step *const *steps, size_t step_count) {
  for (size_t i = 0; i < step_count; i++)
    if (steps[i]->kind == STEP_FACE && steps[i]->stand == STAND_FLAT) return steps[i]->side;
  return SIDE_TOP;
}

/* What the face steps of a side come to; 0 where there are none or one leaves its depth open. */
static length_t stated_depth(const struct step *const *steps, size_t step_count, enum side side) {
  length_t depth = 0;
  for (size_t i = 0; i < step_count; i++) {
    if (steps[i]->kind != STEP_FACE || steps[i]->stand != STAND_FLAT || steps[i]->side != side)
      continue;
    if (steps[i]->depth == 0) return 0;
    depth += steps[i]->depth;
  }
  return depth;
}

/* Of what is too much, what the top gives where both faces are taken down. */
static length_t off_top(const struct step *const *steps, size_t step_count, length_t removed) {
  length_t top = stated_depth(steps, step_count, SIDE_TOP);
  length_t under = stated_depth(steps, step_count, SIDE_UNDER);
  if (top > 0) return smaller(top, removed);
  return under > 0 ? larger(0, removed - under) : removed - removed / 2;
}

length_t machining_faced(const struct part *part, const struct step *const *steps,
                         size_t step_count, enum side side, length_t raw) {
  length_t removed = raw > part->thickness ? raw - part->thickness : 0;
  switch (part->faced) {
    case FACED_ONE:
      return side == faced_side(steps, step_count) ? removed : 0;
    case FACED_TWO:
      return side == SIDE_TOP ? off_top(steps, step_count, removed)
                              : removed - off_top(steps, step_count, removed);
    default:
      return 0;
  }
}

length_t machining_depth(const struct shop *shop, const struct part *part, const struct step *step,
                         length_t raw, length_t faced) {
  length_t standing = machining_standing(part, step->stand, raw);
  if (step->kind == STEP_FACE) return step->depth > 0 ? step->depth : faced;
  if (step->kind == STEP_PROFILE) return standing + shop->overcut;
  if (!machining_through(part, step)) return step->depth;
  return standing - (step->stand == STAND_FLAT ? faced : 0) + shop->overcut;
}

int64_t machining_passes(length_t depth, length_t stepdown) {
  if (depth <= 0 || stepdown <= 0) return 1;
  return (depth + stepdown - 1) / stepdown;
}

int64_t machining_facing_paths(length_t width, length_t diameter, length_t stepover) {
  if (width <= diameter || stepover <= 0) return 1;
  return (width - diameter + stepover - 1) / stepover + 1;
}

length_t machining_outline(const struct part *part) {
  if (part->shape == SHAPE_ROUND) return llround(acos(-1.0) * (double)part->length);
  return 2 * (part->length + part->width);
}
