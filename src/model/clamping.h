/* Work as it is held on the bed: places are from the lower left corner of the load, x to the
 * right and y to the back of the bed, in 1/8000 mm. A blank is a load of one part. */
#ifndef BLANKWRIGHT_MODEL_CLAMPING_H
#define BLANKWRIGHT_MODEL_CLAMPING_H

#include "model/tool_order.h"

enum bed_side { BED_LEFT, BED_RIGHT, BED_FRONT, BED_BACK };
enum { BED_SIDES = 4 };

/* "left", "right", "front", "back". */
const char *bed_side_text(enum bed_side side);

/* A bridge left between part and rim; (x, y) is its middle on the part's outline, `side` the
 * side of the part it leaves by. */
struct tab {
  length_t x, y;
  enum bed_side side;
};

/* A part's finished outline as it lies: `length` along x. A round fills its square. */
struct held_part {
  size_t part;
  length_t x, y, length, width;
  bool turned; /* the part's own length lies across */
  struct tab *tabs;
  size_t tab_count;
};

/* A clamp's body: the strip on the load and what stands beside it, so that x or y may be below 0
 * or the body reach past the load. `keep_out` is by how much it is grown on all sides. */
struct held_clamp {
  size_t clamp; /* index into the clamps reckoned with */
  enum bed_side side;
  length_t x, y, length, width;
  length_t keep_out;
};

/* One of the times a load is fixed on the bed, and what is done to all its parts then. */
struct fixing {
  enum side side;
  enum stand stand;
  bool second; /* turned over end for end: the same long edge stays against the same stop */
  struct tool_order order;
  struct step_list *steps; /* per kind of part in the load */
  bool *frees;             /* per kind: it is cut free in it */
};

/* A sawn piece as it is fixed on the bed, and the parts made from it. Places are on the bed:
 * where `across`, the piece's own length, and with it the grain, runs from front to back. */
struct load {
  length_t length, width; /* along x and y, as on the bed */
  length_t thickness;     /* raw */
  bool across;
  enum hold hold; /* which sides of the piece are held: ends are those of its own length */
  length_t cutter_diameter, rim, part_gap, reach;
  struct held_part *parts;
  size_t part_count;
  struct held_clamp *clamps;
  size_t clamp_count;
  size_t *kinds; /* of parts in it, each once */
  size_t kind_count;
  struct fixing *fixings; /* in the order of work; none before the plan is finished */
  size_t fixing_count;
  length_t tab_height;
  bool clamped;        /* the clamps hold it by all rules; false while none are chosen */
  int64_t clampings;   /* times it is fixed: 2 where it is worked from under too */
  int64_t handling;    /* thousandths of a minute: fixing, probing, changing cutters */
  const char *trouble; /* why it cannot be held and what would cure that; NULL: it can */
};

/* The clamps reckoned with: the project's own, or one stated default where it names none. May not
 * be copied: `items` is then the set's own `stand_in`. */
struct clamp_set {
  const struct clamp *items;
  size_t count;
  bool stated_default;
  struct clamp stand_in;
};
/* Fills in a set, which points into the project. */
void clamp_set_of(const struct project *project, struct clamp_set *clamps);

/* Whether a clamp there is holds stock of this raw thickness. */
bool clamp_takes(const struct shop *shop, const struct clamp *clamp, length_t raw);

/* Name of a clamp by its index into that set. */
const char *clamp_name(const struct project *project, size_t clamp);

/* Whether the bed has a stop on a side. */
bool bed_has_stop(const struct shop *shop, enum bed_side side);

/* "front-left" and so on. */
const char *bed_origin_text(const struct shop *shop);

/* Where the router's zero lies on a load. */
void bed_origin(const struct shop *shop, const struct load *load, length_t *x, length_t *y);

/* Whether a clamp stands at an end of the load's own length. */
bool held_clamp_at_end(const struct load *load, const struct held_clamp *held);

/* Whether a clamp keeps its side of the bed when the load is turned over end for end: a side clamp
 * that pushes the load's length against a stop. All others stay where they are on the wood. */
bool held_clamp_keeps_side(const struct project *project, const struct load *load,
                           const struct held_clamp *held);

/* How much of a clamp's body lies on the load, across its side. */
length_t held_clamp_over(const struct load *load, const struct held_clamp *clamp);

/* Where a hole of a part comes to lie on the load. A part that is turned lies a quarter turn to the
 * left: what is along it is from front to back, its lower edge to the right. */
struct hole held_hole(const struct held_part *part, struct hole hole);

/* How many of a part are made from a load. */
int64_t load_count(const struct load *load, size_t part);

#endif
