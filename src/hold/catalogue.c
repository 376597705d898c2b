#include "hold/catalogue.h"

#include <string.h>

#include "hold/catalogue_least.h"
#include "hold/load_group.h"
#include "model/limits.h"

struct catalogue {
  struct arena *arena;
  const struct project *project;
  const int64_t *needed;
  int64_t effort;
  struct diagnostics *diagnostics;
  struct blanks *blanks;
  struct bed bed;
  bool **made_of;    /* by part and stock: a blank of the part may be cut from it */
  bool *held;        /* by part: there is a load for it */
  struct blank *own; /* by part: the first blank of its own that it had */
  struct load_group *groups;
  size_t group_count, group_room;
};

static bool shares_loads(const struct catalogue *catalogue, size_t part) {
  const struct part *p = &catalogue->project->parts[part];
  return p->way == WAY_GANG && p->match == NULL && catalogue->needed[part] > 0;
}

/* ---- which parts go together ---- */

static void find_stocks(struct catalogue *catalogue) {
  const struct project *project = catalogue->project;
  catalogue->made_of = ARENA_ARRAY(catalogue->arena, project->part_count, bool *);
  for (size_t b = 0; b < catalogue->blanks->count; b++) {
    const struct blank *blank = &catalogue->blanks->items[b];
    bool **row = &catalogue->made_of[blank->part];
    if (blank->strips > 0 || !shares_loads(catalogue, blank->part)) continue;
    if (*row == NULL) {
      *row = ARENA_ARRAY(catalogue->arena, project->stock_count, bool);
      catalogue->own[blank->part] = *blank;
    }
    (*row)[blank->stock] = true;
  }
}

static bool is_made_of(const struct catalogue *catalogue, size_t part, size_t stock) {
  return catalogue->made_of[part] != NULL && catalogue->made_of[part][stock];
}

static bool has_any_grain(const struct stock *stock) {
  return stock->kind == STOCK_SHEET && stock->face_grain == FACE_GRAIN_NONE;
}

static bool go_together(const struct part *a, const struct part *b) {
  return a->thickness == b->thickness && a->faced == b->faced;
}

/* The next parts of a stock that share loads with `first`, the lowest of them not yet done; where
 * they are more than a group takes, the rest share others. */
static void set_parts(const struct catalogue *catalogue, size_t stock, size_t first, bool *done,
                      struct load_group *group) {
  const struct part *parts = catalogue->project->parts;
  for (size_t p = first; p < catalogue->project->part_count; p++) {
    if (done[p] || !is_made_of(catalogue, p, stock) || !go_together(&parts[first], &parts[p]))
      continue;
    if (group->part_count == GROUP_PARTS_MOST) break;
    done[p] = true;
    group->parts[group->part_count] = p;
    group->most[group->part_count++] = catalogue->needed[p];
  }
}

static bool same_group(const struct load_group *a, const struct load_group *b) {
  return a->thickness == b->thickness && a->any_grain == b->any_grain &&
         a->part_count == b->part_count &&
         memcmp(a->parts, b->parts, a->part_count * sizeof *a->parts) == 0;
}

/* ---- widths ---- */

static void add_width(struct load_group *group, length_t width) {
  length_t most = group->width_most > group->length_most ? group->width_most : group->length_most;
  if (width > most) width = most;
  if (width <= 2 * group->edge || group->width_count == GROUP_WIDTHS_MOST) return;
  for (size_t w = 0; w < group->width_count; w++)
    if (group->widths[w] == width) return;
  group->widths[group->width_count++] = width;
}

/* Widths that divide a stock's usable width into few strips without waste; and both sides of the
 * bed. Loads are laid with their length along the stock. */
static void add_widths(const struct catalogue *catalogue, struct load_group *group, size_t stock) {
  const struct stock *wood = &catalogue->project->stocks[stock];
  length_t mark = catalogue->project->shop.mark_step;
  length_t kerf = catalogue->project->shop.kerf_rip;
  length_t usable = stock_room_width(wood);
  for (int64_t strips = 1; strips <= 4; strips++)
    add_width(group, (usable - (strips - 1) * kerf) / strips / mark * mark);
  add_width(group, group->width_most / mark * mark);
}

/* ---- blanks ---- */

static bool lies_any_way(const struct catalogue *catalogue, const struct load *load) {
  for (size_t i = 0; i < load->part_count; i++)
    if (catalogue->project->parts[load->parts[i].part].grain != GRAIN_ANY) return false;
  return true;
}

