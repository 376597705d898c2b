#include <inttypes.h>
#include <string.h>

#include "write/paragraph.h"
#include "write/standing.h"
#include "write/view.h"
#include "write/write.h"

enum { SIZE_COLUMNS = 24, HOLD_COLUMNS = 24 };

struct check {
  struct arena *arena;
  struct buffer *buffer;
  const struct project *project;
  const struct blanks *blanks;
  enum unit unit;
};

static const char *length_of(const struct check *check, length_t value, enum rounding rounding) {
  return length_text(check->arena, value, check->unit, rounding, NULL);
}

/* ---- one part ---- */

static const char *woods_text(struct arena *arena, const struct part *part) {
  if (part->wood_count == 0) return "any wood";
  const char *text = part->woods[0];
  for (size_t i = 1; i < part->wood_count; i++)
    text = arena_format(arena, "%s or %s", text, part->woods[i]);
  return text;
}

static const char *faced_text(enum faced faced) {
  if (faced == FACED_NONE) return "not faced";
  return faced == FACED_ONE ? "one face" : "two faces";
}

static const char *thickness_window(const struct check *check, const struct part *part) {
  length_t low = 0, high = 0;
  view_raw_thickness(&check->project->shop, part, &low, &high);
  const char *least = length_of(check, low, ROUND_UP);
  const char *most = length_of(check, high, ROUND_DOWN);
  if (strcmp(least, most) == 0) return least;
  return arena_format(check->arena, "%s to %s", least, most);
}

static void add_part_head(const struct check *check, size_t index) {
  const struct part *part = &check->project->parts[index];
  int64_t needed = project_needed(check->project, index, check->project->shop.sets);
  buffer_add(check->buffer, "\n");
  paragraph_format(check->buffer, "", 4, "%s: %" PRId64 " of %s x %s, %s", part->name, needed,
                   view_part_size(check->arena, check->unit, part, false, "x"),
                   length_of(check, part->thickness, ROUND_NEAREST),
                   woods_text(check->arena, part));
  paragraph_format(check->buffer, "  ", 4, "way %s, grain %s, %s: raw stock %s thick",
                   way_text(part->way), grain_text(part->grain), faced_text(part->faced),
                   thickness_window(check, part));
  if (part->way == WAY_GANG && part->match == NULL)
    paragraph(check->buffer, "  ", 4,
              "shares loads with parts like it when planned; by itself it would need:");
}

/* ---- its blanks ---- */

static bool same_choice(const struct blank *a, const struct blank *b) {
  return a->part == b->part && a->hold == b->hold && a->clamp == b->clamp &&
         a->length == b->length && a->width == b->width && a->strips == b->strips &&
         a->glued_length == b->glued_length && a->glued_width == b->glued_width &&
         a->may_lie_straight == b->may_lie_straight && a->may_lie_turned == b->may_lie_turned;
}

/* The blanks of one part, which stand side by side: [first, end). */
struct span {
  size_t first, end;
};

static bool seen_before(const struct blanks *blanks, struct span span, size_t index) {
  for (size_t i = span.first; i < index; i++)
    if (same_choice(&blanks->items[i], &blanks->items[index])) return true;
  return false;
}

static const char *stocks_text(const struct check *check, struct span span, size_t index) {
  struct buffer *text = buffer_create(check->arena);
  for (size_t i = index; i < span.end; i++) {
    const struct blank *blank = &check->blanks->items[i];
    if (!same_choice(blank, &check->blanks->items[index])) continue;
    buffer_format(text, "%s%s", text->length == 0 ? "" : ", ",
                  check->project->stocks[blank->stock].name);
  }
  return text->text;
}

static const char *holding_text(const struct check *check, const struct blank *blank) {
  if (blank->role == ROLE_PART) return "sawn to size";
  if (blank->hold == HOLD_TAPE) return "tape";
  return arena_format(check->arena, "%s, %s", hold_text(blank->hold),
                      clamp_name(check->project, blank->clamp));
}

static const char *lying_text(const struct blank *blank) {
  if (blank->may_lie_straight && blank->may_lie_turned) return " (either way round)";
  return blank->may_lie_turned ? " (turned)" : "";
}

static const char *glueing_text(const struct check *check, const struct blank *blank) {
  if (blank->strips == 0) return "";
  return arena_format(check->arena, "; strips, %" PRId64 " glued up to %s", blank->strips,
                      view_size(check->arena, check->unit, blank->glued_length, blank->glued_width,
                                "x", ROUND_UP, NULL));
}

static void add_blank(const struct check *check, struct span span, size_t index) {
  const struct blank *blank = &check->blanks->items[index];
  buffer_add(check->buffer, "    ");
  column_left(
      check->buffer,
      view_size(check->arena, check->unit, blank->length, blank->width, "x", ROUND_UP, NULL),
      SIZE_COLUMNS - 1);
  buffer_add(check->buffer, " ");
  column_left(check->buffer, holding_text(check, blank), HOLD_COLUMNS - 1);
  buffer_add(check->buffer, " ");
  struct buffer *stocks = buffer_create(check->arena);
  paragraph_format(stocks, "", 4 + SIZE_COLUMNS + HOLD_COLUMNS, "%s%s%s",
                   stocks_text(check, span, index), lying_text(blank), glueing_text(check, blank));
  buffer_add(check->buffer, stocks->text + 4 + SIZE_COLUMNS + HOLD_COLUMNS);
}

static void add_blanks(const struct check *check, struct span span) {
  bool any = false;
  for (size_t i = span.first; i < span.end; i++) {
    if (seen_before(check->blanks, span, i)) continue;
    if (!any) {
      buffer_add(check->buffer, "    ");
      column_left(check->buffer, "sawn size", SIZE_COLUMNS);
      column_left(check->buffer, "held", HOLD_COLUMNS);
      buffer_add(check->buffer, "from\n");
    }
    any = true;
    add_blank(check, span, i);
  }
  if (!any) buffer_add(check->buffer, "    no stock can yield it\n");
}

void write_check(struct buffer *buffer, const struct project *project,
                 const struct blanks *blanks) {
  struct check check = {buffer->arena, buffer, project, blanks, shop_unit(&project->shop)};
  paragraph_format(buffer, "", 0, "%s: %" PRId64 " set%s, lengths in %s", project->name,
                   project->shop.sets, project->shop.sets == 1 ? "" : "s",
                   check.unit == UNIT_MM ? "mm" : "inches");
  struct span span = {0, 0};
  for (size_t i = 0; i < project->part_count; i++) {
    span.first = span.end;
    while (span.end < blanks->count && blanks->items[span.end].part == i) span.end++;
    add_part_head(&check, i);
    add_blanks(&check, span);
  }
  const char *defaults = defaults_text(buffer->arena, project, blanks, NULL);
  if (defaults == NULL) return;
  buffer_add(buffer, "\n");
  paragraph_format(buffer, "", 4,
                   "Defaults stand in for sizes of your machines; put yours into shop.csv: %s",
                   defaults);
}
