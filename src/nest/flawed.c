#include "nest/flawed_areas.h"

#include <string.h>

#include "nest/flaw_lines.h"
#include "nest/raster.h"
#include "nest/single_rows.h"
#include "nest/staged_tables.h"

/* What is known of a flawed area divided next along `along` in so many stages. */
struct memo {
  struct area area;
  int stages;
  enum division along;
  cost_t bound;
  cost_t worth;
  bool looked_into; /* else the bound is of its lines alone, the worth unknown */
  struct memo *next;
};

/* Looking a part up takes about as long as so many cells of the staged tables. */
enum {
  FEWEST_BUCKETS = 1024,
  MOST_BUCKETS = 65536,
  BUCKETS_A_POINT = 32,
  LOOK_UP_STEPS = 8,
  SORT_STEPS = 2,
  LINES_STEPS = 500,
  FEW_STARTS = 100,
  MOST_GROUPS = 64,
  GROUPS_TOGETHER = 4,
  GROUP_LOOKS = 2,
  MANY_PARTS = 20000,
  NEAR_SHARE = 128,
  CLEARED_A_STEP = 16,
  MOST_PLACES = 2500,
  FEW_POINTS = 48
};

struct flawed {
  const struct nest_stock *stock;
  struct staged *staged;
  struct single_rows *singles;
  struct flaw_lines *lines; /* NULL: sizes are too fine */
  cost_t cut_cost;
  const cost_t *option_worth;
  size_t *order[2]; /* flaws by their low edges along a direction */
  struct arena *arena;
  struct memo **buckets; /* NULL: nothing was searched yet */
  size_t bucket_count;   /* a power of 2 */
  struct arena *scratch; /* of the search that runs */
  length_t largest_core[2];
  const struct area *must_divide; /* the area whose row may not be a single part; NULL for none */
  cost_t enough;                  /* a bound on the whole stock that is no more ends the search */
  bool guessed;                   /* some part was left a guess, or is no more than bounded */
  struct raster *thin[2];         /* few of the raster points */
  bool thinned;                   /* those are used: layouts are still such, bounds are not */
  int64_t steps;
  int64_t steps_allowed;
};

/* How a row reaches a start: the start before and whether the part between is waste. */
struct reach {
  cost_t worth;
  uint32_t before;
  bool waste;
};

struct row_result {
  cost_t worth;
  size_t end;      /* last start reached */
  bool takes_rest; /* the part from there to the row's end is used */
};

length_t flawed_kerf(const struct flawed *flawed, enum division along) {
  return along == DIVIDE_LENGTH ? flawed->stock->kerf_crosscut : flawed->stock->kerf_rip;
}

bool flawed_may_divide(const struct flawed *flawed, enum division along, const struct area *area) {
  const struct nest_rules *rules = &flawed->stock->rules;
  length_t across = area_extent(area, area_across(along));
  if (along == DIVIDE_WIDTH) return rules->rip_min_length <= 0 || across >= rules->rip_min_length;
  return rules->crosscut_capacity <= 0 || across <= rules->crosscut_capacity;
}

static length_t flaw_low(const struct nest_flaw *flaw, enum division d) {
  return d == DIVIDE_LENGTH ? flaw->x : flaw->y;
}

static length_t flaw_high(const struct nest_flaw *flaw, enum division d) {
  return d == DIVIDE_LENGTH ? flaw->x + flaw->length : flaw->y + flaw->width;
}

static bool overlaps(const struct area *area, const struct nest_flaw *flaw) {
  for (int d = 0; d < 2; d++)
    if (flaw_high(flaw, (enum division)d) <= area->low[d] ||
        flaw_low(flaw, (enum division)d) >= area->high[d])
      return false;
  return true;
}

bool flawed_is_clear(const struct flawed *flawed, const struct area *area) {
  for (size_t f = 0; f < flawed->stock->flaw_count; f++)
    if (overlaps(area, &flawed->stock->flaws[f])) return false;
  return true;
}

bool flawed_option_is_clear(const struct flawed *flawed, const struct nest_option *option,
                            length_t x, length_t y) {
  struct area whole = {{x, y}, {x + option->length, y + option->width}};
  struct area core = {{x + option->core_x, y + option->core_y},
                      {whole.high[0] - option->core_x, whole.high[1] - option->core_y}};
  for (size_t f = 0; f < flawed->stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &flawed->stock->flaws[f];
    if (overlaps(flaw->rim_ok ? &core : &whole, flaw)) return false;
  }
  return true;
}

/* Places behind flaws inside an area, along a direction; at most one per flaw and distinct
 * core, and the first place a cut off the low edge leaves when a flaw ends before it.
 * Returns how many. */
size_t flawed_places(const struct flawed *flawed, const struct area *area, enum division along,
                     length_t *places) {
  size_t count = 0;
  const struct nest_stock *stock = flawed->stock;
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    if (!overlaps(area, flaw)) continue;
    places[count++] = flaw_high(flaw, along);
    if (!flaw->rim_ok) continue;
    for (size_t o = 0; o < stock->option_count; o++) {
      length_t core = along == DIVIDE_LENGTH ? stock->options[o].core_x : stock->options[o].core_y;
      places[count++] = flaw_high(flaw, along) - core;
    }
  }
  size_t kept = 0;
  bool near_edge = false;
  length_t first = area->low[along] + flawed_kerf(flawed, along);
  for (size_t i = 0; i < count; i++) {
    if (places[i] <= area->low[along] || places[i] >= area->high[along]) continue;
    near_edge = near_edge || places[i] < first;
    places[kept++] = places[i];
  }
  if (near_edge && first < area->high[along]) places[kept++] = first;
  return length_sort_unique(places, kept);
}

size_t flawed_most_places(const struct flawed *flawed) {
  return flawed->stock->flaw_count * (1 + flawed->stock->option_count) + 2;
}

/* Whether the saw's rules let every piece of an option be trimmed along. */
static bool may_be_trimmed(const struct flawed *flawed, const struct nest_option *option,
                           enum division along) {
  const struct nest_rules *rules = &flawed->stock->rules;
  if (along == DIVIDE_WIDTH) return option->length >= rules->rip_min_length;
  return rules->crosscut_capacity <= 0 || option->width <= rules->crosscut_capacity;
}

