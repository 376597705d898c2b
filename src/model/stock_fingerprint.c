#include "model/stock_fingerprint.h"

#include "base/fingerprint.h"

static uint64_t add_flaw(uint64_t sum, const struct flaw *flaw) {
  const int64_t numbers[] = {flaw->copy,   flaw->x,     flaw->y,
                             flaw->length, flaw->width, flaw->rim_ok ? 1 : 0};
  for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
    sum = fingerprint_add_number(sum, numbers[i]);
  return fingerprint_add_text(sum, flaw->what);
}

uint64_t stock_fingerprint(const struct stock *stock) {
  uint64_t sum = fingerprint_add_text(FINGERPRINT_START, stock->name);
  sum = fingerprint_add_text(sum, stock->wood);
  const int64_t numbers[] = {stock->kind,      stock->length,     stock->width,
                             stock->thickness, stock->count,      stock->value,
                             stock->surface,   stock->face_grain, stock->crook};
  for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
    sum = fingerprint_add_number(sum, numbers[i]);
  for (size_t i = 0; i < stock->flaw_count; i++) sum = add_flaw(sum, &stock->flaws[i]);
  return sum;
}
