/* A plan is changed in one place and must then be refused by the check, with a message
 * that names what was changed. Plans come from files; changes are made to the parsed
 * JSON. Each program has a table of its own and calls alter_all. */
#ifndef BLANKWRIGHT_TESTS_PROOF_ALTER_H
#define BLANKWRIGHT_TESTS_PROOF_ALTER_H

#include <jansson.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "proof/proof.h"

#ifndef SOURCE_ROOT
#define SOURCE_ROOT "."
#endif

/* One plan being altered. */
struct altered {
  json_t *plan;
  double step;       /* a small length: 1 mm or 1/8 in */
  char subject[256]; /* what a message has to name; set by the alteration */
};

struct alteration {
  const char *name;
  bool (*make)(struct altered *altered); /* false: there is nothing of the kind to alter */
  const char *fault;                     /* how the message starts */
};

/* ---- reaching into a plan ---- */

static inline double number(const json_t *object, const char *key) {
  return json_number_value(json_object_get(object, key));
}

static inline const char *text(const json_t *object, const char *key) {
  const char *value = json_string_value(json_object_get(object, key));
  return value == NULL ? "" : value;
}

static inline bool flag(const json_t *object, const char *key) {
  return json_is_true(json_object_get(object, key));
}

static inline void put_number(json_t *object, const char *key, double value) {
  json_object_set_new(object, key, json_real(value));
}

static inline void add_number(json_t *object, const char *key, double value) {
  put_number(object, key, number(object, key) + value);
}

static inline void put_text(json_t *object, const char *key, const char *value) {
  json_object_set_new(object, key, json_string(value));
}

static inline void put_flag(json_t *object, const char *key, bool value) {
  json_object_set_new(object, key, json_boolean(value));
}

static inline json_t *list(const json_t *object, const char *key) {
  return json_object_get(object, key);
}

static inline bool is_wanted(const json_t *piece) {
  return strcmp(text(piece, "role"), "offcut") != 0;
}

/* The first part or blank of the plan; *stock is what it is cut from. */
static inline json_t *first_piece(const json_t *plan, const char *role, json_t **stock) {
  size_t i, j;
  json_t *entry, *piece;
  json_array_foreach(list(plan, "stock"), i, entry) {
    json_array_foreach(list(entry, "pieces"), j, piece) {
      bool fits = role == NULL ? is_wanted(piece) : strcmp(text(piece, "role"), role) == 0;
      if (!fits) continue;
      *stock = entry;
      return piece;
    }
  }
  return NULL;
}

static inline json_t *need_of(const json_t *plan, const json_t *piece) {
  size_t i;
  json_t *need;
  json_array_foreach(list(plan, "needed"), i, need) {
    if (strcmp(text(need, "part"), text(piece, "part")) == 0) return need;
  }
  return NULL;
}

/* The cut with the least (or the greatest) step of the kind; kind may be NULL. */
static inline json_t *end_cut(const json_t *stock, const char *kind, bool trim, bool last) {
  size_t i;
  json_t *cut, *best = NULL;
  json_array_foreach(list(stock, "cuts"), i, cut) {
    if (flag(cut, "trim") != trim) continue;
    if (kind != NULL && strcmp(text(cut, "kind"), kind) != 0) continue;
    bool better = best == NULL || (number(cut, "step") > number(best, "step")) == last;
    if (better) best = cut;
  }
  return best;
}

/* The first stock that has such a cut; *cut is it. */
static inline json_t *stock_with_cut(const json_t *plan, const char *kind, bool trim,
                                     json_t **cut) {
  size_t i;
  json_t *entry;
  json_array_foreach(list(plan, "stock"), i, entry) {
    *cut = end_cut(entry, kind, trim, false);
    if (*cut != NULL) return entry;
  }
  return NULL;
}

/* ---- naming the subject ---- */

static inline bool names_text(struct altered *altered, const char *value) {
  (void)snprintf(altered->subject, sizeof altered->subject, "'%s'", value);
  return true;
}

static inline bool names_piece(struct altered *altered, const json_t *piece) {
  return names_text(altered, text(piece, "name"));
}

static inline bool names_stock(struct altered *altered, const json_t *stock) {
  (void)snprintf(altered->subject, sizeof altered->subject, "'%s' copy %.0f", text(stock, "stock"),
                 number(stock, "copy"));
  return true;
}

