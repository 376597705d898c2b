/* Changes plans as JSON, so that most of what comes of it is still a plan: a number or text takes
 * the value of another or one nearby, a member or element is left out, told twice or put elsewhere.
 * Now and then, and where the input is no JSON, bytes are changed. */
#include <jansson.h>
#include <stdbool.h>
#include <string.h>

#include "base/random.h"
#include "fuzz/fuzz.h"

/* A value inside another: of an object by key, of an array by index. */
struct spot {
  json_t *parent;
  const char *key;
  size_t index;
  json_t *value;
};

/* One spot of many by chance, in one pass: the nth is taken with a chance of 1 in n. */
struct draw {
  uint64_t random;
  uint64_t seen;
  struct spot spot;
  int type; /* of a value sought, -1: any */
};

static uint64_t below(uint64_t *random, uint64_t most) { return random_draw(random) % most; }

static void pass(struct draw *draw, struct spot spot);

static void look_through(struct draw *draw, json_t *value) {
  const char *key = NULL;
  size_t index = 0;
  json_t *item = NULL;
  json_object_foreach(value, key, item) pass(draw, (struct spot){value, key, 0, item});
  json_array_foreach(value, index, item) pass(draw, (struct spot){value, NULL, index, item});
}

static void pass(struct draw *draw, struct spot spot) {
  bool fits = draw->type < 0 || (int)json_typeof(spot.value) == draw->type ||
              (draw->type == JSON_INTEGER && json_is_real(spot.value));
  if (fits && below(&draw->random, ++draw->seen) == 0) draw->spot = spot;
  look_through(draw, spot.value);
}

static struct spot any_spot(json_t *plan, uint64_t *random, int type) {
  struct draw draw = {.random = random_draw(random), .type = type};
  look_through(&draw, plan);
  return draw.spot;
}

static void put(const struct spot *spot, json_t *value) {
  if (spot->key != NULL)
    json_object_set_new(spot->parent, spot->key, value);
  else
    json_array_set_new(spot->parent, spot->index, value);
}

static json_t *number_near(const json_t *number, uint64_t *random) {
  static const double strange[] = {0, -1, 1, 0.001, 0.0000001, 99999.999, 1e9, 1e18, -0.5, 1e300};
  double value = json_number_value(number);
  switch (below(random, 5)) {
    case 0:
      return json_real(strange[below(random, sizeof strange / sizeof strange[0])]);
    case 1:
      return json_real(value + 1);
    case 2:
      return json_real(value - 1);
    case 3:
      return json_real(value + ((double)below(random, 21) - 10) / 10);
    default:
      return json_real(value * (double)(1 + below(random, 4)) / 2);
  }
}

/* Whole numbers as such, since counts are refused otherwise. */
static json_t *whole_where_it_is(json_t *number) {
  double value = json_real_value(number);
  if (value < -1e15 || value > 1e15 || (double)(json_int_t)value != value) return number;
  json_decref(number);
  return json_integer((json_int_t)value);
}

static void replace(const struct spot *spot, json_t *plan, uint64_t *random) {
  int type = (int)json_typeof(spot->value);
  if (json_is_number(spot->value) && below(random, 2) == 0) {
    put(spot, whole_where_it_is(number_near(spot->value, random)));
    return;
  }
  if (json_is_boolean(spot->value)) {
    put(spot, json_boolean(!json_is_true(spot->value)));
    return;
  }
  struct spot other = any_spot(plan, random, type == JSON_REAL ? JSON_INTEGER : type);
  if (other.value != NULL) put(spot, json_deep_copy(other.value));
}

static void leave_out(const struct spot *spot) {
  if (spot->key != NULL)
    json_object_del(spot->parent, spot->key);
  else
    json_array_remove(spot->parent, spot->index);
}

static void change(json_t *plan, uint64_t *random) {
  struct spot spot = any_spot(plan, random, below(random, 2) == 0 ? JSON_INTEGER : -1);
  if (spot.value == NULL) return;
  switch (below(random, 8)) {
    case 0:
      leave_out(&spot);
      return;
    case 1:
      if (spot.key == NULL)
        json_array_insert_new(spot.parent, spot.index, json_deep_copy(spot.value));
      return;
    case 2: {
      struct spot other = any_spot(plan, random, -1);
      put(&spot, json_deep_copy(other.value));
      return;
    }
    default:
      replace(&spot, plan, random);
  }
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned seed) {
  uint64_t random = seed;
  json_error_t error;
  json_t *plan = below(&random, 16) == 0 ? NULL : json_loadb((const char *)data, size, 0, &error);
  if (plan == NULL) return LLVMFuzzerMutate(data, size, most);
  for (uint64_t changes = 1 + below(&random, 3); changes > 0; changes--) change(plan, &random);
  size_t length = json_dumpb(plan, (char *)data, most, JSON_COMPACT);
  json_decref(plan);
  if (length == 0 || length > most) return LLVMFuzzerMutate(data, size < most ? size : most, most);
  return length;
}