/* How many places add_beside() adds for one behind a flaw, at most. */
static size_t count_beside(const struct flawed *flawed, enum division along,
                           const struct raster *raster) {
  size_t count = 0;
  for (size_t o = 0; o < flawed->stock->option_count; o++) {
    const struct nest_option *option = &flawed->stock->options[o];
    if (may_be_trimmed(flawed, option, along)) continue;
    length_t grown = option_extent(option, along) + raster->kerf;
    for (size_t i = 1; i < raster->count && raster->point[i] < grown; i++) count++;
  }
  return count;
}

/* Where a piece may not be trimmed, the part it lies in is just as large: the part then begins so
 * that pieces beside it, behind a flaw, end where the part does. Adds such places. */
static size_t add_beside(const struct flawed *flawed, const struct area *area, enum division along,
                         const struct raster *raster, length_t *base, size_t base_count) {
  size_t count = base_count;
  length_t first = area->low[along] + flawed_kerf(flawed, along);
  for (size_t b = 0; b < base_count; b++)
    for (size_t o = 0; o < flawed->stock->option_count; o++) {
      const struct nest_option *option = &flawed->stock->options[o];
      if (may_be_trimmed(flawed, option, along)) continue;
      length_t grown = option_extent(option, along) + raster->kerf;
      for (size_t i = 1; i < raster->count && raster->point[i] < grown; i++) {
        length_t at = base[b] + raster->point[i] - grown;
        if (at >= first) base[count++] = at;
      }
    }
  return length_sort_unique(base, count);
}

static struct starts make_starts(struct flawed *flawed, const struct area *area,
                                 enum division along, bool must_divide,
                                 const struct raster *raster) {
  struct arena *arena = flawed->scratch;
  size_t places = flawed_most_places(flawed);
  size_t beside = count_beside(flawed, along, raster);
  length_t *base = ARENA_ARRAY(arena, places * (1 + beside) + raster->count + 1, length_t);
  size_t base_count = flawed_places(flawed, area, along, base);
  if (beside > 0) base_count = add_beside(flawed, area, along, raster, base, base_count);
  length_t kerf = flawed_kerf(flawed, along);
  /* a part that may not be the whole row is the most of it behind the thinnest waste */
  if (must_divide) base[base_count++] = area->low[along] + (kerf > 0 ? kerf : 1);
  base_count = length_sort_unique(base, base_count);
  struct starts starts = {NULL, 0, NULL, 0};
  starts.at = ARENA_ARRAY(arena, (base_count + 2) * raster->count, length_t);
  for (size_t b = 0; b <= base_count; b++) {
    length_t from = b == base_count ? area->low[along] : base[b];
    for (size_t i = 0;
         i < raster->count && from + raster->point[i] <= area->high[along] + raster->kerf; i++)
      starts.at[starts.count++] = from + raster->point[i];
  }
  for (size_t i = 1; i < raster->count && flawed->cut_cost > 0; i++) {
    length_t from = area->high[along] + raster->kerf - raster->point[i];
    if (from <= area->low[along]) break;
    starts.at[starts.count++] = from;
    base[base_count++] = from;
  }
  base_count = length_sort_unique(base, base_count);
  flawed->steps += SORT_STEPS * (int64_t)starts.count;
  starts.count = length_sort_unique(starts.at, starts.count);
  starts.base = ARENA_ARRAY(arena, base_count + 1, size_t);
  for (size_t i = 0, b = 0; i < starts.count && b < base_count; i++)
    if (starts.at[i] == base[b]) {
      starts.base[starts.base_count++] = i;
      b++;
    }
  return starts;
}

struct starts flawed_starts(struct flawed *flawed, const struct area *area, enum division along,
                            bool must_divide) {
  return make_starts(flawed, area, along, must_divide, staged_sizes(flawed->staged, along)->raster);
}

static struct memo **find_memo(const struct flawed *flawed, const struct area *area, int stages,
                               enum division along) {
  uint64_t hash = (uint64_t)stages * 31 + (uint64_t)along;
  for (int d = 0; d < 2; d++) {
    hash = (hash ^ (uint64_t)area->low[d]) * 0x9E3779B97F4A7C15U;
    hash = (hash ^ hash >> 29 ^ (uint64_t)area->high[d]) * 0x9E3779B97F4A7C15U;
    hash ^= hash >> 32;
  }
  /* lengths share low zero bits: the high bits of the product are the mixed ones */
  hash *= 0x9E3779B97F4A7C15U;
  struct memo **at = &flawed->buckets[(hash >> 32) & (flawed->bucket_count - 1)];
  while (*at != NULL && !((*at)->stages == stages && (*at)->along == along &&
                          memcmp(&(*at)->area, area, sizeof *area) == 0))
    at = &(*at)->next;
  return at;
}

/* The best single piece of exactly the area's extent along, with its trims across. */
struct single {
  cost_t worth;
  size_t option;
  length_t at; /* low edge across */
};

static void offer_single(const struct flawed *flawed, const struct area *area, enum division along,
                         size_t o, length_t at, struct single *best) {
  const struct nest_option *option = &flawed->stock->options[o];
  enum division across = area_across(along);
  length_t size = across == DIVIDE_LENGTH ? option->length : option->width;
  length_t before = at - area->low[across];
  length_t behind = area->high[across] - at - size;
  if (behind < 0 || (before != 0 && before < flawed_kerf(flawed, across))) return;
  cost_t worth = flawed->option_worth[o] - (before > 0 ? flawed->cut_cost : 0) -
                 (behind > 0 ? flawed->cut_cost : 0);
  if ((before > 0 || behind > 0) && !flawed_may_divide(flawed, across, area)) return;
  length_t corner[2];
  corner[along] = area->low[along];
  corner[across] = at;
  if (worth > best->worth && flawed_option_is_clear(flawed, option, corner[0], corner[1])) {
    best->worth = worth;
    best->option = o;
    best->at = at;
  }
}

