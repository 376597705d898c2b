/* Where an open piece goes: every free cell that holds it is looked at, and the cheapest is
 * the one that leaves the most valuable free space. */
#include <string.h>

#include "nest/repack_state.h"

enum { MOST_OFFSETS = 10 };

static bool holds(const length_t cell[2], const length_t size[2]) {
  return size[0] <= cell[0] && size[1] <= cell[1];
}

/* Value of what is left when the first cut is along `first`. */
static int64_t left_over(const struct plate_kind *kind, const length_t cell[2],
                         const length_t size[2], int first) {
  int second = 1 - first;
  length_t beside[2] = {cell[0], cell[1]};
  length_t above[2] = {size[0], size[1]};
  beside[first] = cell[first] - size[first];
  above[second] = cell[second] - size[second];
  return plate_value(kind, beside[0], beside[1]) + plate_value(kind, above[0], above[1]);
}

struct looking {
  struct packing *packing;
  const struct plate_kind *kind;
  const struct plate *plate;
  size_t number; /* of the plate */
  size_t skip;   /* one in so many ways to place a piece is not seen; 0: all are */
  struct offer_place *best;
};

static void take_if_better(const struct looking *look, const struct leaf *leaf, int64_t loss,
                           uint32_t option, const struct placing *placing) {
  if (loss >= look->best->loss) return;
  if (look->kind->ruled && !plate_allows(look->kind, look->plate, leaf->cell, placing)) return;
  if (look->skip > 0 && packing_below(look->packing, look->skip) == 0) return;
  look->best->loss = loss;
  look->best->plate = look->number;
  look->best->cell = leaf->cell;
  look->best->option = option;
  look->best->placing = *placing;
}

/* Where a rip needs a longer piece than the one wanted, the strip is cut longer first. */
static void try_long_strip(const struct looking *look, const struct leaf *leaf, uint32_t option,
                           struct placing *placing) {
  const struct nest_rules *rules = &look->kind->stock->rules;
  length_t kerf = look->kind->kerf[0];
  length_t length = rules->rip_min_length + kerf;
  length_t width = placing->size[1] - look->kind->kerf[1];
  if (rules->rip_no_wider_than_long && width + kerf > length) length = width + kerf;
  if (length <= placing->size[0] || placing->size[1] == leaf->extent[1]) return;
  if (placing->offset[0] + length >= leaf->extent[0]) return;
  length_t across = leaf->extent[1];
  int64_t left = plate_value(look->kind, leaf->extent[0] - length, across) +
                 plate_value(look->kind, length, across - placing->size[1]) +
                 plate_value(look->kind, length - placing->size[0], placing->size[1]);
  placing->first = 0;
  placing->strip = length;
  take_if_better(look, leaf, leaf->value - left, option, placing);
  placing->strip = 0;
}

/* The two orders of cutting; one where no more than one cut is needed. */
static void try_orders(const struct looking *look, const struct leaf *leaf, uint32_t option,
                       struct placing *placing) {
  bool cuts_x = placing->size[0] < leaf->extent[0];
  bool cuts_y = placing->size[1] < leaf->extent[1];
  for (uint8_t first = 0; first < 2; first++) {
    if (first == 0 && !cuts_x && cuts_y) continue;
    if (first == 1 && !cuts_y) continue;
    placing->first = first;
    int64_t loss = leaf->value - left_over(look->kind, leaf->extent, placing->size, first);
    take_if_better(look, leaf, loss, option, placing);
  }
  if (look->kind->ruled) try_long_strip(look, leaf, option, placing);
}

/* ---- flawed stock ---- */

static bool overlaps(length_t low, length_t size, length_t other, length_t other_size) {
  return low < other + other_size && other < low + size;
}

static bool is_clear(const struct nest_stock *stock, const struct nest_option *option,
                     const length_t at[2]) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    length_t rim_x = flaw->rim_ok ? option->core_x : 0;
    length_t rim_y = flaw->rim_ok ? option->core_y : 0;
    if (overlaps(at[0] + rim_x, option->length - 2 * rim_x, flaw->x, flaw->length) &&
        overlaps(at[1] + rim_y, option->width - 2 * rim_y, flaw->y, flaw->width))
      return false;
  }
  return true;
}

/* Offsets worth trying along an axis: either end, behind a flaw, before a flaw. What lies
 * before another cell is at least a kerf wide, or nothing. */
