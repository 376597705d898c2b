#include <inttypes.h>

#include "write/paragraph.h"
#include "write/plan_words.h"
#include "write/standing.h"
#include "write/view.h"
#include "write/write.h"

enum { LABEL = 16, MONEY_COLUMNS = 12 };

static const char *unit_name(enum unit unit) { return unit == UNIT_MM ? "mm" : "inches"; }

/* ---- stock ---- */

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
                   yields_text(arena, view, purchase->stock, "x"));
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

static void add_figures(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  const struct plan *plan = view->plan;
  buffer_add(buffer, "\nCost\n");
  add_money(buffer, "stock", plan->cost.stock);
  add_money(buffer, handling_text(arena, view), plan->cost.handling);
  const char *minutes = handling_minutes_text(arena, view);
  if (minutes != NULL) paragraph(buffer, "    ", 4, minutes);
  add_money(buffer, "total", plan->cost.total);
  struct text_list bounds = {0};
  list_bounds(arena, view, &bounds);
  paragraphs(buffer, 2, &bounds);
  const char *interruption = interruption_text(view);
  if (interruption != NULL) paragraph(buffer, "  ", 2, interruption);
  buffer_add(buffer, "\nWood and work\n");
  paragraph_format(buffer, "  ", 2, "finished parts %s, offcuts to keep %s, waste %s of the area",
                   percent_text(arena, view->yield), percent_text(arena, view->offcut_share),
                   percent_text(arena, view->waste));
  paragraph_format(buffer, "  ", 2, "%zu saw cut%s with %" PRId64 " fence setting%s",
                   plan->cut_count, plural_ending((int64_t)plan->cut_count), plan->fence_settings,
                   plural_ending(plan->fence_settings));
}

/* ---- the bed ---- */

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
        view_load_title(arena, view, i), made_text(arena, view, held, "x"),
        view_size(arena, view->unit, load->length, load->width, "x", ROUND_UP, NULL),
        length_text(arena, load->thickness, view->unit, ROUND_NEAREST, NULL),
        held_by_text(arena, view, load, "x"),
        load->clampings == 1 ? "once" : arena_format(arena, "%" PRId64 " times", load->clampings),
        held->drawing);
  }
}

/* ---- time ---- */

static void add_times(struct buffer *buffer, const struct view *view) {
  const struct run_time *time = &view->plan->time;
  if (time->total.machine == 0 && time->total.hand == 0) return;
  buffer_add(buffer, "\nTime\n");
  paragraph(buffer, "  ", 4, times_text(buffer->arena, time, hours_text));
}

/* ---- what else there is to say ---- */

typedef void (*lister)(struct arena *arena, const struct view *view, struct text_list *list);

/* A heading and its items; nothing where there are none. */
static void add_list(struct buffer *buffer, const struct view *view, const char *heading,
                     lister fill) {
  struct text_list list = {0};
  fill(buffer->arena, view, &list);
  if (list.count > 0) buffer_format(buffer, "\n%s\n", heading);
  paragraphs(buffer, 4, &list);
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
                   plan->sets, plural_ending(plan->sets), unit_name(view->unit));
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
  add_list(buffer, view, "Glue up", list_glue_ups);
  add_list(buffer, view, "Resaw", list_resawing);
  add_list(buffer, view, "Could not be placed", list_unplaced);
  add_list(buffer, view, "Cautions", list_cautions);
  add_notes(buffer, view);
  add_standing_cautions(buffer);
}