static struct single best_single(struct flawed *flawed, const struct area *area,
                                 enum division along) {
  struct single best = {0, SIZE_MAX, 0};
  enum division across = area_across(along);
  struct arena_mark mark = arena_mark(flawed->scratch);
  length_t *places = ARENA_ARRAY(flawed->scratch, flawed_most_places(flawed) + 1, length_t);
  size_t place_count = flawed_places(flawed, area, across, places);
  for (size_t o = 0; o < flawed->stock->option_count; o++) {
    const struct nest_option *option = &flawed->stock->options[o];
    length_t exact = along == DIVIDE_LENGTH ? option->length : option->width;
    length_t size = across == DIVIDE_LENGTH ? option->length : option->width;
    if (exact != area_extent(area, along) || flawed->option_worth[o] <= best.worth) continue;
    offer_single(flawed, area, along, o, area->low[across], &best);
    offer_single(flawed, area, along, o, area->high[across] - size, &best);
    for (size_t p = 0; p < place_count; p++) offer_single(flawed, area, along, o, places[p], &best);
  }
  arena_release(flawed->scratch, mark);
  flawed->steps += (int64_t)flawed->stock->option_count;
  return best;
}

/* Which of the two numbers of a flawed part is wanted. */
enum wanted { WANT_BOUND, WANT_WORTH };

/* Whether a piece can lie beside a flaw in an area, across a row: rims are not looked at. */
static bool lies_beside(const struct flawed *flawed, const struct area *area, enum division over,
                        const struct nest_flaw *flaw) {
  length_t below = flaw_low(flaw, over) - area->low[over];
  length_t above = area->high[over] - flaw_high(flaw, over);
  length_t room = below > above ? below : above;
  if (flaw->rim_ok) return true;
  for (size_t o = 0; o < flawed->stock->option_count; o++)
    if (flawed->option_worth[o] > 0 && option_extent(&flawed->stock->options[o], over) <= room)
      return true;
  return false;
}

/* A row of single pieces: they lie between the flaws, but for those beside which a piece can lie.
 * *exact where there is none of these and the rest takes no more cuts than there are. */
static cost_t between_flaws(const struct flawed *flawed, const struct area *area,
                            enum division along, bool *exact) {
  enum division over = area_across(along);
  length_t kerf = flawed_kerf(flawed, along);
  length_t extent[2];
  length_t from = area->low[along];
  cost_t worth = 0;
  extent[over] = area_extent(area, over);
  *exact = flawed->cut_cost == 0 && flawed_may_divide(flawed, along, area);
  for (size_t i = 0; i <= flawed->stock->flaw_count; i++) {
    length_t low = area->high[along];
    length_t high = low;
    if (i < flawed->stock->flaw_count) {
      const struct nest_flaw *flaw = &flawed->stock->flaws[flawed->order[along][i]];
      if (!overlaps(area, flaw)) continue;
      bool beside = lies_beside(flawed, area, over, flaw);
      if (beside || flaw_high(flaw, along) - flaw_low(flaw, along) < kerf) *exact = false;
      if (beside) continue;
      low = flaw_low(flaw, along);
      high = flaw_high(flaw, along);
    }
    extent[along] = low - from;
    if (extent[along] > 0) worth += staged_worth(flawed->staged, 1, along, extent[0], extent[1]);
    if (high > from) from = high;
    if (from > area->low[along] && from < area->low[along] + kerf) from = area->low[along] + kerf;
  }
  return worth;
}

/* What an area is worth as a part of a row: `stages` are left in it and it is divided next
 * along `along`. *guess is set when the number is only a guess from above. */
static cost_t part_worth(struct flawed *flawed, const struct area *area, int stages,
                         enum division along, enum wanted wanted, bool *guess) {
  *guess = false;
  if (flawed_is_clear(flawed, area))
    return staged_worth(flawed->staged, stages, along, area_extent(area, 0), area_extent(area, 1));
  if (stages == 0) return best_single(flawed, area, area_across(along)).worth;
  bool exact = false;
  cost_t most = INT64_MAX;
  if (stages == 1) most = between_flaws(flawed, area, along, &exact);
  if (exact) return most;
  const struct memo *known = *find_memo(flawed, area, stages, along);
  *guess = known == NULL || !known->looked_into;
  if (known != NULL && wanted == WANT_BOUND) return known->bound < most ? known->bound : most;
  if (known != NULL) return known->worth;
  if (wanted == WANT_WORTH) return 0;
  if (stages == 1) return most;
  return staged_worth(flawed->staged, stages, along, area_extent(area, 0), area_extent(area, 1));
}

cost_t flawed_most(struct flawed *flawed, const struct area *area, int stages, enum division along,
                   bool *guess) {
  return part_worth(flawed, area, stages, along, WANT_BOUND, guess);
}

static struct area part_of(const struct area *row, enum division along, length_t low,
                           length_t high) {
  struct area part = *row;
  part.low[along] = low;
  part.high[along] = high;
  return part;
}

static void reach_start(struct reach *reach, size_t from, size_t to, cost_t worth, bool waste) {
  if (worth <= reach[to].worth) return;
  reach[to].worth = worth;
  reach[to].before = (uint32_t)from;
  reach[to].waste = waste;
}

/* Behind a part the next one may also start less than two kerfs on: it is cut off first, and
 * the kerf that frees the part before runs out into its kerf. */
static void skip_to_bases(const struct flawed *flawed, const struct starts *starts, length_t kerf,
                          struct reach *reach, size_t from) {
  length_t least = from == 0 || reach[from].waste ? kerf : 1;
  for (size_t b = 0; b < starts->base_count; b++) {
    size_t to = starts->base[b];
    if (starts->at[to] >= starts->at[from] + least)
      reach_start(reach, from, to, reach[from].worth - flawed->cut_cost, true);
  }
}

/* Extents beyond this are of no use to a part that is only a row of single pieces. */
static length_t longest_use(const struct flawed *flawed, int stages, enum division along) {
  const struct series_sizes *sizes = staged_sizes(flawed->staged, along);
  return stages >= 2 || sizes->count == 0 ? INT64_MAX : sizes->size[sizes->count - 1];
}

/* A row under search: its starts, how they are reached, and the parts between them that are
 * worth something. What clear parts are worth is looked up once. */
