/* Sections: a name on a piece of wood stands for one piece of wood at a time. */
#include <inttypes.h>
#include <string.h>

#include "proof/order.h"
#include "proof/sawn.h"

static int compare_names(const void *a, const void *b) {
  const struct sawn_box *const *left = a, *const *right = b;
  int order = strcmp((*left)->cut->of, (*right)->cut->of);
  if (order != 0) return order;
  int64_t step = (*left)->cut->step, other = (*right)->cut->step;
  return (step > other) - (step < other);
}

void sawn_check_sections(struct proof *proof, const struct claim_stock *stock,
                         const struct sawn *sawn) {
  const struct sawn_box **cut = ARENA_ARRAY(proof->arena, sawn->count, const struct sawn_box *);
  size_t count = 0;
  for (size_t i = 0; i < sawn->count; i++) {
    if (sawn->boxes[i].cut != NULL) cut[count++] = &sawn->boxes[i];
  }
  sort_pointers(cut, count, compare_names);
  for (size_t i = 1; i < count; i++) {
    const struct claim_cut *before = cut[i - 1]->cut, *here = cut[i]->cut;
    if (strcmp(before->of, here->of) != 0) continue;
    if (box_inside(&cut[i]->box, &cut[i - 1]->box)) continue;
    proof_fault(proof,
                "one name for two sections: '%s' of %s is cut at %s by cut %" PRId64
                ", but is another piece than in cut %" PRId64,
                here->of, stock_text(proof, stock),
                proof_point(proof, here->at[AXIS_X], here->at[AXIS_Y]), here->step, before->step);
  }
}
