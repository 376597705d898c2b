/* The page's sections of words and figures. */
#include <inttypes.h>

#include "base/buffer.h"
#include "write/plan_html.h"
#include "write/plan_words.h"
#include "write/safe_text.h"
#include "write/standing.h"

void page_figure(struct page *page, const char *class_name, const char *label, const char *value) {
  html_start(page->html, "dt");
  if (class_name != NULL) html_attribute(page->html, "class", class_name);
  html_text(page->html, label);
  html_end(page->html);
  html_start(page->html, "dd");
  if (class_name != NULL) html_attribute(page->html, "class", class_name);
  html_text(page->html, value);
  html_end(page->html);
}

void page_items(struct page *page, const struct text_list *list) {
  html_start(page->html, "ul");
  for (size_t i = 0; i < list->count; i++) html_element(page->html, "li", list->items[i]);
  html_end(page->html);
}

/* ---- summary ---- */

static void add_cost(struct page *page) {
  const struct plan_cost *cost = &page->view->plan->cost;
  struct text_list bounds = {0};
  list_bounds(page->arena, page->view, &bounds);
  html_start(page->html, "dl");
  page_figure(page, NULL, "stock", cents_text(page->arena, cost->stock));
  const char *handling = handling_text(page->arena, page->view);
  const char *minutes = handling_minutes_text(page->arena, page->view);
  if (minutes != NULL) handling = arena_format(page->arena, "%s: %s", handling, minutes);
  page_figure(page, NULL, handling, cents_text(page->arena, cost->handling));
  page_figure(page, "total", "total", cents_text(page->arena, cost->total));
  html_end(page->html);
  for (size_t i = 0; i < bounds.count; i++) page_paragraph(page, NULL, bounds.items[i]);
  const char *interruption = interruption_text(page->view);
  if (interruption != NULL) page_paragraph(page, "beware", interruption);
}

static void add_needed(struct page *page) {
  const struct plan *plan = page->view->plan;
  struct buffer *text = buffer_create(page->arena);
  for (size_t i = 0; plan->needed != NULL && i < page->view->project->part_count; i++)
    if (plan->needed[i] > 0)
      buffer_format(text, "%s%" PRId64 " × %s", text->length == 0 ? "Parts: " : ", ",
                    plan->needed[i], page->view->project->parts[i].name);
  if (text->length == 0) return;
  buffer_add(text, ".");
  page_paragraph(page, NULL, text->text);
}

static void add_unplaced(struct page *page) {
  struct text_list unplaced = {0};
  list_unplaced(page->arena, page->view, &unplaced);
  if (unplaced.count == 0) return;
  page_paragraph(page, "beware", "Could not be placed:");
  page_items(page, &unplaced);
}

static void add_caution_count(struct page *page) {
  struct text_list cautions = {0};
  list_cautions(page->arena, page->view, &cautions);
  if (cautions.count == 0) return;
  html_start_class(page->html, "p", "links");
  html_start(page->html, "a");
  html_attribute(page->html, "href", "#cautions");
  html_text(page->html, arena_format(page->arena, "Read the %zu caution%s before you start",
                                     cautions.count, plural_ending((int64_t)cautions.count)));
  html_end(page->html);
  html_end(page->html);
}

/* The plan's cost is of wood and handling alone. */
static void add_run_cost(struct page *page) {
  struct arena *arena = page->arena;
  const struct price_table *prices = page->view->prices;
  if (prices == NULL || prices->asked == 0) return;
  const struct price_point *point = price_point_of(prices, prices->asked);
  html_start_class(page->html, "p", "links");
  html_start(page->html, "a");
  html_attribute(page->html, "href", "#price");
  html_text(page->html,
            arena_format(arena, "With everything else the run costs %s, a set %s",
                         cents_text(arena, point->total), cents_text(arena, point->per_set)));
  html_end(page->html);
  html_end(page->html);
}

void page_summary(struct page *page) {
  struct arena *arena = page->arena;
  const struct view *view = page->view;
  const struct plan *plan = view->plan;
  page_start_section(page, "summary", "Summary");
  add_needed(page);
  if (plan->most)
    page_paragraph(page, NULL,
                   arena_format(arena, "As many complete sets as the rack gives%s%s.",
                                plan->most_stop == NULL ? "" : "; one more: ",
                                plan->most_stop == NULL ? "" : plan->most_stop));
  add_unplaced(page);
  if (view->stock_count > 0) {
    add_cost(page);
    page_paragraph(
        page, NULL,
        arena_format(arena,
                     "Of the wood's area finished parts are %s, offcuts to keep %s, waste %s. "
                     "%zu saw cut%s with %" PRId64 " fence setting%s.",
                     percent_text(arena, view->yield), percent_text(arena, view->offcut_share),
                     percent_text(arena, view->waste), plan->cut_count,
                     plural_ending((int64_t)plan->cut_count), plan->fence_settings,
                     plural_ending(plan->fence_settings)));
  }
  add_run_cost(page);
  add_caution_count(page);
  html_end(page->html);
}

/* ---- stock ---- */

