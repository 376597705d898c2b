#include "unit/price_fixture.h"

int price_bench_open(void **state) {
  struct arena *arena = arena_create();
  if (arena == NULL) return -1;
  struct price_bench *bench = ARENA_NEW(arena, struct price_bench);
  bench->arena = arena;
  bench->project.name = "bench";
  *state = bench;
  return 0;
}

int price_bench_close(void **state) {
  struct price_bench *bench = *state;
  arena_destroy(bench->arena);
  return 0;
}

void price_bench_money(struct price_bench *bench, const char *name, int64_t value) {
  struct project *project = &bench->project;
  *ARENA_PUSH(bench->arena, project->money, project->money_count, project->money_room) =
      (struct money_item){name, value, NULL};
}

void price_bench_bought(struct price_bench *bench, const char *name, int64_t per_set, int64_t pack,
                        cents_t price) {
  struct project *project = &bench->project;
  *ARENA_PUSH(bench->arena, project->bought, project->bought_count, project->bought_room) =
      (struct bought){name, per_set, pack, price};
}

struct price_table *price_bench_table(struct price_bench *bench, int64_t count, cents_t each,
                                      cents_t whole, int64_t per, int64_t minutes) {
  bench->table = price_table_create(bench->arena, &bench->project, count, 0);
  for (int64_t n = 1; n <= count; n++) {
    struct price_point *point = &bench->table->points[n - 1];
    int64_t begun = per == 0 ? 0 : (n + per - 1) / per;
    point->wood_cash = n * each + begun * whole;
    point->wood_consumed = n * each + (per == 0 ? 0 : n * whole / per);
    point->pieces = begun;
    point->plan_cost = point->plan_bound = point->wood_cash;
    point->proved = true;
    point->time.total.hand = n * minutes;
    point->time.hand = n * minutes;
  }
  return bench->table;
}
