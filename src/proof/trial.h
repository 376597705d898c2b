/* Both sides of one comparison of a plan with its project. */
#ifndef BLANKWRIGHT_PROOF_TRIAL_H
#define BLANKWRIGHT_PROOF_TRIAL_H

#include "model/project.h"
#include "proof/claim.h"

struct trial {
  struct proof proof;
  const struct project *project;
  const struct claim *claim;
  const struct part **parts;   /* of the project, by name */
  const struct stock **stocks; /* of the project, by name */
};

/* The part of that name, or NULL. */
const struct part *trial_find_part(const struct trial *trial, const char *name);

/* Loads: clamps owned, their sizes and the stock they take; sides held by the shop's spans and
 * ends, against stops; friction; bed; what cutters and nuts reach. */
void against_loads(struct trial *trial);

/* Holes: those of each part are the steps', in their order. */
void against_holes(struct trial *trial);

#endif
