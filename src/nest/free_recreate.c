#include "nest/free_recreate.h"

struct spot {
  size_t sheet;
  const struct free_shape *shape;
  int32_t x, y;
  int64_t key; /* the smaller the better */
};

/* So many open items at most are laid most restricted first: all are counted for each. */
enum { MOST_RESTRICTED = 24 };

static int64_t pair_key(int64_t first, int64_t second) { return (first << 31) + second; }

static int64_t room_key(enum free_rule rule, const struct free_sheet *sheet,
                        const struct free_rect *room, int32_t rest_x, int32_t rest_y) {
  int64_t less = rest_x < rest_y ? rest_x : rest_y;
  int64_t more = rest_x < rest_y ? rest_y : rest_x;
  switch (rule) {
    case RULE_LONG_REST:
      return pair_key(more, less);
    case RULE_ROOM_AREA:
      return (int64_t)(room->right - room->left) * (room->top - room->bottom);
    case RULE_FULL_SHEET:
      return pair_key(sheet->area, less);
    case RULE_LOW:
      return pair_key(room->bottom, room->left);
    case RULE_SHORT_REST:
    case RULE_COUNT:
      break;
  }
  return pair_key(less, more);
}

/* The corner of a room to lay a shape in. */
static void corner_of(const struct free_stock *stock, enum free_corner corner,
                      struct free_random *random, const struct free_shape *shape,
                      const struct free_rect *room, int32_t *x, int32_t *y) {
  bool right = false, top = false;
  if (corner == CORNER_NEAR_EDGE) {
    right = stock->width - room->right < room->left;
    top = stock->height - room->top < room->bottom;
  } else if (corner == CORNER_ANY) {
    uint32_t bits = free_random_next(random);
    right = (bits & 1) != 0;
    top = (bits & 2) != 0;
  }
  *x = right ? room->right - shape->width : room->left;
  *y = top ? room->top - shape->height : room->bottom;
}

static void look_into_sheet(struct free_state *state, struct free_random *random,
                            const struct free_way *way, size_t b, const struct free_shape *shape,
                            struct spot *best) {
  const struct free_sheet *sheet = state->sheets[b];
  const struct free_stock *stock = &state->job->stocks[sheet->stock];
  const struct free_rect *rooms = sheet->rooms.items;
  for (size_t r = 0; r < sheet->rooms.count; r++) {
    int32_t rest_x = rooms[r].right - rooms[r].left - shape->width;
    int32_t rest_y = rooms[r].top - rooms[r].bottom - shape->height;
    if ((rest_x | rest_y) < 0) continue;
    int64_t key = room_key(way->rule, sheet, &rooms[r], rest_x, rest_y);
    if (key >= best->key) continue;
    if (way->skipped > 0 && (free_random_next(random) & 1023) < way->skipped) continue;
    int32_t x, y;
    corner_of(stock, way->corner, random, shape, &rooms[r], &x, &y);
    if (!free_job_place(stock, shape, &rooms[r], &x, &y)) continue;
    *best = (struct spot){b, shape, x, y, key};
  }
}

static bool find_spot(struct free_state *state, struct free_random *random,
                      const struct free_way *way, uint32_t demand, struct spot *best) {
  best->shape = NULL;
  best->key = INT64_MAX;
  for (size_t b = 0; b < state->sheet_count; b++) {
    const struct free_sheet *sheet = state->sheets[b];
    const struct free_stock *stock = &state->job->stocks[sheet->stock];
    state->steps++;
    if (sheet->area < state->job->area[demand]) continue;
    for (size_t i = stock->first[demand]; i < stock->first[demand + 1]; i++) {
      const struct free_shape *shape = &stock->shapes[i];
      if (shape->width > sheet->widest || shape->height > sheet->tallest) continue;
      state->steps += (int64_t)sheet->rooms.count;
      look_into_sheet(state, random, way, b, shape, best);
    }
  }
  return best->shape != NULL;
}

