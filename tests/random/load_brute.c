/* Every layout on a grid, every set of clamps. */
#include <string.h>

#include "load_check.h"

enum { CELLS_MOST = 400, LAID_MOST = 32, ENTRIES_MOST = 4096, PLACES_MOST = 12 };

struct brute {
  const struct load_problem *problem;
  length_t cell;
  int length, width; /* of the room, in cells */
  int64_t worth, wanted;
  double dearest; /* most worth of a cell */
  int64_t left[LOAD_ITEMS_MOST];
  bool taken[CELLS_MOST];
  struct load_laid laid[LAID_MOST];
  size_t count;
  bool found;
};

/* Sets of clamps of one side that hold it: how many, and whether one stands in either corner. */
struct entry {
  int count;
  bool low, high;
};

struct entries {
  struct entry items[ENTRIES_MOST];
  size_t count;
};

static bool place_free(const struct brute *brute, int side, length_t begin) {
  const struct clamp_problem *hold = &brute->problem->hold;
  const struct clamp_choice *choice = &hold->choices[0];
  length_t k = choice->keep_out + hold->reach;
  length_t across = side < 2 ? hold->length : hold->width;
  length_t low = side % 2 == 0 ? -choice->beside : across - choice->over;
  length_t high = side % 2 == 0 ? choice->over : across + choice->beside;
  for (size_t i = 0; i < brute->count; i++) {
    const struct load_laid *laid = &brute->laid[i];
    length_t a0 = side < 2 ? laid->x : laid->y;
    length_t a1 = a0 + (side < 2 ? laid->length : laid->width);
    length_t b0 = side < 2 ? laid->y : laid->x;
    length_t b1 = b0 + (side < 2 ? laid->width : laid->length);
    if (a0 < high + k && a1 > low - k && b0 < begin + choice->width + k && b1 > begin - k)
      return false;
  }
  return true;
}

static void list_entries(const struct brute *brute, int side, struct entries *entries) {
  const struct clamp_problem *hold = &brute->problem->hold;
  const struct clamp_choice *choice = &hold->choices[0];
  length_t whole = side < 2 ? hold->width : hold->length;
  entries->count = 0;
  if (!hold->held[side]) {
    entries->items[entries->count++] = (struct entry){0, false, false};
    return;
  }
  int places = (int)((whole - choice->width) / hold->pitch) + 1;
  unsigned open = 0;
  for (int i = 0; i < places; i++)
    if (place_free(brute, side, i * hold->pitch)) open |= 1U << i;
  for (unsigned set = 1; set < 1U << places; set++) {
    if ((set & ~open) != 0) continue;
    length_t to = -1;
    bool good = true;
    for (int i = 0; i < places && good; i++) {
      if ((set >> i & 1) == 0) continue;
      length_t begin = i * hold->pitch;
      good = to < 0 ? begin <= hold->end : begin >= to && begin - to <= hold->span;
      to = begin + choice->width;
    }
    if (!good || to < whole - hold->end) continue;
    struct entry entry = {__builtin_popcount(set), (set & 1) != 0, to > whole - choice->over};
    bool known = false;
    for (size_t e = 0; e < entries->count && !known; e++)
      known = memcmp(&entries->items[e], &entry, sizeof entry) == 0;
    if (!known) entries->items[entries->count++] = entry;
  }
}

static bool counts_do(const struct clamp_problem *hold, const struct entry *on[4]) {
  const struct clamp_choice *choice = &hold->choices[0];
  int all = on[0]->count + on[1]->count + on[2]->count + on[3]->count;
  if (all > choice->count) return false;
  for (int pair = 0; pair < 2; pair++) {
    int more = on[2 * pair]->count - on[2 * pair + 1]->count;
    if (hold->held[2 * pair] && hold->held[2 * pair + 1] && (more > 1 || more < -1)) return false;
  }
  if ((on[0]->low && on[2]->low) || (on[0]->high && on[3]->low) || (on[1]->low && on[2]->high) ||
      (on[1]->high && on[3]->high))
    return false;
  return choice->force == 0 || 2 * hold->friction * choice->force * all >= 1000 * hold->force;
}

