#include "proof/left_over.h"

#include <inttypes.h>
#include <string.h>

#include "base/fingerprint.h"
#include "base/share.h"
#include "proof/check.h"
#include "proof/order.h"

struct lister {
  struct proof *proof;
  const struct claim *claim;
  const struct claim_stock **planks; /* all but leaves, by name and copy */
  size_t plank_count;
  struct left_over *left;
};

static int compare_planks(const void *a, const void *b) {
  const struct claim_stock *const *left = a, *const *right = b;
  int order = strcmp((*left)->stock, (*right)->stock);
  if (order != 0) return order;
  return ((*left)->copy > (*right)->copy) - ((*left)->copy < (*right)->copy);
}

static void sort_planks(struct lister *lister) {
  const struct claim *claim = lister->claim;
  lister->planks =
      ARENA_ARRAY(lister->proof->arena, claim->stock_count, const struct claim_stock *);
  for (size_t i = 0; i < claim->stock_count; i++)
    if (claim->stocks[i].leaf_of == NULL) lister->planks[lister->plank_count++] = &claim->stocks[i];
  sort_pointers(lister->planks, lister->plank_count, compare_planks);
}

/* ---- what leaves the rack ---- */

/* The planks come sorted, so copies of one name follow each other. */
static void list_used(struct lister *lister) {
  struct left_over *left = lister->left;
  struct arena *arena = lister->proof->arena;
  for (size_t i = 0; i < lister->plank_count; i++) {
    const struct claim_stock *plank = lister->planks[i];
    if (plank->yard) continue;
    struct used_stock *used = left->used_count > 0 ? &left->used[left->used_count - 1] : NULL;
    if (used == NULL || strcmp(used->name, plank->stock) != 0) {
      used = ARENA_PUSH(arena, left->used, left->used_count, left->used_room);
      *used = (struct used_stock){.name = plank->stock, .fingerprint = plank->fingerprint};
    }
    *ARENA_PUSH(arena, used->copies, used->count, used->room) = plank->copy;
  }
}

/* ---- what joins it ---- */

/* Of a leaf, its share of the plank; the plank's trims take their share too. */
static cents_t offcut_value(const struct lister *lister, const struct claim_stock *stock,
                            const struct box *box) {
  int64_t area = box_extent(box, AXIS_X) * box_extent(box, AXIS_Y);
  if (stock->leaf_of == NULL) return value_share(stock->price, area, stock->length * stock->width);
  struct claim_stock key = {.stock = stock->leaf_of, .copy = stock->leaf_of_copy};
  size_t found = find_pointer(&key, lister->planks, lister->plank_count, compare_planks);
  if (found == lister->plank_count) return 0; /* check_leaves has refused such a plan */
  const struct claim_stock *plank = lister->planks[found];
  int64_t leaves = 1;
  for (size_t j = 0; j < plank->piece_count; j++)
    if (plank->pieces[j].role == CLAIM_RESAW) leaves = plank->pieces[j].leaves;
  return value_share(plank->price, area, plank->length * plank->width) / leaves;
}

/* The part of a flaw inside the box, counted from its lower left corner. */
static void add_flaws(struct arena *arena, const struct claim_stock *stock, const struct box *box,
                      struct stock *piece) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct claim_flaw *flaw = &stock->flaws[f];
    if (!box_meets(&flaw->box, box)) continue;
    length_t low[2], high[2];
    for (int axis = AXIS_X; axis <= AXIS_Y; axis++) {
      low[axis] = flaw->box.low[axis] > box->low[axis] ? flaw->box.low[axis] : box->low[axis];
      high[axis] = flaw->box.high[axis] < box->high[axis] ? flaw->box.high[axis] : box->high[axis];
    }
    *ARENA_PUSH(arena, piece->flaws, piece->flaw_count, piece->flaw_room) =
        (struct flaw){.x = low[AXIS_X] - box->low[AXIS_X],
                      .y = low[AXIS_Y] - box->low[AXIS_Y],
                      .length = high[AXIS_X] - low[AXIS_X],
                      .width = high[AXIS_Y] - low[AXIS_Y],
                      .what = flaw->what,
                      .rim_ok = flaw->rim_ok};
  }
}

