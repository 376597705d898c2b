#include "read/cell.h"

#include <string.h>

#include "base/text.h"
#include "read/faults.h"

static const char length_form[] = "a number with an optional unit such as 140, 5-1/2\" or 14 cm";

bool cell_empty(const struct table *table, size_t column) {
  return table_cell(table, column)[0] == '\0';
}

/* What an empty cell comes to. A column that is missing has been reported once. */
static bool accept_empty(struct table *table, size_t column, enum need need, const char *expected) {
  if (need == OPTIONAL) return true;
  if (table_has(table, column)) table_fault(table, column, "empty cell, expected %s", expected);
  return false;
}

static const char *shown(struct table *table, size_t column) {
  return text_shown(table_arena(table), table_cell(table, column));
}

const char *comma_hint(const char *text, bool decimal_comma) {
  return strchr(text, ',') != NULL && !decimal_comma ? ", decimals behind a point" : "";
}

/* The signs between cent and yen of Latin-1, and those of the currency block of Unicode. */
const char *currency_hint(const char *text) {
  static const char *const signs[] = {"$",        "\xC2\xA2", "\xC2\xA3",
                                      "\xC2\xA4", "\xC2\xA5", "\xE2\x82"};
  for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++)
    if (strstr(text, signs[i]) != NULL) return ", without a currency sign";
  return "";
}

static bool length_fault(struct table *table, size_t column, enum length_fault fault) {
  const char *text = shown(table, column);
  switch (fault) {
    case LENGTH_FINE:
      return true;
    case LENGTH_NOT_A_LENGTH:
      table_fault(table, column, "'%s' is no length, expected %s%s", text, length_form,
                  comma_hint(table_cell(table, column), table_decimal_comma(table)));
      break;
    case LENGTH_NOT_WHOLE:
      table_fault(table, column,
                  "'%s' is too fine a length, expected a whole number of 0.001 mm or 1/64 in",
                  text);
      break;
    case LENGTH_TOO_LARGE:
      table_fault(table, column, "'%s' is too long, expected at most 100 m", text);
      break;
  }
  return false;
}

bool cell_length(struct reader *reader, struct table *table, size_t column, enum need need,
                 enum span span, length_t *value) {
  const char *text = table_cell(table, column);
  if (text[0] == '\0') return accept_empty(table, column, need, length_form);
  length_t length = 0;
  enum length_fault fault = length_parse(text, reader->unit, table_decimal_comma(table), &length);
  if (!length_fault(table, column, fault)) return false;
  if (span == SPAN_SIZE && length <= 0) {
    table_fault(table, column, "'%s' is too small, expected a length over 0", shown(table, column));
    return false;
  }
  if (span == SPAN_DISTANCE && length < 0) {
    table_fault(table, column, "'%s' is negative, expected a length of 0 or more",
                shown(table, column));
    return false;
  }
  *value = length;
  return true;
}

/* A form of decimal number: how many decimals, and the range in units of the last one. */
struct form {
  const char *name;
  int decimals;
  int64_t scale;
  int64_t least, most;
};

static const char *form_text(struct table *table, const struct form *form) {
  return arena_format(table_arena(table), "%s from %lld to %lld", form->name,
                      (long long)(form->least / form->scale),
                      (long long)(form->most / form->scale));
}

static bool read_decimal(struct table *table, size_t column, enum need need,
                         const struct form *form, int64_t *value) {
  const char *text = table_cell(table, column);
  if (text[0] == '\0')
    return need == OPTIONAL || accept_empty(table, column, need, form_text(table, form));
  int64_t number = 0;
  if (!decimal_parse(text, table_decimal_comma(table), form->decimals, INT64_MAX / 20, &number)) {
    table_fault(table, column, "'%s' does not fit here, expected %s%s%s", shown(table, column),
                form_text(table, form), currency_hint(text),
                comma_hint(text, table_decimal_comma(table)));
  } else if (number < form->least || number > form->most) {
    table_fault(table, column, "'%s' is too %s, expected %s", shown(table, column),
                number < form->least ? "small" : "large", form_text(table, form));
  } else {
    *value = number;
    return true;
  }
  return false;
}

bool cell_count(struct table *table, size_t column, enum need need, int64_t least, int64_t most,
                int64_t *value) {
  struct form form = {"a whole number", 0, 1, least, most};
  return read_decimal(table, column, need, &form, value);
}

