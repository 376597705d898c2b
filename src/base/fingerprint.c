#include "base/fingerprint.h"

#include <inttypes.h>
#include <string.h>

/* FNV-1a of 64 bits. */
uint64_t fingerprint_bytes(uint64_t fingerprint, const void *bytes, size_t count) {
  const unsigned char *at = bytes;
  for (size_t i = 0; i < count; i++) fingerprint = (fingerprint ^ at[i]) * UINT64_C(1099511628211);
  return fingerprint;
}

uint64_t fingerprint_add_text(uint64_t fingerprint, const char *text) {
  if (text == NULL) return fingerprint_bytes(fingerprint, "\xFF", 1); /* in no UTF-8 text */
  return fingerprint_bytes(fingerprint, text, strlen(text) + 1);
}

uint64_t fingerprint_add_number(uint64_t fingerprint, int64_t number) {
  unsigned char bytes[8];
  for (unsigned i = 0; i < 8; i++) bytes[i] = (unsigned char)((uint64_t)number >> (8 * i) & 0xFF);
  return fingerprint_bytes(fingerprint, bytes, sizeof bytes);
}

char *fingerprint_text(struct arena *arena, uint64_t fingerprint) {
  return arena_format(arena, "%016" PRIx64, fingerprint);
}
