#include <inttypes.h>
#include <string.h>

#include "saw/saw.h"
#include "write/paragraph.h"
#include "write/safe_text.h"
#include "write/standing.h"
#include "write/view.h"
#include "write/write.h"

enum { LABEL = 16, MONEY_COLUMNS = 12, PERCENT_DIGITS = 1 };

static const char *unit_name(enum unit unit) { return unit == UNIT_MM ? "mm" : "inches"; }

static const char *plural(int64_t count) { return count == 1 ? "" : "s"; }

/* A share (0..1) as "12.3 %". */
static const char *percent_text(struct arena *arena, double share) {
  double tenths = share * 1000;
  int64_t rounded = (int64_t)(tenths < 0 ? tenths - 0.5 : tenths + 0.5);
  return arena_format(arena, "%s %%", decimal_text(arena, rounded, PERCENT_DIGITS));
}

/* ---- stock ---- */

/* What pieces of one stock are cut into. */
struct yields {
  int64_t *pieces, *strips; /* per part */
  int64_t loads, offcuts, resawn;
};

static void count_yields(const struct view_stock *entry, struct yields *yields) {
  for (size_t p = 0; p < entry->piece_count; p++) {
    const struct view_piece *piece = &entry->pieces[p];
    if (piece->role == ROLE_OFFCUT)
      yields->offcuts++;
    else if (piece->role == ROLE_RESAW)
      yields->resawn++;
    else if (piece->role == ROLE_LOAD)
      yields->loads++;
    else
      (piece->strip > 0 ? yields->strips : yields->pieces)[piece->part]++;
  }
}

static const char *add_count(struct arena *arena, const char *text, int64_t count,
                             const char *what) {
  if (count == 0) return text;
  return arena_format(arena, "%s%s%" PRId64 " %s", text, *text == '\0' ? "" : ", ", count, what);
}

static bool comes_from(const struct view_stock *entry, size_t stock) {
  return entry->index == stock || (entry->stock->leaves > 0 && entry->stock->leaf_of == stock);
}

/* What the copies of one stock and their leaves are cut into, part by part: "12 board, 3 lid, 2
 * offcuts". */
static const char *yields_text(struct arena *arena, const struct view *view, size_t stock) {
  size_t part_count = view->project->part_count;
  struct yields yields = {ARENA_ARRAY(arena, part_count, int64_t),
                          ARENA_ARRAY(arena, part_count, int64_t), 0, 0, 0};
  for (size_t i = 0; i < view->stock_count; i++)
    if (comes_from(&view->stocks[i], stock)) count_yields(&view->stocks[i], &yields);
  const char *text = "";
  for (size_t i = 0; i < part_count; i++) {
    const char *name = view->project->parts[i].name;
    text = add_count(arena, text, yields.pieces[i], name);
    text = add_count(arena, text, yields.strips[i],
                     arena_format(arena, "strip%s of %s", plural(yields.strips[i]), name));
  }
  text = add_count(arena, text, yields.loads, yields.loads == 1 ? "load" : "loads");
  text = add_count(arena, text, yields.offcuts,
                   arena_format(arena, "offcut%s", plural(yields.offcuts)));
  if (*text == '\0') text = "nothing";
  if (yields.resawn == 0) return text;
  return arena_format(arena, "%s; %" PRId64 " resawn into leaves", text, yields.resawn);
}

static const char *pieces_text(struct arena *arena, const struct stock *stock,
                               const struct purchase *purchase) {
  if (stock->source == SOURCE_RACK) return arena_format(arena, "%" PRId64, purchase->used);
  if (stock->pack <= 1) return arena_format(arena, "%" PRId64, purchase->bought);
  return arena_format(arena, "%" PRId64 " (%" PRId64 " pack%s of %" PRId64 ", %" PRId64 " used)",
                      purchase->bought, purchase->bought / stock->pack,
                      plural(purchase->bought / stock->pack), stock->pack, purchase->used);
}

