/* The check on broken files: cut off anywhere, any value of a wrong type or size, any
 * key missing. Never a crash; refused, or right all the same. */
#include "proof/alter.h"

static enum status judge(const char *plan, size_t length) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  struct diagnostics *diagnostics = diagnostics_create(arena);
  const char *summary = NULL;
  enum status status = proof_check(arena, "plan", plan, length, diagnostics, &summary);
  assert_true((status == STATUS_OK) == (diagnostics->errors == 0));
  assert_true((status == STATUS_OK) == (summary != NULL));
  assert_true(diagnostics->count <= 100);
  arena_destroy(arena);
  return status;
}

static enum status judge_json(const json_t *plan) {
  char *dumped = dump_plan(plan);
  enum status status = judge(dumped, strlen(dumped));
  free(dumped);
  return status;
}

/* A copy of exactly the length, so that reading past it is seen by a sanitizer. */
static void test_cut_off_anywhere(void **state) {
  (void)state;
  for (size_t i = 0; i < FIXTURES; i++) {
    json_t *plan = load_plan(plan_files[i]);
    char *dumped = dump_plan(plan);
    for (size_t length = 0; length < strlen(dumped); length += 1 + length / 64) {
      char *cut_off = malloc(length + 1);
      assert_non_null(cut_off);
      memcpy(cut_off, dumped, length);
      assert_int_equal(judge(cut_off, length), STATUS_BAD_INPUT);
      free(cut_off);
    }
    free(dumped);
    json_decref(plan);
  }
}

/* Values put in place of every value of the plan, each of which is wrong in most places. */
static json_t *strange_value(int which) {
  switch (which) {
    case 0:
      return json_null();
    case 1:
      return json_string("");
    case 2:
      return json_string("\n'\"<&>=1+1");
    case 3:
      return json_integer(-1);
    case 4:
      return json_integer(INT64_MAX);
    case 5:
      return json_real(1e300);
    case 6:
      return json_real(0.1234567);
    case 7:
      return json_true();
    case 8:
      return json_array();
    case 9:
      return json_object();
    case 10:
      return json_integer(0);
    case 11:
      return json_real(100000);
    default:
      return NULL;
  }
}

struct tally {
  const json_t *plan;
  size_t tried, passed;
};

static void try_all_values(struct tally *tally, json_t *parent, const char *key, size_t index) {
  bool in_list = key == NULL;
  json_t *kept = in_list ? json_array_get(parent, index) : json_object_get(parent, key);
  json_incref(kept);
  json_t *strange = NULL;
  for (int which = 0; (strange = strange_value(which)) != NULL; which++) {
    if (in_list) {
      json_array_set_new(parent, index, strange);
    } else {
      json_object_set_new(parent, key, strange);
    }
    tally->tried++;
    if (judge_json(tally->plan) == STATUS_OK) tally->passed++;
  }
  if (in_list) {
    json_array_set_new(parent, index, kept);
  } else {
    json_object_set_new(parent, key, kept);
  }
}

/* Goes through every value, but of long lists only through the first and the last. */
static void walk(struct tally *tally, json_t *value) {
  if (json_is_array(value)) {
    size_t size = json_array_size(value);
    for (size_t i = 0; i < size; i += i + 1 < size ? size - 1 : 1) {
      try_all_values(tally, value, NULL, i);
      walk(tally, json_array_get(value, i));
    }
  } else if (json_is_object(value)) {
    size_t size = json_object_size(value), count = 0;
    const char **keys = calloc(size + 1, sizeof *keys);
    assert_non_null(keys);
    const char *key;
    json_t *member;
    json_object_foreach(value, key, member) keys[count++] = key;
    for (size_t i = 0; i < count; i++) {
      try_all_values(tally, value, keys[i], 0);
      walk(tally, json_object_get(value, keys[i]));
    }
    free(keys);
  }
}

static void test_strange_values(void **state) {
  (void)state;
  for (size_t i = 0; i < FIXTURES; i++) {
    json_t *plan = load_plan(plan_files[i]);
    struct tally tally = {.plan = plan};
    walk(&tally, plan);
    assert_true(tally.tried > 1000);
    /* Few values are as good as another: a project's name, an unused limit, a note. */
    assert_true(tally.passed * 20 < tally.tried);
    assert_int_equal(judge_json(plan), STATUS_OK);
    json_decref(plan);
  }
}

/* ---- the schema and the check want the same keys ---- */

static json_t *resolve(json_t *schema, json_t *at, const json_t *value) {
  const char *reference = text(at, "$ref");
  const char *stem = "#/$defs/";
  if (strncmp(reference, stem, strlen(stem)) == 0) {
    return resolve(schema, list(list(schema, "$defs"), reference + strlen(stem)), value);
  }
  size_t i;
  json_t *choice;
  json_array_foreach(list(at, "oneOf"), i, choice) {
    json_t *chosen = resolve(schema, choice, value);
    if (strcmp(text(list(list(chosen, "properties"), "role"), "const"), text(value, "role")) == 0) {
      return chosen;
    }
  }
  return at;
}

static bool requires(const json_t *at, const char *key) {
  size_t i;
  json_t *name;
  json_array_foreach(list(at, "required"), i, name) {
    if (strcmp(json_string_value(name), key) == 0) return true;
  }
  return false;
}

static size_t compare_keys(const json_t *plan, json_t *schema, json_t *at, json_t *value);

static size_t drop_each_key(const json_t *plan, json_t *schema, json_t *at, json_t *object) {
  size_t compared = 0;
  const char *key;
  json_t *part;
  json_object_foreach(list(at, "properties"), key, part) {
    json_t *kept = json_incref(json_object_get(object, key));
    if (kept == NULL) {
      assert_false(requires(at, key));
      continue;
    }
    json_object_del(object, key);
    bool refused = judge_json(plan) != STATUS_OK;
    if (refused != requires(at, key)) print_error("key '%s'\n", key);
    assert_true(refused == requires(at, key));
    json_object_set_new(object, key, kept);
    compared += 1 + compare_keys(plan, schema, part, kept);
  }
  return compared;
}

/* Every key of the schema below `at`, in the first element of each list. */
static size_t compare_keys(const json_t *plan, json_t *schema, json_t *at, json_t *value) {
  at = resolve(schema, at, value);
  if (json_is_array(value) && json_array_size(value) > 0) {
    return compare_keys(plan, schema, list(at, "items"), json_array_get(value, 0));
  }
  if (!json_is_object(value)) return 0;
  json_object_set_new(value, "another key", json_null());
  assert_int_equal(judge_json(plan), STATUS_OK);
  size_t compared = drop_each_key(plan, schema, at, value);
  json_object_del(value, "another key");
  return compared;
}

static void test_schema_and_check_agree_on_keys(void **state) {
  (void)state;
  json_t *schema = load_plan(SOURCE_ROOT "/tests/plan.schema.json");
  assert_non_null(schema);
  for (size_t i = 0; i < FIXTURES; i++) {
    json_t *plan = load_plan(plan_files[i]);
    assert_true(compare_keys(plan, schema, schema, plan) > 70);
    json_decref(plan);
  }
  json_t *loads = load_plan(SOURCE_ROOT "/tests/proof/pegs-mm.json"); /* with clamps and tabs */
  json_t *at = list(list(schema, "properties"), "loads");
  assert_true(compare_keys(loads, schema, at, list(loads, "loads")) > 30);
  json_decref(loads);
  json_decref(schema);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_cut_off_anywhere),
      cmocka_unit_test(test_strange_values),
      cmocka_unit_test(test_schema_and_check_agree_on_keys),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
