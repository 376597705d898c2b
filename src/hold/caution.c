#include "hold/caution.h"

#include "hold/force.h"

const char *hold_caution_name(enum hold_caution_kind kind) {
  static const char *const names[HOLD_CAUTION_KINDS] = {
      [HOLD_CAUTION_MEETS_CLAMP] = "meets a clamp",
      [HOLD_CAUTION_NUT] = "nut near a clamp",
      [HOLD_CAUTION_CUT_THROUGH] = "not cut through",
      [HOLD_CAUTION_HEIGHT] = "height under the spindle",
      [HOLD_CAUTION_TABS_WEAK] = "weak tabs",
      [HOLD_CAUTION_TAB_HIGH] = "high tab",
      [HOLD_CAUTION_TAB_LOW] = "low tab",
      [HOLD_CAUTION_TABS_FEW] = "too few tabs",
      [HOLD_CAUTION_SPAN] = "wide span",
      [HOLD_CAUTION_SIDE_CLAMP] = "side clamp on thin stock",
      [HOLD_CAUTION_WASTE_BOARD] = "waste board",
      [HOLD_CAUTION_SMALL_PART] = "small part",
      [HOLD_CAUTION_MOVEMENT] = "wood movement",
      [HOLD_CAUTION_FLOOR] = "thin floor",
      [HOLD_CAUTION_CHIP_LOAD] = "chip load",
      [HOLD_CAUTION_FACING] = "much off one face",
      [HOLD_CAUTION_FACE_DEPTH] = "depth of facing",
      [HOLD_CAUTION_TOO_DEEP] = "deeper than the part"};
  return names[kind];
}

static const char *step_text(const struct step *step) {
  static const char *const names[] = {"face", "pocket", "drill", "profile", "chamfer"};
  return names[step->kind];
}

const char *hold_caution_subject(struct arena *arena, const struct project *project,
                                 const struct hold_caution *caution) {
  const char *text = "";
  if (caution->load != NULL) text = arena_format(arena, "load '%s'", caution->load);
  if (caution->part != SIZE_MAX)
    text = arena_format(arena, "%s%spart '%s'", text, text[0] == '\0' ? "" : ", ",
                        project->parts[caution->part].name);
  if (caution->step != NULL)
    text = arena_format(arena, "%s%s%s with '%s'", text, text[0] == '\0' ? "" : ", ",
                        step_text(caution->step), project->cutters[caution->step->cutter].name);
  if (caution->cutter != SIZE_MAX)
    text = arena_format(arena, "%s%scutter '%s'", text, text[0] == '\0' ? "" : ", ",
                        project->cutters[caution->cutter].name);
  return text[0] == '\0' ? "the shop" : text;
}

struct hold_caution *hold_caution_add(struct hold_cautions *cautions, enum hold_caution_kind kind,
                                      const char *format, ...) {
  va_list list;
  va_start(list, format);
  const char *text = arena_format_list(cautions->arena, format, list);
  va_end(list);
  struct hold_caution *made =
      ARENA_PUSH(cautions->arena, cautions->items, cautions->count, cautions->room);
  *made = (struct hold_caution){.kind = kind, .part = SIZE_MAX, .cutter = SIZE_MAX, .text = text};
  return made;
}

const char *hold_caution_length(const struct hold_cautions *cautions, const struct project *project,
                                length_t value) {
  return length_text_unit(cautions->arena, value, shop_unit(&project->shop), ROUND_NEAREST);
}

