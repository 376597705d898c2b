#include "nest/plank_yields.h"

#include <string.h>

enum { CELLS_MOST = 100000, PIECES_MOST = 256, ROUNDINGS = 8, SIGHTS_MOST = 16 };

/* So many functions along one axis are paired with as many along the other. */
enum { PAIRED = 4 };

/* Wide enough for areas seen through functions. */
__extension__ typedef __int128 wide_area;

size_t yield_kinds(const struct nest_problem *problem) {
  return problem->demand_count - problem->coupling_count - problem->match_count;
}

/* ---- what can be cut ---- */

/* Pieces, or loads, alike: one of these sizes at least. */
struct maker {
  const int64_t *counts; /* per kind */
  const struct nest_extents *sizes;
  size_t size_count;
  cost_t cost;
  struct nest_extents most;
};

struct plank {
  struct arena *scratch;
  int64_t steps; /* left: cells of tables */
  const struct nest_problem *problem;
  const struct nest_stock *stock;
  size_t kinds;
  struct maker *makers;
  size_t maker_count, maker_room;
  length_t extent[2]; /* grown by a kerf */
};

static void add_loads(struct plank *plank, size_t s) {
  const struct nest_loads *loads = plank->problem->loads;
  for (size_t l = 0; loads != NULL && l < loads->least_count; l++) {
    const struct nest_least *least = &loads->least[l];
    size_t from = least->first_size[s], end = least->first_size[s + 1], count = 0;
    struct nest_extents *sizes = ARENA_ARRAY(plank->scratch, end - from, struct nest_extents);
    for (size_t i = from; i < end; i++)
      if (least->sizes[i].length <= plank->stock->length &&
          least->sizes[i].width <= plank->stock->width)
        sizes[count++] = least->sizes[i];
    if (count == 0) continue;
    *ARENA_PUSH(plank->scratch, plank->makers, plank->maker_count, plank->maker_room) =
        (struct maker){.counts = least->counts,
                       .sizes = sizes,
                       .size_count = count,
                       .cost = least->cost,
                       .most = {least->most, least->most}};
  }
}

/* A part that is sawn as it is. */
static void add_parts(struct plank *plank) {
  for (size_t o = 0; o < plank->stock->option_count; o++) {
    const struct nest_option *option = &plank->stock->options[o];
    if (option->demand >= plank->kinds) continue;
    int64_t *counts = ARENA_ARRAY(plank->scratch, plank->kinds, int64_t);
    struct nest_extents *size = ARENA_NEW(plank->scratch, struct nest_extents);
    counts[option->demand] = 1;
    *size = (struct nest_extents){option->length, option->width};
    *ARENA_PUSH(plank->scratch, plank->makers, plank->maker_count, plank->maker_room) =
        (struct maker){.counts = counts, .sizes = size, .size_count = 1, .most = *size};
  }
}

/* ---- extents seen through dual feasible functions ---- */

/* Of extents that lie side by side within the whole, kerfs included, the values add up to no more
 * than the whole's. Functions: as they are; rounded (Fekete, Schepers 2004: u^(k)); small ones left
 * out. */
struct sight {
  int64_t rounding; /* k; 0: none */
  length_t small;   /* extents below are left out, what leaves room for less takes all */
};

static wide_area seen(const struct sight *sight, length_t extent, length_t whole) {
  if (sight->rounding > 0) {
    wide_area grown = (wide_area)extent * (sight->rounding + 1);
    return grown % whole == 0 ? (wide_area)extent * sight->rounding : grown / whole * whole;
  }
  if (extent > whole - sight->small) return whole;
  return extent < sight->small ? 0 : extent;
}

static wide_area seen_whole(const struct sight *sight, length_t whole) {
  return sight->rounding > 0 ? (wide_area)whole * sight->rounding : whole;
}

static length_t grown(const struct plank *plank, const struct nest_extents *size, int way) {
  length_t extent =
      way == 0 ? size->length + plank->stock->kerf_crosscut : size->width + plank->stock->kerf_rip;
  return extent < plank->extent[way] ? extent : plank->extent[way];
}

