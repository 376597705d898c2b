#include "hold/caution.h"

/* One clamping of one part as it is looked at. */
struct subject {
  struct hold_cautions *cautions;
  const struct project *project;
  const char *load;
  size_t part;
};

static const char *has(const struct subject *subject, length_t value) {
  return hold_caution_length(subject->cautions, subject->project, value);
}

static void name(const struct subject *subject, struct hold_caution *caution,
                 const struct step *step) {
  caution->load = subject->load;
  caution->part = subject->part;
  caution->step = step;
}

static const char *finish_text(const struct subject *subject, const struct cut_through *cut) {
  struct arena *arena = subject->cautions->arena;
  if (cut->finish == PLACE_DRILL_PRESS)
    return arena_format(arena,
                        "%s deep pilot holes on the bed, the last %s at the drill press with the "
                        "part clamped over scrap",
                        has(subject, cut->on_bed), has(subject, cut->left));
  if (cut->on_bed <= 0) return "nothing of it can be done on the bed: use the saw";
  return arena_format(arena,
                      "cut %s deep on the bed, part the last %s at the band saw or with a hand saw "
                      "and trim the edge",
                      has(subject, cut->on_bed), has(subject, cut->left));
}

static void cut_through(const struct subject *subject, const struct cut_through *cut) {
  const struct cutter *cutter = &subject->project->cutters[cut->step->cutter];
  /* Sent to the drill press by the maker: no fault of the cutter's. */
  if (cut->step->place != PLACE_BED) return;
  length_t flute =
      cutter->flute_length > cutter->neck_reach ? cutter->flute_length : cutter->neck_reach;
  const char *out = "";
  if (cutter->stickout > 0)
    out = arena_format(subject->cautions->arena, ", it sticks out %s",
                       has(subject, cutter->stickout));
  name(subject,
       hold_caution_add(subject->cautions, HOLD_CAUTION_CUT_THROUGH,
                        "%s deep is wanted and %s can be reached (the flutes reach %s%s): %s; the "
                        "machines' manuals and your training come before this line",
                        has(subject, cut->needs), has(subject, cut->deepest), has(subject, flute),
                        out, finish_text(subject, cut)),
       cut->step);
}

static bool among_cuts(const struct heights *heights, const struct step *step) {
  for (size_t i = 0; i < heights->cut_count; i++)
    if (heights->cuts[i].step == step) return true;
  return false;
}

static void finding(const struct subject *subject, const struct heights *heights,
                    const struct height_finding *found) {
  const char *needs = has(subject, found->needs), *there_is = has(subject, found->has);
  struct hold_caution *made = NULL;
  switch (found->limit) {
    case HEIGHT_DAYLIGHT:
      made = hold_caution_add(subject->cautions, HOLD_CAUTION_HEIGHT,
                              "waste board, stock, clamps, clearance and the longest cutter want "
                              "%s under the spindle, there are %s: a shorter cutter or lower "
                              "clamps",
                              needs, there_is);
      break;
    case HEIGHT_TRAVEL:
      made = hold_caution_add(subject->cautions, HOLD_CAUTION_HEIGHT,
                              "from the clearance above stock and clamps down to the overcut are "
                              "%s, the spindle travels %s",
                              needs, there_is);
      break;
    case HEIGHT_NUT_STOCK:
      if (among_cuts(heights, found->step)) return;
      made = hold_caution_add(subject->cautions, HOLD_CAUTION_HEIGHT,
                              "at full depth the nut is %s above the stock and %s is the least: "
                              "let the cutter stick out further",
                              there_is, needs);
      break;
    case HEIGHT_FLUTE:
    case HEIGHT_DEPTH:
      if (among_cuts(heights, found->step)) return;
      made = hold_caution_add(subject->cautions, HOLD_CAUTION_HEIGHT,
                              "it goes %s deep beside wood left standing and its flutes reach %s",
                              needs, there_is);
      break;
    default: /* the shop's, and what only the load can tell */
      return;
  }
  name(subject, made, found->step);
}

void hold_caution_heights(struct hold_cautions *cautions, const struct project *project,
                          const char *load, size_t part, const struct heights *heights) {
  struct subject subject = {cautions, project, load, part};
  for (size_t i = 0; i < heights->finding_count; i++)
    finding(&subject, heights, &heights->findings[i]);
  for (size_t i = 0; i < heights->cut_count; i++) cut_through(&subject, &heights->cuts[i]);
}
