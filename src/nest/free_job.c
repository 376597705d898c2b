#include "nest/free_job.h"

#include <stdlib.h>

__extension__ typedef __int128 wide_area;

static const length_t MOST_GROWN = INT32_MAX / 2;

/* The measure's area of a rectangle, at least 1. */
static int64_t measure(length_t length, length_t width, wide_area largest) {
  int64_t area = (int64_t)((wide_area)length * width * FREE_WHOLE / largest);
  return area > 0 ? area : 1;
}

static wide_area largest_sheet(const struct nest_problem *problem) {
  wide_area largest = 1;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    wide_area area =
        (wide_area)(stock->length + stock->kerf_crosscut) * (stock->width + stock->kerf_rip);
    if (area > largest) largest = area;
  }
  return largest;
}

static bool can_be_laid_on(const struct nest_stock *stock) {
  return stock->given == NULL && stock->length > 0 && stock->width > 0 &&
         stock->length <= MOST_GROWN - stock->kerf_crosscut &&
         stock->width <= MOST_GROWN - stock->kerf_rip && nest_stock_most(stock) > 0;
}

static bool fits(const struct nest_stock *stock, const struct nest_option *option) {
  return option->length > 0 && option->width > 0 && option->length <= stock->length &&
         option->width <= stock->width;
}

/* Whether an earlier option of the same demand has the same sizes. */
static bool is_repeat(const struct nest_stock *stock, size_t option) {
  const struct nest_option *mine = &stock->options[option];
  for (size_t o = 0; o < option; o++) {
    const struct nest_option *other = &stock->options[o];
    if (other->demand == mine->demand && other->length == mine->length &&
        other->width == mine->width && other->core_x == mine->core_x &&
        other->core_y == mine->core_y)
      return true;
  }
  return false;
}

static void add_shapes(struct arena *arena, const struct nest_problem *problem,
                       const struct nest_stock *stock, struct free_stock *made) {
  size_t count = 0;
  made->shapes = ARENA_ARRAY(arena, stock->option_count, struct free_shape);
  made->first = ARENA_ARRAY(arena, problem->demand_count + 1, size_t);
  for (size_t d = 0; d < problem->demand_count; d++) {
    made->first[d] = count;
    for (size_t o = 0; made->width > 0 && o < stock->option_count; o++) {
      const struct nest_option *option = &stock->options[o];
      if (option->demand != d || !fits(stock, option) || is_repeat(stock, o)) continue;
      made->shapes[count++] =
          (struct free_shape){(int32_t)(option->length + stock->kerf_crosscut),
                              (int32_t)(option->width + stock->kerf_rip), (int32_t)option->core_x,
                              (int32_t)option->core_y, (uint32_t)o};
    }
  }
  made->first[problem->demand_count] = count;
}

static int32_t clamp(length_t value, int32_t most) {
  return value < 0 ? 0 : value > most ? most : (int32_t)value;
}

/* A piece grown by the gap meets a flaw when its own rectangle does: the flaw's near edges move
 * in by the gap. */
static void add_flaws(struct arena *arena, const struct nest_stock *stock, struct free_stock *made,
                      struct free_least least) {
  struct free_rects fresh = {NULL, 0, 0};
  made->flaws = ARENA_ARRAY(arena, stock->flaw_count, struct free_flaw);
  free_rects_add(arena, &made->empty, (struct free_rect){0, 0, made->width, made->height});
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    int32_t gap_x = flaw->rim_ok ? 0 : made->gap_x, gap_y = flaw->rim_ok ? 0 : made->gap_y;
    struct free_rect place = {
        clamp(flaw->x + gap_x, made->width), clamp(flaw->y + gap_y, made->height),
        clamp(flaw->x + flaw->length, made->width), clamp(flaw->y + flaw->width, made->height)};
    if (flaw->rim_ok || flaw->length <= gap_x || flaw->width <= gap_y) {
      place.left = clamp(flaw->x, made->width);
      place.bottom = clamp(flaw->y, made->height);
      made->flaws[made->flaw_count++] = (struct free_flaw){place, flaw->rim_ok};
    } else if (place.left < place.right && place.bottom < place.top) {
      free_space_take(arena, &made->empty, &fresh, place, least);
    }
  }
}

