/* Loads built part by part, in an order and by a rule, and the search over orders. Places of
 * clamps stay open as long as they can: a part is only laid where the load can still be held. */
#ifndef BLANKWRIGHT_HOLD_LOAD_BUILD_H
#define BLANKWRIGHT_HOLD_LOAD_BUILD_H

#include "hold/load_job.h"

/* Which of the places it can lie at a part is laid at. */
enum load_rule {
  LOAD_LEFT, /* the leftmost, then the lowest */
  LOAD_LOW,  /* the lowest, then the leftmost */
  LOAD_NEAR, /* least x + y of its corner */
  LOAD_SNUG, /* least rectangle from the room's corner that holds it */
  LOAD_RULES
};

/* In which order copies are laid, and how. */
struct load_order {
  uint8_t kinds[LOAD_PARTS_MOST]; /* as often as there are copies */
  size_t count;
  enum load_rule rule;
  uint64_t kept; /* draws the clamps that are set before any part; 0: none is */
};

/* A load that was built. */
struct load_built {
  struct load_part parts[LOAD_PARTS_MOST];
  size_t count;
  int64_t worth, area;
  struct load_open open; /* the clamps' places that no part has taken */
};

/* An order of all copies, counts[] of each kind, the largest kinds first. */
void load_order_begin(const struct load_job *job, const uint8_t *counts, enum load_rule rule,
                      struct load_order *order);

/* Lays the copies one after the other, each by the rule; what finds no place is left out. `steps`
 * is added to. */
void load_build(const struct load_job *job, const struct load_order *order,
                struct load_built *built, int64_t *steps);

/* Searches on from an order until `steps` reaches `limit`, or all is laid and, with
 * `ties_too`, some rounds for fewer clamps and a larger rest are done. Keeps the best. */
void load_improve(const struct load_job *job, struct load_order *order, uint64_t seed,
                  int64_t limit, bool ties_too, struct load_built *best, int64_t *steps);

/* Worth, then the fewest clamps, then the larger empty rectangle. */
bool load_built_beats(const struct load_job *job, const struct load_built *a,
                      const struct load_built *b);

#endif