static void add_small(struct sight *sights, size_t *count, length_t small) {
  for (size_t i = 0; i < *count; i++)
    if (sights[i].rounding == 0 && sights[i].small == small) return;
  if (*count < SIGHTS_MOST) sights[(*count)++].small = small;
}

static size_t list_sights(const struct plank *plank, int way, struct sight *sights) {
  size_t count = 1;
  memset(sights, 0, SIGHTS_MOST * sizeof *sights);
  for (int64_t k = 1; k <= ROUNDINGS; k++) sights[count++].rounding = k;
  for (size_t m = 0; m < plank->maker_count; m++)
    for (size_t i = 0; i < plank->makers[m].size_count; i++) {
      length_t extent = grown(plank, &plank->makers[m].sizes[i], way);
      if (2 * extent <= plank->extent[way])
        add_small(sights, &count, extent);
      else
        add_small(sights, &count, plank->extent[way] - extent + 1);
    }
  return count;
}

/* ---- how many pieces a yield takes at least ---- */

/* Of the makers, and of the room. */
struct view {
  int64_t *takes;
  int64_t room;
};

/* Areas are told in units that leave sums of them well within 64 bits: rounded down, of the room
 * up. */
static void look(const struct plank *plank, const struct sight *along, const struct sight *across,
                 struct view *view) {
  wide_area whole = seen_whole(along, plank->extent[0]) * seen_whole(across, plank->extent[1]);
  wide_area unit = whole / (INT64_C(1) << 48) + 1;
  view->room = (int64_t)((whole + unit - 1) / unit);
  for (size_t m = 0; m < plank->maker_count; m++) {
    wide_area least = whole;
    for (size_t i = 0; i < plank->makers[m].size_count; i++) {
      const struct nest_extents *size = &plank->makers[m].sizes[i];
      length_t x = grown(plank, size, 0), y = grown(plank, size, 1);
      wide_area area = seen(along, x, plank->extent[0]) * seen(across, y, plank->extent[1]);
      if (area < least) least = area;
    }
    view->takes[m] = (int64_t)(least / unit);
  }
}

/* Raises pieces[c] to the fewest that yield the numbers of cell c as far as the view tells. False
 * where more than can be told might be cut, or the steps do not suffice. */
static bool count_pieces(struct plank *plank, const struct count_box *box, const struct view *view,
                         uint16_t *pieces) {
  struct arena_mark mark = arena_mark(plank->scratch);
  int64_t *before = count_box_table(plank->scratch, box);
  int64_t *now = ARENA_ARRAY(plank->scratch, box->cells, int64_t);
  uint16_t *fewest = ARENA_ARRAY(plank->scratch, box->cells, uint16_t);
  for (size_t c = 1; c < box->cells; c++) fewest[c] = PIECES_MOST;
  bool more = true;
  for (uint16_t n = 1; n < PIECES_MOST && more && plank->steps >= 0; n++) {
    plank->steps -= (int64_t)(box->cells * (plank->maker_count + 1));
    memcpy(now, before, box->cells * sizeof *now);
    for (size_t m = 0; m < plank->maker_count; m++)
      count_box_add(box, before, now, plank->makers[m].counts, view->takes[m], NULL, 0);
    for (size_t c = 1; c < box->cells; c++) {
      if (now[c] > view->room)
        now[c] = COUNT_NEVER;
      else if (fewest[c] == PIECES_MOST)
        fewest[c] = n;
    }
    more = memcmp(now, before, box->cells * sizeof *now) != 0;
    int64_t *swap = before;
    before = now;
    now = swap;
  }
  for (size_t c = 1; c < box->cells && !more; c++)
    if (fewest[c] > pieces[c]) pieces[c] = fewest[c];
  arena_release(plank->scratch, mark);
  return !more;
}

/* Numbers of a part that one piece of stock yields at most, by area. */
static void limit_kinds(const struct plank *plank, const int64_t *most, int64_t *limit) {
  struct sight plain = {0, 0};
  struct view view = {ARENA_ARRAY(plank->scratch, plank->maker_count, int64_t), 0};
  look(plank, &plain, &plain, &view);
  for (size_t k = 0; k < plank->kinds; k++) {
    limit[k] = 0;
    for (size_t m = 0; m < plank->maker_count; m++) {
      int64_t made = plank->makers[m].counts[k];
      if (made == 0) continue;
      int64_t all =
          view.takes[m] > 0 ? (int64_t)((wide_area)view.room * made / view.takes[m]) : most[k];
      if (all > limit[k]) limit[k] = all;
    }
    if (limit[k] > most[k]) limit[k] = most[k];
  }
}

