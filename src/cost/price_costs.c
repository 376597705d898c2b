/* What a run costs before anything is sold. */
#include "cost/price.h"

enum { THOUSANDTHS = 1000, THOUSANDTHS_A_CENT = 10 };
#define THOUSANDTHS_AN_HOUR INT64_C(60000) /* of a minute */
#define MONEY_MOST (INT64_MAX / 1024)      /* sums of hundreds of them do not overflow */

int64_t price_scaled(int64_t value, int64_t times, int64_t per) {
  int64_t product = 0;
  if (__builtin_mul_overflow(value, times, &product) || product > INT64_MAX - per)
    return MONEY_MOST;
  int64_t scaled = (product + per / 2) / per;
  return scaled < MONEY_MOST ? scaled : MONEY_MOST;
}

/* Minutes at a rate; hours first, so that long runs at high rates do not saturate. */
static cents_t paid(int64_t minutes, int64_t rate) {
  return price_scaled(minutes / THOUSANDTHS_AN_HOUR, rate, THOUSANDTHS_A_CENT) +
         price_scaled(minutes % THOUSANDTHS_AN_HOUR, rate,
                      THOUSANDTHS_AN_HOUR * THOUSANDTHS_A_CENT);
}

static struct price_bought buy(const struct bought *bought, int64_t sets) {
  struct price_bought made = {.needed = price_scaled(sets, bought->per_set, 1)};
  int64_t whole = made.needed / THOUSANDTHS + (made.needed % THOUSANDTHS > 0);
  made.packs = whole / bought->pack + (whole % bought->pack > 0);
  made.cost = price_scaled(made.packs, bought->price, 1);
  made.used = price_scaled(made.needed, bought->price, bought->pack * THOUSANDTHS);
  return made;
}

static void add_bought(struct arena *arena, const struct project *project,
                       struct price_point *point) {
  point->bought = ARENA_ARRAY(arena, project->bought_count, struct price_bought);
  point->bought_cost = 0;
  point->bought_used = 0;
  for (size_t i = 0; i < project->bought_count; i++) {
    point->bought[i] = buy(&project->bought[i], point->started);
    point->bought_cost += point->bought[i].cost;
    point->bought_used += point->bought[i].used;
  }
}

void price_costs(struct arena *arena, const struct price_table *table, struct price_point *point) {
  const struct price_terms *terms = &table->terms;
  const struct work_time *time = &point->time.total;
  point->started = project_started(table->project, point->sets);
  add_bought(arena, table->project, point);
  point->wood = point->wood_cash + point->wood_rack;
  point->finish = price_scaled(point->started, terms->finish_per_set, THOUSANDTHS_A_CENT);
  point->packing = price_scaled(point->sets, terms->packing_per_set, THOUSANDTHS_A_CENT);
  point->labour = paid(time->attended + time->hand, terms->labour_rate);
  point->machine = paid(time->machine, terms->machine_rate);
  point->stall = terms->stall_fee;
  point->travel = terms->travel;
  point->selling = paid(terms->selling, terms->labour_rate);
  cents_t others = point->finish + point->packing + point->labour + point->machine + point->stall +
                   point->travel + point->selling;
  point->cost = point->wood + point->bought_cost + others;
  point->used_cost = point->wood_consumed + point->bought_used + others;
  point->cash_now = point->wood_cash + point->bought_cost + point->finish + point->packing +
                    point->stall + point->travel;
  point->minutes = time->attended + time->hand + terms->selling;
}
