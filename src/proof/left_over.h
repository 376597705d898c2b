/* What a plan.json leaves of the wood, for settling. */
#ifndef BLANKWRIGHT_PROOF_LEFT_OVER_H
#define BLANKWRIGHT_PROOF_LEFT_OVER_H

#include "base/diagnostics.h"
#include "model/left_over.h"

/* Checks the plan as proof_check does and, where it passes, lists what it uses up of the rack and
 * what it leaves. STATUS_BAD_INPUT too where the plan does not carry what settling goes by; errors
 * are added under `name`. Everything lives in the arena. */
enum status proof_left_over(struct arena *arena, const char *name, const char *text, size_t length,
                            struct diagnostics *diagnostics, struct left_over *left);

#endif
