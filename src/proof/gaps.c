/* Pieces of one stock against each other, by a sweep along the stock. */
#include "proof/order.h"
#include "proof/piece.h"

static int compare_low_x(const void *a, const void *b) {
  const struct claim_piece *const *left = a, *const *right = b;
  length_t x = (*left)->box.low[AXIS_X], other = (*right)->box.low[AXIS_X];
  if (x != other) return x < other ? -1 : 1;
  length_t y = (*left)->box.low[AXIS_Y], other_y = (*right)->box.low[AXIS_Y];
  return (y > other_y) - (y < other_y);
}

static length_t gap(const struct box *a, const struct box *b, enum axis axis) {
  length_t beyond = b->low[axis] - a->high[axis];
  length_t before = a->low[axis] - b->high[axis];
  return beyond > before ? beyond : before;
}

static void check_pair(struct proof *proof, const struct claim *claim,
                       const struct claim_stock *stock, const struct claim_piece *a,
                       const struct claim_piece *b) {
  length_t x = gap(&a->box, &b->box, AXIS_X), y = gap(&a->box, &b->box, AXIS_Y);
  if (x < 0 && y < 0) {
    proof_fault(proof, "pieces overlap: '%s' and '%s' of %s by %s", a->name, b->name,
                stock_text(proof, stock), proof_size(proof, -x, -y));
  } else if (x < claim->kerf[AXIS_X] && y < claim->kerf[AXIS_Y]) {
    proof_fault(proof, "no room for the kerf: '%s' and '%s' of %s lie %s apart", a->name, b->name,
                stock_text(proof, stock), proof_length(proof, x > y ? x : y));
  }
}

void check_gaps(struct proof *proof, const struct claim *claim, const struct claim_stock *stock) {
  size_t count = stock->piece_count;
  const struct claim_piece **sorted = ARENA_ARRAY(proof->arena, count, const struct claim_piece *);
  for (size_t i = 0; i < count; i++) sorted[i] = &stock->pieces[i];
  sort_pointers(sorted, count, compare_low_x);
  for (size_t i = 0; i < count; i++) {
    length_t end = sorted[i]->box.high[AXIS_X] + claim->kerf[AXIS_X];
    for (size_t j = i + 1; j < count && sorted[j]->box.low[AXIS_X] < end; j++) {
      check_pair(proof, claim, stock, sorted[i], sorted[j]);
    }
  }
}
