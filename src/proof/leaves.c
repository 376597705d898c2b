/* Planks split through their thickness, and the leaves they are split into. */
#include <inttypes.h>
#include <string.h>

#include "proof/check.h"
#include "proof/order.h"

static const struct claim_piece *resaw_piece(const struct claim_stock *stock) {
  for (size_t j = 0; j < stock->piece_count; j++)
    if (stock->pieces[j].role == CLAIM_RESAW) return &stock->pieces[j];
  return NULL;
}

/* What the leaves, the kerfs between them and the cleaning of the faces sawn take together. */
static bool thickness_taken(const struct claim *claim, const struct claim_piece *piece,
                            length_t *taken) {
  int64_t leaves = 0, between = 0;
  return checked_times(piece->leaves, piece->leaf_thickness, &leaves) &&
         checked_times(piece->leaves - 1, claim->resaw_kerf + 2 * claim->resaw_clean, &between) &&
         checked_plus(leaves, between, taken);
}

/* One more cut where the wood behind the last leaf is thick enough to be sawn off. */
static int64_t cuts_needed(const struct claim *claim, const struct claim_stock *stock,
                           const struct claim_piece *piece, length_t taken) {
  bool one_more = stock->thickness - taken >= claim->resaw_kerf + claim->resaw_clean;
  return piece->leaves - (one_more ? 0 : 1);
}

static void check_resaw_cut(struct proof *proof, const struct claim *claim,
                            const struct claim_stock *stock, const struct claim_piece *piece,
                            const struct claim_cut *cut) {
  if (cut->at[AXIS_X] != piece->box.low[AXIS_X] || cut->at[AXIS_Y] != piece->box.low[AXIS_Y] ||
      cut->span != box_extent(&piece->box, AXIS_X)) {
    proof_fault(proof, "not edge to edge: cut %" PRId64 " (resaw) of %s does not run along %s",
                cut->step, stock_text(proof, stock), piece->name);
  }
  if (cut->keep != piece->leaf_thickness + claim->resaw_clean) {
    proof_fault(proof,
                "wrong keep: cut %" PRId64
                " (resaw) of %s keeps %s, a leaf and its cleaning take %s",
                cut->step, stock_text(proof, stock), proof_length(proof, cut->keep),
                proof_length(proof, piece->leaf_thickness + claim->resaw_clean));
  }
  if (cut->cautions == 0) {
    proof_fault(proof, "no caution: cut %" PRId64 " (resaw) of %s", cut->step,
                stock_text(proof, stock));
  }
}

static void check_resaw_cuts(struct proof *proof, const struct claim *claim,
                             const struct claim_stock *stock, const struct claim_piece *piece,
                             length_t taken) {
  int64_t count = 0, last_other = 0, first = INT64_MAX;
  for (size_t j = 0; j < stock->cut_count; j++) {
    const struct claim_cut *cut = &stock->cuts[j];
    if (!cut->resaw) {
      if (cut->step > last_other) last_other = cut->step;
      continue;
    }
    count++;
    if (cut->step < first) first = cut->step;
    check_resaw_cut(proof, claim, stock, piece, cut);
  }
  if (count != cuts_needed(claim, stock, piece, taken)) {
    proof_fault(
        proof,
        "wrong count of resaw cuts: %s has %" PRId64 ", its %" PRId64 " leaves take %" PRId64,
        stock_text(proof, stock), count, piece->leaves, cuts_needed(claim, stock, piece, taken));
  } else if (first < last_other) {
    proof_fault(proof, "resawn before its trims: %s", stock_text(proof, stock));
  }
}

static void check_plank(struct proof *proof, const struct claim *claim,
                        const struct claim_stock *stock, const struct claim_piece *piece) {
  struct box usable = usable_box(stock);
  length_t taken = 0;
  if (claim->resaw_kerf < 0 || claim->resaw_clean < 0 || claim->resaw_max_height < 0) {
    proof_fault(proof,
                "resawn: %s, but the plan lacks 'resaw_kerf', 'resaw_clean' or "
                "'resaw_max_height'",
                stock_text(proof, stock));
    return;
  }
  if (stock->sheet || stock->leaf_of != NULL) {
    proof_fault(proof, "resawn: %s is no plank", stock_text(proof, stock));
  }
  if (!box_same(&piece->box, &usable)) {
    proof_fault(proof, "resawn in part: %s is not all that the trims leave of %s", piece->name,
                stock_text(proof, stock));
  }
  if (box_extent(&usable, AXIS_Y) > claim->resaw_max_height) {
    proof_fault(proof, "too wide to resaw: %s is %s wide on edge, the saw takes %s",
                stock_text(proof, stock), proof_length(proof, box_extent(&usable, AXIS_Y)),
                proof_length(proof, claim->resaw_max_height));
  }
  if (!thickness_taken(claim, piece, &taken) || taken > stock->thickness) {
    proof_fault(proof,
                "too thin to resaw: %s is %s thick, %" PRId64 " leaves of %s do not fit into it",
                stock_text(proof, stock), proof_length(proof, stock->thickness), piece->leaves,
                proof_length(proof, piece->leaf_thickness));
    return;
  }
  check_resaw_cuts(proof, claim, stock, piece, taken);
}

