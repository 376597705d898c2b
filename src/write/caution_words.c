/* What is special about a plan's work: cautions, gluing up, resawing. */
#include <inttypes.h>

#include "saw/saw.h"
#include "write/plan_words.h"

static void add_caution(struct arena *arena, const struct view *view, struct text_list *list,
                        unsigned bit) {
  const struct plan *plan = view->plan;
  const struct cut *first = NULL;
  int64_t count = 0;
  for (size_t i = 0; i < plan->cut_count; i++) {
    if ((plan->cuts[i].cautions & bit) == 0) continue;
    if (first == NULL) first = &plan->cuts[i];
    count++;
  }
  if (first == NULL) return;
  const char *where =
      count == 1 ? arena_format(arena, "step %" PRId64, first->step)
                 : arena_format(arena, "%" PRId64 " cuts, first step %" PRId64, count, first->step);
  list_add(arena, list, "%s (%s): %s", saw_caution_name(bit), where,
           saw_caution_text(arena, view->project, first, bit));
}

static void add_bed_cautions(struct arena *arena, const struct view *view, struct text_list *list) {
  const struct plan *plan = view->plan;
  for (size_t i = 0; i < plan->bed_caution_count; i++) {
    const struct bed_caution *caution = &plan->bed_cautions[i];
    const char *where = view_load_names(arena, view, caution->load);
    const char *subject = caution->subject == NULL ? "" : caution->subject;
    list_add(arena, list, "%s (%s%s%s): %s", caution->name,
             where == NULL && *subject == '\0' ? "the shop"
             : where == NULL                   ? ""
                                               : where,
             where != NULL && *subject != '\0' ? ", " : "", subject, caution->text);
  }
}

/* The strip that a glued-up blank is first met at, one of several kinds; NULL otherwise. */
static const struct view_piece *first_strip(const struct view_stock *entry, size_t piece) {
  return entry->pieces[piece].strip == 1 ? &entry->pieces[piece] : NULL;
}

static bool same_glue_up(const struct view_piece *a, const struct view_piece *b) {
  return a->part == b->part && a->blank->strips == b->blank->strips &&
         a->blank->length == b->blank->length && a->blank->width == b->blank->width &&
         a->blank->glued_sideways == b->blank->glued_sideways;
}

/* Glued-up blanks like the one of this first strip; *count 0 when an earlier one is alike. */
static void count_glue_ups(const struct view *view, size_t stock, size_t piece, int64_t *count) {
  const struct view_piece *like = &view->stocks[stock].pieces[piece];
  *count = 0;
  for (size_t i = 0; i < view->stock_count; i++)
    for (size_t p = 0; p < view->stocks[i].piece_count; p++) {
      const struct view_piece *other = first_strip(&view->stocks[i], p);
      if (other == NULL || !same_glue_up(other, like)) continue;
      if (i < stock || (i == stock && p < piece)) {
        *count = 0;
        return;
      }
      ++*count;
    }
}

void list_glue_ups(struct arena *arena, const struct view *view, struct text_list *list) {
  for (size_t i = 0; i < view->stock_count; i++)
    for (size_t p = 0; p < view->stocks[i].piece_count; p++) {
      const struct view_piece *piece = first_strip(&view->stocks[i], p);
      int64_t count = 0;
      if (piece != NULL) count_glue_ups(view, i, p, &count);
      if (count == 0) continue;
      const struct blank *blank = piece->blank;
      list_add(arena, list, "%" PRId64 " %s, each %s from %" PRId64 " strips of %s", count,
               view->project->parts[piece->part].name,
               view_size(arena, view->unit, blank->glued_length, blank->glued_width, "x", ROUND_UP,
                         NULL),
               blank->strips,
               view_size(arena, view->unit, blank->length, blank->width, "x", ROUND_UP, NULL));
    }
}

