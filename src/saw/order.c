#include <stdlib.h>

#include "saw/saw.h"
#include "saw/schedule.h"

/* A layout among those of the same wood and thickness. */
struct member {
  const char *wood;
  length_t thickness;
  size_t layout;
  size_t class_first; /* first layout of its class */
};

static int fold(char letter) {
  return letter >= 'A' && letter <= 'Z' ? letter - 'A' + 'a' : (unsigned char)letter;
}

static int compare_class(const struct member *a, const struct member *b) {
  if (a->thickness != b->thickness) return a->thickness < b->thickness ? -1 : 1;
  const char *x = a->wood;
  const char *y = b->wood;
  while (*x != '\0' && fold(*x) == fold(*y)) {
    x++;
    y++;
  }
  return fold(*x) - fold(*y);
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

/* The layouts class by class, classes in the order of their first layout. */
static struct member *members_by_class(struct arena *arena, const struct project *project,
                                       const struct plan *plan) {
  size_t count = plan->layout_count;
  struct member *members = ARENA_ARRAY(arena, count, struct member);
  for (size_t i = 0; i < count; i++) {
    const struct stock *stock = &project->stocks[plan->layouts[i].stock];
    members[i] = (struct member){stock->wood, stock->thickness, i, i};
  }
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

void saw_order(struct arena *arena, const struct project *project, struct plan *plan) {
  size_t count = plan->layout_count;
  const struct member *members = members_by_class(arena, project, plan);
  struct peels *peels = ARENA_ARRAY(arena, count, struct peels);
  for (size_t i = 0, size; i < count; i += size) {
    size = class_size(&members[i], count - i);
    peel_class(arena, project, plan, &members[i], size, &peels[i]);
  }
  size_t total = 0;
  for (size_t i = 0; i < count; i++)
    total += peels[i].count * copies(&plan->layouts[members[i].layout]);
  plan->cuts = ARENA_ARRAY(arena, total, struct cut);
  plan->cut_count = 0;
  plan->cut_room = total;
  plan->fence_settings = 0;
  for (size_t i = 0, size; i < count; i += size) {
    size = class_size(&members[i], count - i);
    struct arena_mark mark = arena_mark(arena);
    schedule_members(arena, project, &members[i], size, &peels[i], plan);
    arena_release(arena, mark);
  }
}
