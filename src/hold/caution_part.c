#include "hold/caution.h"
#include "hold/movement.h"
#include "model/machining.h"

/* One part as it is looked at. */
struct subject {
  struct hold_cautions *cautions;
  const struct project *project;
  size_t index;
  const struct part *part;
  const struct step *const *steps;
  size_t step_count;
  length_t raw;
};

static const char *has(const struct subject *subject, length_t value) {
  return hold_caution_length(subject->cautions, subject->project, value);
}

static length_t by_unit(const struct subject *subject, length_t mm, length_t inch) {
  return shop_unit(&subject->project->shop) == UNIT_INCH ? inch : mm;
}

/* What is taped down, or has been given a tab more than the rule, is seen to. */
static void small_part(const struct subject *subject) {
  const struct part *part = subject->part;
  length_t least = by_unit(subject, MM(25), LENGTH_PER_INCH);
  length_t side = part->length < part->width ? part->length : part->width;
  struct part as_ruled = *part;
  as_ruled.tabs = -1;
  if (part->way == WAY_SAW || part->hold == HOLD_TAPE || side >= least ||
      part->tabs > tabs_wanted(&subject->project->shop, &as_ruled))
    return;
  hold_caution_add(subject->cautions, HOLD_CAUTION_SMALL_PART,
                   "its side of %s is under %s, and a part so small can tilt into the cutter when "
                   "it comes free: tape it down, or leave one tab more; never hold it by hand",
                   has(subject, side), has(subject, least))
      ->part = subject->index;
}

static void movement(const struct subject *subject, enum stock_kind kind, const char *wood) {
  struct movement moves = movement_of(subject->project, subject->part, kind, wood);
  if (!moves.beyond_fit) return;
  hold_caution_add(
      subject->cautions, HOLD_CAUTION_MOVEMENT,
      "over a year its %s across the grain move by %s (%s), and the fit leaves %s: "
      "slot the screws, do not glue it across the grain",
      has(subject, moves.width), has(subject, moves.change),
      moves.species != NULL ? moves.species : "wood not in the table, the largest value taken",
      has(subject, subject->part->fit))
      ->part = subject->index;
}

/* The deepest step of the side that leaves a floor: a pocket, or (holes too) a hole as well. */
static const struct step *deepest(const struct subject *subject, enum side side, bool holes) {
  const struct step *found = NULL;
  for (size_t i = 0; i < subject->step_count; i++) {
    const struct step *step = subject->steps[i];
    bool kind = step->kind == STEP_POCKET || (holes && step->kind == STEP_DRILL);
    if (!kind || step->side != side || step->stand != STAND_FLAT ||
        machining_through(subject->part, step))
      continue;
    if (found == NULL || step->depth > found->depth) found = step;
  }
  return found;
}

static void thin_floor(const struct subject *subject, const struct step *pocket,
                       const struct step *other) {
  length_t least = subject->project->shop.floor_min;
  length_t left = subject->part->thickness - pocket->depth - (other == NULL ? 0 : other->depth);
  if (left >= least) return;
  struct hold_caution *made;
  if (other == NULL) {
    made = hold_caution_add(subject->cautions, HOLD_CAUTION_FLOOR,
                            "a pocket %s deep leaves %s of %s under it, less than %s: make it "
                            "shallower, or support the floor from below",
                            has(subject, pocket->depth), has(subject, left),
                            has(subject, subject->part->thickness), has(subject, least));
  } else if (left > 0) {
    made =
        hold_caution_add(subject->cautions, HOLD_CAUTION_FLOOR,
                         "a pocket %s deep and a %s %s deep from the other face leave %s "
                         "between them where they lie over each other, less than %s: keep "
                         "them apart or make one shallower",
                         has(subject, pocket->depth), other->kind == STEP_DRILL ? "hole" : "pocket",
                         has(subject, other->depth), has(subject, left), has(subject, least));
  } else {
    made =
        hold_caution_add(subject->cautions, HOLD_CAUTION_FLOOR,
                         "a pocket %s deep and a %s %s deep from the other face break into each "
                         "other where they lie over each other, in %s: keep them apart or make "
                         "one shallower",
                         has(subject, pocket->depth), other->kind == STEP_DRILL ? "hole" : "pocket",
                         has(subject, other->depth), has(subject, subject->part->thickness));
  }
  made->part = subject->index;
  made->step = pocket;
}

static void floors(const struct subject *subject) {
  const enum side sides[2] = {SIDE_TOP, SIDE_UNDER};
  for (int i = 0; i < 2; i++) {
    const struct step *pocket = deepest(subject, sides[i], false);
    const struct step *other = deepest(subject, sides[1 - i], true);
    if (pocket == NULL) continue;
    thin_floor(subject, pocket, NULL);
    /* Two pockets are looked at once, from the top. */
    if (other != NULL && (i == 0 || other->kind == STEP_DRILL)) thin_floor(subject, pocket, other);
  }
}

