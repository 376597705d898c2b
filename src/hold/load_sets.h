/* Sets of parts between the best load known and the bound, most worth first, and those of them
 * known not to be a load: a set is refuted by a refuted one whose every part it has, or has a
 * larger one for. */
#ifndef BLANKWRIGHT_HOLD_LOAD_SETS_H
#define BLANKWRIGHT_HOLD_LOAD_SETS_H

#include "hold/load_job.h"

enum { LOAD_SETS_MOST = 50000, LOAD_REFUTED_MOST = 2000 };

/* How many of each of the job's kinds, and what they are worth together. */
struct load_set {
  int64_t worth;
  uint8_t counts[LOAD_ITEMS_MOST];
};

struct load_sets {
  struct load_set *items;
  size_t count;
  int64_t above; /* all sets of more worth are listed or refuted */
};

struct load_refuted {
  struct arena *arena;
  uint8_t (*items)[LOAD_ITEMS_MOST];
  size_t count, room;
  uint32_t holds[LOAD_ITEMS_MOST]; /* kinds that a part of this kind lies in */
};

/* Those of more worth than `above`, of at most `area` and not refuted; raises `above` where they
 * are too many. */
void load_sets_list(struct arena *arena, const struct load_job *job, int64_t area, int64_t above,
                    const struct load_refuted *refuted, struct load_sets *sets, int64_t *steps);

/* Empty; the set of these counts is refuted, which is not noted once LOAD_REFUTED_MOST are; whether
 * one of those noted refutes the set of these counts. */
void load_refuted_begin(struct arena *arena, const struct load_job *job,
                        struct load_refuted *refuted);
void load_refuted_add(struct load_refuted *refuted, const uint8_t *counts);
bool load_refuted_has(const struct load_job *job, const struct load_refuted *refuted,
                      const uint8_t *counts, int64_t *steps);

#endif
