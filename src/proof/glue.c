/* Glue-ups: strips of one name make one blank. */
#include <inttypes.h>
#include <string.h>

#include "base/text.h"
#include "proof/check.h"
#include "proof/order.h"

struct strip {
  const struct claim_stock *stock;
  const struct claim_piece *piece;
};

static int compare_strips(const void *a, const void *b) {
  const struct strip *const *left = a, *const *right = b;
  int order = strcmp((*left)->piece->glued, (*right)->piece->glued);
  if (order != 0) return order;
  int64_t strip = (*left)->piece->strip, other = (*right)->piece->strip;
  return (strip > other) - (strip < other);
}

static struct strip **sorted_strips(struct proof *proof, const struct claim *claim, size_t *count) {
  size_t total = 0;
  for (size_t i = 0; i < claim->stock_count; i++) total += claim->stocks[i].piece_count;
  struct strip **strips = ARENA_ARRAY(proof->arena, total, struct strip *);
  *count = 0;
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->piece_count; j++) {
      if (stock->pieces[j].strip == 0) continue;
      struct strip *strip = strips[(*count)++] = ARENA_NEW(proof->arena, struct strip);
      *strip = (struct strip){stock, &stock->pieces[j]};
    }
  }
  sort_pointers(strips, *count, compare_strips);
  return strips;
}

static bool go_together(const struct strip *a, const struct strip *b) {
  return a->piece->need == b->piece->need && a->piece->role == b->piece->role &&
         a->piece->turned == b->piece->turned && a->piece->reach == b->piece->reach &&
         a->piece->cutter_diameter == b->piece->cutter_diameter &&
         a->piece->glued_strips == b->piece->glued_strips &&
         a->piece->glued_length == b->piece->glued_length &&
         a->piece->glued_width == b->piece->glued_width &&
         a->stock->thickness == b->stock->thickness &&
         text_equal_fold(a->stock->wood, b->stock->wood);
}

/* The joints run along x, with the grain: how far the strips reach that way, and across. */
static void check_extent(struct proof *proof, const struct claim *claim,
                         struct strip *const *strips, size_t count) {
  const struct claim_piece *first = strips[0]->piece;
  length_t along = LENGTH_MAX, across = -2 * (length_t)(count - 1) * claim->glue_per_edge;
  for (size_t i = 0; i < count; i++) {
    length_t here = box_extent(&strips[i]->piece->box, AXIS_X);
    if (here < along) along = here;
    across += box_extent(&strips[i]->piece->box, AXIS_Y);
  }
  length_t length = first->turned ? across : along, width = first->turned ? along : across;
  if (length < first->glued_length || width < first->glued_width) {
    proof_fault(proof, "strips too small: those of '%s' make %s, it is to be %s", first->glued,
                proof_size(proof, length, width),
                proof_size(proof, first->glued_length, first->glued_width));
  }
}

/* The blank holds its part and what any cutter reaches around it. */
static void check_blank(struct proof *proof, const struct claim *claim,
                        const struct claim_piece *piece) {
  const struct claim_need *need = &claim->needs[piece->need];
  length_t reach = piece->reach > piece->cutter_diameter ? piece->reach : piece->cutter_diameter;
  if (piece->glued_length < need->length + 2 * reach ||
      piece->glued_width < need->width + 2 * reach) {
    proof_fault(
        proof, "blank too small: '%s' is glued up to %s, part '%s' is %s and needs %s around",
        piece->glued, proof_size(proof, piece->glued_length, piece->glued_width), need->part,
        proof_size(proof, need->length, need->width), proof_length(proof, reach));
  }
  if (need->match != NULL) {
    proof_fault(proof, "match not kept: '%s' is glued up, part '%s' comes from one plank with '%s'",
                piece->glued, need->part, need->match);
  }
}

static void check_glue_up(struct proof *proof, const struct claim *claim,
                          struct strip *const *strips, size_t count) {
  const struct claim_piece *first = strips[0]->piece;
  for (size_t i = 0; i < count; i++) {
    if (strips[i]->stock->sheet) {
      proof_fault(proof, "strip of a sheet: %s is to be glued up",
                  piece_text(proof, strips[i]->stock, strips[i]->piece));
    }
    if (!go_together(strips[0], strips[i])) {
      proof_fault(proof,
                  "strips differ: %s is not of the part, wood, thickness, direction or glue-up of "
                  "the others of '%s'",
                  piece_text(proof, strips[i]->stock, strips[i]->piece), first->glued);
      return;
    }
    if (strips[i]->piece->strip == (int64_t)i + 1) continue;
    proof_fault(proof, "strips not all there: '%s' has no strip %zu or has it twice", first->glued,
                i + 1);
    return;
  }
  if ((int64_t)count != first->glued_strips) {
    proof_fault(proof, "strips not all there: '%s' has %zu of %" PRId64, first->glued, count,
                first->glued_strips);
    return;
  }
  check_extent(proof, claim, strips, count);
  if (first->need != NO_INDEX) check_blank(proof, claim, first);
}

void check_glue_ups(struct proof *proof, const struct claim *claim) {
  size_t count = 0;
  struct strip **strips = sorted_strips(proof, claim, &count);
  if (count > 0 && claim->glue_per_edge < 0) {
    proof_fault(proof, "glued up: %s is a strip, but the plan has no 'glue_per_edge'",
                piece_text(proof, strips[0]->stock, strips[0]->piece));
    return;
  }
  for (size_t start = 0, end; start < count; start = end) {
    end = start + 1;
    while (end < count && strcmp(strips[end]->piece->glued, strips[start]->piece->glued) == 0)
      end++;
    check_glue_up(proof, claim, strips + start, end - start);
  }
}