struct edge {
  cost_t worth; /* of a flawed part at most */
  uint32_t to;
  bool flawed;
  bool guessed; /* from above */
};

/* Parts that start and end near each other are bounded together, by an area around them all: first
 * many of them, then fewer. */
struct groups {
  size_t step;  /* starts in a group */
  size_t count; /* of groups of starts; 0: none are made */
  cost_t *most; /* [group of the start * count + group of the end] */
  unsigned char *looks;
};

struct row {
  const struct area *area;
  int stages;
  enum division along;
  struct starts starts;
  struct reach *reach;
  struct edge **edges; /* per start; NULL: not looked up yet */
  size_t *edges_of;    /* how many */
  size_t edge_count;   /* of all starts */
  struct edge *found;  /* scratch: those of one start */
  bool *ends;          /* scratch, per start */
  struct groups groups;
  cost_t *behind;    /* with groups: what follows a start is worth at most */
  struct edge *rest; /* per start: the part to the row's end; `to` is 1 once looked up */
};

/* A wider part may be one that no crosscut divides. */
static void open_groups(struct flawed *flawed, struct row *row) {
  bool widens = row->along == DIVIDE_LENGTH || flawed->stock->rules.crosscut_capacity <= 0;
  if (row->stages < 2 || row->starts.count < FEW_STARTS || !widens || flawed->cut_cost > 0) return;
  struct groups *groups = &row->groups;
  groups->step = (row->starts.count + MOST_GROUPS - 1) / MOST_GROUPS;
  groups->count = (row->starts.count + groups->step - 1) / groups->step;
  size_t cells = groups->count * groups->count;
  groups->most = ARENA_ARRAY(flawed->scratch, cells, cost_t);
  groups->looks = ARENA_ARRAY(flawed->scratch, cells, unsigned char);
  for (size_t i = 0; i < cells; i++) groups->most[i] = INT64_MAX;
  row->behind = ARENA_ARRAY(flawed->scratch, row->starts.count, cost_t);
  flawed->steps += (int64_t)cells;
}

static struct row open_row(struct flawed *flawed, const struct area *area, int stages,
                           enum division along) {
  struct row row = {.area = area, .stages = stages, .along = along};
  /* single pieces lie at sums of just their sizes */
  const struct raster *raster = flawed->thinned && stages > 1
                                    ? flawed->thin[along]
                                    : staged_sizes(flawed->staged, along)->raster;
  row.starts = make_starts(flawed, area, along, area == flawed->must_divide, raster);
  row.reach = ARENA_ARRAY(flawed->scratch, row.starts.count, struct reach);
  row.edges = ARENA_ARRAY(flawed->scratch, row.starts.count, struct edge *);
  row.found = ARENA_ARRAY(flawed->scratch, row.starts.count, struct edge);
  row.edges_of = ARENA_ARRAY(flawed->scratch, row.starts.count, size_t);
  row.rest = ARENA_ARRAY(flawed->scratch, row.starts.count, struct edge);
  row.ends = ARENA_ARRAY(flawed->scratch, row.starts.count, bool);
  open_groups(flawed, &row);
  return row;
}

static struct area part_between(const struct flawed *flawed, const struct row *row, size_t from,
                                size_t to) {
  return part_of(row->area, row->along, row->starts.at[from],
                 row->starts.at[to] - flawed_kerf(flawed, row->along));
}

static struct area rest_from(const struct row *row, size_t from) {
  return part_of(row->area, row->along, row->starts.at[from], row->area->high[row->along]);
}

/* What a part is worth, or for certain worth. */
static cost_t edge_worth(struct flawed *flawed, const struct row *row, const struct edge *edge,
                         const struct area *part, enum wanted wanted) {
  bool guess = false;
  if (wanted == WANT_BOUND || !edge->flawed) return edge->worth;
  return part_worth(flawed, part, row->stages - 1, area_across(row->along), wanted, &guess);
}

static void weigh_edge(struct flawed *flawed, const struct row *row, const struct area *part,
                       struct edge *edge) {
  edge->worth = part_worth(flawed, part, row->stages - 1, area_across(row->along), WANT_BOUND,
                           &edge->guessed);
}

static void keep_edges(struct flawed *flawed, struct row *row, size_t from, size_t count) {
  row->edges[from] = arena_grow(flawed->scratch, row->found, count, count, sizeof *row->found);
  row->edges_of[from] = count;
  row->edge_count += count;
}

/* Of single pieces only parts of just their sizes are of use. */
static void look_up_sizes(struct flawed *flawed, struct row *row, size_t from) {
  const struct series_sizes *sizes = staged_sizes(flawed->staged, row->along);
  length_t kerf = flawed_kerf(flawed, row->along);
  size_t to = from, count = 0;
  for (size_t s = 0; s < sizes->count; s++) {
    length_t high = row->starts.at[from] + sizes->size[s];
    if (high > row->area->high[row->along]) break;
    to = length_first_from(row->starts.at, to, row->starts.count, high + kerf);
    if (to == row->starts.count || row->starts.at[to] != high + kerf) continue;
    struct area part = part_between(flawed, row, from, to);
    bool whole = from == 0 && part.high[row->along] == row->area->high[row->along];
    if (whole && row->area == flawed->must_divide) continue;
    struct edge edge = {0, (uint32_t)to, !flawed_is_clear(flawed, &part), false};
    weigh_edge(flawed, row, &part, &edge);
    if (edge.worth > 0) row->found[count++] = edge;
  }
  keep_edges(flawed, row, from, count);
  flawed->steps += LOOK_UP_STEPS * (int64_t)sizes->count;
}

/* What is pushed down to a place ends at one of these starts; `ends` marks them. */
static void mark_ends(struct flawed *flawed, const struct starts *starts, enum division along,
                      int stages, length_t place, bool *ends) {
  const struct series_sizes *sizes = staged_sizes(flawed->staged, along);
  length_t top = starts->at[starts->count - 1];
  size_t to = length_first_from(starts->at, 0, starts->count, place);
  if (stages >= 3) {
    const struct raster *raster = sizes->raster;
    for (size_t i = 1; i < raster->count && place + raster->point[i] <= top; i++) {
      while (starts->at[to] < place + raster->point[i]) to++;
      ends[to] = true;
    }
    flawed->steps += (int64_t)raster->count;
    return;
  }
  length_t kerf = flawed_kerf(flawed, along);
  for (size_t s = 0; s < sizes->count && place + sizes->size[s] + kerf <= top; s++) {
    to = length_first_from(starts->at, to, starts->count, place + sizes->size[s] + kerf);
    ends[to] = true;
  }
  flawed->steps += LOOK_UP_STEPS * (int64_t)sizes->count;
}

