/* Loads against the project's clamps, cutters, bed and rules of holding. */
#include <inttypes.h>
#include <string.h>

#include "proof/against.h"
#include "proof/order.h"
#include "proof/trial.h"

/* ---- clamps of a load ---- */

/* What the check reckons with where clamps.csv is empty; the size of its foot is not asked. */
static const char default_clamp[] = "default hold-down";

static const struct clamp *find_clamp(const struct trial *trial, const char *name) {
  for (size_t i = 0; i < trial->project->clamp_count; i++)
    if (strcmp(trial->project->clamps[i].name, name) == 0) return &trial->project->clamps[i];
  return NULL;
}

static enum axis across_of(enum claim_side side) {
  return side == CLAIM_LEFT || side == CLAIM_RIGHT ? AXIS_X : AXIS_Y;
}

static enum axis along_of(enum claim_side side) {
  return across_of(side) == AXIS_X ? AXIS_Y : AXIS_X;
}

static length_t extent_of(const struct claim_load *load, enum axis axis) {
  return axis == AXIS_X ? load->length : load->width;
}

static bool has_stop(const struct trial *trial, enum claim_side side) {
  static const char *const stops[] = {"lf", "rf", "lb", "rb", ""};
  return strchr(stops[trial->project->shop.stops], "lrfb"[side]) != NULL;
}

static bool is_held(const struct claim_load *load, enum claim_side side) {
  bool end = (across_of(side) == AXIS_X) != load->across;
  if (load->hold == CLAIM_HOLD_ALL) return true;
  return load->hold == (end ? CLAIM_HOLD_ENDS : CLAIM_HOLD_SIDES);
}

static void check_body(struct trial *trial, const struct claim_load *load,
                       const struct claim_clamp *claimed, const struct clamp *clamp) {
  struct proof *proof = &trial->proof;
  const struct box *body = &claimed->body;
  enum axis across = across_of(claimed->side);
  length_t over = clamp->kind == CLAMP_SIDE ? 0 : clamp->over;
  bool low = claimed->side == CLAIM_LEFT || claimed->side == CLAIM_FRONT;
  length_t edge = low ? 0 : extent_of(load, across);
  length_t inner = low ? body->high[across] - edge : edge - body->low[across];
  if (box_extent(body, along_of(claimed->side)) != clamp->width || inner != over ||
      box_extent(body, across) != over + clamp->beside)
    proof_fault(proof, "not the project's: size of clamp '%s' of load '%s'", claimed->clamp,
                load->name);
  length_t raw = load->thickness;
  if (raw < clamp->min_stock || raw > clamp->max_stock ||
      (clamp->kind == CLAMP_SIDE && raw < trial->project->shop.side_clamp_min_stock))
    proof_fault(proof, "clamp for other stock: '%s' of load '%s', which is %s thick",
                claimed->clamp, load->name, proof_length(proof, raw));
  length_t gap = trial->project->shop.clear_gap;
  struct box grown = box_grown(body, gap, gap);
  if (!box_inside(&grown, &claimed->keep_out))
    proof_fault(proof, "keep-out too small: that of clamp '%s' of load '%s' is not %s clear",
                claimed->clamp, load->name, proof_length(proof, gap));
}

static void check_owned(struct trial *trial, const struct claim_load *load) {
  for (size_t i = 0; i < trial->project->clamp_count; i++) {
    const struct clamp *clamp = &trial->project->clamps[i];
    int64_t used = 0;
    for (size_t c = 0; c < load->clamp_count; c++)
      used += strcmp(load->clamps[c].clamp, clamp->name) == 0;
    if (used > clamp->count)
      proof_fault(&trial->proof,
                  "too many clamps: load '%s' takes %" PRId64 " of '%s', there are %" PRId64,
                  load->name, used, clamp->name, clamp->count);
  }
}

/* ---- covering the sides ---- */

static int compare_starts(const void *a, const void *b) {
  const struct claim_clamp *const *left = a, *const *right = b;
  enum axis along = along_of((*left)->side);
  length_t x = (*left)->body.low[along], y = (*right)->body.low[along];
  return (x > y) - (x < y);
}

/* The clamps of a side in their order along it. */
static size_t clamps_on(struct trial *trial, const struct claim_load *load, enum claim_side side,
                        const struct claim_clamp ***found) {
  size_t count = 0;
  *found = ARENA_ARRAY(trial->proof.arena, load->clamp_count, const struct claim_clamp *);
  for (size_t c = 0; c < load->clamp_count; c++)
    if (load->clamps[c].side == side) (*found)[count++] = &load->clamps[c];
  sort_pointers(*found, count, compare_starts);
  return count;
}

