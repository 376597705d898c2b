#include "nest/flawed_any.h"

#include "nest/flawed_any_build.h"
#include "nest/flawed_memo.h"

/* Work in one step: a cut looked at. */
enum { LOOK_UP_STEPS = 4, LISTED_PER_STEP = 4, DESCENT = 8 };

struct flawed_any {
  const struct nest_stock *stock;
  struct unstaged *table;
  struct arena *scratch; /* emptied by each search */
  int64_t steps;
};

struct try {
  cost_t most[2]; /* bounds on what its parts are worth */
  length_t end, start;
  enum division along;
};

struct search {
  struct flaw_memo *memo;
  struct arena *arena;
  struct try *cuts; /* of the rectangles being looked into, one upon the other */
  size_t cut_count, cut_room;
  int64_t steps, steps_allowed;
  bool stopped;
};

/* ---- cuts of a rectangle ---- */

static void offer_cut(struct search *search, const struct flaw_box *box, enum division along,
                      length_t end, length_t start, cost_t need, cost_t *beaten) {
  struct flaw_box first = *box;
  struct flaw_box second = *box;
  first.high[along] = end;
  second.low[along] = start;
  search->steps++;
  cost_t most[2] = {end > box->low[along] ? flaw_memo_quick(search->memo, &first) : 0, 0};
  if (start < box->high[along]) most[1] = flaw_memo_quick(search->memo, &second);
  if (most[0] + most[1] <= need) {
    if (most[0] + most[1] > *beaten) *beaten = most[0] + most[1];
    return;
  }
  struct try *cut = ARENA_PUSH(search->arena, search->cuts, search->cut_count, search->cut_room);
  *cut = (struct try){{most[0], most[1]}, end, start, along};
}

/* Without a kerf both parts shrink to what they can hold: of pairs of edges only those where
 * neither part can be larger; and those where the first may be a single piece that fills it
 * across, since it is not cut in this direction again. */
static void list_free_cuts(struct search *search, const struct flaw_part *part, enum division along,
                           cost_t need, cost_t *beaten) {
  const struct flaw_box *box = &part->box;
  struct flaw_places *places = search->memo->places;
  struct place_list ends = flaw_places_ends(places, box, part->inside, along);
  struct place_list starts = flaw_places_starts(places, box, part->inside, along);
  size_t s = place_list_ceiling(&starts, box->low[along] + 1);
  bool some = s < starts.count && starts.at[s] < box->high[along];
  if (some && (ends.count == 0 || ends.at[0] > starts.at[s]))
    offer_cut(search, box, along, box->low[along], starts.at[s], need, beaten);
  for (size_t e = 0; e < ends.count && ends.at[e] < box->high[along]; e++) {
    while (s < starts.count && starts.at[s] < ends.at[e]) s++;
    length_t start = s < starts.count ? starts.at[s] : box->high[along];
    for (; e + 1 < ends.count && ends.at[e + 1] <= start && ends.at[e + 1] < box->high[along]; e++)
      if (flaw_places_is_size(places, along, ends.at[e] - box->low[along]))
        offer_cut(search, box, along, ends.at[e], start, need, beaten);
    offer_cut(search, box, along, ends.at[e], start, need, beaten);
  }
}

/* With a kerf parts lie against their low edges or behind flaws: the kerf behind a part may run
 * out into waste, but none may be cut off a low edge thinner than itself. */
static void list_kerf_cuts(struct search *search, const struct flaw_part *part, enum division along,
                           length_t kerf, cost_t need, cost_t *beaten) {
  const struct flaw_box *box = &part->box;
  struct flaw_places *places = search->memo->places;
  struct place_list ends = flaw_places_ends(places, box, part->inside, along);
  length_t *bases = search->memo->bases;
  size_t base_count = flaw_places_bases(places, part->inside, along, true, bases);
  length_t low = box->low[along];
  length_t high = box->high[along];
  bool near_edge = false;
  for (size_t b = 0; b < base_count; b++) {
    near_edge = near_edge || (bases[b] > low && bases[b] < low + kerf);
    if (bases[b] >= low + kerf && bases[b] < high)
      offer_cut(search, box, along, low, bases[b], need, beaten);
  }
  if (near_edge && low + kerf < high) offer_cut(search, box, along, low, low + kerf, need, beaten);
  for (size_t e = 0; e < ends.count && ends.at[e] < high; e++) {
    length_t start = ends.at[e] + kerf;
    offer_cut(search, box, along, ends.at[e], start < high ? start : high, need, beaten);
    for (size_t b = 0; b < base_count; b++)
      if (bases[b] > start && bases[b] < start + kerf && bases[b] < high)
        offer_cut(search, box, along, ends.at[e], bases[b], need, beaten);
  }
}

/* Cuts that could be worth more than `need`; beaten[] gets what the others could be worth at
 * most, per direction. */
