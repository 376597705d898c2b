#include "hold/finish.h"

#include <stdlib.h>

#include "hold/bed.h"
#include "hold/clamp_program.h"

struct finishing {
  struct arena *arena;
  const struct project *project;
  const struct blanks *blanks;
  struct hold_cautions cautions;
  struct bed bed;
  bool *part_done; /* per part: cautions that are the part's alone were told */
  struct faced_from *faced_from;
  size_t faced_from_count, faced_from_room;
};

/* A part and a thickness of stock whose facing was looked at. */
struct faced_from {
  size_t part;
  length_t raw;
};

/* ---- which loads are used ---- */

static void mark_used(const struct node *node, bool *used) {
  if (node->kind == NODE_PIECE) used[node->blank] = true;
  for (size_t i = 0; i < node->child_count; i++) mark_used(&node->children[i], used);
}

static bool seen_before(const struct blanks *blanks, const bool *used, size_t index) {
  for (size_t b = 0; b < index; b++)
    if (used[b] && blanks->items[b].load == blanks->items[index].load) return true;
  return false;
}

/* ---- clamps ---- */

/* In the order of the project, in which a load is also reckoned with while it is looked for. */
static void set_kinds(struct finishing *finishing, struct load *load) {
  load->kinds = ARENA_ARRAY(finishing->arena, load->part_count, size_t);
  load->kind_count = 0;
  for (size_t i = 0; i < load->part_count; i++) {
    size_t part = load->parts[i].part;
    size_t k = load->kind_count;
    while (k > 0 && load->kinds[k - 1] > part) k--;
    if (k > 0 && load->kinds[k - 1] == part) continue;
    for (size_t later = load->kind_count++; later > k; later--)
      load->kinds[later] = load->kinds[later - 1];
    load->kinds[k] = part;
  }
}

static struct clamp_problem problem_of(struct finishing *finishing, const struct load *load) {
  const struct part *parts = finishing->project->parts;
  struct bed_load bed_load = {.length = load->across ? load->width : load->length,
                              .width = load->across ? load->length : load->width,
                              .thickness = load->thickness,
                              .across = load->across,
                              .hold = load->hold,
                              .parts = load->kinds,
                              .part_count = load->kind_count};
  bed_load.work = load_work_of(finishing->arena, finishing->project, finishing->bed.works,
                               load->kinds, load->kind_count, load->thickness);
  /* as it was found with and is told: of all parts that share loads with these */
  bed_load.work.reach = load->reach;
  struct clamp_problem problem = bed_problem(&finishing->bed, &bed_load);
  struct clamp_obstacle *obstacles =
      ARENA_ARRAY(finishing->arena, load->part_count, struct clamp_obstacle);
  for (size_t i = 0; i < load->part_count; i++) {
    const struct held_part *part = &load->parts[i];
    obstacles[i] = (struct clamp_obstacle){part->x, part->y, part->length, part->width,
                                           parts[part->part].shape == SHAPE_ROUND};
  }
  problem.obstacles = obstacles;
  problem.obstacle_count = load->part_count;
  return problem;
}

static void choose_clamps(struct finishing *finishing, struct load *load) {
  struct clamp_problem problem = problem_of(finishing, load);
  struct clamp_answer answer;
  clamps_choose(finishing->arena, &problem, &answer);
  if (!answer.held || answer.clamp_count > load->clamp_count) return;
  load->clamps = answer.clamps;
  load->clamp_count = answer.clamp_count;
  load->clamped = answer.clamp_count > 0;
}

/* ---- tabs ---- */

static enum load_grain grain_of(const struct stock *stock, const struct load *load) {
  if (stock->kind == STOCK_SHEET && stock->face_grain == FACE_GRAIN_NONE) return LOAD_GRAIN_NONE;
  return load->across ? LOAD_GRAIN_Y : LOAD_GRAIN_X;
}

static void place_tabs(struct finishing *finishing, const struct stock *stock, struct load *load,
                       const char *name) {
  struct tab_work work = {.project = finishing->project,
                          .load_length = load->length,
                          .load_width = load->width,
                          .grain = grain_of(stock, load),
                          .cutter_diameter = load->cutter_diameter,
                          .parts = load->parts,
                          .part_count = load->part_count,
                          .clamps = load->clamps,
                          .clamp_count = load->clamp_count};
  for (size_t i = 0; i < load->part_count; i++) {
    struct tab_result result = tabs_place(finishing->arena, &work, i, &load->parts[i]);
    load->tab_height = result.height;
    bool first = true; /* one of a kind speaks for all */
    for (size_t j = 0; j < i; j++) first = first && load->parts[j].part != load->parts[i].part;
    if (!first && result.made >= result.wanted) continue;
    size_t part = load->parts[i].part;
    const struct part_work *own = &finishing->bed.works[part];
    struct tab_cut cut = {own->steps, own->step_count, load->thickness, stock->wood};
    hold_caution_tabs(&finishing->cautions, finishing->project, name, part, &result);
    hold_caution_tab_force(&finishing->cautions, finishing->project, name, part, &result, &cut);
  }
}

/* ---- cautions ---- */

static void check_faces(struct finishing *finishing, size_t part, length_t raw) {
  const struct part_work *work = &finishing->bed.works[part];
  for (size_t i = 0; i < finishing->faced_from_count; i++)
    if (finishing->faced_from[i].part == part && finishing->faced_from[i].raw == raw) return;
  *ARENA_PUSH(finishing->arena, finishing->faced_from, finishing->faced_from_count,
              finishing->faced_from_room) = (struct faced_from){part, raw};
  hold_caution_faces(&finishing->cautions, finishing->project, part, work->steps, work->step_count,
                     raw);
}

