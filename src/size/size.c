#include "size/size.h"

#include "base/text.h"
#include "model/limits.h"
#include "model/part_steps.h"
#include "model/reach.h"
#include "size/choice.h"
#include "size/fit.h"
#include "size/glue.h"
#include "size/refusal.h"
#include "size/shelf.h"

/* Choices of the part at hand for one thickness of stock. */
struct thickness_choices {
  size_t part_seen; /* part these were made for, plus one */
  size_t count;
  struct choice choices[CHOICES_MOST];
};

struct work {
  struct arena *arena;
  const struct project *project;
  struct diagnostics *diagnostics;
  struct blanks *blanks;
  struct shelf shelf;
  struct clamp_set clamps;
  struct step_list *steps;           /* per part */
  struct thickness_choices *choices; /* per distinct thickness of stock */
  size_t *found;
  struct reach reach;     /* of the part at hand */
  size_t default_cutters; /* parts sized with the stated default cutter */
  size_t default_cutter_part;
  bool clamps_used;
};

static const struct thickness_choices *choices_for(struct work *work, size_t part, size_t stock) {
  const struct part *wanted = &work->project->parts[part];
  struct thickness_choices *made = &work->choices[work->shelf.thickness_rank[stock]];
  if (made->part_seen == part + 1) return made;
  made->part_seen = part + 1;
  if (wanted->way == WAY_SAW) {
    made->count = 1;
    made->choices[0] = choice_sawn(&work->project->shop, wanted);
  } else {
    made->count = choice_blanks(work->project, &work->clamps, wanted, &work->reach,
                                work->project->stocks[stock].thickness, made->choices);
  }
  return made;
}

static struct blank blank_of(const struct work *work, size_t part, size_t stock,
                             const struct choice *choice) {
  bool sawn = work->project->parts[part].way == WAY_SAW;
  return (struct blank){.part = part,
                        .stock = stock,
                        .role = sawn ? ROLE_PART : ROLE_BLANK,
                        .hold = choice->hold,
                        .clamp = choice->clamp,
                        .length = choice->length,
                        .width = choice->width,
                        .margin_ends = choice->margin_ends,
                        .margin_sides = choice->margin_sides,
                        .reach = sawn ? 0 : work->reach.outside,
                        .cutter_diameter = sawn ? 0 : work->reach.cutter_diameter};
}

static void add_blank(struct work *work, size_t part, size_t stock, const struct choice *choice,
                      const struct fit *fit) {
  struct blanks *blanks = work->blanks;
  struct blank *blank = ARENA_PUSH(work->arena, blanks->items, blanks->count, blanks->room);
  *blank = blank_of(work, part, stock, choice);
  blank->may_lie_straight = fit->straight;
  blank->may_lie_turned = fit->turned;
}

static bool saw_cuts_through(const struct work *work, size_t stock) {
  return work->project->stocks[stock].thickness <= work->project->shop.blade_height;
}

/* Adds the choices of one stock whose wood and thickness are right. */
static void size_in_stock(struct work *work, size_t part, size_t stock) {
  if (!saw_cuts_through(work, stock)) return;
  const struct thickness_choices *made = choices_for(work, part, stock);
  for (size_t i = 0; i < made->count; i++) {
    const struct choice *choice = &made->choices[i];
    struct fit fit = fit_in_stock(&work->project->parts[part], &work->project->stocks[stock],
                                  choice->length, choice->width);
    if (fit.straight || fit.turned) add_blank(work, part, stock, choice, &fit);
  }
}

static bool same_wood_and_thickness(const struct stock *a, const struct stock *b) {
  return a->thickness == b->thickness && text_equal_fold(a->wood, b->wood);
}

/* The planks among found[] that are like the one at `first`; none when an earlier one is. */
static size_t alike_planks(const struct work *work, size_t count, size_t first, size_t *alike) {
  const struct stock *stocks = work->project->stocks;
  const struct stock *like = &stocks[work->found[first]];
  size_t alike_count = 0;
  if (like->kind != STOCK_PLANK) return 0;
  for (size_t i = 0; i < count; i++) {
    const struct stock *plank = &stocks[work->found[i]];
    if (plank->kind != STOCK_PLANK || !same_wood_and_thickness(plank, like)) continue;
    if (i < first) return 0;
    alike[alike_count++] = work->found[i];
  }
  return alike_count;
}

