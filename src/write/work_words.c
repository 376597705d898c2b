#include "write/work_words.h"

#include <inttypes.h>
#include <string.h>

#include "model/machining.h"
#include "model/reach.h"
#include "model/tool_order.h"
#include "write/load_drawing.h"

/* ---- at the saw ---- */

const char *cut_kind_text(const struct cut *cut) {
  return cut->resaw ? "resaw" : cut->rip ? "rip" : "crosscut";
}

const char *cut_saw_text(const struct cut *cut) {
  if (cut->resaw) return "band saw, tall fence";
  return cut->rip ? "table saw, fence" : "mitre saw or table saw, stop";
}

const char *cut_keep_side_text(const struct cut *cut) {
  if (cut->resaw) return "face on the fence";
  if (cut->rip) return cut->keep_high ? "upper edge" : "lower edge";
  return cut->keep_high ? "right end" : "left end";
}

bool cut_is_end_trim(const struct cut *cut) { return cut->trim && !cut->rip && !cut->resaw; }

length_t cut_takes_off(const struct cut *cut) { return cut->piece_length - cut->keep; }

const char *cut_loses_side_text(const struct cut *cut) {
  return cut->keep_high ? "left end" : "right end";
}

const struct view_cut **cuts_by_step(struct arena *arena, const struct view *view,
                                     const struct view_stock **owners) {
  size_t count = view->plan->cut_count;
  const struct view_cut **cuts = ARENA_ARRAY(arena, count, const struct view_cut *);
  for (size_t i = 0; i < view->stock_count; i++) {
    const struct view_stock *entry = &view->stocks[i];
    for (size_t c = 0; c < entry->cut_count; c++) {
      size_t at = (size_t)(entry->cuts[c].cut - view->plan->cuts);
      cuts[at] = &entry->cuts[c];
      owners[at] = entry;
    }
    for (size_t c = 0; c < entry->resaw_count; c++) {
      size_t at = (size_t)(entry->resaws[c].cut - view->plan->cuts);
      cuts[at] = &entry->resaws[c];
      owners[at] = entry;
    }
  }
  return cuts;
}

/* ---- on the bed ---- */

static const char *length_here(struct arena *arena, const struct view *view, length_t value) {
  return length_text_unit(arena, value, view->unit, ROUND_NEAREST);
}

const char *part_place_text(struct arena *arena, const struct view *view, const struct load *load,
                            const struct held_part *part) {
  length_t x = 0, y = 0;
  bed_origin(&view->project->shop, load, &x, &y);
  return arena_format(arena, "%s at x %s, y %s%s", view->project->parts[part->part].name,
                      length_here(arena, view, part->x - x), length_here(arena, view, part->y - y),
                      part->turned ? " turned" : "");
}

/* "pocket 6 mm deep", "drill through", "face". */
static const char *step_text(struct arena *arena, const struct view *view,
                             const struct step *step) {
  static const char *const names[] = {"face", "pocket", "drill", "profile", "chamfer"};
  const char *name = names[step->kind];
  bool deep = step->kind == STEP_POCKET || step->kind == STEP_DRILL;
  if (step->kind == STEP_PROFILE ||
      (deep && machining_through(&view->project->parts[step->part], step)))
    return arena_format(arena, "%s through", name);
  if (step->depth == 0) return name;
  return arena_format(arena, "%s %s deep", name, length_here(arena, view, step->depth));
}

/* What a cutter does, each of it once: ", pocket 5.2 mm deep, pocket 6 mm deep". */
static const char *steps_text(struct arena *arena, const struct view *view,
                              const struct step_list *steps) {
  const char *text = "";
  const char **told = ARENA_ARRAY(arena, steps->count, const char *);
  size_t count = 0;
  for (size_t i = 0; i < steps->count; i++) {
    const char *step = step_text(arena, view, steps->steps[i]);
    size_t same = 0;
    while (same < count && strcmp(told[same], step) != 0) same++;
    if (same < count) continue;
    told[count++] = step;
    text = arena_format(arena, "%s, %s", text, step);
  }
  return text;
}

