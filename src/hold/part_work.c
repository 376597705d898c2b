#include "hold/part_work.h"

#include "hold/force.h"
#include "hold/height.h"
#include "model/tool_order.h"

struct part_work *part_works(struct arena *arena, const struct project *project) {
  struct part_work *works = ARENA_ARRAY(arena, project->part_count, struct part_work);
  const struct step_list *lists = part_steps(arena, project);
  for (size_t p = 0; p < project->part_count; p++) {
    works[p].steps = lists[p].steps;
    works[p].step_count = lists[p].count;
    reach_of_part(arena, project, &project->parts[p], works[p].steps, works[p].step_count,
                  &works[p].reach);
  }
  return works;
}

/* ---- fixings ---- */

enum { TURNS = 6 }; /* two sides up, lying flat, on edge and on end */

/* A load lies one way up for all its parts: one fixing for each way that any of them asks for. */
struct turning {
  struct arena *arena;
  size_t part_count;
  enum side first; /* that is up in the first of two flat fixings */
  struct fixing turns[TURNS];
};

static struct fixing *fixing_for(struct turning *turning, const struct work_clamping *work) {
  enum side first = work->stand == STAND_FLAT ? turning->first : SIDE_TOP;
  struct fixing *fixing = &turning->turns[2 * (size_t)work->stand + (work->side != first)];
  if (fixing->steps == NULL) {
    fixing->steps = ARENA_ARRAY(turning->arena, turning->part_count, struct step_list);
    fixing->frees = ARENA_ARRAY(turning->arena, turning->part_count, bool);
  }
  fixing->side = work->side;
  fixing->stand = work->stand;
  return fixing;
}

/* What a part that is turned over has up first. */
static void note_first(struct turning *turning, const struct work_clamping *clampings,
                       size_t count) {
  if (count > 1 && clampings[1].second) turning->first = clampings[0].side;
}

size_t load_fixings(struct arena *arena, const struct project *project,
                    const struct part_work *works, const size_t *parts, size_t part_count,
                    struct fixing **fixings) {
  struct turning turning = {.arena = arena, .part_count = part_count, .first = SIDE_UNDER};
  struct work_clamping **clampings = ARENA_ARRAY(arena, part_count, struct work_clamping *);
  size_t *counts = ARENA_ARRAY(arena, part_count, size_t);
  for (size_t i = part_count; i-- > 0;) {
    const struct part_work *work = &works[parts[i]];
    counts[i] = height_clampings(arena, &project->parts[parts[i]], work->steps, work->step_count,
                                 &clampings[i]);
    note_first(&turning, clampings[i], counts[i]); /* the first part's is what stays */
  }
  for (size_t i = 0; i < part_count; i++)
    for (size_t c = 0; c < counts[i]; c++) {
      const struct work_clamping *work = &clampings[i][c];
      struct fixing *fixing = fixing_for(&turning, work);
      fixing->steps[i] = (struct step_list){work->steps, work->step_count};
      fixing->frees[i] = work->parts_it;
    }
  *fixings = ARENA_ARRAY(arena, TURNS, struct fixing);
  size_t count = 0;
  for (size_t t = 0; t < TURNS; t++) {
    struct fixing *fixing = &turning.turns[t];
    if (fixing->steps == NULL) continue;
    fixing->second = count > 0 && fixing->stand == STAND_FLAT;
    fixing->order = tool_order_of(arena, fixing->steps, part_count);
    (*fixings)[count++] = *fixing;
  }
  return count;
}

/* Minutes of hands for one fixing: cutters in a changer take machine time alone. The stated
 * default cutter is none where other parts bring one. */
static void add_handling(const struct project *project, const struct fixing *fixing,
                         struct load_work *load) {
  const struct shop *shop = &project->shop;
  int64_t each = shop->tool_change_min + shop->probe_min;
  int64_t minutes = shop->setup_min + shop->probe_min;
  for (size_t c = 0; c < fixing->order.count; c++)
    if (project->cutters[fixing->order.cutters[c]].slot == 0) minutes += each;
  load->least_handling += minutes;
  load->handling += fixing->order.count == 0 ? minutes + each : minutes;
}

struct load_work load_work_of(struct arena *arena, const struct project *project,
                              const struct part_work *works, const size_t *parts, size_t part_count,
                              length_t raw) {
  struct arena_mark mark = arena_mark(arena);
  struct fixing *fixings = NULL;
  size_t count = load_fixings(arena, project, works, parts, part_count, &fixings);
  struct load_work load = {.clampings = (int64_t)count};
  int64_t force = 0;
  for (size_t c = 0; c < count; c++) add_handling(project, &fixings[c], &load);
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
