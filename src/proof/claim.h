/* What a plan.json claims, key by key, before any of it is believed. Lengths in 1/8000
 * mm, money in cents, all of it in the arena of the proof that read it. */
#ifndef BLANKWRIGHT_PROOF_CLAIM_H
#define BLANKWRIGHT_PROOF_CLAIM_H

#include <stdint.h>

#include "proof/fault.h"

#define NO_INDEX SIZE_MAX

/* AXIS_X runs along the stock. A crosscut parts along x, a rip along y. */
enum axis { AXIS_X, AXIS_Y };

/* From low to high along both axes, from the raw lower left corner. */
struct box {
  length_t low[2], high[2];
};

enum claim_grain { CLAIM_ALONG, CLAIM_ACROSS, CLAIM_ANY };
enum claim_way { CLAIM_SAW, CLAIM_BLANK_OF_ITS_OWN, CLAIM_GANG };
enum claim_role { CLAIM_PART, CLAIM_BLANK, CLAIM_LOAD, CLAIM_OFFCUT, CLAIM_RESAW };
enum claim_face_grain { CLAIM_GRAIN_LENGTH, CLAIM_GRAIN_WIDTH, CLAIM_GRAIN_NONE };
enum claim_first_cut { CLAIM_FIRST_CROSSCUT, CLAIM_FIRST_RIP, CLAIM_FIRST_EITHER };

/* Its middle along the part's own length and across it, from the lower left corner. */
struct claim_hole {
  length_t at[2], diameter;
  bool under;
};

struct claim_need {
  const char *part;
  int64_t count, per_set;
  length_t length, width, thickness;
  length_t raw_least, raw_most; /* thickness of its stock; -1 where the plan does not say */
  enum claim_way way;
  bool round;
  enum claim_grain grain;
  const char **woods;
  size_t wood_count; /* none means any wood */
  const char *match; /* or NULL */
  struct claim_hole *holes;
  size_t hole_count;
};

struct claim_flaw {
  struct box box; /* as drawn, not grown */
  const char *what;
  bool rim_ok;
};

struct claim_piece {
  enum claim_role role;
  const char *name;
  const char *part; /* NULL for loads, offcuts and what is resawn */
  const char *load; /* its clamping, or NULL */
  size_t need;      /* index into needs, NO_INDEX for those and unknown parts */
  struct box box;
  bool turned;
  struct box finished;             /* parts and blanks, no strips */
  length_t reach, cutter_diameter; /* blanks, else 0 */
  int64_t strip;                   /* 1.. of so many that are glued up to one; 0: none */
  int64_t glued_strips;
  const char *glued;                  /* the name of what they make, */
  length_t glued_length, glued_width; /* and its size along the part's own; strips only */
  const char *leaf;                   /* CLAIM_RESAW: the stock its leaves are, */
  int64_t leaves;                     /* how many, */
  length_t leaf_thickness;            /* and how thick once cleaned */
};

struct claim_cut {
  int64_t step;
  const char *of; /* the section it cuts */
  enum axis axis; /* along which it parts */
  length_t at[2];
  length_t span, keep;
  bool keep_high, trim;
  bool resaw; /* through the thickness; axis and keep_high say nothing then */
  int64_t fence_setting;
  size_t cautions; /* how many it carries */
};

struct claim_stock {
  const char *stock;
  int64_t copy;
  bool yard, sheet;
  const char *wood;
  length_t length, width, thickness;
  cents_t price;
  int64_t available; /* -1: no limit */
  int64_t pack;
  enum claim_face_grain face_grain;
  length_t trim_ends, trim_edges;
  bool planed;
  length_t crook;          /* -1: the plan does not say, and nothing of being planed either */
  const char *fingerprint; /* of the line on the rack; NULL for none */
  const char *leaf_of;     /* the plank it was split from, or NULL, */
  int64_t leaf_of_copy;
  int64_t leaf; /* and which of its leaves it is, from 1 */
  struct claim_flaw *flaws;
  size_t flaw_count;
  struct claim_piece *pieces;
  size_t piece_count;
  struct claim_cut *cuts;
  size_t cut_count;
};

/* Around a load as it lies on the bed: low x, high x, low y, high y. */
enum claim_side { CLAIM_LEFT, CLAIM_RIGHT, CLAIM_FRONT, CLAIM_BACK };
enum claim_hold { CLAIM_HOLD_ENDS, CLAIM_HOLD_SIDES, CLAIM_HOLD_ALL, CLAIM_HOLD_TAPE };

struct claim_tab {
  length_t at[2];
  enum claim_side side; /* of its part */
};

struct claim_made {
  const char *part, *name;
  size_t need; /* index into needs, NO_INDEX for unknown parts */
  struct box box;
  bool turned;
  struct claim_tab *tabs;
  size_t tab_count;
};

struct claim_clamp {
  const char *clamp;
  enum claim_side side;
  struct box body, keep_out;
};

