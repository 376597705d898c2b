#include "proof/proof.h"

#include "proof/check.h"

static const char *summary_text(struct proof *proof, const struct claim *claim) {
  size_t wanted = 0, offcuts = 0, cuts = 0;
  for (size_t i = 0; i < claim->stock_count; i++) {
    const struct claim_stock *stock = &claim->stocks[i];
    cuts += stock->cut_count;
    for (size_t j = 0; j < stock->piece_count; j++) {
      if (stock->pieces[j].role == CLAIM_OFFCUT) {
        offcuts++;
      } else {
        wanted++;
      }
    }
  }
  return arena_format(proof->arena,
                      "checked independently: %zu pieces and %zu offcuts from %zu pieces of stock "
                      "by %zu cuts: inside the stock, cuts edge to edge, kerfs kept, flaws free, "
                      "grain right, demand met, stock not over-used, sums right",
                      wanted, offcuts, claim->stock_count, cuts);
}

enum status check_all(struct proof *proof, const char *text, size_t length, struct claim **claim) {
  enum status status = claim_read(proof, text, length, claim);
  if (status != STATUS_OK) return status;
  check_names(proof, *claim);
  check_steps(proof, *claim);
  check_layouts(proof, *claim);
  check_glue_ups(proof, *claim);
  check_leaves(proof, *claim);
  check_loads(proof, *claim);
  check_demand(proof, *claim);
  check_sums(proof, *claim);
  check_prices(proof, *claim);
  return proof->faults == 0 ? STATUS_OK : STATUS_PROOF_FAILED;
}

enum status proof_check(struct arena *arena, const char *name, const char *text, size_t length,
                        struct diagnostics *diagnostics, const char **summary) {
  struct proof proof = {.arena = arena, .diagnostics = diagnostics, .name = name};
  struct claim *claim = NULL;
  if (summary != NULL) *summary = NULL;
  enum status status = check_all(&proof, text, length, &claim);
  if (status == STATUS_OK && summary != NULL) *summary = summary_text(&proof, claim);
  return status;
}
