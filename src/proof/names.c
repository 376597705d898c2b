/* Names: who is who in the plan, and whether those of one name are one thing. */
#include <inttypes.h>
#include <string.h>

#include "proof/check.h"
#include "proof/order.h"

static int compare_needs(const void *a, const void *b) {
  const struct claim_need *const *left = a, *const *right = b;
  return strcmp((*left)->part, (*right)->part);
}

static const struct claim_need **sorted_needs(struct proof *proof, const struct claim *claim) {
  const struct claim_need **sorted =
      ARENA_ARRAY(proof->arena, claim->need_count, const struct claim_need *);
  for (size_t i = 0; i < claim->need_count; i++) sorted[i] = &claim->needs[i];
  sort_pointers(sorted, claim->need_count, compare_needs);
  for (size_t i = 1; i < claim->need_count; i++) {
    if (compare_needs(&sorted[i - 1], &sorted[i]) != 0) continue;
    proof_fault(proof, "part named twice: '%s' in the list of needed parts", sorted[i]->part);
  }
  return sorted;
}

static size_t find_need(const struct claim *claim, const struct claim_need **sorted,
                        const char *part) {
  struct claim_need key = {.part = part};
  size_t found = find_pointer(&key, sorted, claim->need_count, compare_needs);
  return found == claim->need_count ? NO_INDEX : (size_t)(sorted[found] - claim->needs);
}

static void resolve_parts(struct proof *proof, struct claim *claim) {
  const struct claim_need **sorted = sorted_needs(proof, claim);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->piece_count; j++) {
      struct claim_piece *piece = &stock->pieces[j];
      if (piece->part == NULL) continue;
      piece->need = find_need(claim, sorted, piece->part);
      if (piece->need != NO_INDEX) continue;
      proof_fault(proof, "unknown part '%s': %s is of no needed part", piece->part,
                  piece_text(proof, stock, piece));
    }
  }
  for (size_t i = 0; i < claim->load_count; i++) {
    struct claim_load *load = &claim->loads[i];
    for (size_t j = 0; j < load->part_count; j++) {
      load->parts[j].need = find_need(claim, sorted, load->parts[j].part);
      if (load->parts[j].need != NO_INDEX) continue;
      proof_fault(proof, "unknown part '%s': '%s' of load '%s' is of no needed part",
                  load->parts[j].part, load->parts[j].name, load->name);
    }
  }
}

static int compare_stocks(const void *a, const void *b) {
  const struct claim_stock *const *left = a, *const *right = b;
  int order = strcmp((*left)->stock, (*right)->stock);
  if (order != 0) return order;
  return ((*left)->copy > (*right)->copy) - ((*left)->copy < (*right)->copy);
}

static bool stocks_agree(const struct claim_stock *a, const struct claim_stock *b) {
  return a->yard == b->yard && a->sheet == b->sheet && strcmp(a->wood, b->wood) == 0 &&
         a->length == b->length && a->width == b->width && a->thickness == b->thickness &&
         a->price == b->price && a->available == b->available && a->pack == b->pack &&
         a->face_grain == b->face_grain && a->trim_ends == b->trim_ends &&
         a->trim_edges == b->trim_edges;
}

static void check_stock_names(struct proof *proof, const struct claim *claim) {
  const struct claim_stock **sorted =
      ARENA_ARRAY(proof->arena, claim->stock_count, const struct claim_stock *);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = sorted[i] = &claim->stocks[i];
    if (stock->available >= 0 && stock->copy > stock->available) {
      proof_fault(proof, "no such copy: %s, of which there are %" PRId64, stock_text(proof, stock),
                  stock->available);
    }
  }
  sort_pointers(sorted, claim->stock_count, compare_stocks);
  for (size_t i = 1; i < claim->stock_count; i++) {
    const struct claim_stock *before = sorted[i - 1], *here = sorted[i];
    if (strcmp(before->stock, here->stock) != 0) continue;
    if (before->copy == here->copy) {
      proof_fault(proof, "stock used twice: %s", stock_text(proof, here));
    }
    if (!stocks_agree(before, here)) {
      proof_fault(proof,
                  "copies differ: '%s' copies %" PRId64 " and %" PRId64
                  " are not the same wood, size, price or trim",
                  here->stock, before->copy, here->copy);
    }
  }
}

static int compare_texts(const void *a, const void *b) {
  const char *const *left = a, *const *right = b;
  return strcmp(*left, *right);
}

static void check_piece_names(struct proof *proof, const struct claim *claim) {
  size_t total = 0;
  for (size_t i = 0; i < claim->stock_count; i++) total += claim->stocks[i].piece_count;
  const char **names = ARENA_ARRAY(proof->arena, total, const char *);
  size_t count = 0;
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->piece_count; j++) names[count++] = stock->pieces[j].name;
  }
  sort_pointers(names, count, compare_texts);
  for (size_t i = 1; i < count; i++) {
    if (strcmp(names[i - 1], names[i]) == 0) {
      proof_fault(proof, "name used twice: piece '%s'", names[i]);
    }
  }
}

void check_names(struct proof *proof, struct claim *claim) {
  if (claim->need_count == 0) proof_fault(proof, "nothing needed: 'needed' is empty");
  resolve_parts(proof, claim);
  check_stock_names(proof, claim);
  check_piece_names(proof, claim);
}
