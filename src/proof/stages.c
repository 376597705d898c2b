/* Stages: how often the saw turns from the usable box to every part and blank. */
#include <inttypes.h>

#include "proof/sawn.h"

static bool is_wanted(const struct sawn_box *box) {
  return box->piece != NULL && box->piece->role != CLAIM_OFFCUT;
}

static void count_wanted(struct sawn *sawn) {
  for (size_t i = 0; i < sawn->count; i++) {
    sawn->boxes[i].wanted = is_wanted(&sawn->boxes[i]) ? 1 : 0;
    sawn->boxes[i].runs = -1;
  }
  for (size_t i = sawn->count; i-- > 1;) {
    sawn->boxes[sawn->boxes[i].parent].wanted += sawn->boxes[i].wanted;
  }
}

/* Boxes come after their parents, so one pass hands every count down. */
static void count_runs(struct sawn *sawn) {
  sawn->boxes[sawn->usable].runs = 0;
  sawn->boxes[sawn->usable].run_start = sawn->usable;
  for (size_t i = sawn->usable + 1; i < sawn->count; i++) {
    struct sawn_box *box = &sawn->boxes[i];
    const struct sawn_box *above = &sawn->boxes[box->parent];
    if (above->runs < 0) continue;
    bool same =
        box->parent != sawn->usable && sawn->boxes[above->parent].cut->axis == above->cut->axis;
    box->runs = same ? above->runs : above->runs + 1;
    box->run_start = same ? above->run_start : box->parent;
  }
}

/* A last run of cuts that only frees one piece from waste is no stage. */
static int64_t stages_of(const struct sawn *sawn, const struct sawn_box *box) {
  bool freed_alone = box->runs > 0 && sawn->boxes[box->run_start].wanted == 1;
  return box->runs - (freed_alone ? 1 : 0);
}

static void check_first_cut(struct proof *proof, const struct claim *claim,
                            const struct claim_stock *stock, const struct sawn *sawn) {
  const struct claim_cut *first = sawn->boxes[sawn->usable].cut;
  if (first == NULL || claim->first_cut == CLAIM_FIRST_EITHER) return;
  enum axis axis = claim->first_cut == CLAIM_FIRST_CROSSCUT ? AXIS_X : AXIS_Y;
  if (first->axis == axis) return;
  /* With one piece in it, the first run may be the last trim, which is free. */
  bool only_trims = true;
  for (size_t i = sawn->usable; i < sawn->count && only_trims; i++) {
    only_trims = !is_wanted(&sawn->boxes[i]) || stages_of(sawn, &sawn->boxes[i]) <= 0;
  }
  if (only_trims) return;
  proof_fault(proof,
              "wrong first cut: %s is first cut by a %s (cut %" PRId64 "), 'first_cut' is %s",
              stock_text(proof, stock), axis == AXIS_X ? "rip" : "crosscut", first->step,
              axis == AXIS_X ? "crosscut" : "rip");
}

void sawn_check_stages(struct proof *proof, const struct claim *claim,
                       const struct claim_stock *stock, struct sawn *sawn) {
  count_wanted(sawn);
  count_runs(sawn);
  check_first_cut(proof, claim, stock, sawn);
  if (claim->saw_stages == 0) return;
  for (size_t i = sawn->usable; i < sawn->count; i++) {
    const struct sawn_box *box = &sawn->boxes[i];
    if (!is_wanted(box) || stages_of(sawn, box) <= claim->saw_stages) continue;
    proof_fault(proof, "too many stages: %s needs %" PRId64 ", 'saw_stages' is %" PRId64,
                piece_text(proof, stock, box->piece), stages_of(sawn, box), claim->saw_stages);
  }
}
