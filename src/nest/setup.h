/* From planks, sheets and blanks to bare nesting problems. */
#ifndef BLANKWRIGHT_NEST_SETUP_H
#define BLANKWRIGHT_NEST_SETUP_H

#include "base/arena.h"
#include "model/plan.h"
#include "nest/problem.h"

/* Pieces of one stock that are alike: the same flaws. `copies` are their numbers. */
struct stock_group {
  size_t stock;    /* index into the project's stocks */
  int64_t *copies; /* NULL: first_copy, first_copy + 1, .. */
  int64_t first_copy;
  int64_t count; /* -1: no limit */
};

/* One nesting problem: parts that share stock with each other. Leaves stand before their
 * plank among the problem's stocks, assemblies of strips come last. */
struct material {
  struct nest_problem problem;
  size_t *parts;       /* part of each demand; of a match's its first member's, of a leaf's none */
  size_t part_demands; /* demands of parts; those of matches and rows that couple follow */
  struct stock_group *groups; /* of each of the problem's stocks */
};

struct materials {
  struct material *items;
  size_t count, room;
};

/* How far the saw's safe minimums are kept: STRICT, then less and less. */
enum safety { SAFETY_STRICT, SAFETY_TWO_THIRDS, SAFETY_ONE_THIRD, SAFETY_NONE };

/* The problems of a run. needed[] is per part; rack_only leaves the yard out; `together` puts
 * all parts into one problem. Parts of which none is needed are left out. */
struct materials setup_materials(struct arena *arena, const struct project *project,
                                 const struct blanks *blanks, const int64_t *needed, bool rack_only,
                                 bool together);

/* Sets the saw's rules in every stock of a material. */
void setup_rules(const struct project *project, struct material *material, enum safety safety);

/* Cost of thousandths of a minute at the labour rate, exact. */
cost_t setup_handling(const struct shop *shop, int64_t minutes);

/* Cost of one saw cut at the labour rate, exact. */
cost_t setup_cut_cost(const struct shop *shop);

/* The whole raw piece of a stock with its trims around a layout of the usable rectangle,
 * in raw coordinates. */
struct node setup_raw_tree(struct arena *arena, const struct project *project, size_t stock,
                           const struct node *usable);

#endif
