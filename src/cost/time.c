#include "cost/time.h"

#include <math.h>

#include "model/machining.h"

/* A step's work, in lengths at three speeds. Sums of them are exact in doubles up to 2^53, far
 * over any project's. */
struct moves {
  double cut, plunge, above;
};

static length_t fastest(const struct project *project) {
  length_t fast = 0;
  for (size_t i = 0; i < project->cutter_count; i++)
    if (project->cutters[i].feed > fast) fast = project->cutters[i].feed;
  return fast;
}

static double minutes(double length, length_t speed) {
  return speed > 0 ? length / (double)speed : 0;
}

/* Of an area in thousandths of a square mm, in lines so far apart. */
static double lines_of_area(int64_t area, length_t stepover) {
  double square = (double)area / 1000.0 * (double)LENGTH_PER_MM * (double)LENGTH_PER_MM;
  return stepover > 0 ? square / (double)stepover : 0;
}

static double face_of_part(const struct part *part) {
  double square = (double)part->length * (double)part->width;
  return part->shape == SHAPE_ROUND ? square * acos(-1.0) / 4 : square;
}

static double facing_path(const struct timed_part *timed, const struct step *step,
                          const struct cutter *cutter) {
  if (step->area > 0) return lines_of_area(step->area, cutter->stepover);
  const struct part *part = timed->part;
  int64_t paths =
      machining_facing_paths(part->width + cutter->diameter, cutter->diameter, cutter->stepover);
  return (double)paths * (double)part->length + (double)part->width;
}

static double pocket_path(const struct timed_part *timed, const struct step *step,
                          const struct cutter *cutter) {
  if (step->area > 0) return lines_of_area(step->area, cutter->stepover);
  return cutter->stepover > 0 ? face_of_part(timed->part) / (double)cutter->stepover : 0;
}

/* Up and down over the tabs, all passes together. */
static double over_tabs(const struct timed_part *timed, length_t depth, length_t stepdown) {
  if (timed->tabs <= 0) return 0;
  length_t top = timed->tab_height + timed->project->shop.overcut; /* above the last pass */
  length_t lowest = top < depth ? top : depth;
  if (lowest <= 0) return 0;
  /* From the last pass up each is a stepdown higher. In one sum, since there may be millions. */
  double passes = (double)machining_passes(lowest, stepdown);
  double up = passes * (double)top - (double)stepdown * passes * (passes - 1) / 2;
  return 2 * up * (double)timed->tabs;
}

static struct moves profile_moves(const struct timed_part *timed, const struct step *step,
                                  const struct cutter *cutter, length_t depth) {
  double path = (double)step->path;
  if (step->path <= 0)
    path = (double)machining_outline(timed->part) + acos(-1.0) * (double)cutter->diameter;
  int64_t passes = machining_passes(depth, cutter->stepdown);
  return (struct moves){.cut = path * (double)passes,
                        .plunge = (double)depth + over_tabs(timed, depth, cutter->stepdown)};
}

static struct moves drill_moves(const struct step *step, length_t depth) {
  length_t peck = step->peck > 0 ? step->peck : depth;
  double pecks = (double)machining_passes(depth, peck);
  return (struct moves){.plunge = (double)depth, .above = (double)peck * pecks * (pecks - 1)};
}

static struct moves moves_of(const struct timed_part *timed, const struct step *step,
                             const struct cutter *cutter, length_t depth) {
  double passes = (double)machining_passes(depth, cutter->stepdown);
  struct moves moves = {.plunge = (double)depth};
  switch (step->kind) {
    case STEP_PROFILE:
      return profile_moves(timed, step, cutter, depth);
    case STEP_DRILL:
      return drill_moves(step, depth);
    case STEP_FACE:
      moves.cut = passes * facing_path(timed, step, cutter);
      return moves;
    case STEP_POCKET:
      moves.cut = passes * pocket_path(timed, step, cutter);
      return moves;
    default:
      moves.cut = passes * (double)(step->path > 0 ? step->path : machining_outline(timed->part));
      return moves;
  }
}

int64_t time_step(const struct timed_part *timed, const struct step *step) {
  const struct project *project = timed->project;
  const struct cutter *cutter = &project->cutters[step->cutter];
  if (step->place != PLACE_BED) return 0;
  length_t faced =
      machining_faced(timed->part, timed->steps, timed->step_count, step->side, timed->raw);
  length_t depth = machining_depth(&project->shop, timed->part, step, timed->raw, faced);
  if (depth <= 0) return 0;
  struct moves moves = moves_of(timed, step, cutter, depth);
  moves.above += (double)(depth + 2 * project->shop.clearance);
  length_t plunge = cutter->plunge > 0 ? cutter->plunge : cutter->feed;
  length_t fast = fastest(project);
  double taken =
      minutes(moves.cut, cutter->feed) + minutes(moves.plunge, plunge) + minutes(moves.above, fast);
  taken *= (double)step->count;
  if (step->kind == STEP_DRILL) taken += minutes((double)step->path, fast);
  return llround(1000 * taken);
}
