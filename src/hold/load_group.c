#include "hold/load_group.h"

#include "hold/load_memory.h"

#include "hold/height.h"

static const int64_t FIT_STEPS = 60000;

enum { LENGTHS_TRIED = 4 };

static const struct shop *shop_of(const struct load_group *group) {
  return &group->bed->project->shop;
}

static const struct part *part_of(const struct load_group *group, size_t index) {
  return &group->bed->project->parts[group->parts[index]];
}

/* ---- opening ---- */

static bool allows(const struct part *part, enum hold hold) {
  if (part->hold != HOLD_AUTO) return part->hold == hold;
  return hold == HOLD_ENDS || hold == HOLD_SIDES;
}

static void set_holds(struct load_group *group) {
  for (enum hold hold = HOLD_ENDS; hold <= HOLD_TAPE; hold++) {
    bool all = true;
    for (size_t i = 0; i < group->part_count; i++) all = all && allows(part_of(group, i), hold);
    if (all) group->holds[group->hold_count++] = hold;
  }
}

bool group_open(const struct bed *bed, struct load_group *group) {
  const struct shop *shop = &bed->project->shop;
  group->bed = bed;
  group->fit_steps = FIT_STEPS;
  group->work = load_work_of(bed->arena, bed->project, bed->works, group->parts, group->part_count,
                             group->thickness);
  for (size_t i = 0; i < group->part_count; i++)
    group->least_handling[i] =
        load_work_of(bed->arena, bed->project, bed->works, &group->parts[i], 1, group->thickness)
            .least_handling;
  group->edge = bed_edge(shop, &group->work);
  group->gap = bed_gap(shop, &group->work);
  length_t beyond = 2 * (group->edge - group->work.centre);
  length_t along = smaller(shop->bed_length, shop->travel_x + beyond);
  length_t across = smaller(shop->bed_width, shop->travel_y + beyond);
  group->length_most = along;
  group->width_most = across;
  set_holds(group);
  return group->hold_count > 0;
}

static double grown_area(const struct load_group *group, size_t index) {
  const struct part *part = part_of(group, index);
  return (double)(part->length + group->gap) * (double)(part->width + group->gap);
}

double group_area(const struct load_group *group, const struct part_set *set) {
  double area = 0;
  for (size_t i = 0; i < group->part_count; i++)
    area += (double)set->counts[i] * grown_area(group, i);
  return area;
}

/* The area of stock that a load takes is at least (a + x)(b + y), where a and b are what its grown
 * parts have along and across the stock and x and y what rims and kerfs add: for the area a b no
 * less than where both are largest. */
static void add_largest(struct load_group *group, length_t along, length_t across) {
  const struct shop *shop = shop_of(group);
  length_t inset = 2 * group->edge - group->gap;
  if (along <= inset || across <= inset) return;
  double a = (double)(along - inset), b = (double)(across - inset);
  double x = (double)(inset + shop->kerf_crosscut), y = (double)(inset + shop->kerf_rip);
  double factor = x > 0 && y > 0 ? (1 + x / a) * (1 + y / b) * (1 - 1e-9) : 0;
  if (a * b > group->room) group->room = a * b;
  if (group->stock_factor <= 0 || factor < group->stock_factor) group->stock_factor = factor;
}

void group_add_stock(struct load_group *group, const struct stock *stock) {
  length_t length = stock_room_length(stock), width = stock_room_width(stock);
  add_largest(group, smaller(group->length_most, length), smaller(group->width_most, width));
  add_largest(group, smaller(group->width_most, length), smaller(group->length_most, width));
}

/* ---- one size ---- */

/* Of a part's own length: across the load's own length? */
static bool lies_across(const struct load_group *group, size_t index) {
  return !group->any_grain && part_of(group, index)->grain == GRAIN_ACROSS;
}

static bool may_turn(const struct load_group *group, size_t index) {
  const struct part *part = part_of(group, index);
  return part->length != part->width && (group->any_grain || part->grain == GRAIN_ANY);
}

