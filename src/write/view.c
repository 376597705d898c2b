#include "write/view.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "base/buffer.h"
#include "base/text.h"
#include "write/safe_text.h"
#include "write/section_names.h"

/* ---- which stock is cut, in what order ---- */

struct entry {
  size_t stock;
  int64_t copy;
  size_t layout;
};

static int compare_entries(const void *left, const void *right) {
  const struct entry *a = left;
  const struct entry *b = right;
  if (a->stock != b->stock) return a->stock < b->stock ? -1 : 1;
  return (a->copy > b->copy) - (a->copy < b->copy);
}

static size_t count_entries(const struct plan *plan) {
  size_t count = 0;
  for (size_t i = 0; i < plan->layout_count; i++)
    if (plan->layouts[i].times > 0) count += (size_t)plan->layouts[i].times;
  return count;
}

static struct entry *list_entries(struct arena *arena, const struct plan *plan, size_t count) {
  struct entry *entries = ARENA_ARRAY(arena, count, struct entry);
  size_t at = 0;
  for (size_t i = 0; i < plan->layout_count; i++) {
    const struct layout *layout = &plan->layouts[i];
    for (int64_t n = 0; n < layout->times; n++)
      entries[at++] = (struct entry){layout->stock, layout->first_copy + n, i};
  }
  if (count > 1) qsort(entries, count, sizeof *entries, compare_entries);
  return entries;
}

/* ---- what a piece of stock is cut into ---- */

struct leaf_counts {
  size_t pieces, waste;
};

/* Strips that go together, and the blank they are being glued up to. */
struct glue_up {
  const struct blank *like;
  int64_t strip; /* the last one named */
  const char *name;
};

struct filling {
  struct arena *arena;
  struct view *view;
  struct view_stock *entry;
  int64_t *numbers; /* pieces named so far, per part */
  size_t letter;    /* of the next offcut of this entry */
  struct glue_up *glue_ups;
  size_t glue_up_count, glue_up_room;
  size_t drawing_count; /* of loads */
};

static bool is_leaf(const struct node *node) {
  return node->kind == NODE_PIECE || node->kind == NODE_WASTE || node->kind == NODE_SPLIT;
}

enum leaf { LEAF_NONE, LEAF_PIECE, LEAF_RESAW, LEAF_OFFCUT, LEAF_WASTE };

/* A left-over thinner than the kerf may have no extent, or less: there is no wood. */
static enum leaf leaf_kind(const struct project *project, const struct stock *stock,
                           const struct node *node) {
  if (node->kind == NODE_PIECE) return LEAF_PIECE;
  if (node->kind == NODE_SPLIT) return LEAF_RESAW;
  if (!is_leaf(node) || node->length <= 0 || node->width <= 0) return LEAF_NONE;
  return project_keeps(project, stock, node->length, node->width) ? LEAF_OFFCUT : LEAF_WASTE;
}

static void count_leaves(const struct project *project, const struct stock *stock,
                         const struct node *node, struct leaf_counts *counts) {
  enum leaf leaf = leaf_kind(project, stock, node);
  counts->pieces += leaf == LEAF_PIECE || leaf == LEAF_OFFCUT || leaf == LEAF_RESAW;
  counts->waste += leaf == LEAF_WASTE;
  for (size_t i = 0; !is_leaf(node) && i < node->child_count; i++)
    count_leaves(project, stock, &node->children[i], counts);
}

static bool is_stock_name(const struct project *project, const char *name) {
  for (size_t i = 0; i < project->stock_count; i++)
    if (text_equal_fold(project->stocks[i].name, name)) return true;
  return false;
}

static const char *new_rack_name(struct filling *filling) {
  for (;;) {
    const char *letters = number_letters(filling->arena, filling->letter++, 'a');
    const char *name = arena_format(filling->arena, "%s%s", filling->entry->title, letters);
    if (!is_stock_name(filling->view->project, name)) return name;
  }
}

