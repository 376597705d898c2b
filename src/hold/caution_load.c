#include "hold/caution.h"

#include <math.h>

#include "model/machining.h"
#include "model/reach.h"

enum { SPAN_OF_THICKNESS = 15 }; /* common practice, no source */

/* Between two stretches of a line; 0 where they meet. */
static length_t apart(length_t low, length_t high, length_t other_low, length_t other_high) {
  return larger(0, larger(other_low - high, low - other_high));
}

/* How near a clamp stands to an outline, as the rules see it: a rectangle's path has square
 * corners, so that the larger of the two distances counts. */
static length_t distance(const struct project *project, const struct held_part *part,
                         const struct held_clamp *clamp) {
  if (project->parts[part->part].shape != SHAPE_ROUND) {
    length_t x = apart(part->x, part->x + part->length, clamp->x, clamp->x + clamp->length);
    length_t y = apart(part->y, part->y + part->width, clamp->y, clamp->y + clamp->width);
    return larger(x, y);
  }
  length_t radius = part->length / 2;
  length_t middle_x = part->x + radius, middle_y = part->y + radius;
  length_t x = apart(middle_x, middle_x, clamp->x, clamp->x + clamp->length);
  length_t y = apart(middle_y, middle_y, clamp->y, clamp->y + clamp->width);
  return larger(0, llround(hypot((double)x, (double)y)) - radius);
}

/* What of a tool meets the clamp, by how much too near. */
struct meeting {
  const char *what; /* NULL: nothing does */
  size_t part;
  const struct step *step;
  length_t missing; /* to the side */
  length_t under;   /* room under it at full depth, from the stock's top; may be below 0 */
};

/* Looks at one clamp in one fixing. */
struct looking {
  const struct caution_load *load;
  const struct fixing *fixing;
  const struct held_clamp *held;
  struct held_clamp lies; /* as it lies to the wood in this fixing */
  length_t top;           /* of the clamp over the stock */
  struct meeting worst;
};

static void look(struct looking *looking, size_t part, const struct step *step, const char *what,
                 length_t outside, length_t under, length_t margin) {
  if (looking->top + margin <= under) return;
  const struct project *project = looking->load->project;
  length_t wants = outside + project->shop.clear_gap;
  length_t missing = wants - distance(project, &looking->load->load->parts[part], &looking->lies);
  if (missing <= looking->worst.missing) return;
  looking->worst = (struct meeting){what, part, step, missing, under};
}

/* Cutter, shank and nut of one step at its full depth. */
static void look_at_step(struct looking *looking, size_t part, const struct step *step,
                         const struct outside_cutter *tool, length_t below_top) {
  const struct cutter *cutter = &looking->load->project->cutters[step->cutter];
  length_t margin = looking->load->project->shop.nut_margin;
  look(looking, part, step, "cutter", tool->outside, -below_top, 0);
  length_t flute = larger(cutter->flute_length, cutter->neck_reach);
  if (cutter->shank > cutter->diameter)
    look(looking, part, step, "shank", tool->centre + (cutter->shank + 1) / 2, flute - below_top,
         margin);
  if (tool->overhang > 0)
    look(looking, part, step, "nut", tool->outside + tool->overhang, cutter->stickout - below_top,
         margin);
}

/* Only what leaves the outline is looked at: where pockets and holes lie is not known. */
static void look_at_part(struct looking *looking, size_t index, const struct step *const *own,
                         size_t count) {
  const struct project *project = looking->load->project;
  const struct load *load = looking->load->load;
  const struct part *part = &project->parts[load->parts[index].part];
  length_t faced = machining_faced(part, own, count, looking->fixing->side, load->thickness);
  for (size_t i = 0; i < count; i++) {
    struct outside_cutter tool;
    if (own[i]->side != looking->fixing->side || !reach_of_step(project, own[i], &tool)) continue;
    length_t depth = machining_depth(&project->shop, part, own[i], load->thickness, faced);
    length_t below_top = depth + (own[i]->kind == STEP_CHAMFER ? faced : 0);
    look_at_step(looking, index, own[i], &tool, below_top);
  }
}

/* A load that is fixed once needs no word of which fixing. */
static const char *fixing_text(struct arena *arena, const struct looking *looking) {
  const struct load *load = looking->load->load;
  if (load->fixing_count < 2) return "";
  return arena_format(arena, " in fixing %zu, %s face up",
                      (size_t)(looking->fixing - load->fixings) + 1,
                      looking->fixing->side == SIDE_TOP ? "top" : "under");
}

static void add_meeting(struct hold_cautions *cautions, const struct looking *looking) {
  const struct caution_load *load = looking->load;
  const struct project *project = load->project;
  const struct meeting *worst = &looking->worst;
  const char *under = worst->under >= 0
                          ? arena_format(cautions->arena, "is %s above the stock",
                                         hold_caution_length(cautions, project, worst->under))
                          : arena_format(cautions->arena, "goes %s below the stock's top",
                                         hold_caution_length(cautions, project, -worst->under));
  const char *top =
      hold_caution_length(cautions, project, looking->top < 0 ? -looking->top : looking->top);
  struct hold_caution *made = hold_caution_add(
      cautions, HOLD_CAUTION_MEETS_CLAMP,
      "the %s meets clamp '%s' (%s)%s: at full depth it %s, the clamp ends %s %s it, and it stands "
      "%s "
      "too near: move the clamp off by that, let the cutter stick out further or use a lower "
      "clamp, and run the path once above the work before cutting; the router's manual and your "
      "training come before this line",
      worst->what, load->clamps[looking->held->clamp].name, bed_side_text(looking->held->side),
      fixing_text(cautions->arena, looking), under, top, looking->top < 0 ? "below" : "above",
      hold_caution_length(cautions, project, worst->missing));
  made->load = load->name;
  made->part = load->load->parts[worst->part].part;
  made->step = worst->step;
}

