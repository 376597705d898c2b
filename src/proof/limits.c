/* The saw's own limits: least lengths and capacities, cut by cut. */
#include <inttypes.h>

#include "proof/sawn.h"

/* What stands against one cut. `why` is NULL when nothing does. */
struct objection {
  const char *why;
  length_t is, limit;
};

static struct objection rip_objection(const struct claim *claim, const struct claim_stock *stock,
                                      const struct claim_cut *cut, const struct box *whole,
                                      length_t narrower) {
  length_t long_side = box_extent(whole, AXIS_X);
  /* Raw stock shorter than the limit has to be straightened all the same. */
  bool raw_is_short = cut->trim && stock->length < claim->rip_min_length;
  if (long_side < claim->rip_min_length && !raw_is_short) {
    return (struct objection){"the piece ripped is too short", long_side, claim->rip_min_length};
  }
  if (narrower > long_side) {
    return (struct objection){"the part ripped off is wider than the piece is long", narrower,
                              long_side};
  }
  if (claim->rip_capacity > 0 && narrower > claim->rip_capacity) {
    return (struct objection){"the fence does not reach", narrower, claim->rip_capacity};
  }
  return (struct objection){NULL, 0, 0};
}

/* A sheet is cut against a fence or a guide both ways, where this capacity does not bind. */
static struct objection crosscut_objection(const struct claim *claim,
                                           const struct claim_stock *stock,
                                           const struct box *whole) {
  length_t wide = box_extent(whole, AXIS_Y);
  if (stock->sheet || claim->crosscut_capacity == 0 || wide <= claim->crosscut_capacity) {
    return (struct objection){NULL, 0, 0};
  }
  return (struct objection){"the piece is too wide for the crosscut saw", wide,
                            claim->crosscut_capacity};
}

void check_cut_limits(struct proof *proof, const struct claim *claim,
                      const struct claim_stock *stock, const struct claim_cut *cut,
                      const struct box *whole, length_t low, length_t high) {
  length_t narrower = low < high ? low : high;
  struct objection objection = cut->axis == AXIS_Y
                                   ? rip_objection(claim, stock, cut, whole, narrower)
                                   : crosscut_objection(claim, stock, whole);
  if (objection.why == NULL) return;
  /* Where no layout could keep the limits, a cut may break them, but not in silence. The trims
   * of raw stock are made whatever its size. */
  if ((!claim->rules_kept || cut->trim) && cut->cautions > 0) return;
  proof_fault(proof, "%s: cut %" PRId64 " (%s) of %s, %s where the limit is %s%s", objection.why,
              cut->step, cut->axis == AXIS_X ? "crosscut" : "rip", stock_text(proof, stock),
              proof_length(proof, objection.is), proof_length(proof, objection.limit),
              claim->rules_kept ? ", and 'kept' is true" : ", and the cut has no caution");
}