/* The wood alone: no name, sizes, count, value, trims. */
static struct stock of_wood(const struct claim_stock *stock) {
  return (struct stock){.kind = stock->sheet ? STOCK_SHEET : STOCK_PLANK,
                        .source = SOURCE_RACK,
                        .wood = stock->wood,
                        .thickness = stock->thickness,
                        .pack = 1,
                        .surface = stock->planed ? SURFACE_PLANED : SURFACE_ROUGH,
                        .face_grain = (enum face_grain)stock->face_grain};
}

static struct stock *add_piece(struct lister *lister, const struct stock *piece) {
  struct left_over *left = lister->left;
  struct stock *added =
      ARENA_PUSH(lister->proof->arena, left->pieces, left->piece_count, left->piece_room);
  *added = *piece;
  return added;
}

/* "offcut W1-1a" goes by "W1-1a" on the rack. */
static const char *rack_name(const char *name) {
  static const char lead[] = "offcut ";
  bool led = strncmp(name, lead, sizeof lead - 1) == 0 && name[sizeof lead - 1] != '\0';
  return led ? name + sizeof lead - 1 : name;
}

static void list_offcuts(struct lister *lister, const struct claim_stock *stock) {
  struct arena *arena = lister->proof->arena;
  for (size_t j = 0; j < stock->piece_count; j++) {
    const struct claim_piece *piece = &stock->pieces[j];
    if (piece->role != CLAIM_OFFCUT) continue;
    struct stock offcut = of_wood(stock);
    offcut.name = rack_name(piece->name);
    offcut.length = box_extent(&piece->box, AXIS_X);
    offcut.width = box_extent(&piece->box, AXIS_Y);
    offcut.count = 1;
    offcut.value = offcut_value(lister, stock, &piece->box);
    offcut.note = arena_format(arena, "offcut of %s-%" PRId64, stock->stock, stock->copy);
    add_flaws(arena, stock, &piece->box, add_piece(lister, &offcut));
  }
}

/* What packs hold beyond what is cut. */
static void list_bought(struct lister *lister, const struct claim_purchase *purchase) {
  if (!purchase->yard || purchase->bought <= purchase->used) return;
  const struct claim_stock *stock = NULL;
  for (size_t i = 0; i < lister->plank_count && stock == NULL; i++)
    if (strcmp(lister->planks[i]->stock, purchase->stock) == 0) stock = lister->planks[i];
  if (stock == NULL) return; /* check_sums has refused such a plan */
  struct stock piece = of_wood(stock);
  piece.name = arena_format(lister->proof->arena, "%s spare", stock->stock);
  piece.length = stock->length;
  piece.width = stock->width;
  piece.count = purchase->bought - purchase->used;
  piece.value = stock->price;
  piece.crook = stock->crook;
  piece.trim_ends = stock->trim_ends;
  piece.trim_edges = stock->trim_edges;
  piece.note = "bought and not used";
  (void)add_piece(lister, &piece);
}

/* ---- whether the plan says what is asked ---- */

static bool says_enough(const struct claim *claim) {
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    bool on_rack = !stock->yard && stock->leaf_of == NULL;
    if (stock->crook < 0 || (on_rack && stock->fingerprint == NULL)) return false;
  }
  return true;
}

enum status proof_left_over(struct arena *arena, const char *name, const char *text, size_t length,
                            struct diagnostics *diagnostics, struct left_over *left) {
  struct proof proof = {.arena = arena, .diagnostics = diagnostics, .name = name};
  struct claim *claim = NULL;
  enum status status = check_all(&proof, text, length, &claim);
  if (status != STATUS_OK) return status;
  if (!says_enough(claim)) {
    proof_fault(&proof,
                "plan cannot be settled: it carries no fingerprints of the rack, expected a plan "
                "made by this version");
    return STATUS_BAD_INPUT;
  }
  uint64_t plan = fingerprint_bytes(FINGERPRINT_START, text, length);
  *left = (struct left_over){
      .project = claim->project, .plan = fingerprint_text(arena, plan), .sets = claim->sets};
  struct lister lister = {.proof = &proof, .claim = claim, .left = left};
  sort_planks(&lister);
  list_used(&lister);
  for (size_t i = 0; i < claim->stock_count; i++) list_offcuts(&lister, &claim->stocks[i]);
  left->offcut_count = left->piece_count;
  for (size_t i = 0; i < claim->purchase_count; i++) list_bought(&lister, &claim->purchases[i]);
  return STATUS_OK;
}