static struct view_place node_place(const struct node *node) {
  return (struct view_place){node->x, node->y, node->length, node->width};
}

static struct view_place finished_inside(const struct view_place *place, const struct part *part,
                                         bool turned) {
  length_t length = turned ? part->width : part->length;
  length_t width = turned ? part->length : part->width;
  return (struct view_place){place->x + (place->length - length) / 2,
                             place->y + (place->width - width) / 2, length, width};
}

static struct glue_up *find_glue_up(struct filling *filling, const struct blank *blank) {
  for (size_t i = 0; i < filling->glue_up_count; i++)
    if (blank_same_strips(filling->view->project, filling->glue_ups[i].like, blank))
      return &filling->glue_ups[i];
  struct glue_up *added =
      ARENA_PUSH(filling->arena, filling->glue_ups, filling->glue_up_count, filling->glue_up_room);
  *added = (struct glue_up){blank, blank->strips, NULL};
  return added;
}

static const char *next_name(struct filling *filling, size_t part) {
  return arena_format(filling->arena, "%s %" PRId64, filling->view->project->parts[part].name,
                      ++filling->numbers[part]);
}

/* ---- loads ---- */

static bool is_wanted(const struct filling *filling, size_t part) {
  const int64_t *needed = filling->view->plan->needed;
  return needed == NULL || filling->numbers[part] < needed[part];
}

static bool are_alike(const struct view_load *a, const struct view_load *b) {
  if (a->load != b->load || a->made_count != b->made_count) return false;
  for (size_t i = 0; i < a->made_count; i++)
    if (a->made[i].held != b->made[i].held) return false;
  return true;
}

static void find_like(struct filling *filling, struct view_load *load, size_t index) {
  load->like = index;
  for (size_t i = index; i-- > 0;) {
    const struct view_load *other = &filling->view->loads[i];
    if (other->like != i || !are_alike(other, load)) continue;
    load->like = i;
    load->drawing = other->drawing;
    return;
  }
  load->drawing = arena_format(filling->arena, "load-%zu.svg", ++filling->drawing_count);
}

/* The next load, made of a blank; `name` is its only part's, NULL where each part gets one. */
static size_t add_load(struct filling *filling, const struct blank *blank, const char *name) {
  struct view *view = filling->view;
  size_t index = view->load_count;
  struct view_load *load =
      ARENA_PUSH(filling->arena, view->loads, view->load_count, view->load_room);
  *load = (struct view_load){.name = arena_format(filling->arena, "L%zu", index + 1),
                             .of = name,
                             .load = blank->load,
                             .stock = filling->entry->stock};
  load->made = ARENA_ARRAY(filling->arena, blank->load->part_count, struct view_made);
  for (size_t i = 0; i < blank->load->part_count; i++) {
    const struct held_part *held = &blank->load->parts[i];
    if (name == NULL && !is_wanted(filling, held->part)) continue;
    load->made[load->made_count++] =
        (struct view_made){held, name != NULL ? name : next_name(filling, held->part)};
  }
  if (name == NULL) load->of = arena_format(filling->arena, "load %s", load->name);
  find_like(filling, load, index);
  return index;
}

/* Strips are numbered blank by blank in the order they are met. */
static void fill_strip(struct filling *filling, const struct node *node, const struct blank *blank,
                       struct view_piece *piece) {
  struct glue_up *up = find_glue_up(filling, blank);
  if (up->strip == blank->strips) {
    up->strip = 0;
    up->name = next_name(filling, blank->part);
    if (blank->load != NULL) add_load(filling, blank, up->name);
  }
  up->strip++;
  *piece = (struct view_piece){
      .role = blank->role,
      .name = arena_format(filling->arena, "%s strip %" PRId64, up->name, up->strip),
      .part = blank->part,
      .blank = blank,
      .place = node_place(node),
      .turned = node->turned,
      .strip = up->strip,
      .glued = up->name,
      .load = SIZE_MAX,
  };
}