static size_t list_offsets(const struct looking *look, const struct leaf *leaf,
                           const struct nest_option *option, length_t size, int axis,
                           length_t offset[MOST_OFFSETS]) {
  const struct nest_stock *stock = look->kind->stock;
  length_t room = leaf->extent[axis] - size;
  length_t kerf = look->kind->kerf[axis];
  length_t tries[MOST_OFFSETS] = {0, room};
  size_t count = room > 0 ? 2 : 1;
  for (size_t f = 0; f < stock->flaw_count && count + 2 <= MOST_OFFSETS && room > 0; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    length_t rim = !flaw->rim_ok ? 0 : axis == 0 ? option->core_x : option->core_y;
    length_t low = axis == 0 ? flaw->x : flaw->y;
    length_t end = low + (axis == 0 ? flaw->length : flaw->width);
    tries[count++] = end - leaf->at[axis] - rim;
    tries[count++] = low - leaf->at[axis] - size + kerf + rim;
  }
  const struct cell *cell = &look->plate->cells[leaf->cell];
  bool followed = cell->next != CELL_NONE && look->plate->cells[cell->parent].along == axis;
  size_t kept = 0;
  for (size_t t = 0; t < count; t++) {
    if (tries[t] > 0 && tries[t] < kerf) tries[t] = kerf;
    length_t rest = room - tries[t];
    if (tries[t] < 0 || rest < 0 || (rest > 0 && rest < kerf && followed)) continue;
    offset[kept++] = tries[t];
  }
  return kept;
}

/* Value left when free space lies on both sides of the piece. */
static int64_t left_around(const struct plate_kind *kind, const length_t cell[2],
                           const struct placing *placing) {
  int first = placing->first;
  int second = 1 - first;
  int64_t value = 0;
  for (int side = 0; side < 2; side++) {
    length_t beside[2] = {cell[0], cell[1]};
    length_t above[2] = {placing->size[0], placing->size[1]};
    beside[first] = placing->offset[first];
    above[second] = placing->offset[second];
    if (side == 1) {
      beside[first] = cell[first] - placing->offset[first] - placing->size[first];
      above[second] = cell[second] - placing->offset[second] - placing->size[second];
    }
    value += plate_value(kind, beside[0], beside[1]) + plate_value(kind, above[0], above[1]);
  }
  return value;
}

static void try_flawed(const struct looking *look, const struct leaf *leaf, uint32_t number,
                       struct placing *placing) {
  const struct nest_option *option = &look->kind->stock->options[number];
  length_t offset[2][MOST_OFFSETS];
  size_t count[2];
  for (int axis = 0; axis < 2; axis++)
    count[axis] = list_offsets(look, leaf, option, placing->size[axis], axis, offset[axis]);
  bool cuts_x = placing->size[0] < leaf->extent[0];
  bool cuts_y = placing->size[1] < leaf->extent[1];
  for (size_t i = 0; i < count[0] * count[1]; i++) {
    placing->offset[0] = offset[0][i % count[0]];
    placing->offset[1] = offset[1][i / count[0]];
    length_t at[2] = {leaf->at[0] + placing->offset[0], leaf->at[1] + placing->offset[1]};
    look->packing->steps++;
    if (!is_clear(look->kind->stock, option, at)) continue;
    for (uint8_t first = 0; first < 2; first++) {
      if (first == 0 && !cuts_x && cuts_y) continue;
      if (first == 1 && !cuts_y) continue;
      placing->first = first;
      take_if_better(look, leaf, leaf->value - left_around(look->kind, leaf->extent, placing),
                     number, placing);
    }
    if (look->kind->ruled) try_long_strip(look, leaf, number, placing);
  }
}

/* ---- looking ---- */

static void look_into(const struct looking *look, const struct leaf *leaf,
                      const struct wanted_size *size) {
  look->best->fits++;
  /* free space is worth less than in one piece, so at least the piece's share is lost */
  if (size->area * leaf->root > (double)look->best->loss + 4) return;
  struct placing placing = {.size = {size->size[0], size->size[1]}};
  if (look->kind->flawed)
    try_flawed(look, leaf, size->option, &placing);
  else
    try_orders(look, leaf, size->option, &placing);
}

static void look_in_plate(struct packing *packing, size_t number, const struct plate *plate,
                          const struct wanted_size *size, size_t skip, struct offer_place *best) {
  struct looking look = {packing, &packing->kinds[plate->kind], plate, number, skip, best};
  if (!plate_has_room(plate) && number < packing->plate_count) return;
  packing->steps += plate->leaf_count;
  for (uint16_t l = 0; l < plate->leaf_count; l++)
    if (holds(plate->leaves[l].extent, size->size)) look_into(&look, &plate->leaves[l], size);
}

static void look_in_stock(struct packing *packing, size_t stock, const struct wanted_size *size,
                          size_t skip, struct offer_place *best) {
  packing->steps += (int64_t)packing->plate_count;
  if (packing->used[stock] > 0)
    for (size_t p = 0; p < packing->plate_count; p++)
      if (holds(packing->reach[p], size->size) && packing->plates[p].kind == stock)
        look_in_plate(packing, p, &packing->plates[p], size, skip, best);
  if (packing_may_open(packing, stock))
    look_in_plate(packing, packing->plate_count + stock, &packing->blanks[stock], size, skip, best);
}