/* Turned over end for end, a clamp that keeps its side of the bed comes to lie at the wood's other
 * end; all others go with it. */
static struct held_clamp lies_to_wood(const struct looking *looking) {
  const struct load *load = looking->load->load;
  struct held_clamp lies = *looking->held;
  if (!looking->fixing->second || !held_clamp_keeps_side(looking->load->project, load, &lies))
    return lies;
  if (load->across)
    lies.y = load->width - lies.y - lies.width;
  else
    lies.x = load->length - lies.x - lies.length;
  return lies;
}

static void meetings_in(struct hold_cautions *cautions, const struct caution_load *load,
                        const struct fixing *fixing) {
  for (size_t i = 0; i < load->load->clamp_count; i++) {
    struct looking looking = {.load = load, .fixing = fixing, .held = &load->load->clamps[i]};
    looking.lies = lies_to_wood(&looking);
    looking.top = height_above_stock(&load->clamps[looking.held->clamp], load->load->thickness);
    for (size_t p = 0; p < load->load->part_count; p++) {
      const struct part_work *own = &load->works[load->load->parts[p].part];
      look_at_part(&looking, p, own->steps, own->step_count);
    }
    if (looking.worst.what != NULL) add_meeting(cautions, &looking);
  }
}

/* On edge and on end parts stand alone, after they are cut free. */
static void meetings(struct hold_cautions *cautions, const struct caution_load *load) {
  for (size_t f = 0; f < load->load->fixing_count; f++)
    if (load->load->fixings[f].stand == STAND_FLAT)
      meetings_in(cautions, load, &load->load->fixings[f]);
}

static bool upright(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT; }

/* What lies free between two held sides, along x (`level`) or y; -1 where neither is held. A side
 * without clamps opposite held ones is held by its stop. */
static length_t between_sides(const struct load *load, bool level) {
  length_t low = 0, high = level ? load->length : load->width;
  bool any = false;
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *held = &load->clamps[i];
    if (upright(held->side) != level) continue;
    any = true;
    bool lower = held->side == BED_LEFT || held->side == BED_FRONT;
    if (lower) low = larger(low, level ? held->x + held->length : held->y + held->width);
    if (!lower) high = smaller(high, level ? held->x : held->y);
  }
  return any ? high - low : -1;
}

/* The widest stretch between two clamps that follow each other on one side. */
static length_t between_clamps(const struct load *load) {
  length_t widest = 0;
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct held_clamp *held = &load->clamps[i];
    bool along_y = upright(held->side);
    length_t end = along_y ? held->y + held->width : held->x + held->length;
    length_t next = LENGTH_MAX;
    for (size_t j = 0; j < load->clamp_count; j++) {
      const struct held_clamp *other = &load->clamps[j];
      length_t start = along_y ? other->y : other->x;
      if (other->side == held->side && start >= end) next = smaller(next, start);
    }
    if (next < LENGTH_MAX) widest = larger(widest, next - end);
  }
  return widest;
}

/* Held both ways, the load lies free over the shorter of the two only. */
static void span(struct hold_cautions *cautions, const struct caution_load *caution_load) {
  const struct load *load = caution_load->load;
  length_t x = between_sides(load, true), y = between_sides(load, false);
  length_t free_span = x < 0 ? y : y < 0 ? x : smaller(x, y);
  free_span = larger(free_span, between_clamps(load));
  length_t most = SPAN_OF_THICKNESS * load->thickness;
  if (free_span <= most) return;
  hold_caution_add(cautions, HOLD_CAUTION_SPAN,
                   "stock %s thick lies free over %s, more than %d times its thickness, %s: tape "
                   "its middle down, take shallower passes, or add clamps",
                   hold_caution_length(cautions, caution_load->project, load->thickness),
                   hold_caution_length(cautions, caution_load->project, free_span),
                   SPAN_OF_THICKNESS, hold_caution_length(cautions, caution_load->project, most))
      ->load = caution_load->name;
}

static void side_clamps(struct hold_cautions *cautions, const struct caution_load *caution_load) {
  const struct load *load = caution_load->load;
  length_t least = caution_load->project->shop.side_clamp_min_stock;
  if (load->thickness >= least) return;
  for (size_t i = 0; i < load->clamp_count; i++) {
    const struct clamp *clamp = &caution_load->clamps[load->clamps[i].clamp];
    if (clamp->kind != CLAMP_SIDE) continue;
    hold_caution_add(
        cautions, HOLD_CAUTION_SIDE_CLAMP,
        "side clamp '%s' pushes on stock %s thick, under %s, which bows: hold-downs or "
        "tape instead, or no more force than it takes",
        clamp->name, hold_caution_length(cautions, caution_load->project, load->thickness),
        hold_caution_length(cautions, caution_load->project, least))
        ->load = caution_load->name;
    return;
  }
}

void hold_caution_load(struct hold_cautions *cautions, const struct caution_load *load) {
  meetings(cautions, load);
  span(cautions, load);
  side_clamps(cautions, load);
}