static size_t list_cuts(struct search *search, const struct flaw_part *part, enum flaw_ways ways,
                        cost_t need, cost_t *beaten) {
  size_t from = search->cut_count;
  for (int d = 0; d < 2; d++) {
    if ((ways & 1 << d) == 0) continue;
    length_t kerf = search->memo->kerf[d];
    if (kerf == 0)
      list_free_cuts(search, part, (enum division)d, need, &beaten[d]);
    else
      list_kerf_cuts(search, part, (enum division)d, kerf, need, &beaten[d]);
  }
  return from;
}

static cost_t most_of(const struct try *cut) { return cut->most[0] + cut->most[1]; }

static void sift_down(struct try *cuts, size_t at, size_t count) {
  struct try moved = cuts[at];
  for (;;) {
    size_t child = 2 * at + 1;
    if (child >= count) break;
    if (child + 1 < count && most_of(&cuts[child + 1]) > most_of(&cuts[child])) child++;
    if (most_of(&cuts[child]) <= most_of(&moved)) break;
    cuts[at] = cuts[child];
    at = child;
  }
  cuts[at] = moved;
}

/* ---- the search ---- */

static bool out_of_steps(struct search *search) {
  if (search->steps + flaw_places_listed(search->memo->places) / LISTED_PER_STEP >=
          search->steps_allowed ||
      flaw_memo_is_full(search->memo))
    search->stopped = true;
  return search->stopped;
}

static struct flaw_part side_of(struct search *search, const struct flaw_part *part,
                                const struct try *cut, bool second) {
  struct flaw_box box = part->box;
  if (second)
    box.low[cut->along] = cut->start;
  else
    box.high[cut->along] = cut->end;
  search->steps += LOOK_UP_STEPS;
  return flaw_memo_part(search->memo, &box);
}

static cost_t look_into(struct search *search, const struct flaw_part *part, enum flaw_ways ways,
                        cost_t need);

/* What a part is worth, cut first in one of these ways, if more than `need`; else a bound that
 * is no more than need. */
static cost_t part_worth(struct search *search, const struct flaw_part *part, enum flaw_ways ways,
                         cost_t need) {
  if (part->entry == FLAW_NO_ENTRY) return part->bound[0];
  cost_t bound = flaw_part_bound(part, ways);
  return bound <= need ? bound : look_into(search, part, ways, need);
}

/* What the two parts of a cut are worth if more than `need`, else a bound. A row is divided
 * from its low end: its first part is not cut in the same direction again. */
static cost_t cut_worth(struct search *search, const struct flaw_part *part, const struct try *cut,
                        cost_t need) {
  enum flaw_ways ways[2] = {cut->along == DIVIDE_LENGTH ? BY_WIDTH : BY_LENGTH, BY_EITHER};
  struct flaw_part side[2];
  cost_t known[2] = {cut->most[0], cut->most[1]};
  int large = known[0] >= known[1] ? 0 : 1; /* bounded first */
  for (int i = 0; i < 2; i++) {
    int own = i == 0 ? large : 1 - large;
    side[own] = side_of(search, part, cut, own == 1);
    cost_t bound = flaw_part_bound(&side[own], ways[own]);
    if (bound < known[own]) known[own] = bound;
    if (known[0] + known[1] <= need) return known[0] + known[1];
  }
  int first = side[0].area <= side[1].area ? 0 : 1; /* the small one is settled sooner */
  for (int i = 0; i < 2; i++) {
    int own = i == 0 ? first : 1 - first;
    known[own] = part_worth(search, &side[own], ways[own], need - known[1 - own]);
    if (search->stopped || known[0] + known[1] <= need) break;
  }
  return known[0] + known[1];
}

static cost_t look_into(struct search *search, const struct flaw_part *part, enum flaw_ways ways,
                        cost_t need) {
  const struct flaw_entry *entry = &search->memo->entries[part->entry];
  cost_t *bound = flaw_memo_bound(search->memo, part->entry);
  cost_t known = flaw_ways_most(bound, ways);
  cost_t best = flaw_ways_most(entry->worth, ways);
  if (known <= need || known == best || out_of_steps(search)) return known;
  cost_t beaten[2] = {entry->worth[0], entry->worth[1]}; /* per way: no cut is worth more */
  enum flaw_ways open = 0;
  for (int d = 0; d < 2; d++)
    if ((ways & 1 << d) != 0 && bound[d] > need && bound[d] > best)
      open |= d == DIVIDE_LENGTH ? BY_LENGTH : BY_WIDTH;
  if (best < need) best = need;
  size_t from = list_cuts(search, part, open, best, beaten);
  size_t count = search->cut_count - from;
  for (size_t i = count / 2; i-- > 0;) sift_down(search->cuts + from, i, count);
  for (; count > 0; count--) {
    struct try cut = search->cuts[from];
    search->cuts[from] = search->cuts[from + count - 1];
    sift_down(search->cuts + from, 0, count - 1);
    search->cut_count = from + count - 1;
    cost_t worth = most_of(&cut);
    if (worth > best) worth = cut_worth(search, part, &cut, best);
    if (search->stopped) break;
    if (worth > beaten[cut.along]) beaten[cut.along] = worth;
    if (worth <= best) continue;
    best = worth;
    flaw_memo_keep(search->memo, part->entry, worth, cut.along, cut.end, cut.start);
  }
  search->cut_count = from;
  bound = flaw_memo_bound(search->memo, part->entry);
  for (int d = 0; d < 2 && !search->stopped; d++)
    if ((open & 1 << d) != 0 && beaten[d] < bound[d]) bound[d] = beaten[d];
  return flaw_ways_most(bound, ways);
}

