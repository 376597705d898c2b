#include <inttypes.h>
#include <math.h>

#include "write/price.h"
#include "write/safe_text.h"

const char *price_hours(struct arena *arena, int64_t minutes) {
  return decimal_text(arena, (minutes + 300) / 600, 2);
}

cents_t price_cents(double cents) { return llround(cents); }

const char *price_sets(struct arena *arena, int64_t sets) {
  return arena_format(arena, "%" PRId64 " set%s", sets, sets == 1 ? "" : "s");
}

const struct price_plateau *price_plateau_of(const struct price_table *table, int64_t sets) {
  for (size_t i = 0; i < table->plateau_count; i++)
    if (table->plateaus[i].first <= sets && sets <= table->plateaus[i].last)
      return &table->plateaus[i];
  return NULL;
}

const struct price_crossing *price_crossing_at(const struct price_table *table, int64_t sets) {
  for (size_t i = 0; i < table->crossing_count; i++)
    if (table->crossings[i].sets == sets) return &table->crossings[i];
  return NULL;
}

const char *price_plateau_words(struct arena *arena, const struct price_plateau *plateau) {
  int64_t next = plateau->first + 1;
  if (plateau->last == next)
    return arena_format(arena, "%s need%s no more wood than %" PRId64, price_sets(arena, next),
                        next == 1 ? "s" : "", plateau->first);
  return arena_format(arena, "%" PRId64 " %s %" PRId64 " sets need no more wood than %" PRId64,
                      next, plateau->last == next + 1 ? "and" : "to", plateau->last,
                      plateau->first);
}
