/* Every piece of stock: its cuts are made, and what they leave is what is claimed. */
#include <inttypes.h>
#include <stdlib.h>

#include "proof/check.h"
#include "proof/piece.h"
#include "proof/sawn.h"

static int compare_steps(const void *a, const void *b) {
  const struct claim_cut *left = a, *right = b;
  return (left->step > right->step) - (left->step < right->step);
}

/* Gives the piece its box among what the saw leaves. */
static bool place_piece(struct proof *proof, const struct claim_stock *stock, struct sawn *sawn,
                        const struct claim_piece *piece) {
  const struct claim_cut *across = NULL;
  size_t found = sawn_find(sawn, &piece->box, &across);
  if (across != NULL) {
    proof_fault(proof, "cut through a piece: cut %" PRId64 " runs through %s", across->step,
                piece_text(proof, stock, piece));
    return false;
  }
  if (found == NO_INDEX) {
    proof_fault(proof, "no wood left: the cuts leave nothing where %s lies",
                piece_text(proof, stock, piece));
    return false;
  }
  struct sawn_box *left = &sawn->boxes[found];
  if (!box_same(&left->box, &piece->box)) {
    proof_fault(proof, "not what the saw leaves: %s is %s at %s, the cuts leave %s at %s",
                piece_text(proof, stock, piece),
                proof_size(proof, box_extent(&piece->box, AXIS_X), box_extent(&piece->box, AXIS_Y)),
                proof_point(proof, piece->box.low[AXIS_X], piece->box.low[AXIS_Y]),
                proof_size(proof, box_extent(&left->box, AXIS_X), box_extent(&left->box, AXIS_Y)),
                proof_point(proof, left->box.low[AXIS_X], left->box.low[AXIS_Y]));
    return false;
  }
  if (left->piece != NULL) {
    proof_fault(proof, "same wood used twice: pieces '%s' and '%s' of %s", left->piece->name,
                piece->name, stock_text(proof, stock));
    return false;
  }
  left->piece = piece;
  return true;
}

/* Wood worth keeping that is claimed as nothing. Trimmed-off wood may be left out. */
static void check_offcuts(struct proof *proof, const struct claim *claim,
                          const struct claim_stock *stock, const struct sawn *sawn) {
  struct box usable = usable_box(stock);
  for (size_t i = 0; i < sawn->count; i++) {
    const struct sawn_box *left = &sawn->boxes[i];
    if (left->cut != NULL || left->piece != NULL) continue;
    if (!box_inside(&left->box, &usable) || !is_offcut_size(claim, stock, &left->box)) continue;
    proof_fault(proof, "offcut left out: the cuts of %s leave %s at %s, worth keeping",
                stock_text(proof, stock),
                proof_size(proof, box_extent(&left->box, AXIS_X), box_extent(&left->box, AXIS_Y)),
                proof_point(proof, left->box.low[AXIS_X], left->box.low[AXIS_Y]));
  }
}

static void check_sawing(struct proof *proof, const struct claim *claim, struct claim_stock *stock,
                         struct sawn *sawn) {
  if (stock->cut_count > 1) {
    qsort(stock->cuts, stock->cut_count, sizeof *stock->cuts, compare_steps);
  }
  if (!sawn_make(proof, claim, stock, sawn)) return;
  sawn_check_sections(proof, stock, sawn);
  bool placed = true;
  for (size_t i = 0; i < stock->piece_count; i++) {
    if (!place_piece(proof, stock, sawn, &stock->pieces[i])) placed = false;
  }
  if (!placed) return;
  check_offcuts(proof, claim, stock, sawn);
  sawn_check_stages(proof, claim, stock, sawn);
}

static void check_pieces(struct proof *proof, const struct claim *claim,
                         const struct claim_stock *stock) {
  const struct box *flaws = grown_flaws(proof, claim, stock);
  size_t wanted = 0;
  for (size_t i = 0; i < stock->piece_count; i++) {
    if (stock->pieces[i].role != CLAIM_OFFCUT) wanted++;
    check_piece(proof, claim, stock, flaws, &stock->pieces[i]);
  }
  /* a leaf came with the others of its plank */
  if (wanted == 0 && stock->leaf_of == NULL) {
    proof_fault(proof, "used for nothing: no part or blank is cut from %s",
                stock_text(proof, stock));
  }
  check_gaps(proof, claim, stock);
}

void check_layouts(struct proof *proof, struct claim *claim) {
  struct sawn sawn = {NULL, 0, 0, NO_INDEX};
  for (size_t i = 0; i < claim->stock_count && proof->faults <= PROOF_FAULTS_MAX; i++) {
    struct claim_stock *stock = &claim->stocks[i];
    struct box usable = usable_box(stock);
    if (box_extent(&usable, AXIS_X) <= 0 || box_extent(&usable, AXIS_Y) <= 0) {
      proof_fault(proof, "nothing left by the trims: %s of %s", stock_text(proof, stock),
                  proof_size(proof, stock->length, stock->width));
      continue;
    }
    check_pieces(proof, claim, stock);
    check_sawing(proof, claim, stock, &sawn);
  }
}
