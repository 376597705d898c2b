/* One function per form of a cell. Each returns true when *value is fit for use: it was
 * read, or the cell is empty, may be so, and *value (its default) was left alone. Else a
 * fault has been added, unless the column itself is missing, which was said already. */
#ifndef BLANKWRIGHT_READ_CELL_H
#define BLANKWRIGHT_READ_CELL_H

#include "base/length.h"
#include "read/reader.h"

enum need { OPTIONAL, REQUIRED };

/* Lengths: of a body (over 0), a distance (0 or more), or a place (may be negative). */
enum span { SPAN_SIZE, SPAN_DISTANCE, SPAN_PLACE };

bool cell_empty(const struct table *table, size_t column);

/* What else to say of a number that could not be read, or "": it has a comma where decimals stand
 * behind a point; it has a currency sign. */
const char *comma_hint(const char *text, bool decimal_comma);
const char *currency_hint(const char *text);

/* A length, in the reader's unit where the cell names none, and within its span. */
bool cell_length(struct reader *reader, struct table *table, size_t column, enum need need,
                 enum span span, length_t *value);

/* A whole number from least to most. */
bool cell_count(struct table *table, size_t column, enum need need, int64_t least, int64_t most,
                int64_t *value);

/* A number from least to most with up to three decimals, all in thousandths. */
bool cell_number(struct table *table, size_t column, enum need need, int64_t least, int64_t most,
                 int64_t *value);

/* An amount of money with at most two decimals, from 0 to 10^10 cents, in cents. */
bool cell_money(struct table *table, size_t column, enum need need, cents_t *value);

/* One of the words "a|b|c", as its index. */
bool cell_word(struct reader *reader, struct table *table, size_t column, enum need need,
               const char *words, int *value);

/* A text of one line, copied; REQUIRED and empty is a fault. */
bool cell_name(struct reader *reader, struct table *table, size_t column, enum need need,
               const char **value);

/* Any text, copied; NULL when the cell is empty. */
const char *cell_note(struct reader *reader, struct table *table, size_t column);

/* Reads a name that must be in `names`, as its number. `what` is such as "part",
 * `where` the files they stand in. Where no part or no stock could be read at all, that was said
 * already, and nothing is added here. */
bool cell_reference(struct reader *reader, struct table *table, size_t column, const char *what,
                    const char *where, const struct name_index *names, size_t *value);

/* Reads a name that must not be in `names` yet and adds it: the caller then adds the row's
 * item to its list, even one with faults elsewhere, so that numbers and list agree and
 * what refers to the item is not at fault for it. False: nothing was added. */
bool cell_new_name(struct reader *reader, struct table *table, size_t column, const char *what,
                   struct name_index *names, const char **value);

#endif