void flawed_find_ends(struct flawed *flawed, const struct starts *starts, enum division along,
                      int stages, size_t from, bool *ends) {
  length_t low = starts->at[from];
  length_t first = low + flawed_kerf(flawed, along);
  bool near_edge = false;
  memset(ends, 0, starts->count * sizeof *ends);
  mark_ends(flawed, starts, along, stages, low, ends);
  for (size_t b = 0; b < starts->base_count; b++) {
    length_t base = starts->at[starts->base[b]];
    if (base <= low) continue;
    mark_ends(flawed, starts, along, stages, base, ends);
    near_edge = near_edge || base < first;
  }
  if (near_edge) mark_ends(flawed, starts, along, stages, first, ends);
  flawed->steps += (int64_t)(starts->count / CLEARED_A_STEP);
}

static void look_up_edges(struct flawed *flawed, struct row *row, size_t from) {
  length_t longest = longest_use(flawed, row->stages - 1, row->along);
  length_t high = row->area->high[row->along];
  cost_t beaten = 0; /* worth of the best shorter clear part */
  size_t count = 0;
  bool *ends = flawed->cut_cost > 0 || flawed->thinned ? NULL : row->ends;
  if (ends != NULL) flawed_find_ends(flawed, &row->starts, row->along, row->stages, from, ends);
  for (size_t to = from + 1; to < row->starts.count; to++) {
    if (ends != NULL && !ends[to]) continue;
    struct area part = part_between(flawed, row, from, to);
    length_t part_extent = area_extent(&part, row->along);
    if (part_extent <= 0) continue;
    if (part.high[row->along] > high) break;
    flawed->steps += LOOK_UP_STEPS;
    bool whole = from == 0 && part.high[row->along] == high;
    if (whole && row->area == flawed->must_divide) continue;
    struct edge edge = {0, (uint32_t)to, !flawed_is_clear(flawed, &part), false};
    if (!edge.flawed && part_extent > longest) continue;
    weigh_edge(flawed, row, &part, &edge);
    if (!edge.flawed && flawed->cut_cost == 0) {
      /* where cuts are free a clear part that is worth no more than a shorter one is of no use:
       * what follows moves up, or a flawed part after it takes the room in */
      if (edge.worth <= beaten) continue;
      beaten = edge.worth;
    }
    if (edge.worth > 0) row->found[count++] = edge;
  }
  keep_edges(flawed, row, from, count);
  flawed->steps += (int64_t)(row->starts.count - from) / CLEARED_A_STEP;
}

/* What a part is worth at most, its group known. */
static cost_t most_of(const struct row *row, size_t from, const struct edge *edge) {
  const struct groups *groups = &row->groups;
  if (!edge->guessed || groups->count == 0) return edge->worth;
  cost_t most = groups->most[from / groups->step * groups->count + edge->to / groups->step];
  return most < edge->worth ? most : edge->worth;
}

static void extend_from(struct flawed *flawed, struct row *row, size_t from, enum wanted wanted) {
  if (row->edges[from] == NULL) {
    if (row->stages == 1)
      look_up_sizes(flawed, row, from);
    else
      look_up_edges(flawed, row, from);
  }
  cost_t before = row->reach[from].worth - flawed->cut_cost;
  for (size_t e = 0; e < row->edges_of[from]; e++) {
    const struct edge *edge = &row->edges[from][e];
    cost_t worth = edge->worth;
    if (wanted == WANT_BOUND) worth = most_of(row, from, edge);
    if (edge->flawed && wanted == WANT_WORTH) {
      struct area part = part_between(flawed, row, from, edge->to);
      worth = edge_worth(flawed, row, edge, &part, wanted);
      flawed->steps += LOOK_UP_STEPS;
    }
    if (worth > 0) reach_start(row->reach, from, edge->to, before + worth, false);
  }
  flawed->steps += (int64_t)row->edges_of[from];
}

static cost_t rest_worth(struct flawed *flawed, struct row *row, size_t from, enum wanted wanted) {
  struct area rest = rest_from(row, from);
  struct edge *edge = &row->rest[from];
  if (edge->to == 0) {
    edge->to = 1;
    edge->flawed = !flawed_is_clear(flawed, &rest);
    weigh_edge(flawed, row, &rest, edge);
  }
  return edge_worth(flawed, row, edge, &rest, wanted);
}

static struct row_result run_row(struct flawed *flawed, struct row *row, enum wanted wanted) {
  struct row_result best = {0, 0, false};
  struct reach *reach = row->reach;
  bool divides = flawed_may_divide(flawed, row->along, row->area);
  for (size_t i = 0; i < row->starts.count; i++)
    reach[i] = (struct reach){i == 0 ? 0 : COST_NEVER, 0, false};
  for (size_t i = 0; i < (divides ? row->starts.count : 1); i++) {
    if (reach[i].worth <= COST_NEVER) continue;
    if (reach[i].worth > best.worth) best = (struct row_result){reach[i].worth, i, false};
    if (row->starts.at[i] >= row->area->high[row->along]) continue; /* nothing is left behind it */
    bool undivided = i == 0 && row->area == flawed->must_divide;
    cost_t with_rest = reach[i].worth + rest_worth(flawed, row, i, wanted);
    if (with_rest > best.worth && !undivided) best = (struct row_result){with_rest, i, true};
    if (!divides) break;
    skip_to_bases(flawed, &row->starts, flawed_kerf(flawed, row->along), reach, i);
    extend_from(flawed, row, i, wanted);
  }
  return best;
}

