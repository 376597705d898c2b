/* How much work the optimiser does, in percent of the usual. */
#ifndef BLANKWRIGHT_MODEL_EFFORT_H
#define BLANKWRIGHT_MODEL_EFFORT_H

#include <stdint.h>

enum { EFFORT_USUAL = 100 };

/* The effort asked for; 0 asks for the usual. */
static inline int64_t effort_percent(int64_t asked) { return asked > 0 ? asked : EFFORT_USUAL; }

#endif
