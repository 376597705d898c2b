#include "what_if.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

/* "NAME=VALUE" cut in two; false where there is no name or no value. */
static bool split(struct arena *arena, const char *text, char **name, const char **value) {
  const char *equals = strrchr(text, '=');
  if (equals == NULL || equals == text || equals[1] == '\0') return false;
  *name = arena_copy_bytes(arena, text, (size_t)(equals - text));
  *value = equals + 1;
  return true;
}

static enum status refuse(struct diagnostics *diagnostics, const char *option, const char *text,
                          const char *expected) {
  diagnostics_add(diagnostics, SEVERITY_ERROR, NULL, "%s was given '%s', expected %s", option, text,
                  expected);
  return STATUS_BAD_INPUT;
}

static enum status unknown(struct arena *arena, const struct project *project, const char *option,
                           const char *name, struct diagnostics *diagnostics) {
  const char **names =
      ARENA_ARRAY(arena, project->stock_count + project->bought_count, const char *);
  size_t count = 0;
  for (size_t s = 0; s < project->stock_count; s++) names[count++] = project->stocks[s].name;
  for (size_t b = 0; b < project->bought_count; b++) names[count++] = project->bought[b].name;
  const char *nearest = text_nearest(name, names, count);
  diagnostics_add(diagnostics, SEVERITY_ERROR, NULL,
                  "%s names '%s', which is no item of the project%s%s%s", option, name,
                  nearest == NULL ? "" : ", did you mean '", nearest == NULL ? "" : nearest,
                  nearest == NULL ? "" : "'?");
  return STATUS_BAD_INPUT;
}

/* ---- prices ---- */

/* "+10%", "-5 %", "10": percent. */
static bool read_percent(const char *text, double *percent) {
  char *end = NULL;
  errno = 0;
  *percent = strtod(text, &end);
  while (*end == ' ') end++;
  if (*end == '%') end++;
  return end != text && *end == '\0' && errno == 0 && isfinite(*percent) && *percent >= -100 &&
         *percent <= 100000;
}

static cents_t changed(cents_t price, double percent) {
  return (cents_t)llround((double)price * (100 + percent) / 100);
}

static enum status change_price(struct arena *arena, struct project *project, const char *text,
                                struct diagnostics *diagnostics) {
  static const char option[] = "--price-change";
  char *name = NULL;
  const char *value = NULL;
  double percent = 0;
  bool found = false;
  if (!split(arena, text, &name, &value) || !read_percent(value, &percent))
    return refuse(diagnostics, option, text, "an item and a change such as Y1=+10%");
  for (size_t s = 0; s < project->stock_count; s++) {
    struct stock *stock = &project->stocks[s];
    if (stock->source != SOURCE_YARD || !text_equal_fold(stock->name, name)) continue;
    stock->value = changed(stock->value, percent);
    stock->price = changed(stock->price, percent);
    found = true;
  }
  for (size_t b = 0; b < project->bought_count; b++) {
    if (!text_equal_fold(project->bought[b].name, name)) continue;
    project->bought[b].price = changed(project->bought[b].price, percent);
    found = true;
  }
  return found ? STATUS_OK : unknown(arena, project, option, name, diagnostics);
}

/* ---- stock ---- */

enum { MOST_ADDED = 100000 };

static enum status add_stock(struct arena *arena, struct project *project, const char *text,
                             struct diagnostics *diagnostics) {
  static const char option[] = "--add";
  char *name = NULL, *end = NULL;
  const char *value = NULL;
  if (!split(arena, text, &name, &value))
    return refuse(diagnostics, option, text, "a stock and a number of pieces such as W1=1");
  long added = strtol(value, &end, 10);
  if (*end != '\0' || added < 1 || added > MOST_ADDED)
    return refuse(diagnostics, option, text, "a stock and a number of pieces such as W1=1");
  for (size_t s = 0; s < project->stock_count; s++) {
    struct stock *stock = &project->stocks[s];
    if (!text_equal_fold(stock->name, name)) continue;
    if (stock->count >= 0) stock->count += added;
    return STATUS_OK;
  }
  return unknown(arena, project, option, name, diagnostics);
}

enum status what_if_apply(struct arena *arena, struct project *project,
                          const struct what_if *what_if, struct diagnostics *diagnostics) {
  enum status status = STATUS_OK;
  if (what_if->price_change != NULL)
    status = change_price(arena, project, what_if->price_change, diagnostics);
  if (status == STATUS_OK && what_if->add != NULL)
    status = add_stock(arena, project, what_if->add, diagnostics);
  for (size_t s = 0; what_if->rack_only && s < project->stock_count; s++)
    if (project->stocks[s].source == SOURCE_YARD) project->stocks[s].count = 0;
  return status;
}