static void add_stock_line(struct buffer *buffer, const struct view *view,
                           const struct purchase *purchase) {
  struct arena *arena = buffer->arena;
  const struct stock *stock = &view->project->stocks[purchase->stock];
  const char *size = arena_format(
      arena, "%s x %s",
      view_size(arena, view->unit, stock->length, stock->width, "x", ROUND_NEAREST, NULL),
      length_text(arena, stock->thickness, view->unit, ROUND_NEAREST, NULL));
  const char *supplier = stock->supplier != NULL && *stock->supplier != '\0'
                             ? arena_format(arena, ", %s", stock->supplier)
                             : "";
  buffer_add(buffer, "  ");
  column_left(buffer, stock->name, 12);
  buffer_add(buffer, "  ");
  column_left(buffer,
              arena_format(arena, "%s %s, %s", stock->wood, stock_kind_text(stock->kind), size),
              TERMINAL_COLUMNS - 16 - MONEY_COLUMNS);
  column_right(buffer, cents_text(arena, purchase->cost), MONEY_COLUMNS);
  buffer_add(buffer, "\n");
  paragraph_format(buffer, "", LABEL, "%s at %s%s: %s", pieces_text(arena, stock, purchase),
                   cents_text(arena, stock->value), supplier,
                   yields_text(arena, view, purchase->stock));
}

static void add_source(struct buffer *buffer, const struct view *view, enum source source,
                       const char *heading) {
  bool headed = false;
  for (size_t i = 0; i < view->plan->purchase_count; i++) {
    const struct purchase *purchase = &view->plan->purchases[i];
    if (view->project->stocks[purchase->stock].source != source) continue;
    if (!headed) buffer_format(buffer, "\n%s\n", heading);
    headed = true;
    add_stock_line(buffer, view, purchase);
  }
}

/* ---- figures ---- */

static void add_money(struct buffer *buffer, const char *label, cents_t value) {
  buffer_add(buffer, "  ");
  column_left(buffer, label, TERMINAL_COLUMNS - 2 - MONEY_COLUMNS);
  column_right(buffer, cents_text(buffer->arena, value), MONEY_COLUMNS);
  buffer_add(buffer, "\n");
}

static int64_t fixings_of(const struct view *view) {
  int64_t fixings = 0;
  for (size_t i = 0; i < view->load_count; i++) fixings += view->loads[i].load->clampings;
  return fixings;
}

static const char *handling_label(struct arena *arena, const struct view *view) {
  const struct shop *shop = &view->project->shop;
  int64_t fixings = fixings_of(view);
  if (shop->labour_rate == 0) return "handling: labour_rate is 0, wood alone counts";
  const char *bed = fixings == 0 ? ""
                                 : arena_format(arena, ", %" PRId64 " fixing%s on the bed", fixings,
                                                plural(fixings));
  return arena_format(arena, "handling: %zu saw cuts%s at %s an hour", view->plan->cut_count, bed,
                      cents_text(arena, shop->labour_rate));
}

static const char *kind_of_plan(struct arena *arena, const struct view *view) {
  int64_t stages = view->project->shop.saw_stages;
  if (stages == 0) return "of any number of saw stages";
  return arena_format(arena, "of at most %" PRId64 " saw stage%s", stages, plural(stages));
}

static void add_bound(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  const struct plan_cost *cost = &view->plan->cost;
  const char *kind = kind_of_plan(arena, view);
  if (cost->proved) {
    paragraph_format(buffer, "  ", 2, "Proved: no plan %s costs less.", kind);
    return;
  }
  cents_t gap = cost->total - cost->bound;
  if (cost->bound <= 0 || gap < 0) {
    paragraph_format(buffer, "  ", 2, "Nothing is proved about how far a plan %s could lie below.",
                     kind);
    return;
  }
  paragraph_format(buffer, "  ", 2,
                   "Not proved to be the cheapest: no plan %s costs less than %s; this one is at "
                   "most %s (%s) above that.",
                   kind, cents_text(arena, cost->bound), cents_text(arena, gap),
                   percent_text(arena, (double)gap / (double)cost->bound));
  if (cost->listed_bound <= cost->bound) return;
  if (cost->listed_bound == cost->total)
    paragraph(buffer, "  ", 2, "No plan of the loads that were tried costs less.");
  else
    paragraph_format(buffer, "  ", 2, "No plan of the loads that were tried costs less than %s.",
                     cents_text(arena, cost->listed_bound));
}

