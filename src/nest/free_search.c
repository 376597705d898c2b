#include "nest/free_search.h"

struct free_search *free_search_create(struct arena *arena, const struct free_job *job,
                                       const uint32_t *stocks, size_t sheet_count, uint64_t seed) {
  struct free_search *search = ARENA_NEW(arena, struct free_search);
  search->state = free_state_create(arena, job, stocks, sheet_count);
  search->random = free_random_seeded(seed);
  search->work = ARENA_ARRAY(arena, 2 * job->item_count + 2, uint32_t);
  search->history = ARENA_ARRAY(arena, FREE_HISTORY_MOST, struct free_score);
  return search;
}

/* 0 .. below - 1 */
static uint32_t draw(struct free_search *search, size_t below) {
  return free_random_below(&search->random, (uint32_t)below);
}

static struct free_way random_way(struct free_search *search) {
  static const uint8_t orders[16] = {
      ORDER_AREA,      ORDER_AREA,       ORDER_AREA,       ORDER_AREA,
      ORDER_LONG_SIDE, ORDER_LONG_SIDE,  ORDER_SHORT_SIDE, ORDER_WIDTH,
      ORDER_HEIGHT,    ORDER_RANDOM,     ORDER_RANDOM,     ORDER_RANDOM,
      ORDER_RANDOM,    ORDER_RESTRICTED, ORDER_RESTRICTED, ORDER_RESTRICTED};
  static const uint8_t rules[8] = {RULE_SHORT_REST, RULE_SHORT_REST, RULE_SHORT_REST,
                                   RULE_SHORT_REST, RULE_LONG_REST,  RULE_ROOM_AREA,
                                   RULE_FULL_SHEET, RULE_LOW};
  static const uint8_t corners[4] = {CORNER_LOW_LEFT, CORNER_NEAR_EDGE, CORNER_NEAR_EDGE,
                                     CORNER_ANY};
  return (struct free_way){orders[draw(search, 16)], (enum free_rule)rules[draw(search, 8)],
                           (enum free_corner)corners[draw(search, 4)], 30};
}

/* A sheet with pieces on it, or SIZE_MAX. */
static size_t draw_sheet(struct free_search *search) {
  const struct free_state *state = search->state;
  for (int tries = 0; tries < 8; tries++) {
    size_t b = draw(search, state->sheet_count);
    if (state->sheets[b]->count > 0) return b;
  }
  return SIZE_MAX;
}

static void take_up_singles(struct free_search *search, uint32_t count) {
  for (uint32_t i = 0; i < count; i++) {
    uint32_t item = draw(search, search->state->job->item_count);
    uint32_t b = search->state->sheet_of[item];
    if (b == FREE_NOWHERE) continue;
    const struct free_sheet *sheet = search->state->sheets[b];
    size_t p = 0;
    while (sheet->pieces[p].item != item) p++;
    free_state_take_up(search->state, b, p);
  }
}

/* What meets a window of a sheet, between a tenth and a half of each side. */
static void take_up_window(struct free_search *search) {
  size_t b = draw_sheet(search);
  if (b == SIZE_MAX) return;
  const struct free_sheet *sheet = search->state->sheets[b];
  const struct free_stock *stock = &search->state->job->stocks[sheet->stock];
  int32_t width = stock->width / 10 + (int32_t)draw(search, (size_t)stock->width * 2 / 5 + 1);
  int32_t height = stock->height / 10 + (int32_t)draw(search, (size_t)stock->height * 2 / 5 + 1);
  struct free_rect window;
  window.left = (int32_t)draw(search, (size_t)stock->width) - width / 2;
  window.bottom = (int32_t)draw(search, (size_t)stock->height) - height / 2;
  window.right = window.left + width;
  window.top = window.bottom + height;
  for (size_t p = sheet->count; p-- > 0;)
    if (free_rects_meet(&search->state->sheets[b]->pieces[p].place, &window))
      free_state_take_up(search->state, b, p);
}

static void take_up_sheet(struct free_search *search) {
  size_t b = draw_sheet(search);
  if (b == SIZE_MAX) return;
  size_t count = search->state->sheets[b]->count;
  if (count <= 12)
    free_state_clear(search->state, b);
  else
    take_up_window(search);
}

static void take_up_some(struct free_search *search) {
  uint32_t kind = draw(search, 16);
  if (kind < 8) {
    take_up_singles(search, 1 + draw(search, 5));
  } else if (kind < 13) {
    take_up_window(search);
    if (kind < 10) take_up_window(search);
  } else {
    take_up_sheet(search);
    if (kind == 15) take_up_singles(search, 1 + draw(search, 3));
  }
}

void free_search_restart(struct free_search *search) {
  const struct free_job *job = search->state->job;
  for (size_t i = 0; i < job->item_count; i++)
    search->state->penalty[i] = job->area[job->demand_of[i]];
  for (size_t b = 0; b < search->state->sheet_count; b++) free_state_clear(search->state, b);
  struct free_way way = random_way(search);
  if (way.order == ORDER_RANDOM) way.order = ORDER_AREA;
  way.skipped = 100;
  free_recreate(search->state, &search->random, &way, search->work);
  free_state_commit(search->state);
}

void free_search_press(struct free_search *search) {
  struct free_state *state = search->state;
  int64_t greatest = 0;
  for (size_t i = 0; i < state->job->item_count; i++)
    if (state->penalty[i] > greatest) greatest = state->penalty[i];
  for (size_t i = 0; i < state->open_count; i++) state->penalty[state->open[i]] += greatest / 8;
  free_state_judge(state);
  free_state_commit(state);
}

bool free_search_run(struct free_search *search, size_t history_size, int64_t patience,
                     int64_t steps_end) {
  struct free_state *state = search->state;
  search->history_size = history_size < FREE_HISTORY_MOST ? history_size : FREE_HISTORY_MOST;
  for (size_t h = 0; h < search->history_size; h++) search->history[h] = state->score;
  search->least = state->score;
  int64_t calm = 0;
  while (state->score.unplaced > 0 && state->sheet_count > 0 && state->steps < steps_end &&
         calm < patience) {
    struct free_score *late = &search->history[(size_t)search->rounds % search->history_size];
    struct free_score before = state->score;
    take_up_some(search);
    struct free_way way = random_way(search);
    free_recreate(state, &search->random, &way, search->work);
    search->rounds++;
    calm++;
    if (!free_score_better(before, state->score) || !free_score_better(*late, state->score))
      free_state_commit(state);
    else
      free_state_undo(state);
    if (free_score_better(state->score, *late)) *late = state->score;
    if (free_score_better(state->score, search->least)) {
      search->least = state->score;
      calm = 0;
    }
  }
  return state->score.unplaced == 0;
}
