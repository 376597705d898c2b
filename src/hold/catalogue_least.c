#include "hold/catalogue_least.h"

#include <string.h>

#include "hold/load_least.h"

enum { SETS_MOST = 1000, CLASSES_MOST = 4 /* of two sizes each */ };

/* For one question whether a set fits a size: where no load of it is known, or none so short. */
enum { FIND_STEPS = 2000000, SHORTER_STEPS = 200000 };

/* Steps for the question whether there is any shorter load of a set than is known, for how much
 * shorter it could be, and, for each percent of effort, for all questions about a group. */
static const int64_t FIRST_STEPS = 100000000;
static const int64_t HALF_STEPS = 30000000;
static const int64_t WIDTH_STEPS = 300000;
static const int64_t ALL_STEPS = 20000000;

struct least_set {
  struct part_set set;
  length_t refuted[CLASSES_MOST]; /* per class of widths: no load of it is so long or shorter */
  struct least_size sizes[LEAST_SIZES_MOST];
  size_t size_count;
};

struct lister {
  struct load_group *group;
  length_t classes[CLASSES_MOST + 1]; /* widths: of a class at most so wide, wider than the next */
  size_t class_count;
  length_t longest; /* of any load */
  struct least_set *sets;
  size_t set_count, set_room;
  int64_t steps; /* left */
};

static length_t mark_of(const struct lister *lister) {
  return lister->group->bed->project->shop.mark_step;
}

/* ---- widths ---- */

static void add_class(struct lister *lister, length_t width) {
  length_t mark = mark_of(lister);
  width = width / mark * mark;
  if (width <= 0) return;
  size_t at = 0;
  while (at < lister->class_count && lister->classes[at] > width) at++;
  if (at == CLASSES_MOST || (at < lister->class_count && lister->classes[at] == width)) return;
  if (lister->class_count == CLASSES_MOST) lister->class_count--;
  memmove(&lister->classes[at + 1], &lister->classes[at],
          (lister->class_count - at) * sizeof *lister->classes);
  lister->classes[at] = width;
  lister->class_count++;
}

/* Whether a load's own width may lie along the length of a stock. */
static bool lies_across_some(const struct load_group *group, const bool *stocks) {
  const struct project *project = group->bed->project;
  for (size_t s = 0; s < project->stock_count; s++)
    if (stocks[s] && project->stocks[s].kind == STOCK_SHEET) return true;
  for (size_t i = 0; i < group->part_count; i++)
    if (project->parts[group->parts[i]].grain == GRAIN_ANY) return true;
  return group->any_grain;
}

/* Widths as they divide the stocks: the widest load of all first. */
static void set_classes(struct lister *lister, const bool *stocks) {
  const struct project *project = lister->group->bed->project;
  for (int64_t strips = 1; strips <= CLASSES_MOST; strips++)
    for (size_t s = 0; s < project->stock_count; s++)
      if (stocks[s])
        add_class(lister, smaller((stock_room_width(&project->stocks[s]) -
                                   (strips - 1) * project->shop.kerf_rip) /
                                      strips,
                                  lister->longest));
  length_t widest = 0;
  for (size_t s = 0; s < project->stock_count; s++)
    if (stocks[s]) widest = larger(widest, stock_room_length(&project->stocks[s]));
  if (lies_across_some(lister->group, stocks)) add_class(lister, smaller(widest, lister->longest));
  lister->classes[lister->class_count] = 0;
}

/* ---- sets ---- */

static size_t find_set(const struct lister *lister, const struct part_set *set) {
  for (size_t i = lister->set_count; i-- > 0;)
    if (memcmp(&lister->sets[i].set, set, sizeof *set) == 0) return i;
  return SIZE_MAX;
}

static bool is_empty(const struct load_group *group, const struct part_set *set) {
  for (size_t i = 0; i < group->part_count; i++)
    if (set->counts[i] > 0) return false;
  return true;
}

/* Whether a load of the set turned by a quarter is one too: then it is taken to be no wider than it
 * is long. Held by the ends it would be held by the sides. */
static bool turns(const struct lister *lister, const struct part_set *set) {
  const struct load_group *group = lister->group;
  bool ends = false, sides = false;
  for (size_t h = 0; h < group->hold_count; h++) {
    ends = ends || group->holds[h] == HOLD_ENDS;
    sides = sides || group->holds[h] == HOLD_SIDES;
  }
  return ends == sides && group_lies_any_way(group, set);
}

/* A set is no shorter than those that lack one of its parts, if these lie as it does; sets that no
 * load holds are not listed. */
static length_t shortest_known(const struct lister *lister, const struct part_set *set,
                               size_t class) {
  length_t least = 0;
  for (size_t i = 0; i < lister->group->part_count; i++) {
    if (set->counts[i] == 0) continue;
    struct part_set less = *set;
    less.counts[i]--;
    if (is_empty(lister->group, &less)) continue;
    size_t known = find_set(lister, &less);
    if (known == SIZE_MAX) return lister->longest;
    if (turns(lister, &less) && !turns(lister, set)) continue;
    least = larger(least, lister->sets[known].refuted[class]);
  }
  return least;
}

