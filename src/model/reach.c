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

/* Facing is done when the cutter is wholly past the edge: half of it, and the run-off. Its depth is
 * what is faced away, known from the stock. */
static void goes_over_face(const struct shop *shop, length_t diameter,
                           struct outside_cutter *made) {
  made->centre = shop->face_runoff;
  made->outside = (diameter + 1) / 2 + shop->face_runoff;
  made->depth = 0;
  made->through = false;
}

bool reach_of_step(const struct project *project, const struct step *step,
                   struct outside_cutter *made) {
  if (!leaves_outline(step)) return false;
  const struct cutter *cutter = &project->cutters[step->cutter];
  *made = (struct outside_cutter){.stickout = cutter->stickout, .depth = step->depth};
  switch (step->kind) {
    case STEP_PROFILE:
      made->outside = cutter->diameter;
      made->centre = (cutter->diameter + 1) / 2;
      made->through = true;
      break;
    case STEP_FACE:
      goes_over_face(&project->shop, cutter->diameter, made);
      break;
    default:
      made->outside = chamfer_radius(cutter, step->depth);
      break;
  }
  made->overhang = nut_overhang(cutter, made->centre, made->outside);
  return true;
}

/* Whether a face of the part is to be taken down and no face step says with what. */
static bool faced_by_profile(const struct part *part, const struct step *const *steps,
                             size_t step_count) {
  int faces = part->faced == FACED_TWO ? 2 : part->faced == FACED_ONE ? 1 : 0;
  bool told[2] = {false, false};
  for (size_t i = 0; i < step_count; i++)
    if (steps[i]->kind == STEP_FACE && steps[i]->stand == STAND_FLAT) told[steps[i]->side] = true;
  return (int)told[SIDE_TOP] + (int)told[SIDE_UNDER] < faces;
}

static void add_cutter(struct reach *reach, struct outside_cutter cutter) {
  reach->cutters[reach->cutter_count++] = cutter;
  reach->outside = larger(reach->outside, cutter.outside);
}

/* Every profile's cutter may be the one. */
static void add_profile_faces(const struct project *project, const struct step *const *steps,
                              size_t step_count, struct reach *reach) {
  for (size_t i = 0; i < step_count; i++) {
    struct outside_cutter made;
    if (steps[i]->kind != STEP_PROFILE || !reach_of_step(project, steps[i], &made)) continue;
    const struct cutter *cutter = &project->cutters[steps[i]->cutter];
    goes_over_face(&project->shop, cutter->diameter, &made);
    made.overhang = nut_overhang(cutter, made.centre, made.outside);
    add_cutter(reach, made);
  }
}

void reach_of_part(struct arena *arena, const struct project *project, const struct part *part,
                   const struct step *const *steps, size_t step_count, struct reach *reach) {
  *reach = (struct reach){.cutters = ARENA_ARRAY(arena, 2 * step_count + 1, struct outside_cutter)};
  for (size_t i = 0; i < step_count; i++) {
    struct outside_cutter made;
    if (!reach_of_step(project, steps[i], &made)) continue;
    add_cutter(reach, made);
    if (made.through) reach->cutter_diameter = larger(reach->cutter_diameter, made.outside);
  }
  bool by_profile = faced_by_profile(part, steps, step_count);
  if (by_profile) add_profile_faces(project, steps, step_count, reach);
  reach->default_cutter = reach->cutter_diameter == 0;
  if (!reach->default_cutter) return;
  reach->cutter_diameter = reach_default_diameter(shop_unit(&project->shop));
  reach->outside = larger(reach->outside, reach->cutter_diameter);
  if (!by_profile) return;
  struct outside_cutter made = {.outside = 0};
  goes_over_face(&project->shop, reach->cutter_diameter, &made);
  add_cutter(reach, made);
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
