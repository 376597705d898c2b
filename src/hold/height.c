#include "hold/height.h"

#include "model/machining.h"

length_t height_above_stock(const struct clamp *clamp, length_t standing) {
  return clamp->height - (clamp->height_from == HEIGHT_FROM_BED ? standing : 0);
}

/* Flute or neck, whichever is longer. */
static length_t flute_reach(const struct cutter *cutter) {
  return larger(cutter->flute_length, cutter->neck_reach);
}

length_t height_reachable(const struct shop *shop, const struct cutter *cutter, length_t above) {
  length_t reach = flute_reach(cutter);
  if (cutter->stickout > 0) reach = smaller(reach, cutter->stickout - shop->nut_margin);
  reach = smaller(reach, shop->travel_z - shop->clearance - larger(0, above));
  return larger(0, reach);
}

/* One clamping as it is looked at. */
struct looking {
  struct arena *arena;
  const struct height_work *work;
  struct heights *heights;
  length_t standing;
  length_t above; /* highest clamp's top over the stock, at least 0 */
};

static void find(struct looking *looking, struct height_finding finding) {
  if (finding.needs <= finding.has) return;
  struct heights *heights = looking->heights;
  *ARENA_PUSH(looking->arena, heights->findings, heights->finding_count, heights->finding_room) =
      finding;
}

static const struct cutter *cutter_of(const struct looking *looking, const struct step *step) {
  return &looking->work->project->cutters[step->cutter];
}

static void check_spindle(struct looking *looking) {
  const struct shop *shop = &looking->work->project->shop;
  const struct work_clamping *clamping = looking->work->clamping;
  length_t longest = 0;
  for (size_t i = 0; i < clamping->step_count; i++)
    longest = larger(longest, cutter_of(looking, clamping->steps[i])->stickout);
  struct heights *heights = looking->heights;
  length_t work_top = looking->standing + looking->above + shop->clearance;
  heights->daylight = shop->waste_board + work_top + longest;
  heights->travel = work_top + shop->overcut;
  find(looking,
       (struct height_finding){HEIGHT_DAYLIGHT, NULL, SIZE_MAX, heights->daylight, shop->daylight});
  find(looking,
       (struct height_finding){HEIGHT_TRAVEL, NULL, SIZE_MAX, heights->travel, shop->travel_z});
}

static void check_waste_board(struct looking *looking) {
  const struct shop *shop = &looking->work->project->shop;
  length_t least = shop_unit(shop) == UNIT_INCH ? LENGTH_PER_INCH / 4 : MM(6);
  find(looking, (struct height_finding){HEIGHT_OVERCUT, NULL, SIZE_MAX, 3 * shop->overcut,
                                        shop->waste_board});
  find(looking,
       (struct height_finding){HEIGHT_WASTE_BOARD, NULL, SIZE_MAX, least, shop->waste_board});
}

/* The nut's underside is `room` above the stock's top when the step is at its full depth. */
static void check_nut(struct looking *looking, const struct step *step, length_t below_top) {
  const struct height_work *work = looking->work;
  const struct shop *shop = &work->project->shop;
  const struct cutter *cutter = cutter_of(looking, step);
  if (cutter->stickout <= 0) return;
  length_t room = cutter->stickout - below_top;
  find(looking, (struct height_finding){HEIGHT_NUT_STOCK, step, SIZE_MAX, shop->nut_margin, room});
  if (cutter->nut_diameter <= cutter->diameter) return;
  for (size_t i = 0; i < work->clamp_count; i++) {
    length_t top = height_above_stock(&work->clamps[i], looking->standing);
    if (top > 0)
      find(looking,
           (struct height_finding){HEIGHT_NUT_CLAMP, step, i, top + shop->nut_margin, room});
  }
}