size_t group_items(const struct load_group *group, const struct part_set *set, bool across,
                   struct load_item *items) {
  size_t count = 0;
  for (size_t i = 0; i < group->part_count; i++) {
    if (set->counts[i] == 0) continue;
    const struct part *part = part_of(group, i);
    bool turned = lies_across(group, i) != across;
    items[count++] = (struct load_item){.length = turned ? part->width : part->length,
                                        .width = turned ? part->length : part->width,
                                        .turns = may_turn(group, i),
                                        .round = part->shape == SHAPE_ROUND,
                                        .most = set->counts[i],
                                        .worth = 1};
  }
  return count;
}

bool group_lies_any_way(const struct load_group *group, const struct part_set *set) {
  for (size_t i = 0; i < group->part_count && !group->any_grain; i++)
    if (set->counts[i] > 0 && part_of(group, i)->grain != GRAIN_ANY) return false;
  return true;
}

/* What is asked of one size. */
struct trial {
  struct load_group *group;
  const struct part_set *set;
  enum hold hold;
  bool across;
};

static struct bed_load bed_load_of(const struct trial *trial, length_t length, length_t width) {
  const struct load_group *group = trial->group;
  return (struct bed_load){.length = length,
                           .width = width,
                           .thickness = group->thickness,
                           .across = trial->across,
                           .hold = trial->hold,
                           .parts = group->parts,
                           .part_count = group->part_count,
                           .work = group->work};
}

struct clamp_problem group_problem(struct load_group *group, enum hold hold, bool across,
                                   length_t length, length_t width) {
  struct trial trial = {.group = group, .hold = hold, .across = across};
  struct bed_load load = bed_load_of(&trial, length, width);
  return bed_problem(group->bed, &load);
}

/* Items stand for the parts that the set has any of. */
static size_t part_of_item(const struct part_set *set, size_t item) {
  size_t index = 0;
  while (set->counts[index] == 0 || item-- > 0) index++;
  return index;
}

static struct held_part held_part_of(const struct trial *trial, const struct load_laid *laid) {
  const struct load_group *group = trial->group;
  size_t index = part_of_item(trial->set, laid->item);
  return (struct held_part){.part = group->parts[index],
                            .x = laid->x,
                            .y = laid->y,
                            .length = laid->length,
                            .width = laid->width,
                            .turned = (lies_across(group, index) != trial->across) != laid->turned};
}

/* Each load is fixed as often as its own parts ask for. */
static const struct kinds_work *work_of(struct load_group *group, const struct part_set *set) {
  size_t parts[GROUP_PARTS_MOST];
  size_t count = 0;
  unsigned kinds = 0;
  for (size_t i = 0; i < group->part_count; i++) {
    if (set->counts[i] == 0) continue;
    parts[count++] = group->parts[i];
    kinds |= 1U << i;
  }
  for (size_t w = 0; w < group->work_count; w++)
    if (group->works[w].kinds == kinds) return &group->works[w];
  const struct bed *bed = group->bed;
  struct load_work work =
      load_work_of(bed->arena, bed->project, bed->works, parts, count, group->thickness);
  struct kinds_work *made =
      ARENA_PUSH(bed->arena, group->works, group->work_count, group->work_room);
  *made = (struct kinds_work){kinds, work.clampings, work.handling};
  return made;
}

int64_t group_least_handling(const struct load_group *group, const struct part_set *set) {
  int64_t least = INT64_MAX;
  for (size_t i = 0; i < group->part_count; i++)
    if (set->counts[i] > 0 && group->least_handling[i] < least) least = group->least_handling[i];
  return least;
}

static struct load *keep_load(const struct trial *trial, const struct bed_load *bed_load,
                              const struct load_answer *answer) {
  const struct bed *bed = trial->group->bed;
  struct load *load = bed_keep(bed->arena, bed->project, bed_load, answer->laid_count,
                               answer->clamps, answer->clamp_count);
  const struct kinds_work *work = work_of(trial->group, trial->set);
  load->clampings = work->clampings;
  load->handling = work->handling;
  for (size_t i = 0; i < load->part_count; i++)
    load->parts[i] = held_part_of(trial, &answer->laid[i]);
  return load;
}