/* The bound of an area around all parts that start and end in some groups. */
static cost_t most_around(struct flawed *flawed, const struct row *row, size_t from, size_t to,
                          size_t groups) {
  length_t kerf = flawed_kerf(flawed, row->along);
  size_t last = (to + groups) * row->groups.step - 1;
  if (last >= row->starts.count) last = row->starts.count - 1;
  /* waste before a part is no thinner than a kerf */
  length_t low = row->starts.at[from * row->groups.step] - kerf;
  length_t high = row->starts.at[last] - kerf;
  if (low < row->area->low[row->along]) low = row->area->low[row->along];
  if (high > row->area->high[row->along]) high = row->area->high[row->along];
  struct area around = part_of(row->area, row->along, low, high);
  bool guess = true;
  cost_t most = 0;
  for (int look = 0; look < 2 && guess; look++) {
    flawed_look_into(flawed, &around, row->stages - 1, area_across(row->along));
    most =
        part_worth(flawed, &around, row->stages - 1, area_across(row->along), WANT_BOUND, &guess);
  }
  return most;
}

/* Bounds the parts near one together; false when that was done. */
static bool look_at_group(struct flawed *flawed, const struct row *row, size_t from, size_t to) {
  const struct groups *groups = &row->groups;
  if (groups->count == 0) return false;
  size_t own[2] = {from / groups->step, to / groups->step};
  unsigned char looks = groups->looks[own[0] * groups->count + own[1]];
  if (looks >= GROUP_LOOKS) return false;
  size_t together = looks == 0 ? GROUPS_TOGETHER : 1;
  size_t first[2] = {own[0] / together * together, own[1] / together * together};
  cost_t most = most_around(flawed, row, first[0], first[1], together);
  for (size_t i = first[0]; i < first[0] + together && i < groups->count; i++)
    for (size_t j = first[1]; j < first[1] + together && j < groups->count; j++) {
      size_t cell = i * groups->count + j;
      if (groups->looks[cell] > looks) continue;
      groups->looks[cell] = looks + 1;
      if (most < groups->most[cell]) groups->most[cell] = most;
    }
  return true;
}

/* Looks into a part when it is only guessed; false when it was not. */
static bool settle(struct flawed *flawed, const struct row *row, const struct area *part,
                   struct edge *edge, size_t from) {
  if (!edge->guessed) return false;
  if (edge->to > from && edge->to < row->starts.count && edge != &row->rest[from] &&
      look_at_group(flawed, row, from, edge->to))
    return true;
  flawed_look_into(flawed, part, row->stages - 1, area_across(row->along));
  weigh_edge(flawed, row, part, edge);
  return true;
}

static struct edge *find_edge(const struct row *row, size_t from, size_t to) {
  struct edge *edge = row->edges[from];
  while (edge->to != to) edge++;
  return edge;
}

/* Looks into every guessed part of the row's best path; false when there was none. */
static bool settle_path(struct flawed *flawed, const struct row *row, struct row_result best) {
  bool any = false;
  if (best.takes_rest) {
    struct area rest = rest_from(row, best.end);
    any = settle(flawed, row, &rest, &row->rest[best.end], best.end);
  }
  for (size_t at = best.end; at != 0; at = row->reach[at].before) {
    size_t from = row->reach[at].before;
    if (row->reach[at].waste) continue;
    struct area part = part_between(flawed, row, from, at);
    any = settle(flawed, row, &part, find_edge(row, from, at), from) || any;
  }
  return any;
}

/* What follows each start that is reached is worth at most. */
static void bound_behind(struct flawed *flawed, const struct row *row) {
  const struct starts *starts = &row->starts;
  size_t base = starts->base_count;
  cost_t waste = 0; /* what follows a later base */
  for (size_t i = starts->count; i-- > 0;) {
    cost_t most = row->rest[i].to == 1 && row->rest[i].worth > waste ? row->rest[i].worth : waste;
    for (size_t e = 0; row->edges[i] != NULL && e < row->edges_of[i]; e++) {
      const struct edge *edge = &row->edges[i][e];
      cost_t own = most_of(row, i, edge) + row->behind[edge->to];
      if (own > most) most = own;
    }
    row->behind[i] = most;
    if (base > 0 && starts->base[base - 1] == i) {
      base--;
      if (most > waste) waste = most;
    }
  }
  flawed->steps += (int64_t)(row->edge_count + starts->count);
}

/* Looks into every guessed part of all paths worth nearly as much as the best: where a row has very
 * many parts it takes long to find the best path again. False when there was none. */
static bool settle_near(struct flawed *flawed, const struct row *row, cost_t best) {
  bool any = false;
  cost_t least = best - best / NEAR_SHARE;
  bound_behind(flawed, row);
  for (size_t i = 0; i < row->starts.count && flawed->steps < flawed->steps_allowed; i++) {
    cost_t before = row->reach[i].worth;
    if (before <= COST_NEVER || row->edges[i] == NULL) continue;
    for (size_t e = 0; e < row->edges_of[i]; e++) {
      struct edge *edge = &row->edges[i][e];
      if (!edge->guessed || before + most_of(row, i, edge) + row->behind[edge->to] < least)
        continue;
      struct area part = part_between(flawed, row, i, edge->to);
      any = settle(flawed, row, &part, edge, i) || any;
    }
  }
  flawed->steps += (int64_t)(row->edge_count + row->starts.count);
  return any;
}

/* Bound and worth of a row with flaws. */
static void solve_row(struct flawed *flawed, const struct area *area, int stages,
                      enum division along, bool is_whole, cost_t *worth, cost_t *bound) {
  struct row row = open_row(flawed, area, stages, along);
  struct row_result best = {0, 0, false};
  bool open = true;
  while (open) {
    best = run_row(flawed, &row, WANT_BOUND);
    if (flawed->steps >= flawed->steps_allowed) break;
    if (is_whole && best.worth <= flawed->enough) break;
    open = row.groups.count > 0 && row.edge_count > MANY_PARTS &&
           settle_near(flawed, &row, best.worth);
    open = settle_path(flawed, &row, best) || open;
  }
  if (open) flawed->guessed = true;
  *bound = best.worth;
  *worth = flawed->guessed ? run_row(flawed, &row, WANT_WORTH).worth : best.worth;
}

