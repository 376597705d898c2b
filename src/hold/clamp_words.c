/* Refusals in words. */
#include "base/buffer.h"
#include "hold/clamp_refusal.h"
#include "hold/clamp_rows.h"

struct words {
  struct arena *arena;
  struct buffer *text;
  enum unit unit;
};

static const char *size(const struct words *words, length_t length, enum rounding rounding) {
  return length_text_unit(words->arena, length, words->unit, rounding);
}

/* Thousandths of a newton, rounded up to whole ones. */
static long long newtons(int64_t force) {
  long long whole = force / 1000;
  return force % 1000 > 0 ? whole + 1 : whole;
}

static const char *plural(int64_t number) { return number == 1 ? "" : "s"; }

static void add_stretch(const struct words *words, const struct clamp_refusal *refusal) {
  const char *corner = side_axis(refusal->side) == 0 ? "front" : "left";
  buffer_format(words->text,
                "on the %s no clamp can stand between %s and %s from the %s corner: "
                "the stretch is too long",
                bed_side_text(refusal->side), size(words, refusal->from, ROUND_NEAREST),
                size(words, refusal->to, ROUND_NEAREST), corner);
}

static void add_rules(const struct words *words, unsigned rules) {
  static const struct {
    unsigned rule;
    const char *name;
  } names[] = {{RULE_COVER, "the longest free stretch"},
               {RULE_CLEAR_OF, "clamps clear of each other"},
               {RULE_OPPOSITE, "a stop or clamp opposite"},
               {RULE_BALANCE, "hold-downs alike on opposite sides"},
               {RULE_OWNED, "the clamps there are"},
               {RULE_FRICTION, "the friction"},
               {RULE_BED, "the room on the bed"}};
  buffer_add(words->text, "clamps cannot keep several rules at once:");
  bool first = true;
  for (size_t n = 0; n < sizeof names / sizeof *names; n++) {
    if (!(rules & names[n].rule)) continue;
    buffer_format(words->text, "%s %s", first ? "" : ",", names[n].name);
    first = false;
  }
}

static void add_reason(const struct words *words, const struct clamp_refusal *refusal) {
  const char *side = bed_side_text(refusal->side);
  switch (refusal->reason) {
    case REASON_NO_CLAMPS:
      buffer_add(words->text, "no clamp is suited to this stock");
      break;
    case REASON_STOPS:
      buffer_format(words->text, "side clamps cannot push: stops stand %s and %s", side,
                    bed_side_text(side_opposite(refusal->side)));
      break;
    case REASON_NO_PLACE:
      buffer_format(words->text, "no clear place for a clamp on the %s", side);
      break;
    case REASON_STRETCH:
      add_stretch(words, refusal);
      break;
    case REASON_BED:
      buffer_format(words->text, "load and clamps are too %s for the bed by %s",
                    side_axis(refusal->side) == 0 ? "long" : "wide",
                    size(words, refusal->missing, ROUND_UP));
      break;
    case REASON_FRICTION:
      buffer_format(words->text, "the friction of the clamps is short by %lld N",
                    newtons(refusal->force));
      break;
    case REASON_TOO_FEW:
      buffer_format(words->text,
                    "too few clamps: it takes %lld, of %lld there are not enough "
                    "of one kind",
                    (long long)refusal->needed, (long long)refusal->owned);
      break;
    case REASON_OPPOSITE:
      buffer_format(words->text, "side clamps have neither stop nor clamp opposite, on the %s",
                    side);
      break;
    case REASON_MEETING:
      buffer_add(words->text, "clamps stand in each other's way");
      break;
    case REASON_BALANCE:
      buffer_add(words->text, "opposite sides cannot be held by nearly as many hold-downs");
      break;
    default:
      add_rules(words, refusal->rules);
      break;
  }
}

static void add_cure(const struct words *words, const struct clamp_cure *cure,
                     const char *const *names) {
  switch (cure->kind) {
    case CURE_GROW:
      buffer_format(words->text, ", add %s on the %s", size(words, cure->grow, ROUND_UP),
                    bed_side_text(cure->side));
      if (cure->both)
        buffer_format(words->text, " and as much on the %s",
                      bed_side_text(side_opposite(cure->side)));
      break;
    case CURE_MORE:
      buffer_format(words->text, ", %lld clamp%s more of '%s' would do", (long long)cure->more,
                    plural(cure->more), names[cure->clamp]);
      break;
    default:
      buffer_add(words->text, ", turn it a quarter on the bed");
      break;
  }
}

char *clamp_refusal_text(struct arena *arena, const struct clamp_refusal *refusal,
                         const char *const *names, enum unit unit) {
  struct words words = {arena, buffer_create(arena), unit};
  add_reason(&words, refusal);
  if (refusal->cure_count > 0)
    add_cure(&words, &refusal->cures[0], names);
  else
    buffer_add(words.text, ", give other clamps, or hold it by tape");
  return words.text->text;
}
