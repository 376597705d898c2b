#include "hold/caution.h"
#include "hold/force.h"
#include "hold/wood.h"
#include "model/machining.h"

static void name(struct hold_caution *caution, const char *load, size_t part) {
  caution->load = load;
  caution->part = part;
}

void hold_caution_tabs(struct hold_cautions *cautions, const struct project *project,
                       const char *load, size_t part, const struct tab_result *result) {
  if (result->wanted == 0) return;
  length_t thickness = project->parts[part].thickness;
  const char *height = hold_caution_length(cautions, project, result->height);
  const char *thick = hold_caution_length(cautions, project, thickness);
  if (2 * result->height > thickness)
    name(hold_caution_add(cautions, HOLD_CAUTION_TAB_HIGH,
                          "tabs %s high are over half of the %s it is thick and hard to part: tape "
                          "it instead, or saw the tabs; pare towards the rim, never pry",
                          height, thick),
         load, part);
  if (result->height < TAB_HEIGHT_LEAST)
    name(hold_caution_add(cautions, HOLD_CAUTION_TAB_LOW,
                          "tabs %s high are under %s and break while it is cut: tape it instead",
                          height, hold_caution_length(cautions, project, TAB_HEIGHT_LEAST)),
         load, part);
  if (result->made < result->wanted) {
    name(hold_caution_add(cautions, HOLD_CAUTION_TABS_FEW,
                          "there is wood for %lld of %lld tabs %s wide: tape it as well, or leave "
                          "more rim or web",
                          (long long)result->made, (long long)result->wanted,
                          hold_caution_length(cautions, project, result->width)),
         load, part);
  } else if (!result->opposite) {
    name(hold_caution_add(cautions, HOLD_CAUTION_TABS_FEW,
                          "its %lld tabs hold no two opposite sides, so that it can swing when it "
                          "comes free: tape it as well, or leave more rim or web",
                          (long long)result->made),
         load, part);
  }
}

/* The largest force of what goes around the part; 0 where nothing does on the bed. */
static int64_t force_of_freeing(const struct project *project, const struct part *part,
                                const struct tab_cut *cut) {
  int64_t most = 0;
  for (size_t i = 0; i < cut->step_count; i++) {
    const struct step *step = cut->steps[i];
    if (step->kind != STEP_PROFILE || step->place != PLACE_BED) continue;
    length_t depth = machining_depth(&project->shop, part, step, cut->raw, 0);
    int64_t force = force_of_step(project, step, depth);
    if (force > most) most = force;
  }
  return most;
}

void hold_caution_tab_force(struct hold_cautions *cautions, const struct project *project,
                            const char *load, size_t part, const struct tab_result *result,
                            const struct tab_cut *cut) {
  if (result->made <= 0) return;
  const struct wood *wood = cut->wood == NULL ? NULL : wood_named(cut->wood);
  bool known = wood != NULL && wood->shear > 0;
  int64_t one = force_tab(result->width, result->height, known ? wood->shear : wood_least_shear());
  int64_t wanted =
      force_to_hold(&project->shop, force_of_freeing(project, &project->parts[part], cut));
  if (one >= wanted || one * result->made >= wanted) return;
  name(hold_caution_add(cautions, HOLD_CAUTION_TABS_WEAK,
                        "its %lld tabs of %s x %s bear %lld N before they shear (%s), and %lld N "
                        "are wanted, the cutting force with hold_safety: more or larger tabs, "
                        "shallower passes, or tape it as well",
                        (long long)result->made,
                        hold_caution_length(cautions, project, result->width),
                        hold_caution_length(cautions, project, result->height),
                        (long long)(one * result->made / 1000),
                        known ? wood->name : "strength not in the table, the least taken",
                        (long long)((wanted + 999) / 1000)),
       load, part);
}
