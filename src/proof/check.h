/* The checks of a plan, each adding one fault per thing that is wrong. They need a
 * claim that claim_read found complete. */
#ifndef BLANKWRIGHT_PROOF_CHECK_H
#define BLANKWRIGHT_PROOF_CHECK_H

#include "proof/claim.h"

/* Something is needed; names are unique, copies of a stock agree and exist; resolves every piece's
 * `need`. */
void check_names(struct proof *proof, struct claim *claim);

/* Step numbers run from 1 to cut_count, a fence setting is one saw at one distance. */
void check_steps(struct proof *proof, const struct claim *claim);

/* Every piece of stock on its own: its cuts, what they leave, its pieces. Sorts the
 * cuts of each stock by step. */
void check_layouts(struct proof *proof, struct claim *claim);

/* Strips: all there, of one wood, thickness and direction, and enough for the blank they
 * make, which is enough for its part. */
void check_glue_ups(struct proof *proof, const struct claim *claim);

/* Resawn planks: their leaves fit into their thickness, are all there and are cut later;
 * every leaf comes from such a plank, with its wood, size and flaws. */
void check_leaves(struct proof *proof, const struct claim *claim);

/* Loads: each is one piece, of its size; its parts lie within it, apart, with their grain, wood
 * and thickness right; clamps stand on its edges, clear of every cutter's path; tabs on outlines,
 * clear of clamps. Links loads to their pieces. */
void check_loads(struct proof *proof, struct claim *claim);

/* Every hole lies within its part. */
void check_holes(struct proof *proof, const struct claim *claim);

/* The right number of every part, and those of one match letter from one plank. */
void check_demand(struct proof *proof, const struct claim *claim);

/* Purchases, costs, bound, and the shares of the wood. */
void check_sums(struct proof *proof, const struct claim *claim);

/* Minutes that follow from the plan and the shop's rates: of saw cuts, fence settings, fixings and
 * tabs; what machine and hands take together. Cutting, changes of cutters and probing hang on
 * steps that the plan does not hold. */
void check_minutes(struct proof *proof, const struct claim *claim);

/* Sums of every quantity that is priced, what is said of them, and that the plan is one of them. */
void check_prices(struct proof *proof, const struct claim *claim);

/* Reads a plan and makes every check above. STATUS_OK: *claim is proved; STATUS_PROOF_FAILED and
 * STATUS_BAD_INPUT as of claim_read, the first also when a check found a fault. */
enum status check_all(struct proof *proof, const char *text, size_t length, struct claim **claim);

/* a * b, a + b; false when it does not fit. */
static inline bool checked_times(int64_t a, int64_t b, int64_t *product) {
  return !__builtin_mul_overflow(a, b, product);
}

static inline bool checked_plus(int64_t a, int64_t b, int64_t *sum) {
  return !__builtin_add_overflow(a, b, sum);
}

#endif
