#include <stdlib.h>

#include "base/text.h"
#include "saw/saw.h"
#include "saw/schedule.h"

/* A layout among those of the same wood and thickness. */
struct member {
  const char *wood;
  length_t thickness;
  size_t layout;
  size_t class_first; /* first layout of its class */
};

static int compare_class(const struct member *a, const struct member *b) {
  if (a->thickness != b->thickness) return a->thickness < b->thickness ? -1 : 1;
  return text_compare_fold(a->wood, b->wood);
}

static int compare_index(size_t a, size_t b) { return (a > b) - (a < b); }

static int compare_by_class(const void *left, const void *right) {
  const struct member *a = left;
  const struct member *b = right;
  int order = compare_class(a, b);
  return order != 0 ? order : compare_index(a->layout, b->layout);
}

static int compare_by_first(const void *left, const void *right) {
  const struct member *a = left;
  const struct member *b = right;
  int order = compare_index(a->class_first, b->class_first);
  return order != 0 ? order : compare_index(a->layout, b->layout);
}

/* The layouts class by class, classes in the order of their first layout; of planks that are
 * resawn, or of all others. */
static struct member *members_by_class(struct arena *arena, const struct project *project,
                                       const struct plan *plan, bool resawn, size_t *member_count) {
  size_t count = 0;
  struct member *members = ARENA_ARRAY(arena, plan->layout_count, struct member);
  for (size_t i = 0; i < plan->layout_count; i++) {
    const struct stock *stock = &project->stocks[plan->layouts[i].stock];
    if ((layout_split(&plan->layouts[i]) != NULL) != resawn) continue;
    members[count++] = (struct member){stock->wood, stock->thickness, i, i};
  }
  *member_count = count;
  if (count == 0) return members;
  qsort(members, count, sizeof *members, compare_by_class);
  for (size_t i = 1; i < count; i++)
    if (compare_class(&members[i - 1], &members[i]) == 0)
      members[i].class_first = members[i - 1].class_first;
  qsort(members, count, sizeof *members, compare_by_first);
  return members;
}

static size_t copies(const struct layout *layout) {
  return layout->times > 0 ? (size_t)layout->times : 0;
}

/* The cuts of every layout; the sizes wanted within its class decide how it is peeled. */
static void peel_class(struct arena *arena, const struct project *project, const struct plan *plan,
                       const struct member *members, size_t count, struct peels *peels) {
  struct extents extents = {0};
  for (size_t i = 0; i < count; i++) {
    const struct layout *layout = &plan->layouts[members[i].layout];
    extents_add(arena, &extents, &layout->root, layout->times);
  }
  extents_sort(&extents);
  for (size_t i = 0; i < count; i++) {
    const struct layout *layout = &plan->layouts[members[i].layout];
    peel_layout(arena, &project->shop, &project->stocks[layout->stock], &extents, &layout->root,
                &peels[i]);
  }
}

static void schedule_members(struct arena *arena, const struct project *project,
                             const struct member *members, size_t count, struct peels *peels,
                             struct plan *plan) {
  size_t job_count = 0;
  for (size_t i = 0; i < count; i++) job_count += copies(&plan->layouts[members[i].layout]);
  struct saw_job *jobs = ARENA_ARRAY(arena, job_count, struct saw_job);
  size_t made = 0;
  for (size_t i = 0; i < count; i++) {
    const struct layout *layout = &plan->layouts[members[i].layout];
    for (size_t c = 0; c < copies(layout); c++)
      jobs[made++] =
          (struct saw_job){members[i].layout, layout->first_copy + (int64_t)c, &peels[i]};
  }
  schedule_class(arena, project, peels, count, jobs, job_count, plan);
}

static size_t class_size(const struct member *members, size_t left) {
  size_t size = 1;
  while (size < left && members[size].class_first == members[0].class_first) size++;
  return size;
}

/* ---- planks that are resawn ---- */

