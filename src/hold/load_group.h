/* Gang parts that may share loads, and the loads found for them. */
#ifndef BLANKWRIGHT_HOLD_LOAD_GROUP_H
#define BLANKWRIGHT_HOLD_LOAD_GROUP_H

#include "hold/bed.h"
#include "hold/load.h"

enum { GROUP_PARTS_MOST = 12, GROUP_WIDTHS_MOST = 8, GROUP_SETS_MOST = 48 };

/* How many of each of the group's parts. */
struct part_set {
  int64_t counts[GROUP_PARTS_MOST];
};

struct found_load {
  struct part_set set;
  length_t length, width; /* of the sawn piece, its own length first */
  struct load *load;
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
  struct load_work work;
  length_t edge, gap;
  length_t length_most, width_most;   /* of a load, laid straight or across */
  length_t widths[GROUP_WIDTHS_MOST]; /* widths that divide the planks at hand well */
  size_t width_count;
  struct found_load *found;
  size_t found_count, found_room;
  int64_t steps;
};

/* Fills in what follows from bed, parts and thickness. False when the parts' ways of holding have
 * nothing in common. */
bool group_open(const struct bed *bed, struct load_group *group);

/* Area of the parts of a set, each grown by the gap. */
double group_area(const struct load_group *group, const struct part_set *set);

/* The largest area that grown parts may take in any load. */
double group_room(const struct load_group *group);

/* The shortest loads for a set at a width, in every way of holding that gives one: adds what it
 * finds. True when there is any. */
bool group_find(struct load_group *group, const struct part_set *set, length_t width);

/* Sets worth looking at, then their loads at all widths; at the end none that another beats. */
void group_fill(struct load_group *group, const int64_t *needed);

#endif