/* Strips for a part, from the stocks found for it. Parts that come from one plank together are
 * not glued up. */
static void size_glued(struct work *work, size_t part, size_t count) {
  if (work->project->shop.glue_up == 0 || work->project->parts[part].match != NULL) return;
  size_t *alike = ARENA_ARRAY(work->arena, count, size_t);
  for (size_t i = 0; i < count; i++) {
    size_t stock = work->found[i];
    size_t alike_count = alike_planks(work, count, i, alike);
    if (alike_count == 0 || !saw_cuts_through(work, stock)) continue;
    struct glue_planks planks = {work->project, alike, alike_count};
    const struct thickness_choices *made = choices_for(work, part, stock);
    for (size_t c = 0; c < made->count; c++) {
      struct blank like = blank_of(work, part, stock, &made->choices[c]);
      glue_add_strips(work->arena, &planks, &made->choices[c], &like, work->blanks);
    }
  }
}

static void note_thickness(const struct stock *stock, const struct thickness_window *window,
                           struct nearest *nearest, size_t index) {
  bool thick = stock->thickness > window->thickest;
  struct nearest other = {
      .stock = index,
      .why = thick ? REFUSAL_TOO_THICK : REFUSAL_TOO_THIN,
      .miss = thick ? stock->thickness - window->thickest : window->thinnest - stock->thickness};
  refusal_note(nearest, &other);
}

static void note_size(struct work *work, size_t part, size_t stock, struct nearest *nearest) {
  const struct thickness_choices *made = choices_for(work, part, stock);
  struct nearest other = {.stock = stock, .why = REFUSAL_CLAMP};
  if (made->count == 0) refusal_note(nearest, &other);
  for (size_t i = 0; i < made->count; i++) {
    const struct choice *choice = &made->choices[i];
    struct fit fit = fit_in_stock(&work->project->parts[part], &work->project->stocks[stock],
                                  choice->length, choice->width);
    other.why = fit.too_long > fit.too_wide ? REFUSAL_TOO_LONG : REFUSAL_TOO_WIDE;
    other.too_long = fit.too_long;
    other.too_wide = fit.too_wide;
    other.miss = fit.too_long + fit.too_wide;
    other.length = choice->length;
    other.width = choice->width;
    refusal_note(nearest, &other);
  }
}

static void explain(struct work *work, size_t part) {
  const struct project *project = work->project;
  struct thickness_window window = choice_window(&project->shop, &project->parts[part]);
  struct nearest nearest = {.why = REFUSAL_WOOD};
  size_t count =
      shelf_find(&work->shelf, &project->parts[part], -LENGTH_MAX, LENGTH_MAX, work->found);
  for (size_t i = 0; i < count; i++) {
    size_t stock = work->found[i];
    const struct stock *tried = &project->stocks[stock];
    if (tried->thickness < window.thinnest || tried->thickness > window.thickest) {
      note_thickness(tried, &window, &nearest, stock);
    } else if (!saw_cuts_through(work, stock)) {
      struct nearest other = {.stock = stock,
                              .why = REFUSAL_SAW,
                              .miss = tried->thickness - project->shop.blade_height};
      refusal_note(&nearest, &other);
    } else {
      note_size(work, part, stock, &nearest);
    }
  }
  refusal_tell(work->arena, project, part, &nearest, work->diagnostics);
}

/* One caution for a part: about its first size that is larger than the bed. */
static void warn_of_bed(struct work *work, size_t part, size_t first) {
  const struct shop *shop = &work->project->shop;
  enum unit unit = shop_unit(shop);
  for (size_t i = first; i < work->blanks->count; i++) {
    const struct blank *blank = &work->blanks->items[i];
    length_t length = blank->strips > 0 ? blank->glued_length : blank->length;
    length_t width = blank->strips > 0 ? blank->glued_width : blank->width;
    if (fit_either_way(length, width, shop->bed_length, shop->bed_width)) continue;
    const struct part *wanted = &work->project->parts[part];
    diagnostics_add(work->diagnostics, SEVERITY_CAUTION, &wanted->place,
                    "part '%s': its blank of %s x %s (%s%s) is larger than the bed, %s x %s",
                    wanted->name, length_text(work->arena, length, unit, ROUND_UP, NULL),
                    length_text_unit(work->arena, width, unit, ROUND_UP),
                    blank->hold == HOLD_TAPE ? "" : "held by ", hold_text(blank->hold),
                    length_text(work->arena, shop->bed_length, unit, ROUND_DOWN, NULL),
                    length_text_unit(work->arena, shop->bed_width, unit, ROUND_DOWN));
    return;
  }
}

