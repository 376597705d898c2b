/* How the check says what is wrong. Messages put the fault first, name the subject in
 * quotes and give lengths in the plan's unit. */
#ifndef BLANKWRIGHT_PROOF_FAULT_H
#define BLANKWRIGHT_PROOF_FAULT_H

#include "base/diagnostics.h"
#include "base/length.h"

#define PROOF_FAULTS_MAX 100

/* One run of the check. Everything it allocates lives in `arena`; messages live with
 * `diagnostics`, which may belong to another arena. */
struct proof {
  struct arena *arena;
  struct diagnostics *diagnostics;
  const char *name; /* of the plan, for the messages */
  enum unit unit;   /* of the plan's lengths */
  size_t faults;    /* found so far, those no longer told included */
};

/* Adds one error; beyond PROOF_FAULTS_MAX faults are only counted. */
void proof_fault(struct proof *proof, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* "12.5 mm", exact to a millionth of the unit; lives in the proof's arena. */
const char *proof_length(struct proof *proof, length_t value);

/* "12.5 x 30 mm". */
const char *proof_size(struct proof *proof, length_t length, length_t width);

/* "(12.5, 30) mm". */
const char *proof_point(struct proof *proof, length_t x, length_t y);

#endif