bool cell_number(struct table *table, size_t column, enum need need, int64_t least, int64_t most,
                 int64_t *value) {
  struct form form = {"a number with at most 3 decimals", 3, 1000, least, most};
  return read_decimal(table, column, need, &form, value);
}

bool cell_money(struct table *table, size_t column, enum need need, cents_t *value) {
  struct form form = {"an amount of money with at most 2 decimals", 2, 100, 0,
                      INT64_C(10000000000)};
  return read_decimal(table, column, need, &form, value);
}

enum { WORDS_MOST = 16 };

/* Parts "a|b|c" into its words; returns how many. */
static size_t part_words(struct arena *arena, const char *words, const char *parted[WORDS_MOST]) {
  size_t count = 0;
  char *at = arena_copy_text(arena, words);
  while (count < WORDS_MOST) {
    parted[count++] = at;
    at += strcspn(at, "|");
    if (*at == '\0') break;
    *at++ = '\0';
  }
  return count;
}

static bool same_word(const char *text, const char *word, size_t size) {
  char copy[32];
  if (size >= sizeof copy) return false;
  memcpy(copy, word, size);
  copy[size] = '\0';
  return text_equal_fold(text, copy);
}

bool cell_word(struct reader *reader, struct table *table, size_t column, enum need need,
               const char *words, int *value) {
  const char *text = table_cell(table, column);
  if (text[0] == '\0')
    return need == OPTIONAL || accept_empty(table, column, need, words_text(reader->arena, words));
  int index = 0;
  for (const char *word = words;; index++) {
    size_t size = strcspn(word, "|");
    if (same_word(text, word, size)) {
      *value = index;
      return true;
    }
    if (word[size] == '\0') break;
    word += size + 1;
  }
  const char *parted[WORDS_MOST];
  size_t count = part_words(reader->arena, words, parted);
  const char *nearest = text_nearest(text, parted, count);
  table_fault(table, column, "'%s' is no allowed word, expected %s%s%s%s", shown(table, column),
              words_text(reader->arena, words), nearest == NULL ? "" : "; nearest is '",
              nearest == NULL ? "" : nearest, nearest == NULL ? "" : "'");
  return false;
}

bool cell_name(struct reader *reader, struct table *table, size_t column, enum need need,
               const char **value) {
  const char *text = table_cell(table, column);
  if (text[0] == '\0') return accept_empty(table, column, need, "a name");
  if (text[strcspn(text, "\n\t")] != '\0') {
    table_fault(table, column, "'%s' has a line break or tab in it, expected a name of one line",
                shown(table, column));
    return false;
  }
  *value = arena_copy_text(reader->arena, text);
  return true;
}

const char *cell_note(struct reader *reader, struct table *table, size_t column) {
  return cell_empty(table, column) ? NULL
                                   : arena_copy_text(reader->arena, table_cell(table, column));
}

bool cell_reference(struct reader *reader, struct table *table, size_t column, const char *what,
                    const char *where, const struct name_index *names, size_t *value) {
  const char *text = table_cell(table, column);
  if (text[0] == '\0')
    return accept_empty(table, column, REQUIRED, arena_format(reader->arena, "a %s", what));
  *value = name_index_find(names, text);
  if (*value != SIZE_MAX) return true;
  bool follows = names == reader->parts || names == reader->stocks;
  if (follows && name_index_count(names) == 0) return false;
  const char *nearest =
      reader_nearest(reader, text, name_index_names(names), name_index_count(names));
  if (nearest != NULL) {
    table_fault(table, column, "'%s' is no known %s, expected '%s'", shown(table, column), what,
                nearest);
  } else {
    table_fault(table, column, "'%s' is no known %s, expected one of %s", shown(table, column),
                what, where);
  }
  return false;
}

bool cell_new_name(struct reader *reader, struct table *table, size_t column, const char *what,
                   struct name_index *names, const char **value) {
  if (!cell_name(reader, table, column, REQUIRED, value)) return false;
  size_t first = name_index_find(names, *value);
  struct place place = table_place(table, column);
  if (first != SIZE_MAX) {
    const struct place *other = name_index_place(names, first);
    bool same_file = strcmp(other->file, place.file) == 0;
    table_fault(table, column, "%s '%s' stands twice, first in %s%sline %ld, expected another name",
                what, shown(table, column), same_file ? "" : other->file, same_file ? "" : " ",
                other->line);
    return false;
  }
  name_index_add(names, *value, &place);
  return true;
}