static void add_interruption(struct buffer *buffer, const struct view *view) {
  if (!view->plan->interrupted) return;
  paragraph(
      buffer, "  ", 2,
      view->plan->cost.proved
          ? "Interrupted when the cost was proved; fewer fence settings may be possible."
          : "Interrupted: this is the best plan known by then; run to its end, the search may "
            "find a cheaper one.");
}

static void add_figures(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  const struct plan *plan = view->plan;
  buffer_add(buffer, "\nCost\n");
  add_money(buffer, "stock", plan->cost.stock);
  add_money(buffer, handling_label(arena, view), plan->cost.handling);
  add_money(buffer, "total", plan->cost.total);
  add_bound(buffer, view);
  add_interruption(buffer, view);
  buffer_add(buffer, "\nWood and work\n");
  paragraph_format(buffer, "  ", 2, "finished parts %s, offcuts to keep %s, waste %s of the area",
                   percent_text(arena, view->yield), percent_text(arena, view->offcut_share),
                   percent_text(arena, view->waste));
  paragraph_format(buffer, "  ", 2, "%zu saw cut%s with %" PRId64 " fence setting%s",
                   plan->cut_count, plural((int64_t)plan->cut_count), plan->fence_settings,
                   plural(plan->fence_settings));
}

/* ---- the bed ---- */

/* "2 lid, 4 spacer". */
static const char *made_text(struct arena *arena, const struct view *view,
                             const struct view_load *held) {
  const char *text = "";
  for (size_t p = 0; p < view->project->part_count; p++) {
    int64_t count = 0;
    for (size_t i = 0; i < held->made_count; i++) count += held->made[i].held->part == p;
    text = add_count(arena, text, count, view->project->parts[p].name);
  }
  return text;
}

static const char *clamps_text(struct arena *arena, const struct view *view,
                               const struct load *load) {
  const char *text = "";
  for (size_t c = 0; c < load->clamp_count; c++) {
    int64_t count = 0;
    bool first = true;
    for (size_t o = 0; o < load->clamp_count; o++) {
      if (load->clamps[o].clamp != load->clamps[c].clamp) continue;
      if (o < c) first = false;
      count++;
    }
    if (first)
      text = add_count(arena, text, count, clamp_name(view->project, load->clamps[c].clamp));
  }
  return *text == '\0' ? "tape" : text;
}

static void add_loads(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  if (view->load_count == 0) return;
  buffer_add(buffer, "\nOn the bed\n");
  for (size_t i = 0; i < view->load_count; i++) {
    const struct view_load *held = &view->loads[i];
    if (held->like != i) continue;
    const struct load *load = held->load;
    paragraph_format(
        buffer, "  ", 4, "%s: %s in %s x %s, held by %s, fixed %s; %s",
        view_load_title(arena, view, i), made_text(arena, view, held),
        view_size(arena, view->unit, load->length, load->width, "x", ROUND_UP, NULL),
        length_text(arena, load->thickness, view->unit, ROUND_NEAREST, NULL),
        clamps_text(arena, view, load),
        load->clampings == 1 ? "once" : arena_format(arena, "%" PRId64 " times", load->clampings),
        held->drawing);
  }
}

/* ---- time ---- */

static const char *hours_text(struct arena *arena, int64_t minutes) {
  return arena_format(arena, "%s h", decimal_text(arena, (minutes + 3000) / 6000, 1));
}

static void add_times(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  const struct run_time *time = &view->plan->time;
  if (time->total.machine == 0 && time->total.hand == 0) return;
  buffer_add(buffer, "\nTime\n");
  paragraph_format(
      buffer, "  ", 4,
      "router %s, of which %s attended; by hand %s: fixing %s, cutters and probing %s, "
      "saw %s, tabs %s, other work %s",
      hours_text(arena, time->total.machine), hours_text(arena, time->total.attended),
      hours_text(arena, time->total.hand), hours_text(arena, time->setups),
      hours_text(arena, time->changes + time->probing),
      hours_text(arena, time->sawing + time->fences), hours_text(arena, time->tab_cleaning),
      hours_text(arena, time->hand));
}

/* ---- what else there is to say ---- */

