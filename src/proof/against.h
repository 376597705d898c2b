/* Checks that a plan.json answers the project it was made for: the demand asked for,
 * the stock there is, its prices and flaws. */
#ifndef BLANKWRIGHT_PROOF_AGAINST_H
#define BLANKWRIGHT_PROOF_AGAINST_H

#include "base/diagnostics.h"
#include "model/project.h"

/* Checks the text of a plan for `sets` sets against the project as it was planned (leaves of resawn
 * planks may stand among its stocks): one error is added for each fault, under "plan.json".
 * STATUS_OK when there is none, else STATUS_PROOF_FAILED, or STATUS_BAD_INPUT when the text is no
 * plan at all. What the plan says by itself is proof_check's to look at. */
enum status proof_against_project(struct arena *arena, const struct project *project, int64_t sets,
                                  const char *text, size_t length, struct diagnostics *diagnostics);

#endif
