#include "size/refusal.h"

#include <string.h>

#include "base/buffer.h"
#include "base/text.h"
#include "size/fit.h"

/* How many checks a stock had passed when it was refused. */
static int checks_passed(enum refusal why) {
  switch (why) {
    case REFUSAL_NONE:
      return 9;
    case REFUSAL_TOO_LONG:
    case REFUSAL_TOO_WIDE:
      return 4;
    case REFUSAL_CLAMP:
      return 3;
    case REFUSAL_SAW:
      return 2;
    case REFUSAL_TOO_THICK:
    case REFUSAL_TOO_THIN:
      return 1;
    default:
      return 0;
  }
}

void refusal_note(struct nearest *nearest, const struct nearest *other) {
  int had = checks_passed(nearest->why);
  int has = checks_passed(other->why);
  if (has > had || (has == had && has > 0 && other->miss < nearest->miss)) *nearest = *other;
}

struct teller {
  struct arena *arena;
  const struct project *project;
  const struct part *part;
  const struct stock *stock; /* the nearest, or NULL */
  const struct nearest *nearest;
  struct buffer *text;
};

static const char *measure(const struct teller *teller, length_t value, enum rounding rounding) {
  return length_text_unit(teller->arena, value, shop_unit(&teller->project->shop), rounding);
}

static const char *number(const struct teller *teller, length_t value, enum rounding rounding) {
  return length_text(teller->arena, value, shop_unit(&teller->project->shop), rounding, NULL);
}

static void add_woods(const struct teller *teller) {
  const struct part *part = teller->part;
  if (part->wood_count == 0) buffer_add(teller->text, "stock");
  for (size_t w = 0; w < part->wood_count; w++)
    buffer_format(teller->text, "%s%s", w == 0 ? "" : " or ", part->woods[w]);
}

static void tell_wood(const struct teller *teller) {
  const struct project *project = teller->project;
  const struct part *part = teller->part;
  buffer_add(teller->text, "no ");
  add_woods(teller);
  buffer_add(teller->text, " in rack or yard");
  const char **woods = ARENA_ARRAY(teller->arena, project->stock_count, const char *);
  for (size_t s = 0; s < project->stock_count; s++) woods[s] = project->stocks[s].wood;
  const char *near = NULL;
  bool listed = false;
  for (size_t w = 0; w < part->wood_count && near == NULL; w++) {
    near = text_nearest(part->woods[w], woods, project->stock_count);
    listed = listed || strpbrk(part->woods[w], ",;/") != NULL;
  }
  if (listed)
    buffer_add(teller->text, " (several woods are told with | between them)");
  else if (near != NULL)
    buffer_format(teller->text, " (is '%s' meant?)", near);
  buffer_add(teller->text, ", add some to rack.csv or yard.csv, or allow another wood");
}

static void tell_thickness(const struct teller *teller) {
  const struct part *part = teller->part;
  bool thick = teller->nearest->why == REFUSAL_TOO_THICK;
  struct thickness_window window = choice_window(&teller->project->shop, part);
  buffer_add(teller->text, "no ");
  add_woods(teller);
  buffer_format(teller->text,
                " has the thickness: the nearest, '%s', is too %s by %s (it has %s, allowed",
                teller->stock->name, thick ? "thick" : "thin",
                measure(teller, teller->nearest->miss, ROUND_UP),
                measure(teller, teller->stock->thickness, ROUND_NEAREST));
  buffer_format(teller->text, " %s to %s)", number(teller, window.thinnest, ROUND_UP),
                measure(teller, window.thickest, ROUND_DOWN));
  if (thick) {
    buffer_format(teller->text,
                  ", plane the stock to %s or less, or add a thinner one to rack or yard",
                  measure(teller, window.thickest, ROUND_DOWN));
  } else {
    buffer_format(teller->text, ", add one of at least %s to rack or yard%s",
                  measure(teller, window.thinnest, ROUND_UP),
                  part->faced == FACED_NONE ? "" : ", or face fewer sides");
  }
}

