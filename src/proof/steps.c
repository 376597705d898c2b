/* The order of work over the whole plan: step numbers and fence settings. */
#include <inttypes.h>

#include "proof/check.h"

static size_t count_cuts(const struct claim *claim) {
  size_t count = 0;
  for (size_t i = 0; i < claim->stock_count; i++) count += claim->stocks[i].cut_count;
  return count;
}

static void check_step_numbers(struct proof *proof, const struct claim *claim, size_t count) {
  bool *seen = ARENA_ARRAY(proof->arena, count + 1, bool);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->cut_count; j++) {
      int64_t step = stock->cuts[j].step;
      if (step > (int64_t)count) {
        proof_fault(proof, "step out of order: cut %" PRId64 " of %s, where the plan has %zu cuts",
                    step, stock_text(proof, stock), count);
      } else if (seen[step]) {
        proof_fault(proof, "step used twice: cut %" PRId64 " of %s", step,
                    stock_text(proof, stock));
      } else {
        seen[step] = true;
      }
    }
  }
  for (size_t step = 1; step <= count; step++) {
    if (!seen[step]) proof_fault(proof, "step missing: no cut has number %zu", step);
  }
}

struct fence {
  const struct claim_cut *cut; /* the first that used it */
};

static void check_fence(struct proof *proof, const struct claim_stock *stock,
                        const struct claim_cut *cut, struct fence *fence) {
  if (fence->cut == NULL) fence->cut = cut;
  if (fence->cut->axis == cut->axis && fence->cut->resaw == cut->resaw &&
      fence->cut->keep == cut->keep)
    return;
  proof_fault(proof,
              "one fence setting for two: cut %" PRId64 " of %s keeps %s, cut %" PRId64
              " of the same setting %" PRId64 " keeps %s%s",
              cut->step, stock_text(proof, stock), proof_length(proof, cut->keep), fence->cut->step,
              cut->fence_setting, proof_length(proof, fence->cut->keep),
              fence->cut->axis == cut->axis ? "" : " in the other direction");
}

static void check_fences(struct proof *proof, const struct claim *claim, size_t count) {
  if (claim->fence_settings > (int64_t)count) {
    proof_fault(proof, "too many fence settings: 'fence_settings' is %" PRId64 " for %zu cuts",
                claim->fence_settings, count);
    return;
  }
  struct fence *fences = ARENA_ARRAY(proof->arena, claim->fence_settings + 1, struct fence);
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    for (size_t j = 0; j < stock->cut_count; j++) {
      const struct claim_cut *cut = &stock->cuts[j];
      if (cut->fence_setting > claim->fence_settings) {
        proof_fault(proof,
                    "unknown fence setting: cut %" PRId64 " of %s has setting %" PRId64
                    ", 'fence_settings' is %" PRId64,
                    cut->step, stock_text(proof, stock), cut->fence_setting, claim->fence_settings);
      } else {
        check_fence(proof, stock, cut, &fences[cut->fence_setting]);
      }
    }
  }
  for (int64_t i = 1; i <= claim->fence_settings; i++) {
    if (fences[i].cut != NULL) continue;
    proof_fault(proof, "fence setting not used: no cut has setting %" PRId64 " of 'fence_settings'",
                i);
  }
}

void check_steps(struct proof *proof, const struct claim *claim) {
  size_t count = count_cuts(claim);
  if (claim->cut_count != (int64_t)count) {
    proof_fault(proof, "wrong count of cuts: 'cut_count' is %" PRId64 ", the plan has %zu cuts",
                claim->cut_count, count);
  }
  check_step_numbers(proof, claim, count);
  check_fences(proof, claim, count);
}