static bool same_flaws(const struct claim_stock *leaf, const struct claim_stock *plank) {
  if (leaf->flaw_count != plank->flaw_count) return false;
  for (size_t i = 0; i < leaf->flaw_count; i++) {
    const struct claim_flaw *here = &leaf->flaws[i], *there = &plank->flaws[i];
    struct box moved = {
        {there->box.low[AXIS_X] - plank->trim_ends, there->box.low[AXIS_Y] - plank->trim_edges},
        {there->box.high[AXIS_X] - plank->trim_ends, there->box.high[AXIS_Y] - plank->trim_edges}};
    if (!box_same(&here->box, &moved) || here->rim_ok != there->rim_ok ||
        strcmp(here->what, there->what) != 0)
      return false;
  }
  return true;
}

static bool is_like_plank(const struct claim_stock *leaf, const struct claim_stock *plank,
                          const struct claim_piece *piece) {
  return strcmp(leaf->wood, plank->wood) == 0 && leaf->yard == plank->yard && !leaf->sheet &&
         leaf->length == box_extent(&piece->box, AXIS_X) &&
         leaf->width == box_extent(&piece->box, AXIS_Y) &&
         leaf->thickness == piece->leaf_thickness && leaf->trim_ends == 0 &&
         leaf->trim_edges == 0 && leaf->price == 0 && same_flaws(leaf, plank);
}

/* No leaf is cut before the last cut of its plank. */
static void check_later(struct proof *proof, const struct claim_stock *leaf,
                        const struct claim_stock *plank) {
  int64_t last = 0;
  for (size_t j = 0; j < plank->cut_count; j++)
    if (plank->cuts[j].step > last) last = plank->cuts[j].step;
  for (size_t j = 0; j < leaf->cut_count; j++) {
    if (leaf->cuts[j].step > last) continue;
    proof_fault(proof, "cut too early: cut %" PRId64 " of %s, its plank is resawn by cut %" PRId64,
                leaf->cuts[j].step, stock_text(proof, leaf), last);
    return;
  }
}

static int compare_stocks(const void *a, const void *b) {
  const struct claim_stock *const *left = a, *const *right = b;
  int order = strcmp((*left)->stock, (*right)->stock);
  if (order != 0) return order;
  return ((*left)->copy > (*right)->copy) - ((*left)->copy < (*right)->copy);
}

/* A leaf comes from a plank that is split into such leaves. */
static void check_leaf(struct proof *proof, const struct claim *claim,
                       const struct claim_stock **sorted, const struct claim_stock *leaf) {
  struct claim_stock key = {.stock = leaf->leaf_of, .copy = leaf->leaf_of_copy};
  size_t place = find_pointer(&key, sorted, claim->stock_count, compare_stocks);
  const struct claim_stock *plank = place == claim->stock_count ? NULL : sorted[place];
  const struct claim_piece *piece = plank == NULL ? NULL : resaw_piece(plank);
  if (piece == NULL || strcmp(piece->leaf, leaf->stock) != 0 || leaf->leaf > piece->leaves ||
      leaf->copy != (plank->copy - 1) * piece->leaves + leaf->leaf) {
    proof_fault(proof, "leaf of no plank: %s does not come from '%s' copy %" PRId64,
                stock_text(proof, leaf), leaf->leaf_of, leaf->leaf_of_copy);
    return;
  }
  if (!is_like_plank(leaf, plank, piece)) {
    proof_fault(proof, "leaf unlike its plank: wood, size, thickness, price, trim or flaws of %s",
                stock_text(proof, leaf));
  }
  check_later(proof, leaf, plank);
}

/* A plank's leaves have copies of their own, so that as many as it has are all of them. */
static int64_t leaves_listed(const struct claim *claim, const struct claim_stock *plank) {
  int64_t count = 0;
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *leaf = &claim->stocks[i];
    if (leaf->leaf_of != NULL && strcmp(leaf->leaf_of, plank->stock) == 0 &&
        leaf->leaf_of_copy == plank->copy)
      count++;
  }
  return count;
}

void check_leaves(struct proof *proof, const struct claim *claim) {
  const struct claim_stock **sorted =
      ARENA_ARRAY(proof->arena, claim->stock_count, const struct claim_stock *);
  for (size_t i = 0; i < claim->stock_count; i++) sorted[i] = &claim->stocks[i];
  sort_pointers(sorted, claim->stock_count, compare_stocks);
  for (size_t i = 0; i < claim->stock_count && proof->faults <= PROOF_FAULTS_MAX; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    const struct claim_piece *piece = resaw_piece(stock);
    if (stock->leaf_of != NULL) check_leaf(proof, claim, sorted, stock);
    if (piece != NULL) {
      check_plank(proof, claim, stock, piece);
      if (leaves_listed(claim, stock) != piece->leaves) {
        proof_fault(proof, "leaves left out: %s is split into %" PRId64 ", %" PRId64 " are listed",
                    stock_text(proof, stock), piece->leaves, leaves_listed(claim, stock));
      }
    }
    for (size_t j = 0; piece == NULL && j < stock->cut_count; j++) {
      if (!stock->cuts[j].resaw) continue;
      proof_fault(proof, "resawn for nothing: cut %" PRId64 " of %s", stock->cuts[j].step,
                  stock_text(proof, stock));
    }
  }
}
