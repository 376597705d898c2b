/* plan.html: the frame, and what its sections share. */
#include "write/plan_html.h"

#include <inttypes.h>
#include <string.h>

#include "base/fingerprint.h"
#include "write/plan_words.h"
#include "write/script_hash.h"
#include "write/writers.h"

/* ---- what sections share ---- */

void page_start_section(struct page *page, const char *id, const char *heading) {
  const char *heading_id = arena_format(page->arena, "%s-heading", id);
  html_start(page->html, "section");
  html_attribute(page->html, "id", id);
  html_attribute(page->html, "aria-labelledby", heading_id);
  html_start(page->html, "h2");
  html_attribute(page->html, "id", heading_id);
  html_text(page->html, heading);
  html_end(page->html);
}

void page_paragraph(struct page *page, const char *class_name, const char *text) {
  html_start(page->html, "p");
  if (class_name != NULL) html_attribute(page->html, "class", class_name);
  html_text(page->html, text);
  html_end(page->html);
}

/* A browser that fills in what a form held before would undo what the script put back. */
void page_start_tick(struct page *page, const char *id, const char *class_name) {
  html_start_class(page->html, "li", class_name);
  html_start(page->html, "label");
  html_attribute(page->html, "for", id);
  html_start(page->html, "input");
  html_attribute(page->html, "type", "checkbox");
  html_attribute(page->html, "id", id);
  html_attribute(page->html, "autocomplete", "off");
  html_end_void(page->html);
  html_start(page->html, "span");
}

void page_end_tick(struct page *page) {
  html_end(page->html);
  html_end(page->html);
  html_end(page->html);
}

const char *page_cut_id(struct arena *arena, const struct cut *cut) {
  return arena_format(arena, "cut-%" PRId64, cut->step);
}

/* In a drawing every quote of a text is escaped, so that these stand in markup alone. */
static const char *const id_marks[] = {" id=\"", "=\"url(#"};

void page_drawing(struct page *page, const char *class_name, const char *caption) {
  struct arena_mark mark = arena_mark(page->arena);
  const char *prefix = arena_format(page->arena, "d%zu-", ++page->drawings);
  struct buffer *markup = buffer_create(page->arena);
  const char *at = strstr(page->scratch->text, "<svg");
  while (at != NULL) {
    const char *next = NULL;
    size_t length = 0;
    for (size_t i = 0; i < sizeof id_marks / sizeof *id_marks; i++) {
      const char *found = strstr(at, id_marks[i]);
      if (found == NULL || (next != NULL && found > next)) continue;
      next = found;
      length = strlen(id_marks[i]);
    }
    if (next == NULL) {
      buffer_add(markup, at);
      break;
    }
    buffer_add_bytes(markup, at, (size_t)(next - at) + length);
    buffer_add(markup, prefix);
    at = next + length;
  }
  if (class_name == NULL)
    html_start(page->html, "figure");
  else
    html_start_class(page->html, "figure", class_name);
  html_start_class(page->html, "div", "paper");
  html_raw(page->html, markup->text);
  html_end(page->html);
  html_element(page->html, "figcaption", caption);
  html_end(page->html);
  arena_release(page->arena, mark);
}

/* ---- the frame ---- */

/* Ticks belong to a plan: another one of the same project starts without any. */
static const char *plan_key(struct arena *arena, const struct view *view) {
  const struct plan *plan = view->plan;
  uint64_t print = fingerprint_add_text(FINGERPRINT_START, view->project->name);
  print = fingerprint_add_number(print, plan->sets);
  for (size_t i = 0; i < view->stock_count; i++)
    print = fingerprint_add_text(print, view->stocks[i].title);
  for (size_t i = 0; i < plan->cut_count; i++) {
    const struct cut *cut = &plan->cuts[i];
    const int64_t numbers[] = {(int64_t)cut->layout,
                               cut->copy,
                               cut->rip,
                               cut->resaw,
                               cut->x,
                               cut->y,
                               cut->keep,
                               cut->keep_high,
                               cut->piece_x,
                               cut->piece_y,
                               cut->piece_length,
                               cut->piece_width};
    for (size_t n = 0; n < sizeof numbers / sizeof *numbers; n++)
      print = fingerprint_add_number(print, numbers[n]);
  }
  for (size_t i = 0; i < view->load_count; i++) {
    print = fingerprint_add_text(print, view->loads[i].of);
    print = fingerprint_add_number(print, (int64_t)view->loads[i].load->fixing_count);
  }
  return arena_format(arena, "blankwright-%s", fingerprint_text(arena, print));
}

