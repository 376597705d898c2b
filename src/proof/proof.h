/* The independent check of a plan, from its plan.json text alone: own geometry, own
 * types, nothing shared with the optimiser or the writers. */
#ifndef BLANKWRIGHT_PROOF_PROOF_H
#define BLANKWRIGHT_PROOF_PROOF_H

#include "base/diagnostics.h"

/* Adds one error per fault found (up to 100) and returns STATUS_OK when there is none,
 * STATUS_PROOF_FAILED when the plan is refused, STATUS_BAD_INPUT when the text is no
 * plan at all. `name` is used in the messages. *summary (may be NULL) gets one line
 * that says what was checked. */
enum status proof_check(struct arena *arena, const char *name, const char *text, size_t length,
                        struct diagnostics *diagnostics, const char **summary);

#endif
