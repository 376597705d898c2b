/* Changes CSV files cell by cell and row by row, so that most of what comes of it can still be
 * read: a cell takes the text of another row's, a value of its kind or one nearby, rows are left
 * out or told twice. Now and then bytes are changed, as libFuzzer does it. Quotes are not heeded.
 */
#include <stdbool.h>
#include <string.h>

#include "base/random.h"
#include "fuzz/fuzz.h"

enum { CELL_MOST = 256, ROW_MOST = 1024 };

struct table_text {
  uint8_t *bytes;
  size_t size, most;
  uint8_t delimiter;
  uint64_t random;
};

struct span {
  size_t at, length;
};

static size_t below(struct table_text *text, size_t most) {
  return (size_t)(random_draw(&text->random) % most);
}

static uint8_t delimiter_of(const uint8_t *bytes, size_t size) {
  static const uint8_t candidates[] = {',', ';', '\t'};
  for (size_t i = 0; i < size && bytes[i] != '\n'; i++)
    for (size_t c = 0; c < sizeof candidates; c++)
      if (bytes[i] == candidates[c]) return candidates[c];
  return ',';
}

/* ---- finding ---- */

/* The nth piece of a span, or the rest behind its last end mark. */
static struct span piece(const struct table_text *text, struct span span, uint8_t end, size_t n) {
  size_t at = span.at, stop = span.at + span.length;
  for (;; n--) {
    const uint8_t *mark = memchr(text->bytes + at, end, stop - at);
    size_t behind = mark == NULL ? stop : (size_t)(mark - text->bytes);
    if (n == 0 || mark == NULL) return (struct span){at, behind - at};
    at = behind + 1;
  }
}

static size_t pieces(const struct table_text *text, struct span span, uint8_t end) {
  size_t count = 1;
  for (size_t i = 0; i < span.length; i++) count += text->bytes[span.at + i] == end;
  return count;
}

/* A row behind the header, now and then the header. */
static struct span any_row(struct table_text *text) {
  struct span whole = {0, text->size};
  size_t rows = pieces(text, whole, '\n');
  size_t first = rows > 1 && below(text, 8) > 0 ? 1 : 0;
  return piece(text, whole, '\n', first + below(text, rows - first));
}

/* ---- changing ---- */

/* Does nothing where there is no room. */
static void put(struct table_text *text, struct span span, const void *bytes, size_t count) {
  size_t size = text->size - span.length + count;
  if (size > text->most) return;
  memmove(text->bytes + span.at + count, text->bytes + span.at + span.length,
          text->size - span.at - span.length);
  memcpy(text->bytes + span.at, bytes, count);
  text->size = size;
}

static void take_value(struct table_text *text, struct span cell) {
  static const char *const values[] = {
      "",       "0",          "1",         "2",      "0.5",      "12",      "100 mm",
      "1/2 in", "5-1/2\"",    "2 m",       "-3",     "99.999 m", "1000000", "0.000125",
      "walnut", "any",        "W1",        "Y1",     "board",    "lid",     "yes",
      "no",     "cherry|any", "side",      "gang",   "blank",    "saw",     "round",
      "across", "two",        "plank",     "sheet",  "flat6",    "drill3",  "profile",
      "face",   "pocket",     "under",     "edge",   "12,5",     "=1+1",    "\"a\"\"b\"",
      "2.5 %",  "7 lbf",      "hold-down", "planed", "each",     "bf"};
  const char *value = values[below(text, sizeof values / sizeof values[0])];
  put(text, cell, value, strlen(value));
}

static void nudge(struct table_text *text, struct span cell) {
  char digits[32], changed[32];
  size_t count = 0;
  while (count < cell.length && count < 9 && text->bytes[cell.at + count] >= '0' &&
         text->bytes[cell.at + count] <= '9')
    count++;
  if (count == 0) {
    take_value(text, cell);
    return;
  }
  memcpy(digits, text->bytes + cell.at, count);
  digits[count] = '\0';
  long value = strtol(digits, NULL, 10);
  const long near[] = {value + 1, value > 0 ? value - 1 : 1, 2 * value, value / 2, 10 * value};
  int length = snprintf(changed, sizeof changed, "%ld", near[below(text, 5)]);
  put(text, (struct span){cell.at, count}, changed, (size_t)length);
}

/* libFuzzer's own changes, in this cell alone. */
static void scramble(struct table_text *text, struct span cell) {
  uint8_t bytes[CELL_MOST];
  if (cell.length > CELL_MOST) return;
  memcpy(bytes, text->bytes + cell.at, cell.length);
  put(text, cell, bytes, LLVMFuzzerMutate(bytes, cell.length, CELL_MOST));
}

static void copy_cell(struct table_text *text, struct span cell, size_t column) {
  struct span other = piece(text, any_row(text), text->delimiter, column);
  uint8_t bytes[CELL_MOST];
  if (other.length > CELL_MOST) return;
  memcpy(bytes, text->bytes + other.at, other.length);
  put(text, cell, bytes, other.length);
}

static void change_rows(struct table_text *text, struct span row) {
  uint8_t bytes[ROW_MOST + 1];
  size_t end = row.at + row.length < text->size ? 1 : 0;
  if (below(text, 3) == 0) {
    put(text, (struct span){row.at, row.length + end}, "", 0);
    return;
  }
  if (row.length > ROW_MOST) return;
  memcpy(bytes, text->bytes + row.at, row.length);
  bytes[row.length] = '\n';
  put(text, (struct span){any_row(text).at, 0}, bytes, row.length + 1);
}

static void change(struct table_text *text) {
  struct span row = any_row(text);
  size_t column = below(text, pieces(text, row, text->delimiter));
  struct span cell = piece(text, row, text->delimiter, column);
  switch (below(text, 8)) {
    case 0:
    case 1:
      copy_cell(text, cell, column);
      return;
    case 2:
    case 3:
      take_value(text, cell);
      return;
    case 4:
      scramble(text, cell);
      return;
    case 5:
      change_rows(text, row);
      return;
    default:
      nudge(text, cell);
  }
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned seed) {
  struct table_text text = {data, size, most, delimiter_of(data, size), seed};
  if (size == 0 || below(&text, 6) == 0) return LLVMFuzzerMutate(data, size, most);
  for (size_t changes = 1 + below(&text, 4); changes > 0; changes--) change(&text);
  return text.size > 0 ? text.size : LLVMFuzzerMutate(data, size, most);
}
