#include "nest/flaw_places.h"

#include "nest/raster.h"

/* One list, by what it depends on. */
struct known_list {
  length_t anchor;
  flaw_set inside;
  uint32_t class;
  uint32_t kind; /* direction and side, and that the slot is taken */
  struct place_list list;
};

/* The options no wider than a class, along one direction: sums of their extents. */
struct place_class {
  length_t across; /* least width that lets them all in */
  struct raster *sums;
};

struct flaw_places {
  struct arena *arena;
  const struct nest_stock *stock;
  struct nest_option *options; /* worth something */
  size_t option_count;
  struct place_class *classes[2]; /* ascending; class 0 holds none */
  size_t class_count[2];
  struct known_list *known;
  size_t known_count, known_room; /* room is a power of 2 */
  size_t *order[2];               /* flaws by their low edges */
  length_t *bases;                /* scratch */
  length_t *draft;                /* of a list being made */
  size_t draft_room;
  int64_t listed;
};

static enum division other(enum division along) {
  return along == DIVIDE_LENGTH ? DIVIDE_WIDTH : DIVIDE_LENGTH;
}

static length_t option_extent(const struct nest_option *option, enum division along) {
  return along == DIVIDE_LENGTH ? option->length : option->width;
}

static length_t option_core(const struct nest_option *option, enum division along) {
  return along == DIVIDE_LENGTH ? option->core_x : option->core_y;
}

static length_t kerf_along(const struct nest_stock *stock, enum division along) {
  return along == DIVIDE_LENGTH ? stock->kerf_crosscut : stock->kerf_rip;
}

static length_t flaw_low(const struct nest_flaw *flaw, enum division d) {
  return d == DIVIDE_LENGTH ? flaw->x : flaw->y;
}

static length_t flaw_high(const struct nest_flaw *flaw, enum division d) {
  return d == DIVIDE_LENGTH ? flaw->x + flaw->length : flaw->y + flaw->width;
}

static void make_classes(struct flaw_places *places, enum division along) {
  length_t *across = ARENA_ARRAY(places->arena, places->option_count + 1, length_t);
  for (size_t o = 0; o < places->option_count; o++)
    across[o + 1] = option_extent(&places->options[o], other(along));
  size_t count = length_sort_unique(across, places->option_count + 1);
  places->class_count[along] = count;
  places->classes[along] = ARENA_ARRAY(places->arena, count, struct place_class);
  for (size_t c = 0; c < count; c++) places->classes[along][c].across = across[c];
}

static void sort_flaws(struct flaw_places *places, enum division along) {
  const struct nest_flaw *flaws = places->stock->flaws;
  size_t *order = ARENA_ARRAY(places->arena, places->stock->flaw_count, size_t);
  for (size_t i = 0; i < places->stock->flaw_count; i++) {
    size_t at = i;
    for (; at > 0 && flaw_low(&flaws[order[at - 1]], along) > flaw_low(&flaws[i], along); at--)
      order[at] = order[at - 1];
    order[at] = i;
  }
  places->order[along] = order;
}

struct flaw_places *flaw_places_create(struct arena *arena, const struct nest_stock *stock,
                                       const cost_t *option_worth) {
  struct flaw_places *places = ARENA_NEW(arena, struct flaw_places);
  places->arena = arena;
  places->stock = stock;
  places->options = ARENA_ARRAY(arena, stock->option_count, struct nest_option);
  for (size_t o = 0; o < stock->option_count; o++)
    if (option_worth[o] > 0) places->options[places->option_count++] = stock->options[o];
  make_classes(places, DIVIDE_LENGTH);
  make_classes(places, DIVIDE_WIDTH);
  places->bases = ARENA_ARRAY(arena, flaw_places_most_bases(places) + 2, length_t);
  for (int d = 0; d < 2; d++) sort_flaws(places, (enum division)d);
  places->known_room = 1024;
  places->known = ARENA_ARRAY(arena, places->known_room, struct known_list);
  return places;
}