static void find_least(struct free_job *job) {
  job->least = (struct free_least){INT32_MAX, INT32_MAX};
  for (size_t s = 0; s < job->problem->stock_count; s++) {
    const struct free_stock *stock = &job->stocks[s];
    for (size_t i = 0; i < stock->first[job->problem->demand_count]; i++) {
      if (stock->shapes[i].width < job->least.width) job->least.width = stock->shapes[i].width;
      if (stock->shapes[i].height < job->least.height) job->least.height = stock->shapes[i].height;
    }
  }
}

/* Whether a shape whose lower left corner is at (x, y) is clear of the flaws held against it. */
static bool is_clear(const struct free_stock *stock, const struct free_shape *shape, int32_t x,
                     int32_t y) {
  struct free_rect whole = {x, y, x + shape->width - stock->gap_x,
                            y + shape->height - stock->gap_y};
  struct free_rect core = {whole.left + shape->core_x, whole.bottom + shape->core_y,
                           whole.right - shape->core_x, whole.top - shape->core_y};
  for (size_t f = 0; f < stock->flaw_count; f++)
    if (free_rects_meet(&stock->flaws[f].place, stock->flaws[f].rim_ok ? &core : &whole))
      return false;
  return true;
}

/* Where an edge of the shape comes to lie when it is pushed against a flaw from above (far) or from
 * below. */
static int32_t beside(int32_t near, int32_t far, bool push_far, int32_t core, int32_t gap,
                      int32_t extent) {
  return push_far ? far - core : near + core + gap - extent;
}

bool free_job_place(const struct free_stock *stock, const struct free_shape *shape,
                    const struct free_rect *room, int32_t *x, int32_t *y) {
  if (stock->flaw_count == 0 || is_clear(stock, shape, *x, *y)) return true;
  int32_t most_x = room->right - shape->width, most_y = room->top - shape->height;
  for (size_t i = 0; i < 2 * stock->flaw_count + 2; i++) {
    int32_t at_x = i % 2 == 0 ? room->left : most_x;
    if (i / 2 < stock->flaw_count) {
      const struct free_flaw *flaw = &stock->flaws[i / 2];
      at_x = beside(flaw->place.left, flaw->place.right, i % 2 == 0,
                    flaw->rim_ok ? shape->core_x : 0, stock->gap_x, shape->width);
    }
    if (at_x < room->left || at_x > most_x) continue;
    for (size_t j = 0; j < 2 * stock->flaw_count + 2; j++) {
      int32_t at_y = j % 2 == 0 ? room->bottom : most_y;
      if (j / 2 < stock->flaw_count) {
        const struct free_flaw *flaw = &stock->flaws[j / 2];
        at_y = beside(flaw->place.bottom, flaw->place.top, j % 2 == 0,
                      flaw->rim_ok ? shape->core_y : 0, stock->gap_y, shape->height);
      }
      if (at_y < room->bottom || at_y > most_y || !is_clear(stock, shape, at_x, at_y)) continue;
      *x = at_x;
      *y = at_y;
      return true;
    }
  }
  return false;
}

/* Drops shapes that find no place on an empty sheet. */
static void drop_hopeless(const struct free_job *job, struct free_stock *stock) {
  size_t kept = 0, next = 0;
  for (size_t d = 0; d < job->problem->demand_count; d++) {
    size_t end = stock->first[d + 1];
    stock->first[d] = kept;
    for (; next < end; next++) {
      const struct free_shape *shape = &stock->shapes[next];
      bool fits_room = false;
      for (size_t r = 0; r < stock->empty.count && !fits_room; r++) {
        const struct free_rect *room = &stock->empty.items[r];
        int32_t x = room->left, y = room->bottom;
        fits_room = room->right - room->left >= shape->width &&
                    room->top - room->bottom >= shape->height &&
                    free_job_place(stock, shape, room, &x, &y);
      }
      if (fits_room) stock->shapes[kept++] = *shape;
    }
  }
  stock->first[job->problem->demand_count] = kept;
}