static void add_blank(struct catalogue *catalogue, const struct found_load *found, size_t stock) {
  const struct stock *wood = &catalogue->project->stocks[stock];
  bool any = has_any_grain(wood) || lies_any_way(catalogue, found->load);
  bool along = wood->kind == STOCK_PLANK || wood->face_grain == FACE_GRAIN_LENGTH;
  struct blanks *blanks = catalogue->blanks;
  *ARENA_PUSH(catalogue->arena, blanks->items, blanks->count, blanks->room) =
      (struct blank){.part = found->load->parts[0].part,
                     .stock = stock,
                     .role = ROLE_LOAD,
                     .hold = found->load->hold,
                     .clamp = SIZE_MAX,
                     .length = found->length,
                     .width = found->width,
                     .reach = found->load->reach,
                     .cutter_diameter = found->load->cutter_diameter,
                     .may_lie_straight = any || along,
                     .may_lie_turned = any || !along,
                     .load = found->load};
  for (size_t i = 0; i < found->load->part_count; i++)
    catalogue->held[found->load->parts[i].part] = true;
}

static bool serves(const struct catalogue *catalogue, const struct load_group *group,
                   size_t stock) {
  const struct stock *wood = &catalogue->project->stocks[stock];
  if (wood->thickness != group->thickness || has_any_grain(wood) != group->any_grain) return false;
  for (size_t i = 0; i < group->part_count; i++)
    if (!is_made_of(catalogue, group->parts[i], stock)) return false;
  return true;
}

static bool lies_in(const struct stock *wood, const struct found_load *found) {
  length_t length = stock_room_length(wood), width = stock_room_width(wood);
  return (found->length <= length && found->width <= width) ||
         (found->length <= width && found->width <= length);
}

/* Blanks of one load stand together: they share a row of the nester. */
static void add_blanks(struct catalogue *catalogue, const struct load_group *group) {
  for (size_t f = 0; f < group->found_count; f++)
    for (size_t s = 0; s < catalogue->project->stock_count; s++)
      if (serves(catalogue, group, s) && lies_in(&catalogue->project->stocks[s], &group->found[f]))
        add_blank(catalogue, &group->found[f], s);
}

/* ---- shares ---- */

/* No part takes a smaller share than in the largest load there can be. Rounded down. */
static void add_shares(struct catalogue *catalogue, const struct load_group *group) {
  struct load_share *shares = catalogue->blanks->shares;
  double factor = group->stock_factor, room = group->room;
  for (size_t i = 0; i < group->part_count && room > 0; i++) {
    const struct part *part = &catalogue->project->parts[group->parts[i]];
    struct load_share *share = &shares[group->parts[i]];
    double grown = (double)(part->length + group->gap) * (double)(part->width + group->gap);
    if (factor <= 0) grown = (double)part->length * (double)part->width;
    int64_t area = (int64_t)(grown * (factor > 0 ? factor : 1));
    int64_t millionths = factor > 0 ? (int64_t)(grown / room * 1e6) : 0;
    bool first = share->area == 0;
    if (first || area < share->area) share->area = area;
    if (first || millionths < share->millionths) share->millionths = millionths;
  }
  int64_t *least = &catalogue->blanks->least_handling;
  for (size_t i = 0; i < group->part_count; i++)
    if (*least == 0 || group->least_handling[i] < *least) *least = group->least_handling[i];
}

/* Of one group that is not known all is unknown. */
static void add_least(struct catalogue *catalogue) {
  const struct project *project = catalogue->project;
  struct blanks *blanks = catalogue->blanks;
  for (size_t g = 0; g < catalogue->group_count; g++) {
    bool *stocks = ARENA_ARRAY(catalogue->arena, project->stock_count, bool);
    for (size_t s = 0; s < project->stock_count; s++)
      stocks[s] = serves(catalogue, &catalogue->groups[g], s);
    if (catalogue_add_least(&catalogue->groups[g], stocks, catalogue->effort, blanks)) continue;
    blanks->least_count = 0;
    return;
  }
}

/* ---- all of it ---- */

static void add_group(struct catalogue *catalogue, size_t stock, struct load_group *group) {
  size_t known = 0;
  while (known < catalogue->group_count && !same_group(&catalogue->groups[known], group)) known++;
  if (known < catalogue->group_count) {
    add_widths(catalogue, &catalogue->groups[known], stock);
    group_add_stock(&catalogue->groups[known], &catalogue->project->stocks[stock]);
    return;
  }
  if (!group_open(&catalogue->bed, group)) return;
  add_widths(catalogue, group, stock);
  group_add_stock(group, &catalogue->project->stocks[stock]);
  *ARENA_PUSH(catalogue->arena, catalogue->groups, catalogue->group_count, catalogue->group_room) =
      *group;
}

static void open_groups(struct catalogue *catalogue) {
  const struct project *project = catalogue->project;
  bool *done = ARENA_ARRAY(catalogue->arena, project->part_count, bool);
  for (size_t s = 0; s < project->stock_count; s++) {
    memset(done, 0, project->part_count * sizeof *done);
    for (size_t p = 0; p < project->part_count; p++) {
      if (done[p] || !is_made_of(catalogue, p, s)) continue;
      struct load_group group = {.thickness = project->stocks[s].thickness,
                                 .any_grain = has_any_grain(&project->stocks[s])};
      set_parts(catalogue, s, p, done, &group);
      add_group(catalogue, s, &group);
    }
  }
}

