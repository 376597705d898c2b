/* What the saw's rules let a plate be cut into. */
#include "nest/repack_plate.h"

static length_t wood(const struct plate_kind *kind, length_t grown, int axis) {
  return grown - kind->kerf[axis];
}

/* The widest strip a rip of a piece so long may leave on its narrower side. */
static length_t widest_strip(const struct nest_rules *rules, length_t length) {
  length_t limit = INT64_MAX;
  if (rules->rip_capacity > 0) limit = rules->rip_capacity;
  if (rules->rip_no_wider_than_long && length < limit) limit = length;
  return limit;
}

/* Whether a cell so large may be cut along `along` at all. */
static bool may_cut(const struct plate_kind *kind, const length_t extent[2], int along) {
  const struct nest_rules *rules = &kind->stock->rules;
  if (along == 1) return wood(kind, extent[0], 0) >= rules->rip_min_length;
  return rules->crosscut_capacity == 0 || wood(kind, extent[1], 1) <= rules->crosscut_capacity;
}

/* Of the strips of one rip one may be wider than the limit: it is what is left in the end.
 * Waste is no matter, it can be ripped off in slices. */
static bool may_join(const struct plate_kind *kind, const struct plate *plate, uint16_t parent,
                     length_t extent) {
  const struct cell *cut = &plate->cells[parent];
  if (cut->along == 0) return true;
  length_t limit = widest_strip(&kind->stock->rules, wood(kind, cut->extent[0], 0));
  if (wood(kind, extent, 1) <= limit) return true;
  for (uint16_t c = cut->first; c != CELL_NONE; c = plate->cells[c].next)
    if (plate->cells[c].kind != CELL_FREE && wood(kind, plate->cells[c].extent[1], 1) > limit)
      return false;
  return true;
}

bool plate_allows(const struct plate_kind *kind, const struct plate *plate, uint16_t number,
                  const struct placing *placing) {
  const struct nest_rules *rules = &kind->stock->rules;
  const struct cell *cell = &plate->cells[number];
  uint8_t first = placing->first;
  uint8_t second = first == 0 ? 1 : 0;
  length_t strip[2] = {cell->extent[0], cell->extent[1]};
  strip[first] = placing->strip > 0 ? placing->strip : placing->size[first];
  bool cuts_first = strip[first] < cell->extent[first];
  bool cuts_second = placing->size[second] < cell->extent[second];
  const struct cell *parent = cell->parent == CELL_NONE ? NULL : &plate->cells[cell->parent];
  int depth = parent == NULL ? 0 : parent->depth;
  int stages = rules->stages > 0 ? rules->stages : INT16_MAX;
  bool joins = parent != NULL && cuts_first && parent->along == first;
  if (depth > stages) return false;
  if (parent != NULL &&
      !may_join(kind, plate, cell->parent, joins ? strip[first] : cell->extent[parent->along]))
    return false;
  if (!cuts_first) return !cuts_second; /* a lone cut is the first */
  if (parent == NULL && !(first == 0 ? rules->crosscut_first : rules->rip_first)) return false;
  if (!joins && !may_cut(kind, cell->extent, first)) return false;
  if (!joins) depth++;
  if (cuts_second && depth > stages) return false;
  if (cuts_second && !may_cut(kind, strip, second)) return false;
  if (placing->strip == 0) return true;
  strip[second] = placing->size[second];
  return depth + 1 <= stages && may_cut(kind, strip, first);
}
