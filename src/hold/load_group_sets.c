/* Which sets of parts to look for loads for. */
#include <string.h>

#include "hold/load_group.h"

#include "base/divisor.h"

struct sets {
  struct part_set items[GROUP_SETS_MOST];
  size_t count;
};

static bool is_empty(const struct load_group *group, const struct part_set *set) {
  for (size_t i = 0; i < group->part_count; i++)
    if (set->counts[i] > 0) return false;
  return true;
}

static bool can_be(const struct load_group *group, const struct part_set *set) {
  int64_t parts = 0;
  for (size_t i = 0; i < group->part_count; i++) {
    if (set->counts[i] < 0 || set->counts[i] > group->most[i]) return false;
    parts += set->counts[i];
  }
  return parts <= LOAD_PARTS_MOST && group_area(group, set) <= group->room;
}

static void add_set(const struct load_group *group, struct sets *sets, const struct part_set *set) {
  if (sets->count == GROUP_SETS_MOST || is_empty(group, set) || !can_be(group, set)) return;
  for (size_t s = 0; s < sets->count; s++)
    if (memcmp(&sets->items[s], set, sizeof *set) == 0) return;
  sets->items[sets->count++] = *set;
}

/* ---- sets of one part, and in the proportion in which parts are needed ---- */

/* All numbers up to a dozen, then every few. */
static void add_alone(const struct load_group *group, struct sets *sets) {
  for (size_t i = 0; i < group->part_count; i++) {
    struct part_set set = {0};
    int64_t stride = group->part_count > 2 ? 4 : 1;
    for (int64_t n = 1; n <= group->most[i]; n += n < stride ? 1 : n < 12 ? stride : n / 4) {
      set.counts[i] = n;
      if (!can_be(group, &set)) break;
      add_set(group, sets, &set);
    }
  }
}

static void add_in_proportion(const struct load_group *group, const int64_t *needed,
                              struct sets *sets) {
  int64_t unit = 0;
  for (size_t i = 0; i < group->part_count; i++)
    unit = common_divisor(unit, needed[group->parts[i]]);
  if (unit == 0 || group->part_count < 2) return;
  for (int64_t n = 1;; n++) {
    struct part_set set = {0};
    for (size_t i = 0; i < group->part_count; i++)
      set.counts[i] = needed[group->parts[i]] / unit * n;
    if (!can_be(group, &set)) return;
    add_set(group, sets, &set);
  }
}

/* ---- full loads, and what they leave ---- */

static struct part_set set_of_load(const struct load_group *group, const struct load *load) {
  struct part_set set = {0};
  for (size_t i = 0; i < group->part_count; i++) set.counts[i] = load_count(load, group->parts[i]);
  return set;
}

/* The found load that fills its wood best; NULL before there is one. */
static const struct found_load *densest(const struct load_group *group) {
  const struct found_load *best = NULL;
  double most = 0;
  for (size_t f = 0; f < group->found_count; f++) {
    const struct found_load *found = &group->found[f];
    double dense = group_area(group, &found->set) / ((double)found->length * (double)found->width);
    if (dense <= most) continue;
    most = dense;
    best = found;
  }
  return best;
}

/* What is left to make once a set was made as often as it can be, and once less often. */
static void add_rest(const struct load_group *group, const int64_t *needed,
                     const struct part_set *full, struct sets *sets) {
  int64_t times = INT64_MAX;
  for (size_t i = 0; i < group->part_count; i++)
    if (full->counts[i] > 0 && needed[group->parts[i]] / full->counts[i] < times)
      times = needed[group->parts[i]] / full->counts[i];
  for (int64_t less = 0; less < 2 && times != INT64_MAX && less <= times; less++) {
    struct part_set rest = {0};
    for (size_t i = 0; i < group->part_count; i++)
      rest.counts[i] = needed[group->parts[i]] - (times - less) * full->counts[i];
    add_set(group, sets, &rest);
  }
}

/* One more of each part that still fits by area, the largest first: sets next to a dense one. */
static void add_fuller(const struct load_group *group, const struct part_set *from,
                       struct sets *sets) {
  for (size_t i = 0; i < group->part_count; i++)
    for (int64_t change = -1; change <= 1; change += 2) {
      struct part_set set = *from;
      set.counts[i] += change;
      if (!can_be(group, &set)) continue;
      add_set(group, sets, &set);
      for (size_t j = 0; change < 0 && j < group->part_count; j++) {
        struct part_set other = set;
        if (j == i) continue;
        while (other.counts[j]++, can_be(group, &other)) add_set(group, sets, &other);
      }
    }
}

static void look_into(struct load_group *group, const struct sets *sets, size_t from) {
  for (size_t s = from; s < sets->count; s++)
    for (size_t w = 0; w < group->width_count; w++)
      (void)group_find(group, &sets->items[s], group->widths[w]);
}

void group_fill(struct load_group *group, const int64_t *needed) {
  struct sets sets = {.count = 0};
  add_in_proportion(group, needed, &sets);
  add_alone(group, &sets);
  look_into(group, &sets, 0);
  for (int round = 0; round < 2; round++) {
    const struct found_load *best = densest(group);
    size_t before = sets.count;
    if (best == NULL) return;
    struct part_set full = set_of_load(group, best->load);
    add_rest(group, needed, &full, &sets);
    if (group->part_count > 1) add_fuller(group, &full, &sets);
    look_into(group, &sets, before);
  }
}
