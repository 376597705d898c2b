#include "hold/force.h"

#include <math.h>

#include "model/machining.h"

static double millimetres(length_t length) { return (double)length / (double)LENGTH_PER_MM; }

/* Doubles are good to far below the thousandth that the result is raised to; the few parts in
 * 10^12 taken off keep a whole number from being raised by their error. */
int64_t force_tangential(int64_t energy, length_t depth, length_t width, length_t feed,
                         length_t diameter, int64_t rpm) {
  if (diameter <= 0 || rpm <= 0) return 0;
  double removed = millimetres(depth) * millimetres(width) * millimetres(feed);
  double way = acos(-1.0) * millimetres(diameter) * (double)rpm;
  double force = (double)energy * removed / way;
  return force >= 1e15 ? INT64_C(1000000000000000) : (int64_t)ceil(force * (1 - 1e-12));
}

int64_t force_of_step(const struct project *project, const struct step *step, length_t depth) {
  const struct shop *shop = &project->shop;
  const struct cutter *cutter = &project->cutters[step->cutter];
  length_t pass = cutter->stepdown > 0 ? smaller(depth, cutter->stepdown) : depth;
  length_t width = cutter->diameter, feed = cutter->feed;
  switch (step->kind) {
    case STEP_FACE:
      width = smaller(width, cutter->stepover);
      break;
    case STEP_CHAMFER:
      width = smaller(width, pass);
      break;
    case STEP_DRILL: /* a disc of the drill's size, let down: pi D2 / 4 = D (pi D / 4) */
      pass = llround(acos(-1.0) * (double)cutter->diameter / 4);
      feed = cutter->plunge;
      break;
    default:
      break;
  }
  int64_t force =
      force_tangential(shop->cutting_energy, pass, width, feed, cutter->diameter, cutter->rpm);
  return force > shop->cut_force_min ? force : shop->cut_force_min;
}

int64_t force_of_steps(const struct project *project, const struct step *const *steps,
                       size_t step_count, length_t raw, size_t *worst) {
  int64_t most = project->shop.cut_force_min;
  if (worst != NULL) *worst = SIZE_MAX;
  for (size_t i = 0; i < step_count; i++) {
    if (steps[i]->place != PLACE_BED) continue;
    const struct part *part = &project->parts[steps[i]->part];
    length_t faced = machining_faced(part, steps, step_count, steps[i]->side, raw);
    length_t depth = machining_depth(&project->shop, part, steps[i], raw, faced);
    int64_t force = force_of_step(project, steps[i], depth);
    if (force <= most) continue;
    most = force;
    if (worst != NULL) *worst = i;
  }
  return most;
}

int64_t force_to_hold(const struct shop *shop, int64_t force) {
  if (shop->hold_safety <= 0) return force;
  if (force > (INT64_MAX - 999) / shop->hold_safety) return INT64_MAX;
  return (force * shop->hold_safety + 999) / 1000;
}

length_t force_chip_load(const struct cutter *cutter) {
  if (cutter->rpm <= 0 || cutter->flutes <= 0) return -1;
  return cutter->feed / (cutter->rpm * cutter->flutes);
}

/* The bounds are compared in whole numbers, so that 0.02 and 0.10 themselves are within. */
bool force_chip_load_odd(const struct cutter *cutter) {
  if (cutter->rpm <= 0 || cutter->flutes <= 0) return false;
  int64_t edges = cutter->rpm * cutter->flutes;
  return cutter->feed < CHIP_LOAD_LEAST * edges || cutter->feed > CHIP_LOAD_MOST * edges;
}

int64_t force_tab(length_t width, length_t height, int64_t shear) {
  double force = millimetres(width) * millimetres(height) * (double)shear;
  return force >= 1e15 ? INT64_C(1000000000000000) : (int64_t)floor(force * (1 + 1e-12));
}
