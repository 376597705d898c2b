/* What a project folder holds, as read: immutable once it is read. All of it lives
 * in the arena it was read into; absent texts are NULL, absent numbers as said. */
#ifndef BLANKWRIGHT_MODEL_PROJECT_H
#define BLANKWRIGHT_MODEL_PROJECT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/diagnostics.h"
#include "base/length.h"
#include "model/shop.h"

enum grain { GRAIN_ALONG, GRAIN_ACROSS, GRAIN_ANY };
enum way { WAY_SAW, WAY_BLANK, WAY_GANG };
enum shape { SHAPE_RECTANGLE, SHAPE_ROUND };
enum faced { FACED_NONE, FACED_ONE, FACED_TWO };
enum hold { HOLD_AUTO, HOLD_ENDS, HOLD_SIDES, HOLD_ALL, HOLD_TAPE };

/* A line of parts.csv. */
struct part {
  const char *name;
  int64_t per_set; /* at least 1 */
  length_t length, width, thickness;
  const char **woods; /* wood_count names; none means any wood */
  size_t wood_count;
  enum grain grain;
  enum way way;
  enum shape shape;
  enum faced faced;
  enum hold hold;
  int64_t tabs;         /* -1 unless given */
  int64_t spares;       /* per run */
  const char *match;    /* parts with the same letter come from one plank */
  length_t fit;         /* -1 unless given */
  int64_t hand_minutes; /* thousandths of a minute per part */
  const char *note;
  struct place place;
};

enum stock_kind { STOCK_PLANK, STOCK_SHEET };
enum source { SOURCE_RACK, SOURCE_YARD };
enum surface { SURFACE_ROUGH, SURFACE_PLANED };
enum face_grain { FACE_GRAIN_LENGTH, FACE_GRAIN_WIDTH, FACE_GRAIN_NONE };
enum price_per {
  PER_EACH,
  PER_METRE,
  PER_FOOT,
  PER_SQUARE_METRE,
  PER_SQUARE_FOOT,
  PER_CUBIC_METRE,
  PER_BOARD_FOOT
};

/* A rectangle of stock no part may touch, from the raw lower left corner, before trim. */
struct flaw {
  int64_t copy; /* 1.., or 0 for every copy */
  length_t x, y, length, width;
  const char *what;
  bool rim_ok; /* may lie in a rim */
};

/* A line of rack.csv or yard.csv, or leaves. */
struct stock {
  const char *name;
  enum stock_kind kind;
  enum source source;
  const char *wood;
  length_t length, width, thickness;
  int64_t count; /* pieces there are; -1 is as many as wanted */
  cents_t value; /* one piece: its value on the rack, its price at the yard */
  cents_t price; /* as given at the yard, per `per` */
  enum price_per per;
  int64_t pack;             /* sold in packs of so many */
  length_t tally_thickness; /* nominal, for board feet; 0 unless given */
  enum surface surface;
  enum face_grain face_grain;     /* of sheets; planks have it along their length */
  length_t crook;                 /* how far an edge bows over the whole length */
  length_t trim_ends, trim_edges; /* as given, else the shop's default; edges at least crook */
  const char *supplier;
  const char *note;
  struct flaw *flaws;
  size_t flaw_count, flaw_room;
  /* Leaves of a resawn plank stand among the stocks too, behind all others: they are as large
   * as the plank between its trims, cost nothing by themselves and come `leaves` a plank. The
   * leaves of a plank's copy c are copies (c - 1) * leaves + 1 to c * leaves. */
  int64_t leaves;     /* 0: a stock of its own */
  size_t leaf_of;     /* else the plank, */
  int64_t resaw_cuts; /* and the cuts that split one */
  struct place place;
};

enum clamp_kind { CLAMP_SIDE, CLAMP_HOLD_DOWN };
enum height_from { HEIGHT_FROM_STOCK, HEIGHT_FROM_BED };

/* A line of clamps.csv. */
struct clamp {
  const char *name;
  enum clamp_kind kind;
  int64_t count;
  length_t width;  /* along the edge */
  length_t over;   /* on the stock; 0 for side clamps */
  length_t beside; /* bed it needs beside the stock */
  length_t height;
  enum height_from height_from;
  length_t min_stock, max_stock; /* 0 and LENGTH_MAX unless given */
  int64_t force;                 /* thousandths of a newton, 0 unless given */
};