int64_t flaw_places_listed(const struct flaw_places *places) { return places->listed; }

flaw_set flaw_places_inside(const struct flaw_places *places, const struct flaw_box *box) {
  flaw_set inside = 0;
  for (size_t f = 0; f < places->stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &places->stock->flaws[f];
    if (flaw->x < box->high[0] && flaw->x + flaw->length > box->low[0] && flaw->y < box->high[1] &&
        flaw->y + flaw->width > box->low[1])
      inside |= (flaw_set)1 << f;
  }
  return inside;
}

static uint32_t class_of(const struct flaw_places *places, enum division along, length_t across) {
  size_t low = 0;
  size_t high = places->class_count[along];
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (places->classes[along][middle].across <= across)
      low = middle;
    else
      high = middle;
  }
  return (uint32_t)low;
}

static const struct raster *sums_of(struct flaw_places *places, enum division along,
                                    uint32_t class) {
  struct place_class *own = &places->classes[along][class];
  if (own->sums != NULL) return own->sums;
  const struct nest_stock *stock = places->stock;
  length_t *size = ARENA_ARRAY(places->arena, places->option_count + 1, length_t);
  size_t count = 0;
  for (size_t o = 0; o < places->option_count; o++)
    if (option_extent(&places->options[o], other(along)) <= own->across)
      size[count++] = option_extent(&places->options[o], along);
  count = length_sort_unique(size, count);
  own->sums = raster_create(places->arena, size, count,
                            along == DIVIDE_LENGTH ? stock->length : stock->width,
                            kerf_along(stock, along), false);
  return own->sums;
}

size_t flaw_places_most_bases(const struct flaw_places *places) {
  return places->stock->flaw_count * (1 + places->option_count);
}

size_t flaw_places_bases(const struct flaw_places *places, flaw_set inside, enum division along,
                         bool behind, length_t *bases) {
  size_t count = 0;
  for (size_t f = 0; f < places->stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &places->stock->flaws[f];
    if ((inside >> f & 1) == 0) continue;
    length_t edge = behind ? flaw_high(flaw, along) : flaw_low(flaw, along);
    bases[count++] = edge;
    if (!flaw->rim_ok) continue;
    for (size_t o = 0; o < places->option_count; o++) {
      length_t core = option_core(&places->options[o], along);
      if (core > 0) bases[count++] = behind ? edge - core : edge + core;
    }
  }
  return count;
}

/* Sums of parts from each base inside the box: behind it, or (mirrored) in front of it. */
static struct place_list make_list(struct flaw_places *places, const struct flaw_box *box,
                                   flaw_set inside, enum division along, bool ends,
                                   uint32_t class) {
  const struct raster *sums = sums_of(places, along, class);
  length_t kerf = sums->kerf;
  length_t low = ends ? box->low[along] : 0;
  length_t high = ends ? (along == DIVIDE_LENGTH ? places->stock->length : places->stock->width)
                       : box->high[along];
  length_t *bases = ARENA_ARRAY(places->arena, flaw_places_most_bases(places) + 2, length_t);
  size_t base_count = flaw_places_bases(places, inside, along, ends, bases);
  bool near_edge = false;
  for (size_t b = 0; b < base_count; b++)
    near_edge = near_edge || (ends && bases[b] > low && bases[b] < low + kerf);
  if (near_edge) bases[base_count++] = low + kerf;
  bases[base_count++] = ends ? low : high;
  base_count = length_sort_unique(bases, base_count);
  if (base_count * sums->count > places->draft_room) {
    places->draft_room = 2 * base_count * sums->count;
    places->draft = ARENA_ARRAY(places->arena, places->draft_room, length_t);
  }
  size_t count = 0;
  for (size_t b = 0; b < base_count; b++) {
    if (bases[b] < low || bases[b] > high) continue;
    for (size_t i = 1; i < sums->count; i++) {
      length_t extent = sums->point[i] - kerf;
      length_t place = ends ? bases[b] + extent : bases[b] - extent;
      if (place < low || place > high) break;
      places->draft[count++] = place;
    }
  }
  places->listed += (int64_t)count;
  count = length_sort_unique(places->draft, count);
  return (struct place_list){
      arena_grow(places->arena, places->draft, count, count, sizeof(length_t)), count};
}

