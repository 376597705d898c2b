/* Words for one saw cut and for one fixing on the bed, shared by tables and the page. Every text
 * lives in the arena; what comes from the input is not yet made safe to show. */
#ifndef BLANKWRIGHT_WRITE_WORK_WORDS_H
#define BLANKWRIGHT_WRITE_WORK_WORDS_H

#include "write/view.h"

/* "rip", "crosscut", "resaw"; where it is done; which side of the piece is kept. */
const char *cut_kind_text(const struct cut *cut);
const char *cut_saw_text(const struct cut *cut);
const char *cut_keep_side_text(const struct cut *cut);

/* True of a crosscut that only takes an end off. Nobody has a stop at the far end of a plank for
 * it: it is told by what it takes off, blade and all: so much off the "left end". */
bool cut_is_end_trim(const struct cut *cut);
length_t cut_takes_off(const struct cut *cut);
const char *cut_loses_side_text(const struct cut *cut);

/* All cuts by step, cuts of different pieces of stock may alternate; owners[i] is set to what
 * cuts[i] is of. Both have plan->cut_count entries. */
const struct view_cut **cuts_by_step(struct arena *arena, const struct view *view,
                                     const struct view_stock **owners);

/* "lid at x 14 mm, y 14 mm turned": from the router's zero to the corner of the part's outline
 * nearest the load's lower left. */
const char *part_place_text(struct arena *arena, const struct view *view, const struct load *load,
                            const struct held_part *part);

/* The cutter at a place in a fixing's order, what it does and how it is put in: "flat6, pocket 6 mm
 * deep, stick-out 36 mm, slot 2". */
const char *cutter_text(struct arena *arena, const struct view *view, const struct load *load,
                        const struct fixing *fixing, size_t place);

/* What stands for a cutter where no step names one: "default cutter 6 mm". */
const char *default_cutter_text(struct arena *arena, const struct view *view);

/* "hold-down A on the left side, 35 mm from the front edge, 12 mm on the wood". */
const char *clamp_place_text(struct arena *arena, const struct view *view, const struct load *load,
                             const struct held_clamp *clamp);

/* Which edges lie against stops, and what a second fixing changes. */
const char *fixing_stops_text(struct arena *arena, const struct project *project,
                              const struct load *load, const struct fixing *fixing);

/* "top" or "under": the face that is up; "flat", "on edge", "on end". */
const char *fixing_side_text(const struct fixing *fixing);
const char *fixing_stand_text(const struct fixing *fixing);

/* A drawing shows a load with its top up: "as in fixing 2, top up" where it is fixed more than
 * once, else NULL. */
const char *drawn_fixing_text(struct arena *arena, const struct load *load);

/* How far the finished top lies below the raw one; 0 where it is not worked. */
length_t finished_below_raw(const struct view *view, const struct load *load);

#endif
