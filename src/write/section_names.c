#include "write/section_names.h"

#include <inttypes.h>
#include <string.h>

#include "write/safe_text.h"

/* Names of rectangles of one piece of stock; open addressing, at most half full. */
struct slot {
  struct view_place place;
  const char *name; /* NULL: empty */
};

struct names {
  struct slot *slots;
  size_t room; /* a power of two */
};

static size_t hash(const struct view_place *place) {
  uint64_t mixed = UINT64_C(1469598103934665603);
  const length_t parts[] = {place->x, place->y, place->length, place->width};
  for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
    mixed ^= (uint64_t)parts[i];
    mixed *= UINT64_C(0x9E3779B97F4A7C15);
    mixed ^= mixed >> 29;
  }
  return (size_t)mixed;
}

static bool same_place(const struct view_place *a, const struct view_place *b) {
  return a->x == b->x && a->y == b->y && a->length == b->length && a->width == b->width;
}

/* The slot of a place, or the empty one it would get. */
static struct slot *find(const struct names *names, const struct view_place *place) {
  size_t at = hash(place) & (names->room - 1);
  while (names->slots[at].name != NULL && !same_place(&names->slots[at].place, place))
    at = (at + 1) & (names->room - 1);
  return &names->slots[at];
}

static void put(const struct names *names, const struct view_place *place, const char *name) {
  *find(names, place) = (struct slot){*place, name};
}

static size_t room_for(const struct view_stock *entry) {
  size_t needed = 2 * (entry->piece_count + entry->waste_count + 3 * entry->cut_count + 1);
  size_t room = 16;
  while (room < needed) room *= 2;
  return room;
}

/* What lies on the low and on the high side of a cut. */
static void cut_sides(const struct cut *cut, struct view_place *low, struct view_place *high) {
  *low = (struct view_place){cut->piece_x, cut->piece_y, cut->piece_length, cut->piece_width};
  *high = *low;
  if (cut->rip) {
    low->width = cut->y - cut->piece_y;
    high->y = cut->y + cut->kerf;
    high->width = cut->piece_y + cut->piece_width - high->y;
  } else {
    low->length = cut->x - cut->piece_x;
    high->x = cut->x + cut->kerf;
    high->length = cut->piece_x + cut->piece_length - high->x;
  }
}

static bool is_nothing(const struct view_place *place) {
  return place->length <= 0 || place->width <= 0;
}

static void name_cut(struct arena *arena, const struct view_stock *entry, const struct names *names,
                     struct view_cut *named, size_t *letter) {
  const struct cut *cut = named->cut;
  struct view_place whole = {cut->piece_x, cut->piece_y, cut->piece_length, cut->piece_width};
  const char *of = find(names, &whole)->name;
  named->of = of != NULL ? of : entry->title;
  struct view_place low;
  struct view_place high;
  cut_sides(cut, &low, &high);
  const struct view_place *kept = cut->keep_high ? &high : &low;
  const struct view_place *rest = cut->keep_high ? &low : &high;
  named->kept = is_nothing(kept) ? NULL : find(names, kept)->name;
  named->rest = is_nothing(rest) ? NULL : find(names, rest)->name;
  bool kept_is_section = !is_nothing(kept) && named->kept == NULL;
  bool rest_is_section = !is_nothing(rest) && named->rest == NULL;
  if (rest_is_section) named->rest = named->of;
  if (kept_is_section)
    named->kept = rest_is_section ? arena_format(arena, "%s %s", entry->title,
                                                 number_letters(arena, (*letter)++, 'A'))
                                  : named->of;
  if (kept_is_section) put(names, kept, named->kept);
  if (rest_is_section) put(names, rest, named->rest);
}

static void name_resaws(struct arena *arena, struct view_stock *entry) {
  const char *of = entry->title;
  const struct stock *leaf = NULL;
  for (size_t i = 0; i < entry->piece_count; i++) {
    if (entry->pieces[i].leaf == NULL) continue;
    of = entry->pieces[i].name;
    leaf = entry->pieces[i].leaf;
  }
  for (size_t i = 0; leaf != NULL && i < entry->resaw_count; i++) {
    struct view_cut *named = &entry->resaws[i];
    int64_t first = (entry->copy - 1) * leaf->leaves + 1;
    int64_t copy = first + (int64_t)i;
    bool last = i + 1 == entry->resaw_count;
    named->of = of;
    named->kept = arena_format(arena, "%s-%" PRId64, leaf->name, copy);
    named->rest = of;
    if (last)
      named->rest = copy - first + 1 == leaf->leaves
                        ? "waste"
                        : arena_format(arena, "%s-%" PRId64, leaf->name, copy + 1);
  }
}

static void name_entry(struct arena *arena, struct view_stock *entry, const struct names *names) {
  struct view_place whole = {0, 0, entry->stock->length, entry->stock->width};
  put(names, &whole, entry->title);
  for (size_t i = 0; i < entry->waste_count; i++) put(names, &entry->waste[i], "waste");
  for (size_t i = 0; i < entry->piece_count; i++)
    put(names, &entry->pieces[i].place, entry->pieces[i].name);
  size_t letter = 0;
  for (size_t i = 0; i < entry->cut_count; i++)
    name_cut(arena, entry, names, &entry->cuts[i], &letter);
  name_resaws(arena, entry);
}

void name_sections(struct arena *arena, struct view *view) {
  size_t most = 0;
  for (size_t i = 0; i < view->stock_count; i++) {
    size_t room = room_for(&view->stocks[i]);
    if (room > most) most = room;
  }
  struct slot *slots = ARENA_ARRAY(arena, most, struct slot);
  for (size_t i = 0; i < view->stock_count; i++) {
    struct names names = {slots, room_for(&view->stocks[i])};
    memset(slots, 0, names.room * sizeof *slots);
    name_entry(arena, &view->stocks[i], &names);
  }
}