/* ---- what they cost ---- */

/* A tree of cuts has one cut less than it has parts and rests; one rest at least where the pieces
 * cannot fill the stock. */
static cost_t least_cost(const struct plank *plank, int64_t pieces) {
  cost_t handling = 0;
  wide_area most = 0;
  for (size_t m = 0; m < plank->maker_count; m++) {
    const struct maker *maker = &plank->makers[m];
    wide_area area = (wide_area)grown(plank, &maker->most, 0) * grown(plank, &maker->most, 1);
    if (area > most) most = area;
    if (m == 0 || maker->cost < handling) handling = maker->cost;
  }
  bool fills = most * pieces >= (wide_area)plank->extent[0] * plank->extent[1];
  return plank->stock->cost + pieces * handling +
         (pieces - (fills ? 1 : 0)) * plank->problem->cut_cost;
}

static void keep_yields(struct arena *arena, const struct plank *plank, size_t stock,
                        const struct count_box *box, const uint16_t *pieces,
                        struct yields *yields) {
  for (size_t c = 1; c < box->cells; c++) {
    if (pieces[c] >= PIECES_MOST) continue;
    bool beaten = false;
    for (size_t k = 0; k < box->kinds && !beaten; k++)
      beaten = count_box_count(box, c, k) < box->most[k] && pieces[c + box->stride[k]] <= pieces[c];
    if (beaten) continue;
    int64_t *counts = ARENA_ARRAY(arena, box->kinds, int64_t);
    for (size_t k = 0; k < box->kinds; k++) counts[k] = count_box_count(box, c, k);
    *ARENA_PUSH(arena, yields->items, yields->count, yields->room) =
        (struct yield){stock, counts, least_cost(plank, pieces[c])};
  }
}

/* By every pair of views there are steps for, the plainest first; one at least. */
static bool count_by_views(struct plank *plank, const struct count_box *box, uint16_t *pieces) {
  struct sight along[SIGHTS_MOST], across[SIGHTS_MOST];
  size_t along_count = list_sights(plank, 0, along);
  size_t across_count = list_sights(plank, 1, across);
  struct view view = {ARENA_ARRAY(plank->scratch, plank->maker_count, int64_t), 0};
  bool any = false;
  for (size_t a = 0; a < along_count; a++)
    for (size_t b = 0; b < across_count; b++) {
      if (a > 0 && b > 0 && (a > PAIRED || b > PAIRED)) continue;
      look(plank, &along[a], &across[b], &view);
      if (!count_pieces(plank, box, &view, pieces)) return any && plank->steps < 0;
      any = true;
    }
  return any;
}

bool plank_yields_add(struct arena *arena, struct arena *scratch,
                      const struct nest_problem *problem, size_t stock, const int64_t *most,
                      int64_t steps, struct yields *yields) {
  const struct nest_stock *bare = &problem->stocks[stock];
  struct arena_mark mark = arena_mark(scratch);
  struct plank plank = {
      .scratch = scratch,
      .steps = steps,
      .problem = problem,
      .stock = bare,
      .kinds = yield_kinds(problem),
      .extent = {bare->length + bare->kerf_crosscut, bare->width + bare->kerf_rip}};
  add_loads(&plank, stock);
  add_parts(&plank);
  int64_t *limit = ARENA_ARRAY(scratch, plank.kinds, int64_t);
  struct count_box box;
  limit_kinds(&plank, most, limit);
  bool told = count_box_open(scratch, plank.kinds, limit, CELLS_MOST, &box);
  if (told) {
    uint16_t *pieces = ARENA_ARRAY(scratch, box.cells, uint16_t);
    told = count_by_views(&plank, &box, pieces);
    if (told) keep_yields(arena, &plank, stock, &box, pieces, yields);
  }
  arena_release(scratch, mark);
  return told;
}