static void add_meta(struct html *html, const char *key, const char *name, const char *content) {
  html_start(html, "meta");
  html_attribute(html, key, name);
  if (content != NULL) html_attribute(html, "content", content);
  html_end_void(html);
}

static void add_head(struct page *page, const char *title) {
  struct html *html = page->html;
  html_start(html, "head");
  add_meta(html, "charset", "utf-8", NULL);
  add_meta(html, "name", "viewport", "width=device-width, initial-scale=1");
  add_meta(html, "name", "color-scheme", "light dark");
  add_meta(html, "http-equiv", "Content-Security-Policy",
           arena_format(page->arena, "default-src 'none'; style-src 'unsafe-inline'; script-src %s",
                        script_hash(page->arena, page_script)));
  html_element(html, "title", title);
  html_start(html, "style");
  html_raw(html, page_style);
  html_raw(html, page_print_style);
  html_end(html);
  html_end(html);
}

static void add_link(struct html *html, const char *target, const char *text) {
  html_start(html, "li");
  html_start(html, "a");
  html_attribute(html, "href", target);
  html_text(html, text);
  html_end(html);
  html_end(html);
}

static void add_contents(struct page *page) {
  const struct view *view = page->view;
  struct html *html = page->html;
  html_start(html, "nav");
  html_attribute(html, "aria-label", "contents");
  html_start(html, "ul");
  add_link(html, "#summary", "Summary");
  if (view->plan->purchase_count > 0) add_link(html, "#stock", "Take and buy");
  if (view->stock_count > 0) add_link(html, "#planks", "Saw");
  if (view->load_count > 0) add_link(html, "#loads", "Rout");
  if (view->offcut_share > 0) add_link(html, "#left-overs", "Left over");
  if (view->plan->time.total.machine + view->plan->time.total.hand > 0)
    add_link(html, "#times", "Time");
  if (view->prices != NULL) add_link(html, "#price", "Cost and price");
  add_link(html, "#cautions", "Cautions");
  if (page_has_defaults(view)) add_link(html, "#defaults", "Defaults used");
  html_end(html);
  html_end(html);
}

/* Shown by the script alone: without it nothing is kept and nothing counted. */
static void add_progress(struct page *page) {
  struct html *html = page->html;
  html_start_class(html, "aside", "progress");
  html_attribute(html, "id", "progress");
  html_attribute(html, "aria-label", "progress");
  html_attribute(html, "hidden", "hidden");
  html_start(html, "p");
  html_attribute(html, "id", "told");
  html_attribute(html, "role", "status");
  html_end(html);
  html_start(html, "a");
  html_attribute(html, "id", "next");
  html_attribute(html, "href", "#main");
  html_text(html, "Next cut");
  html_end(html);
  html_start(html, "button");
  html_attribute(html, "type", "button");
  html_attribute(html, "id", "clear");
  html_text(html, "Clear ticks");
  html_end(html);
  html_end(html);
}

static void add_main(struct page *page) {
  html_start(page->html, "main");
  html_attribute(page->html, "id", "main");
  page_summary(page);
  page_stock(page);
  page_planks(page);
  page_loads(page);
  page_left_overs(page);
  page_times(page);
  page_prices(page);
  page_cautions(page);
  page_defaults(page);
  html_end(page->html);
}

static void add_body(struct page *page, const char *title) {
  struct html *html = page->html;
  html_start(html, "body");
  html_start_class(html, "a", "skip");
  html_attribute(html, "href", "#main");
  html_text(html, "Skip to the plan");
  html_end(html);
  html_start(html, "header");
  html_element(html, "h1", title);
  page_paragraph(
      page, "quiet",
      page->view->unit == UNIT_MM ? "All lengths in millimetres." : "All lengths in inches.");
  html_end(html);
  add_contents(page);
  add_main(page);
  add_progress(page);
  html_start(html, "script");
  html_raw(html, page_script);
  html_end(html);
  html_end(html);
}

void write_plan_html(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  struct page page = {
      .arena = arena, .html = html_open(arena), .view = view, .scratch = buffer_create(arena)};
  const char *title = arena_format(arena, "%s: %" PRId64 " set%s", view->project->name,
                                   view->plan->sets, plural_ending(view->plan->sets));
  html_start(page.html, "html");
  html_attribute(page.html, "lang", "en");
  html_attribute(page.html, "data-plan", plan_key(arena, view));
  add_head(&page, title);
  add_body(&page, title);
  html_end(page.html);
  html_close(page.html, buffer);
}
