/* Which settings of the owner's own machines bear on a plan. */
#include "write/view.h"

struct uses {
  bool crosscut, rip; /* some cut is one */
  bool resaw;         /* some plank is split into leaves */
  bool bed;           /* some piece is machined on the router's bed */
  bool rough;         /* some stock must be planed */
};

static struct uses plan_uses(const struct blanks *blanks, const struct plan *plan,
                             const struct project *project) {
  struct uses uses = {0};
  for (size_t i = 0; i < plan->cut_count; i++) {
    uses.rip |= plan->cuts[i].rip;
    uses.resaw |= plan->cuts[i].resaw;
    uses.crosscut |= !plan->cuts[i].rip && !plan->cuts[i].resaw;
  }
  for (size_t i = 0; i < blanks->count; i++) {
    size_t part = blanks->items[i].part;
    bool wanted = plan->needed == NULL || plan->needed[part] > 0;
    uses.bed |= wanted && blanks->items[i].role != ROLE_PART;
  }
  for (size_t i = 0; i < plan->layout_count; i++)
    uses.rough |= project->stocks[plan->layouts[i].stock].surface == SURFACE_ROUGH;
  return uses;
}

static struct uses sizing_uses(const struct blanks *blanks, const struct project *project) {
  struct uses uses = {.crosscut = true, .rip = true};
  for (size_t i = 0; i < blanks->count; i++) {
    uses.bed |= blanks->items[i].role != ROLE_PART;
    const struct stock *stock = &project->stocks[blanks->items[i].stock];
    uses.rough |= stock->surface == SURFACE_ROUGH;
    uses.resaw |= stock->leaves > 0;
  }
  return uses;
}

bool view_default_mattered(const struct project *project, const struct blanks *blanks,
                           const struct plan *plan, enum setting setting) {
  if (!setting_table[setting].machine || project->shop.given[setting]) return false;
  struct uses uses = plan == NULL ? sizing_uses(blanks, project) : plan_uses(blanks, plan, project);
  switch (setting) {
    case SETTING_crosscut_capacity:
      return uses.crosscut;
    case SETTING_rip_capacity:
      return uses.rip;
    case SETTING_resaw_max_height:
      return uses.resaw;
    case SETTING_blade_height:
      return uses.crosscut || uses.rip;
    case SETTING_bed_length:
    case SETTING_bed_width:
    case SETTING_travel_x:
    case SETTING_travel_y:
    case SETTING_travel_z:
    case SETTING_daylight:
      return uses.bed;
    case SETTING_planer_min_length:
    case SETTING_planer_min_thickness:
    case SETTING_jointer_min_length:
    case SETTING_jointer_min_thickness:
    case SETTING_jointer_min_width:
      return uses.rough;
    default:
      return false;
  }
}