/* Lines of a box along one direction that meet the same flaws. */
struct band {
  flaw_set met;
  double extent; /* across the lines, grown */
  double waste;  /* on them, flaws left out */
};

enum { MOST_BANDS = 2 * MOST_FLAWS_AROUND + 1, MOST_SUBSET_BANDS = 6 };

static length_t filled(const struct raster *sums, length_t extent) {
  return extent <= 0 ? 0 : sums->point[raster_floor(sums, extent + sums->kerf)];
}

/* What parts can fill at most, each grown by a kerf, of a line that meets these flaws. */
static length_t fill_line(const struct flaw_places *places, const struct raster *sums,
                          const struct flaw_box *box, flaw_set met, enum division along) {
  length_t from = box->low[along];
  length_t most = filled(sums, box->high[along] - from);
  length_t fill = 0;
  for (size_t i = 0; i < places->stock->flaw_count && met != 0; i++) {
    size_t f = places->order[along][i];
    const struct nest_flaw *flaw = &places->stock->flaws[f];
    if ((met >> f & 1) == 0) continue;
    fill += filled(sums, flaw_low(flaw, along) - from);
    if (flaw_high(flaw, along) > from) from = flaw_high(flaw, along);
  }
  fill += filled(sums, box->high[along] - from);
  return fill < most ? fill : most;
}

/* The extents across at which lines along a direction begin or cease to meet flaws. */
static size_t list_lines(const struct flaw_places *places, const struct flaw_box *box,
                         flaw_set inside, enum division along, length_t *line) {
  enum division across = other(along);
  length_t kerf = kerf_along(places->stock, across);
  length_t low = box->low[across];
  length_t high = box->high[across] + kerf;
  size_t count = 0;
  line[count++] = low;
  line[count++] = high;
  for (size_t f = 0; f < places->stock->flaw_count; f++) {
    if ((inside >> f & 1) == 0) continue;
    length_t edge[2] = {flaw_low(&places->stock->flaws[f], across) + kerf,
                        flaw_high(&places->stock->flaws[f], across)};
    for (int i = 0; i < 2; i++)
      if (edge[i] > low && edge[i] < high) line[count++] = edge[i];
  }
  for (size_t i = 1; i < count; i++)
    for (size_t j = i; j > 0 && line[j - 1] > line[j]; j--) {
      length_t swap = line[j];
      line[j] = line[j - 1];
      line[j - 1] = swap;
    }
  return count;
}

static flaw_set met_by(const struct flaw_places *places, flaw_set inside, enum division along,
                       length_t line) {
  enum division across = other(along);
  length_t kerf = kerf_along(places->stock, across);
  flaw_set met = 0;
  for (size_t f = 0; f < places->stock->flaw_count; f++)
    if ((inside >> f & 1) != 0 && flaw_low(&places->stock->flaws[f], across) + kerf <= line &&
        flaw_high(&places->stock->flaws[f], across) > line)
      met |= (flaw_set)1 << f;
  return met;
}

/* Bands with their whole waste, that in flaws too. */
static size_t list_bands(struct flaw_places *places, const struct flaw_box *box, flaw_set inside,
                         enum division along, struct band *bands) {
  enum division across = other(along);
  length_t line[2 * MOST_FLAWS_AROUND + 2];
  size_t line_count = list_lines(places, box, inside, along, line);
  const struct raster *sums =
      sums_of(places, along, class_of(places, along, box->high[across] - box->low[across]));
  length_t whole = box->high[along] - box->low[along] + kerf_along(places->stock, along);
  size_t count = 0;
  for (size_t i = 0; i + 1 < line_count; i++) {
    double extent = (double)(line[i + 1] - line[i]);
    if (extent <= 0) continue;
    flaw_set met = met_by(places, inside, along, line[i]);
    size_t b = 0;
    while (b < count && bands[b].met != met) b++;
    if (b == count) bands[count++] = (struct band){met, 0, 0};
    bands[b].extent += extent;
    bands[b].waste += extent * (double)(whole - fill_line(places, sums, box, met, along));
  }
  return count;
}