/* The set in a load of this size, or NULL; the load lives in the bed's arena. */
static struct load *fit(const struct trial *trial, length_t length, length_t width) {
  struct load_group *group = trial->group;
  struct arena *arena = group->bed->arena;
  struct bed_load load = bed_load_of(trial, length, width);
  struct load_item items[GROUP_PARTS_MOST];
  struct arena_mark mark = arena_mark(arena);
  struct load_problem problem = {.hold = bed_problem(group->bed, &load),
                                 .gap = group->gap,
                                 .edge = group->edge,
                                 .items = items,
                                 .pushed = true};
  problem.item_count = group_items(group, trial->set, trial->across, items);
  struct load_answer answer;
  struct arena *scratch = group->bed->scratch;
  struct arena_mark begin = arena_mark(scratch);
  enum load_outcome outcome =
      load_memory_fits(group->bed->memory, scratch, &problem, group->fit_steps, &answer);
  group->steps += answer.steps;
  struct load *kept = NULL;
  if (outcome == LOAD_FOUND)
    kept = keep_load(trial, &load, &answer);
  else
    arena_release(arena, mark);
  arena_release(scratch, begin);
  return kept;
}

/* ---- the shortest at a width ---- */

/* Bed that the bodies of clamps on the two ends of one direction take at least. */
static length_t bodies(const struct clamp_problem *problem, enum bed_side low) {
  length_t least = LENGTH_MAX;
  if (!problem->held[low]) return 0;
  for (size_t c = 0; c < problem->choice_count; c++) {
    const struct clamp_choice *choice = &problem->choices[c];
    bool one = choice->kind == CLAMP_SIDE && (problem->stop[low] || problem->stop[low + 1]);
    least = smaller(least, one ? choice->beside : 2 * choice->beside);
  }
  return problem->choice_count > 0 ? least : 0;
}

struct load_size group_most(struct load_group *group, enum hold hold, bool across) {
  const struct shop *shop = shop_of(group);
  struct clamp_problem problem = group_problem(group, hold, across, 0, 0);
  length_t x = smaller(group->length_most, shop->bed_length - bodies(&problem, BED_LEFT));
  length_t y = smaller(group->width_most, shop->bed_width - bodies(&problem, BED_FRONT));
  return across ? (struct load_size){y, x} : (struct load_size){x, y};
}

/* The longest load of a width that bed and travel take with clamps around it; 0: none. */
static length_t longest_of(const struct trial *trial, length_t width) {
  struct load_size most = group_most(trial->group, trial->hold, trial->across);
  return width > most.width ? 0 : most.length;
}

/* Lengths in marks: none below `least` can hold the parts, none above `most` lies on the bed. */
static bool length_range(const struct trial *trial, length_t width, int64_t *least, int64_t *most) {
  const struct load_group *group = trial->group;
  length_t mark = shop_of(group)->mark_step;
  length_t inset = 2 * group->edge - group->gap;
  if (width <= inset) return false;
  double by_area = group_area(group, trial->set) / (double)(width - inset);
  length_t shortest = (length_t)by_area + inset;
  for (size_t i = 0; i < group->part_count; i++) {
    if (trial->set->counts[i] == 0) continue;
    const struct part *part = part_of(group, i);
    length_t along = lies_across(group, i) ? part->width : part->length;
    if (may_turn(group, i)) along = smaller(part->length, part->width);
    shortest = larger(shortest, along + 2 * group->edge);
  }
  length_t longest = longest_of(trial, width);
  *least = (shortest + mark - 1) / mark;
  *most = longest / mark;
  return *least <= *most;
}

/* A load somewhere in the range, the long ones first: the longest may want more clamps along its
 * sides than there are. `most` becomes its length. */
static struct load *any_length(const struct trial *trial, length_t width, int64_t least,
                               int64_t *most) {
  length_t mark = shop_of(trial->group)->mark_step;
  int64_t range = *most - least;
  for (int64_t part = LENGTHS_TRIED; part >= 0; part--) {
    int64_t marks = least + range * part / LENGTHS_TRIED;
    struct load *load = fit(trial, marks * mark, width);
    if (load == NULL) continue;
    *most = marks;
    return load;
  }
  return NULL;
}

static struct load *shortest(const struct trial *trial, length_t width, length_t *length) {
  int64_t least = 0, most = 0;
  length_t mark = shop_of(trial->group)->mark_step;
  if (!length_range(trial, width, &least, &most)) return NULL;
  struct load *best = any_length(trial, width, least, &most);
  if (best == NULL) return NULL;
  while (least < most) {
    int64_t middle = least + (most - least) / 2;
    struct load *load = fit(trial, middle * mark, width);
    if (load != NULL) {
      best = load;
      most = middle;
    } else {
      least = middle + 1;
    }
  }
  *length = most * mark;
  return best;
}