static void look_everywhere(struct packing *packing, size_t demand, size_t skip,
                            struct offer_place *best) {
  size_t demands = packing->problem->demand_count;
  *best = (struct offer_place){.loss = INT64_MAX};
  for (size_t s = 0; s < packing->problem->stock_count; s++) {
    if (packing->available[s] == 0) continue;
    const size_t *first = &packing->size_first[s * (demands + 1) + demand];
    for (size_t i = first[0]; i < first[1]; i++)
      look_in_stock(packing, s, &packing->sizes[i], skip, best);
  }
}

/* ---- putting back ---- */

/* The entry whose piece has the fewest places, the larger first; SIZE_MAX for none. */
static size_t most_restricted(const struct packing *packing) {
  size_t best = SIZE_MAX;
  for (size_t i = 0; i < packing->wanted_count; i++) {
    const struct offer_place *offer = &packing->offers[i];
    if (offer->loss == INT64_MAX) continue;
    if (best == SIZE_MAX) {
      best = i;
      continue;
    }
    const struct offer_place *known = &packing->offers[best];
    if (offer->fits > known->fits) continue;
    if (offer->fits == known->fits &&
        packing->area[packing->wanted[i]] <= packing->area[packing->wanted[best]])
      continue;
    best = i;
  }
  return best;
}

static size_t highest_ranked(const struct packing *packing) {
  size_t best = SIZE_MAX;
  for (size_t i = 0; i < packing->wanted_count; i++) {
    if (packing->offers[i].loss == INT64_MAX) continue;
    if (best == SIZE_MAX ||
        packing->rank[packing->wanted[i]] > packing->rank[packing->wanted[best]])
      best = i;
  }
  return best;
}

/* After an insertion into `cell` of a plate: places that are gone, places that are new. */
static void look_again(struct packing *packing, size_t number, uint16_t cell,
                       const length_t gone[2], size_t skip) {
  const struct plate *plate = &packing->plates[number];
  struct looking look = {packing, &packing->kinds[plate->kind], plate, number, skip, NULL};
  for (size_t w = 0; w < packing->wanted_count; w++) {
    size_t demand = packing->wanted[w];
    struct offer_place *offer = &packing->offers[w];
    if (offer->loss == INT64_MAX) continue; /* free space has but shrunk */
    if (offer->plate == number && offer->cell == cell) {
      look_everywhere(packing, demand, skip, offer);
      continue;
    }
    size_t row = plate->kind * (packing->problem->demand_count + 1) + demand;
    look.best = offer;
    for (size_t i = packing->size_first[row]; i < packing->size_first[row + 1]; i++) {
      const struct wanted_size *size = &packing->sizes[i];
      if (holds(gone, size->size)) offer->fits--;
      packing->steps += (int64_t)plate->fresh_count;
      for (size_t f = 0; f < plate->fresh_count; f++) {
        const struct leaf *leaf = &plate->leaves[plate->cells[plate->fresh[f]].what];
        if (holds(leaf->extent, size->size)) look_into(&look, leaf, size);
      }
    }
  }
}

static void place(struct packing *packing, size_t entry, size_t skip) {
  struct offer_place offer = packing->offers[entry];
  size_t demand = packing->wanted[entry];
  size_t number = offer.plate;
  bool opened = number >= packing->plate_count;
  if (opened) number = packing_open_plate(packing, number - packing->plate_count);
  packing_touch(packing, number);
  struct plate *plate = &packing->plates[number];
  const struct leaf *leaf = &plate->leaves[plate->cells[offer.cell].what];
  length_t gone[2] = {leaf->extent[0], leaf->extent[1]};
  packing->standing.value -= plate->value;
  plate_insert(&packing->kinds[plate->kind], plate, offer.cell, &offer.placing, offer.option);
  packing_measure(packing, number);
  packing->standing.value += plate->value;
  packing_placed(packing, demand);
  if (packing->open[demand] == 0) packing->offers[entry] = packing->offers[packing->wanted_count];
  if (opened || !plate_has_room(plate)) {
    for (size_t w = 0; w < packing->wanted_count; w++)
      look_everywhere(packing, packing->wanted[w], skip, &packing->offers[w]);
  } else {
    look_again(packing, number, offer.cell, gone, skip);
  }
}

void packing_put_back(struct packing *packing, size_t skip) {
  for (size_t w = 0; w < packing->wanted_count; w++)
    look_everywhere(packing, packing->wanted[w], skip, &packing->offers[w]);
  for (;;) {
    size_t entry = packing->rank != NULL ? highest_ranked(packing) : most_restricted(packing);
    if (entry == SIZE_MAX) return;
    place(packing, entry, skip);
  }
}