/* Most waste that can lie in rows and columns at once: a flow from rows to columns through the
 * clear fields where they cross, bounded by cuts of that network. */
static double shared_waste(const struct band *rows, size_t row_count, const struct band *columns,
                           size_t column_count) {
  double least = 0;
  for (size_t r = 0; r < row_count; r++) least += rows[r].waste;
  size_t subsets = row_count <= MOST_SUBSET_BANDS ? (size_t)1 << row_count : 2;
  for (size_t s = 1; s < subsets; s++) {
    double cut = 0;
    bool all = row_count > MOST_SUBSET_BANDS;
    for (size_t r = 0; r < row_count; r++)
      if (!all && (s >> r & 1) == 0) cut += rows[r].waste;
    for (size_t c = 0; c < column_count && cut < least; c++) {
      double through = 0;
      for (size_t r = 0; r < row_count; r++)
        if ((all || (s >> r & 1) != 0) && (rows[r].met & columns[c].met) == 0)
          through += rows[r].extent * columns[c].extent;
      cut += through < columns[c].waste ? through : columns[c].waste;
    }
    if (cut < least) least = cut;
  }
  return least;
}

double flaw_places_covered(struct flaw_places *places, const struct flaw_box *box,
                           flaw_set inside) {
  struct band rows[MOST_BANDS];
  struct band columns[MOST_BANDS];
  for (size_t f = 0; f < places->stock->flaw_count; f++)
    if (places->stock->flaws[f].rim_ok) inside &= ~((flaw_set)1 << f);
  size_t row_count = list_bands(places, box, inside, DIVIDE_LENGTH, rows);
  size_t column_count = list_bands(places, box, inside, DIVIDE_WIDTH, columns);
  double area = 0;
  double waste = 0;
  for (size_t r = 0; r < row_count; r++)
    for (size_t c = 0; c < column_count; c++) {
      double field = rows[r].extent * columns[c].extent;
      area += field;
      if ((rows[r].met & columns[c].met) == 0) continue;
      rows[r].waste -= field;
      columns[c].waste -= field;
      waste += field;
    }
  for (size_t r = 0; r < row_count; r++) {
    if (rows[r].waste < 0) rows[r].waste = 0;
    waste += rows[r].waste;
  }
  for (size_t c = 0; c < column_count; c++) {
    if (columns[c].waste < 0) columns[c].waste = 0;
    waste += columns[c].waste;
  }
  return area - waste + shared_waste(rows, row_count, columns, column_count);
}

/* Bases of a box along a direction into places->bases: behind flaws, and the one a kerf behind the
 * low edge where a flaw ends before it; or in front of flaws. The box's own edge comes first. */
static size_t own_bases(struct flaw_places *places, const struct flaw_box *box, flaw_set inside,
                        enum division along, bool behind) {
  length_t low = box->low[along];
  length_t kerf = kerf_along(places->stock, along);
  bool near_edge = false;
  size_t count = 1;
  places->bases[0] = behind ? low : box->high[along];
  count += flaw_places_bases(places, inside, along, behind, places->bases + 1);
  if (!behind || kerf == 0) return count;
  for (size_t b = 1; b < count; b++)
    near_edge = near_edge || (places->bases[b] > low && places->bases[b] < low + kerf);
  if (near_edge) places->bases[count++] = low + kerf;
  return count;
}

static const struct raster *sums_in(struct flaw_places *places, const struct flaw_box *box,
                                    enum division along) {
  enum division across = other(along);
  return sums_of(places, along, class_of(places, along, box->high[across] - box->low[across]));
}

