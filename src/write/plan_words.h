/* Sentences about a plan that the summary and the page share, so that both say the same. Every
 * text and list lives in the arena; what comes from the input is not yet made safe to show. */
#ifndef BLANKWRIGHT_WRITE_PLAN_WORDS_H
#define BLANKWRIGHT_WRITE_PLAN_WORDS_H

#include "write/view.h"

struct text_list {
  const char **items;
  size_t count, room;
};

/* "s" for all counts but 1. */
const char *plural_ending(int64_t count);

/* A share (0..1) as "12.3 %". */
const char *percent_text(struct arena *arena, double share);

/* "4", or of a pack "10 (1 pack of 10, 7 used)". */
const char *pieces_text(struct arena *arena, const struct stock *stock,
                        const struct purchase *purchase);

/* What the copies of one stock and their leaves are cut into, part by part: "12 x board, 3 x lid, 2
 * offcuts". `times` stands for "x" here and below. */
const char *yields_text(struct arena *arena, const struct view *view, size_t stock,
                        const char *times);

/* What is counted as handling, and at which rate; its minutes by what they are of, NULL where it
 * costs nothing. */
const char *handling_text(struct arena *arena, const struct view *view);
const char *handling_minutes_text(struct arena *arena, const struct view *view);

/* What is proved about the cost: of all plans, and of those of the loads that were tried. */
void list_bounds(struct arena *arena, const struct view *view, struct text_list *list);

/* That the search was stopped and what that means; NULL where it ran to its end. */
const char *interruption_text(const struct view *view);

/* What a load makes: "2 x lid, 4 x spacer"; by what it is held: "2 x hold-down A". */
const char *made_text(struct arena *arena, const struct view *view, const struct view_load *held,
                      const char *times);
const char *held_by_text(struct arena *arena, const struct view *view, const struct load *load,
                         const char *times);

/* Hours from thousandths of a minute: "1.5 h". */
const char *hours_text(struct arena *arena, int64_t minutes);

/* One kind of work by hand and its thousandths of a minute. */
struct hand_work {
  const char *label;
  int64_t minutes;
};

enum { HAND_WORK_KINDS = 5 };

/* The kinds that take any time, in the order of a day; returns how many there are. */
size_t hand_work_of(const struct run_time *time, struct hand_work work[HAND_WORK_KINDS]);

/* "router 4.9 h, of which 1.5 h attended; by hand 1.8 h: saw 0.6 h, ...", hours written by
 * `hours`; what takes no time is left out. */
const char *times_text(struct arena *arena, const struct run_time *time,
                       const char *(*hours)(struct arena *arena, int64_t minutes));

/* Glued-up blanks of a kind, an item each, and planks that are resawn. */
void list_glue_ups(struct arena *arena, const struct view *view, struct text_list *list);
void list_resawing(struct arena *arena, const struct view *view, struct text_list *list);

/* What to beware of at the saw, on the bed and in gluing up; nothing of what always holds. */
void list_cautions(struct arena *arena, const struct view *view, struct text_list *list);

/* Parts that could not be placed, and why. */
void list_unplaced(struct arena *arena, const struct view *view, struct text_list *list);

/* Adds a formatted item. */
void list_add(struct arena *arena, struct text_list *list, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

#endif
