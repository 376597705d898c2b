/* Whether given sheets hold a job laid freely: a few pieces are taken up and laid anew, again and
 * again, and changes are kept by late acceptance (Burke, Bykov, Eur. J. Oper. Res. 258 (2017)). */
#ifndef BLANKWRIGHT_NEST_FREE_SEARCH_H
#define BLANKWRIGHT_NEST_FREE_SEARCH_H

#include "nest/free_recreate.h"

struct free_search {
  struct free_state *state;
  struct free_random random;
  uint32_t *work;
  struct free_score *history;
  size_t history_size;
  struct free_score least; /* the best score met since the last start */
  int64_t rounds;
};

enum { FREE_HISTORY_MOST = 5000 };

/* Sheets of the stocks given, nothing laid yet. */
struct free_search *free_search_create(struct arena *arena, const struct free_job *job,
                                       const uint32_t *stocks, size_t sheet_count, uint64_t seed);

/* Lays everything anew in a random order; penalties are areas again. */
void free_search_restart(struct free_search *search);

/* Raises the penalties of what is open: the search goes on from where it is and turns to those
 * pieces first. Penalties against ejection after Nagata, Braysy, Oper. Res. Lett. 37 (2009). */
void free_search_press(struct free_search *search);

/* Rounds until all is laid, or the state's steps reach `steps_end`, or nothing became better for
 * `patience` rounds. True when all is laid. */
bool free_search_run(struct free_search *search, size_t history_size, int64_t patience,
                     int64_t steps_end);

#endif
