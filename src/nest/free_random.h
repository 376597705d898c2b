/* Random numbers that are the same on every machine: xorshift with a multiplier (Vigna, ACM Trans.
 * Math. Softw. 42 (2016)). Good enough for a search, no more. */
#ifndef BLANKWRIGHT_NEST_FREE_RANDOM_H
#define BLANKWRIGHT_NEST_FREE_RANDOM_H

#include <stdint.h>

struct free_random {
  uint64_t state; /* never 0 */
};

static inline struct free_random free_random_seeded(uint64_t seed) {
  uint64_t mixed = (seed + 1) * UINT64_C(0x9e3779b97f4a7c15);
  mixed ^= mixed >> 29;
  return (struct free_random){mixed == 0 ? 1 : mixed};
}

static inline uint32_t free_random_next(struct free_random *random) {
  uint64_t state = random->state;
  state ^= state >> 12;
  state ^= state << 25;
  state ^= state >> 27;
  random->state = state;
  return (uint32_t)((state * UINT64_C(0x2545f4914f6cdd1d)) >> 32);
}

/* 0 .. below - 1; below > 0. */
static inline uint32_t free_random_below(struct free_random *random, uint32_t below) {
  return (uint32_t)(((uint64_t)free_random_next(random) * below) >> 32);
}

#endif
