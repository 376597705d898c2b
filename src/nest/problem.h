/* The nesting problem, bare of wood and names: rectangles with demands, kinds of
 * stock with prices. Lengths in 1/8000 mm, costs in COST_PER_CENT-ths of a cent.
 *
 * Layouts that are allowed. The usable rectangle of a stock is cut edge to edge, again
 * and again. A crosscut runs across x and takes a strip kerf_crosscut wide; a rip runs
 * along x and takes a strip kerf_rip wide (across y). Where what is left behind the
 * last part is thinner than the kerf, the kerf may stick out of the rectangle: parts
 * p1..pn in a length L are possible when p1 + .. + pn + (n - 1) kerf <= L. One kerf is
 * one cut: n - 1 cuts when the parts fill L exactly, else n.
 * A stage is all cuts in one direction before turning. A rectangle is reached after s
 * stages when the path to it turns s - 1 times; the last cut that only frees one piece
 * from waste is not counted (so with 3 stages: crosscut, rip, crosscut, and a rip that
 * trims a single piece). Rules bind every cut, the trims too. */
#ifndef BLANKWRIGHT_NEST_PROBLEM_H
#define BLANKWRIGHT_NEST_PROBLEM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/length.h"

/* Fine enough that a saw cut (thousandths of a minute at cents an hour) is whole. */
typedef int64_t cost_t;
#define COST_PER_CENT INT64_C(3840000)

/* A rectangle as it lies in stock. Several options may serve one demand. */
struct nest_option {
  size_t demand;
  length_t length, width;  /* along x and y, as laid */
  length_t core_x, core_y; /* only [core_x, length - core_x] x [core_y, width - core_y] must be
                              clear of flaws that may lie in a rim */
  size_t blank;            /* handed through */
  bool turned;             /* handed through */
};

struct nest_flaw {
  length_t x, y, length, width; /* grown by its margin, in usable coordinates; may reach outside */
  bool rim_ok;
};

/* What the saw may be asked to do. A limit of 0 does not bind. */
struct nest_rules {
  int stages;                     /* 0 is no limit */
  bool crosscut_first, rip_first; /* at least one */
  length_t rip_min_length;        /* a piece offered to a rip is at least so long (x) */
  bool rip_no_wider_than_long;    /* the narrower of the two parts a rip leaves is no wider (y) than
                                     the piece ripped is long (x) */
  length_t rip_capacity; /* the narrower of the two parts a rip leaves is at most so wide (y) */
  length_t crosscut_capacity; /* a piece offered to a crosscut is at most so wide (y) */
};

struct nest_stock {
  length_t length, width; /* usable, after trim */
  length_t kerf_crosscut, kerf_rip;
  int64_t count;    /* -1: no limit. Pieces, not packs */
  int64_t pack;     /* bought in packs of so many; 1 */
  cost_t cost;      /* of one piece: price and trim cuts */
  cost_t trim_cost; /* the share of cost that is trim cuts, not price */
  struct nest_rules rules;
  struct nest_flaw *flaws;
  size_t flaw_count;
  struct nest_option *options; /* what it can yield */
  size_t option_count;
  const int64_t
      *given;   /* NULL for stock to cut; else pieces per demand that one unit yields as it is */
  size_t stock; /* handed through */
};

/* What n pieces of a stock cost: whole packs at the price, trim cuts of those used. */
cost_t nest_stock_cost(const struct nest_stock *stock, int64_t pieces);

/* Pieces that can be had at most: whole packs; INT64_MAX / 4 when there is no limit. */
int64_t nest_stock_most(const struct nest_stock *stock);

/* Parts that come from one plank, set by set: a demand of its own for sets, of which a
 * layout serves the least of counts[member] / per_set, rounded down. No option serves it. */
struct nest_match {
  size_t demand;
  size_t *member;      /* demands */
  int64_t *per_set;    /* at least 1 */
  size_t member_count; /* at least 1 */
};

struct nest_problem {
  int64_t *demand; /* wanted, per demand */
  size_t demand_count;
  struct nest_stock *stocks;
  size_t stock_count;
  cost_t cut_cost; /* of one saw cut */
  struct nest_match *matches;
  size_t match_count;
};

/* Whether a demand is a match's. */
bool nest_is_match(const struct nest_problem *problem, size_t demand);

/* Sets counts[] of the matches' demands from those of their members. */
void nest_count_matches(const struct nest_problem *problem, int64_t *counts);

/* Most pieces of each demand that are of use while `demand` is open: a member may be
 * wanted once more for a set whose other parts lie elsewhere. */
void nest_useful_limits(const struct nest_problem *problem, const int64_t *demand, int64_t *limit);

#endif