static void fill_resaw(struct filling *filling, const struct node *node, struct view_piece *piece) {
  *piece = (struct view_piece){
      .role = ROLE_RESAW,
      .name = arena_format(filling->arena, "%s to resaw", filling->entry->title),
      .part = SIZE_MAX,
      .place = node_place(node),
      .leaf = &filling->view->project->stocks[node->blank],
      .load = SIZE_MAX,
  };
}

/* The first in the project of the parts a load makes, so that like loads get one colour. */
static size_t least_part(const struct view_load *load, size_t otherwise) {
  size_t least = load->made_count == 0 ? otherwise : load->made[0].held->part;
  for (size_t i = 1; i < load->made_count; i++)
    if (load->made[i].held->part < least) least = load->made[i].held->part;
  return least;
}

static void fill_piece(struct filling *filling, const struct node *node, struct view_piece *piece) {
  const struct blank *blank = &filling->view->blanks->items[node->blank];
  const struct part *part = &filling->view->project->parts[blank->part];
  if (blank->strips > 0) {
    fill_strip(filling, node, blank, piece);
    return;
  }
  *piece = (struct view_piece){
      .role = blank->role,
      .part = blank->part,
      .blank = blank,
      .place = node_place(node),
      .turned = node->turned,
      .load = SIZE_MAX,
  };
  if (blank->role == ROLE_LOAD) {
    piece->load = add_load(filling, blank, NULL);
    piece->name = filling->view->loads[piece->load].of;
    piece->part = least_part(&filling->view->loads[piece->load], blank->part);
    return;
  }
  piece->name = next_name(filling, blank->part);
  piece->finished = finished_inside(&piece->place, part, node->turned);
  if (blank->load != NULL) piece->load = add_load(filling, blank, piece->name);
}

static void fill_offcut(struct filling *filling, const struct node *node,
                        struct view_piece *piece) {
  const char *rack_name = new_rack_name(filling);
  *piece = (struct view_piece){
      .role = ROLE_OFFCUT,
      .name = arena_format(filling->arena, "offcut %s", rack_name),
      .rack_name = rack_name,
      .part = SIZE_MAX,
      .place = node_place(node),
      .load = SIZE_MAX,
  };
}

static void fill_leaves(struct filling *filling, const struct node *node) {
  struct view_stock *entry = filling->entry;
  switch (leaf_kind(filling->view->project, entry->stock, node)) {
    case LEAF_NONE:
      break;
    case LEAF_PIECE:
      fill_piece(filling, node, &entry->pieces[entry->piece_count++]);
      break;
    case LEAF_RESAW:
      fill_resaw(filling, node, &entry->pieces[entry->piece_count++]);
      break;
    case LEAF_OFFCUT:
      fill_offcut(filling, node, &entry->pieces[entry->piece_count++]);
      break;
    case LEAF_WASTE:
      entry->waste[entry->waste_count++] = node_place(node);
      break;
  }
  for (size_t i = 0; !is_leaf(node) && i < node->child_count; i++)
    fill_leaves(filling, &node->children[i]);
}

static void fill_flaws(struct arena *arena, struct view_stock *entry) {
  const struct stock *stock = entry->stock;
  entry->flaws = ARENA_ARRAY(arena, stock->flaw_count, const struct flaw *);
  for (size_t i = 0; i < stock->flaw_count; i++) {
    const struct flaw *flaw = &stock->flaws[i];
    if (flaw->copy == 0 || flaw->copy == entry->copy) entry->flaws[entry->flaw_count++] = flaw;
  }
}

