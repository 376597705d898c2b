/* What a search around flaws knows of rectangles: bounds, the best layout found. */
#ifndef BLANKWRIGHT_NEST_FLAWED_MEMO_H
#define BLANKWRIGHT_NEST_FLAWED_MEMO_H

#include "nest/flaw_places.h"
#include "nest/unstaged.h"

#define FLAW_NO_ENTRY UINT32_MAX

/* Directions a rectangle may be cut first, as bits. */
enum flaw_ways { BY_LENGTH = 1 << DIVIDE_LENGTH, BY_WIDTH = 1 << DIVIDE_WIDTH, BY_EITHER = 3 };

/* The best layouts found of a rectangle, per direction of the first cut. */
struct flaw_entry {
  cost_t worth[2];          /* of a piece that fills it, or of the cut below */
  int32_t end[2], start[2]; /* of the first and second part of the cut; 0, 0 for a piece */
  uint32_t slot;
  bool guessed;
};

/* Where a rectangle is found by hash, all in one place: most searches need no more than the
 * bounds. */
struct flaw_slot {
  int32_t low[2], high[2];
  cost_t bound[2]; /* per direction of the first cut: no layout of it is worth more */
  uint32_t entry;  /* and one; 0 is empty */
};

struct flaw_memo {
  struct arena *arena;
  const struct nest_stock *stock;
  const struct unstaged *table; /* priced */
  const cost_t *option_worth;
  struct flaw_places *places;
  length_t kerf[2];
  length_t *bases; /* room for flaw_places_most_bases */
  double density;  /* most worth of an option for its grown area */
  bool apart;      /* no two flaws overlap */
  bool rims;       /* some flaw may lie in rims */
  struct flaw_entry *entries;
  size_t entry_count, entry_room;
  struct flaw_slot *slots;
  size_t slot_count; /* a power of 2 */
  struct arena_mark empty[2];
  struct arena *slot_arena[2]; /* in turn: the table and the one it grows into */
};

/* A rectangle shrunk to what its content can need. */
struct flaw_part {
  struct flaw_box box;
  flaw_set inside;
  uint32_t entry;  /* FLAW_NO_ENTRY: clear or of no use, `bound` is what it is worth */
  cost_t bound[2]; /* per direction of the first cut */
  double area;
};

/* Nothing is known yet. `table` must be priced for the same worths; it, they and the stock must
 * stay in place. In the arena. */
struct flaw_memo *flaw_memo_create(struct arena *arena, const struct nest_stock *stock,
                                   const struct unstaged *table, const cost_t *option_worth);

/* Shrinks a box and finds or makes its entry. */
struct flaw_part flaw_memo_part(struct flaw_memo *memo, const struct flaw_box *box);

/* The larger of two values, one for each direction, that the ways allow. */
static inline cost_t flaw_ways_most(const cost_t *per_way, enum flaw_ways ways) {
  if (ways == BY_LENGTH) return per_way[DIVIDE_LENGTH];
  if (ways == BY_WIDTH || per_way[0] < per_way[1]) return per_way[DIVIDE_WIDTH];
  return per_way[DIVIDE_LENGTH];
}

static inline cost_t flaw_part_bound(const struct flaw_part *part, enum flaw_ways ways) {
  return flaw_ways_most(part->bound, ways);
}

/* Bounds of an entry, until the next one is made. */
static inline cost_t *flaw_memo_bound(const struct flaw_memo *memo, uint32_t entry) {
  return memo->slots[memo->entries[entry].slot].bound;
}

/* What the best layout known of an entry is worth. */
static inline cost_t flaw_memo_worth(const struct flaw_memo *memo, uint32_t entry) {
  return flaw_ways_most(memo->entries[entry].worth, BY_EITHER);
}

/* A bound on a box that is not looked up. */
cost_t flaw_memo_quick(const struct flaw_memo *memo, const struct flaw_box *box);

/* Notes a layout of an entry that is worth more than the one known. */
void flaw_memo_keep(struct flaw_memo *memo, uint32_t entry, cost_t worth, enum division along,
                    length_t end, length_t start);

/* Whether memory is used up. */
bool flaw_memo_is_full(const struct flaw_memo *memo);

/* The dearest option that fills the box, its flaws in the rims; SIZE_MAX for none. */
size_t flaw_memo_piece(const struct flaw_memo *memo, const struct flaw_box *box);

#endif