static struct memo *add_memo(struct flawed *flawed, const struct area *area, int stages,
                             enum division along) {
  struct memo *memo = ARENA_NEW(flawed->scratch, struct memo);
  *memo = (struct memo){.area = *area, .stages = stages, .along = along};
  *find_memo(flawed, area, stages, along) = memo;
  return memo;
}

/* Whether its lines tell less of an area than that it were clear. */
static bool look_at_lines(struct flawed *flawed, const struct area *area, int stages,
                          enum division along) {
  cost_t clear =
      staged_worth(flawed->staged, stages, along, area_extent(area, 0), area_extent(area, 1));
  cost_t most = flaw_lines_most(flawed->lines, area);
  flawed->steps += LINES_STEPS;
  if (most >= clear) return false;
  struct memo *memo = add_memo(flawed, area, stages, along);
  memo->bound = most;
  return true;
}

/* The lines come first: often they tell enough. */
void flawed_look_into(struct flawed *flawed, const struct area *area, int stages,
                      enum division along) {
  struct memo *memo = *find_memo(flawed, area, stages, along);
  if (memo == NULL && stages > 1 && flawed->lines != NULL &&
      look_at_lines(flawed, area, stages, along))
    return;
  if (memo != NULL && memo->looked_into) return;
  cost_t worth = 0;
  cost_t bound = 0;
  if (stages == 1 && flawed->cut_cost == 0 && flawed_may_divide(flawed, along, area) &&
      single_rows_worth(flawed->singles, flawed, flawed->option_worth, area, along, &flawed->steps,
                        &worth))
    bound = worth;
  else
    solve_row(flawed, area, stages, along, false, &worth, &bound);
  if (memo == NULL)
    memo = add_memo(flawed, area, stages, along);
  else if (memo->bound < bound)
    bound = memo->bound;
  memo->bound = bound;
  memo->worth = worth;
  memo->looked_into = true;
}

static void build_single(struct arena *arena, struct flawed *flawed, const struct area *area,
                         enum division along, struct node *node) {
  struct single best = best_single(flawed, area, along);
  if (best.option == SIZE_MAX) return;
  const struct nest_option *option = &flawed->stock->options[best.option];
  enum division across = area_across(along);
  length_t size = across == DIVIDE_LENGTH ? option->length : option->width;
  length_t kerf = flawed_kerf(flawed, across);
  length_t before = best.at - area->low[across];
  length_t extents[2] = {before - kerf, size};
  bool shifted = before > 0;
  struct node *children =
      cutting_divide(arena, node, across, kerf, shifted ? extents : extents + 1, shifted ? 2 : 1);
  struct node *piece = children == NULL ? node : &children[shifted ? 1 : 0];
  piece->kind = NODE_PIECE;
  piece->blank = option->blank;
  piece->turned = option->turned;
}

static void build_area(struct arena *arena, struct flawed *flawed, const struct area *area,
                       int stages, enum division along, struct node *node);

/* A child of a row: the room cut off for it, and the part of it that is used. The room is
 * longer where the kerf that frees the part runs out into the next one's. */
struct slot {
  struct area room;
  struct area part;
  bool waste;
};

/* The children of a row from low to high. */
static size_t list_slots(const struct flawed *flawed, const struct row *row, struct row_result best,
                         struct slot *slots) {
  size_t count = 0;
  length_t room_end = 0;
  bool reaches = false; /* the child before must reach to room_end */
  if (best.takes_rest) {
    struct area rest = rest_from(row, best.end);
    slots[count++] = (struct slot){rest, rest, false};
  }
  for (size_t at = best.end; at != 0; at = row->reach[at].before) {
    struct area part = part_between(flawed, row, row->reach[at].before, at);
    if (row->reach[at].waste && area_extent(&part, row->along) < 0) {
      room_end = part.high[row->along];
      reaches = true;
      continue;
    }
    struct area room = part;
    if (reaches) room.high[row->along] = room_end;
    slots[count++] = (struct slot){room, part, row->reach[at].waste};
    reaches = false;
  }
  for (size_t i = 0; i < count / 2; i++) {
    struct slot kept = slots[i];
    slots[i] = slots[count - 1 - i];
    slots[count - 1 - i] = kept;
  }
  return count;
}

static void build_slot(struct arena *arena, struct flawed *flawed, const struct slot *slot,
                       int stages, enum division along, struct node *node) {
  length_t used = area_extent(&slot->part, along);
  struct node *inner = cutting_divide(arena, node, along, flawed_kerf(flawed, along), &used, 1);
  build_area(arena, flawed, &slot->part, stages - 1, area_across(along),
             inner == NULL ? node : inner);
}

static void build_row(struct arena *arena, struct flawed *flawed, const struct area *area,
                      int stages, enum division along, struct node *node) {
  struct row row = open_row(flawed, area, stages, along);
  struct row_result best = run_row(flawed, &row, WANT_WORTH);
  if (best.worth <= 0) return;
  struct slot *slots = ARENA_ARRAY(flawed->scratch, row.starts.count + 1, struct slot);
  size_t count = list_slots(flawed, &row, best, slots);
  length_t *extents = ARENA_ARRAY(flawed->scratch, count, length_t);
  for (size_t i = 0; i < count; i++) extents[i] = area_extent(&slots[i].room, along);
  struct node *children =
      cutting_divide(arena, node, along, flawed_kerf(flawed, along), extents, count);
  for (size_t i = 0; i < count; i++)
    if (!slots[i].waste)
      build_slot(arena, flawed, &slots[i], stages, along, children == NULL ? node : &children[i]);
}

static void build_area(struct arena *arena, struct flawed *flawed, const struct area *area,
                       int stages, enum division along, struct node *node) {
  if (flawed_is_clear(flawed, area))
    staged_build(arena, flawed->staged, stages, along, node);
  else if (stages == 0)
    build_single(arena, flawed, area, area_across(along), node);
  else
    build_row(arena, flawed, area, stages, along, node);
}

static struct raster *make_thin(struct arena *arena, const struct flawed *flawed,
                                enum division along) {
  const struct series_sizes *sizes = staged_sizes(flawed->staged, along);
  const struct raster *full = sizes->raster;
  struct raster *thin =
      raster_create(arena, sizes->size, sizes->count, full->whole - full->kerf, full->kerf, false);
  raster_thin(arena, thin, sizes->size, sizes->count, FEW_POINTS);
  return thin;
}

