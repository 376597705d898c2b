#include "nest/plank_yields.h"

#include <string.h>

#include "nest/plank_joint.h"

enum { CELLS_MOST = 100000, PIECES_MOST = 256 };

/* So many functions along one axis are paired with as many along the other. */
enum { PAIRED = 4 };

/* Of all steps, those on sets of pieces that must fit all views: one in so many. */
enum { JOINT_SHARE = 40 };

bool yields_can_be_had(const struct nest_problem *problem, const struct yields *yields,
                       const int64_t *times) {
  for (size_t s = 0; s < problem->stock_count; s++) {
    int64_t used = 0;
    for (size_t y = 0; y < yields->count; y++)
      if (yields->items[y].stock == s) used += times[y];
    if (used > nest_stock_most(&problem->stocks[s])) return false;
    if (used > 0 && problem->stocks[s].pack > 1) return false;
  }
  return true;
}

/* ---- how many pieces a yield takes at least ---- */

/* Raises pieces[c] to the fewest that yield the numbers of cell c as far as the view tells. False
 * where more than can be told might be cut, or the steps do not suffice. */
static bool count_pieces(const struct plank *plank, const struct count_box *box,
                         const struct plank_view *view, int64_t *steps, uint16_t *pieces) {
  struct arena_mark mark = arena_mark(plank->scratch);
  int64_t *before = count_box_table(plank->scratch, box);
  int64_t *now = ARENA_ARRAY(plank->scratch, box->cells, int64_t);
  uint16_t *fewest = ARENA_ARRAY(plank->scratch, box->cells, uint16_t);
  for (size_t c = 1; c < box->cells; c++) fewest[c] = PIECES_MOST;
  bool more = true;
  for (uint16_t n = 1; n < PIECES_MOST && more && *steps >= 0; n++) {
    *steps -= (int64_t)(box->cells * (plank->maker_count + 1));
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
  struct plank_sight plain = {0, 0};
  struct plank_view view = {ARENA_ARRAY(plank->scratch, plank->maker_count, int64_t), 0};
  plank_look(plank, &plain, &plain, &view);
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
    const struct plank_maker *maker = &plank->makers[m];
    wide_area area =
        (wide_area)plank_grown(plank, &maker->most, 0) * plank_grown(plank, &maker->most, 1);
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
static bool count_by_views(const struct plank *plank, const struct count_box *box, int64_t *steps,
                           struct plank_pairs *pairs, uint16_t *pieces) {
  struct plank_sight along[PLANK_SIGHTS_MOST], across[PLANK_SIGHTS_MOST];
  size_t along_count = plank_sights(plank, 0, along);
  size_t across_count = plank_sights(plank, 1, across);
  struct plank_view view = {ARENA_ARRAY(plank->scratch, plank->maker_count, int64_t), 0};
  bool any = false;
  for (size_t a = 0; a < along_count; a++)
    for (size_t b = 0; b < across_count; b++) {
      if (a > 0 && b > 0 && (a > PAIRED || b > PAIRED)) continue;
      plank_look(plank, &along[a], &across[b], &view);
      if (!count_pieces(plank, box, &view, steps, pieces)) return any && *steps < 0;
      any = true;
      if (pairs->count == PLANK_JOINT_VIEWS_MOST) continue;
      pairs->along[pairs->count] = along[a];
      pairs->across[pairs->count++] = across[b];
    }
  return any;
}

bool plank_yields_add(struct arena *arena, struct arena *scratch,
                      const struct nest_problem *problem, size_t stock, const int64_t *most,
                      int64_t steps, struct yields *yields) {
  struct arena_mark mark = arena_mark(scratch);
  struct plank plank;
  plank_open(scratch, problem, stock, &plank);
  int64_t *limit = ARENA_ARRAY(scratch, plank.kinds, int64_t);
  struct count_box box;
  limit_kinds(&plank, most, limit);
  bool told = count_box_open(scratch, plank.kinds, limit, CELLS_MOST, &box);
  if (told) {
    int64_t joint = steps / JOINT_SHARE;
    uint16_t *pieces = ARENA_ARRAY(scratch, box.cells, uint16_t);
    struct plank_pairs pairs = {.count = 0};
    told = count_by_views(&plank, &box, &steps, &pairs, pieces);
    if (told) {
      plank_joint_raise(&plank, &pairs, &box, PIECES_MOST, &joint, pieces);
      keep_yields(arena, &plank, stock, &box, pieces, yields);
    }
  }
  arena_release(scratch, mark);
  return told;
}
