#include "saw/schedule.h"

#include <stdlib.h>

#include "saw/caution.h"
#include "saw/fence.h"

/* A cut of a job that is yet to be made. */
struct operation {
  size_t job;
  uint8_t waits_for; /* cuts before it not yet made */
  uint8_t blocked;   /* of those, cuts that are not reachable within the same setting */
  size_t next;       /* in its setting's queue */
};

struct floor {
  const struct project *project;
  const struct saw_job *jobs;
  struct fences *fences;
  struct operation *operations;
  size_t *first_operation; /* per job, and one behind the last */
  size_t *first_node;      /* per job, into low and high */
  size_t *low, *high;      /* per cut node of each job: children still together */
  size_t *stack;           /* operations that have just become reachable */
  struct plan *plan;
};

static const struct peel *peel_of(const struct floor *floor, size_t operation) {
  size_t job = floor->operations[operation].job;
  return &floor->jobs[job].peels->items[operation - floor->first_operation[job]];
}

/* Counts an operation, and those that wait for it alone in the same setting, as reachable
 * without another setting. */
static void reach(struct floor *floor, size_t operation) {
  size_t depth = 0;
  floor->stack[depth++] = operation;
  while (depth > 0) {
    size_t reached = floor->stack[--depth];
    size_t job = floor->operations[reached].job;
    const struct peels *peels = floor->jobs[job].peels;
    const struct peel *peel = peel_of(floor, reached);
    fences_reached(floor->fences, peel->setting);
    for (size_t e = peel->first_edge; e != PEEL_NONE; e = peels->edges[e].next) {
      size_t after = floor->first_operation[job] + peels->edges[e].peel;
      if (peel_of(floor, after)->setting != peel->setting) continue;
      if (--floor->operations[after].blocked == 0) floor->stack[depth++] = after;
    }
  }
}

static void make_ready(struct floor *floor, size_t operation, bool next) {
  struct fence *setting = &floor->fences->items[peel_of(floor, operation)->setting];
  struct operation *ready = &floor->operations[operation];
  if (setting->first == FENCE_QUEUE_END) {
    ready->next = FENCE_QUEUE_END;
    setting->first = setting->last = operation;
  } else if (next) {
    ready->next = setting->first;
    setting->first = operation;
  } else {
    ready->next = FENCE_QUEUE_END;
    floor->operations[setting->last].next = operation;
    setting->last = operation;
  }
}

static void release_followers(struct floor *floor, size_t operation) {
  size_t job = floor->operations[operation].job;
  const struct peels *peels = floor->jobs[job].peels;
  const struct peel *peel = peel_of(floor, operation);
  for (size_t e = peel->first_edge; e != PEEL_NONE; e = peels->edges[e].next) {
    size_t after = floor->first_operation[job] + peels->edges[e].peel;
    bool same = peel_of(floor, after)->setting == peel->setting;
    if (!same && --floor->operations[after].blocked == 0) reach(floor, after);
    if (--floor->operations[after].waits_for == 0) make_ready(floor, after, same);
  }
}

/* The rectangle that is cut: the children still together. */
static void fill_piece(const struct floor *floor, const struct peel *peel, size_t node,
                       struct cut *cut) {
  const struct node *whole = peel->node;
  bool rip = cut->rip;
  const struct node *low = &whole->children[floor->low[node]];
  const struct node *high = &whole->children[floor->high[node]];
  bool at_high_edge = floor->high[node] + 1 == whole->child_count;
  length_t start = extents_start(floor->low[node] == 0 ? whole : low, rip);
  const struct node *ends = at_high_edge ? whole : high;
  length_t size = extents_start(ends, rip) + extents_size(ends, rip) - start;
  cut->piece_x = rip ? whole->x : start;
  cut->piece_y = rip ? start : whole->y;
  cut->piece_length = rip ? whole->length : size;
  cut->piece_width = rip ? size : whole->width;
}