/* In how many rooms a demand's piece fits, with each of its shapes. */
static size_t count_rooms(struct free_state *state, uint32_t demand) {
  size_t count = 0;
  for (size_t b = 0; b < state->sheet_count; b++) {
    const struct free_sheet *sheet = state->sheets[b];
    const struct free_stock *stock = &state->job->stocks[sheet->stock];
    for (size_t i = stock->first[demand]; i < stock->first[demand + 1]; i++) {
      const struct free_shape *shape = &stock->shapes[i];
      if (shape->width > sheet->widest || shape->height > sheet->tallest) continue;
      state->steps += (int64_t)sheet->rooms.count;
      for (size_t r = 0; r < sheet->rooms.count; r++) {
        const struct free_rect *room = &sheet->rooms.items[r];
        count +=
            room->right - room->left >= shape->width && room->top - room->bottom >= shape->height;
      }
    }
  }
  return count;
}

/* Repeatedly lays the item that fits in the fewest rooms. */
static void lay_most_restricted(struct free_state *state, struct free_random *random,
                                const struct free_way *way, uint32_t *item, size_t count) {
  while (count > 0) {
    size_t fewest = 0, fewest_rooms = SIZE_MAX;
    for (size_t i = 0; i < count;) {
      size_t rooms = count_rooms(state, state->job->demand_of[item[i]]);
      if (rooms == 0) {
        item[i] = item[--count];
        continue;
      }
      if (rooms < fewest_rooms) {
        fewest = i;
        fewest_rooms = rooms;
      }
      i++;
    }
    if (count == 0) return;
    struct spot spot;
    if (find_spot(state, random, way, state->job->demand_of[item[fewest]], &spot))
      free_state_lay(state, spot.sheet, item[fewest], spot.shape, spot.x, spot.y);
    item[fewest] = item[--count];
  }
}

static void shuffle(struct free_random *random, uint32_t *item, size_t count) {
  for (size_t i = count; i > 1; i--) {
    size_t other = free_random_below(random, (uint32_t)i);
    uint32_t swapped = item[i - 1];
    item[i - 1] = item[other];
    item[other] = swapped;
  }
}

/* By rank, stable, so that equal demands stand together. Lists are short or nearly sorted but
 * for whole layouts, where a merge pays. */
static void sort_by_rank(const struct free_job *job, const uint32_t *rank, uint32_t *item,
                         uint32_t *spare, size_t count) {
  if (count > 32) {
    size_t half = count / 2;
    sort_by_rank(job, rank, item, spare, half);
    sort_by_rank(job, rank, item + half, spare, count - half);
    for (size_t i = 0; i < half; i++) spare[i] = item[i];
    size_t left = 0, right = half;
    for (size_t to = 0; left < half; to++)
      item[to] =
          right == count || rank[job->demand_of[spare[left]]] <= rank[job->demand_of[item[right]]]
              ? spare[left++]
              : item[right++];
    return;
  }
  for (size_t i = 1; i < count; i++) {
    uint32_t moved = item[i];
    size_t at = i;
    for (; at > 0 && rank[job->demand_of[item[at - 1]]] > rank[job->demand_of[moved]]; at--)
      item[at] = item[at - 1];
    item[at] = moved;
  }
}

void free_recreate(struct free_state *state, struct free_random *random, const struct free_way *way,
                   uint32_t *work) {
  const struct free_job *job = state->job;
  size_t count = state->open_count;
  for (size_t i = 0; i < count; i++) work[i] = state->open[i];
  shuffle(random, work, count);
  if (way->order == ORDER_RESTRICTED && count <= MOST_RESTRICTED) {
    lay_most_restricted(state, random, way, work, count);
    free_state_judge(state);
    return;
  }
  if (way->order < ORDER_COUNT)
    sort_by_rank(job, job->rank[way->order], work, work + job->item_count, count);
  uint32_t failed = UINT32_MAX;
  for (size_t i = 0; i < count; i++) {
    uint32_t demand = job->demand_of[work[i]];
    struct spot spot;
    if (demand == failed) continue;
    if (find_spot(state, random, way, demand, &spot))
      free_state_lay(state, spot.sheet, work[i], spot.shape, spot.x, spot.y);
    else
      failed = demand;
  }
  free_state_judge(state);
}