/* Whether gluing up could make the blank, but is not asked for: loads are never glued up. */
static bool could_be_glued(const struct teller *teller) {
  const struct part *part = teller->part;
  return teller->nearest->too_wide > 0 && teller->nearest->too_long == 0 &&
         teller->stock->kind == STOCK_PLANK && part->grain == GRAIN_ALONG &&
         part->way != WAY_GANG && part->match == NULL && teller->project->shop.glue_up == 0;
}

static void tell_size(const struct teller *teller) {
  const struct nearest *nearest = teller->nearest;
  const struct stock *stock = teller->stock;
  const struct part *part = teller->part;
  bool sawn = part->way == WAY_SAW;
  buffer_format(teller->text, "its %s of %s x %s is ", sawn ? "piece" : "blank",
                number(teller, nearest->length, ROUND_UP),
                measure(teller, nearest->width, ROUND_UP));
  if (nearest->too_long > 0)
    buffer_format(teller->text, "too long by %s", measure(teller, nearest->too_long, ROUND_UP));
  if (nearest->too_long > 0 && nearest->too_wide > 0) buffer_add(teller->text, " and ");
  if (nearest->too_wide > 0)
    buffer_format(teller->text, "too wide by %s", measure(teller, nearest->too_wide, ROUND_UP));
  buffer_format(teller->text, " for the nearest stock, '%s' (room after trims %s x %s, grain %s)",
                stock->name, number(teller, stock_room_length(stock), ROUND_DOWN),
                measure(teller, stock_room_width(stock), ROUND_DOWN), grain_text(part->grain));
  const char *larger = nearest->too_long == 0   ? "wider"
                       : nearest->too_wide == 0 ? "longer"
                                                : "larger";
  buffer_format(teller->text, ", add a %s one to rack or yard%s%s%s", larger,
                stock->trim_ends + stock->trim_edges > 0 ? ", trim less" : "",
                could_be_glued(teller) ? ", set glue_up to yes to glue it up from strips" : "",
                part->grain == GRAIN_ANY ? "" : ", or allow another grain direction");
}

static void tell_clamp(const struct teller *teller) {
  const struct part *part = teller->part;
  buffer_format(teller->text, "the clamps owned cannot hold stock of %s ('%s') by its %s",
                measure(teller, teller->stock->thickness, ROUND_NEAREST), teller->stock->name,
                part->hold == HOLD_AUTO ? "ends or sides" : hold_text(part->hold));
  buffer_add(teller->text,
             ", add clamps that take this thickness (one for each held side; side "
             "clamps do with one opposite a stop), or hold it with tape");
}

static void tell_saw(const struct teller *teller) {
  buffer_format(teller->text, "the nearest stock, '%s', is %s thick and the saw cuts through %s",
                teller->stock->name, measure(teller, teller->stock->thickness, ROUND_NEAREST),
                measure(teller, teller->project->shop.blade_height, ROUND_DOWN));
  buffer_add(teller->text, ", add thinner stock or set blade_height to what the saw can do");
}

void refusal_tell(struct arena *arena, const struct project *project, size_t part,
                  const struct nearest *nearest, struct diagnostics *diagnostics) {
  struct teller teller = {.arena = arena,
                          .project = project,
                          .part = &project->parts[part],
                          .nearest = nearest,
                          .text = buffer_create(arena)};
  if (nearest->why != REFUSAL_WOOD) teller.stock = &project->stocks[nearest->stock];
  switch (nearest->why) {
    case REFUSAL_TOO_THICK:
    case REFUSAL_TOO_THIN:
      tell_thickness(&teller);
      break;
    case REFUSAL_TOO_LONG:
    case REFUSAL_TOO_WIDE:
      tell_size(&teller);
      break;
    case REFUSAL_CLAMP:
      tell_clamp(&teller);
      break;
    case REFUSAL_SAW:
      tell_saw(&teller);
      break;
    default:
      tell_wood(&teller);
      break;
  }
  diagnostics_add(diagnostics, SEVERITY_ERROR, &teller.part->place, "part '%s' cannot be cut: %s",
                  teller.part->name, teller.text->text);
}