/* The width that parts and clamps of a load leave unused beyond its rim is taken off where that
 * still holds. */
static struct load *narrowed(const struct trial *trial, struct load *load, length_t length,
                             length_t *width) {
  const struct load_group *group = trial->group;
  length_t used = 0, first = LENGTH_MAX;
  for (size_t i = 0; i < load->part_count; i++) {
    const struct held_part *part = &load->parts[i];
    length_t low = load->across ? part->x : part->y;
    used = larger(used, low + (load->across ? part->length : part->width));
    first = smaller(first, low);
  }
  length_t least = length_raise(used - first + 2 * group->edge, shop_of(group)->mark_step);
  if (least >= *width) return load;
  struct load *tight = fit(trial, length, least);
  if (tight == NULL) return load;
  *width = least;
  return tight;
}

/* A load as wide as asked for is not beaten by a narrower one, which may take one cut more, nor
 * one that is sooner fixed by one with more parts. */
static bool beats(const struct load_group *group, const struct found_load *a,
                  const struct found_load *b) {
  if (a->length > b->length || a->width > b->width) return false;
  if (b->full && a->width < b->width) return false;
  if (a->handling > b->handling) return false;
  for (size_t i = 0; i < group->part_count; i++)
    if (a->set.counts[i] < b->set.counts[i]) return false;
  return true;
}

static bool is_beaten(const struct load_group *group, const struct found_load *load) {
  for (size_t f = 0; f < group->found_count; f++)
    if (beats(group, &group->found[f], load)) return true;
  return false;
}

static void keep_found(struct load_group *group, const struct found_load *load) {
  size_t kept = 0;
  for (size_t f = 0; f < group->found_count; f++)
    if (!beats(group, load, &group->found[f])) group->found[kept++] = group->found[f];
  group->found_count = kept;
  *ARENA_PUSH(group->bed->arena, group->found, group->found_count, group->found_room) = *load;
}

static void keep_better(struct load_group *group, const struct found_load *load) {
  if (!is_beaten(group, load)) keep_found(group, load);
}

static bool find_laid(struct load_group *group, const struct part_set *set, length_t width,
                      enum hold hold, bool across) {
  struct trial trial = {.group = group, .set = set, .hold = hold, .across = across};
  struct found_load found = {.set = *set, .width = width, .full = true};
  found.handling = work_of(group, set)->handling;
  found.load = shortest(&trial, width, &found.length);
  if (found.load == NULL) return false;
  keep_better(group, &found);
  struct load *tight = narrowed(&trial, found.load, found.length, &found.width);
  if (tight == found.load) return true;
  found.load = tight;
  found.full = false;
  keep_better(group, &found);
  return true;
}

void group_add(struct load_group *group, const struct part_set *set, enum hold hold, bool across,
               struct load_size size, const struct load_answer *answer) {
  struct trial trial = {.group = group, .set = set, .hold = hold, .across = across};
  struct bed_load load = bed_load_of(&trial, size.length, size.width);
  struct found_load found = {.set = *set,
                             .length = size.length,
                             .width = size.width,
                             .handling = work_of(group, set)->handling};
  if (is_beaten(group, &found)) return;
  found.load = keep_load(&trial, &load, answer);
  keep_found(group, &found);
}

struct load *group_fit(struct load_group *group, const struct part_set *set, length_t length,
                       length_t width) {
  for (size_t h = 0; h < group->hold_count; h++)
    for (int across = 0; across < 2; across++) {
      struct trial trial = {group, set, group->holds[h], across == 1};
      if (length > longest_of(&trial, width)) continue;
      struct load *load = fit(&trial, length, width);
      if (load != NULL) return load;
    }
  return NULL;
}

bool group_find(struct load_group *group, const struct part_set *set, length_t width) {
  bool any = false;
  for (size_t h = 0; h < group->hold_count; h++) {
    bool straight = find_laid(group, set, width, group->holds[h], false);
    any = any || straight || find_laid(group, set, width, group->holds[h], true);
  }
  return any;
}