static size_t points_of(const struct flawed *flawed) {
  return staged_sizes(flawed->staged, DIVIDE_LENGTH)->raster->count +
         staged_sizes(flawed->staged, DIVIDE_WIDTH)->raster->count;
}

/* The more points, the more areas there are to know; clearing the table takes time as well. */
static size_t choose_bucket_count(const struct flawed *flawed) {
  size_t wanted = BUCKETS_A_POINT * points_of(flawed);
  size_t count = FEWEST_BUCKETS;
  while (count < wanted && count < MOST_BUCKETS) count *= 2;
  return count;
}

bool flawed_is_dense(const struct flawed *flawed) {
  size_t points = points_of(flawed);
  size_t places = flawed->stock->flaw_count + (flawed->cut_cost > 0 ? 2 : 1);
  return points * places > MOST_PLACES;
}

static size_t *order_flaws(struct arena *arena, const struct nest_stock *stock,
                           enum division along) {
  size_t *order = ARENA_ARRAY(arena, stock->flaw_count, size_t);
  for (size_t f = 0; f < stock->flaw_count; f++) {
    length_t low = flaw_low(&stock->flaws[f], along);
    size_t at = f;
    for (; at > 0 && flaw_low(&stock->flaws[order[at - 1]], along) > low; at--)
      order[at] = order[at - 1];
    order[at] = f;
  }
  return order;
}

struct flawed *flawed_create(struct arena *arena, const struct nest_stock *stock,
                             struct staged *staged, cost_t cut_cost) {
  struct flawed *flawed = ARENA_NEW(arena, struct flawed);
  flawed->stock = stock;
  flawed->staged = staged;
  flawed->cut_cost = cut_cost;
  flawed->arena = arena;
  flawed->bucket_count = choose_bucket_count(flawed);
  flawed->lines = flaw_lines_create(arena, stock);
  flawed->singles = single_rows_create(arena, stock);
  for (int d = 0; d < 2; d++) flawed->order[d] = order_flaws(arena, stock, (enum division)d);
  for (int d = 0; d < 2 && flawed_is_dense(flawed); d++)
    flawed->thin[d] = make_thin(arena, flawed, (enum division)d);
  return flawed;
}

int64_t flawed_steps(const struct flawed *flawed) { return flawed->steps; }

/* The dearest option that is the whole stock, uncut and clear; SIZE_MAX for none. */
static size_t whole_piece(const struct flawed *flawed) {
  const struct nest_stock *stock = flawed->stock;
  size_t best = SIZE_MAX;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    if (option->length != stock->length || option->width != stock->width) continue;
    if (flawed->option_worth[o] <= (best == SIZE_MAX ? 0 : flawed->option_worth[best])) continue;
    if (flawed_option_is_clear(flawed, option, 0, 0)) best = o;
  }
  return best;
}

void flawed_open(struct arena *arena, struct flawed *flawed, const cost_t *option_worth,
                 int64_t steps) {
  flawed->option_worth = option_worth;
  flawed->scratch = arena;
  flawed->steps_allowed = flawed->steps + steps;
  flawed->guessed = false;
  flawed->steps += (int64_t)(flawed->bucket_count / CLEARED_A_STEP);
  if (flawed->buckets == NULL)
    flawed->buckets = ARENA_ARRAY(flawed->arena, flawed->bucket_count, struct memo *);
  if (flawed->lines != NULL) flawed->steps += flaw_lines_price(flawed->lines, option_worth);
  memset(flawed->buckets, 0, flawed->bucket_count * sizeof *flawed->buckets);
}

void flawed_run(struct flawed *flawed, struct node *root, cost_t *worth, cost_t *bound) {
  const struct nest_stock *stock = flawed->stock;
  struct area whole = {{0, 0}, {stock->length, stock->width}};
  int stages = stock->rules.stages == 0 || stock->rules.stages > 3 ? 3 : stock->rules.stages;
  cost_t found[2] = {-1, -1};
  bool forced = !stock->rules.crosscut_first || !stock->rules.rip_first;
  flawed->must_divide = forced ? &whole : NULL;
  *bound = 0;
  for (int d = 0; d < 2; d++) {
    if (d == DIVIDE_LENGTH ? !stock->rules.crosscut_first : !stock->rules.rip_first) continue;
    cost_t above = 0;
    solve_row(flawed, &whole, stages, (enum division)d, true, &found[d], &above);
    if (above > *bound) *bound = above;
  }
  const cost_t *option_worth = flawed->option_worth;
  size_t piece = whole_piece(flawed);
  if (piece != SIZE_MAX && option_worth[piece] > *bound) *bound = option_worth[piece];
  enum division first = found[0] >= found[1] ? DIVIDE_LENGTH : DIVIDE_WIDTH;
  *worth = found[first] > 0 ? found[first] : 0;
  *root = (struct node){.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  if (piece != SIZE_MAX && option_worth[piece] > *worth) {
    *worth = option_worth[piece];
    cutting_place(flawed->scratch, root, stock, &stock->options[piece], true);
  } else if (*worth > 0) {
    build_row(flawed->scratch, flawed, &whole, stages, first, root);
  }
  flawed->must_divide = NULL;
}

void flawed_stop_at(struct flawed *flawed, cost_t bound) { flawed->enough = bound; }

void flawed_search(struct arena *arena, struct flawed *flawed, const cost_t *option_worth,
                   int64_t steps, struct node *root, cost_t *worth, cost_t *bound) {
  flawed_open(arena, flawed, option_worth, steps);
  flawed_run(flawed, root, worth, bound);
}

cost_t flawed_layout(struct arena *arena, struct flawed *flawed, const cost_t *option_worth,
                     int64_t steps, struct node *root) {
  cost_t worth = 0;
  cost_t bound = 0;
  flawed->thinned = flawed->thin[0] != NULL;
  flawed->enough = 0;
  flawed_search(arena, flawed, option_worth, steps, root, &worth, &bound);
  flawed->thinned = false;
  return worth;
}
