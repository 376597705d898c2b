/* The target of lengths, money, numbers, forces and settings: the input is one text, read as each
 * of them. What is read is printed, read again, and the same but for what printing rounds. */
#include <string.h>

#include "base/length.h"
#include "base/text.h"
#include "fuzz/fuzz.h"
#include "model/shop.h"

static length_t printed(struct arena *arena, length_t value, enum unit unit,
                        enum rounding rounding) {
  length_t again = 0;
  const char *text = length_text_unit(arena, value, unit, rounding);
  must(length_parse(text, unit == UNIT_MM ? UNIT_INCH : UNIT_MM, false, &again) == LENGTH_FINE ||
       llabs(value) > LENGTH_MAX - LENGTH_PER_INCH);
  return again;
}

static void must_print(struct arena *arena, length_t value, enum unit unit) {
  if (llabs(value) > LENGTH_MAX - LENGTH_PER_INCH) return;
  length_t step = unit == UNIT_MM ? LENGTH_PER_MM / 10 : LENGTH_PER_INCH / 32;
  length_t down = printed(arena, value, unit, ROUND_DOWN);
  length_t up = printed(arena, value, unit, ROUND_UP);
  length_t near = printed(arena, value, unit, ROUND_NEAREST);
  must(down <= value && value <= up && up - down == (value % step == 0 ? 0 : step));
  must(2 * llabs(near - value) <= step);
  bool rounded = false;
  (void)length_text(arena, value, unit, ROUND_UP, &rounded);
  must(rounded == (up != value));
}

static void try_length(struct arena *arena, const char *text) {
  for (int way = 0; way < 4; way++) {
    length_t value = INT64_MIN;
    enum unit unit = way % 2 == 0 ? UNIT_MM : UNIT_INCH;
    enum length_fault fault = length_parse(text, unit, way >= 2, &value);
    must((value == INT64_MIN) == (fault != LENGTH_FINE));
    if (fault != LENGTH_FINE) continue;
    must(value >= -LENGTH_MAX && value <= LENGTH_MAX);
    must_print(arena, value, UNIT_MM);
    must_print(arena, value, UNIT_INCH);
  }
}

static void try_money(struct arena *arena, const char *text) {
  for (int comma = 0; comma < 2; comma++) {
    cents_t value = 0, again = 0;
    if (cents_parse(text, comma == 1, &value)) {
      must(llabs(value) <= INT64_C(10000000000));
      must(cents_parse(cents_text(arena, value), false, &again) && again == value);
    }
    int64_t parts = 0, finer = 0;
    if (decimal_parse(text, comma == 1, 3, INT64_C(1000000000000000), &parts)) {
      must(llabs(parts) <= INT64_C(1000000000000000));
      must(!decimal_parse(text, comma == 1, 5, INT64_MAX / 20, &finer) || finer == 100 * parts);
    }
    int64_t force = 0;
    if (force_parse(arena, text, comma == 1, &force)) must(llabs(force) <= INT64_C(1000000000));
  }
}

static void try_settings(struct arena *arena, const char *text) {
  for (int way = 0; way < 4; way++)
    for (int s = 0; s < SETTING_TOTAL; s++) {
      int64_t value = INT64_MIN;
      const char *expected = NULL;
      enum unit unit = way % 2 == 0 ? UNIT_MM : UNIT_INCH;
      bool fits = setting_parse(arena, (enum setting)s, text, unit, way >= 2, &value, &expected);
      must(fits ? value != INT64_MIN : expected != NULL && expected[0] != '\0');
    }
}

static void try_words(struct arena *arena, const char *text) {
  size_t length = strlen(text), span = 0;
  const char *start = text_trim_span(text, &span);
  must(start >= text && start + span <= text + length);
  const char *trimmed = text_trimmed(arena, text);
  must(strlen(trimmed) == span && memcmp(trimmed, start, span) == 0);
  static const char *const names[] = {"kerf_rip", "kerf_crosscut", "trim_ends", "W1"};
  enum { NAMES = sizeof names / sizeof names[0] };
  const char *nearest = text_nearest(text, names, NAMES);
  for (size_t i = 0; i < NAMES; i++)
    if (text_equal_fold(text, names[i])) must(nearest != NULL && text_equal_fold(nearest, text));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  struct arena *arena = arena_create();
  must(arena != NULL);
  must(ARENA_TRY(arena) == STATUS_OK);
  const char *text = arena_copy_bytes(arena, (const char *)data, size);
  must(text_valid_utf8(text, size) <= size);
  try_length(arena, text);
  try_money(arena, text);
  try_settings(arena, text);
  try_words(arena, text);
  arena_destroy(arena);
  return 0;
}