static bool refuted_to(struct lister *lister, const struct part_set *set, size_t class,
                       length_t over, length_t length, int64_t most_steps) {
  struct load_sizes sizes = {{over, lister->classes[class + 1]}, {length, lister->classes[class]}};
  if (turns(lister, set)) sizes.most[1] = smaller(sizes.most[1], length);
  if (sizes.most[0] <= sizes.over[0] || sizes.most[1] <= sizes.over[1]) return true;
  int64_t steps = smaller(most_steps, lister->steps);
  int64_t left = steps;
  bool refuted = group_refutes(lister->group, set, &sizes, true, &left);
  lister->steps -= steps - left;
  return refuted;
}

/* The shortest load found of the set in a class of widths; beyond the longest where there is none.
 */
static length_t shortest_found(const struct lister *lister, const struct part_set *set,
                               size_t class) {
  const struct load_group *group = lister->group;
  length_t shortest = lister->longest + mark_of(lister);
  for (size_t f = 0; f < group->found_count; f++) {
    const struct found_load *found = &group->found[f];
    length_t length = found->length, width = found->width;
    if (turns(lister, set)) {
      length = larger(found->length, found->width);
      width = smaller(found->length, found->width);
    }
    bool holds = width <= lister->classes[class];
    for (size_t i = 0; i < group->part_count; i++)
      holds = holds && found->set.counts[i] >= set->counts[i];
    if (holds) shortest = smaller(shortest, length);
  }
  return shortest;
}

/* By halving: what is refuted at one step need not be looked at in the next. */
static length_t refute_by_halves(struct lister *lister, const struct part_set *set, size_t class,
                                 length_t low, length_t high) {
  length_t mark = mark_of(lister);
  int64_t least = low / mark, most = high / mark - 1;
  while (least < most) {
    int64_t middle = least + (most - least + 1) / 2;
    if (refuted_to(lister, set, class, least * mark, middle * mark, HALF_STEPS))
      least = middle;
    else
      most = middle - 1;
  }
  return least * mark;
}

static void find_patiently(struct lister *lister, const struct part_set *set, size_t class,
                           int64_t steps) {
  struct load_group *group = lister->group;
  int64_t usual = group->fit_steps, before = group->steps;
  group->fit_steps = steps;
  (void)group_find(group, set, lister->classes[class]);
  group->fit_steps = usual;
  lister->steps -= group->steps - before;
}

/* From both sides: a load is looked for where none is known and it is not refuted that there is
 * one; then it is asked whether it could be shorter. */
static length_t refute_most(struct lister *lister, const struct part_set *set, size_t class) {
  length_t mark = mark_of(lister);
  length_t low = shortest_known(lister, set, class) / mark * mark;
  length_t high = shortest_found(lister, set, class) - mark;
  if (low >= high || refuted_to(lister, set, class, low, high, FIRST_STEPS))
    return larger(low, high);
  length_t known = high;
  find_patiently(lister, set, class, known == lister->longest ? FIND_STEPS : SHORTER_STEPS);
  high = shortest_found(lister, set, class) - mark;
  if (low >= high || (high < known && refuted_to(lister, set, class, low, high, FIRST_STEPS)))
    return larger(low, high);
  return refute_by_halves(lister, set, class, low, high);
}

/* Whether no load is so long or shorter and so wide or narrower, but above `over`. */
static bool too_narrow(struct lister *lister, const struct part_set *set, length_t length,
                       length_t over, length_t width) {
  struct load_sizes sizes = {{0, over}, {length, width}};
  int64_t steps = smaller(WIDTH_STEPS, lister->steps), left = steps;
  if (width <= over) return true;
  bool refuted = group_refutes(lister->group, set, &sizes, false, &left);
  lister->steps -= steps - left;
  return refuted;
}

/* How wide or narrower no load of the class is that is so long or shorter. */
static length_t refute_widths(struct lister *lister, const struct part_set *set, size_t class,
                              length_t length, length_t over) {
  length_t mark = mark_of(lister);
  int64_t least = over / mark, most = lister->classes[class] / mark - 1;
  while (least < most) {
    int64_t middle = least + (most - least + 1) / 2;
    if (too_narrow(lister, set, length, least * mark, middle * mark))
      least = middle;
    else
      most = middle - 1;
  }
  return least * mark;
}

/* How long or shorter no load of the class is that is so wide or narrower. */
static length_t refute_lengths(struct lister *lister, const struct part_set *set, size_t class,
                               length_t width, length_t length) {
  length_t mark = mark_of(lister);
  int64_t least = length / mark, most = lister->longest / mark;
  while (least < most) {
    int64_t middle = least + (most - least + 1) / 2;
    if (too_narrow(lister, set, middle * mark, lister->classes[class + 1], width))
      least = middle;
    else
      most = middle - 1;
  }
  return least * mark;
}

/* A class has no loads up to so long, nor up to so wide. The shortest may have to be wider than the
 * narrowest are: those in between are told apart. */