/* ---- a first layout: cuts along the edges of flaws ---- */

static void guess_part(struct search *search, const struct flaw_part *part);

static void guess_cut(struct search *search, const struct flaw_part *part, enum division along,
                      length_t end, length_t start) {
  const struct flaw_box *box = &part->box;
  if (end <= box->low[along]) end = box->low[along];
  if (start >= box->high[along]) start = box->high[along];
  if (start <= box->low[along] || end >= box->high[along]) return;
  if (end == box->low[along] && start - end < search->memo->kerf[along]) return;
  struct try cut = {{0, 0}, end, start, along};
  cost_t worth = 0;
  for (int i = 0; i < 2; i++) {
    struct flaw_part side = side_of(search, part, &cut, i == 1);
    if (side.entry != FLAW_NO_ENTRY) guess_part(search, &side);
    worth +=
        side.entry == FLAW_NO_ENTRY ? side.bound[0] : flaw_memo_worth(search->memo, side.entry);
  }
  if (worth > search->memo->entries[part->entry].worth[along])
    flaw_memo_keep(search->memo, part->entry, worth, along, end, start);
}

static void guess_part(struct search *search, const struct flaw_part *part) {
  if (search->memo->entries[part->entry].guessed || out_of_steps(search)) return;
  search->memo->entries[part->entry].guessed = true;
  const struct nest_stock *stock = search->memo->stock;
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    if ((part->inside >> f & 1) == 0) continue;
    for (int d = 0; d < 2; d++) {
      length_t kerf = search->memo->kerf[d];
      length_t low = d == DIVIDE_LENGTH ? flaw->x : flaw->y;
      length_t high = low + (d == DIVIDE_LENGTH ? flaw->length : flaw->width);
      guess_cut(search, part, (enum division)d, low, low + kerf);
      guess_cut(search, part, (enum division)d, high - kerf, high);
    }
  }
}

/* Asks for more and more modest worths, until the best is found or the floor reached. */
static cost_t descend(struct search *search, const struct flaw_part *whole, cost_t floor) {
  cost_t bound = flaw_part_bound(whole, BY_EITHER);
  cost_t step = bound / DESCENT + 1;
  guess_part(search, whole);
  while (!search->stopped) {
    cost_t worth = flaw_memo_worth(search->memo, whole->entry);
    cost_t least = worth > floor ? worth : floor;
    if (bound <= least) break;
    cost_t need = bound - step > least ? bound - step : least;
    bound = look_into(search, whole, BY_EITHER, need);
    if (bound > need) break;
  }
  return bound;
}

struct flawed_any *flawed_any_create(struct arena *arena, const struct nest_stock *stock,
                                     size_t *cells) {
  if (stock->flaw_count > MOST_FLAWS_AROUND) return NULL;
  if (stock->length >= INT32_MAX || stock->width >= INT32_MAX) return NULL;
  /* rectangles shrink to what they hold, which may turn a cut that is allowed into one that is
   * not: no rules, then */
  struct nest_stock *sound = ARENA_NEW(arena, struct nest_stock);
  *sound = *stock;
  sound->rules = (struct nest_rules){.crosscut_first = true, .rip_first = true};
  struct unstaged *table = unstaged_create_inside(arena, sound, cells);
  if (table == NULL) return NULL;
  struct flawed_any *flawed = ARENA_NEW(arena, struct flawed_any);
  flawed->stock = stock;
  flawed->table = table;
  flawed->scratch = arena_create_child(arena);
  return flawed;
}

int64_t flawed_any_steps(const struct flawed_any *flawed) {
  return flawed->steps + unstaged_steps(flawed->table);
}

void flawed_any_search(struct arena *arena, struct flawed_any *flawed, const cost_t *option_worth,
                       cost_t floor, int64_t steps, struct node *root, cost_t *worth,
                       cost_t *bound) {
  const struct nest_stock *stock = flawed->stock;
  struct arena_mark empty = arena_mark(flawed->scratch);
  unstaged_price(flawed->table, option_worth);
  struct search search = {.arena = flawed->scratch, .steps_allowed = steps};
  search.memo = flaw_memo_create(flawed->scratch, stock, flawed->table, option_worth);
  struct flaw_box box = {{0, 0}, {stock->length, stock->width}};
  struct flaw_part whole = flaw_memo_part(search.memo, &box);
  *bound = flaw_part_bound(&whole, BY_EITHER);
  if (whole.entry != FLAW_NO_ENTRY && *bound > floor) *bound = descend(&search, &whole, floor);
  *worth = flawed_any_build(arena, search.memo, &whole, root);
  flawed->steps += search.steps + flaw_places_listed(search.memo->places) / LISTED_PER_STEP;
  arena_release(flawed->scratch, empty);
}
