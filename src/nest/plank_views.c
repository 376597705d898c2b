#include "nest/plank_views.h"

#include <string.h>

enum { ROUNDINGS = 8 };

size_t yield_kinds(const struct nest_problem *problem) {
  return problem->demand_count - problem->coupling_count - problem->match_count;
}

/* ---- what can be cut ---- */

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
        (struct plank_maker){.counts = least->counts,
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
        (struct plank_maker){.counts = counts, .sizes = size, .size_count = 1, .most = *size};
  }
}

/* ---- extents seen through dual feasible functions ---- */

static wide_area seen(const struct plank_sight *sight, length_t extent, length_t whole) {
  if (sight->rounding > 0) {
    wide_area grown = (wide_area)extent * (sight->rounding + 1);
    return grown % whole == 0 ? (wide_area)extent * sight->rounding : grown / whole * whole;
  }
  if (extent > whole - sight->small) return whole;
  return extent < sight->small ? 0 : extent;
}

static wide_area seen_whole(const struct plank_sight *sight, length_t whole) {
  return sight->rounding > 0 ? (wide_area)whole * sight->rounding : whole;
}

length_t plank_grown(const struct plank *plank, const struct nest_extents *size, int way) {
  length_t extent =
      way == 0 ? size->length + plank->stock->kerf_crosscut : size->width + plank->stock->kerf_rip;
  return extent < plank->extent[way] ? extent : plank->extent[way];
}

static void add_small(struct plank_sight *sights, size_t *count, length_t small) {
  for (size_t i = 0; i < *count; i++)
    if (sights[i].rounding == 0 && sights[i].small == small) return;
  if (*count < PLANK_SIGHTS_MOST) sights[(*count)++].small = small;
}

size_t plank_sights(const struct plank *plank, int way, struct plank_sight *sights) {
  size_t count = 1;
  memset(sights, 0, PLANK_SIGHTS_MOST * sizeof *sights);
  for (int64_t k = 1; k <= ROUNDINGS; k++) sights[count++].rounding = k;
  for (size_t m = 0; m < plank->maker_count; m++)
    for (size_t i = 0; i < plank->makers[m].size_count; i++) {
      length_t extent = plank_grown(plank, &plank->makers[m].sizes[i], way);
      if (2 * extent <= plank->extent[way])
        add_small(sights, &count, extent);
      else
        add_small(sights, &count, plank->extent[way] - extent + 1);
    }
  return count;
}

/* Areas are told in units that leave sums of them well within 64 bits: rounded down, of the room
 * up. */
void plank_look(const struct plank *plank, const struct plank_sight *along,
                const struct plank_sight *across, struct plank_view *view) {
  wide_area whole = seen_whole(along, plank->extent[0]) * seen_whole(across, plank->extent[1]);
  wide_area unit = whole / (INT64_C(1) << 48) + 1;
  view->room = (int64_t)((whole + unit - 1) / unit);
  for (size_t m = 0; m < plank->maker_count; m++) {
    wide_area least = whole;
    for (size_t i = 0; i < plank->makers[m].size_count; i++) {
      const struct nest_extents *size = &plank->makers[m].sizes[i];
      length_t x = plank_grown(plank, size, 0), y = plank_grown(plank, size, 1);
      wide_area area = seen(along, x, plank->extent[0]) * seen(across, y, plank->extent[1]);
      if (area < least) least = area;
    }
    view->takes[m] = (int64_t)(least / unit);
  }
}

void plank_open(struct arena *scratch, const struct nest_problem *problem, size_t stock,
                struct plank *plank) {
  const struct nest_stock *bare = &problem->stocks[stock];
  *plank =
      (struct plank){.scratch = scratch,
                     .problem = problem,
                     .stock = bare,
                     .kinds = yield_kinds(problem),
                     .extent = {bare->length + bare->kerf_crosscut, bare->width + bare->kerf_rip}};
  add_loads(plank, stock);
  add_parts(plank);
}
