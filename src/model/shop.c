#include "model/shop.h"

#include <string.h>

#include "base/text.h"

const struct setting_description setting_table[] = {
#define SETTING_ROW(name, kind, mm, inch, least, most, choices, machine, meaning) \
  {#name, SETTING_##kind, mm, inch, least, most, choices, (machine) != 0, meaning},
    SETTING_LIST(SETTING_ROW)
#undef SETTING_ROW
};

/* 1 lbf = 4.448221615 N (exactly 4.4482216152605). */
#define NEWTONS_PER_POUND_FORCE INT64_C(4448221615)
#define POUND_FORCE_PLACES INT64_C(1000000000)
#define FORCE_MOST INT64_C(1000000000) /* thousandths: 1 MN */
#define COUNT_MOST INT64_C(1000000000)
#define SHARE_MOST INT64_C(10000000) /* thousandths of a percent */

int64_t *shop_value(struct shop *shop, enum setting setting) {
  switch (setting) {
#define SETTING_CASE(name, kind, mm, inch, least, most, choices, machine, meaning) \
  case SETTING_##name: \
    return &shop->name;
    SETTING_LIST(SETTING_CASE)
#undef SETTING_CASE
    case SETTING_TOTAL:
      break;
  }
  return NULL;
}

enum unit shop_unit(const struct shop *shop) { return shop->units == 0 ? UNIT_MM : UNIT_INCH; }

/* A trimmed copy without the given ending (compared case folded); *had says whether it had it. */
static char *without_ending(struct arena *arena, const char *text, const char *ending, bool *had) {
  char *copy = text_trimmed(arena, text);
  size_t length = strlen(copy), cut = strlen(ending);
  *had = length >= cut && text_equal_fold(copy + length - cut, ending);
  if (*had) copy[length - cut] = '\0';
  return copy;
}

static bool parse_percent(struct arena *arena, const char *text, bool decimal_comma, bool share,
                          int64_t *value) {
  bool percent = false;
  const char *number = without_ending(arena, text, "%", &percent);
  int decimals = share && !percent ? 5 : 3;
  return decimal_parse(number, decimal_comma, decimals, SHARE_MOST, value);
}

bool force_parse(struct arena *arena, const char *text, bool decimal_comma, int64_t *value) {
  bool pounds = false, newtons = false;
  const char *number = without_ending(arena, text, "lbf", &pounds);
  if (!pounds) number = without_ending(arena, text, "N", &newtons);
  int64_t force = 0;
  if (!decimal_parse(number, decimal_comma, 3, FORCE_MOST, &force)) return false;
  int64_t half = force < 0 ? -POUND_FORCE_PLACES / 2 : POUND_FORCE_PLACES / 2;
  if (pounds) force = (force * NEWTONS_PER_POUND_FORCE + half) / POUND_FORCE_PLACES;
  if (force > FORCE_MOST || force < -FORCE_MOST) return false;
  *value = force;
  return true;
}

/* The first `size` bytes of a choice against the whole of a word, case folded. */
static bool same_word(const char *word, size_t length, const char *choice, size_t size) {
  if (length != size || length == 0) return false;
  for (size_t i = 0; i < size; i++) {
    unsigned char a = (unsigned char)word[i], b = (unsigned char)choice[i];
    if (a >= 'A' && a <= 'Z') a |= 0x20;
    if (b >= 'A' && b <= 'Z') b |= 0x20;
    if (a != b) return false;
  }
  return true;
}

static bool parse_choice(const char *text, const char *choices, int64_t *value) {
  size_t length = 0;
  const char *word = text_trim_span(text, &length);
  for (int64_t index = 0; *choices != '\0'; index++) {
    size_t size = strcspn(choices, "|");
    if (same_word(word, length, choices, size)) {
      *value = index;
      return true;
    }
    choices += size + (choices[size] == '|' ? 1 : 0);
  }
  return false;
}

static bool parse_stages(const char *text, bool decimal_comma, int64_t *value) {
  if (parse_choice(text, "any", value)) return true;
  return decimal_parse(text, decimal_comma, 0, 9, value) && *value >= 1;
}

/* The text by the setting's form alone; its limits are looked at by the caller. */
static bool parse_form(struct arena *arena, const struct setting_description *setting,
                       const char *text, enum unit unit, bool decimal_comma, int64_t *value) {
  switch (setting->kind) {
    case SETTING_LENGTH:
      return length_parse(text, unit, decimal_comma, value) == LENGTH_FINE;
    case SETTING_COUNT:
      return decimal_parse(text, decimal_comma, 0, COUNT_MOST, value);
    case SETTING_STAGES:
      return parse_stages(text, decimal_comma, value);
    case SETTING_NUMBER:
    case SETTING_MINUTES:
      return decimal_parse(text, decimal_comma, 3, 1000 * COUNT_MOST, value);
    case SETTING_PERCENT:
      return parse_percent(arena, text, decimal_comma, false, value);
    case SETTING_SHARE:
      return parse_percent(arena, text, decimal_comma, true, value);
    case SETTING_FORCE:
      return force_parse(arena, text, decimal_comma, value);
    case SETTING_MONEY:
      return cents_parse(text, decimal_comma, value);
    case SETTING_CHOICE:
      return parse_choice(text, setting->choices, value);
  }
  return false;
}

char *words_text(struct arena *arena, const char *choices) {
  const char *last = strrchr(choices, '|');
  char *text = arena_format(arena, "%s", "");
  while (*choices != '\0') {
    size_t size = strcspn(choices, "|");
    const char *joint = choices[size] == '\0' ? "" : choices + size == last ? " or " : ", ";
    text = arena_format(arena, "%s%.*s%s", text, (int)size, choices, joint);
    choices += size + (choices[size] == '|' ? 1 : 0);
  }
  return text;
}

static const char *expected_text(struct arena *arena, const struct setting_description *setting,
                                 enum unit unit) {
  static const char *const forms[] = {[SETTING_LENGTH] = "a length",
                                      [SETTING_COUNT] = "a whole number",
                                      [SETTING_STAGES] = "a whole number from 1 to 9, or any",
                                      [SETTING_NUMBER] = "a number",
                                      [SETTING_MINUTES] = "a number of minutes",
                                      [SETTING_PERCENT] = "a percentage such as 4 or 4 %",
                                      [SETTING_SHARE] = "a share such as 0.05 or 5 %",
                                      [SETTING_FORCE] = "a force such as 30, 30 N or 7 lbf",
                                      [SETTING_MONEY] = "an amount such as 12 or 12.50"};
  if (setting->kind == SETTING_CHOICE) return words_text(arena, setting->choices);
  if (setting->kind == SETTING_STAGES) return forms[SETTING_STAGES];
  const char *example = unit == UNIT_MM ? setting->default_mm : setting->default_inch;
  bool shown = setting->kind == SETTING_LENGTH && example[0] != '\0';
  const char *least = setting->least[0] == '\0' ? "0" : setting->least;
  const char *most = setting->most;
  if (setting->kind == SETTING_LENGTH && most[0] == '\0') most = "100 m";
  return arena_format(arena, "%s%s%s, at least %s%s%s", forms[setting->kind],
                      shown ? " such as " : "", shown ? example : "", least,
                      most[0] == '\0' ? "" : " and at most ", most);
}

bool setting_parse(struct arena *arena, enum setting setting, const char *text, enum unit unit,
                   bool decimal_comma, int64_t *value, const char **expected) {
  const struct setting_description *description = &setting_table[setting];
  int64_t read = 0, least = 0, most = INT64_MAX;
  if (description->least[0] != '\0')
    (void)parse_form(arena, description, description->least, unit, false, &least);
  if (description->most[0] != '\0')
    (void)parse_form(arena, description, description->most, unit, false, &most);
  bool fits = parse_form(arena, description, text, unit, decimal_comma, &read) && read >= least &&
              read <= most;
  *expected = fits ? "" : expected_text(arena, description, unit);
  if (fits) *value = read;
  return fits;
}

void shop_set_defaults(struct arena *arena, struct shop *shop, enum unit unit) {
  memset(shop, 0, sizeof *shop);
  for (size_t i = 0; i < SETTING_TOTAL; i++) {
    enum setting setting = (enum setting)i;
    const struct setting_description *description = &setting_table[i];
    const char *text = unit == UNIT_MM ? description->default_mm : description->default_inch;
    int64_t *value = shop_value(shop, setting);
    const char *expected = NULL;
    if (text[0] == '\0') {
      *value = -1;
    } else {
      (void)setting_parse(arena, setting, text, unit, false, value, &expected);
    }
  }
  shop->units = unit == UNIT_MM ? 0 : 1;
}