static void fill_entry(struct filling *filling, const struct node *root) {
  struct view_stock *entry = filling->entry;
  struct leaf_counts counts = {0};
  count_leaves(filling->view->project, entry->stock, root, &counts);
  entry->title = arena_format(filling->arena, "%s-%" PRId64, entry->stock->name, entry->copy);
  entry->pieces = ARENA_ARRAY(filling->arena, counts.pieces, struct view_piece);
  entry->waste = ARENA_ARRAY(filling->arena, counts.waste, struct view_place);
  filling->letter = 0;
  fill_leaves(filling, root);
  fill_flaws(filling->arena, entry);
}

/* ---- file names ---- */

static bool is_taken(const char *const *names, size_t count, const char *name) {
  for (size_t i = 0; i < count; i++)
    if (text_equal_fold(names[i], name)) return true;
  return false;
}

/* One name per stock of the project, different even where case does not count, and the
 * same from plan to plan. */
static const char **file_names(struct arena *arena, const struct project *project) {
  const char **names = ARENA_ARRAY(arena, project->stock_count, const char *);
  for (size_t i = 0; i < project->stock_count; i++) {
    const char *plain = safe_name(arena, project->stocks[i].name);
    names[i] = plain;
    for (int n = 2; is_taken(names, i, names[i]); n++)
      names[i] = arena_format(arena, "%s_%d", plain, n);
  }
  return names;
}

/* ---- cuts ---- */

/* Where an entry stands in the view, by layout and copy. */
static size_t *entry_positions(struct arena *arena, const struct plan *plan,
                               const struct entry *entries, size_t count, size_t *first) {
  size_t at = 0;
  for (size_t i = 0; i < plan->layout_count; i++) {
    first[i] = at;
    if (plan->layouts[i].times > 0) at += (size_t)plan->layouts[i].times;
  }
  size_t *positions = ARENA_ARRAY(arena, count, size_t);
  for (size_t i = 0; i < count; i++) {
    int64_t nth = entries[i].copy - plan->layouts[entries[i].layout].first_copy;
    positions[first[entries[i].layout] + (size_t)nth] = i;
  }
  return positions;
}

static void fill_cuts(struct arena *arena, struct view *view, const struct entry *entries) {
  const struct plan *plan = view->plan;
  size_t *first = ARENA_ARRAY(arena, plan->layout_count, size_t);
  size_t *positions = entry_positions(arena, plan, entries, view->stock_count, first);
  size_t *owner = ARENA_ARRAY(arena, plan->cut_count, size_t);
  for (size_t i = 0; i < plan->cut_count; i++) {
    const struct cut *cut = &plan->cuts[i];
    int64_t nth = cut->copy - plan->layouts[cut->layout].first_copy;
    owner[i] = positions[first[cut->layout] + (size_t)nth];
    if (cut->resaw)
      view->stocks[owner[i]].resaw_count++;
    else
      view->stocks[owner[i]].cut_count++;
  }
  for (size_t i = 0; i < view->stock_count; i++) {
    struct view_stock *entry = &view->stocks[i];
    entry->cuts = ARENA_ARRAY(arena, entry->cut_count, struct view_cut);
    entry->resaws = ARENA_ARRAY(arena, entry->resaw_count, struct view_cut);
    entry->cut_count = entry->resaw_count = 0;
  }
  for (size_t i = 0; i < plan->cut_count; i++) {
    struct view_stock *entry = &view->stocks[owner[i]];
    if (plan->cuts[i].resaw)
      entry->resaws[entry->resaw_count++].cut = &plan->cuts[i];
    else
      entry->cuts[entry->cut_count++].cut = &plan->cuts[i];
  }
}

/* ---- shares ---- */

static double area(const struct view_place *place) {
  return (double)place->length * (double)place->width;
}

static double part_area(const struct part *part) {
  return (double)part->length * (double)part->width;
}

/* The area of a plank that is resawn counts for each of its leaves, which do not count. */
static double times_counted(const struct view_stock *entry) {
  for (size_t p = 0; p < entry->piece_count; p++)
    if (entry->pieces[p].leaf != NULL) return (double)entry->pieces[p].leaf->leaves;
  return 1;
}

