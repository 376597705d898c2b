/* What flawed.c knows of parts of a flawed stock, for those who look at more layouts than the best:
 * areas by their edges, where parts of a row may start, what a part is worth at most. */
#ifndef BLANKWRIGHT_NEST_FLAWED_AREAS_H
#define BLANKWRIGHT_NEST_FLAWED_AREAS_H

#include "nest/flawed.h"

/* A rectangle by its edges, in usable coordinates. */
struct area {
  length_t low[2];
  length_t high[2];
};

static inline enum division area_across(enum division along) {
  return along == DIVIDE_LENGTH ? DIVIDE_WIDTH : DIVIDE_LENGTH;
}

static inline length_t area_extent(const struct area *area, enum division along) {
  return area->high[along] - area->low[along];
}

/* Places where a part of a row may start, ascending: the row's own start or a place
 * behind a flaw, and from there any sum of parts; and, since parts that end with the row
 * save a cut, places from which a sum of parts ends with it. */
struct starts {
  length_t *at;
  size_t count;
  size_t *base; /* indexes of places that waste may lead to */
  size_t base_count;
};

/* Begins a search at new worths: nothing is known of any area. What is found lives in the arena;
 * about `steps` may be taken. */
void flawed_open(struct arena *arena, struct flawed *flawed, const cost_t *option_worth,
                 int64_t steps);

/* As flawed_search, after flawed_open; what it learns of areas stays known. */
void flawed_run(struct flawed *flawed, struct node *root, cost_t *worth, cost_t *bound);

/* Whether no flaw reaches into an area. */
bool flawed_is_clear(const struct flawed *flawed, const struct area *area);

/* Whether an option may lie with its low corner at (x, y). */
bool flawed_option_is_clear(const struct flawed *flawed, const struct nest_option *option,
                            length_t x, length_t y);

length_t flawed_kerf(const struct flawed *flawed, enum division along);

/* Whether the saw's rules let an area be divided along `along`. */
bool flawed_may_divide(const struct flawed *flawed, enum division along, const struct area *area);

/* Where in an area a single piece need only be looked for along a direction, besides its ends:
 * behind flaws; ascending, at most flawed_most_places. Returns how many. */
size_t flawed_places(const struct flawed *flawed, const struct area *area, enum division along,
                     length_t *places);
size_t flawed_most_places(const struct flawed *flawed);

/* In the arena of the search; must_divide: no part may be the whole area. */
struct starts flawed_starts(struct flawed *flawed, const struct area *area, enum division along,
                            bool must_divide);

/* Marks the starts that a part which begins at `from` need end before, of a row in so many stages:
 * where cuts are free only those where something in it can end that is pushed down to the part's
 * low edge, to a flaw in it or, where one ends before the first cut does, to that cut. */
void flawed_find_ends(struct flawed *flawed, const struct starts *starts, enum division along,
                      int stages, size_t from, bool *ends);

/* The most an area is worth in so many stages, divided next along `along`, with any number of
 * copies; *guess: looking into it may tell less. */
cost_t flawed_most(struct flawed *flawed, const struct area *area, int stages, enum division along,
                   bool *guess);

/* Looks into an area, for as long as there are steps. */
void flawed_look_into(struct flawed *flawed, const struct area *area, int stages,
                      enum division along);

#endif
