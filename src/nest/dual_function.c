#include "nest/dual_feasible.h"

/* How many of the sizes fit into `room` together at most. */
static int64_t most_pieces(const struct dual_sizes *sizes, length_t room) {
  int64_t count = 0;
  for (size_t i = 0; i < sizes->count && sizes->size[i] <= room; i++) {
    room -= sizes->size[i];
    count++;
  }
  return count;
}

static int64_t split_value(length_t k, length_t whole, length_t x) {
  if (2 * x == whole) return k - 1;
  if (2 * x > whole) return 2 * (k - 1) - (x == whole ? 0 : split_value(k, whole, whole - x));
  int64_t parts = (int64_t)((k * x + whole - 1) / whole) - 1;
  return parts > 0 ? 2 * parts : 0;
}

static int64_t step_value(length_t k, length_t whole, length_t x) {
  if (2 * x == whole) return whole / k;
  return 2 * x > whole ? 2 * (whole / k - (whole - x) / k) : 2 * (x / k);
}

int64_t dual_value(enum dual_family family, length_t k, length_t whole, length_t x,
                   const struct dual_sizes *sizes) {
  switch (family) {
    case DUAL_ROUND:
      return (k + 1) * x % whole == 0 ? k * x : (k + 1) * x / whole * whole;
    case DUAL_CLIP:
      return x > whole - k ? whole : x < k ? 0 : x;
    case DUAL_STEP:
      return step_value(k, whole, x);
    case DUAL_SPLIT:
      return split_value(k, whole, x);
    case DUAL_COUNT:
      if (2 * x <= whole) return x >= k;
      return most_pieces(sizes, whole) - most_pieces(sizes, whole - x);
    case DUAL_PLAIN:
    case DUAL_FAMILIES:
      break;
  }
  return x;
}