static void add_unplaced(struct buffer *buffer, const struct view *view) {
  const struct plan *plan = view->plan;
  if (plan->unplaced_count == 0) return;
  buffer_add(buffer, "\nCould not be placed\n");
  for (size_t i = 0; i < plan->unplaced_count; i++) {
    const struct unplaced *unplaced = &plan->unplaced[i];
    const char *why = unplaced->why == NULL ? "no stock is left for it" : unplaced->why;
    paragraph_format(buffer, "  ", 4, "%" PRId64 " %s: %s", unplaced->missing,
                     view->project->parts[unplaced->part].name, why);
  }
}

static void add_caution(struct buffer *buffer, const struct view *view, unsigned bit) {
  const struct plan *plan = view->plan;
  const struct cut *first = NULL;
  int64_t count = 0;
  for (size_t i = 0; i < plan->cut_count; i++) {
    if ((plan->cuts[i].cautions & bit) == 0) continue;
    if (first == NULL) first = &plan->cuts[i];
    count++;
  }
  if (first == NULL) return;
  const char *where = count == 1
                          ? arena_format(buffer->arena, "step %" PRId64, first->step)
                          : arena_format(buffer->arena, "%" PRId64 " cuts, first step %" PRId64,
                                         count, first->step);
  paragraph_format(buffer, "  ", 4, "%s (%s): %s", saw_caution_name(bit), where,
                   saw_caution_text(buffer->arena, view->project, first, bit));
}

static void add_bed_cautions(struct buffer *buffer, const struct view *view) {
  const struct plan *plan = view->plan;
  for (size_t i = 0; i < plan->bed_caution_count; i++) {
    const struct bed_caution *caution = &plan->bed_cautions[i];
    const char *where = view_load_names(buffer->arena, view, caution->load);
    const char *subject = caution->subject == NULL ? "" : caution->subject;
    paragraph_format(buffer, "  ", 4, "%s (%s%s%s): %s", caution->name,
                     where == NULL && *subject == '\0' ? "the shop"
                     : where == NULL                   ? ""
                                                       : where,
                     where != NULL && *subject != '\0' ? ", " : "", subject, caution->text);
  }
}

/* ---- what is glued up and resawn ---- */

/* The strip that a glued-up blank is first met at, one of several kinds; NULL otherwise. */
static const struct view_piece *first_strip(const struct view_stock *entry, size_t piece) {
  return entry->pieces[piece].strip == 1 ? &entry->pieces[piece] : NULL;
}

static bool same_glue_up(const struct view_piece *a, const struct view_piece *b) {
  return a->part == b->part && a->blank->strips == b->blank->strips &&
         a->blank->length == b->blank->length && a->blank->width == b->blank->width &&
         a->blank->glued_sideways == b->blank->glued_sideways;
}

