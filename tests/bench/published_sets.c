#include "published_sets.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY_ROOM = 256 };

static const char *const names[QUESTIONS] = {"KO", "KR", "OG", "RG", "OF", "RF"};

const char *question_name(enum question question) { return names[question]; }

bool question_find(const char *name, enum question *question) {
  for (int q = 0; q < QUESTIONS; q++) {
    if (strcmp(names[q], name) != 0) continue;
    *question = (enum question)q;
    return true;
  }
  return false;
}

bool question_is_knapsack(enum question question) {
  return question == ASK_KO || question == ASK_KR;
}

bool question_turns(enum question question) {
  return question == ASK_KR || question == ASK_RG || question == ASK_RF;
}

bool question_is_free(enum question question) { return question == ASK_OF || question == ASK_RF; }

/* The stated budgets, in thousands of steps; 0: not asked. Steps of the pricing (K), of the
 * whole optimiser (G) and of the free packing (F) are different work. */
struct set_entry {
  const char *name;
  int64_t budget[QUESTIONS]; /* KO, KR, OG, RG, OF, RF */
};

#define MILLION INT64_C(1000) /* in thousands */

static const struct set_entry entries[] = {
    {"GCUT", {4000 * MILLION, 4000 * MILLION, 0, 0, 0, 0}},
    {"FHZ", {4000 * MILLION, 4000 * MILLION, 0, 0, 0, 0}},
    {"CGCUT", {320 * MILLION, 0, 0, 0, 0, 0}},
    {"G2KP", {350 * MILLION, 0, 1600 * MILLION, 0, 0, 0}},
    {"A43", {0, 0, 8000 * MILLION, 3800 * MILLION, 0, 0}},
    {"CINTRA_1BIN", {0, 0, 4000 * MILLION, 4000 * MILLION, 0, 0}},
    {"CINTRA_3BIN", {0, 0, 2000 * MILLION, 2000 * MILLION, 0, 0}},
    {"CLASS", {0, 0, 3000 * MILLION, 3000 * MILLION, 850 * MILLION, 850 * MILLION}},
    {"HT2001b", {0, 0, 10000 * MILLION, 0, 0, 0}},
    {"MHMM_DEFECT", {190 * MILLION, 0, 0, 0, 0, 0}},
};

/* Of sets that do not stand above. */
static const struct set_entry other = {
    NULL, {40 * MILLION, 40 * MILLION, 60 * MILLION, 60 * MILLION, 200 * MILLION, 200 * MILLION}};

static const struct set_entry *find_entry(const char *set) {
  for (size_t i = 0; i < sizeof entries / sizeof entries[0]; i++)
    if (strcmp(entries[i].name, set) == 0) return &entries[i];
  return NULL;
}

/* One sheet to be filled with the most value: items without end, values of their own, or one
 * piece of the only sheet. */
static bool looks_like_knapsack(const struct instance *instance) {
  bool valued = false;
  for (size_t i = 0; i < instance->item_count; i++) {
    const struct instance_item *item = &instance->items[i];
    if (item->demand < 0) return true;
    valued = valued || item->value != item->width * item->height;
  }
  return instance->sheet_count == 1 && (valued || instance->sheets[0].count == 1);
}

static bool has_all_demands(const struct instance *instance) {
  for (size_t i = 0; i < instance->item_count; i++)
    if (instance->items[i].demand < 0) return false;
  return true;
}

bool set_asks(const char *set, const struct instance *instance, enum question question,
              bool wanted) {
  bool knapsack = question_is_knapsack(question);
  if (!knapsack && !has_all_demands(instance)) return false;
  if (!knapsack && question_is_free(question) && instance->defect_count > 0) return false;
  if (wanted) return true;
  const struct set_entry *entry = find_entry(set);
  if (entry != NULL) return entry->budget[question] > 0;
  return knapsack == looks_like_knapsack(instance) && !question_is_free(question);
}

int64_t set_budget(const char *set, enum question question) {
  const struct set_entry *entry = find_entry(set);
  if (entry == NULL || entry->budget[question] == 0) entry = &other;
  return entry->budget[question];
}

/* Where a table holds the answers without and with turning; a column of -1 has none. */
struct best_table {
  const char *set;
  bool knapsack;
  const char *file;
  int fixed, turning;
  bool set_in_key;
};

static const struct best_table tables[] = {
    {"GCUT", true, "best/gcut_unconstrained.csv", 1, 2, false},
    {"FHZ", true, "best/unconstrained_dp.csv", 2, 3, true},
    {"CGCUT", true, "best/g2kp_knapsack_optimum.csv", 1, -1, false},
    {"G2KP", true, "best/g2kp_knapsack_optimum.csv", 1, -1, false},
    {"G2KP", false, "best/g2kp_all_demands_sheets.csv", 5, -1, false},
    {"A43", false, "best/a43_sheets.csv", 1, 4, false},
    {"CINTRA_1BIN", false, "best/cintra_1bin_sheets.csv", 1, -1, false},
};

/* A name such as CLASS03_040_01 is "3,40,1" in the table. */
static bool class_best(const char *name, enum question question, int64_t *best) {
  static const int column[QUESTIONS] = {[ASK_OF] = 5, [ASK_RF] = 7, [ASK_OG] = 9, [ASK_RG] = 11};
  char key[KEY_ROOM];
  char *end = NULL;
  if (column[question] == 0 || strncmp(name, "CLASS", 5) != 0) return false;
  long class = strtol(name + 5, &end, 10);
  if (*end != '_') return false;
  long items = strtol(end + 1, &end, 10);
  if (*end != '_') return false;
  long number = strtol(end + 1, &end, 10);
  if (*end != '\0') return false;
  snprintf(key, sizeof key, "%ld,%ld,%ld", class, items, number);
  return instance_best("best/2bp_class_instances.csv", key, column[question], best);
}

/* Where both are known, a plan without turning is also one with turning. */
static bool table_best(const struct best_table *table, const char *key, bool turning,
                       int64_t *best) {
  int64_t fixed = 0;
  if (!instance_best(table->file, key, turning ? table->turning : table->fixed, best)) return false;
  if (!turning || !instance_best(table->file, key, table->fixed, &fixed)) return true;
  if (table->knapsack ? fixed > *best : fixed < *best) *best = fixed;
  return true;
}

bool set_best(const char *set, const char *name, enum question question, int64_t *best) {
  if (strcmp(set, "CLASS") == 0) return class_best(name, question, best);
  if (question_is_free(question)) return false;
  for (size_t i = 0; i < sizeof tables / sizeof tables[0]; i++) {
    const struct best_table *table = &tables[i];
    if (strcmp(table->set, set) != 0 || table->knapsack != question_is_knapsack(question)) continue;
    if (question_turns(question) && table->turning < 0) return false;
    char key[KEY_ROOM];
    snprintf(key, sizeof key, "%s%s%s", table->set_in_key ? set : "", table->set_in_key ? "," : "",
             name);
    return table_best(table, key, question_turns(question), best);
  }
  return false;
}

bool set_best_use(const char *set, const char *name, size_t *class_length, double *percent) {
  char key[KEY_ROOM];
  for (size_t length = strlen(name); length > 0; length--) {
    snprintf(key, sizeof key, "%s,%.*s", set, (int)length, name);
    if (!instance_best_decimal("best/ht2001b_utilisation.csv", key, 2, percent)) continue;
    *class_length = length;
    return true;
  }
  return false;
}