/* One piece as it is held on the bed; places from its lower left corner there. */
struct claim_load {
  const char *name, *of;
  const struct claim_piece *piece; /* the piece it is, of one glued up its first strip; set by
                                      check_loads, NULL before and for none */
  const struct claim_stock *stock; /* that piece's */
  length_t length, width, thickness;
  bool across;          /* the piece's own length lies along y */
  enum claim_hold hold; /* sides of the piece that are held */
  length_t cutter_diameter, rim, part_gap, reach;
  int64_t clampings, handling; /* thousandths of a minute */
  bool clamped;                /* held by clamps, not by tape */
  struct claim_made *parts;
  size_t part_count;
  struct claim_clamp *clamps;
  size_t clamp_count;
};

struct claim_purchase {
  const char *stock;
  bool yard;
  int64_t used, bought, pack;
  cents_t price, cost;
};

/* A run of so many sets. Money in cents; what a run is not told to have is 0. */
struct claim_quantity {
  int64_t sets;
  cents_t wood, wood_bought, wood_rack;
  cents_t stock_and_handling, bound;
  bool proved;
  cents_t bought_items, finish, packing, labour, machine, stall, travel, selling;
  cents_t cost, cash_now, payment_fees, tax, total, per_set;
  cents_t next_set; /* not of the last quantity */
  cents_t profit, expected;
  bool has_profit, has_expected;
};

struct claim_prices {
  int64_t asked, recommended; /* 0: none */
  int64_t cheapest;
  bool priced;
  cents_t price;
  struct claim_quantity *quantities;
  size_t quantity_count;
  struct claim_crossing {
    int64_t sets;
    bool pays;
  } * crossings;
  size_t crossing_count;
  struct claim_range {
    int64_t first, last;
  } * same_wood;
  size_t same_wood_count;
};

/* Of the run by what they are spent on, in thousandths; as they are paid for. */
struct claim_minutes {
  int64_t cutting, changing_cutters, probing, fixing, sawing, fence_settings, tabs, other_hand;
  int64_t machine, attended, hand;
};

struct claim {
  const char *project;
  int64_t sets;
  bool most;
  length_t kerf[2];   /* by axis: crosscut, rip */
  int64_t saw_stages; /* 0: any */
  enum claim_first_cut first_cut;
  length_t flaw_margin, split_margin;
  length_t glue_per_edge;                             /* -1: nothing is glued up */
  length_t resaw_kerf, resaw_clean, resaw_max_height; /* -1: nothing is resawn */
  length_t offcut_min_length, offcut_min_width;
  cents_t labour_rate;                                      /* per hour */
  int64_t saw_cut_min;                                      /* thousandths of a minute; */
  int64_t setup_min, fence_setting_min, tab_clean_min;      /* -1: the plan does not say */
  length_t rip_min_length, rip_capacity, crosscut_capacity; /* 0 does not bind */
  bool rules_kept;
  bool gang_as_blanks;
  struct claim_need *needs;
  size_t need_count;
  struct claim_stock *stocks;
  size_t stock_count;
  struct claim_load *loads;
  size_t load_count;
  struct claim_purchase *purchases;
  size_t purchase_count;
  cents_t cost_stock, cost_handling, cost_total, bound;
  bool proved;
  double yield, waste, offcut_share;
  int64_t fence_settings, cut_count;
  struct claim_minutes *minutes; /* NULL: the plan does not say */
  struct claim_prices *prices;   /* NULL: the run is not priced */
};

/* Reads a plan. STATUS_BAD_INPUT: the text is no plan of a known format (one fault
 * says why, *claim is NULL). STATUS_PROOF_FAILED: keys are missing or wrong (one fault
 * each). STATUS_OK: every key is there and of its type. Sets the proof's unit. */
enum status claim_read(struct proof *proof, const char *text, size_t length, struct claim **claim);

/* "'W1' copy 1" and "piece 'board 7' of 'W1' copy 1", for messages. */
const char *stock_text(struct proof *proof, const struct claim_stock *stock);
const char *piece_text(struct proof *proof, const struct claim_stock *stock,
                       const struct claim_piece *piece);

/* What is left of the stock between its trims. */
struct box usable_box(const struct claim_stock *stock);

static inline length_t box_extent(const struct box *box, enum axis axis) {
  return box->high[axis] - box->low[axis];
}

/* True when the insides share a point. */
static inline bool box_meets(const struct box *a, const struct box *b) {
  return a->low[AXIS_X] < b->high[AXIS_X] && b->low[AXIS_X] < a->high[AXIS_X] &&
         a->low[AXIS_Y] < b->high[AXIS_Y] && b->low[AXIS_Y] < a->high[AXIS_Y];
}

static inline bool box_inside(const struct box *inner, const struct box *outer) {
  return inner->low[AXIS_X] >= outer->low[AXIS_X] && inner->high[AXIS_X] <= outer->high[AXIS_X] &&
         inner->low[AXIS_Y] >= outer->low[AXIS_Y] && inner->high[AXIS_Y] <= outer->high[AXIS_Y];
}

static inline bool box_same(const struct box *a, const struct box *b) {
  return box_inside(a, b) && box_inside(b, a);
}

static inline struct box box_grown(const struct box *box, length_t x, length_t y) {
  return (struct box){{box->low[AXIS_X] - x, box->low[AXIS_Y] - y},
                      {box->high[AXIS_X] + x, box->high[AXIS_Y] + y}};
}

#endif