static void add_purchase(struct page *page, size_t index) {
  struct arena *arena = page->arena;
  const struct view *view = page->view;
  const struct purchase *purchase = &view->plan->purchases[index];
  const struct stock *stock = &view->project->stocks[purchase->stock];
  page_start_tick(page, arena_format(arena, "stock-%zu", index + 1), "keep");
  html_element(page->html, "b",
               arena_format(arena, "%s %s", pieces_text(arena, stock, purchase), stock->name));
  html_text(page->html,
            arena_format(
                arena, ", %s %s %s × %s", stock->wood, stock_kind_text(stock->kind),
                view_size(arena, view->unit, stock->length, stock->width, "×", ROUND_NEAREST, NULL),
                length_text(arena, stock->thickness, view->unit, ROUND_NEAREST, NULL)));
  bool named = stock->supplier != NULL && *stock->supplier != '\0';
  html_element(page->html, "small",
               arena_format(arena, "%s each%s%s, %s together; gives %s",
                            cents_text(arena, stock->value), named ? ", " : "",
                            named ? stock->supplier : "", cents_text(arena, purchase->cost),
                            yields_text(arena, view, purchase->stock, "×")));
  page_end_tick(page);
}

static void add_source(struct page *page, enum source source, const char *heading) {
  const struct view *view = page->view;
  bool headed = false;
  for (size_t i = 0; i < view->plan->purchase_count; i++) {
    if (view->project->stocks[view->plan->purchases[i].stock].source != source) continue;
    if (!headed) {
      html_element(page->html, "h3", heading);
      html_start_class(page->html, "ul", "ticks");
    }
    headed = true;
    add_purchase(page, i);
  }
  if (headed) html_end(page->html);
}

void page_stock(struct page *page) {
  if (page->view->plan->purchase_count == 0) return;
  page_start_section(page, "stock", "Take and buy");
  add_source(page, SOURCE_RACK, "Take from the rack");
  add_source(page, SOURCE_YARD, "Buy");
  html_end(page->html);
}

/* ---- left-overs ---- */

static void add_left_over(struct page *page, const struct view_stock *entry,
                          const struct view_piece *piece, size_t number) {
  struct arena *arena = page->arena;
  enum unit unit = page->view->unit;
  page_start_tick(page, arena_format(arena, "left-over-%zu", number), "keep");
  html_element(page->html, "b", piece->rack_name != NULL ? piece->rack_name : piece->name);
  html_text(
      page->html,
      arena_format(
          arena, ", %s %s × %s, from %s", entry->stock->wood,
          view_size(arena, unit, piece->place.length, piece->place.width, "×", ROUND_DOWN, NULL),
          length_text(arena, entry->stock->thickness, unit, ROUND_DOWN, NULL), entry->title));
  page_end_tick(page);
}

void page_left_overs(struct page *page) {
  const struct view *view = page->view;
  size_t number = 0;
  for (size_t i = 0; i < view->stock_count; i++)
    for (size_t p = 0; p < view->stocks[i].piece_count; p++) {
      const struct view_piece *piece = &view->stocks[i].pieces[p];
      if (piece->role != ROLE_OFFCUT) continue;
      if (number++ == 0) {
        page_start_section(page, "left-overs", "Left over");
        page_paragraph(page, NULL,
                       "Write the name on each and put it back on the rack; offcuts.csv has them "
                       "as lines of rack.csv.");
        html_start_class(page->html, "ul", "ticks");
      }
      add_left_over(page, &view->stocks[i], piece, number);
    }
  if (number == 0) return;
  html_end(page->html);
  html_end(page->html);
}

/* ---- times ---- */

void page_times(struct page *page) {
  struct arena *arena = page->arena;
  const struct run_time *time = &page->view->plan->time;
  if (time->total.machine == 0 && time->total.hand == 0) return;
  page_start_section(page, "times", "Time");
  html_start_class(page->html, "dl", "keep");
  struct hand_work work[HAND_WORK_KINDS];
  size_t count = hand_work_of(time, work);
  if (time->total.machine > 0) {
    page_figure(page, NULL, "router runs", hours_text(arena, time->total.machine));
    page_figure(page, NULL, "of that, stand by it", hours_text(arena, time->total.attended));
  }
  for (size_t i = 0; i < count; i++)
    page_figure(page, NULL, work[i].label, hours_text(arena, work[i].minutes));
  page_figure(page, "total", "by hand, together", hours_text(arena, time->total.hand));
  html_end(page->html);
  html_end(page->html);
}

/* ---- cautions ---- */

void page_cautions(struct page *page) {
  struct text_list cautions = {0};
  struct text_list always = {0};
  list_cautions(page->arena, page->view, &cautions);
  for (size_t i = 0; standing_caution(i) != NULL; i++)
    list_add(page->arena, &always, "%s", standing_caution(i));
  page_start_section(page, "cautions", "Cautions");
  if (cautions.count > 0) {
    html_element(page->html, "h3", "For this plan");
    page_items(page, &cautions);
  }
  html_element(page->html, "h3", "Always");
  page_items(page, &always);
  html_end(page->html);
}
