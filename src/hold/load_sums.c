#include "hold/load_sums.h"

#include <string.h>

#include "base/divisor.h"

static length_t size_along(const struct load_kind *kind, unsigned way, bool across) {
  return across ? kind->width[way] : kind->length[way];
}

void load_axis_begin(const struct load_job *job, bool across, struct load_axis *axis) {
  length_t line = across ? job->width : job->length;
  axis->unit = 0;
  for (size_t i = 0; i < job->count; i++)
    for (unsigned way = 0; way < job->kinds[i].ways; way++)
      axis->unit = common_divisor(axis->unit, size_along(&job->kinds[i], way, across));
  if (axis->unit == 0) axis->unit = 1;
  axis->whole = line / axis->unit <= LOAD_SUMS_MOST;
  if (!axis->whole) axis->unit = line / LOAD_SUMS_MOST + 1;
  axis->units = (unsigned)(line / axis->unit);
  length_t least = line + 1;
  for (size_t i = 0; i < job->count; i++)
    for (unsigned way = 0; way < job->kinds[i].ways; way++) {
      length_t size = size_along(&job->kinds[i], way, across);
      axis->along[i][way] = (uint16_t)(size / axis->unit);
      if (size < least) least = size;
    }
  axis->lost = line / least;
}

enum { WORDS = LOAD_SUMS_MOST / 64 + 1 };

static void shift_in(uint64_t *to, const uint64_t *from, unsigned by, size_t words) {
  size_t whole = by / 64;
  unsigned part = by % 64;
  for (size_t i = words; i-- > whole;) {
    uint64_t moved = from[i - whole] << part;
    if (part != 0 && i > whole) moved |= from[i - whole - 1] >> (64 - part);
    to[i] |= moved;
  }
}

void load_fill_with(const struct load_job *job, const struct load_axis *axis, const uint8_t *counts,
                    struct load_fill *fill) {
  uint64_t sums[WORDS] = {1};
  size_t words = axis->units / 64 + 1;
  for (size_t i = 0; i < job->count; i++) {
    for (unsigned copy = 0; copy < counts[i]; copy++) {
      uint64_t before[WORDS];
      memcpy(before, sums, words * sizeof *sums);
      for (unsigned way = 0; way < job->kinds[i].ways; way++)
        shift_in(sums, before, axis->along[i][way], words);
    }
  }
  uint16_t best = 0;
  for (unsigned u = 0; u <= axis->units; u++) {
    if ((sums[u / 64] >> (u % 64) & 1) != 0) best = (uint16_t)u;
    fill->best[u] = best;
  }
}