void list_resawing(struct arena *arena, const struct view *view, struct text_list *list) {
  for (size_t i = 0; i < view->stock_count; i++) {
    const struct view_stock *entry = &view->stocks[i];
    for (size_t p = 0; p < entry->piece_count; p++) {
      const struct view_piece *piece = &entry->pieces[p];
      if (piece->leaf == NULL) continue;
      list_add(arena, list, "%s: %" PRId64 " leaves %s thick, %s, with %zu cut%s", entry->title,
               piece->leaf->leaves,
               length_text(arena, piece->leaf->thickness, view->unit, ROUND_NEAREST, NULL),
               view_size(arena, view->unit, piece->place.length, piece->place.width, "x",
                         ROUND_DOWN, NULL),
               entry->resaw_count, plural_ending((int64_t)entry->resaw_count));
    }
  }
}

static bool any_glued(const struct view *view) {
  for (size_t i = 0; i < view->stock_count; i++)
    for (size_t p = 0; p < view->stocks[i].piece_count; p++)
      if (view->stocks[i].pieces[p].strip > 0) return true;
  return false;
}

static void add_glue_caution(struct arena *arena, const struct view *view, struct text_list *list) {
  const struct shop *shop = &view->project->shop;
  if (!any_glued(view)) return;
  list_add(
      arena, list,
      "glue-up: joint the edges that meet straight and square, %s off each, on the day they are "
      "glued, and try the joints dry: no light between the faces. Spread the pressure with cauls "
      "and clamps on both sides in turn, and leave the blank in them as long as the glue's maker "
      "says for your room; only then plane, saw or rout it. Scrape glue off before it meets the "
      "planer, and keep cutter paths and screws off the joints where you can.",
      length_text_unit(arena, shop->glue_per_edge, view->unit, ROUND_NEAREST));
}

/* Cut from a rough plank, and too short to go through the planer once it is. */
static bool is_planed_before(const struct shop *shop, const struct view_stock *entry,
                             const struct view_piece *piece) {
  length_t along = larger(piece->place.length, piece->place.width);
  return entry->stock->kind == STOCK_PLANK && entry->stock->surface == SURFACE_ROUGH &&
         entry->resaw_count == 0 && piece->role != ROLE_OFFCUT && along < shop->planer_min_length;
}

/* The planks to be planed whole, the first few by name; NULL for none. */
static const char *planed_before(struct arena *arena, const struct view *view) {
  enum { NAMED = 6 };
  const char *titles = NULL;
  size_t count = 0;
  for (size_t i = 0; i < view->stock_count; i++) {
    const struct view_stock *entry = &view->stocks[i];
    size_t p = 0;
    while (p < entry->piece_count &&
           !is_planed_before(&view->project->shop, entry, &entry->pieces[p]))
      p++;
    if (p == entry->piece_count || ++count > NAMED) continue;
    titles = titles == NULL ? entry->title : arena_format(arena, "%s, %s", titles, entry->title);
  }
  return count > NAMED ? arena_format(arena, "%s and %zu more", titles, count - NAMED) : titles;
}

static void add_planer_caution(struct arena *arena, const struct view *view,
                               struct text_list *list) {
  const struct shop *shop = &view->project->shop;
  const char *planks = planed_before(arena, view);
  if (planks == NULL) return;
  list_add(arena, list,
           "planing (%s): pieces shorter than the %s the planer takes are cut from these rough "
           "planks. What planer or jointer is to take off comes off the plank, or a section long "
           "enough, before it is crosscut; wood thinner than %s goes through on a carrier board. "
           "The machine's manual and your training come before this line.",
           planks, length_text_unit(arena, shop->planer_min_length, view->unit, ROUND_NEAREST),
           length_text_unit(arena, shop->planer_min_thickness, view->unit, ROUND_NEAREST));
}

void list_cautions(struct arena *arena, const struct view *view, struct text_list *list) {
  unsigned all = 0;
  for (size_t i = 0; i < view->plan->cut_count; i++) all |= view->plan->cuts[i].cautions;
  if (view->plan->unsafe_rules)
    list_add(arena, list, "%s",
             "No layout keeps all of the shop's minimums for this stock; the cuts that break one "
             "are among these:");
  for (unsigned bit = 0; bit < CAUTION_BITS; bit++)
    if ((all & 1U << bit) != 0) add_caution(arena, view, list, 1U << bit);
  add_planer_caution(arena, view, list);
  add_bed_cautions(arena, view, list);
  add_glue_caution(arena, view, list);
}
