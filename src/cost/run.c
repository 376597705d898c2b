#include "cost/run.h"

#include <string.h>

#include "cost/time.h"

struct running {
  struct arena *arena;
  const struct project *project;
  const struct blanks *blanks;
  const struct plan *plan;
  const struct step_list *steps; /* per part */
  int64_t *pieces;               /* per blank */
  int64_t *beyond;               /* per part: made in loads beyond the demand */
  int64_t **left_out;            /* per blank that is a load, per kind in it; else NULL */
  struct timed_clamping *clampings;
  size_t clamping_count, clamping_room;
};

static void count_pieces(struct running *running, const struct node *node, int64_t times) {
  if (node->kind == NODE_PIECE) running->pieces[node->blank] += times;
  for (size_t i = 0; i < node->child_count; i++) count_pieces(running, &node->children[i], times);
}

static size_t kind_of(const struct load *load, size_t part) {
  size_t kind = 0;
  while (load->kinds[kind] != part) kind++;
  return kind;
}

/* Every part in a load by itself, since their tabs may differ. */
static struct timed_kind *kinds_in(const struct running *running, const struct load *load,
                                   const struct fixing *fixing) {
  struct timed_kind *kinds = ARENA_ARRAY(running->arena, load->part_count, struct timed_kind);
  for (size_t i = 0; i < load->part_count; i++) {
    const struct held_part *held = &load->parts[i];
    const struct step_list *all = &running->steps[held->part];
    size_t kind = kind_of(load, held->part);
    kinds[i] = (struct timed_kind){.timed = {.project = running->project,
                                             .part = &running->project->parts[held->part],
                                             .steps = all->steps,
                                             .step_count = all->count,
                                             .raw = load->thickness,
                                             .tabs = (int64_t)held->tab_count,
                                             .tab_height = load->tab_height},
                                   .steps = fixing->steps[kind],
                                   .copies = 1,
                                   .freed = fixing->frees[kind]};
  }
  return kinds;
}

/* Whole loads lose all of a kind, the one before them its last ones. */
static void count_left_out(const struct load *load, const int64_t *left_out,
                           struct timed_kind *kinds) {
  for (size_t k = 0; k < load->kind_count; k++) {
    int64_t count = load_count(load, load->kinds[k]), last = left_out[k] % count;
    for (size_t i = load->part_count; i-- > 0;)
      if (load->parts[i].part == load->kinds[k])
        kinds[i].copies = left_out[k] / count + (last-- > 0 ? 1 : 0);
  }
}

static struct timed_clamping time_fixing(const struct running *running, const struct load *load,
                                         const struct fixing *fixing, int64_t times,
                                         const int64_t *left_out) {
  struct timed_kind *kinds = kinds_in(running, load, fixing);
  struct timed_clamping made = time_clamping(running->arena, kinds, load->part_count, times);
  if (left_out == NULL) return made;
  count_left_out(load, left_out, kinds);
  struct timed_clamping less = time_clamping(running->arena, kinds, load->part_count, 1);
  made.spared = (struct spared){less.cutting, less.tabs, less.hand};
  return made;
}

/* Pieces of every blank that is this load; of strips that are glued up, as many as they make. */
static int64_t times_of(const struct running *running, size_t index) {
  const struct blanks *blanks = running->blanks;
  int64_t pieces = 0, strips = 1;
  for (size_t b = index; b < blanks->count; b++) {
    if (blanks->items[b].load != blanks->items[index].load) continue;
    if (blanks->items[b].strips > 0) strips = blanks->items[b].strips;
    pieces += running->pieces[b];
  }
  return pieces / strips;
}

static bool seen_before(const struct running *running, size_t index) {
  for (size_t b = 0; b < index; b++)
    if (running->pieces[b] > 0 &&
        running->blanks->items[b].load == running->blanks->items[index].load)
      return true;
  return false;
}

static void add_load(struct running *running, size_t index) {
  const struct load *load = running->blanks->items[index].load;
  int64_t times = times_of(running, index);
  for (size_t f = 0; f < load->fixing_count; f++)
    *ARENA_PUSH(running->arena, running->clampings, running->clamping_count,
                running->clamping_room) =
        time_fixing(running, load, &load->fixings[f], times, running->left_out[index]);
}

/* A part's own blanks are all made; strips count by the blanks they are glued up to. */
static void count_beyond(struct running *running) {
  const struct blanks *blanks = running->blanks;
  size_t parts = running->project->part_count;
  for (size_t p = 0; p < parts; p++) running->beyond[p] = -running->plan->needed[p];
  for (size_t b = 0; b < blanks->count; b++) {
    const struct blank *blank = &blanks->items[b];
    if (blank->role != ROLE_LOAD) {
      running->beyond[blank->part] += running->pieces[b] / (blank->strips > 0 ? blank->strips : 1);
      continue;
    }
    for (size_t k = 0; k < blank->load->kind_count; k++)
      running->beyond[blank->load->kinds[k]] +=
          running->pieces[b] * load_count(blank->load, blank->load->kinds[k]);
  }
}

/* The loads that come last go without. */
static void leave_out(struct running *running) {
  count_beyond(running);
  for (size_t b = running->blanks->count; b-- > 0;) {
    const struct blank *blank = &running->blanks->items[b];
    if (blank->role != ROLE_LOAD || running->pieces[b] == 0 || seen_before(running, b)) continue;
    running->left_out[b] = ARENA_ARRAY(running->arena, blank->load->kind_count, int64_t);
    for (size_t k = 0; k < blank->load->kind_count; k++) {
      int64_t *beyond = &running->beyond[blank->load->kinds[k]];
      int64_t most = times_of(running, b) * load_count(blank->load, blank->load->kinds[k]);
      int64_t count = *beyond < most ? *beyond : most;
      if (count <= 0) continue;
      running->left_out[b][k] = count;
      *beyond -= count;
    }
  }
}

/* Minutes by hand that no load brings: of parts that are only sawn, and per set. */
static int64_t other_hand(const struct running *running) {
  const struct project *project = running->project;
  int64_t minutes = 0;
  for (size_t p = 0; p < project->part_count; p++)
    if (project->parts[p].way == WAY_SAW)
      minutes += running->plan->needed[p] * project->parts[p].hand_minutes;
  for (size_t m = 0; m < project->money_count; m++)
    if (strcmp(project->money[m].name, "hand_minutes_per_set") == 0)
      minutes += project_started(project, running->plan->sets) * project->money[m].value;
  return minutes;
}

void run_time_add(struct arena *arena, const struct project *project, const struct blanks *blanks,
                  struct plan *plan) {
  struct running running = {.arena = arena,
                            .project = project,
                            .blanks = blanks,
                            .plan = plan,
                            .steps = part_steps(arena, project),
                            .pieces = ARENA_ARRAY(arena, blanks->count, int64_t),
                            .beyond = ARENA_ARRAY(arena, project->part_count, int64_t),
                            .left_out = ARENA_ARRAY(arena, blanks->count, int64_t *)};
  for (size_t l = 0; l < plan->layout_count; l++)
    count_pieces(&running, &plan->layouts[l].root, plan->layouts[l].times);
  leave_out(&running);
  for (size_t b = 0; b < blanks->count; b++)
    if (running.pieces[b] > 0 && blanks->items[b].load != NULL && !seen_before(&running, b))
      add_load(&running, b);
  struct timed_run run = {.clampings = running.clampings,
                          .clamping_count = running.clamping_count,
                          .saw_cuts = (int64_t)plan->cut_count,
                          .fence_settings = plan->fence_settings,
                          .hand = other_hand(&running)};
  plan->time = time_run(project, &run);
}
