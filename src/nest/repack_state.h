/* A whole plan while it is taken apart and put together: plates and what is still wanted. */
#ifndef BLANKWRIGHT_NEST_REPACK_STATE_H
#define BLANKWRIGHT_NEST_REPACK_STATE_H

#include "nest/repack_plate.h"

/* A size a demand may have in a kind of stock, grown. */
struct wanted_size {
  length_t size[2];
  double area; /* of its wood, in units of the value's scale */
  uint32_t option;
};

/* Where a piece of a demand would go. */
struct offer_place {
  int64_t loss; /* of value of free space; INT64_MAX where there is no place */
  size_t plate; /* plate_count + stock: a new plate of the stock */
  uint16_t cell;
  uint32_t option;
  struct placing placing;
  int64_t fits; /* places large enough */
};

/* Better: less area open; then more value of free space. */
struct standing {
  int64_t open_area;
  int64_t value;
};

struct packing {
  const struct nest_problem *problem;
  struct plate_kind *kinds; /* per stock */
  struct plate *blanks;     /* per stock: a plate without a piece */
  struct wanted_size *sizes;
  size_t *size_first; /* [stock * (demands + 1) + demand] into sizes */

  int64_t *available; /* per stock */
  int64_t *used;

  struct plate *plates;
  size_t plate_count;   /* open or not */
  size_t room;          /* for cells, of each: what the stock that holds most could hold */
  struct arena *store;  /* the cells' */
  length_t (*reach)[2]; /* per plate: no leaf is longer, none wider; 0 where it is not open */
  size_t *live;         /* numbers of the open ones */
  size_t live_count;
  struct plate *before; /* of the plates touched since the last keep or restore */
  uint64_t *touched;    /* round in which a plate was copied to before[] */
  size_t *touched_list;
  size_t touched_count;
  uint64_t round;

  int64_t *open;         /* per demand */
  int64_t *area;         /* per demand: of its smallest size, in units of value's area; or worth */
  int64_t hopeless_area; /* of pieces that no stock at hand yields */
  size_t *wanted;        /* the demands with open pieces */
  size_t *wanted_at;
  size_t wanted_count;
  struct standing standing; /* stock that is not used counts as free in whole pieces */
  size_t *moved;            /* demands whose open[] changed since then: d or, placed, ~d */
  size_t moved_count;
  struct offer_place *offers; /* per entry of wanted[] */
  const int64_t *rank;        /* per demand: the highest is put back first; NULL: that with the
                                 fewest places */
  uint32_t *out;              /* options taken out of a plate */
  uint64_t random;
  int64_t steps;
};

/* All open, no plate used. Stock with `given` is never used. */
struct packing *packing_create(struct arena *arena, const struct nest_problem *problem,
                               const int64_t *demand, const int64_t *available);

/* Has what is open counted by the worth of a piece in place of its area. */
void packing_set_worths(struct packing *packing, const cost_t *worth);

/* A random number from 0 to limit - 1; limit >= 1. */
size_t packing_below(struct packing *packing, size_t limit);

/* Copies a plate before it is changed for the first time in a round. */
void packing_touch(struct packing *packing, size_t plate);

/* Opens an empty plate of a stock and returns its number, or SIZE_MAX where there is no more of the
 * stock; whether there is. */
size_t packing_open_plate(struct packing *packing, size_t stock);
bool packing_may_open(const struct packing *packing, size_t stock);

/* Looks how far the leaves of a plate reach, after changes. */
void packing_measure(struct packing *packing, size_t plate);

/* Takes a cell out of a plate; an empty plate is given back. */
void packing_take_out(struct packing *packing, size_t plate, uint16_t cell);

/* Tightens the plates changed in this round, where that is allowed. */
void packing_tighten(struct packing *packing);

/* Puts back what is open, as far as there are places: the demand with the fewest places
 * first, or by rank, at its cheapest; one way in `skip` is not seen (0: all are). */
void packing_put_back(struct packing *packing, size_t skip);

/* Counts a piece placed or taken out by other hands. */
void packing_placed(struct packing *packing, size_t demand);

/* Ends a round: what was changed stays, or is undone. */
void packing_keep(struct packing *packing);
void packing_restore(struct packing *packing);

/* Takes everything out. */
void packing_clear(struct packing *packing);

#endif