static double load_area(const struct view *view, const struct view_load *load) {
  double sum = 0;
  for (size_t i = 0; i < load->made_count; i++)
    sum += part_area(&view->project->parts[load->made[i].held->part]);
  return sum;
}

static void sum_shares(struct view *view) {
  double stock = 0;
  double finished = 0;
  double offcuts = 0;
  for (size_t i = 0; i < view->stock_count; i++) {
    const struct view_stock *entry = &view->stocks[i];
    if (entry->stock->leaves == 0)
      stock += (double)entry->stock->length * (double)entry->stock->width * times_counted(entry);
    for (size_t p = 0; p < entry->piece_count; p++) {
      const struct view_piece *piece = &entry->pieces[p];
      if (piece->role == ROLE_OFFCUT)
        offcuts += area(&piece->place);
      else if (piece->role == ROLE_LOAD)
        finished += load_area(view, &view->loads[piece->load]);
      else if (piece->strip > 0)
        finished += part_area(&view->project->parts[piece->part]) / (double)piece->blank->strips;
      else
        finished += area(&piece->finished);
    }
  }
  if (stock <= 0) return;
  view->yield = finished / stock;
  view->offcut_share = offcuts / stock;
  view->waste = 1 - view->yield - view->offcut_share;
}

struct view *view_create(struct arena *arena, const struct project *project,
                         const struct blanks *blanks, const struct plan *plan) {
  struct view *view = ARENA_NEW(arena, struct view);
  view->project = project;
  view->blanks = blanks;
  view->plan = plan;
  view->steps = part_steps(arena, project);
  view->unit = shop_unit(&project->shop);
  view->stock_count = count_entries(plan);
  view->stocks = ARENA_ARRAY(arena, view->stock_count, struct view_stock);
  struct entry *entries = list_entries(arena, plan, view->stock_count);
  const char **names = file_names(arena, project);
  struct filling filling = {.arena = arena, .view = view};
  filling.numbers = ARENA_ARRAY(arena, project->part_count, int64_t);
  for (size_t i = 0; i < view->stock_count; i++) {
    struct view_stock *entry = &view->stocks[i];
    entry->index = entries[i].stock;
    entry->stock = &project->stocks[entry->index];
    entry->copy = entries[i].copy;
    entry->drawing =
        arena_format(arena, "layout-%s-%" PRId64 ".svg", names[entry->index], entry->copy);
    filling.entry = entry;
    fill_entry(&filling, &plan->layouts[entries[i].layout].root);
  }
  fill_cuts(arena, view, entries);
  name_sections(arena, view);
  sum_shares(view);
  return view;
}

/* ---- helpers of the writers ---- */

/* Names in a row shorten to the first and the last. `chosen` is per load. */
static const char *names_of(struct arena *arena, const struct view *view, const bool *chosen,
                            size_t *count) {
  struct buffer *names = buffer_create(arena);
  *count = 0;
  for (size_t i = 0; i < view->load_count; i++) {
    if (!chosen[i]) continue;
    size_t last = i;
    while (last + 1 < view->load_count && chosen[last + 1]) last++;
    if (last == i + 1) last = i; /* a pair is named as two */
    buffer_format(names, "%s%s", names->length == 0 ? "" : ", ", view->loads[i].name);
    if (last > i) buffer_format(names, " to %s", view->loads[last].name);
    *count += last - i + 1;
    i = last;
  }
  return names->length == 0 ? NULL : names->text;
}

const char *view_load_title(struct arena *arena, const struct view *view, size_t index) {
  size_t count = 0;
  bool *chosen = ARENA_ARRAY(arena, view->load_count, bool);
  for (size_t i = 0; i < view->load_count; i++) chosen[i] = view->loads[i].like == index;
  const char *names = names_of(arena, view, chosen, &count);
  const struct view_load *load = &view->loads[index];
  if (count == 1 && strcmp(load->of, arena_format(arena, "load %s", load->name)) == 0) return names;
  if (count == 1) return arena_format(arena, "%s, %s", names, load->of);
  return arena_format(arena, "%s, %zu alike", names, count);
}

