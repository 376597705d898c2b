#include "model/project.h"

#include "base/text.h"

#define WHOLE_SHARE INT64_C(100000) /* 100 % in thousandths of a percent */
#define NEEDED_MOST (INT64_MAX / 4)

int64_t project_started(const struct project *project, int64_t sets) {
  int64_t kept = WHOLE_SHARE - project->shop.spoilage;
  int64_t started = 0;
  if (__builtin_mul_overflow(sets, WHOLE_SHARE, &started) || started > NEEDED_MOST)
    return NEEDED_MOST;
  return (started + kept - 1) / kept;
}

int64_t project_needed(const struct project *project, size_t part, int64_t sets) {
  int64_t needed = project_started(project, sets);
  if (__builtin_mul_overflow(needed, project->parts[part].per_set, &needed) ||
      __builtin_add_overflow(needed, project->parts[part].spares, &needed) || needed > NEEDED_MOST)
    return NEEDED_MOST;
  return needed;
}

int64_t *project_needed_of_each(struct arena *arena, const struct project *project, int64_t sets) {
  int64_t *needed = ARENA_ARRAY(arena, project->part_count, int64_t);
  for (size_t p = 0; p < project->part_count; p++) needed[p] = project_needed(project, p, sets);
  return needed;
}

bool project_keeps(const struct project *project, const struct stock *stock, length_t length,
                   length_t width) {
  length_t least_length = project->shop.offcut_min_length;
  length_t least_width = project->shop.offcut_min_width;
  if (length <= 0 || width <= 0) return false;
  if (length >= least_length && width >= least_width) return true;
  return stock->kind == STOCK_SHEET && width >= least_length && length >= least_width;
}

length_t stock_room_length(const struct stock *stock) {
  return larger(stock->length - 2 * stock->trim_ends, 0);
}

length_t stock_room_width(const struct stock *stock) {
  return larger(stock->width - 2 * stock->trim_edges, 0);
}

length_t stock_usual_trim(const struct shop *shop, enum stock_kind kind, enum surface surface,
                          bool ends) {
  if (kind == STOCK_SHEET) return ends ? shop->trim_ends_sheet : shop->trim_edges_sheet;
  if (surface == SURFACE_PLANED) return ends ? shop->trim_ends_planed : shop->trim_edges_planed;
  return ends ? shop->trim_ends_rough : shop->trim_edges_rough;
}

bool part_takes_wood(const struct part *part, const char *wood) {
  for (size_t i = 0; i < part->wood_count; i++)
    if (text_equal_fold(part->woods[i], wood)) return true;
  return part->wood_count == 0;
}

const char *grain_text(enum grain grain) {
  static const char *const texts[] = {"along", "across", "any"};
  return texts[grain];
}

const char *way_text(enum way way) {
  static const char *const texts[] = {"saw", "blank", "gang"};
  return texts[way];
}

const char *hold_text(enum hold hold) {
  static const char *const texts[] = {"auto", "ends", "sides", "all", "tape"};
  return texts[hold];
}

const char *source_text(enum source source) {
  static const char *const texts[] = {"rack", "yard"};
  return texts[source];
}

const char *stock_kind_text(enum stock_kind kind) {
  static const char *const texts[] = {"plank", "sheet"};
  return texts[kind];
}

const char *price_per_text(enum price_per per) {
  static const char *const texts[] = {"each", "m", "ft", "m2", "ft2", "m3", "bf"};
  return texts[per];
}
