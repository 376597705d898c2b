#include "nest/free_state.h"

#include <math.h>
#include <string.h>

static void reserve_pieces(struct arena *arena, struct free_sheet *sheet, size_t room) {
  if (room <= sheet->room) return;
  size_t grown = sheet->room < 8 ? 8 : sheet->room;
  while (grown < room) grown *= 2;
  sheet->pieces = arena_grow(arena, sheet->pieces, sheet->count, grown, sizeof *sheet->pieces);
  sheet->room = grown;
}

static void measure_rooms(struct free_sheet *sheet) {
  sheet->widest = 0;
  sheet->tallest = 0;
  for (size_t i = 0; i < sheet->rooms.count; i++) {
    const struct free_rect *room = &sheet->rooms.items[i];
    if (room->right - room->left > sheet->widest) sheet->widest = room->right - room->left;
    if (room->top - room->bottom > sheet->tallest) sheet->tallest = room->top - room->bottom;
  }
}

/* area to the power of 5/4: square roots are exact to the last bit on every machine. */
static int64_t gather(int64_t area) {
  if (area <= 0) return 0;
  double left = (double)area;
  return (int64_t)(left * sqrt(sqrt(left)));
}

static void empty_sheet(struct free_state *state, struct free_sheet *sheet) {
  const struct free_stock *stock = &state->job->stocks[sheet->stock];
  sheet->count = 0;
  free_rects_copy(state->arena, &sheet->rooms, &stock->empty);
  sheet->area = stock->area;
  measure_rooms(sheet);
}

size_t free_state_add_sheet(struct free_state *state, uint32_t stock) {
  size_t b = state->sheet_count;
  if (b == state->sheet_room) {
    size_t room = b < 8 ? 8 : 2 * b;
    state->sheets = arena_grow(state->arena, state->sheets, b, room, sizeof *state->sheets);
    state->saved = arena_grow(state->arena, state->saved, 0, room, sizeof *state->saved);
    state->touched = arena_grow(state->arena, state->touched, 0, room, sizeof *state->touched);
    state->sheet_room = room;
  }
  struct free_sheet *sheet = ARENA_NEW(state->arena, struct free_sheet);
  sheet->stock = stock;
  empty_sheet(state, sheet);
  sheet->gathered = gather(sheet->area);
  state->score.gathered += sheet->gathered;
  state->old_score = state->score;
  state->sheets[b] = sheet;
  state->sheet_count++;
  return b;
}

struct free_state *free_state_create(struct arena *arena, const struct free_job *job,
                                     const uint32_t *stocks, size_t sheet_count) {
  struct free_state *state = ARENA_NEW(arena, struct free_state);
  state->arena = arena;
  state->job = job;
  state->sheet_of = ARENA_ARRAY(arena, job->item_count, uint32_t);
  state->penalty = ARENA_ARRAY(arena, job->item_count, int64_t);
  state->open = ARENA_ARRAY(arena, job->item_count, uint32_t);
  state->old_open = ARENA_ARRAY(arena, job->item_count, uint32_t);
  for (size_t i = 0; i < job->item_count; i++) {
    state->sheet_of[i] = FREE_NOWHERE;
    state->open[i] = (uint32_t)i;
    state->penalty[i] = job->area[job->demand_of[i]];
    state->score.unplaced += state->penalty[i];
  }
  state->open_count = job->item_count;
  for (size_t b = 0; b < sheet_count; b++) free_state_add_sheet(state, stocks[b]);
  free_state_commit(state);
  return state;
}

static struct free_sheet *take_spare(struct free_state *state) {
  if (state->spare_count > 0) return state->spare[--state->spare_count];
  return ARENA_NEW(state->arena, struct free_sheet);
}

static struct free_sheet *touch(struct free_state *state, size_t b) {
  struct free_sheet *sheet = state->sheets[b];
  if (sheet->touched) return sheet;
  struct free_sheet *copy = take_spare(state);
  copy->stock = sheet->stock;
  copy->touched = false;
  copy->count = 0;
  reserve_pieces(state->arena, copy, sheet->count);
  if (sheet->count > 0) memcpy(copy->pieces, sheet->pieces, sheet->count * sizeof *copy->pieces);
  copy->count = sheet->count;
  free_rects_copy(state->arena, &copy->rooms, &sheet->rooms);
  copy->widest = sheet->widest;
  copy->tallest = sheet->tallest;
  copy->area = sheet->area;
  copy->gathered = sheet->gathered;
  sheet->touched = true;
  state->saved[state->touched_count] = copy;
  state->touched[state->touched_count++] = b;
  state->steps += 16 + (int64_t)(sheet->count + sheet->rooms.count) / 4;
  return sheet;
}

