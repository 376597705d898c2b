/* Where the edges of a rectangle with flaws may lie: sums of parts behind its low edge or
 * behind a flaw, and, mirrored, in front of its high edge or of a flaw. Normal patterns for
 * defects after Martin, Hokama, Morabito and Munari, Int. J. Prod. Res. 58 (2020). Only parts
 * that are no wider than the rectangle count. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_NEST_FLAW_PLACES_H
#define BLANKWRIGHT_NEST_FLAW_PLACES_H

#include "nest/cutting.h"

/* A rectangle by its edges, in usable coordinates. */
struct flaw_box {
  length_t low[2];
  length_t high[2];
};

/* Flaws of a stock as bits. */
typedef uint64_t flaw_set;
enum { MOST_FLAWS_AROUND = 64 };

struct flaw_places;

/* Ascending places along one direction. */
struct place_list {
  const length_t *at;
  size_t count;
};

/* The stock has at most MOST_FLAWS_AROUND flaws. Options worth nothing (<= 0) are left out. */
struct flaw_places *flaw_places_create(struct arena *arena, const struct nest_stock *stock,
                                       const cost_t *option_worth);

/* Flaws that reach into a box. */
flaw_set flaw_places_inside(const struct flaw_places *places, const struct flaw_box *box);

/* High edges of the parts of a box, its own high edge left out of account: > low edge. */
struct place_list flaw_places_ends(struct flaw_places *places, const struct flaw_box *box,
                                   flaw_set inside, enum division along);

/* Low edges of parts pushed up against the high edge, its own low edge left out of account:
 * < high edge. */
struct place_list flaw_places_starts(struct flaw_places *places, const struct flaw_box *box,
                                     flaw_set inside, enum division along);

/* Places right behind flaws (for each core that may lie over their rims), unsorted, all of
 * them; at most flaw_places_most_bases. */
size_t flaw_places_bases(const struct flaw_places *places, flaw_set inside, enum division along,
                         bool behind, length_t *bases);
size_t flaw_places_most_bases(const struct flaw_places *places);

/* Whether a part alone is so long. */
bool flaw_places_is_size(const struct flaw_places *places, enum division along, length_t extent);

/* The last end within the box, its low edge where there is none; the first start, its high
 * edge where there is none. */
length_t flaw_places_last_end(struct flaw_places *places, const struct flaw_box *box,
                              flaw_set inside, enum division along);
length_t flaw_places_first_start(struct flaw_places *places, const struct flaw_box *box,
                                 flaw_set inside, enum division along);

/* Area that parts grown by a kerf can cover of a box at most. Each line of a direction is
 * broken by the flaws on it, and no more of a stretch is covered than sums of parts fill: that
 * is wasted line by line in both directions, and waste lies in one line of each. */
double flaw_places_covered(struct flaw_places *places, const struct flaw_box *box, flaw_set inside);

/* Places listed so far: work done and memory used. */
int64_t flaw_places_listed(const struct flaw_places *places);

/* Index of the first place at least `limit`, or the count. */
size_t place_list_ceiling(const struct place_list *list, length_t limit);

#endif
