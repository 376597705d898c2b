/* A project put together in memory: kerfs of 3 mm, no trims, margins or allowances, sizes to
 * the millimetre, labour at nothing. The shop's rules are the stated defaults. */
#ifndef BLANKWRIGHT_TESTS_NEST_WORKSHOP_H
#define BLANKWRIGHT_TESTS_NEST_WORKSHOP_H

#include "nest/plan_run.h"
#include "nest_fixture.h"

enum { WORKSHOP_MOST = 6 };

struct workshop {
  struct arena *arena;
  struct project project;
  struct part parts[WORKSHOP_MOST];
  struct stock stocks[WORKSHOP_MOST];
  struct blanks blanks;
  struct diagnostics *diagnostics;
};

void workshop_open(struct arena *arena, struct workshop *workshop);

/* A sawn part 20 mm thick of any wood, its grain along; sizes in mm. */
struct part *workshop_part(struct workshop *workshop, const char *name, int64_t per_set,
                           int64_t length, int64_t width);

/* A planed plank 20 mm thick without trims; count -1 for no limit, value in cents. */
struct stock *workshop_plank(struct workshop *workshop, const char *name, enum source source,
                             int64_t length, int64_t width, int64_t count, cents_t value);

/* A flaw of the last stock, in mm. copy 0 for every copy. */
struct flaw *workshop_flaw(struct workshop *workshop, int64_t copy, int64_t x, int64_t y,
                           int64_t length, int64_t width);

/* Sizes the blanks, without a fault, and plans. */
enum status workshop_plan(struct workshop *workshop, const struct nest_run_options *options,
                          struct plan *plan);

/* Checks what every plan must be: layouts within the raw piece and clear of flaws as grown,
 * each copy of a stock cut once and no more of them than there are, as many pieces as needed
 * less those unplaced, sums of stock, packs, cuts and labour, the bound. */
void workshop_check(struct workshop *workshop, const struct plan *plan);

/* Fails the test where two plans differ in costs, bound, steps or layouts. */
void workshop_assert_same(const struct plan *a, const struct plan *b);

#endif
