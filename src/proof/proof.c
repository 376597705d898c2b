#include "proof/proof.h"

#include "proof/check.h"

static const char *ending(size_t count) { return count == 1 ? "" : "s"; }

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
  const char *checked = arena_format(
      proof->arena,
      "checked independently: %zu piece%s and %zu offcut%s from %zu piece%s of stock by %zu "
      "cut%s: inside the stock, cuts edge to edge, kerfs kept, flaws free, grain right, demand "
      "met, stock not over-used, sums right",
      wanted, ending(wanted), offcuts, ending(offcuts), claim->stock_count,
      ending(claim->stock_count), cuts, ending(cuts));
  if (claim->load_count == 0) return checked;
  return arena_format(
      proof->arena,
      "%s; %zu load%s: parts apart and within the rim, clamps on the wood and clear "
      "of cutters and nuts, work on the bed",
      checked, claim->load_count, ending(claim->load_count));
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
  check_holes(proof, *claim);
  check_demand(proof, *claim);
  check_sums(proof, *claim);
  check_minutes(proof, *claim);
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
