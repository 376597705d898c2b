/* What was reckoned with and not given, and where to give it. */
#include <inttypes.h>

#include "model/clamping.h"
#include "model/reach.h"
#include "write/plan_html.h"
#include "write/plan_words.h"

static bool matters(const struct view *view, enum setting setting) {
  return view_default_mattered(view->project, view->blanks, view->plan, setting);
}

/* Left at its default, and not one of those that bear on other plans alone. */
static bool is_usual(const struct view *view, enum setting setting) {
  const struct shop *shop = &view->project->shop;
  if (shop->given[setting] || setting_table[setting].machine) return false;
  switch (setting) {
    case SETTING_sets: /* the page is of a number of sets that was asked for */
      return false;
    case SETTING_glue_per_edge:
      return shop->glue_up != 0;
    case SETTING_resaw_kerf:
    case SETTING_resaw_clean:
      return shop->resaw != 0;
    default:
      return true;
  }
}

static size_t count_usual(const struct view *view) {
  size_t count = 0;
  for (int i = 0; i < SETTING_TOTAL; i++)
    if (is_usual(view, (enum setting)i)) count++;
  return count;
}

static const char *unit_of(const struct view *view, enum setting_kind kind) {
  switch (kind) {
    case SETTING_LENGTH:
      return view->unit == UNIT_MM ? " mm" : " in";
    case SETTING_MINUTES:
      return " min";
    case SETTING_PERCENT:
      return " %";
    default:
      return "";
  }
}

static void add_setting(struct page *page, enum setting number) {
  const struct view *view = page->view;
  const struct setting_description *setting = &setting_table[number];
  const char *value = view->unit == UNIT_MM ? setting->default_mm : setting->default_inch;
  html_start(page->html, "li");
  html_element(page->html, "b", setting->name);
  html_text(page->html, *value == '\0'
                            ? arena_format(page->arena, ": %s", setting->meaning)
                            : arena_format(page->arena, " %s%s: %s", value,
                                           unit_of(view, setting->kind), setting->meaning));
  html_end(page->html);
}

static void add_machine(struct page *page) {
  bool headed = false;
  for (int i = 0; i < SETTING_TOTAL; i++) {
    if (!matters(page->view, (enum setting)i)) continue;
    if (!headed) {
      page_paragraph(page, NULL,
                     "These stood in for sizes of your machines. Put yours into shop.csv in the "
                     "project's folder, a line each: the name, a comma, your size.");
      html_start(page->html, "ul");
    }
    headed = true;
    add_setting(page, (enum setting)i);
  }
  if (headed) html_end(page->html);
}

/* ---- clamps and cutters ---- */

static const char *length_here(const struct page *page, length_t length) {
  return length_text_unit(page->arena, length, page->view->unit, ROUND_NEAREST);
}

static void add_clamps(struct page *page) {
  const struct view *view = page->view;
  struct clamp_set clamps;
  clamp_set_of(view->project, &clamps);
  bool clamped = false;
  for (size_t i = 0; i < view->load_count; i++) clamped |= view->loads[i].load->clamp_count > 0;
  if (!clamps.stated_default || !clamped) return;
  const struct clamp *clamp = &clamps.stand_in;
  page_paragraph(
      page, NULL,
      arena_format(page->arena,
                   "No clamps are given: hold-downs %s wide that cover %s of the stock, stand %s "
                   "high and need %s beside it were reckoned with. Put yours into clamps.csv.",
                   length_here(page, clamp->width), length_here(page, clamp->over),
                   length_here(page, clamp->height), length_here(page, clamp->beside)));
}

static bool has_profile(const struct project *project, size_t part) {
  for (size_t i = 0; i < project->step_count; i++) {
    const struct step *step = &project->steps[i];
    if (step->part == part && step->kind == STEP_PROFILE && step->place == PLACE_BED) return true;
  }
  return false;
}

static void add_cutter(struct page *page) {
  const struct view *view = page->view;
  const struct project *project = view->project;
  const char *names = "";
  for (size_t p = 0; p < project->part_count; p++) {
    bool wanted = view->plan->needed == NULL || view->plan->needed[p] > 0;
    if (!wanted || project->parts[p].way == WAY_SAW || has_profile(project, p)) continue;
    names = arena_format(page->arena, "%s%s%s", names, *names == '\0' ? "" : ", ",
                         project->parts[p].name);
  }
  if (*names == '\0') return;
  page_paragraph(page, NULL,
                 arena_format(page->arena,
                              "No profile step is given for %s: a cutter of %s was reckoned with. "
                              "Put yours into cutters.csv and the step into steps.csv.",
                              names, length_here(page, reach_default_diameter(view->unit))));
}

/* ---- the section ---- */

static void add_usual(struct page *page) {
  size_t count = count_usual(page->view);
  if (count == 0) return;
  html_start(page->html, "details");
  html_element(page->html, "summary",
               arena_format(page->arena,
                            "%zu more setting%s at the usual value, to be changed in "
                            "shop.csv likewise",
                            count, plural_ending((int64_t)count)));
  html_start(page->html, "ul");
  for (int i = 0; i < SETTING_TOTAL; i++)
    if (is_usual(page->view, (enum setting)i)) add_setting(page, (enum setting)i);
  html_end(page->html);
  html_end(page->html);
}

bool page_has_defaults(const struct view *view) {
  for (int i = 0; i < SETTING_TOTAL; i++)
    if (matters(view, (enum setting)i)) return true;
  return view->plan->gang_as_blanks || count_usual(view) > 0;
}

void page_defaults(struct page *page) {
  if (!page_has_defaults(page->view)) return;
  page_start_section(page, "defaults", "Defaults used");
  add_machine(page);
  add_clamps(page);
  add_cutter(page);
  if (page->view->plan->gang_as_blanks)
    page_paragraph(page, NULL,
                   "Parts of way gang are cut as blanks of their own, one a part, each clamped and "
                   "machined alone.");
  add_usual(page);
  html_end(page->html);
}