static void check_cover(struct trial *trial, const struct claim_load *load, enum claim_side side) {
  static const char *const names[] = {"left", "right", "front", "back"};
  const struct shop *shop = &trial->project->shop;
  const struct claim_clamp **clamps = NULL;
  size_t count = clamps_on(trial, load, side, &clamps);
  length_t span = 15 * load->thickness < shop->clamp_span ? 15 * load->thickness : shop->clamp_span;
  length_t end = shop->clamp_end < span ? shop->clamp_end : span;
  enum axis along = along_of(side);
  length_t from = 0;
  for (size_t c = 0; c <= count; c++) {
    length_t to = c < count ? clamps[c]->body.low[along] : extent_of(load, along);
    length_t allowed = c == 0 || c == count ? end : span;
    if (count == 0 || to - from > allowed) {
      proof_fault(&trial->proof, "not held: the %s side of load '%s' lies free from %s to %s",
                  names[side], load->name, proof_length(&trial->proof, from),
                  proof_length(&trial->proof, to));
      return;
    }
    if (c < count) from = clamps[c]->body.high[along];
  }
}

static bool pushes(struct trial *trial, const struct claim_load *load, enum claim_side side) {
  for (size_t c = 0; c < load->clamp_count; c++) {
    const struct clamp *clamp = find_clamp(trial, load->clamps[c].clamp);
    if (load->clamps[c].side == side && clamp != NULL && clamp->kind == CLAMP_SIDE) return true;
  }
  return false;
}

static enum claim_side opposite(enum claim_side side) { return (enum claim_side)(side ^ 1); }

/* A side with a stop is held by it where side clamps push against it from opposite. */
static void check_sides(struct trial *trial, const struct claim_load *load) {
  for (enum claim_side side = CLAIM_LEFT; side <= CLAIM_BACK; side++) {
    if (!is_held(load, side)) continue;
    if (has_stop(trial, side) && pushes(trial, load, opposite(side))) continue;
    if (pushes(trial, load, side) && !has_stop(trial, opposite(side)) &&
        !pushes(trial, load, opposite(side)))
      proof_fault(&trial->proof, "nothing to push against: side clamps of load '%s'", load->name);
    check_cover(trial, load, side);
  }
}

/* Friction on two faces, clamps that push against each other once. */
static void check_friction(struct trial *trial, const struct claim_load *load) {
  const struct shop *shop = &trial->project->shop;
  double force[4] = {0}, total = 0;
  if (load->hold == CLAIM_HOLD_TAPE) return;
  for (size_t c = 0; c < load->clamp_count; c++) {
    const struct clamp *clamp = find_clamp(trial, load->clamps[c].clamp);
    if (clamp == NULL || clamp->force == 0) return;
    if (clamp->kind == CLAMP_SIDE)
      force[load->clamps[c].side] += (double)clamp->force;
    else
      total += (double)clamp->force;
  }
  for (enum claim_side side = CLAIM_LEFT; side <= CLAIM_BACK; side += 2) {
    double a = force[side], b = force[side + 1];
    total += a > 0 && b > 0 ? (a < b ? a : b) : a + b;
  }
  double held = 2 * (double)shop->friction / 1000 * total;
  double least = (double)shop->hold_safety / 1000 * (double)shop->cut_force_min;
  if (held + 1 < least)
    proof_fault(&trial->proof, "not held: friction in load '%s' is %.1f N, needed are %.1f N",
                load->name, held / 1000, least / 1000);
}

/* ---- bed, cutters ---- */

static void check_bed(struct trial *trial, const struct claim_load *load) {
  const struct shop *shop = &trial->project->shop;
  struct box all = {{0, 0}, {load->length, load->width}};
  for (size_t c = 0; c < load->clamp_count; c++)
    for (int axis = 0; axis < 2; axis++) {
      const struct box *body = &load->clamps[c].body;
      if (body->low[axis] < all.low[axis]) all.low[axis] = body->low[axis];
      if (body->high[axis] > all.high[axis]) all.high[axis] = body->high[axis];
    }
  if (box_extent(&all, AXIS_X) <= shop->bed_length && box_extent(&all, AXIS_Y) <= shop->bed_width)
    return;
  proof_fault(&trial->proof, "off the bed: load '%s' with its clamps takes %s, the bed is %s",
              load->name,
              proof_size(&trial->proof, box_extent(&all, AXIS_X), box_extent(&all, AXIS_Y)),
              proof_size(&trial->proof, shop->bed_length, shop->bed_width));
}

static void check_reach(struct trial *trial, const struct claim_load *load,
                        const struct cutter *cutter, length_t outside) {
  if (load->reach < outside)
    proof_fault(&trial->proof,
                "cutter reaches further: '%s' goes %s outside its part, load '%s' leaves %s",
                cutter->name, proof_length(&trial->proof, outside), load->name,
                proof_length(&trial->proof, load->reach));
}

/* Half of it and the run-off. */
static length_t facing_goes(const struct trial *trial, const struct cutter *cutter) {
  return (cutter->diameter + 1) / 2 + trial->project->shop.face_runoff;
}

/* The cutter that goes around a part goes its diameter outside; one that faces half of it and the
 * run-off, and so does the profile's where no step says what faces. */