static void facing(const struct subject *subject) {
  length_t most = by_unit(subject, MM(3), LENGTH_PER_INCH / 8);
  const enum side sides[2] = {SIDE_TOP, SIDE_UNDER};
  length_t taken = 0;
  for (int i = 0; i < 2; i++) {
    length_t off =
        machining_faced(subject->part, subject->steps, subject->step_count, sides[i], subject->raw);
    if (off > taken) taken = off;
  }
  if (taken <= most) return;
  hold_caution_add(subject->cautions, HOLD_CAUTION_FACING,
                   "%s come off one face of stock %s thick, over %s: expect it to cup; take equal "
                   "amounts off both faces where it can be, let it rest, then face to size",
                   has(subject, taken), has(subject, subject->raw), has(subject, most))
      ->part = subject->index;
}

/* A face step of a side: those that say how deep, and whether one leaves it open. */
struct face_steps {
  length_t depth; /* of all that say so */
  bool open;
};

static bool takes_face(const struct subject *subject, const struct step *step) {
  if (step->kind != STEP_FACE || step->stand != STAND_FLAT) return false;
  /* of a part that is not faced, a face cut in a stated area is a recess */
  return subject->part->faced != FACED_NONE || step->area == 0;
}

static struct face_steps face_steps(const struct subject *subject, enum side side) {
  struct face_steps found = {0, false};
  for (size_t i = 0; i < subject->step_count; i++) {
    const struct step *step = subject->steps[i];
    if (step->side != side || !takes_face(subject, step)) continue;
    found.depth += step->depth;
    found.open = found.open || step->depth == 0;
  }
  return found;
}

static const struct step *first_stated(const struct subject *subject) {
  for (size_t i = 0; i < subject->step_count; i++)
    if (takes_face(subject, subject->steps[i]) && subject->steps[i]->depth > 0)
      return subject->steps[i];
  return NULL;
}

/* What all face steps take together. One that is given no depth takes what is left to come off its
 * face, so that stated depths of both sides may share unevenly as long as their sum is right. */
static length_t taken_off(const struct subject *subject) {
  const enum side sides[2] = {SIDE_TOP, SIDE_UNDER};
  length_t taken = 0;
  for (int i = 0; i < 2; i++) {
    struct face_steps steps = face_steps(subject, sides[i]);
    length_t due =
        machining_faced(subject->part, subject->steps, subject->step_count, sides[i], subject->raw);
    taken += steps.depth > 0 && !steps.open ? steps.depth : larger(steps.depth, due);
  }
  return taken;
}

static void face_depth(const struct subject *subject) {
  const struct step *step = first_stated(subject);
  if (step == NULL) return;
  length_t taken = taken_off(subject), due = larger(0, subject->raw - subject->part->thickness);
  length_t off = taken > due ? taken - due : due - taken;
  if (off <= subject->project->shop.thickness_tolerance) return;
  const char *left = taken < subject->raw
                         ? arena_format(subject->cautions->arena, "%s would be left",
                                        has(subject, subject->raw - taken))
                         : "nothing would be left";
  const char *cure = due > 0 ? arena_format(subject->cautions->arena,
                                            "let the depths come to %s, or leave them empty for "
                                            "what is to come off",
                                            has(subject, due))
                             : "leave the step out, or say in parts.csv how many faces are faced";
  struct hold_caution *made = hold_caution_add(
      subject->cautions, HOLD_CAUTION_FACE_DEPTH,
      "facing takes %s off stock %s thick, and %s: %s are wanted; %s", has(subject, taken),
      has(subject, subject->raw), left, has(subject, subject->part->thickness), cure);
  made->part = subject->index;
  made->step = step;
}

/* Planned as right through, as it was read; what is written may be a slip. */
static void too_deep(const struct subject *subject) {
  length_t overcut = subject->project->shop.overcut;
  for (size_t i = 0; i < subject->step_count; i++) {
    const struct step *step = subject->steps[i];
    if (step->kind != STEP_POCKET && step->kind != STEP_DRILL) continue;
    length_t there_is = machining_standing(subject->part, step->stand, subject->part->thickness);
    if (step->depth <= there_is + overcut) continue;
    struct hold_caution *made = hold_caution_add(
        subject->cautions, HOLD_CAUTION_TOO_DEEP,
        "a %s %s deep is wanted and there are %s of the part: it is planned as right through and "
        "%s into the waste board; mend its depth if it is not to go through",
        step->kind == STEP_DRILL ? "hole" : "pocket", has(subject, step->depth),
        has(subject, there_is), has(subject, overcut));
    made->part = subject->index;
    made->step = step;
  }
}

void hold_caution_part(struct hold_cautions *cautions, const struct project *project, size_t part,
                       const struct step *const *steps, size_t step_count, enum stock_kind kind,
                       const char *wood) {
  struct subject subject = {.cautions = cautions,
                            .project = project,
                            .index = part,
                            .part = &project->parts[part],
                            .steps = steps,
                            .step_count = step_count};
  small_part(&subject);
  movement(&subject, kind, wood);
  floors(&subject);
  too_deep(&subject);
}

void hold_caution_faces(struct hold_cautions *cautions, const struct project *project, size_t part,
                        const struct step *const *steps, size_t step_count, length_t raw) {
  struct subject subject = {cautions, project, part, &project->parts[part], steps, step_count, raw};
  facing(&subject);
  face_depth(&subject);
}
