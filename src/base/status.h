/* What a call can come to. The numbers are stable: programs may rely on them. */
#ifndef BLANKWRIGHT_BASE_STATUS_H
#define BLANKWRIGHT_BASE_STATUS_H

#define STATUS_LIST(X) \
  X(STATUS_OK, 0, "done") \
  X(STATUS_NO_PLAN, 1, "no plan exists") \
  X(STATUS_BAD_INPUT, 2, "bad input") \
  X(STATUS_NOT_WRITTEN, 3, "could not write") \
  X(STATUS_NO_MEMORY, 4, "out of memory") \
  X(STATUS_SOLVER_FAULT, 5, "the solver reported a fault of its own") \
  X(STATUS_PROOF_FAILED, 6, "the independent check refused the plan")

enum status {
#define STATUS_ENUM(name, number, text) name = number,
  STATUS_LIST(STATUS_ENUM)
#undef STATUS_ENUM
};

/* A lower-case phrase for a status; never NULL. */
const char *status_text(enum status status);

#endif
