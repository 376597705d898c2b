/* How far the cutters of one part go outside its finished outline, and where the nut
 * above them would meet a clamp. */
#ifndef BLANKWRIGHT_MODEL_REACH_H
#define BLANKWRIGHT_MODEL_REACH_H

#include "model/project.h"

/* A cutter that leaves the outline while the part lies flat on the bed. */
struct outside_cutter {
  length_t outside;  /* furthest it goes outside the outline */
  length_t centre;   /* of it, furthest outside the outline */
  length_t overhang; /* of the nut beyond `outside`; 0 when nut or stick-out is not given */
  length_t stickout;
  length_t depth; /* below the faced top; unused when `through` */
  bool through;   /* goes through the raw stock into the waste board */
};

/* All cutters of a part that leave its outline. */
struct reach {
  length_t cutter_diameter; /* of the profile cutter, or the stated default */
  bool default_cutter;      /* the part has no profile step on the bed */
  length_t outside;         /* furthest of all */
  struct outside_cutter *cutters;
  size_t cutter_count;
};

/* The stated default profile cutter: 6 mm, or 1/4 in. Common practice, no source. */
length_t reach_default_diameter(enum unit unit);

/* `steps` are the part's own, step_count of them. A face that no face step names a cutter for is
 * faced with the profile's cutter. Lives in the arena. */
void reach_of_part(struct arena *arena, const struct project *project, const struct part *part,
                   const struct step *const *steps, size_t step_count, struct reach *reach);

/* One step by itself; false where its cutter stays within the outline or it is no clamping of the
 * flat blank. */
bool reach_of_step(const struct project *project, const struct step *step,
                   struct outside_cutter *cutter);

/* Outline to the far side of the gap that must stay free of a clamp whose top stands
 * `top` above the raw stock's top (negative: below it), in stock `raw` thick for a part
 * `finished` thick: the largest reach plus nut overhang, without the clear gap. */
length_t reach_to_clamp(const struct reach *reach, const struct shop *shop, length_t raw,
                        length_t finished, length_t top);

#endif