static bool is_held(const struct brute *brute) {
  static struct entries entries[4];
  const struct entry *on[4];
  for (int side = 0; side < 4; side++) list_entries(brute, side, &entries[side]);
  for (size_t a = 0; a < entries[0].count; a++)
    for (size_t b = 0; b < entries[1].count; b++)
      for (size_t c = 0; c < entries[2].count; c++)
        for (size_t d = 0; d < entries[3].count; d++) {
          on[0] = &entries[0].items[a];
          on[1] = &entries[1].items[b];
          on[2] = &entries[2].items[c];
          on[3] = &entries[3].items[d];
          if (counts_do(&brute->problem->hold, on)) return true;
        }
  return false;
}

static bool fits_at(const struct brute *brute, int at, int length, int width) {
  int x = at / brute->width;
  int y = at % brute->width;
  if (x + length > brute->length || y + width > brute->width) return false;
  for (int i = 0; i < length; i++)
    for (int j = 0; j < width; j++)
      if (brute->taken[(x + i) * brute->width + y + j]) return false;
  return true;
}

static void mark(struct brute *brute, int at, int length, int width, bool taken) {
  for (int i = 0; i < length; i++)
    for (int j = 0; j < width; j++) brute->taken[at + i * brute->width + j] = taken;
}

static void go(struct brute *brute, int at);

static void lay(struct brute *brute, int at, size_t item, bool turned) {
  const struct load_problem *problem = brute->problem;
  length_t size = turned ? problem->items[item].width : problem->items[item].length;
  length_t other = turned ? problem->items[item].length : problem->items[item].width;
  int length = (int)((size + problem->gap) / brute->cell);
  int width = (int)((other + problem->gap) / brute->cell);
  if (!fits_at(brute, at, length, width)) return;
  mark(brute, at, length, width, true);
  brute->laid[brute->count++] = (struct load_laid){item,
                                                   at / brute->width * brute->cell + problem->edge,
                                                   at % brute->width * brute->cell + problem->edge,
                                                   size,
                                                   other,
                                                   turned};
  brute->left[item]--;
  brute->worth += problem->items[item].worth;
  if (brute->worth <= brute->wanted)
    go(brute, at + 1);
  else if (is_held(brute)) /* else no more parts make it so */
    brute->found = true;
  brute->worth -= problem->items[item].worth;
  brute->left[item]++;
  brute->count--;
  mark(brute, at, length, width, false);
}

/* Each cell in turn is the lower left corner of a part, or of none. */
static void go(struct brute *brute, int at) {
  const struct load_problem *problem = brute->problem;
  if (brute->found) return;
  int cells = 0;
  for (int i = at; i < brute->length * brute->width; i++) cells += !brute->taken[i];
  int64_t rest = 0;
  for (size_t i = 0; i < problem->item_count; i++) rest += brute->left[i] * problem->items[i].worth;
  if (brute->worth + rest <= brute->wanted ||
      (double)brute->worth + cells * brute->dearest <= (double)brute->wanted)
    return;
  for (; at < brute->length * brute->width && brute->taken[at]; at++) continue;
  if (at == brute->length * brute->width) return;
  for (size_t i = 0; i < problem->item_count; i++) {
    if (brute->left[i] == 0) continue;
    lay(brute, at, i, false);
    if (problem->items[i].turns) lay(brute, at, i, true);
  }
  go(brute, at + 1);
}

bool better_load_exists(const struct load_problem *problem, length_t cell, int64_t worth) {
  struct brute brute = {.problem = problem, .cell = cell, .wanted = worth};
  brute.length = (int)((problem->hold.length - 2 * problem->edge + problem->gap) / cell);
  brute.width = (int)((problem->hold.width - 2 * problem->edge + problem->gap) / cell);
  for (size_t i = 0; i < problem->item_count; i++) {
    const struct load_item *item = &problem->items[i];
    brute.left[i] = item->most;
    double cells = (double)((item->length + problem->gap) / cell) *
                   (double)((item->width + problem->gap) / cell);
    double dear = (double)item->worth / cells;
    if (dear > brute.dearest) brute.dearest = dear;
  }
  brute.dearest += 1e-6;
  if (brute.wanted < 0) return is_held(&brute);
  go(&brute, 0);
  return brute.found;
}
