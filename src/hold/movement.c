#include "hold/movement.h"

#include "hold/wood.h"

#define COEFFICIENT_WHOLE INT64_C(100000)
#define PERCENT_WHOLE INT64_C(1000)

length_t movement_across(length_t width, int64_t coefficient, int64_t swing) {
  int64_t whole = COEFFICIENT_WHOLE * PERCENT_WHOLE;
  int64_t factor = coefficient * swing;
  /* Parted, so that no length a project may hold overflows. */
  return width / whole * factor + (width % whole * factor + whole / 2) / whole;
}

static length_t size_across(const struct part *part) {
  if (part->grain == GRAIN_ALONG) return part->width;
  if (part->grain == GRAIN_ACROSS) return part->length;
  return part->length > part->width ? part->length : part->width;
}

/* Keeps the wood that moves most; one not in the table is taken for the worst there is. */
static void take_wood(struct movement *movement, const char *name, bool first) {
  const struct wood *wood = wood_named(name);
  bool known = wood != NULL && wood->tangential > 0;
  int64_t coefficient = known ? wood->tangential : wood_most_tangential();
  if (!first && coefficient < movement->coefficient) return;
  if (!first && coefficient == movement->coefficient && movement->species == NULL) return;
  movement->coefficient = coefficient;
  movement->species = known ? wood->name : NULL;
}

struct movement movement_of(const struct project *project, const struct part *part,
                            enum stock_kind kind, const char *wood) {
  struct movement movement = {.width = size_across(part)};
  if (kind == STOCK_SHEET) return movement;
  if (wood != NULL) {
    take_wood(&movement, wood, true);
  } else {
    for (size_t i = 0; i < part->wood_count; i++) take_wood(&movement, part->woods[i], i == 0);
    if (part->wood_count == 0) movement.coefficient = wood_most_tangential();
  }
  movement.change =
      movement_across(movement.width, movement.coefficient, project->shop.season_swing);
  movement.beyond_fit = part->fit >= 0 && movement.change > part->fit;
  return movement;
}