/* Takes out the blanks of their own of parts that share loads. */
static void remove_own_blanks(struct catalogue *catalogue) {
  struct blanks *blanks = catalogue->blanks;
  size_t kept = 0;
  for (size_t b = 0; b < blanks->count; b++)
    if (!shares_loads(catalogue, blanks->items[b].part)) blanks->items[kept++] = blanks->items[b];
  blanks->count = kept;
}

/* By the part alone in a load as large as its own blank would be. */
static void say_not_held(const struct catalogue *catalogue, size_t part) {
  const struct project *project = catalogue->project;
  const struct blank *blank = &catalogue->own[part];
  if (catalogue->made_of[part] == NULL) return; /* no stock: that was said when it was sized */
  enum unit unit = shop_unit(&project->shop);
  length_t raw = project->stocks[blank->stock].thickness;
  struct bed_load load = {
      .length = blank->length,
      .width = blank->width,
      .thickness = raw,
      .hold = blank->hold,
      .parts = &part,
      .part_count = 1,
      .work = load_work_of(catalogue->arena, project, catalogue->bed.works, &part, 1, raw)};
  diagnostics_add(catalogue->diagnostics, SEVERITY_ERROR, &project->parts[part].place,
                  "'%s' lies in no load that can be held; alone, in %s by %s from '%s': %s",
                  project->parts[part].name,
                  length_text_unit(catalogue->arena, blank->length, unit, ROUND_NEAREST),
                  length_text_unit(catalogue->arena, blank->width, unit, ROUND_NEAREST),
                  project->stocks[blank->stock].name, bed_why_not(&catalogue->bed, &load));
}

struct catalogue *catalogue_add_loads(struct arena *arena, const struct project *project,
                                      const int64_t *needed, int64_t effort,
                                      struct load_memory *memory, struct diagnostics *diagnostics,
                                      struct blanks *blanks) {
  struct catalogue *catalogue = ARENA_NEW(arena, struct catalogue);
  *catalogue = (struct catalogue){.arena = arena,
                                  .project = project,
                                  .needed = needed,
                                  .effort = effort,
                                  .diagnostics = diagnostics,
                                  .blanks = blanks};
  size_t sharing = 0;
  for (size_t p = 0; p < project->part_count; p++) {
    if (!shares_loads(catalogue, p) || ++sharing <= LIMIT_GANG) continue;
    diagnostics_add(diagnostics, SEVERITY_ERROR, &project->parts[p].place,
                    "more than %d parts of way gang, expected fewer: give some the way blank, or "
                    "plan them in projects of their own",
                    LIMIT_GANG);
    return NULL;
  }
  if (sharing == 0) return NULL;
  bed_open(arena, project, &catalogue->bed);
  catalogue->bed.memory = memory;
  catalogue->held = ARENA_ARRAY(arena, project->part_count, bool);
  catalogue->own = ARENA_ARRAY(arena, project->part_count, struct blank);
  blanks->shares = ARENA_ARRAY(arena, project->part_count, struct load_share);
  find_stocks(catalogue);
  open_groups(catalogue);
  remove_own_blanks(catalogue);
  for (size_t g = 0; g < catalogue->group_count; g++) group_fill(&catalogue->groups[g], needed);
  add_least(catalogue);
  for (size_t g = 0; g < catalogue->group_count; g++) {
    add_blanks(catalogue, &catalogue->groups[g]);
    add_shares(catalogue, &catalogue->groups[g]);
  }
  for (size_t p = 0; p < project->part_count; p++)
    if (shares_loads(catalogue, p) && !catalogue->held[p]) say_not_held(catalogue, p);
  return catalogue;
}

/* ---- longer ones ---- */

static const struct found_load *found_of(const struct catalogue *catalogue, const struct load *load,
                                         struct load_group **group) {
  for (size_t g = 0; g < catalogue->group_count; g++) {
    *group = &catalogue->groups[g];
    for (size_t f = 0; f < (*group)->found_count; f++)
      if ((*group)->found[f].load == load) return &(*group)->found[f];
  }
  return NULL;
}

bool catalogue_stretch(struct catalogue *catalogue, size_t blank, length_t length) {
  struct load_group *group = NULL;
  const struct found_load *found =
      found_of(catalogue, catalogue->blanks->items[blank].load, &group);
  if (found == NULL || length % catalogue->project->shop.mark_step != 0) return false;
  struct found_load longer = *found;
  longer.length = length;
  longer.load = group_fit(group, &found->set, length, found->width);
  if (longer.load == NULL) return false;
  for (size_t s = 0; s < catalogue->project->stock_count; s++)
    if (serves(catalogue, group, s) && lies_in(&catalogue->project->stocks[s], &longer))
      add_blank(catalogue, &longer, s);
  return true;
}
