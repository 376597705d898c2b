/* Numbers drawn by the searches: the same seed gives the same numbers on any machine. Source:
 * SplitMix64; Steele, Lea, Flood: Fast splittable pseudorandom number generators (2014). */
#ifndef BLANKWRIGHT_BASE_RANDOM_H
#define BLANKWRIGHT_BASE_RANDOM_H

#include <stdint.h>

/* The next number, from 0 to 2^64 - 1; any state will do as a seed. */
static inline uint64_t random_draw(uint64_t *state) {
  uint64_t z = (*state += 0x9E3779B97F4A7C15U);
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9U;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBU;
  return z ^ (z >> 31);
}

#endif
