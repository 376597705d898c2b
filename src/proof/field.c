#include "proof/field.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

const char *spot_text(const struct spot *spot) {
  struct arena *arena = spot->proof->arena;
  if (spot->above == NULL) return "the plan";
  const char *self = spot->name != NULL
                         ? arena_format(arena, "%s '%s'", spot->what, spot->name)
                         : arena_format(arena, "%s %zu", spot->what, spot->index + 1);
  if (spot->above->above == NULL) return self;
  return arena_format(arena, "%s of %s", self, spot_text(spot->above));
}

static const char *type_text(const json_t *value) {
  switch (json_typeof(value)) {
    case JSON_OBJECT:
      return "an object";
    case JSON_ARRAY:
      return "a list";
    case JSON_STRING:
      return "a text";
    case JSON_INTEGER:
    case JSON_REAL:
      return "a number";
    case JSON_TRUE:
    case JSON_FALSE:
      return "true or false";
    case JSON_NULL:
      break;
  }
  return "null";
}

static void wrong_type(const struct spot *spot, const char *key, const json_t *value,
                       const char *expected) {
  proof_fault(spot->proof, "wrong type: key '%s' of %s is %s, expected %s", key, spot_text(spot),
              type_text(value), expected);
}

static const json_t *need_key(const struct spot *spot, const char *key) {
  const json_t *value = json_object_get(spot->object, key);
  if (value == NULL) proof_fault(spot->proof, "missing key: '%s' of %s", key, spot_text(spot));
  return value;
}

bool spot_open(struct spot *spot, const struct spot *above, const char *what, const json_t *list,
               size_t index, const char *name_key) {
  const json_t *object = json_array_get(list, index);
  *spot = (struct spot){above->proof, above, what, NULL, index, object};
  if (!json_is_object(object)) {
    proof_fault(spot->proof, "wrong type: %s is %s, expected an object", spot_text(spot),
                type_text(object));
    return false;
  }
  if (name_key != NULL) spot->name = json_string_value(json_object_get(object, name_key));
  return true;
}

bool spot_enter(struct spot *spot, const struct spot *above, const char *key) {
  const json_t *object = need_key(above, key);
  if (object == NULL) return false;
  *spot = (struct spot){above->proof, above, "object", key, 0, object};
  if (json_is_object(object)) return true;
  wrong_type(above, key, object, "an object");
  return false;
}

static bool read_number(const struct spot *spot, const char *key, const char *expected,
                        double *number) {
  const json_t *value = need_key(spot, key);
  if (value == NULL) return false;
  if (!json_is_number(value)) {
    wrong_type(spot, key, value, expected);
    return false;
  }
  *number = json_number_value(value);
  return true;
}

/* A number that is whole within `slack` after scaling; the limits are of the scaled one. */
static bool read_whole(const struct spot *spot, const char *key, const char *expected, double scale,
                       double slack, int64_t least, int64_t most, int64_t *whole) {
  double number = 0;
  if (!read_number(spot, key, expected, &number)) return false;
  double scaled = number * scale;
  if (!isfinite(scaled) || scaled < (double)least - slack || scaled > (double)most + slack) {
    proof_fault(spot->proof,
                "out of range: key '%s' of %s is %.10g, expected %s from %.10g to %.10g", key,
                spot_text(spot), number, expected, (double)least / scale, (double)most / scale);
    return false;
  }
  if (fabs(scaled - nearbyint(scaled)) > slack) {
    proof_fault(spot->proof, "not exact: key '%s' of %s is %.10g, expected %s", key,
                spot_text(spot), number, expected);
    return false;
  }
  *whole = (int64_t)nearbyint(scaled);
  return true;
}

length_t field_length(const struct spot *spot, const char *key, length_t least) {
  bool inch = spot->proof->unit == UNIT_INCH;
  double scale = (double)(inch ? LENGTH_PER_INCH : LENGTH_PER_MM);
  const char *expected =
      inch ? "a length in inches of whole 1/8000 mm" : "a length in mm of whole 1/8000 mm";
  int64_t whole = 0;
  (void)read_whole(spot, key, expected, scale, 0.01, least, LENGTH_MAX, &whole);
  return whole;
}

int64_t field_count(const struct spot *spot, const char *key, int64_t least) {
  int64_t whole = 0;
  (void)read_whole(spot, key, "a whole number", 1, 0, least, COUNT_MAX, &whole);
  return whole;
}

cents_t field_money(const struct spot *spot, const char *key) {
  int64_t whole = 0;
  (void)read_whole(spot, key, "an amount of whole cents", 100, 0.01, 0, MONEY_MAX, &whole);
  return whole;
}

cents_t field_gain(const struct spot *spot, const char *key) {
  int64_t whole = 0;
  (void)read_whole(spot, key, "an amount of whole cents", 100, 0.01, -MONEY_MAX, MONEY_MAX, &whole);
  return whole;
}

int64_t field_thousandths(const struct spot *spot, const char *key) {
  int64_t whole = 0;
  (void)read_whole(spot, key, "a number of whole thousandths", 1000, 0.001, 0, COUNT_MAX, &whole);
  return whole;
}

int64_t field_minutes(const struct spot *spot, const char *key) {
  int64_t whole = 0;
  (void)read_whole(spot, key, "a number of whole thousandths", 1000, 0.01, 0, MINUTES_MAX, &whole);
  return whole;
}

double field_decimal(const struct spot *spot, const char *key, double least, double most) {
  double number = 0;
  if (!read_number(spot, key, "a number", &number)) return 0;
  if (number >= least && number <= most) return number;
  proof_fault(spot->proof, "out of range: key '%s' of %s is %.10g, expected %.10g to %.10g", key,
              spot_text(spot), number, least, most);
  return 0;
}

bool field_flag(const struct spot *spot, const char *key) {
  const json_t *value = need_key(spot, key);
  if (value != NULL && !json_is_boolean(value)) wrong_type(spot, key, value, "true or false");
  return json_is_true(value);
}

const char *field_any_text(const struct spot *spot, const char *key) {
  const json_t *value = need_key(spot, key);
  if (value == NULL) return "";
  if (json_is_string(value)) return arena_copy_text(spot->proof->arena, json_string_value(value));
  wrong_type(spot, key, value, "a text");
  return "";
}

const char *field_text(const struct spot *spot, const char *key) {
  size_t faults = spot->proof->faults;
  const char *text = field_any_text(spot, key);
  if (text[0] == '\0' && faults == spot->proof->faults) {
    proof_fault(spot->proof, "empty text: key '%s' of %s", key, spot_text(spot));
  }
  return text;
}

int field_word(const struct spot *spot, const char *key, const char *words) {
  const json_t *value = need_key(spot, key);
  if (value == NULL) return 0;
  if (!json_is_string(value)) {
    wrong_type(spot, key, value, words);
    return 0;
  }
  const char *text = json_string_value(value);
  const char *word = words;
  for (int place = 0;; place++) {
    size_t length = strcspn(word, "|");
    if (strlen(text) == length && memcmp(text, word, length) == 0) return place;
    if (word[length] == '\0') break;
    word += length + 1;
  }
  proof_fault(spot->proof, "unknown word '%s': key '%s' of %s, expected %s", text, key,
              spot_text(spot), words);
  return 0;
}

const json_t *field_list(const struct spot *spot, const char *key) {
  const json_t *value = need_key(spot, key);
  if (value == NULL || json_is_array(value)) return value;
  wrong_type(spot, key, value, "a list");
  return NULL;
}

bool field_present(const struct spot *spot, const char *key) {
  return json_object_get(spot->object, key) != NULL;
}
