#include "hold/part_work.h"

#include <string.h>

#include "hold/force.h"
#include "hold/height.h"
#include "model/tool_order.h"

struct part_work *part_works(struct arena *arena, const struct project *project) {
  struct part_work *works = ARENA_ARRAY(arena, project->part_count, struct part_work);
  const struct step_list *lists = part_steps(arena, project);
  for (size_t p = 0; p < project->part_count; p++) {
    works[p].steps = lists[p].steps;
    works[p].step_count = lists[p].count;
    reach_of_part(arena, project, works[p].steps, works[p].step_count, &works[p].reach);
  }
  return works;
}

enum { MOST_CLAMPINGS = 6 };

/* The clampings that the parts of a load go through together, the first of each first. */
struct together {
  struct work_clamping *of_part; /* by part, MOST_CLAMPINGS each */
  size_t *counts;
  size_t part_count, most;
};

static struct together go_through(struct arena *arena, const struct project *project,
                                  const struct part_work *works, const size_t *parts,
                                  size_t part_count) {
  struct together together = {ARENA_ARRAY(arena, part_count * MOST_CLAMPINGS, struct work_clamping),
                              ARENA_ARRAY(arena, part_count, size_t), part_count, 0};
  for (size_t i = 0; i < part_count; i++) {
    const struct part_work *work = &works[parts[i]];
    struct work_clamping *clampings = NULL;
    size_t count = height_clampings(arena, &project->parts[parts[i]], work->steps, work->step_count,
                                    &clampings);
    memcpy(&together.of_part[i * MOST_CLAMPINGS], clampings, count * sizeof *clampings);
    together.counts[i] = count;
    if (count > together.most) together.most = count;
  }
  return together;
}

size_t load_fixings(struct arena *arena, const struct project *project,
                    const struct part_work *works, const size_t *parts, size_t part_count,
                    struct fixing **fixings) {
  struct together together = go_through(arena, project, works, parts, part_count);
  *fixings = ARENA_ARRAY(arena, together.most, struct fixing);
  for (size_t c = 0; c < together.most; c++) {
    struct fixing *fixing = &(*fixings)[c];
    fixing->steps = ARENA_ARRAY(arena, part_count, struct step_list);
    for (size_t i = 0; i < part_count; i++) {
      if (c >= together.counts[i]) continue;
      const struct work_clamping *work = &together.of_part[i * MOST_CLAMPINGS + c];
      fixing->steps[i] = (struct step_list){work->steps, work->step_count};
      fixing->side = work->side;
      fixing->stand = work->stand;
      fixing->second = work->second;
      fixing->parts_it = fixing->parts_it || work->parts_it;
    }
    fixing->order = tool_order_of(arena, fixing->steps, part_count);
  }
  return together.most;
}

/* Minutes of hands for one fixing: cutters in a changer take machine time alone. */
static int64_t handling_of(const struct project *project, const struct fixing *fixing) {
  const struct shop *shop = &project->shop;
  int64_t each = shop->tool_change_min + shop->probe_min;
  int64_t minutes = shop->setup_min + shop->probe_min;
  if (fixing->order.count == 0) return minutes + each; /* the stated default cutter */
  for (size_t c = 0; c < fixing->order.count; c++)
    if (project->cutters[fixing->order.cutters[c]].slot == 0) minutes += each;
  return minutes;
}

struct load_work load_work_of(struct arena *arena, const struct project *project,
                              const struct part_work *works, const size_t *parts, size_t part_count,
                              length_t raw) {
  struct arena_mark mark = arena_mark(arena);
  struct fixing *fixings = NULL;
  size_t count = load_fixings(arena, project, works, parts, part_count, &fixings);
  struct load_work load = {.clampings = (int64_t)count};
  int64_t force = 0;
  for (size_t c = 0; c < count; c++) load.handling += handling_of(project, &fixings[c]);
  for (size_t i = 0; i < part_count; i++) {
    const struct part_work *work = &works[parts[i]];
    load.reach = larger(load.reach, work->reach.outside);
    load.cutter_diameter = larger(load.cutter_diameter, work->reach.cutter_diameter);
    load.centre = larger(load.centre, height_centre(&work->reach));
    force = larger(force, force_of_steps(project, work->steps, work->step_count, raw, NULL));
  }
  load.force = force_to_hold(&project->shop, force);
  arena_release(arena, mark);
  return load;
}

length_t load_keep_out(const struct project *project, const struct part_work *works,
                       const size_t *parts, size_t part_count, length_t raw, length_t reach,
                       const struct clamp *clamp) {
  length_t clear = reach, top = height_above_stock(clamp, raw);
  for (size_t i = 0; i < part_count; i++)
    clear = larger(clear, reach_to_clamp(&works[parts[i]].reach, &project->shop, raw,
                                         project->parts[parts[i]].thickness, top));
  return project->shop.clear_gap + clear - reach;
}