static void check_part(struct finishing *finishing, const struct stock *stock,
                       const struct load *load, const char *name, size_t part) {
  const struct project *project = finishing->project;
  const struct part_work *work = &finishing->bed.works[part];
  struct work_clamping *clampings = NULL;
  size_t count = height_clampings(finishing->arena, &project->parts[part], work->steps,
                                  work->step_count, &clampings);
  struct clamp *clamps = ARENA_ARRAY(finishing->arena, load->clamp_count, struct clamp);
  length_t *keep_outs = ARENA_ARRAY(finishing->arena, load->clamp_count, length_t);
  for (size_t c = 0; c < load->clamp_count; c++) {
    clamps[c] = finishing->bed.clamps.items[load->clamps[c].clamp];
    keep_outs[c] = load->clamps[c].keep_out;
  }
  for (size_t c = 0; c < count; c++) {
    struct heights heights = {0};
    height_check(finishing->arena,
                 &(struct height_work){.project = project,
                                       .part = &project->parts[part],
                                       .steps = work->steps,
                                       .step_count = work->step_count,
                                       .clamping = &clampings[c],
                                       .raw = load->thickness,
                                       .clamps = clamps,
                                       .clamp_count = load->clamp_count},
                 &heights);
    hold_caution_heights(&finishing->cautions, project, name, part, &heights);
    hold_caution_nuts(&finishing->cautions, project, name, part, &heights, clamps, keep_outs);
  }
  if (!finishing->part_done[part])
    hold_caution_part(&finishing->cautions, project, part, work->steps, work->step_count,
                      stock->kind, stock->wood);
  finishing->part_done[part] = true;
  check_faces(finishing, part, load->thickness);
}

static void check_load(struct finishing *finishing, const struct stock *stock,
                       const struct load *load, const char *name) {
  for (size_t k = 0; k < load->kind_count; k++)
    check_part(finishing, stock, load, name, load->kinds[k]);
  struct caution_load work = {.project = finishing->project,
                              .name = name,
                              .load = load,
                              .clamps = finishing->bed.clamps.items,
                              .works = finishing->bed.works};
  hold_caution_load(&finishing->cautions, &work);
}

/* Only to tell the cautions of one load from those of others. */
static const char *name_of(struct finishing *finishing, size_t blank) {
  return arena_format(finishing->arena, "%zu", blank);
}

/* ---- all loads ---- */

static void set_fixings(struct finishing *finishing, struct load *load) {
  set_kinds(finishing, load);
  load->fixing_count = load_fixings(finishing->arena, finishing->project, finishing->bed.works,
                                    load->kinds, load->kind_count, &load->fixings);
}

static void finish_load(struct finishing *finishing, size_t index) {
  const struct blank *blank = &finishing->blanks->items[index];
  const struct stock *stock = &finishing->project->stocks[blank->stock];
  const char *name = name_of(finishing, index);
  struct load *load = blank->load;
  set_fixings(finishing, load);
  choose_clamps(finishing, load);
  place_tabs(finishing, stock, load, name);
  check_load(finishing, stock, load, name);
}

static void tell_cautions(struct finishing *finishing, struct plan *plan) {
  for (size_t i = 0; i < finishing->cautions.count; i++) {
    struct hold_caution caution = finishing->cautions.items[i];
    const struct load *load = NULL;
    if (caution.load != NULL) load = finishing->blanks->items[strtoul(caution.load, NULL, 10)].load;
    caution.load = NULL;
    bool of_shop = caution.part == SIZE_MAX && caution.step == NULL && caution.cutter == SIZE_MAX;
    *ARENA_PUSH(finishing->arena, plan->bed_cautions, plan->bed_caution_count,
                plan->bed_caution_room) = (struct bed_caution){
        .name = hold_caution_name(caution.kind),
        .load = load,
        .subject =
            of_shop ? NULL : hold_caution_subject(finishing->arena, finishing->project, &caution),
        .text = caution.text};
  }
}

void loads_finish(struct arena *arena, const struct project *project, const struct blanks *blanks,
                  struct plan *plan) {
  struct finishing finishing = {
      .arena = arena, .project = project, .blanks = blanks, .cautions = {.arena = arena}};
  bool *used = ARENA_ARRAY(arena, blanks->count, bool);
  bool any = false;
  for (size_t l = 0; l < plan->layout_count; l++) mark_used(&plan->layouts[l].root, used);
  bed_open(arena, project, &finishing.bed);
  finishing.part_done = ARENA_ARRAY(arena, project->part_count, bool);
  for (size_t b = 0; b < blanks->count; b++) {
    if (!used[b] || blanks->items[b].load == NULL || seen_before(blanks, used, b)) continue;
    any = true;
    finish_load(&finishing, b);
  }
  if (any) hold_caution_shop(&finishing.cautions, project);
  tell_cautions(&finishing, plan);
}

void loads_time(struct arena *arena, const struct project *project, const struct blanks *blanks) {
  struct finishing finishing = {
      .arena = arena, .project = project, .blanks = blanks, .cautions = {.arena = arena}};
  bed_open(arena, project, &finishing.bed);
  for (size_t b = 0; b < blanks->count; b++) {
    struct load *load = blanks->items[b].load;
    if (load == NULL || load->fixing_count > 0) continue;
    set_fixings(&finishing, load);
    place_tabs(&finishing, &project->stocks[blanks->items[b].stock], load, name_of(&finishing, b));
  }
}