/* Glued-up blanks alike, in the order they are met; *count 0 when an earlier one is alike. */
static void count_glue_ups(const struct view *view, size_t stock, size_t piece, int64_t *count) {
  const struct view_piece *like = first_strip(&view->stocks[stock], piece);
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

static void add_glue_ups(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  bool headed = false;
  for (size_t i = 0; i < view->stock_count; i++)
    for (size_t p = 0; p < view->stocks[i].piece_count; p++) {
      const struct view_piece *piece = first_strip(&view->stocks[i], p);
      int64_t count = 0;
      if (piece != NULL) count_glue_ups(view, i, p, &count);
      if (count == 0) continue;
      const struct blank *blank = piece->blank;
      if (!headed) buffer_add(buffer, "\nGlue up\n");
      headed = true;
      paragraph_format(
          buffer, "  ", 4, "%" PRId64 " %s, each %s from %" PRId64 " strips of %s", count,
          view->project->parts[piece->part].name,
          view_size(arena, view->unit, blank->glued_length, blank->glued_width, "x", ROUND_UP,
                    NULL),
          blank->strips,
          view_size(arena, view->unit, blank->length, blank->width, "x", ROUND_UP, NULL));
    }
}

static void add_resawing(struct buffer *buffer, const struct view *view) {
  bool headed = false;
  for (size_t i = 0; i < view->stock_count; i++) {
    const struct view_stock *entry = &view->stocks[i];
    for (size_t p = 0; p < entry->piece_count; p++) {
      const struct view_piece *piece = &entry->pieces[p];
      if (piece->leaf == NULL) continue;
      if (!headed) buffer_add(buffer, "\nResaw\n");
      headed = true;
      paragraph_format(
          buffer, "  ", 4, "%s: %" PRId64 " leaves %s thick, %s, with %zu cut%s", entry->title,
          piece->leaf->leaves,
          length_text(buffer->arena, piece->leaf->thickness, view->unit, ROUND_NEAREST, NULL),
          view_size(buffer->arena, view->unit, piece->place.length, piece->place.width, "x",
                    ROUND_DOWN, NULL),
          entry->resaw_count, plural((int64_t)entry->resaw_count));
    }
  }
}

static bool any_glued(const struct view *view) {
  for (size_t i = 0; i < view->stock_count; i++)
    for (size_t p = 0; p < view->stocks[i].piece_count; p++)
      if (view->stocks[i].pieces[p].strip > 0) return true;
  return false;
}

static void add_glue_caution(struct buffer *buffer, const struct view *view) {
  const struct shop *shop = &view->project->shop;
  if (!any_glued(view)) return;
  paragraph_format(
      buffer, "  ", 4,
      "glue-up: joint the edges that meet straight and square, %s off each, on the day they are "
      "glued, and try the joints dry: no light between the faces. Spread the pressure with cauls "
      "and clamps on both sides in turn, and leave the blank in them as long as the glue's maker "
      "says for your room; only then plane, saw or rout it. Scrape glue off before it meets the "
      "planer, and keep cutter paths and screws off the joints where you can.",
      length_text_unit(buffer->arena, shop->glue_per_edge, view->unit, ROUND_NEAREST));
}

static void add_cautions(struct buffer *buffer, const struct view *view) {
  unsigned all = 0;
  for (size_t i = 0; i < view->plan->cut_count; i++) all |= view->plan->cuts[i].cautions;
  if (all == 0 && !view->plan->unsafe_rules && !any_glued(view) &&
      view->plan->bed_caution_count == 0)
    return;
  buffer_add(buffer, "\nCautions\n");
  if (view->plan->unsafe_rules)
    paragraph(buffer, "  ", 4,
              "No layout keeps all of the shop's minimums for this stock; the cuts that break one "
              "are among these:");
  for (unsigned bit = 0; bit < CAUTION_BITS; bit++)
    if ((all & 1U << bit) != 0) add_caution(buffer, view, 1U << bit);
  add_bed_cautions(buffer, view);
  add_glue_caution(buffer, view);
}

static void add_notes(struct buffer *buffer, const struct view *view) {
  const char *defaults = defaults_text(buffer->arena, view->project, view->blanks, view->plan);
  if (!view->plan->gang_as_blanks && defaults == NULL) return;
  buffer_add(buffer, "\nNotes\n");
  if (view->plan->gang_as_blanks)
    paragraph(buffer, "  ", 4,
              "Parts of way gang are cut as blanks of their own, one a part, each clamped and "
              "machined alone.");
  if (defaults != NULL)
    paragraph_format(buffer, "  ", 4,
                     "Defaults stood in for sizes of your machines; put yours into shop.csv: %s",
                     defaults);
}

static void add_title(struct buffer *buffer, const struct view *view) {
  const struct plan *plan = view->plan;
  paragraph_format(buffer, "", 0, "%s: %" PRId64 " set%s, lengths in %s", view->project->name,
                   plan->sets, plural(plan->sets), unit_name(view->unit));
  if (plan->most)
    paragraph_format(buffer, "  ", 2, "as many complete sets as the rack gives%s%s",
                     plan->most_stop == NULL ? "" : "; one more: ",
                     plan->most_stop == NULL ? "" : plan->most_stop);
}

void write_summary(struct buffer *buffer, const struct project *project,
                   const struct blanks *blanks, const struct plan *plan) {
  const struct view *view = view_create(buffer->arena, project, blanks, plan);
  add_title(buffer, view);
  add_source(buffer, view, SOURCE_RACK, "Take from the rack");
  add_source(buffer, view, SOURCE_YARD, "Buy");
  if (view->stock_count > 0) add_figures(buffer, view);
  add_loads(buffer, view);
  add_times(buffer, view);
  add_glue_ups(buffer, view);
  add_resawing(buffer, view);
  add_unplaced(buffer, view);
  add_cautions(buffer, view);
  add_notes(buffer, view);
  add_standing_cautions(buffer);
}
