/* The page's sections of work: planks with their cuts, loads with their fixings. */
#include <inttypes.h>
#include <stdlib.h>

#include "saw/saw.h"
#include "write/plan_html.h"
#include "write/plan_words.h"
#include "write/work_words.h"
#include "write/writers.h"

/* ---- at the saw ---- */

static const char *length_up(const struct page *page, length_t value) {
  return length_text(page->arena, value, page->view->unit, ROUND_UP, NULL);
}

/* "268 from the stop to the blade, left end against the stop". */
static const char *setting_text(const struct page *page, const struct cut *cut) {
  if (cut_is_end_trim(cut))
    return arena_format(
        page->arena, "%s off the %s",
        length_text(page->arena, cut_takes_off(cut), page->view->unit, ROUND_DOWN, NULL),
        cut_loses_side_text(cut));
  if (cut->resaw)
    return arena_format(page->arena, "%s from the fence to the blade, the face against the fence",
                        length_up(page, cut->keep));
  return arena_format(page->arena, "%s from the %s to the blade, %s against the %s",
                      length_up(page, cut->keep), cut->rip ? "fence" : "stop",
                      cut_keep_side_text(cut), cut->rip ? "fence" : "stop");
}

static const char *gives_text(const struct page *page, const struct view_cut *named) {
  const struct cut *cut = named->cut;
  const char *rest = named->rest == NULL ? "" : arena_format(page->arena, ", rest %s", named->rest);
  const char *setting =
      cut_is_end_trim(cut)
          ? ""
          : arena_format(page->arena, "; fence\u00A0setting\u00A0%" PRId64, cut->fence_setting);
  return arena_format(page->arena, "%skeep %s%s%s", cut->trim ? "trim, " : "",
                      named->kept == NULL ? "nothing" : named->kept, rest, setting);
}

static void add_cut_cautions(struct page *page, const struct cut *cut) {
  const char *text = "";
  for (unsigned bit = 0; bit < CAUTION_BITS; bit++)
    if ((cut->cautions & 1U << bit) != 0)
      text = arena_format(page->arena, "%s%s%s", text, *text == '\0' ? "Caution: " : ", ",
                          saw_caution_name(1U << bit));
  if (*text == '\0') return;
  html_start_class(page->html, "small", "beware");
  html_text(page->html, text);
  html_end(page->html);
}

/* `of` is the piece that is cut. */
static void add_cut(struct page *page, const struct view_cut *named, const char *of) {
  struct arena_mark mark = arena_mark(page->arena);
  const struct cut *cut = named->cut;
  page_start_tick(page, page_cut_id(page->arena, cut), "cut");
  html_element(page->html, "b",
               arena_format(page->arena, "%" PRId64 ". %s %s", cut->step, cut_kind_text(cut), of));
  html_text(page->html, arena_format(page->arena, ": %s", setting_text(page, cut)));
  html_element(page->html, "small", gives_text(page, named));
  add_cut_cautions(page, cut);
  page_end_tick(page);
  arena_release(page->arena, mark);
}

/* Resaws and other cuts of a piece are each in order of work; together they are by step. A piece
 * "A1-1 to resaw" is told as "resaw A1-1". */
static void add_cuts(struct page *page, const struct view_stock *entry) {
  size_t c = 0, r = 0;
  html_start_class(page->html, "ol", "ticks cuts");
  while (c < entry->cut_count || r < entry->resaw_count) {
    bool resaw = c == entry->cut_count ||
                 (r < entry->resaw_count && entry->resaws[r].cut->step < entry->cuts[c].cut->step);
    const struct view_cut *cut = resaw ? &entry->resaws[r++] : &entry->cuts[c++];
    add_cut(page, cut, resaw ? entry->title : cut->of);
  }
  html_end(page->html);
}

static void add_stock_drawing(struct page *page, const struct view_stock *entry) {
  struct arena_mark mark = arena_mark(page->arena);
  buffer_clear(page->scratch);
  write_layout_svg(page->scratch, page->view, entry, TO_FIT);
  page_drawing(page, NULL,
               arena_format(page->arena, "Layout of %s, made to fit; at true scale in %s.",
                            entry->title, entry->drawing));
  arena_release(page->arena, mark);
}

