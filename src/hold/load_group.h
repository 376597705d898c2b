/* Gang parts that may share loads, and the loads found for them. */
#ifndef BLANKWRIGHT_HOLD_LOAD_GROUP_H
#define BLANKWRIGHT_HOLD_LOAD_GROUP_H

#include "hold/bed.h"
#include "hold/load.h"

/* Further parts go into another group; further widths and sets are not looked at. */
enum { GROUP_PARTS_MOST = 12, GROUP_WIDTHS_MOST = 8, GROUP_SETS_MOST = 48 };

/* How many of each of the group's parts. */
struct part_set {
  int64_t counts[GROUP_PARTS_MOST];
};

struct load_size {
  length_t length, width; /* its own length first */
};

/* A load that holds a set of the group. */
struct found_load {
  struct part_set set;
  length_t length, width; /* of the sawn piece, its own length first */
  bool full;              /* as wide as it was asked for */
  int64_t handling;       /* of that load, in thousandths of a minute */
  struct load *load;
};

/* How the parts that a set has any of are worked together, a bit for each of the group's. */
struct kinds_work {
  unsigned kinds;
  int64_t clampings, handling; /* as in struct load_work */
};

struct load_group {
  const struct bed *bed;
  length_t thickness; /* raw */
  bool any_grain;     /* of the stock: parts may lie either way */
  size_t parts[GROUP_PARTS_MOST];
  int64_t most[GROUP_PARTS_MOST]; /* of each in one load */
  size_t part_count;
  enum hold holds[4]; /* ways of holding to try */
  size_t hold_count;
  struct load_work work; /* of all parts together: its reach and force are any load's */
  int64_t least_handling[GROUP_PARTS_MOST]; /* of any load with that part */
  struct kinds_work *works;                 /* asked for so far */
  size_t work_count, work_room;
  length_t edge, gap;
  length_t length_most, width_most; /* of a load, laid straight or across */
  double room;         /* the largest area that grown parts may take in any load from its stocks */
  double stock_factor; /* stock and kerfs that a load takes at least, for the area of its grown
                          parts; 0: not known */
  length_t widths[GROUP_WIDTHS_MOST]; /* widths that divide the planks at hand well */
  size_t width_count;
  struct found_load *found;
  size_t found_count, found_room;
  int64_t fit_steps; /* for one question whether a set fits a size: what stays open counts as no */
  int64_t steps;
};

/* Fills in what follows from bed, parts and thickness. False when the parts' ways of holding have
 * nothing in common. */
bool group_open(const struct bed *bed, struct load_group *group);

/* Minutes in thousandths that no load of parts of the set, few or all, falls short of. */
int64_t group_least_handling(const struct load_group *group, const struct part_set *set);

/* The parts of a set as items of a load that lies along the bed or across it; `items` has room for
 * GROUP_PARTS_MOST. Returns how many. */
size_t group_items(const struct load_group *group, const struct part_set *set, bool across,
                   struct load_item *items);

/* The longest and the widest load that bed and travel take with clamps around it. */
struct load_size group_most(struct load_group *group, enum hold hold, bool across);

/* Whether a load of the set may lie either way in stock: no part of it minds its grain. */
bool group_lies_any_way(const struct load_group *group, const struct part_set *set);

/* How a load of a size is held, nothing lying in it; in the bed's arena. */
struct clamp_problem group_problem(struct load_group *group, enum hold hold, bool across,
                                   length_t length, length_t width);

/* Area of the parts of a set, each grown by the gap. */
double group_area(const struct load_group *group, const struct part_set *set);

/* Loads may be sawn from the stock too: sets room and stock_factor. */
void group_add_stock(struct load_group *group, const struct stock *stock);

/* The shortest loads for a set at a width, in every way of holding that gives one: adds what it
 * finds, where it is narrower the narrower one too. True when there is any. */
bool group_find(struct load_group *group, const struct part_set *set, length_t width);

/* Adds the load of an answer to a problem of group_problem for that set, way of holding and size,
 * the load's own length first. */
void group_add(struct load_group *group, const struct part_set *set, enum hold hold, bool across,
               struct load_size size, const struct load_answer *answer);

/* The set in a load of just that size, held in whatever way; or NULL. */
struct load *group_fit(struct load_group *group, const struct part_set *set, length_t length,
                       length_t width);

/* Sets worth looking at, then their loads at all widths; at the end none that another beats. */
void group_fill(struct load_group *group, const int64_t *needed);

#endif