static void add_sizes(struct lister *lister, size_t class, struct least_set *least) {
  length_t mark = mark_of(lister), below = lister->classes[class + 1];
  length_t shortest = least->refuted[class] + mark;
  length_t narrow = refute_widths(lister, &least->set, class, lister->longest, below);
  length_t wide = refute_widths(lister, &least->set, class, shortest, narrow);
  least->sizes[least->size_count++] = (struct least_size){shortest, wide + mark};
  if (wide == narrow) return;
  length_t longer = refute_lengths(lister, &least->set, class, wide, shortest);
  if (longer < lister->longest)
    least->sizes[least->size_count++] = (struct least_size){longer + mark, narrow + mark};
}

/* Whether a load may hold the set. */
static bool look_into(struct lister *lister, const struct part_set *set) {
  struct least_set least = {.set = *set};
  for (size_t c = 0; c < lister->class_count; c++) {
    least.refuted[c] = refute_most(lister, set, c);
    if (least.refuted[c] < lister->longest) add_sizes(lister, c, &least);
  }
  if (least.size_count > 0)
    *ARENA_PUSH(lister->group->bed->arena, lister->sets, lister->set_count, lister->set_room) =
        least;
  return least.size_count > 0;
}

static bool holds_too_many(const struct load_group *group, const struct part_set *set) {
  int64_t parts = 0;
  for (size_t i = 0; i < group->part_count; i++) parts += set->counts[i];
  return parts > LOAD_PARTS_MOST || group_area(group, set) > group->room;
}

/* Sets in which the parts from `from` on are still to be told. False when they are too many. */
static bool list_sets(struct lister *lister, struct part_set *set, size_t from) {
  const struct load_group *group = lister->group;
  bool last = from + 1 == group->part_count;
  for (set->counts[from] = 0; set->counts[from] <= group->most[from]; set->counts[from]++) {
    if (holds_too_many(group, set)) break;
    if (!last && !list_sets(lister, set, from + 1)) return false;
    if (!last || is_empty(group, set)) continue;
    if (lister->set_count == SETS_MOST) return false;
    if (!look_into(lister, set)) break;
  }
  set->counts[from] = 0;
  return true;
}

/* ---- what is kept ---- */

static bool covers(const struct lister *lister, const struct least_set *a,
                   const struct least_set *b) {
  if (group_lies_any_way(lister->group, &b->set) && !group_lies_any_way(lister->group, &a->set))
    return false;
  for (size_t i = 0; i < lister->group->part_count; i++)
    if (a->set.counts[i] < b->set.counts[i]) return false;
  for (size_t i = 0; i < b->size_count; i++) {
    size_t j = 0;
    while (j < a->size_count &&
           (a->sizes[j].length > b->sizes[i].length || a->sizes[j].width > b->sizes[i].width))
      j++;
    if (j == a->size_count) return false;
  }
  return true;
}

static bool is_covered(const struct lister *lister, size_t index) {
  const struct least_set *set = &lister->sets[index];
  for (size_t i = 0; i < lister->set_count; i++) {
    if (i == index || !covers(lister, &lister->sets[i], set)) continue;
    if (i > index || !covers(lister, set, &lister->sets[i])) return true;
  }
  return false;
}

static void keep(const struct lister *lister, const struct least_set *set, const bool *stocks,
                 struct blanks *blanks) {
  const struct load_group *group = lister->group;
  struct arena *arena = group->bed->arena;
  length_t most = larger(group->length_most, group->width_most);
  int64_t *counts = ARENA_ARRAY(arena, group->part_count, int64_t);
  size_t *parts = ARENA_ARRAY(arena, group->part_count, size_t);
  memcpy(counts, set->set.counts, group->part_count * sizeof *counts);
  memcpy(parts, group->parts, group->part_count * sizeof *parts);
  struct least_load load = {.parts = parts,
                            .counts = counts,
                            .part_count = group->part_count,
                            .most_length = most,
                            .most_width = most,
                            .handling = group_least_handling(group, &set->set),
                            .stocks = stocks};
  load.any_way = group_lies_any_way(group, &set->set);
  load.size_count = set->size_count;
  memcpy(load.sizes, set->sizes, sizeof load.sizes);
  *ARENA_PUSH(arena, blanks->least, blanks->least_count, blanks->least_room) = load;
}

bool catalogue_add_least(struct load_group *group, const bool *stocks, int64_t effort,
                         struct blanks *blanks) {
  struct lister lister = {.group = group, .steps = ALL_STEPS * effort};
  struct part_set set = {0};
  length_t mark = mark_of(&lister);
  lister.longest = larger(group->length_most, group->width_most) / mark * mark;
  set_classes(&lister, stocks);
  if (lister.class_count == 0 || !list_sets(&lister, &set, 0)) return false;
  for (size_t i = 0; i < lister.set_count; i++)
    if (!is_covered(&lister, i)) keep(&lister, &lister.sets[i], stocks, blanks);
  return true;
}
