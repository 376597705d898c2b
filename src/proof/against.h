/* Checks that a plan.json answers the project it was made for: the demand asked for,
 * the stock there is, its prices and flaws. */
#ifndef BLANKWRIGHT_PROOF_AGAINST_H
#define BLANKWRIGHT_PROOF_AGAINST_H

#include "base/diagnostics.h"
#include "model/project.h"

enum status proof_against_project(struct arena *arena, const struct project *project, int64_t sets,
                                  const char *text, size_t length, struct diagnostics *diagnostics);

#endif
