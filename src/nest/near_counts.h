/* Pieces per demand of a layout, packed: lanes of 16 bits, the top one of each a guard. */
#ifndef BLANKWRIGHT_NEST_NEAR_COUNTS_H
#define BLANKWRIGHT_NEST_NEAR_COUNTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define NEAR_WORDS 4
#define NEAR_DEMANDS 16
#define NEAR_MOST_COPIES 16383 /* two of them still stay clear of the guard */
#define NEAR_GUARDS UINT64_C(0x8000800080008000)

struct near_counts {
  uint64_t word[NEAR_WORDS];
};

/* The copies of one demand; sets them, to at most NEAR_MOST_COPIES. */
static inline int64_t near_count(const struct near_counts *counts, size_t demand) {
  return (int64_t)(counts->word[demand / 4] >> (16 * (demand % 4)) & 0x7FFF);
}

static inline void near_set(struct near_counts *counts, size_t demand, int64_t copies) {
  counts->word[demand / 4] &= ~(UINT64_C(0xFFFF) << (16 * (demand % 4)));
  counts->word[demand / 4] |= (uint64_t)copies << (16 * (demand % 4));
}

/* Whether a has at least as many pieces of each demand as b. */
static inline bool near_covers(const struct near_counts *a, const struct near_counts *b) {
  uint64_t all = NEAR_GUARDS;
  for (size_t w = 0; w < NEAR_WORDS; w++) all &= (a->word[w] | NEAR_GUARDS) - b->word[w];
  return all == NEAR_GUARDS;
}

/* The sum, no more than `limit` of each demand; *clipped tells whether that took any away. */
static inline struct near_counts near_add(const struct near_counts *a, const struct near_counts *b,
                                          const struct near_counts *limit, bool *clipped) {
  struct near_counts sum;
  *clipped = false;
  for (size_t w = 0; w < NEAR_WORDS; w++) {
    uint64_t total = a->word[w] + b->word[w];
    uint64_t within = ((limit->word[w] | NEAR_GUARDS) - total) & NEAR_GUARDS;
    uint64_t mask = (within >> 15) * 0xFFFF;
    *clipped = *clipped || within != NEAR_GUARDS;
    sum.word[w] = (total & mask) | (limit->word[w] & ~mask);
  }
  return sum;
}

#endif
