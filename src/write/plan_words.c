#include "write/plan_words.h"

#include <inttypes.h>
#include <stdarg.h>
#include <string.h>

#include "base/buffer.h"
#include "write/safe_text.h"

enum { PERCENT_DIGITS = 1 };

void list_add(struct arena *arena, struct text_list *list, const char *format, ...) {
  va_list values;
  va_start(values, format);
  const char *text = arena_format_list(arena, format, values);
  va_end(values);
  *ARENA_PUSH(arena, list->items, list->count, list->room) = text;
}

const char *plural_ending(int64_t count) { return count == 1 ? "" : "s"; }

const char *percent_text(struct arena *arena, double share) {
  double tenths = share * 1000;
  int64_t rounded = (int64_t)(tenths < 0 ? tenths - 0.5 : tenths + 0.5);
  return arena_format(arena, "%s %%", decimal_text(arena, rounded, PERCENT_DIGITS));
}

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

/* The same of a name, which has no plural. */
static const char *add_named(struct arena *arena, const char *text, int64_t count,
                             const char *times, const char *name) {
  return add_count(arena, text, count, arena_format(arena, "%s %s", times, name));
}

static bool comes_from(const struct view_stock *entry, size_t stock) {
  return entry->index == stock || (entry->stock->leaves > 0 && entry->stock->leaf_of == stock);
}

const char *yields_text(struct arena *arena, const struct view *view, size_t stock,
                        const char *times) {
  size_t part_count = view->project->part_count;
  struct yields yields = {ARENA_ARRAY(arena, part_count, int64_t),
                          ARENA_ARRAY(arena, part_count, int64_t), 0, 0, 0};
  for (size_t i = 0; i < view->stock_count; i++)
    if (comes_from(&view->stocks[i], stock)) count_yields(&view->stocks[i], &yields);
  const char *text = "";
  for (size_t i = 0; i < part_count; i++) {
    const char *name = view->project->parts[i].name;
    text = add_named(arena, text, yields.pieces[i], times, name);
    text = add_count(arena, text, yields.strips[i],
                     arena_format(arena, "strip%s of %s", plural_ending(yields.strips[i]), name));
  }
  text = add_count(arena, text, yields.loads, yields.loads == 1 ? "load" : "loads");
  text = add_count(arena, text, yields.offcuts,
                   arena_format(arena, "offcut%s", plural_ending(yields.offcuts)));
  if (*text == '\0') text = "nothing";
  if (yields.resawn == 0) return text;
  return arena_format(arena, "%s; %" PRId64 " resawn into leaves", text, yields.resawn);
}

const char *pieces_text(struct arena *arena, const struct stock *stock,
                        const struct purchase *purchase) {
  if (stock->source == SOURCE_RACK) return arena_format(arena, "%" PRId64, purchase->used);
  if (stock->pack <= 1) return arena_format(arena, "%" PRId64, purchase->bought);
  return arena_format(arena, "%" PRId64 " (%" PRId64 " pack%s of %" PRId64 ", %" PRId64 " used)",
                      purchase->bought, purchase->bought / stock->pack,
                      plural_ending(purchase->bought / stock->pack), stock->pack, purchase->used);
}

static int64_t fixings_of(const struct view *view) {
  int64_t fixings = 0;
  for (size_t i = 0; i < view->load_count; i++) fixings += view->loads[i].load->clampings;
  return fixings;
}

const char *handling_text(struct arena *arena, const struct view *view) {
  const struct shop *shop = &view->project->shop;
  if (shop->labour_rate == 0) return "handling: labour_rate is 0, wood alone counts";
  return arena_format(arena, "handling at %s an hour", cents_text(arena, shop->labour_rate));
}

const char *handling_minutes_text(struct arena *arena, const struct view *view) {
  const struct shop *shop = &view->project->shop;
  int64_t fixings = fixings_of(view), bed = 0, cuts = (int64_t)view->plan->cut_count;
  if (shop->labour_rate == 0) return NULL;
  for (size_t i = 0; i < view->load_count; i++) bed += view->loads[i].load->handling;
  const char *sawing =
      arena_format(arena, "%" PRId64 " saw cut%s, %s min", cuts, plural_ending(cuts),
                   decimal_trimmed(arena, cuts * shop->saw_cut_min, 3));
  if (fixings == 0) return sawing;
  return arena_format(arena, "%s; %" PRId64 " fixing%s with probing and cutter changes, %s min",
                      sawing, fixings, plural_ending(fixings), decimal_trimmed(arena, bed, 3));
}