void free_state_lay(struct free_state *state, size_t b, uint32_t item,
                    const struct free_shape *shape, int32_t x, int32_t y) {
  struct free_sheet *sheet = touch(state, b);
  struct free_rect place = {x, y, x + shape->width, y + shape->height};
  reserve_pieces(state->arena, sheet, sheet->count + 1);
  sheet->pieces[sheet->count++] = (struct free_piece){place, item, shape->option};
  state->steps += 32 + 4 * (int64_t)sheet->rooms.count;
  free_space_take(state->arena, &sheet->rooms, &state->fresh, place, state->job->least);
  measure_rooms(sheet);
  sheet->area -= state->job->area[state->job->demand_of[item]];
  state->sheet_of[item] = (uint32_t)b;
}

static void open_item(struct free_state *state, uint32_t item) {
  state->sheet_of[item] = FREE_NOWHERE;
  state->open[state->open_count++] = item;
}

void free_state_take_up(struct free_state *state, size_t b, size_t piece) {
  struct free_sheet *sheet = touch(state, b);
  struct free_piece taken = sheet->pieces[piece];
  sheet->pieces[piece] = sheet->pieces[--sheet->count];
  free_gift_begin(state->arena, &state->gift, &state->job->stocks[sheet->stock].empty, taken.place,
                  state->job->least);
  for (size_t p = 0; p < sheet->count; p++) {
    state->steps += 3 + 3 * (int64_t)state->gift.rooms.count;
    free_gift_keep(state->arena, &state->gift, &sheet->pieces[p].place);
  }
  free_gift_end(state->arena, &state->gift, &sheet->rooms);
  measure_rooms(sheet);
  state->steps += 16 + (int64_t)(sheet->rooms.count * (1 + state->gift.rooms.count));
  sheet->area += state->job->area[state->job->demand_of[taken.item]];
  open_item(state, taken.item);
}

void free_state_clear(struct free_state *state, size_t b) {
  struct free_sheet *sheet = touch(state, b);
  for (size_t p = 0; p < sheet->count; p++) open_item(state, sheet->pieces[p].item);
  state->steps += (int64_t)sheet->count;
  empty_sheet(state, sheet);
}

void free_state_judge(struct free_state *state) {
  size_t kept = 0;
  state->score.unplaced = 0;
  for (size_t i = 0; i < state->open_count; i++) {
    uint32_t item = state->open[i];
    if (state->sheet_of[item] != FREE_NOWHERE) continue;
    state->open[kept++] = item;
    state->score.unplaced += state->penalty[item];
  }
  state->open_count = kept;
  for (size_t t = 0; t < state->touched_count; t++) {
    struct free_sheet *sheet = state->sheets[state->touched[t]];
    state->score.gathered -= sheet->gathered;
    sheet->gathered = gather(sheet->area);
    state->score.gathered += sheet->gathered;
  }
}

int64_t free_state_open_area(const struct free_state *state) {
  int64_t area = 0;
  for (size_t i = 0; i < state->open_count; i++)
    area += state->job->area[state->job->demand_of[state->open[i]]];
  return area;
}

static void give_spare(struct free_state *state, struct free_sheet *sheet) {
  *ARENA_PUSH(state->arena, state->spare, state->spare_count, state->spare_room) = sheet;
}

void free_state_commit(struct free_state *state) {
  for (size_t t = 0; t < state->touched_count; t++) {
    state->sheets[state->touched[t]]->touched = false;
    give_spare(state, state->saved[t]);
  }
  state->touched_count = 0;
  if (state->open_count > 0)
    memcpy(state->old_open, state->open, state->open_count * sizeof *state->open);
  state->old_open_count = state->open_count;
  state->old_score = state->score;
}

void free_state_undo(struct free_state *state) {
  for (size_t t = 0; t < state->touched_count; t++) {
    size_t b = state->touched[t];
    give_spare(state, state->sheets[b]);
    state->sheets[b] = state->saved[t];
    for (size_t p = 0; p < state->sheets[b]->count; p++)
      state->sheet_of[state->sheets[b]->pieces[p].item] = (uint32_t)b;
  }
  state->touched_count = 0;
  if (state->old_open_count > 0)
    memcpy(state->open, state->old_open, state->old_open_count * sizeof *state->open);
  state->open_count = state->old_open_count;
  for (size_t i = 0; i < state->open_count; i++) state->sheet_of[state->open[i]] = FREE_NOWHERE;
  state->score = state->old_score;
}

void free_state_drop_sheet(struct free_state *state, size_t b) {
  free_state_clear(state, b);
  free_state_judge(state);
  state->score.gathered -= state->sheets[b]->gathered;
  free_state_commit(state);
  state->sheets[b] = state->sheets[--state->sheet_count];
  for (size_t p = 0; b < state->sheet_count && p < state->sheets[b]->count; p++)
    state->sheet_of[state->sheets[b]->pieces[p].item] = (uint32_t)b;
  state->old_score = state->score;
}
