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
 * trims a single piece). Rules bind every cut, the trims too.
 *
 * Demands come in three kinds: parts; matches (see nest_match); and, last, rows that couple: of
 * them nothing is wanted at the end, but what makes and what takes their units must balance. An
 * assembly takes strips and makes a blank, or takes a sawn load and makes the parts in it; a plank
 * that is split makes leaves, and every layout of a leaf takes one. */
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

/* A plank split through its thickness instead of cut as it is: one piece of the stock (trims
 * made) yields so many units of a row that couples. */
struct nest_split {
  size_t demand;  /* the row */
  int64_t leaves; /* at least 1 */
  int64_t cuts;   /* of the resaw */
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
      *given;    /* NULL for stock to cut; else pieces per demand that one unit yields as it is */
  bool assembly; /* `given` makes pieces of parts and takes units of rows that couple, which are
                    below 0 in it; `cost` is its handling, and it is no piece of stock */
  bool is_leaf;  /* each layout takes one unit of leaf_demand, a row that couples */
  size_t leaf_demand;
  struct nest_split *splits; /* further ways to use a piece of this stock */
  size_t split_count;
  size_t stock; /* handed through */
};

/* Whether layouts are cut from it at all: neither given as it is nor only split. */
bool nest_is_cut(const struct nest_stock *stock);

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

struct nest_extents {
  length_t length, width; /* along x and y */
};

/* What loads of some parts come to at least. */
struct nest_least {
  const int64_t *counts; /* per demand: pieces in it */
  cost_t cost;           /* its handling */
  size_t *first_size; /* sizes of stock s: first_size[s] .. first_size[s + 1] - 1, stock_count + 1
                         entries; a stock without sizes is one it is not sawn from */
  struct nest_extents *sizes; /* it is as long and as wide as one of them */
  length_t most;              /* neither longer nor wider */
};

/* What holds of all loads there could be, of which the assemblies list only some. */
struct nest_loads {
  length_t *grown_area; /* per demand: of stock that one piece takes at least, in whatever load, the
                           kerfs of the load's edges included; 0: not made in loads */
  int64_t *share;       /* per demand: of a load that one piece fills at least, in millionths */
  cost_t least_cost;    /* handling of a load at least */
  struct nest_least *least; /* each load is matched by one that holds as many of each part or more;
                               none where that is not known */
  size_t least_count;
};

struct nest_problem {
  int64_t *demand; /* wanted, per demand; of rows that couple 0 */
  size_t demand_count;
  size_t coupling_count; /* so many of the last demands are rows that couple */
  struct nest_stock *stocks;
  size_t stock_count;
  cost_t cut_cost; /* of one saw cut */
  struct nest_match *matches;
  size_t match_count;
  const struct nest_loads *loads; /* or NULL */
};

/* Whether a demand is a match's. */
bool nest_is_match(const struct nest_problem *problem, size_t demand);

/* Whether a demand is a row that couples. What is open of it may be below 0: made, not yet
 * taken. */
bool nest_is_coupling(const struct nest_problem *problem, size_t demand);

/* The assembly that takes one piece of a row that couples; NULL where there is none, or more than
 * one, or it takes more. */
const struct nest_stock *nest_assembly_of(const struct nest_problem *problem, size_t row);

/* Sets counts[] of the matches' demands from those of their members. */
void nest_count_matches(const struct nest_problem *problem, int64_t *counts);

/* Most pieces of each demand that are of use while `demand` is open: a member may be
 * wanted once more for a set whose other parts lie elsewhere; strips for every blank that can
 * still be assembled. */
void nest_useful_limits(const struct nest_problem *problem, const int64_t *demand, int64_t *limit);

/* Pieces a plan for `demand` is cut into at most, when none is cut without use. */
int64_t nest_most_pieces(const struct nest_problem *problem, const int64_t *demand);

/* Assembles what can be from the units of rows that couple which are made and not taken,
 * for as long as any of its parts is wanted, first where all of them are; parts beyond the demand
 * are left out of it. times[] (may be NULL) counts per stock. */
void nest_assemble(const struct nest_problem *problem, int64_t *demand, int64_t *times);

#endif
