/* The answer: which stock is cut how. Lives in the arena it was made in. */
#ifndef BLANKWRIGHT_MODEL_PLAN_H
#define BLANKWRIGHT_MODEL_PLAN_H

#include "model/blank.h"
#include "model/work_time.h"

/* A rectangle of a layout: x along the stock's length, y across it, from the raw lower
 * left corner. A node is a piece, a left-over, or is cut edge to edge into children
 * that follow each other at a kerf's distance along the cut's normal. A crosscut parts
 * along x, a rip along y. The last kerf of a node may lie partly or wholly outside it
 * when what is left over is thinner than the kerf. */
enum node_kind {
  NODE_WASTE,
  NODE_PIECE,
  NODE_CROSSCUT,
  NODE_RIP,
  NODE_SPLIT /* resawn through its thickness into leaves */
};

struct node {
  enum node_kind kind;
  length_t x, y, length, width;
  size_t blank;          /* NODE_PIECE: index into blanks; NODE_SPLIT: the leaves' stock */
  bool turned;           /* NODE_PIECE */
  bool trim;             /* a cut node that trims raw stock */
  struct node *children; /* NODE_CROSSCUT, NODE_RIP; from low to high */
  size_t child_count;
};

/* One way to cut one kind of stock, and how many pieces of stock are cut so. */
struct layout {
  size_t stock;
  int64_t first_copy; /* copies first_copy .. first_copy + times - 1 */
  int64_t times;
  struct node root; /* the whole raw piece */
  int64_t cuts;     /* saw cuts of one copy, trims included */
};

/* A part of which fewer could be placed than were needed. */
struct unplaced {
  size_t part;
  int64_t missing; /* parts */
  const char *why; /* one sentence, with what would cure it */
};

/* Costs are exact: handling is kept in its own small unit until it is printed. */
struct plan_cost {
  cents_t stock;    /* stock bought or used, whole packs */
  cents_t handling; /* saw cuts and fixings on the bed at the labour rate, rounded once, up */
  cents_t total;
  cents_t bound;        /* no plan of the allowed kind costs less; rounded up to the cent */
  cents_t listed_bound; /* no plan of the loads that were tried; at least `bound` */
  bool proved;          /* the exact bound meets the exact cost */
};

/* The node that is resawn within the trims of a layout, or NULL. */
const struct node *layout_split(const struct layout *layout);

/* What to beware of at a saw cut. */
enum caution_bit {
  CAUTION_RIP_SHORT = 1 << 0,  /* rip shorter than rip_min_length or than the width ripped off it */
  CAUTION_RIP_NARROW = 1 << 1, /* strip under rip_narrow, not under rip_min_width */
  CAUTION_RIP_JIG = 1 << 2,    /* strip under rip_min_width */
  CAUTION_RIP_THIN = 1 << 3,   /* stock thinner than 6 mm (1/4 in): zero-clearance insert */
  CAUTION_CROSSCUT_HOLD = 1 << 4, /* piece shorter than crosscut_hold */
  CAUTION_HANDS = 1 << 5,         /* a held side leaves a hand inside hands_off */
  CAUTION_STOP_SHORT = 1 << 6,    /* less than stop_min between stop and blade */
  CAUTION_SLIVER = 1 << 7,        /* slice thinner than the kerf */
  CAUTION_CAPACITY = 1 << 8,      /* over the saw's capacity */
  CAUTION_ROUGH_EDGE = 1 << 9,    /* rough or crooked edge against the fence */
  CAUTION_SHEET_SIZE = 1 << 10,   /* sheet larger than the saw handles whole */
  CAUTION_RESAW = 1 << 11         /* split through its thickness */
};
enum { CAUTION_BITS = 12 };

/* One saw cut in the order of work. The strip [x, x + kerf] (crosscut) or
 * [y, y + kerf] (rip) is cut over `span`. The piece cut lies at (piece_x, piece_y). */
struct cut {
  int64_t step;  /* 1.. over the whole plan */
  size_t layout; /* index into layouts */
  int64_t copy;
  bool rip;   /* else a crosscut, */
  bool resaw; /* or, of a plank on edge, a cut that splits a leaf off its face: x and y are the
                 corner of what is resawn, span its length, keep is through the thickness */
  bool trim;
  length_t x, y, span, kerf;
  length_t keep;  /* between fence or stop and the near side of the kerf */
  bool keep_high; /* the kept side is the one beyond the kerf (high x or y) */
  length_t piece_x, piece_y, piece_length, piece_width;
  int64_t fence_setting; /* 1.. over the whole plan, in order of use */
  unsigned cautions;     /* enum caution_bit */
};

/* What to beware of on the bed. */
struct bed_caution {
  const char *name;        /* two or three words */
  const struct load *load; /* or NULL: the part's, or the shop's */
  const char *subject;     /* of it, the load apart: "part 'lid', profile with 'flat3'"; or NULL */
  const char *text;        /* lower case, what is wrong first, no full stop */
};

/* What a plan takes of one stock. */
struct purchase {
  size_t stock;
  int64_t used;   /* pieces cut */
  int64_t bought; /* pieces paid for: whole packs; 0 for the rack */
  cents_t cost;
};

struct plan {
  int64_t sets;
  bool most;             /* as many sets as the rack gives */
  const char *most_stop; /* what stops one set more, or NULL */
  int64_t *needed;       /* per part of the project */
  struct layout *layouts;
  size_t layout_count, layout_room;
  struct purchase *purchases; /* every stock used, rack first */
  size_t purchase_count, purchase_room;
  struct unplaced *unplaced;
  size_t unplaced_count, unplaced_room;
  struct cut *cuts; /* in order of work */
  size_t cut_count, cut_room;
  int64_t fence_settings;
  struct bed_caution *bed_cautions;
  size_t bed_caution_count, bed_caution_room;
  struct run_time time;
  struct plan_cost cost;
  int64_t steps;       /* work done by the optimiser */
  bool gang_as_blanks; /* gang parts were given blanks of their own */
  bool unsafe_rules;   /* some layout breaks a safe minimum: nothing else would do */
  bool interrupted;    /* the search was stopped; this is the best plan it had */
};

#endif