static void check_step(struct trial *trial, const struct claim_load *load, const struct step *step,
                       bool faces_too) {
  const struct cutter *cutter = &trial->project->cutters[step->cutter];
  if (step->place != PLACE_BED || step->stand != STAND_FLAT) return;
  if (step->kind == STEP_FACE) check_reach(trial, load, cutter, facing_goes(trial, cutter));
  if (step->kind != STEP_PROFILE) return;
  if (faces_too) check_reach(trial, load, cutter, facing_goes(trial, cutter));
  check_reach(trial, load, cutter, cutter->diameter);
  if (load->cutter_diameter < cutter->diameter)
    proof_fault(&trial->proof, "wider cutter: '%s' is %s wide, load '%s' is planned for %s",
                cutter->name, proof_length(&trial->proof, cutter->diameter), load->name,
                proof_length(&trial->proof, load->cutter_diameter));
}

/* Faces of a part to be taken down that no face step is for. */
static bool lacks_face_step(const struct project *project, size_t part) {
  bool top = false, under = false;
  for (size_t s = 0; s < project->step_count; s++) {
    const struct step *step = &project->steps[s];
    if (step->part != part || step->kind != STEP_FACE || step->stand != STAND_FLAT) continue;
    top = top || step->side == SIDE_TOP;
    under = under || step->side == SIDE_UNDER;
  }
  if (project->parts[part].faced == FACED_TWO) return !top || !under;
  return project->parts[part].faced == FACED_ONE && !top && !under;
}

/* At full depth the nut of a cutter that goes through stands so much above the stock. */
static void check_nut(struct trial *trial, const struct claim_load *load, const struct step *step,
                      const struct claim_clamp *claimed, const struct clamp *clamp) {
  const struct shop *shop = &trial->project->shop;
  const struct cutter *cutter = &trial->project->cutters[step->cutter];
  if (step->kind != STEP_PROFILE || step->place != PLACE_BED || step->stand != STAND_FLAT) return;
  if (cutter->stickout <= 0 || cutter->nut_diameter <= cutter->diameter) return;
  length_t top =
      clamp->height_from == HEIGHT_FROM_BED ? clamp->height - load->thickness : clamp->height;
  if (top + shop->nut_margin <= cutter->stickout - load->thickness - shop->overcut) return;
  length_t needed = cutter->diameter + (cutter->nut_diameter - cutter->diameter) / 2 +
                    shop->clear_gap - load->reach;
  length_t kept = claimed->body.low[AXIS_X] - claimed->keep_out.low[AXIS_X];
  if (kept < needed)
    proof_fault(&trial->proof, "nut meets a clamp: that of '%s' and '%s' of load '%s', %s missing",
                cutter->name, claimed->clamp, load->name,
                proof_length(&trial->proof, needed - kept));
}

static void check_steps_of(struct trial *trial, const struct claim_load *load, size_t part) {
  bool faces_too = lacks_face_step(trial->project, part);
  for (size_t s = 0; s < trial->project->step_count; s++) {
    const struct step *step = &trial->project->steps[s];
    if (step->part != part) continue;
    check_step(trial, load, step, faces_too);
    for (size_t c = 0; c < load->clamp_count; c++) {
      const struct clamp *clamp = find_clamp(trial, load->clamps[c].clamp);
      if (clamp != NULL) check_nut(trial, load, step, &load->clamps[c], clamp);
    }
  }
}

static void check_parts(struct trial *trial, const struct claim_load *load) {
  const struct shop *shop = &trial->project->shop;
  length_t gap = shop->part_gap >= 0 ? shop->part_gap : 2 * load->cutter_diameter + shop->web;
  if (load->rim != shop->rim || load->part_gap < gap)
    proof_fault(&trial->proof, "not the project's: rim or part_gap of load '%s'", load->name);
  for (size_t i = 0; i < load->part_count; i++) {
    const struct part *part = trial_find_part(trial, load->parts[i].part);
    if (part == NULL) continue;
    if (part->hold != HOLD_AUTO && (int)part->hold - 1 != (int)load->hold)
      proof_fault(&trial->proof, "held another way: load '%s' with '%s'", load->name, part->name);
    bool first = true;
    for (size_t j = 0; j < i; j++)
      first = first && strcmp(load->parts[j].part, load->parts[i].part) != 0;
    if (first) check_steps_of(trial, load, (size_t)(part - trial->project->parts));
  }
}

static void check_load(struct trial *trial, const struct claim_load *load) {
  check_parts(trial, load);
  check_owned(trial, load);
  check_bed(trial, load);
  bool known = true;
  for (size_t c = 0; c < load->clamp_count; c++) {
    const struct clamp *clamp = find_clamp(trial, load->clamps[c].clamp);
    bool stated =
        trial->project->clamp_count == 0 && strcmp(load->clamps[c].clamp, default_clamp) == 0;
    known = known && (clamp != NULL || stated);
    if (clamp != NULL) check_body(trial, load, &load->clamps[c], clamp);
    if (clamp == NULL && !stated)
      proof_fault(&trial->proof, "not the project's: clamp '%s' of load '%s'",
                  load->clamps[c].clamp, load->name);
  }
  if (!known) return;
  check_sides(trial, load);
  check_friction(trial, load);
}

void against_loads(struct trial *trial) {
  for (size_t i = 0; i < trial->claim->load_count; i++) check_load(trial, &trial->claim->loads[i]);
}