const char *cutter_text(struct arena *arena, const struct view *view, const struct load *load,
                        const struct fixing *fixing, size_t place) {
  const struct cutter *tool = &view->project->cutters[fixing->order.cutters[place]];
  struct step_list steps = tool_order_steps(arena, fixing->steps, load->kind_count, place);
  const char *stickout = tool->stickout > 0 ? arena_format(arena, ", stick-out %s",
                                                           length_here(arena, view, tool->stickout))
                                            : "";
  const char *slot = tool->slot > 0 ? arena_format(arena, ", slot %" PRId64, tool->slot) : "";
  return arena_format(arena, "%s%s%s%s", tool->name, steps_text(arena, view, &steps), stickout,
                      slot);
}

const char *default_cutter_text(struct arena *arena, const struct view *view) {
  return arena_format(arena, "default cutter %s",
                      length_here(arena, view, reach_default_diameter(view->unit)));
}

const char *clamp_place_text(struct arena *arena, const struct view *view, const struct load *load,
                             const struct held_clamp *clamp) {
  const struct shop *shop = &view->project->shop;
  bool upright = clamp->side == BED_LEFT || clamp->side == BED_RIGHT;
  length_t start = upright ? clamp->y : clamp->x, extent = upright ? clamp->width : clamp->length;
  const char *from = upright ? (load_counts_from_back(shop) ? "back" : "front")
                             : (load_counts_from_right(shop) ? "right" : "left");
  length_t over = held_clamp_over(load, clamp);
  const char *foot = over > 0
                         ? arena_format(arena, "%s on the wood", length_here(arena, view, over))
                         : "against the edge";
  return arena_format(arena, "%s on the %s side, %s from the %s edge, %s",
                      clamp_name(view->project, clamp->clamp), bed_side_text(clamp->side),
                      length_here(arena, view, load_distance(view, load, upright, start, extent)),
                      from, foot);
}

/* Whether some clamp goes to the other end with the wood when it is turned over. */
static bool changes_ends(const struct project *project, const struct load *load) {
  for (size_t i = 0; i < load->clamp_count; i++)
    if (held_clamp_at_end(load, &load->clamps[i]) &&
        !held_clamp_keeps_side(project, load, &load->clamps[i]))
      return true;
  return false;
}

const char *fixing_stops_text(struct arena *arena, const struct project *project,
                              const struct load *load, const struct fixing *fixing) {
  const char *text = "";
  for (enum bed_side side = BED_LEFT; side <= BED_BACK; side++)
    if (bed_has_stop(&project->shop, side))
      text = arena_format(arena, "%s%s%s", text, *text == '\0' ? "" : " and ", bed_side_text(side));
  if (*text == '\0') text = "none";
  if (!fixing->second) return text;
  return arena_format(arena,
                      "%s; turned over end for end: the same long edge at its stop, so "
                      "distances along the %s count from the other end%s",
                      text, load->across ? "depth" : "length",
                      changes_ends(project, load) ? ", and clamps at the ends change ends" : "");
}

const char *fixing_side_text(const struct fixing *fixing) {
  return fixing->side == SIDE_TOP ? "top" : "under";
}

const char *fixing_stand_text(const struct fixing *fixing) {
  static const char *const stands[] = {"flat", "on edge", "on end"};
  return stands[fixing->stand];
}

const char *drawn_fixing_text(struct arena *arena, const struct load *load) {
  for (size_t f = 0; f < load->fixing_count && load->fixing_count > 1; f++)
    if (load->fixings[f].side == SIDE_TOP && load->fixings[f].stand == STAND_FLAT)
      return arena_format(arena, "as in fixing %zu, top up", f + 1);
  return NULL;
}

length_t finished_below_raw(const struct view *view, const struct load *load) {
  length_t finished = view->project->parts[load->kinds[0]].thickness;
  return load->thickness > finished ? load->thickness - finished : 0;
}
