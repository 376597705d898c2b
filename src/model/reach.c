#include "model/reach.h"

#include <math.h>

length_t reach_default_diameter(enum unit unit) {
  return unit == UNIT_INCH ? LENGTH_PER_INCH / 4 : MM(6);
}

/* Radius of a pointed cutter at a depth. An angle not given is taken for 90 degrees. */
static length_t chamfer_radius(const struct cutter *cutter, length_t depth) {
  length_t most = (cutter->diameter + 1) / 2;
  length_t radius = depth;
  if (cutter->angle >= 179000) return most;
  if (cutter->angle > 0 && cutter->angle != 90000) {
    double half = (double)cutter->angle / 2000.0 * acos(-1.0) / 180.0;
    double exact = (double)depth * tan(half);
    if (exact >= (double)most) return most;
    radius = (length_t)ceil(exact);
  }
  return radius < most ? radius : most;
}

/* Of the nut over what the cutter itself reaches: of a pointed cutter that is less than its
 * radius, so it is counted from the middle. */
static length_t nut_overhang(const struct cutter *cutter, length_t centre, length_t outside) {
  if (cutter->stickout <= 0 || cutter->nut_diameter <= cutter->diameter) return 0;
  return larger(0, centre + (cutter->nut_diameter + 1) / 2 - outside);
}

/* Pockets and holes stay inside the outline, and what is done at the saw, at the drill press
 * or standing on edge is no clamping of the flat blank. */
static bool leaves_outline(const struct step *step) {
  return step->place == PLACE_BED && step->stand == STAND_FLAT &&
         (step->kind == STEP_PROFILE || step->kind == STEP_FACE || step->kind == STEP_CHAMFER);
}

static struct outside_cutter outside_cutter(const struct project *project,
                                            const struct step *step) {
  const struct cutter *cutter = &project->cutters[step->cutter];
  struct outside_cutter made = {.stickout = cutter->stickout, .depth = step->depth};
  switch (step->kind) {
    case STEP_PROFILE:
      made.outside = cutter->diameter;
      made.centre = (cutter->diameter + 1) / 2;
      made.through = true;
      break;
    case STEP_FACE: /* the depth of a face step is what is faced away, known from the stock */
      made.outside = (cutter->diameter + 1) / 2;
      made.depth = 0;
      break;
    default:
      made.outside = chamfer_radius(cutter, step->depth);
      break;
  }
  made.overhang = nut_overhang(cutter, made.centre, made.outside);
  return made;
}

/* A face that no face step names a cutter for is faced with the profile's cutter, which
 * goes half as far outside as it does in the profile and less deep: it adds nothing. */
void reach_of_part(struct arena *arena, const struct project *project,
                   const struct step *const *steps, size_t step_count, struct reach *reach) {
  *reach = (struct reach){.cutters = ARENA_ARRAY(arena, step_count, struct outside_cutter)};
  for (size_t i = 0; i < step_count; i++) {
    if (!leaves_outline(steps[i])) continue;
    struct outside_cutter made = outside_cutter(project, steps[i]);
    reach->cutters[reach->cutter_count++] = made;
    reach->outside = larger(reach->outside, made.outside);
    if (made.through) reach->cutter_diameter = larger(reach->cutter_diameter, made.outside);
  }
  reach->default_cutter = reach->cutter_diameter == 0;
  if (reach->default_cutter) {
    reach->cutter_diameter = reach_default_diameter(shop_unit(&project->shop));
    reach->outside = larger(reach->outside, reach->cutter_diameter);
  }
}

length_t reach_to_clamp(const struct reach *reach, const struct shop *shop, length_t raw,
                        length_t finished, length_t top) {
  length_t removed = larger(0, raw - finished);
  length_t furthest = reach->outside;
  for (size_t i = 0; i < reach->cutter_count; i++) {
    const struct outside_cutter *cutter = &reach->cutters[i];
    length_t below_top = cutter->through ? raw + shop->overcut : removed + cutter->depth;
    length_t room = cutter->stickout - below_top;
    if (top + shop->nut_margin > room)
      furthest = larger(furthest, cutter->outside + cutter->overhang);
  }
  return furthest;
}
