#include "project_making.h"

#include <string.h>

bool making_chance(struct making *making, int parts, int whole) {
  return random_chance(making->source, parts, whole);
}

int64_t making_between(struct making *making, int64_t low, int64_t high) {
  return random_between(making->source, low, high);
}

const char *making_pick(struct making *making, const char *const *words, size_t count) {
  return words[making_between(making, 0, (int64_t)count - 1)];
}

struct text_table *making_file(struct making *making, const char *name, const char *header) {
  static const char delimiters[] = {',', ',', ';', '\t'};
  struct text_table *table = &making->project->files[making->project->file_count++];
  text_table_start(making->arena, table, name, header);
  table->delimiter = delimiters[making_between(making, 0, 3)];
  table->crlf = making_chance(making, 1, 5);
  table->byte_order_mark = making_chance(making, 1, 8);
  table->manner = random_next(making->source);
  return table;
}

struct filling making_row(struct making *making, struct text_table *table) {
  return (struct filling){making, table, text_table_row(making->arena, table)};
}

/* Steps of lengths: the first of each unit are such as stand on a rule. */
enum { COARSE_STEPS = 6, STEPS = 10 };
static const length_t metric_steps[STEPS] = {
    MM(10), MM(10), MM(5),      MM(5),        MM(5),
    MM(1),  MM(1),  MM(1) / 10, MM(1) / 1000, LENGTH_PER_INCH / 64};
static const length_t imperial_steps[STEPS] = {
    LENGTH_PER_INCH,      LENGTH_PER_INCH / 2, LENGTH_PER_INCH / 2,  LENGTH_PER_INCH / 4,
    LENGTH_PER_INCH / 4,  LENGTH_PER_INCH / 8, LENGTH_PER_INCH / 16, LENGTH_PER_INCH / 32,
    LENGTH_PER_INCH / 64, MM(1) / 1000};

length_t making_length(struct making *making, int64_t low, int64_t high) {
  const length_t *steps = making->unit == UNIT_MM ? metric_steps : imperial_steps;
  length_t step = steps[making_between(making, 0, making->fine ? STEPS - 1 : COARSE_STEPS - 1)];
  while (step > MM(1) / 4 && MM(high) / step - MM(low) / step < 3) step /= 2;
  if (step % (MM(1) / 1000) != 0 && step % (LENGTH_PER_INCH / 64) != 0) step = MM(1) / 2;
  return step * making_between(making, (MM(low) + step - 1) / step, MM(high) / step);
}

void fill_text(struct filling *filling, const char *column, const char *text) {
  text_table_set(filling->table, filling->row, column, text);
}

/* Only where no comma parts the cells. */
static bool takes_comma(const struct filling *filling) {
  return filling->table->delimiter != ',' && making_chance(filling->making, 1, 2);
}

const char *filled_length(struct filling *filling, length_t value) {
  struct making *making = filling->making;
  return text_of_length(making->arena, making->source, value, making->unit, takes_comma(filling));
}

void fill_length(struct filling *filling, const char *column, length_t value) {
  fill_text(filling, column, filled_length(filling, value));
}

void fill_number(struct filling *filling, const char *column, int64_t number, int decimals) {
  fill_text(filling, column,
            text_of_decimal(filling->making->arena, number, decimals, takes_comma(filling)));
}

void fill_word(struct filling *filling, const char *column, const char *words) {
  size_t count = 1;
  for (const char *at = words; *at != '\0'; at++)
    if (*at == '|') count++;
  int64_t chosen = making_between(filling->making, 0, (int64_t)count - 1);
  for (; chosen > 0; chosen--) words = strchr(words, '|') + 1;
  fill_text(filling, column, arena_copy_bytes(filling->making->arena, words, strcspn(words, "|")));
}

void fill_note(struct filling *filling, const char *column) {
  static const char *const notes[] = {"",
                                      "",
                                      "",
                                      "",
                                      "=1+1",
                                      "<b>&amp;",
                                      "a, b; c",
                                      "6\" wide",
                                      "two\nlines",
                                      "caf\xC3\xA9 \xE2\x80\x9Cquoted\xE2\x80\x9D",
                                      "--> ]]>",
                                      "@home",
                                      "\xF0\x9F\xAA\xB5"};
  fill_text(filling, column, making_pick(filling->making, notes, sizeof notes / sizeof *notes));
}
