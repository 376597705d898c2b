/* Whether the machine reaches: heights under the spindle, depths a cutter reaches, how far its
 * centre goes, and in how many clampings a part is worked. Nothing here searches. */
#ifndef BLANKWRIGHT_HOLD_HEIGHT_H
#define BLANKWRIGHT_HOLD_HEIGHT_H

#include "base/arena.h"
#include "model/clamping.h"
#include "model/reach.h"

/* Steps of one part done in one fixing on the bed, in the order of the file. A part faced on two
 * sides has a clamping for each face, with or without a step for it. */
struct work_clamping {
  enum side side;
  enum stand stand;
  const struct step **steps;
  size_t step_count;
  bool faced;    /* a face is taken off in it */
  bool parts_it; /* a profile frees the part in it, or (flat, without one) nothing later does */
  bool second;   /* turned over end for end, so that the same long edge stays against the same
                    stop: lengths are measured from the other end, whose place the length of the
                    blank as sawn gives */
};

/* Sorts the part's own steps that are done on the bed: flat ones first, the side with the profile
 * last of them (under first, where there is none), then those on edge, then those on end. A
 * part of way blank or gang has at least one. Returns how many; they live in the arena. */
size_t height_clampings(struct arena *arena, const struct part *part,
                        const struct step *const *steps, size_t step_count,
                        struct work_clamping **clampings);

/* How far a clamp's top stands above the stock's, which is `standing` high; negative: below it. */
length_t height_above_stock(const struct clamp *clamp, length_t standing);

enum height_limit {
  HEIGHT_DAYLIGHT,   /* waste board + T + clamps above it + clearance + longest stick-out */
  HEIGHT_TRAVEL,     /* clearance + clamps above T + T + overcut */
  HEIGHT_NUT_STOCK,  /* the nut at full depth against the stock's top */
  HEIGHT_NUT_CLAMP,  /* the same against a clamp's top, with nut_margin: the cutter has to keep
                        off by the nut's overhang */
  HEIGHT_FLUTE,      /* a profile through raw stock needs more than flute and neck reach */
  HEIGHT_DEPTH,      /* so does another step */
  HEIGHT_OVERCUT,    /* over a third of the waste board */
  HEIGHT_WASTE_BOARD /* thinner than 6 mm (1/4 in) */
};

/* One limit that is broken. */
struct height_finding {
  enum height_limit limit;
  const struct step *step; /* NULL: not of one step */
  size_t clamp;            /* index into the clamps looked at, SIZE_MAX: none */
  length_t needs, has;     /* needs > has; missing is the difference (HEIGHT_OVERCUT: three times
                              the overcut against the waste board) */
};

/* A step that the bed cannot finish, and what becomes of it. Depths below the surface it begins
 * at. */
struct cut_through {
  const struct step *step;
  length_t needs;
  length_t deepest;       /* reachable */
  length_t on_bed;        /* done on the bed: a groove or pilot holes so deep */
  length_t left;          /* by hand or at the other machine */
  enum work_place finish; /* PLACE_DRILL_PRESS for holes, PLACE_SAW for outlines and pockets */
};

struct heights {
  struct height_finding *findings;
  size_t finding_count, finding_room;
  struct cut_through *cuts;
  size_t cut_count, cut_room;
  length_t daylight, travel; /* needed */
};

/* What is looked at: one clamping of a part in stock `raw` thick with the clamps that hold it.
 * `steps` are all steps of the part's own. A cutter whose stick-out is not given is not looked
 * at for nut and daylight. */
struct height_work {
  const struct project *project;
  const struct part *part;
  const struct step *const *steps;
  size_t step_count;
  const struct work_clamping *clamping;
  length_t raw;
  const struct clamp *clamps;
  size_t clamp_count;
};

/* Fills `heights`, whose arrays live in the arena. */
void height_check(struct arena *arena, const struct height_work *work, struct heights *heights);

/* The deepest a step's cutter reaches below the raw top: the larger of flute length and neck reach,
 * no more than the stick-out leaves above it (where that is given), nor than travel_z has
 * below `clearance` and `above`, the highest clamp's top over the stock. Never negative. */
length_t height_reachable(const struct shop *shop, const struct cutter *cutter, length_t above);

/* Holes to start a drill in at the drill press, where a step's place is that: 3 mm deep. Common
 * practice, no source. */
#define PILOT_DEPTH MM(3)

/* Furthest any of the part's cutters goes with its centre outside the outline; the stated default
 * profile cutter's radius when there is no profile. */
length_t height_centre(const struct reach *reach);

#endif
