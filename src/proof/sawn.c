#include "proof/sawn.h"

#include <inttypes.h>

static size_t add_box(struct proof *proof, struct sawn *sawn, const struct box *box,
                      size_t parent) {
  struct sawn_box *item = ARENA_PUSH(proof->arena, sawn->boxes, sawn->count, sawn->room);
  *item = (struct sawn_box){.box = *box, .parent = parent, .part = {NO_INDEX, NO_INDEX}};
  return sawn->count - 1;
}

static bool part_meets(const struct sawn *sawn, size_t part, const struct box *box) {
  return part != NO_INDEX && box_meets(&sawn->boxes[part].box, box);
}

size_t sawn_find(const struct sawn *sawn, const struct box *box, const struct claim_cut **across) {
  *across = NULL;
  size_t here = 0;
  if (!box_meets(&sawn->boxes[here].box, box)) return NO_INDEX;
  while (sawn->boxes[here].cut != NULL) {
    const struct sawn_box *at = &sawn->boxes[here];
    bool low = part_meets(sawn, at->part[0], box);
    bool high = part_meets(sawn, at->part[1], box);
    if (low && high) *across = at->cut;
    if (low == high) return NO_INDEX;
    here = at->part[low ? 0 : 1];
  }
  return here;
}

static struct box kerf_box(const struct claim *claim, const struct claim_cut *cut) {
  struct box box = {{cut->at[AXIS_X], cut->at[AXIS_Y]}, {cut->at[AXIS_X], cut->at[AXIS_Y]}};
  enum axis along = cut->axis == AXIS_X ? AXIS_Y : AXIS_X;
  box.high[cut->axis] += claim->kerf[cut->axis];
  box.high[along] += cut->span;
  return box;
}

static const char *cut_text(struct proof *proof, const struct claim_stock *stock,
                            const struct claim_cut *cut) {
  return arena_format(proof->arena, "cut %" PRId64 " (%s) of '%s' copy %" PRId64, cut->step,
                      cut->axis == AXIS_X ? "crosscut" : "rip", stock->stock, stock->copy);
}

/* The box the cut parts, or NO_INDEX with a fault. */
static size_t find_cut_box(struct proof *proof, const struct claim_stock *stock,
                           const struct claim_cut *cut, const struct box *kerf,
                           const struct sawn *sawn) {
  const struct claim_cut *across = NULL;
  size_t found = sawn_find(sawn, kerf, &across);
  if (across != NULL) {
    proof_fault(proof, "not edge to edge: %s runs across the earlier cut %" PRId64,
                cut_text(proof, stock, cut), across->step);
    return NO_INDEX;
  }
  if (found == NO_INDEX) {
    proof_fault(proof, "nothing to cut: %s at %s meets no wood", cut_text(proof, stock, cut),
                proof_point(proof, cut->at[AXIS_X], cut->at[AXIS_Y]));
    return NO_INDEX;
  }
  const struct box *whole = &sawn->boxes[found].box;
  enum axis along = cut->axis == AXIS_X ? AXIS_Y : AXIS_X;
  if (kerf->low[along] == whole->low[along] && kerf->high[along] == whole->high[along]) {
    return found;
  }
  proof_fault(proof, "not edge to edge: %s runs from %s to %s, the piece it cuts from %s to %s",
              cut_text(proof, stock, cut), proof_length(proof, kerf->low[along]),
              proof_length(proof, kerf->high[along]), proof_length(proof, whole->low[along]),
              proof_length(proof, whole->high[along]));
  return NO_INDEX;
}

static void check_keep(struct proof *proof, const struct claim_stock *stock,
                       const struct claim_cut *cut, length_t kept) {
  if (cut->keep == kept) return;
  proof_fault(proof, "wrong keep: %s keeps %s on its %s side, the plan says %s",
              cut_text(proof, stock, cut), proof_length(proof, kept),
              cut->keep_high ? "high" : "low", proof_length(proof, cut->keep));
}

/* A trim takes its kerf right beside the usable box, from outside. */
static void check_trim(struct proof *proof, const struct claim_stock *stock,
                       const struct claim_cut *cut, const struct box *kerf, bool trims_done) {
  struct box usable = usable_box(stock);
  if (trims_done) {
    proof_fault(proof, "trim too late: %s comes after cuts that are no trims",
                cut_text(proof, stock, cut));
  }
  if (kerf->high[cut->axis] == usable.low[cut->axis]) return;
  if (kerf->low[cut->axis] == usable.high[cut->axis]) return;
  proof_fault(proof, "trim out of place: %s does not run along the usable part of the stock",
              cut_text(proof, stock, cut));
}

static bool make_cut(struct proof *proof, const struct claim *claim,
                     const struct claim_stock *stock, const struct claim_cut *cut,
                     struct sawn *sawn) {
  struct box kerf = kerf_box(claim, cut);
  size_t found = find_cut_box(proof, stock, cut, &kerf, sawn);
  if (found == NO_INDEX) return false;
  struct box whole = sawn->boxes[found].box;
  struct box low = whole, high = whole;
  low.high[cut->axis] = kerf.low[cut->axis];
  high.low[cut->axis] = kerf.high[cut->axis];
  length_t low_extent = box_extent(&low, cut->axis), high_extent = box_extent(&high, cut->axis);
  check_keep(proof, stock, cut, cut->keep_high ? high_extent : low_extent);
  check_cut_limits(proof, claim, stock, cut, &whole, low_extent < 0 ? 0 : low_extent,
                   high_extent < 0 ? 0 : high_extent);
  size_t low_part = low_extent > 0 ? add_box(proof, sawn, &low, found) : NO_INDEX;
  size_t high_part = high_extent > 0 ? add_box(proof, sawn, &high, found) : NO_INDEX;
  sawn->boxes[found].cut = cut;
  sawn->boxes[found].part[0] = low_part;
  sawn->boxes[found].part[1] = high_part;
  return true;
}

/* Looks for the usable box among what the trims left. */
static bool find_usable(struct proof *proof, const struct claim_stock *stock, struct sawn *sawn) {
  struct box usable = usable_box(stock);
  const struct claim_cut *across = NULL;
  size_t found = sawn_find(sawn, &usable, &across);
  if (found != NO_INDEX && box_same(&sawn->boxes[found].box, &usable)) {
    sawn->usable = found;
    return true;
  }
  proof_fault(proof, "trim missing: the trim cuts of %s do not leave its usable part, %s at %s",
              stock_text(proof, stock),
              proof_size(proof, box_extent(&usable, AXIS_X), box_extent(&usable, AXIS_Y)),
              proof_point(proof, usable.low[AXIS_X], usable.low[AXIS_Y]));
  return false;
}

bool sawn_make(struct proof *proof, const struct claim *claim, const struct claim_stock *stock,
               struct sawn *sawn) {
  sawn->count = 0;
  sawn->usable = NO_INDEX;
  struct box raw = {{0, 0}, {stock->length, stock->width}};
  add_box(proof, sawn, &raw, NO_INDEX);
  for (size_t i = 0; i < stock->cut_count; i++) {
    const struct claim_cut *cut = &stock->cuts[i];
    if (cut->resaw) continue; /* check_leaves looks at these */
    if (cut->trim) {
      struct box kerf = kerf_box(claim, cut);
      check_trim(proof, stock, cut, &kerf, sawn->usable != NO_INDEX);
    } else if (sawn->usable == NO_INDEX && !find_usable(proof, stock, sawn)) {
      return false;
    }
    if (!make_cut(proof, claim, stock, cut, sawn)) return false;
  }
  return sawn->usable != NO_INDEX || find_usable(proof, stock, sawn);
}
