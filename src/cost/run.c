#include "cost/run.h"

#include <stdlib.h>
#include <string.h>

#include "cost/time.h"

struct running {
  struct arena *arena;
  const struct project *project;
  const struct blanks *blanks;
  const struct plan *plan;
  const struct step_list *steps; /* per part */
  int64_t *pieces;               /* per blank */
  int64_t *made;                 /* per part: so far, in the order of stock */
  int64_t *strips, *glued;       /* per blank: strips so far, of all that go with it, and how many
                                    of them began a blank that is glued up */
  int64_t **left_out;            /* per blank that is a load, per part in it: how often it is not
                                    made; NULL for never */
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

static struct timed_clamping time_fixing(const struct running *running, const struct load *load,
                                         const struct fixing *fixing, int64_t times,
                                         const int64_t *left_out) {
  struct timed_kind *kinds = kinds_in(running, load, fixing);
  struct timed_clamping made = time_clamping(running->arena, kinds, load->part_count, times);
  if (left_out == NULL) return made;
  for (size_t i = 0; i < load->part_count; i++) kinds[i].copies = left_out[i];
  struct timed_clamping less = time_clamping(running->arena, kinds, load->part_count, 1);
  made.spared = (struct spared){less.cutting, less.tabs, less.hand};
  return made;
}

/* The blank that stands for all whose strips may be glued up with each other. */
static size_t first_of_strips(const struct running *running, size_t index) {
  const struct blank *items = running->blanks->items;
  size_t first = 0;
  while (items[first].strips == 0 ||
         !blank_same_strips(running->project, &items[first], &items[index]))
    first++;
  return first;
}

/* How often there is this load: pieces of every blank that is it, those that are strips by what
 * they are glued up to. */
static int64_t times_of(const struct running *running, size_t index) {
  const struct blanks *blanks = running->blanks;
  int64_t times = 0;
  for (size_t b = index; b < blanks->count; b++)
    if (blanks->items[b].load == blanks->items[index].load)
      times += blanks->items[b].strips == 0 ? running->pieces[b] : running->glued[b];
  return times;
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

/* ---- what is left out ---- */

/* One piece of stock, and when it comes. */
struct cut_up {
  const struct layout *layout;
  int64_t copy;
};

static int by_stock(const void *left, const void *right) {
  const struct cut_up *a = left, *b = right;
  if (a->layout->stock != b->layout->stock) return a->layout->stock < b->layout->stock ? -1 : 1;
  return (a->copy > b->copy) - (a->copy < b->copy);
}

static struct cut_up *in_order(const struct running *running, size_t *count) {
  const struct plan *plan = running->plan;
  *count = 0;
  for (size_t l = 0; l < plan->layout_count; l++)
    if (plan->layouts[l].times > 0) *count += (size_t)plan->layouts[l].times;
  struct cut_up *pieces = ARENA_ARRAY(running->arena, *count, struct cut_up);
  size_t at = 0;
  for (size_t l = 0; l < plan->layout_count; l++)
    for (int64_t n = 0; n < plan->layouts[l].times; n++)
      pieces[at++] = (struct cut_up){&plan->layouts[l], plan->layouts[l].first_copy + n};
  if (*count > 1) qsort(pieces, *count, sizeof *pieces, by_stock);
  return pieces;
}

/* The blank that stands for all of the same load. */
static size_t first_alike(const struct running *running, size_t index) {
  const struct blank *items = running->blanks->items;
  size_t first = 0;
  while (running->pieces[first] == 0 || items[first].load != items[index].load) first++;
  return first;
}

/* True of a piece that is no strip, and of the first of the strips of a blank. */
static bool begins(struct running *running, size_t index) {
  const struct blank *blank = &running->blanks->items[index];
  if (blank->strips == 0) return true;
  int64_t *strips = &running->strips[first_of_strips(running, index)];
  bool first = (*strips)++ % blank->strips == 0;
  running->glued[index] += first ? 1 : 0;
  return first;
}

/* In a load the parts that are wanted by then are made; a part's own blanks are all made, strips
 * count by the blanks they are glued up to. */
static void make(struct running *running, size_t index) {
  const struct blank *blank = &running->blanks->items[index];
  const struct load *load = blank->load;
  if (blank->role != ROLE_LOAD) {
    running->made[blank->part] += begins(running, index) ? 1 : 0;
    return;
  }
  int64_t **left_out = &running->left_out[first_alike(running, index)];
  for (size_t i = 0; i < load->part_count; i++) {
    size_t part = load->parts[i].part;
    if (running->made[part] < running->plan->needed[part]) {
      running->made[part]++;
      continue;
    }
    if (*left_out == NULL) *left_out = ARENA_ARRAY(running->arena, load->part_count, int64_t);
    (*left_out)[i]++;
  }
}

static void make_all(struct running *running, const struct node *node) {
  if (node->kind == NODE_PIECE) make(running, node->blank);
  for (size_t i = 0; i < node->child_count; i++) make_all(running, &node->children[i]);
}

/* Stock by stock, as the parts are numbered: what comes last goes without. */
static void leave_out(struct running *running) {
  size_t count = 0;
  const struct cut_up *pieces = in_order(running, &count);
  for (size_t i = 0; i < count; i++) make_all(running, &pieces[i].layout->root);
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
                            .made = ARENA_ARRAY(arena, project->part_count, int64_t),
                            .strips = ARENA_ARRAY(arena, blanks->count, int64_t),
                            .glued = ARENA_ARRAY(arena, blanks->count, int64_t),
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
