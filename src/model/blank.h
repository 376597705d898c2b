/* Sizes a part may be cut to: one choice per stock and way of holding. */
#ifndef BLANKWRIGHT_MODEL_BLANK_H
#define BLANKWRIGHT_MODEL_BLANK_H

#include "model/clamping.h"
#include "model/project.h"

enum role { ROLE_PART, ROLE_BLANK, ROLE_LOAD, ROLE_OFFCUT, ROLE_RESAW };

/* One size that serves one part's demand from one stock, or several parts' as a load. Lengths are
 * along the part's (the load's) own length; `turned` says that this length lies across the stock.
 */
struct blank {
  size_t part; /* of a load the first in it */
  size_t stock;
  enum role role; /* ROLE_PART for way saw, ROLE_LOAD for gang, else ROLE_BLANK */
  enum hold hold; /* ENDS, SIDES, ALL or TAPE; AUTO for ROLE_PART */
  size_t clamp;   /* index into clamps; SIZE_MAX for tape, parts of way saw, loads and the stated
                     default clamp */
  length_t length, width;   /* of the sawn piece, raised to mark_step */
  length_t margin_ends;     /* finished outline to the piece's end, at least; 0 for loads */
  length_t margin_sides;    /* the same to its side */
  length_t reach;           /* e: furthest any cutter goes outside the outline */
  length_t cutter_diameter; /* of the profile cutter; 0 for way saw */
  bool may_lie_straight;    /* part's length along the stock's length */
  bool may_lie_turned;
  int64_t strips;      /* 0, or this is one of so many alike that are glued up to one blank */
  bool glued_sideways; /* side by side along the part's width; else end to end of its length, which
                          lies across the grain */
  length_t glued_length, glued_width; /* of the blank glued up */
  struct load *load; /* how it is held; of loads from several stocks the same; NULL for way saw */
};

/* What a part made in loads takes of stock and of the bed at least, whatever the load. */
struct load_share {
  int64_t area;       /* of stock, saw kerfs included, in square 1/8000 mm; 0: not made in loads */
  int64_t millionths; /* of one load that the part fills */
};

enum { LEAST_SIZES_MOST = 8 };

/* A size that a load has at least. */
struct least_size {
  length_t length, width; /* along the load's own length, and across it */
};

/* Of the loads from some stocks there can be: each that holds any of its parts is matched by one
 * of these that holds as many of each or more, and it is as long and as wide as one of its sizes.
 */
struct least_load {
  const size_t *parts;
  const int64_t *counts;
  size_t part_count;
  struct least_size sizes[LEAST_SIZES_MOST];
  size_t size_count;
  length_t most_length, most_width; /* of any load, whichever way it lies on the bed */
  int64_t handling;                 /* thousandths of a minute */
  const bool *stocks;               /* per stock: it may be sawn from it, */
  bool any_way;                     /* lying either way; else its length along the grain */
};

/* Why a stock cannot yield a part. */
enum refusal {
  REFUSAL_NONE,
  REFUSAL_WOOD,
  REFUSAL_TOO_THICK,
  REFUSAL_TOO_THIN,
  REFUSAL_TOO_LONG,
  REFUSAL_TOO_WIDE,
  REFUSAL_SAW,
  REFUSAL_CLAMP
};

struct blanks {
  struct blank *items; /* in order of part, loads last */
  size_t count, room;
  struct load_share *shares; /* per part; NULL: there are no loads */
  int64_t least_handling;    /* of a load, thousandths of a minute */
  struct least_load *least;  /* of all loads there can be; none where they are too many to list */
  size_t least_count, least_room;
};

/* Whether strips of the two can stand for each other in a blank glued up: of the same part, held,
 * sized and glued alike, from stock of the same wood and thickness. */
bool blank_same_strips(const struct project *project, const struct blank *a, const struct blank *b);

#endif