/* What is left over goes to the drill press when it is a hole, else to the saw. */
static void add_cut(struct looking *looking, const struct step *step, length_t needs,
                    length_t deepest, length_t on_bed) {
  bool hole = step->kind == STEP_DRILL;
  struct heights *heights = looking->heights;
  *ARENA_PUSH(looking->arena, heights->cuts, heights->cut_count, heights->cut_room) =
      (struct cut_through){.step = step,
                           .needs = needs,
                           .deepest = deepest,
                           .on_bed = on_bed,
                           .left = needs - on_bed,
                           .finish = hole ? PLACE_DRILL_PRESS : PLACE_SAW};
}

/* A profile begins at the raw top, all else at the faced one; the nut stays above the raw top in
 * either case, for the rim stands beside it. */
static void check_step(struct looking *looking, const struct step *step) {
  const struct height_work *work = looking->work;
  const struct shop *shop = &work->project->shop;
  const struct cutter *cutter = cutter_of(looking, step);
  length_t faced =
      machining_faced(work->part, work->steps, work->step_count, step->side, work->raw);
  length_t depth = machining_depth(shop, work->part, step, work->raw, faced);
  bool from_raw = step->kind == STEP_PROFILE || step->kind == STEP_FACE;
  length_t below_top = depth + (from_raw || step->stand != STAND_FLAT ? 0 : faced);
  check_nut(looking, step, below_top);
  length_t above = looking->above;
  length_t deepest = height_reachable(shop, cutter, above) - (below_top - depth);
  length_t flute = flute_reach(cutter);
  enum height_limit limit = step->kind == STEP_PROFILE ? HEIGHT_FLUTE : HEIGHT_DEPTH;
  /* A facing cutter sinks no deeper than one pass below what stands beside it. */
  length_t beside =
      step->kind == STEP_FACE && cutter->stepdown > 0 ? smaller(depth, cutter->stepdown) : depth;
  find(looking, (struct height_finding){limit, step, SIZE_MAX, beside, flute});
  deepest = larger(0, deepest);
  if (step->kind != STEP_FACE && depth > deepest) add_cut(looking, step, depth, deepest, deepest);
}

/* Drilled elsewhere: the bed marks the places with holes to start in. */
static void check_elsewhere(struct looking *looking) {
  const struct height_work *work = looking->work;
  for (size_t i = 0; i < work->step_count; i++) {
    const struct step *step = work->steps[i];
    if (step->place != PLACE_DRILL_PRESS || step->kind != STEP_DRILL ||
        step->side != work->clamping->side || step->stand != work->clamping->stand)
      continue;
    length_t faced =
        machining_faced(work->part, work->steps, work->step_count, step->side, work->raw);
    length_t depth = machining_depth(&work->project->shop, work->part, step, work->raw, faced);
    length_t deepest =
        height_reachable(&work->project->shop, cutter_of(looking, step), looking->above) - faced;
    deepest = larger(0, deepest);
    add_cut(looking, step, depth, deepest, smaller(depth, smaller(PILOT_DEPTH, deepest)));
  }
}

void height_check(struct arena *arena, const struct height_work *work, struct heights *heights) {
  *heights = (struct heights){0};
  struct looking looking = {.arena = arena, .work = work, .heights = heights};
  looking.standing = machining_standing(work->part, work->clamping->stand, work->raw);
  for (size_t i = 0; i < work->clamp_count; i++)
    looking.above = larger(looking.above, height_above_stock(&work->clamps[i], looking.standing));
  check_spindle(&looking);
  check_waste_board(&looking);
  for (size_t i = 0; i < work->clamping->step_count; i++)
    check_step(&looking, work->clamping->steps[i]);
  check_elsewhere(&looking);
}

length_t height_centre(const struct reach *reach) {
  length_t centre = reach->default_cutter ? (reach->cutter_diameter + 1) / 2 : 0;
  for (size_t i = 0; i < reach->cutter_count; i++)
    centre = larger(centre, reach->cutters[i].centre);
  return centre;
}
