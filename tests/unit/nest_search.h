/* A search of its own for the tests of what nest_solve() is made of. */
#ifndef BLANKWRIGHT_TESTS_NEST_SEARCH_H
#define BLANKWRIGHT_TESTS_NEST_SEARCH_H

#include "nest/generate.h"
#include "nest_fixture.h"

enum { JOB_DEMANDS = 8, JOB_STOCKS = 3 };

/* Pieces wanted and the stock for them; every stock may yield every piece, one option a demand. */
struct job {
  struct nest_problem problem;
  struct nest_stock stocks[JOB_STOCKS + JOB_DEMANDS]; /* room for pieces not made */
  size_t stock_count;                                 /* without those */
  struct nest_option options[JOB_DEMANDS];
  int64_t demand[JOB_DEMANDS];
  int64_t given[JOB_DEMANDS][JOB_DEMANDS];
};

void job_open(struct job *job);

/* `times` pieces of a size. */
void job_piece(struct job *job, length_t length, length_t width, int64_t times);

/* A stock as plain_stock() has it, `count` of it, -1 for any number. The pointer holds. */
struct nest_stock *job_stock(struct job *job, length_t length, length_t width, length_t kerf,
                             int64_t count, cost_t cost);

/* A search for the job with no plan yet, pieces not made at `not_made` each, and `steps` allowed.
 * Another may follow it; nothing is added to the job any more. */
struct search *job_search(struct arena *arena, struct job *job, cost_t not_made, int64_t steps);

/* All that the job wants and has. */
struct region job_region(struct arena *arena, const struct search *search);

/* Fails the test where the search's best plan is not one: trees its stocks allow, just the pieces
 * wanted, no more stock than there is, its cost. Returns how many of the pieces are not made. */
int64_t job_check_best(const struct job *job, const struct search *search);

#endif