static void size_part(struct work *work, size_t part) {
  const struct project *project = work->project;
  const struct part *wanted = &project->parts[part];
  if (wanted->way != WAY_SAW) {
    reach_of_part(work->arena, project, wanted, work->steps[part].steps, work->steps[part].count,
                  &work->reach);
    if (work->reach.default_cutter && work->default_cutters++ == 0)
      work->default_cutter_part = part;
    work->clamps_used = work->clamps_used || wanted->hold != HOLD_TAPE;
  }
  struct thickness_window window = choice_window(&project->shop, wanted);
  size_t count = shelf_find(&work->shelf, wanted, window.thinnest, window.thickest, work->found);
  size_t before = work->blanks->count;
  for (size_t i = 0; i < count; i++) size_in_stock(work, part, work->found[i]);
  size_glued(work, part, count);
  if (work->blanks->count == before)
    explain(work, part);
  else if (wanted->way != WAY_SAW)
    warn_of_bed(work, part, before);
}

static bool are_too_many(const struct work *work, size_t part) {
  if (work->blanks->count <= LIMIT_CHOICES) return false;
  diagnostics_add(work->diagnostics, SEVERITY_ERROR, &work->project->parts[part].place,
                  "%zu parts have more than %d choices among %zu rows of stock, expected fewer: "
                  "give stock of one size a single row with its count, or part the project",
                  part + 1, LIMIT_CHOICES, work->project->stock_count);
  return true;
}

/* What was reckoned with and not given. */
static void tell_defaults(const struct work *work) {
  const struct shop *shop = &work->project->shop;
  enum unit unit = shop_unit(shop);
  struct diagnostics *list = work->diagnostics;
  if (work->default_cutters > 0)
    diagnostics_add(
        list, SEVERITY_NOTE, NULL,
        "no profile step for %s'%s'%s: a profile cutter of %s is reckoned with",
        work->default_cutters == 1 ? "part " : "",
        work->project->parts[work->default_cutter_part].name,
        work->default_cutters == 1 ? "" : " and other parts",
        length_text_unit(work->arena, reach_default_diameter(unit), unit, ROUND_NEAREST));
  if (work->clamps.stated_default && work->clamps_used) {
    const struct clamp *clamp = &work->clamps.stand_in;
    diagnostics_add(list, SEVERITY_NOTE, NULL,
                    "no clamps given: hold-downs %s wide that cover %s of the stock, stand %s high "
                    "and need %s beside it are reckoned with",
                    length_text_unit(work->arena, clamp->width, unit, ROUND_NEAREST),
                    length_text_unit(work->arena, clamp->over, unit, ROUND_NEAREST),
                    length_text_unit(work->arena, clamp->height, unit, ROUND_NEAREST),
                    length_text_unit(work->arena, clamp->beside, unit, ROUND_NEAREST));
  }
}

void size_blanks(struct arena *arena, const struct project *project,
                 struct diagnostics *diagnostics, struct blanks *blanks) {
  struct work work = {
      .arena = arena, .project = project, .diagnostics = diagnostics, .blanks = blanks};
  *blanks = (struct blanks){0};
  shelf_fill(arena, project, &work.shelf);
  clamp_set_of(project, &work.clamps);
  work.steps = part_steps(arena, project);
  work.choices = ARENA_ARRAY(arena, work.shelf.thickness_count, struct thickness_choices);
  work.found = ARENA_ARRAY(arena, project->stock_count, size_t);
  for (size_t p = 0; p < project->part_count; p++) {
    size_part(&work, p);
    if (are_too_many(&work, p)) return;
  }
  tell_defaults(&work);
}
