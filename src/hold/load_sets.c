#include "hold/load_sets.h"

#include <stdlib.h>
#include <string.h>

struct listing {
  const struct load_job *job;
  const struct load_refuted *refuted;
  struct load_sets *sets;
  int64_t above;
  size_t order[LOAD_ITEMS_MOST]; /* kinds by worth for their area */
  struct load_set now;
  int64_t *steps;
  bool full;
};

/* Worth the area can hold of kinds from `at` on, parts of parts allowed; rounded up. */
static int64_t most_worth(const struct listing *listing, size_t at, int64_t area) {
  double worth = 0;
  double room = (double)area;
  for (; at < listing->job->count && room > 0; at++) {
    const struct load_kind *kind = &listing->job->kinds[listing->order[at]];
    double whole = (double)kind->most * (double)kind->area;
    double share = whole <= room ? 1 : room / whole;
    worth += share * (double)kind->most * (double)kind->worth;
    room -= whole;
  }
  return (int64_t)(worth * (1 + 1e-9)) + 1;
}

static void list_from(struct listing *listing, size_t at, int64_t area) {
  *listing->steps += 20;
  if (listing->full || listing->now.worth + most_worth(listing, at, area) <= listing->above) return;
  if (at == listing->job->count) {
    if (listing->now.worth <= listing->above ||
        load_refuted_has(listing->job, listing->refuted, listing->now.counts, listing->steps))
      return;
    if (listing->sets->count == LOAD_SETS_MOST)
      listing->full = true;
    else
      listing->sets->items[listing->sets->count++] = listing->now;
    return;
  }
  size_t k = listing->order[at];
  const struct load_kind *kind = &listing->job->kinds[k];
  for (int n = kind->most; n >= 0; n--) {
    if (n * kind->area > area) continue;
    listing->now.counts[k] = (uint8_t)n;
    listing->now.worth += n * kind->worth;
    list_from(listing, at + 1, area - n * kind->area);
    listing->now.worth -= n * kind->worth;
  }
  listing->now.counts[k] = 0;
}

static int by_worth(const void *a, const void *b) {
  const struct load_set *first = a;
  const struct load_set *second = b;
  if (first->worth != second->worth) return first->worth > second->worth ? -1 : 1;
  return memcmp(first->counts, second->counts, sizeof first->counts);
}

static void order_kinds(struct listing *listing) {
  const struct load_kind *kinds = listing->job->kinds;
  for (size_t i = 0; i < listing->job->count; i++) {
    size_t at = i;
    for (; at > 0; at--) {
      const struct load_kind *other = &kinds[listing->order[at - 1]];
      if ((double)other->worth * (double)kinds[i].area >=
          (double)kinds[i].worth * (double)other->area)
        break;
      listing->order[at] = listing->order[at - 1];
    }
    listing->order[at] = i;
  }
}

void load_sets_list(struct arena *arena, const struct load_job *job, int64_t area, int64_t above,
                    const struct load_refuted *refuted, struct load_sets *sets, int64_t *steps) {
  struct listing listing = {.job = job, .refuted = refuted, .sets = sets, .steps = steps};
  order_kinds(&listing);
  if (sets->items == NULL) sets->items = ARENA_ARRAY(arena, LOAD_SETS_MOST, struct load_set);
  int64_t high = most_worth(&listing, 0, area);
  for (;;) {
    sets->count = 0;
    listing.full = false;
    listing.above = above;
    list_from(&listing, 0, area);
    if (!listing.full || above + 1 >= high) break;
    above += (high - above + 1) / 2;
  }
  sets->above = above;
  qsort(sets->items, sets->count, sizeof *sets->items, by_worth);
}

static bool lies_in(const struct load_kind *inner, const struct load_kind *outer) {
  if (inner->round != outer->round) return false;
  /* every way of the outer must have one of the inner within it */
  for (unsigned o = 0; o < outer->ways; o++) {
    bool found = false;
    for (unsigned i = 0; i < inner->ways && !found; i++)
      found = inner->length[i] <= outer->length[o] && inner->width[i] <= outer->width[o];
    if (!found) return false;
  }
  return true;
}

void load_refuted_begin(struct arena *arena, const struct load_job *job,
                        struct load_refuted *refuted) {
  refuted->arena = arena;
  refuted->items = NULL;
  refuted->count = refuted->room = 0;
  for (size_t i = 0; i < job->count; i++) {
    refuted->holds[i] = 0;
    for (size_t j = 0; j < job->count; j++)
      if (lies_in(&job->kinds[i], &job->kinds[j])) refuted->holds[i] |= UINT32_C(1) << j;
  }
}

void load_refuted_add(struct load_refuted *refuted, const uint8_t *counts) {
  if (refuted->count < LOAD_REFUTED_MOST)
    memcpy(ARENA_PUSH(refuted->arena, refuted->items, refuted->count, refuted->room), counts,
           LOAD_ITEMS_MOST);
}

/* Each part of the refuted set finds one of its own in the other: flow by augmenting paths over
 * kinds. */
struct matching {
  const struct load_job *job;
  const struct load_refuted *refuted;
  uint8_t free[LOAD_ITEMS_MOST];
  uint8_t given[LOAD_ITEMS_MOST][LOAD_ITEMS_MOST]; /* parts of a kind of the other to one of ours */
  uint32_t visited;
};

static bool augment(struct matching *matching, size_t kind) {
  for (size_t j = 0; j < matching->job->count; j++) {
    if ((matching->refuted->holds[kind] >> j & 1) == 0 || (matching->visited >> j & 1) != 0)
      continue;
    matching->visited |= UINT32_C(1) << j;
    if (matching->free[j] > 0) {
      matching->free[j]--;
      matching->given[j][kind]++;
      return true;
    }
    for (size_t other = 0; other < matching->job->count; other++) {
      if (matching->given[j][other] == 0 || !augment(matching, other)) continue;
      matching->given[j][other]--;
      matching->given[j][kind]++;
      return true;
    }
  }
  return false;
}

static bool covers(const struct load_job *job, const struct load_refuted *refuted,
                   const uint8_t *small, const uint8_t *counts, int64_t *steps) {
  int parts = 0;
  int64_t area = 0;
  bool plain = true;
  for (size_t i = 0; i < job->count; i++) {
    parts += counts[i] - small[i];
    area += (counts[i] - small[i]) * job->kinds[i].area;
    if (small[i] > counts[i]) plain = false;
  }
  *steps += (int64_t)job->count / 4 + 1;
  if (plain) return true;
  if (parts < 0 || area < 0) return false;
  struct matching matching = {.job = job, .refuted = refuted};
  memcpy(matching.free, counts, sizeof matching.free);
  *steps += 100;
  for (size_t i = 0; i < job->count; i++)
    for (unsigned copy = 0; copy < small[i]; copy++) {
      matching.visited = 0;
      if (!augment(&matching, i)) return false;
    }
  return true;
}

bool load_refuted_has(const struct load_job *job, const struct load_refuted *refuted,
                      const uint8_t *counts, int64_t *steps) {
  for (size_t i = 0; i < refuted->count; i++)
    if (covers(job, refuted, refuted->items[i], counts, steps)) return true;
  return false;
}
