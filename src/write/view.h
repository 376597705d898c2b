/* A neutral view of a plan, from which every format is written: each piece of stock
 * that is cut, with named pieces, waste, flaws and cuts. It is made once, is only read
 * afterwards, and lives in the arena it was made in; it points into the project, the
 * blanks and the plan, which must outlive it. All places are from the raw lower left
 * corner of their stock, in 1/8000 mm. */
#ifndef BLANKWRIGHT_WRITE_VIEW_H
#define BLANKWRIGHT_WRITE_VIEW_H

#include "model/plan.h"
#include "model/price.h"

struct view_place {
  length_t x, y, length, width;
};

struct view_piece {
  enum role role;            /* ROLE_PART, ROLE_BLANK, ROLE_LOAD, ROLE_OFFCUT, or ROLE_RESAW: what
                                the trims leave of a plank that is to be resawn into leaves */
  const char *name;          /* unique within the plan: "board 7", "load L3", "offcut W1-1a" */
  const char *rack_name;     /* an offcut's name on the rack, no stock has it yet; else NULL */
  size_t part;               /* SIZE_MAX for offcuts and what is resawn */
  const struct blank *blank; /* NULL for those */
  struct view_place place;
  struct view_place finished; /* the finished part inside, centred; nothing for offcuts, strips,
                                 loads and what is resawn */
  size_t load;                /* index into the view's loads; SIZE_MAX: it is not held on the bed */
  bool turned;
  int64_t strip;            /* 1.. of blank->strips that are glued up to one; 0: none */
  const char *glued;        /* name of what it is glued up to: "board 7"; NULL: nothing */
  const struct stock *leaf; /* ROLE_RESAW: the leaves; else NULL */
};

/* A part that is made in a load. */
struct view_made {
  const struct held_part *held;
  const char *name; /* "lid 12" */
};

/* One piece as it is held on the bed: a load, or a blank with its one part. */
struct view_load {
  const char *name; /* "L7" */
  const char *of;   /* of the piece: "board 7", "load L3" */
  const struct load *load;
  const struct stock *stock;
  struct view_made *made; /* those wanted; the rest of a load's parts is left out */
  size_t made_count;
  size_t like;         /* index of the first load that is the same but for the names */
  const char *drawing; /* "load-2.svg", the same for those alike */
};

/* True for pieces that the finished part is drawn inside of. */
static inline bool view_has_finished(const struct view_piece *piece) {
  return piece->finished.length > 0;
}

struct view_cut {
  const struct cut *cut;
  const char *of;   /* name of the piece that is cut */
  const char *kept; /* what lies between fence or stop and the kerf */
  const char *rest; /* what lies beyond the kerf; NULL where nothing is left */
};

struct view_stock {
  size_t index; /* into the project's stocks */
  const struct stock *stock;
  int64_t copy;
  const char *title;         /* "W1-1" */
  const char *drawing;       /* file name of its drawing: "layout-W1-1.svg" */
  struct view_piece *pieces; /* from low to high; offcuts among them */
  size_t piece_count;
  struct view_place *waste;
  size_t waste_count;
  const struct flaw **flaws; /* those of this copy, not grown */
  size_t flaw_count;
  struct view_cut *cuts; /* in order of work */
  size_t cut_count;
  struct view_cut *resaws; /* in order of work; before all cuts of its leaves */
  size_t resaw_count;
};

struct view {
  const struct project *project;
  const struct blanks *blanks;
  const struct plan *plan;
  const struct step_list *steps; /* per part */
  enum unit unit;
  struct view_stock *stocks; /* by stock as in the project, then by copy */
  size_t stock_count;
  struct view_load *loads; /* in the order of their pieces */
  size_t load_count, load_room;
  double yield, offcut_share, waste; /* shares of the area of all stock cut */
  const struct price_table *prices;  /* NULL where the run is not priced; set behind view_create */
};

/* Names the pieces, loads and offcuts and says what each is cut from; without prices. */
struct view *view_create(struct arena *arena, const struct project *project,
                         const struct blanks *blanks, const struct plan *plan);

/* Where a part of a piece's load comes to lie in the stock. */
struct view_place view_made_place(const struct view *view, const struct view_piece *piece,
                                  const struct view_made *made);

/* What a drawing of a load stands for: "L1 to L12, 12 alike", "L3, board 7", "L28". */
const char *view_load_title(struct arena *arena, const struct view *view, size_t index);

/* Of all loads that are this one: "L1 to L12, L19"; NULL for none. */
const char *view_load_names(struct arena *arena, const struct view *view, const struct load *load);

/* The strip that a tab bridges, on the load it stands in. */
struct view_place view_tab_place(const struct view *view, const struct load *load,
                                 const struct tab *tab);

/* True when a flaw (not grown) reaches into a place. */
bool view_overlap(const struct view_place *place, const struct flaw *flaw);

/* Which raw thickness serves a part, by the rule on facing; from 0 to LENGTH_MAX. */
void view_raw_thickness(const struct shop *shop, const struct part *part, length_t *least,
                        length_t *most);

/* A finished part as "240 x 72", turned with its own length across; a round as "88 across". */
const char *view_part_size(struct arena *arena, enum unit unit, const struct part *part,
                           bool turned, const char *times);

/* "268 x 100", each number printed and rounded as length_text does; *rounded may be NULL. */
const char *view_size(struct arena *arena, enum unit unit, length_t length, length_t width,
                      const char *times, enum rounding rounding, bool *rounded);

/* True when a setting the owner reads off their own machine bears on this plan
 * (`plan` NULL: on these blanks) and still has its default. */
bool view_default_mattered(const struct project *project, const struct blanks *blanks,
                           const struct plan *plan, enum setting setting);

#endif
