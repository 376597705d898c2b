/* What a step of the router comes to in depths and passes: for the clamping as for the clock. */
#ifndef BLANKWRIGHT_MODEL_MACHINING_H
#define BLANKWRIGHT_MODEL_MACHINING_H

#include "model/project.h"

/* How high the part stands on the bed: `raw` flat, its finished width on edge, its finished
 * length on end, since that is done after it is parted. */
length_t machining_standing(const struct part *part, enum stand stand, length_t raw);

/* Whether a step goes out on the far side: every profile, and a hole or pocket that is given no
 * depth or one no less than there is of the part in the cutter's direction. */
bool machining_through(const struct part *part, const struct step *step);

/* What facing takes off the face that a step of this side works from. Both faces of a part
 * faced on two sides give half of what is too much, the top the odd 1/8000 mm, unless face steps
 * say how much off one of them: the other gives the rest. 0 where the
 * part's face on this side is left as it is: for a part faced on one side the side of its first
 * face step, the top without one. `steps` are the part's own. */
length_t machining_faced(const struct part *part, const struct step *const *steps,
                         size_t step_count, enum side side, length_t raw);

/* A step's depth below the surface it begins at. A profile begins in the unfaced rim and goes
 * through raw stock into the waste board, so does what goes through where nothing was faced
 * before; other holes and pockets are counted from the faced surface. `faced` is what
 * machining_faced says of the step's side. */
length_t machining_depth(const struct shop *shop, const struct part *part, const struct step *step,
                         length_t raw, length_t faced);

/* Passes of at most `stepdown` for a depth; at least 1. A stepdown of 0 is one pass. */
int64_t machining_passes(length_t depth, length_t stepdown);

/* Parallel paths at a distance of at most `stepover` that clear a width with a cutter that stays
 * within its edges: ceil((width - diameter) / stepover) + 1. Derived. */
int64_t machining_facing_paths(length_t width, length_t diameter, length_t stepover);

/* The finished outline: 2 (length + width), of a round pi times its diameter (to the nearest
 * 1/8000 mm). */
length_t machining_outline(const struct part *part);

#endif