bool flaw_places_is_size(const struct flaw_places *places, enum division along, length_t extent) {
  enum division across = other(along); /* its classes are the extents along */
  uint32_t class = class_of(places, across, extent);
  return class > 0 && places->classes[across][class].across == extent;
}

/* The furthest edge of pieces side by side, from the low side on or from the high side back;
 * where they start when nothing fits. */
static length_t reached(struct flaw_places *places, const struct flaw_box *box, flaw_set inside,
                        enum division along, bool onward) {
  const struct raster *sums = sums_in(places, box, along);
  length_t start = onward ? box->low[along] : box->high[along];
  length_t end = onward ? box->high[along] : box->low[along];
  length_t way = onward ? 1 : -1;
  length_t furthest = start;
  size_t base_count = own_bases(places, box, inside, along, onward);
  for (size_t b = 0; b < base_count && way * (end - furthest) > 0; b++) {
    length_t base = places->bases[b];
    if (way * (base - start) < 0 || way * (end - base) <= 0) continue;
    length_t fill = filled(sums, way * (end - base));
    length_t edge = base + way * (fill - sums->kerf);
    if (fill > 0 && way * (edge - furthest) > 0) furthest = edge;
  }
  return furthest;
}

length_t flaw_places_last_end(struct flaw_places *places, const struct flaw_box *box,
                              flaw_set inside, enum division along) {
  return reached(places, box, inside, along, true);
}

length_t flaw_places_first_start(struct flaw_places *places, const struct flaw_box *box,
                                 flaw_set inside, enum division along) {
  return reached(places, box, inside, along, false);
}

static size_t slot_of(const struct flaw_places *places, const struct known_list *key) {
  uint64_t hash = (uint64_t)key->anchor * 0x9E3779B97F4A7C15U;
  hash = (hash ^ key->inside) * 0xC2B2AE3D27D4EB4FU;
  hash = (hash ^ ((uint64_t)key->class << 8 | key->kind)) * 0x9E3779B97F4A7C15U;
  size_t slot = (size_t)(hash >> 20) & (places->known_room - 1);
  while (places->known[slot].kind != 0 &&
         !(places->known[slot].anchor == key->anchor && places->known[slot].inside == key->inside &&
           places->known[slot].class == key->class && places->known[slot].kind == key->kind))
    slot = (slot + 1) & (places->known_room - 1);
  return slot;
}

static void make_room(struct flaw_places *places) {
  if (2 * (places->known_count + 1) <= places->known_room) return;
  struct known_list *old = places->known;
  size_t old_room = places->known_room;
  places->known_room *= 2;
  places->known = ARENA_ARRAY(places->arena, places->known_room, struct known_list);
  for (size_t i = 0; i < old_room; i++)
    if (old[i].kind != 0) places->known[slot_of(places, &old[i])] = old[i];
}

static struct place_list find_list(struct flaw_places *places, const struct flaw_box *box,
                                   flaw_set inside, enum division along, bool ends) {
  enum division across = other(along);
  struct known_list key = {.anchor = ends ? box->low[along] : box->high[along],
                           .inside = inside,
                           .class = class_of(places, along, box->high[across] - box->low[across]),
                           .kind = 4U + (uint32_t)along * 2U + (ends ? 1U : 0U)};
  size_t slot = slot_of(places, &key);
  if (places->known[slot].kind != 0) return places->known[slot].list;
  make_room(places);
  key.list = make_list(places, box, inside, along, ends, key.class);
  places->known[slot_of(places, &key)] = key;
  places->known_count++;
  return key.list;
}

struct place_list flaw_places_ends(struct flaw_places *places, const struct flaw_box *box,
                                   flaw_set inside, enum division along) {
  return find_list(places, box, inside, along, true);
}

struct place_list flaw_places_starts(struct flaw_places *places, const struct flaw_box *box,
                                     flaw_set inside, enum division along) {
  return find_list(places, box, inside, along, false);
}

size_t place_list_ceiling(const struct place_list *list, length_t limit) {
  return length_first_from(list->at, 0, list->count, limit);
}