static void waste_board(struct hold_cautions *cautions, const struct project *project) {
  const struct shop *shop = &project->shop;
  length_t least = shop_unit(shop) == UNIT_INCH ? LENGTH_PER_INCH / 4 : MM(6);
  const char *board = hold_caution_length(cautions, project, shop->waste_board);
  if (shop->waste_board < least)
    (void)hold_caution_add(cautions, HOLD_CAUTION_WASTE_BOARD,
                           "the waste board is %s thick, under %s: lay a thicker one under before "
                           "cutting through",
                           board, hold_caution_length(cautions, project, least));
  if (3 * shop->overcut > shop->waste_board)
    (void)hold_caution_add(cautions, HOLD_CAUTION_WASTE_BOARD,
                           "an overcut of %s is over a third of the waste board, %s: a board a "
                           "little uneven lets the cutter into the bed",
                           hold_caution_length(cautions, project, shop->overcut), board);
}

static bool on_bed(const struct project *project) {
  for (size_t i = 0; i < project->step_count; i++)
    if (project->steps[i].place == PLACE_BED) return true;
  for (size_t i = 0; i < project->part_count; i++)
    if (project->parts[i].way != WAY_SAW) return true;
  return false;
}

static bool mills(const struct project *project, size_t cutter) {
  for (size_t i = 0; i < project->step_count; i++) {
    const struct step *step = &project->steps[i];
    if (step->cutter == cutter && step->place == PLACE_BED && step->kind != STEP_DRILL) return true;
  }
  return false;
}

void hold_caution_shop(struct hold_cautions *cautions, const struct project *project) {
  if (!on_bed(project)) return;
  waste_board(cautions, project);
  for (size_t i = 0; i < project->cutter_count; i++) {
    const struct cutter *cutter = &project->cutters[i];
    if (!mills(project, i) || !force_chip_load_odd(cutter)) continue;
    bool thin = force_chip_load(cutter) < CHIP_LOAD_LEAST;
    double load =
        (double)cutter->feed / (double)(cutter->rpm * cutter->flutes) / (double)LENGTH_PER_MM;
    hold_caution_add(cautions, HOLD_CAUTION_CHIP_LOAD,
                     "each edge takes %.3f mm, outside the 0.02 to 0.10 mm that suit small "
                     "cutters: %s; what the cutter's maker states comes first",
                     load,
                     thin ? "it rubs and burns; feed faster or turn slower"
                          : "it may snap or tear; feed slower or turn faster")
        ->cutter = i;
  }
}

/* Whether an earlier finding is of the same step and a clamp of the same name. */
static bool told_before(const struct heights *heights, const struct clamp *clamps, size_t index) {
  const struct height_finding *finding = &heights->findings[index];
  for (size_t i = 0; i < index; i++) {
    const struct height_finding *other = &heights->findings[i];
    if (other->limit == HEIGHT_NUT_CLAMP && other->step == finding->step &&
        clamps[other->clamp].name == clamps[finding->clamp].name)
      return true;
  }
  return false;
}

void hold_caution_nuts(struct hold_cautions *cautions, const struct project *project,
                       const char *load, size_t part, const struct heights *heights,
                       const struct clamp *clamps, const length_t *keep_outs) {
  for (size_t i = 0; i < heights->finding_count; i++) {
    const struct height_finding *finding = &heights->findings[i];
    if (finding->limit != HEIGHT_NUT_CLAMP || finding->clamp == SIZE_MAX) continue;
    length_t further = keep_outs[finding->clamp] - project->shop.clear_gap;
    if (further <= 0 || told_before(heights, clamps, i)) continue;
    const struct cutter *cutter = &project->cutters[finding->step->cutter];
    struct hold_caution *made = hold_caution_add(
        cautions, HOLD_CAUTION_NUT,
        "at full depth the nut comes %s lower than '%s' allows, so that clamp is kept %s further "
        "away: with a stick-out of %s instead of %s the loads could be fuller",
        hold_caution_length(cautions, project, finding->needs - finding->has),
        clamps[finding->clamp].name, hold_caution_length(cautions, project, further),
        hold_caution_length(cautions, project, cutter->stickout + finding->needs - finding->has),
        hold_caution_length(cautions, project, cutter->stickout));
    made->load = load;
    made->part = part;
    made->step = finding->step;
  }
}