static inline bool names_cut(struct altered *altered, const json_t *cut) {
  (void)snprintf(altered->subject, sizeof altered->subject, "cut %.0f ", number(cut, "step"));
  return true;
}

/* ---- checking ---- */

/* Whether the text is refused with a message that starts with `fault` and has `subject`. */
static inline bool refused_for(const char *plan, size_t length, const char *fault,
                               const char *subject, bool tell) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  struct diagnostics *diagnostics = diagnostics_create(arena);
  enum status status = proof_check(arena, "plan", plan, length, diagnostics, NULL);
  bool found = false;
  for (size_t i = 0; i < diagnostics->count; i++) {
    const char *message = diagnostics->items[i].text;
    if (tell) print_error("  %s\n", message);
    if (strncmp(message, fault, strlen(fault)) == 0 && strstr(message, subject) != NULL) {
      found = true;
    }
  }
  arena_destroy(arena);
  return status != STATUS_OK && found;
}

static inline bool passes(const char *plan, size_t length) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  struct diagnostics *diagnostics = diagnostics_create(arena);
  const char *summary = NULL;
  enum status status = proof_check(arena, "plan", plan, length, diagnostics, &summary);
  for (size_t i = 0; i < diagnostics->count; i++) {
    print_error("  %s\n", diagnostics->items[i].text);
  }
  bool good = status == STATUS_OK && diagnostics->count == 0 && summary != NULL;
  arena_destroy(arena);
  return good;
}

static inline json_t *load_plan(const char *file) {
  json_error_t error;
  json_t *plan = json_load_file(file, JSON_REJECT_DUPLICATES, &error);
  if (plan == NULL) print_error("%s:%d: %s\n", file, error.line, error.text);
  return plan;
}

static inline char *dump_plan(const json_t *plan) {
  char *dumped = json_dumps(plan, JSON_REAL_PRECISION(15));
  assert_non_null(dumped);
  return dumped;
}

/* True when the alteration could be made; counts it as a slip when it is not refused. */
static inline bool alter_one(const json_t *plan, const char *file,
                             const struct alteration *alteration, size_t *slips) {
  struct altered altered = {.plan = json_deep_copy(plan)};
  altered.step = strcmp(text(plan, "units"), "inch") == 0 ? 0.125 : 1;
  bool made = alteration->make(&altered);
  if (made) {
    char *dumped = dump_plan(altered.plan);
    size_t length = strlen(dumped);
    if (!refused_for(dumped, length, alteration->fault, altered.subject, false)) {
      print_error("%s: %s: no message '%s ... %s ...' but\n", file, alteration->name,
                  alteration->fault, altered.subject);
      (void)refused_for(dumped, length, alteration->fault, altered.subject, true);
      (*slips)++;
    }
    free(dumped);
  }
  json_decref(altered.plan);
  return made;
}

/* Fixtures by name; and the plan of the first demonstration, where it has been made. */
static const char *const plan_files[] = {
    SOURCE_ROOT "/tests/proof/slats-mm.json", SOURCE_ROOT "/tests/proof/trays-inch.json",
    SOURCE_ROOT "/tests/proof/rims-mm.json", SOURCE_ROOT "/reports/cribbage/plan.json"};
#define FIXTURES 3
#define PLAN_FILES (sizeof plan_files / sizeof *plan_files)

static inline bool file_exists(const char *file) {
  FILE *stream = fopen(file, "rb");
  if (stream == NULL) return false;
  (void)fclose(stream);
  return true;
}

/* Every alteration on every plan it fits. Each has to fit at least one fixture. */
static inline void alter_all(const struct alteration *alterations, size_t count) {
  size_t *made = calloc(count, sizeof *made);
  size_t slips = 0;
  assert_non_null(made);
  for (size_t i = 0; i < PLAN_FILES; i++) {
    if (i >= FIXTURES && !file_exists(plan_files[i])) continue;
    json_t *plan = load_plan(plan_files[i]);
    assert_non_null(plan);
    char *dumped = dump_plan(plan);
    assert_true(passes(dumped, strlen(dumped)));
    free(dumped);
    for (size_t j = 0; j < count; j++) {
      if (alter_one(plan, plan_files[i], &alterations[j], &slips) && i < FIXTURES) made[j]++;
    }
    json_decref(plan);
  }
  for (size_t j = 0; j < count; j++) {
    if (made[j] > 0) continue;
    print_error("%s: fits no fixture\n", alterations[j].name);
    slips++;
  }
  free(made);
  assert_int_equal(slips, 0);
}

#endif
