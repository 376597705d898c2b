/* Fingerprints tell whether bytes are those of before; they guard against slips, not against
 * forgery. The same on every machine: FNV-1a of 64 bits (Fowler, Noll, Vo). */
#ifndef BLANKWRIGHT_BASE_FINGERPRINT_H
#define BLANKWRIGHT_BASE_FINGERPRINT_H

#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

#define FINGERPRINT_START UINT64_C(14695981039346656037)

/* Goes on from an earlier fingerprint, the first time from FINGERPRINT_START. */
uint64_t fingerprint_bytes(uint64_t fingerprint, const void *bytes, size_t count);

/* The text with its end; NULL differs from the empty text. */
uint64_t fingerprint_add_text(uint64_t fingerprint, const char *text);

/* Its eight bytes, the lowest first. */
uint64_t fingerprint_add_number(uint64_t fingerprint, int64_t number);

/* Sixteen hexadecimal digits; they live in the arena. */
char *fingerprint_text(struct arena *arena, uint64_t fingerprint);

#endif
