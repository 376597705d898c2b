/* What must hold for anything the program tells. */
#ifndef BLANKWRIGHT_TESTS_FUZZ_TELLING_H
#define BLANKWRIGHT_TESTS_FUZZ_TELLING_H

#include <stddef.h>

#include "base/diagnostics.h"
#include "blankwright/blankwright.h"

/* The run told what its status says, every message stands at a place there is, and neither what is
 * printed of it nor its text can steer a terminal. */
void must_tell_soundly(const struct bw_run *run);

/* The same of a list of messages: errors where the status is not STATUS_OK, and none else. */
void must_list_soundly(const struct diagnostics *diagnostics, enum status status);

/* Valid UTF-8 without anything that steers a terminal but line ends. */
void must_be_harmless(const char *text, size_t length);

#endif