/* A line of cutters.csv. */
struct cutter {
  const char *name;
  length_t diameter, flute_length;
  int64_t flutes;              /* 1 unless given */
  int64_t rpm;                 /* 0 unless given */
  length_t feed, plunge;       /* per minute; plunge defaults to a third of feed */
  length_t stepdown, stepover; /* stepover defaults to 40 % of the diameter */
  length_t stickout, shank, neck_reach, nut_diameter; /* 0 unless given */
  int64_t slot;                                       /* 0 unless given */
  const char *shape;
  int64_t angle; /* thousandths of a degree, 0 unless given */
};

enum step_kind { STEP_FACE, STEP_POCKET, STEP_DRILL, STEP_PROFILE, STEP_CHAMFER };
enum side { SIDE_TOP, SIDE_UNDER };
enum stand { STAND_FLAT, STAND_EDGE, STAND_END };
enum work_place { PLACE_BED, PLACE_DRILL_PRESS, PLACE_SAW };

/* The middle of a hole in a finished part, seen from its top, from its lower left corner: x along
 * the part's own length, y across it. */
struct hole {
  length_t x, y;
};

/* A line of steps.csv. */
struct step {
  size_t part; /* index into parts */
  enum step_kind kind;
  size_t cutter;            /* index into cutters */
  length_t depth;           /* 0 unless given */
  int64_t area;             /* thousandths of a square mm, 0 unless given */
  length_t path;            /* 0 unless given */
  int64_t count;            /* 1 unless given; hole_count where that is not 0 */
  length_t peck;            /* 0 unless given */
  const struct hole *holes; /* where they are; hole_count 0: nobody said */
  size_t hole_count;
  enum side side;
  enum stand stand;
  enum work_place place;
  const char *note;
};

/* A line of bought.csv. */
struct bought {
  const char *name;
  int64_t per_set; /* thousandths of an item */
  int64_t pack;    /* 1 unless given */
  cents_t price;   /* of a pack */
};

/* A line of money.csv. */
struct money_item {
  const char *name;
  int64_t value; /* thousandths: of money, minutes, hours, percent, sets */
  const char *note;
};

struct project {
  const char *name; /* the folder's last name */
  const char *folder;
  uint64_t rack_file; /* fingerprints of rack.csv and flaws.csv, all bytes; 0: there is none */
  uint64_t flaws_file;
  struct shop shop;
  struct part *parts;
  size_t part_count, part_room;
  struct stock *stocks; /* the rack first, each in file order */
  size_t stock_count, stock_room;
  struct clamp *clamps;
  size_t clamp_count, clamp_room;
  struct cutter *cutters;
  size_t cutter_count, cutter_room;
  struct step *steps;
  size_t step_count, step_room;
  struct bought *bought;
  size_t bought_count, bought_room;
  struct money_item *money;
  size_t money_count, money_room;
};

/* Parts of one kind a run of `sets` sets needs: sets raised for spoilage, times
 * per_set, plus spares. Saturates at INT64_MAX / 4. */
int64_t project_needed(const struct project *project, size_t part, int64_t sets);

/* The same of every part, in part order; lives in the arena. */
int64_t *project_needed_of_each(struct arena *arena, const struct project *project, int64_t sets);

/* Sets that must be started for `sets` good ones, by the shop's spoilage. Saturates likewise. */
int64_t project_started(const struct project *project, int64_t sets);

/* True for a left-over of a stock, length along the stock's, that is worth keeping. */
bool project_keeps(const struct project *project, const struct stock *stock, length_t length,
                   length_t width);

/* A stock's length and width between its trims; 0 where they take all of it. */
length_t stock_room_length(const struct stock *stock);
length_t stock_room_width(const struct stock *stock);

/* What is cut off each end or edge of stock whose own line does not say. */
length_t stock_usual_trim(const struct shop *shop, enum stock_kind kind, enum surface surface,
                          bool ends);

/* True when the part's woods allow the stock's wood (names are compared case folded). */
bool part_takes_wood(const struct part *part, const char *wood);

/* The words used in files and output. */
const char *grain_text(enum grain grain);
const char *way_text(enum way way);
const char *hold_text(enum hold hold);
const char *source_text(enum source source);
const char *stock_kind_text(enum stock_kind kind);
const char *price_per_text(enum price_per per);

#endif