static const struct stock *leaf_stock(const struct project *project, const struct layout *layout) {
  const struct node *split = layout_split(layout);
  return split == NULL ? NULL : &project->stocks[split->blank];
}

/* One cut after the other from the same face, which is cleaned before each. */
static void add_resaw_cuts(const struct project *project, size_t index, int64_t copy,
                           struct plan *plan) {
  const struct layout *layout = &plan->layouts[index];
  const struct node *split = layout_split(layout);
  const struct stock *leaf = leaf_stock(project, layout);
  length_t keep = leaf->thickness + project->shop.resaw_clean;
  for (int64_t n = 0; n < leaf->resaw_cuts; n++) {
    const struct cut *last = plan->cut_count == 0 ? NULL : &plan->cuts[plan->cut_count - 1];
    if (last == NULL || !last->resaw || last->keep != keep) plan->fence_settings++;
    struct cut *cut = &plan->cuts[plan->cut_count++];
    *cut = (struct cut){.step = (int64_t)plan->cut_count,
                        .layout = index,
                        .copy = copy,
                        .resaw = true,
                        .x = split->x,
                        .y = split->y,
                        .span = split->length,
                        .kerf = project->shop.resaw_kerf,
                        .keep = keep,
                        .piece_x = split->x,
                        .piece_y = split->y,
                        .piece_length = split->length,
                        .piece_width = split->width,
                        .fence_setting = plan->fence_settings,
                        .cautions = CAUTION_RESAW};
  }
}

static void resaw_members(const struct project *project, const struct member *members, size_t count,
                          struct plan *plan) {
  for (size_t i = 0; i < count; i++) {
    const struct layout *layout = &plan->layouts[members[i].layout];
    for (size_t c = 0; layout_split(layout) != NULL && c < copies(layout); c++)
      add_resaw_cuts(project, members[i].layout, layout->first_copy + (int64_t)c, plan);
  }
}

/* ---- the whole order ---- */

static size_t count_cuts(const struct project *project, const struct plan *plan,
                         const struct member *members, const struct peels *peels, size_t count) {
  size_t total = 0;
  for (size_t i = 0; i < count; i++) {
    const struct layout *layout = &plan->layouts[members[i].layout];
    const struct stock *leaf = leaf_stock(project, layout);
    total += (peels[i].count + (leaf == NULL ? 0 : (size_t)leaf->resaw_cuts)) * copies(layout);
  }
  return total;
}

/* Appends the cuts of the planks that are resawn, or of all others. */
static void order_cuts(struct arena *arena, const struct project *project, bool resawn,
                       struct plan *plan) {
  size_t count = 0;
  const struct member *members = members_by_class(arena, project, plan, resawn, &count);
  struct peels *peels = ARENA_ARRAY(arena, count, struct peels);
  for (size_t i = 0, size; i < count; i += size) {
    size = class_size(&members[i], count - i);
    peel_class(arena, project, plan, &members[i], size, &peels[i]);
  }
  size_t total = plan->cut_count + count_cuts(project, plan, members, peels, count);
  plan->cuts = arena_grow(arena, plan->cuts, plan->cut_count, total, sizeof *plan->cuts);
  plan->cut_room = total;
  for (size_t i = 0, size; i < count; i += size) {
    size = class_size(&members[i], count - i);
    struct arena_mark mark = arena_mark(arena);
    schedule_members(arena, project, &members[i], size, &peels[i], plan);
    arena_release(arena, mark);
    resaw_members(project, &members[i], size, plan);
  }
}

/* Leaves can only be cut once their plank is resawn. */
void saw_order(struct arena *arena, const struct project *project, struct plan *plan) {
  plan->cuts = NULL;
  plan->cut_count = 0;
  plan->cut_room = 0;
  plan->fence_settings = 0;
  order_cuts(arena, project, true, plan);
  order_cuts(arena, project, false, plan);
}
