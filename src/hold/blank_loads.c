#include "hold/blank_loads.h"

#include <string.h>

#include "hold/bed.h"
#include "hold/load_clamps.h"

/* The last loads made, since blanks from several stocks are often alike. */
enum { REMEMBERED = 16, WAYS = 4 };

struct holding {
  struct arena *arena;
  struct arena *scratch;
  struct bed bed;
  const struct blank *known[REMEMBERED];
  size_t known_count;
};

/* One way a blank may lie and be held. */
struct way_held {
  enum hold hold;
  bool across;
};

static size_t ways_of(const struct part *part, const struct blank *blank, struct way_held *ways) {
  static const enum hold holds[] = {HOLD_ENDS, HOLD_SIDES};
  size_t count = 0;
  ways[count++] = (struct way_held){blank->hold, false};
  ways[count++] = (struct way_held){blank->hold, true};
  for (size_t h = 0; part->hold == HOLD_AUTO && h < 2; h++) {
    if (holds[h] == blank->hold) continue;
    ways[count++] = (struct way_held){holds[h], false};
    ways[count++] = (struct way_held){holds[h], true};
  }
  return count < WAYS ? count : WAYS;
}

static length_t blank_length(const struct blank *blank) {
  return blank->strips > 0 ? blank->glued_length : blank->length;
}

static length_t blank_width(const struct blank *blank) {
  return blank->strips > 0 ? blank->glued_width : blank->width;
}

static struct bed_load bed_load_of(const struct holding *holding, const struct blank *blank,
                                   struct way_held way) {
  const struct project *project = holding->bed.project;
  length_t raw = project->stocks[blank->stock].thickness;
  return (struct bed_load){
      .length = blank_length(blank),
      .width = blank_width(blank),
      .thickness = raw,
      .across = way.across,
      .hold = way.hold,
      .parts = &blank->part,
      .part_count = 1,
      .work = load_work_of(holding->scratch, project, holding->bed.works, &blank->part, 1, raw)};
}

/* The places of clamps that the part's path leaves open. */
static struct load_open open_places(const struct load_clamps *clamps, const struct held_part *held,
                                    bool round) {
  struct load_laid laid = {0, held->x, held->y, held->length, held->width, held->turned};
  struct load_open open = load_clamps_open(clamps);
  for (size_t s = 0; s < BED_SIDES; s++)
    for (size_t i = 0; i < clamps->sides[s].count; i++)
      if (load_place_meets(&clamps->sides[s].places[i], clamps->problem->reach, &laid, round))
        open.sides[s] &= ~load_bit(i);
  return open;
}

static struct load *hold_in(const struct holding *holding, const struct blank *blank,
                            struct way_held way) {
  const struct project *project = holding->bed.project;
  struct arena_mark mark = arena_mark(holding->scratch);
  struct bed bed = holding->bed;
  bed.arena = holding->scratch;
  struct bed_load bed_load = bed_load_of(holding, blank, way);
  struct clamp_problem problem = bed_problem(&bed, &bed_load);
  struct held_part held = bed_in_the_middle(&bed, &bed_load, &problem);
  struct load *load = NULL;
  if (bed_takes(&bed, &bed_load, &problem, &held)) {
    struct load_clamps *clamps = load_clamps_begin(holding->scratch, &problem, NULL);
    bool round = project->parts[blank->part].shape == SHAPE_ROUND;
    struct load_open open = open_places(clamps, &held, round);
    struct held_clamp chosen[LOAD_CLAMPS_MOST];
    size_t count = load_clamps_choose(clamps, &open, chosen);
    if (count != SIZE_MAX) {
      load = bed_keep(holding->arena, project, &bed_load, 1, chosen, count);
      *load->parts = held;
    }
  }
  arena_release(holding->scratch, mark);
  return load;
}

/* ---- what stands against it ---- */

static const char *why_not(const struct holding *holding, const struct blank *blank) {
  struct bed bed = holding->bed;
  bed.arena = holding->arena;
  struct bed_load bed_load = bed_load_of(holding, blank, (struct way_held){blank->hold, false});
  return bed_why_not(&bed, &bed_load);
}

static void say_not_held(const struct holding *holding, const struct blank *blank,
                         struct diagnostics *diagnostics) {
  const struct project *project = holding->bed.project;
  const struct part *part = &project->parts[blank->part];
  enum unit unit = shop_unit(&project->shop);
  diagnostics_add(diagnostics, SEVERITY_ERROR, &part->place,
                  "'%s' cannot be held for the router in a blank of %s by %s from '%s': %s",
                  part->name,
                  length_text_unit(holding->arena, blank_length(blank), unit, ROUND_NEAREST),
                  length_text_unit(holding->arena, blank_width(blank), unit, ROUND_NEAREST),
                  project->stocks[blank->stock].name, why_not(holding, blank));
}

/* ---- all blanks ---- */

static bool alike(const struct holding *holding, const struct blank *a, const struct blank *b) {
  const struct stock *stocks = holding->bed.project->stocks;
  return a->part == b->part && a->hold == b->hold && blank_length(a) == blank_length(b) &&
         blank_width(a) == blank_width(b) &&
         stocks[a->stock].thickness == stocks[b->stock].thickness;
}

static struct load *load_of(struct holding *holding, const struct blank *blank) {
  struct way_held ways[2 * WAYS];
  for (size_t k = 0; k < holding->known_count; k++)
    if (alike(holding, holding->known[k], blank)) return holding->known[k]->load;
  size_t count = ways_of(&holding->bed.project->parts[blank->part], blank, ways);
  for (size_t w = 0; w < count; w++) {
    struct load *load = hold_in(holding, blank, ways[w]);
    if (load != NULL) return load;
  }
  return NULL;
}

static void remember(struct holding *holding, const struct blank *blank) {
  if (holding->known_count > 0 && holding->known[0]->part != blank->part) holding->known_count = 0;
  if (holding->known_count < REMEMBERED) holding->known[holding->known_count++] = blank;
}

/* Blanks of one part stand together: takes those not held out of [first, end) unless none is
 * held. Returns how many are left of them. */
static size_t keep_held(struct holding *holding, struct blanks *blanks, size_t first, size_t end,
                        struct diagnostics *diagnostics) {
  size_t kept = first;
  for (size_t b = first; b < end; b++)
    if (blanks->items[b].load != NULL) blanks->items[kept++] = blanks->items[b];
  if (kept == first) say_not_held(holding, &blanks->items[first], diagnostics);
  return kept - first;
}

void blank_loads_add(struct arena *arena, const struct project *project, const int64_t *needed,
                     struct diagnostics *diagnostics, struct blanks *blanks) {
  struct holding holding = {.arena = arena, .scratch = arena_create_child(arena)};
  size_t kept = 0, count = blanks->count;
  bed_open(arena, project, &holding.bed);
  for (size_t first = 0, end = 0; first < count; first = end) {
    const struct blank *head = &blanks->items[first];
    bool held = head->role == ROLE_BLANK && needed[head->part] > 0;
    for (end = first; end < count && blanks->items[end].part == head->part &&
                      blanks->items[end].role == head->role;
         end++) {
      if (!held) continue;
      blanks->items[end].load = load_of(&holding, &blanks->items[end]);
      remember(&holding, &blanks->items[end]);
    }
    size_t left = held ? keep_held(&holding, blanks, first, end, diagnostics) : end - first;
    memmove(&blanks->items[kept], &blanks->items[first], left * sizeof *blanks->items);
    kept += left;
    holding.known_count = 0;
  }
  blanks->count = kept;
}