const char *view_load_names(struct arena *arena, const struct view *view, const struct load *load) {
  size_t count = 0;
  bool *chosen = ARENA_ARRAY(arena, view->load_count, bool);
  for (size_t i = 0; i < view->load_count; i++) chosen[i] = view->loads[i].load == load;
  return names_of(arena, view, chosen, &count);
}

/* A quarter turn: what lies along x comes to lie along y, what was at y at the far x. */
static struct view_place quarter_turn(const struct view_place *place, length_t width) {
  return (struct view_place){width - place->y - place->width, place->x, place->width,
                             place->length};
}

static struct view_place turn_back(const struct view_place *place, length_t length) {
  return (struct view_place){place->y, length - place->x - place->length, place->width,
                             place->length};
}

struct view_place view_made_place(const struct view *view, const struct view_piece *piece,
                                  const struct view_made *made) {
  const struct load *load = view->loads[piece->load].load;
  const struct held_part *held = made->held;
  struct view_place place = {held->x, held->y, held->length, held->width};
  length_t own_width = load->across ? load->length : load->width;
  if (load->across) place = turn_back(&place, load->length);
  if (piece->turned) place = quarter_turn(&place, own_width);
  place.x += piece->place.x;
  place.y += piece->place.y;
  return place;
}

struct view_place view_tab_place(const struct view *view, const struct load *load,
                                 const struct tab *tab) {
  length_t along = view->project->shop.tab_width, across = load->cutter_diameter;
  bool upright = tab->side == BED_LEFT || tab->side == BED_RIGHT;
  struct view_place place = {.length = upright ? across : along, .width = upright ? along : across};
  place.x = tab->x - place.length / 2;
  place.y = tab->y - place.width / 2;
  if (tab->side == BED_LEFT) place.x = tab->x - across;
  if (tab->side == BED_RIGHT) place.x = tab->x;
  if (tab->side == BED_FRONT) place.y = tab->y - across;
  if (tab->side == BED_BACK) place.y = tab->y;
  return place;
}

bool view_overlap(const struct view_place *place, const struct flaw *flaw) {
  return flaw->x < place->x + place->length && place->x < flaw->x + flaw->length &&
         flaw->y < place->y + place->width && place->y < flaw->y + flaw->width;
}

void view_raw_thickness(const struct shop *shop, const struct part *part, length_t *least,
                        length_t *most) {
  length_t faces = part->faced == FACED_NONE ? 0 : part->faced == FACED_ONE ? 1 : 2;
  *least = part->thickness + (faces == 0 ? -shop->thickness_tolerance : faces * shop->face_min);
  *most = part->thickness + (faces == 0 ? shop->thickness_tolerance : faces * shop->face_max);
  if (*least < 0) *least = 0;
  if (*most > LENGTH_MAX) *most = LENGTH_MAX;
}

const char *view_size(struct arena *arena, enum unit unit, length_t length, length_t width,
                      const char *times, enum rounding rounding, bool *rounded) {
  return arena_format(arena, "%s %s %s", length_text(arena, length, unit, rounding, rounded), times,
                      length_text(arena, width, unit, rounding, rounded));
}

const char *view_part_size(struct arena *arena, enum unit unit, const struct part *part,
                           bool turned, const char *times) {
  if (part->shape == SHAPE_ROUND)
    return arena_format(arena, "%s across",
                        length_text(arena, part->length, unit, ROUND_NEAREST, NULL));
  return view_size(arena, unit, turned ? part->width : part->length,
                   turned ? part->length : part->width, times, ROUND_NEAREST, NULL);
}