static void add_stocks(struct arena *arena, struct free_job *job, wide_area largest) {
  const struct nest_problem *problem = job->problem;
  job->stocks = ARENA_ARRAY(arena, problem->stock_count, struct free_stock);
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    struct free_stock *made = &job->stocks[s];
    if (can_be_laid_on(stock)) {
      made->gap_x = (int32_t)stock->kerf_crosscut;
      made->gap_y = (int32_t)stock->kerf_rip;
      made->width = (int32_t)(stock->length + stock->kerf_crosscut);
      made->height = (int32_t)(stock->width + stock->kerf_rip);
      made->area = measure(made->width, made->height, largest);
    }
    add_shapes(arena, problem, stock, made);
  }
  find_least(job);
  for (size_t s = 0; s < problem->stock_count; s++) {
    if (job->stocks[s].width == 0) continue;
    add_flaws(arena, &problem->stocks[s], &job->stocks[s], job->least);
    drop_hopeless(job, &job->stocks[s]);
  }
}

/* The greatest value of an order's key over the shapes of a demand; 0 without any. */
static int64_t order_key(const struct free_job *job, enum free_order order, size_t demand) {
  int64_t greatest = 0;
  for (size_t s = 0; s < job->problem->stock_count; s++) {
    const struct free_stock *stock = &job->stocks[s];
    for (size_t i = stock->first[demand]; i < stock->first[demand + 1]; i++) {
      int64_t width = stock->shapes[i].width, height = stock->shapes[i].height;
      int64_t longer = width > height ? width : height;
      int64_t key[ORDER_COUNT] = {width * height, longer, width + height - longer, width, height};
      if (key[order] > greatest) greatest = key[order];
    }
  }
  return greatest;
}

struct ranked {
  int64_t key;
  uint32_t demand;
};

static int greater_key_first(const void *left, const void *right) {
  const struct ranked *a = left, *b = right;
  if (a->key != b->key) return a->key > b->key ? -1 : 1;
  return (a->demand > b->demand) - (a->demand < b->demand);
}

static void rank_demands(struct arena *arena, struct free_job *job) {
  size_t count = job->problem->demand_count;
  struct ranked *ranked = ARENA_ARRAY(arena, count, struct ranked);
  for (int order = 0; order < ORDER_COUNT; order++) {
    for (size_t d = 0; d < count; d++)
      ranked[d] = (struct ranked){order_key(job, (enum free_order)order, d), (uint32_t)d};
    qsort(ranked, count, sizeof *ranked, greater_key_first);
    job->rank[order] = ARENA_ARRAY(arena, count, uint32_t);
    for (size_t i = 0; i < count; i++) job->rank[order][ranked[i].demand] = (uint32_t)i;
  }
}

/* Smallest area over all shapes of a demand, grown; 0 without any. */
static int64_t smallest_area(const struct free_job *job, size_t demand, wide_area largest) {
  int64_t smallest = 0;
  for (size_t s = 0; s < job->problem->stock_count; s++) {
    const struct free_stock *stock = &job->stocks[s];
    for (size_t i = stock->first[demand]; i < stock->first[demand + 1]; i++) {
      int64_t area = measure(stock->shapes[i].width, stock->shapes[i].height, largest);
      if (smallest == 0 || area < smallest) smallest = area;
    }
  }
  return smallest;
}

struct free_job *free_job_create(struct arena *arena, const struct nest_problem *problem) {
  struct free_job *job = ARENA_NEW(arena, struct free_job);
  wide_area largest = largest_sheet(problem);
  job->problem = problem;
  add_stocks(arena, job, largest);
  rank_demands(arena, job);
  job->area = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  for (size_t d = 0; d < problem->demand_count; d++) {
    job->area[d] = smallest_area(job, d, largest);
    if (job->area[d] > 0 && problem->demand[d] > 0) job->item_count += (size_t)problem->demand[d];
  }
  job->demand_of = ARENA_ARRAY(arena, job->item_count, uint32_t);
  size_t item = 0;
  for (size_t d = 0; d < problem->demand_count; d++)
    for (int64_t i = 0; job->area[d] > 0 && i < problem->demand[d]; i++)
      job->demand_of[item++] = (uint32_t)d;
  return job;
}