static void add_plank(struct page *page, const struct view_stock *entry, size_t number) {
  struct arena *arena = page->arena;
  const struct stock *stock = entry->stock;
  html_start(page->html, "article");
  html_attribute(page->html, "aria-labelledby", arena_format(arena, "plank-%zu", number));
  html_start(page->html, "h3");
  html_attribute(page->html, "id", arena_format(arena, "plank-%zu", number));
  html_text(
      page->html,
      arena_format(
          arena, "%s: %s %s %s × %s", entry->title, stock->wood, stock_kind_text(stock->kind),
          view_size(arena, page->view->unit, stock->length, stock->width, "×", ROUND_NEAREST, NULL),
          length_text(arena, stock->thickness, page->view->unit, ROUND_NEAREST, NULL)));
  html_end(page->html);
  add_stock_drawing(page, entry);
  if (entry->cut_count + entry->resaw_count > 0)
    add_cuts(page, entry);
  else
    page_paragraph(page, NULL, "No saw cut.");
  html_end(page->html);
}

static void add_stretch(struct page *page, const struct view_stock *owner, const struct cut *first,
                        const struct cut *last) {
  html_start(page->html, "li");
  html_start(page->html, "a");
  html_attribute(page->html, "href",
                 arena_format(page->arena, "#%s", page_cut_id(page->arena, first)));
  html_text(page->html,
            first == last ? arena_format(page->arena, "%" PRId64 ": %s", first->step, owner->title)
                          : arena_format(page->arena, "%" PRId64 " to %" PRId64 ": %s", first->step,
                                         last->step, owner->title));
  html_end(page->html);
  html_end(page->html);
}

/* Cuts of the same fence setting follow each other over several planks; by which way. */
static void add_order(struct page *page) {
  const struct view *view = page->view;
  size_t count = view->plan->cut_count;
  const struct view_stock **owners = ARENA_ARRAY(page->arena, count, const struct view_stock *);
  const struct view_cut **cuts = cuts_by_step(page->arena, view, owners);
  if (count == 0) return;
  page_paragraph(page, "lead",
                 "Cut by the numbers: they run through all planks of a wood and thickness, so that "
                 "the fence is set seldom. Measured sizes lie between fence or stop and the near "
                 "side of the blade. The way from plank to plank:");
  html_start_class(page->html, "ol", "links");
  size_t first = 0;
  for (size_t i = 1; i <= count; i++) {
    if (i < count && owners[i] == owners[first]) continue;
    add_stretch(page, owners[first], cuts[first]->cut, cuts[i - 1]->cut);
    first = i;
  }
  html_end(page->html);
}

static void add_special(struct page *page, const char *heading, const struct text_list *list) {
  if (list->count == 0) return;
  html_element(page->html, "h3", heading);
  html_start(page->html, "ul");
  for (size_t i = 0; i < list->count; i++) html_element(page->html, "li", list->items[i]);
  html_end(page->html);
}

static int64_t first_step(const struct view_stock *entry) {
  int64_t first = INT64_MAX;
  if (entry->cut_count > 0) first = entry->cuts[0].cut->step;
  if (entry->resaw_count > 0 && entry->resaws[0].cut->step < first)
    first = entry->resaws[0].cut->step;
  return first;
}

static int by_first_step(const void *a, const void *b) {
  const struct view_stock *one = *(const struct view_stock *const *)a;
  const struct view_stock *other = *(const struct view_stock *const *)b;
  int64_t left = first_step(one), right = first_step(other);
  if (left != right) return left < right ? -1 : 1;
  return (one > other) - (one < other);
}

/* Planks as they come to the saw; those without a cut last. */
static void add_planks(struct page *page) {
  const struct view *view = page->view;
  const struct view_stock **entries =
      ARENA_ARRAY(page->arena, view->stock_count, const struct view_stock *);
  for (size_t i = 0; i < view->stock_count; i++) entries[i] = &view->stocks[i];
  qsort(entries, view->stock_count, sizeof *entries, by_first_step);
  for (size_t i = 0; i < view->stock_count; i++) add_plank(page, entries[i], i + 1);
}

void page_planks(struct page *page) {
  const struct view *view = page->view;
  struct text_list resawing = {0}, glue_ups = {0};
  if (view->stock_count == 0) return;
  list_resawing(page->arena, view, &resawing);
  list_glue_ups(page->arena, view, &glue_ups);
  page_start_section(page, "planks", "Saw");
  add_order(page);
  add_special(page, "Resaw", &resawing);
  add_planks(page);
  add_special(page, "Glue up", &glue_ups);
  html_end(page->html);
}

/* ---- on the bed ---- */

static void add_load_drawing(struct page *page, size_t index) {
  struct arena_mark mark = arena_mark(page->arena);
  buffer_clear(page->scratch);
  write_load_svg(page->scratch, page->view, index, TO_FIT);
  const char *fixing = drawn_fixing_text(page->arena, page->view->loads[index].load);
  page_drawing(
      page, NULL,
      arena_format(page->arena, "Load seen from above%s%s, made to fit; at true scale in %s.",
                   fixing == NULL ? "" : ", ", fixing == NULL ? "" : fixing,
                   page->view->loads[index].drawing));
  arena_release(page->arena, mark);
}