static const char *kind_of_plan(struct arena *arena, const struct view *view) {
  int64_t stages = view->project->shop.saw_stages;
  if (stages == 0) return "of any number of saw stages";
  return arena_format(arena, "of at most %" PRId64 " saw stage%s", stages, plural_ending(stages));
}

/* A gap is not told as none: what would be rounded to 0.0 % is told to be less than 0.1 %. */
static const char *gap_percent(struct arena *arena, cents_t gap, cents_t bound) {
  double share = (double)gap / (double)bound;
  if (gap > 0 && share < 0.0005) return "less than 0.1 %";
  return percent_text(arena, share);
}

void list_bounds(struct arena *arena, const struct view *view, struct text_list *list) {
  const struct plan_cost *cost = &view->plan->cost;
  const char *kind = kind_of_plan(arena, view);
  if (cost->proved) {
    list_add(arena, list, "Proved: no plan %s costs less.", kind);
    return;
  }
  cents_t gap = cost->total - cost->bound;
  if (cost->bound <= 0 || gap < 0) {
    list_add(arena, list, "Nothing is proved about how far a plan %s could lie below.", kind);
    return;
  }
  list_add(arena, list,
           "Not proved to be the cheapest: no plan %s costs less than %s; this one is at "
           "most %s (%s) above that.",
           kind, cents_text(arena, cost->bound), cents_text(arena, gap),
           gap_percent(arena, gap, cost->bound));
  if (cost->listed_bound <= cost->bound) return;
  if (cost->listed_bound == cost->total)
    list_add(arena, list, "No plan of the loads that were tried costs less.");
  else
    list_add(arena, list, "No plan of the loads that were tried costs less than %s.",
             cents_text(arena, cost->listed_bound));
}

const char *interruption_text(const struct view *view) {
  if (!view->plan->interrupted) return NULL;
  if (view->plan->cost.proved)
    return "Interrupted when the cost was proved; fewer fence settings may be possible.";
  return "Interrupted: this is the best plan known by then; run to its end, the search may find a "
         "cheaper one.";
}

const char *made_text(struct arena *arena, const struct view *view, const struct view_load *held,
                      const char *times) {
  const char *text = "";
  for (size_t p = 0; p < view->project->part_count; p++) {
    int64_t count = 0;
    for (size_t i = 0; i < held->made_count; i++) count += held->made[i].held->part == p;
    text = add_named(arena, text, count, times, view->project->parts[p].name);
  }
  return text;
}

const char *held_by_text(struct arena *arena, const struct view *view, const struct load *load,
                         const char *times) {
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
      text = add_named(arena, text, count, times, clamp_name(view->project, load->clamps[c].clamp));
  }
  return *text == '\0' ? "tape" : text;
}

const char *hours_text(struct arena *arena, int64_t minutes) {
  return arena_format(arena, "%s h", decimal_text(arena, (minutes + 3000) / 6000, 1));
}

size_t hand_work_of(const struct run_time *time, struct hand_work work[HAND_WORK_KINDS]) {
  const struct hand_work all[HAND_WORK_KINDS] = {
      {"saw", time->sawing + time->fences},
      {"fixing on the bed", time->setups},
      {"cutters and probing", time->changes_by_hand + time->probing},
      {"cleaning tabs", time->tab_cleaning},
      {"other work", time->hand}};
  size_t count = 0;
  for (size_t i = 0; i < HAND_WORK_KINDS; i++)
    if (all[i].minutes > 0) work[count++] = all[i];
  return count;
}

const char *times_text(struct arena *arena, const struct run_time *time,
                       const char *(*hours)(struct arena *arena, int64_t minutes)) {
  struct buffer *text = buffer_create(arena);
  if (time->total.machine > 0)
    buffer_format(text, "router %s, of which %s attended; ", hours(arena, time->total.machine),
                  hours(arena, time->total.attended));
  buffer_format(text, "by hand %s", hours(arena, time->total.hand));
  struct hand_work work[HAND_WORK_KINDS];
  size_t count = hand_work_of(time, work);
  for (size_t i = 0; i < count; i++)
    buffer_format(text, "%s%s %s", i == 0 ? ": " : ", ", work[i].label,
                  hours(arena, work[i].minutes));
  return text->text;
}

void list_unplaced(struct arena *arena, const struct view *view, struct text_list *list) {
  for (size_t i = 0; i < view->plan->unplaced_count; i++) {
    const struct unplaced *unplaced = &view->plan->unplaced[i];
    list_add(arena, list, "%" PRId64 " %s: %s", unplaced->missing,
             view->project->parts[unplaced->part].name,
             unplaced->why == NULL ? "no stock is left for it" : unplaced->why);
  }
}