static void make_cut(struct floor *floor, size_t operation) {
  size_t job_index = floor->operations[operation].job;
  const struct saw_job *job = &floor->jobs[job_index];
  const struct peel *peel = peel_of(floor, operation);
  const struct shop *shop = &floor->project->shop;
  const struct node *behind = &peel->node->children[peel->behind];
  bool rip = peel->node->kind == NODE_RIP;
  length_t position = extents_start(behind, rip) + extents_size(behind, rip);
  size_t node = floor->first_node[job_index] + peel->node_index;
  struct plan *plan = floor->plan;
  struct cut *cut = &plan->cuts[plan->cut_count++];
  *cut = (struct cut){.step = (int64_t)plan->cut_count,
                      .layout = job->layout,
                      .copy = job->copy,
                      .rip = rip,
                      .trim = peel->node->trim,
                      .x = rip ? peel->node->x : position,
                      .y = rip ? position : peel->node->y,
                      .span = rip ? peel->node->length : peel->node->width,
                      .kerf = rip ? shop->kerf_rip : shop->kerf_crosscut,
                      .keep = peel->keep,
                      .keep_high = peel->keep_high,
                      .fence_setting = plan->fence_settings};
  fill_piece(floor, peel, node, cut);
  const struct layout *layout = &plan->layouts[job->layout];
  cut->cautions = caution_bits(shop, &floor->project->stocks[layout->stock], cut);
  if (peel->from_low)
    floor->low[node] = peel->behind + 1;
  else
    floor->high[node] = peel->behind;
}

/* Makes every cut that can be made at one setting, the next of the same piece first. */
static void work_setting(struct floor *floor, size_t index) {
  struct fence *setting = &floor->fences->items[index];
  struct plan *plan = floor->plan;
  const struct cut *last = plan->cut_count == 0 ? NULL : &plan->cuts[plan->cut_count - 1];
  if (last == NULL || last->resaw || last->rip != setting->rip || last->keep != setting->keep)
    plan->fence_settings++;
  while (setting->first != FENCE_QUEUE_END) {
    size_t operation = setting->first;
    setting->first = floor->operations[operation].next;
    make_cut(floor, operation);
    setting->left--;
    setting->reachable--;
    release_followers(floor, operation);
  }
}

static void lay_out(struct arena *arena, struct floor *floor, size_t job_count) {
  floor->first_operation = ARENA_ARRAY(arena, job_count + 1, size_t);
  floor->first_node = ARENA_ARRAY(arena, job_count + 1, size_t);
  for (size_t j = 0; j < job_count; j++) {
    const struct peels *peels = floor->jobs[j].peels;
    floor->first_operation[j + 1] = floor->first_operation[j] + peels->count;
    floor->first_node[j + 1] = floor->first_node[j] + peels->node_count;
  }
  floor->operations = ARENA_ARRAY(arena, floor->first_operation[job_count], struct operation);
  floor->stack = ARENA_ARRAY(arena, floor->first_operation[job_count], size_t);
  floor->low = ARENA_ARRAY(arena, floor->first_node[job_count], size_t);
  floor->high = ARENA_ARRAY(arena, floor->first_node[job_count], size_t);
  for (size_t j = 0; j < job_count; j++) {
    const struct peels *peels = floor->jobs[j].peels;
    for (size_t p = 0; p < peels->count; p++) {
      const struct peel *peel = &peels->items[p];
      size_t operation = floor->first_operation[j] + p;
      uint8_t waits = (uint8_t)peel->waits_for;
      floor->operations[operation] = (struct operation){j, waits, waits, FENCE_QUEUE_END};
      floor->high[floor->first_node[j] + peel->node_index] = peel->node->child_count - 1;
      floor->fences->items[peel->setting].left++;
    }
  }
}

void schedule_class(struct arena *arena, const struct project *project, struct peels *peels,
                    size_t peels_count, const struct saw_job *jobs, size_t job_count,
                    struct plan *plan) {
  struct fences fences;
  fences_of_peels(arena, peels, peels_count, &fences);
  struct floor floor = {.project = project, .jobs = jobs, .fences = &fences, .plan = plan};
  lay_out(arena, &floor, job_count);
  for (size_t i = 0; i < floor.first_operation[job_count]; i++) {
    if (peel_of(&floor, i)->waits_for > 0) continue;
    make_ready(&floor, i, false);
    reach(&floor, i);
  }
  size_t next = FENCE_QUEUE_END;
  if (plan->cut_count > 0) {
    const struct cut *last = &plan->cuts[plan->cut_count - 1];
    if (!last->resaw) next = fences_take_same(&fences, last->rip, last->keep);
  }
  if (next == FENCE_QUEUE_END) next = fences_take(&fences);
  while (next != FENCE_QUEUE_END) {
    work_setting(&floor, next);
    fences_worked_off(&fences);
    next = fences_take(&fences);
  }
}