static void add_places(struct page *page, const struct view_load *held) {
  struct arena *arena = page->arena;
  const struct view *view = page->view;
  const struct load *load = held->load;
  html_element(page->html, "h4", "Clamps");
  html_start(page->html, "ul");
  for (size_t c = 0; c < load->clamp_count; c++)
    html_element(page->html, "li", clamp_place_text(arena, view, load, &load->clamps[c]));
  if (load->clamp_count == 0) html_element(page->html, "li", "tape");
  html_end(page->html);
  html_element(page->html, "h4",
               arena_format(arena, "Parts, from the router's zero at the %s corner",
                            bed_origin_text(&view->project->shop)));
  html_start(page->html, "ul");
  for (size_t m = 0; m < held->made_count; m++)
    html_element(page->html, "li", part_place_text(arena, view, load, held->made[m].held));
  html_end(page->html);
}

/* A check box for each load of those alike: a fixing is done for all of them in turn. */
static void add_fixing_ticks(struct page *page, size_t index, size_t fixing) {
  const struct view *view = page->view;
  html_start(page->html, "fieldset");
  html_element(page->html, "legend", arena_format(page->arena, "Done, fixing %zu", fixing + 1));
  html_start_class(page->html, "ul", "ticks row");
  for (size_t o = index; o < view->load_count; o++) {
    if (view->loads[o].like != index) continue;
    page_start_tick(page, arena_format(page->arena, "load-%zu-%zu", o + 1, fixing + 1), "few");
    html_element(page->html, "b", view->loads[o].name);
    page_end_tick(page);
  }
  html_end(page->html);
  html_end(page->html);
}

static void add_fixing(struct page *page, size_t index, size_t number) {
  struct arena *arena = page->arena;
  const struct view *view = page->view;
  const struct load *load = view->loads[index].load;
  const struct fixing *fixing = &load->fixings[number];
  html_start_class(page->html, "div", "keep");
  html_element(page->html, "h4",
               arena_format(arena, "Fixing %zu of %zu", number + 1, load->fixing_count));
  page_paragraph(
      page, NULL,
      arena_format(arena, "%s face up, %s; stops: %s.",
                   fixing->side == SIDE_TOP ? "Upper" : "Under", fixing_stand_text(fixing),
                   fixing_stops_text(arena, view->project, load, fixing)));
  html_start(page->html, "ol");
  for (size_t c = 0; c < fixing->order.count; c++)
    html_element(page->html, "li", cutter_text(arena, view, load, fixing, c));
  if (fixing->order.count == 0) html_element(page->html, "li", default_cutter_text(arena, view));
  html_end(page->html);
  add_fixing_ticks(page, index, number);
  html_end(page->html);
}

static const char *top_text(const struct page *page, const struct load *load) {
  length_t below = finished_below_raw(page->view, load);
  if (below == 0) return "the raw top stays";
  return arena_format(page->arena, "finished top %s below the raw one",
                      length_text(page->arena, below, page->view->unit, ROUND_NEAREST, NULL));
}

static void add_load(struct page *page, size_t index) {
  struct arena *arena = page->arena;
  const struct view *view = page->view;
  const struct view_load *held = &view->loads[index];
  const struct load *load = held->load;
  const char *id = arena_format(arena, "load-%zu", index + 1);
  html_start(page->html, "article");
  html_attribute(page->html, "aria-labelledby", id);
  html_start(page->html, "h3");
  html_attribute(page->html, "id", id);
  html_text(page->html, view_load_title(arena, view, index));
  html_end(page->html);
  page_paragraph(
      page, NULL,
      arena_format(arena, "%s in %s × %s, grain %s; %s.", made_text(arena, view, held, "×"),
                   view_size(arena, view->unit, load->length, load->width, "×", ROUND_UP, NULL),
                   length_text(arena, load->thickness, view->unit, ROUND_NEAREST, NULL),
                   load->across ? "from front to back" : "from left to right",
                   top_text(page, load)));
  add_load_drawing(page, index);
  add_places(page, held);
  for (size_t f = 0; f < load->fixing_count; f++) add_fixing(page, index, f);
  html_end(page->html);
}

void page_loads(struct page *page) {
  const struct view *view = page->view;
  if (view->load_count == 0) return;
  page_start_section(page, "loads", "Rout");
  for (size_t i = 0; i < view->load_count; i++) {
    if (view->loads[i].like != i) continue;
    struct arena_mark mark = arena_mark(page->arena);
    add_load(page, i);
    arena_release(page->arena, mark);
  }
  html_end(page->html);
}
