/* What to beware of on the bed. Each caution is fired by its own check, with its numbers, and is
 * silent otherwise. */
#ifndef BLANKWRIGHT_HOLD_CAUTION_H
#define BLANKWRIGHT_HOLD_CAUTION_H

#include "hold/height.h"
#include "hold/part_work.h"
#include "hold/tabs.h"

enum hold_caution_kind {
  HOLD_CAUTION_MEETS_CLAMP, /* cutter, shank or nut */
  HOLD_CAUTION_NUT,         /* lower than a clamp at full depth: more is kept clear around it */
  HOLD_CAUTION_CUT_THROUGH, /* can't be: flute, need, deepest, how to finish */
  HOLD_CAUTION_HEIGHT,      /* daylight, travel, nut on the stock, flutes */
  HOLD_CAUTION_TABS_WEAK,   /* they could shear under the cutting force */
  HOLD_CAUTION_TAB_HIGH,    /* over half the thickness */
  HOLD_CAUTION_TAB_LOW,     /* under 1.2 mm */
  HOLD_CAUTION_TABS_FEW,    /* fewer places than wanted, or not on two opposite sides */
  HOLD_CAUTION_SPAN,        /* held over more than 15 times the stock's thickness */
  HOLD_CAUTION_SIDE_CLAMP,  /* on stock thinner than side_clamp_min_stock */
  HOLD_CAUTION_WASTE_BOARD, /* under 6 mm (1/4 in), or overcut over a third of it */
  HOLD_CAUTION_SMALL_PART,  /* freed with a side under 25 mm (1 in) */
  HOLD_CAUTION_MOVEMENT,    /* beyond fit */
  HOLD_CAUTION_FLOOR,       /* less than floor_min left */
  HOLD_CAUTION_CHIP_LOAD,   /* outside 0.02 to 0.10 mm */
  HOLD_CAUTION_FACING,      /* more than 3 mm (1/8 in) off one face */
  HOLD_CAUTION_FACE_DEPTH,  /* face steps do not leave the part's thickness */
  HOLD_CAUTION_TOO_DEEP     /* a hole or pocket deeper than there is of the part */
};
enum { HOLD_CAUTION_KINDS = HOLD_CAUTION_TOO_DEEP + 1 };

/* A subject field that does not apply is NULL or SIZE_MAX. */
struct hold_caution {
  enum hold_caution_kind kind;
  const char *load;        /* its name */
  size_t part;             /* index into parts */
  const struct step *step; /* of the part */
  size_t cutter;           /* index into cutters, where no step is meant */
  const char *text;        /* lower case, what is wrong first, no full stop */
};

struct hold_cautions {
  struct arena *arena; /* all lives in it */
  struct hold_caution *items;
  size_t count, room;
};

/* Two or three words, for a heading. */
const char *hold_caution_name(enum hold_caution_kind kind);

/* "load 'L1', part 'lid', profile with 'flat3'"; "the shop" where there is no subject. */
const char *hold_caution_subject(struct arena *arena, const struct project *project,
                                 const struct hold_caution *caution);

/* Of the shop and its cutters: waste board and overcut; chip load of every cutter that a step on
 * the bed mills with. To be called once for a project; adds nothing where its router is not used.
 */
void hold_caution_shop(struct hold_cautions *cautions, const struct project *project);

/* Of one part of `wood` (NULL: not settled) and `kind`: small once it is freed, movement, floor
 * under pockets, holes and pockets deeper than it. `steps` are the part's own. */
void hold_caution_part(struct hold_cautions *cautions, const struct project *project, size_t part,
                       const struct step *const *steps, size_t step_count, enum stock_kind kind,
                       const char *wood);

/* Of one part out of stock `raw` thick: much off one face, and face steps whose depths do not come
 * to what is to be taken off. To be called once for each thickness. */
void hold_caution_faces(struct hold_cautions *cautions, const struct project *project, size_t part,
                        const struct step *const *steps, size_t step_count, length_t raw);

/* Of the heights of one clamping of one part (height_check): what cannot be cut through, and what
 * the machine has no room for. Nut against clamps is hold_caution_load's: it knows how near. */
void hold_caution_heights(struct hold_cautions *cautions, const struct project *project,
                          const char *load, size_t part, const struct heights *heights);

/* A nut that comes lower than the clamps it works between (HEIGHT_NUT_CLAMP), each step and kind of
 * clamp once: how much further than `clear_gap` it is kept away for that, and what stick-out would
 * do. `keep_outs` are those of the clamps looked at. */
void hold_caution_nuts(struct hold_cautions *cautions, const struct project *project,
                       const char *load, size_t part, const struct heights *heights,
                       const struct clamp *clamps, const length_t *keep_outs);

/* A load with its parts, clamps and fixings. `clamps` are those that held_clamp counts in. */
struct caution_load {
  const struct project *project;
  const char *name;
  const struct load *load;
  const struct clamp *clamps;
  const struct part_work *works; /* per part of the project */
};

/* Clamps that are met in any fixing that lies flat, the span between clamps, side clamps on thin
 * stock. */
void hold_caution_load(struct hold_cautions *cautions, const struct caution_load *load);

/* Tabs of one part that were placed (tabs_place). */
void hold_caution_tabs(struct hold_cautions *cautions, const struct project *project,
                       const char *load, size_t part, const struct tab_result *result);

/* How a part is cut free: all its steps, the stock's thickness and wood (NULL: not settled). */
struct tab_cut {
  const struct step *const *steps;
  size_t step_count;
  length_t raw;
  const char *wood;
};

/* Whether all tabs of a part together bear the cut that frees it, at the safety it is held with
 * (force_of_step, force_tab). */
void hold_caution_tab_force(struct hold_cautions *cautions, const struct project *project,
                            const char *load, size_t part, const struct tab_result *result,
                            const struct tab_cut *cut);

/* For the checks: adds one with no subject; its fields are then filled in. */
struct hold_caution *hold_caution_add(struct hold_cautions *cautions, enum hold_caution_kind kind,
                                      const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* For the checks: a length with its unit, to the nearest that is printed. */
const char *hold_caution_length(const struct hold_cautions *cautions, const struct project *project,
                                length_t value);

#endif
