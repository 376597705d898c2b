/* Are there clamps that hold a load, some of their places being taken by parts? A dynamic
 * program along each side over the bed's places, whose sides are then coupled by corners,
 * counts, balance, friction and bed: exact where `exact` says so, and in any case every
 * clamping it gives is valid. */
#ifndef BLANKWRIGHT_HOLD_LOAD_CLAMPS_H
#define BLANKWRIGHT_HOLD_LOAD_CLAMPS_H

#include "hold/load_problem.h"

enum {
  LOAD_PLACES_MOST = 128,
  LOAD_CHOICES_MOST = 8,
  LOAD_CLAMPS_MOST = 128, /* of one clamping */
  LOAD_CORNERS_MOST = LOAD_CHOICES_MOST * LOAD_CHOICES_MOST,
  LOAD_CLAMPS_REMEMBERED = 512
};

/* Places of one side, a bit each. */
__extension__ typedef unsigned __int128 load_bits;

static inline load_bits load_bit(size_t place) { return (load_bits)1 << place; }

/* The lowest of a set that is not empty. */
static inline size_t load_lowest(load_bits places) {
  uint64_t low = (uint64_t)places;
  return (size_t)(low != 0 ? __builtin_ctzll(low) : 64 + __builtin_ctzll((uint64_t)(places >> 64)));
}

struct load_place {
  length_t begin;                    /* along the side */
  size_t choice;                     /* of the problem */
  length_t left, bottom, right, top; /* keep-out, from the load's corner */
};

/* The places of one choice on a side. */
struct load_lane {
  length_t low, high;       /* of the keep-outs, across the side */
  length_t width, keep_out; /* of the choice */
  size_t first, count; /* in the side's lane_begins; one further on for each lane in lane_upto */
};

/* Of hold-downs at one corner those that meet the same others around it. */
struct load_corner {
  load_bits classes[LOAD_CORNERS_MOST];
  size_t count;
};

struct load_side {
  struct load_place places[LOAD_PLACES_MOST]; /* by `begin` */
  size_t count;
  /* so that what a part meets need not be asked place by place */
  struct load_lane lanes[LOAD_CHOICES_MOST];
  size_t lane_count;
  length_t lane_begins[LOAD_PLACES_MOST];
  load_bits lane_upto[LOAD_PLACES_MOST + LOAD_CHOICES_MOST]; /* places of a lane below each */
  /* for chains */
  load_bits of_kind[2];               /* by enum clamp_kind: those that may stand at all */
  load_bits first, last;              /* near enough to the corner for the first, the last clamp */
  struct load_corner low, high;       /* those a clamp around the corner may meet */
  load_bits before[LOAD_PLACES_MOST]; /* the next before each in a chain may be one of these */
};

/* Places of each side not met by a cutter path, a bit each. */
struct load_open {
  load_bits sides[BED_SIDES];
};

/* Numbers of clamps of each choice of one kind, as digits of one number below 64, so that a set
 * of them is a word and one clamp more is a shift. */
struct load_counts {
  uint64_t roomy[LOAD_CHOICES_MOST]; /* numbers that take one more of the choice */
  uint64_t more[64];                 /* numbers with at least as many of each choice */
  unsigned weight[LOAD_CHOICES_MOST];
  unsigned cap[LOAD_CHOICES_MOST];
  uint8_t digit[64][LOAD_CHOICES_MOST]; /* of each number; 0 for choices of the other kind */
  int64_t total[64], force[64];
  length_t beside[64]; /* the most of any clamp in it */
  bool unknown[64];    /* a force in it is not known */
  bool any;            /* there are clamps of this kind */
};

struct load_clamps {
  const struct clamp_problem *problem;
  struct load_side sides[BED_SIDES];
  struct load_counts counts[2]; /* by enum clamp_kind */
  /* Of each class of left and right the classes of front and back that meet it at the corner:
   * [right][back] */
  uint64_t meets[2][2][LOAD_CORNERS_MOST];
  bool exact;   /* no clamping is left out */
  bool idle;    /* no side is to be held, so no clamps are needed */
  int64_t work; /* steps of tests not yet asked for */
  struct {
    struct load_open open;
    bool known, possible;
  } remembered[LOAD_CLAMPS_REMEMBERED];
};

struct load_begins;

/* Large: lives in the arena. Clamps stand at begins[] (load_places.h: no clamping that matters is
 * left out) or, where that is NULL, at the bed's places: if they may stand anywhere, every so
 * many millimetres. */
struct load_clamps *load_clamps_begin(struct arena *arena, const struct clamp_problem *problem,
                                      const struct load_begins *begins);

/* All places open. */
struct load_open load_clamps_open(const struct load_clamps *clamps);

/* Does the path of the part (places from the load's corner) meet the place's keep-out? */
bool load_place_meets(const struct load_place *place, length_t reach, const struct load_laid *part,
                      bool round);

/* Places of the side whose keep-out is met by a rectangle grown by `reach` (places from the load's
 * corner). */
load_bits load_places_met(const struct load_clamps *clamps, enum bed_side side, length_t reach,
                          const struct load_laid *part);

/* Whether clamps at open places hold the load. Answers are remembered. */
bool load_clamps_possible(struct load_clamps *clamps, const struct load_open *open);

/* Steps of work since this was asked last. */
static inline int64_t load_clamps_work(struct load_clamps *clamps) {
  int64_t work = clamps->work;
  clamps->work = 0;
  return work;
}

/* The fewest clamps; SIZE_MAX when there are none. `held` has room for LOAD_CLAMPS_MOST, or is
 * NULL when only the number is asked for. */
size_t load_clamps_choose(const struct load_clamps *clamps, const struct load_open *open,
                          struct held_clamp *held);

#endif
