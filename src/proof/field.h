/* Reading one key of a JSON object with its type and limits. Every function adds a
 * fault when the key is missing, of a wrong type or out of its limits, and then
 * returns 0, false, an empty text or NULL, so that reading goes on and finds more. */
#ifndef BLANKWRIGHT_PROOF_FIELD_H
#define BLANKWRIGHT_PROOF_FIELD_H

#include <jansson.h>

#include "proof/fault.h"

/* Largest whole number and largest amount of money (in cents) a plan may hold. */
#define COUNT_MAX INT64_C(1000000000)
#define MONEY_MAX INT64_C(10000000000000)
/* Most thousandths of a minute that a run may take. */
#define MINUTES_MAX INT64_C(100000000000000)

/* An object of the plan and how messages call it. */
struct spot {
  struct proof *proof;
  const struct spot *above; /* NULL for the plan itself */
  const char *what;         /* "piece"; NULL for the plan itself */
  const char *name;         /* or NULL: then the position in its list is told */
  size_t index;
  const json_t *object;
};

/* "piece 'board 7' of stock 'W1'"; "the plan" at the top. */
const char *spot_text(const struct spot *spot);

/* Goes to one object of a list; its name is taken from the key `name_key` (may be NULL).
 * False, with a fault, when the element is no object. */
bool spot_open(struct spot *spot, const struct spot *above, const char *what, const json_t *list,
               size_t index, const char *name_key);

/* Goes to an object under a key. False, with a fault, when there is none. */
bool spot_enter(struct spot *spot, const struct spot *above, const char *key);

/* A length of at least `least` (in 1/8000 mm), in size at most LENGTH_MAX. */
length_t field_length(const struct spot *spot, const char *key, length_t least);

/* A whole number from least to COUNT_MAX. */
int64_t field_count(const struct spot *spot, const char *key, int64_t least);

/* An amount of money in whole cents, from 0 to MONEY_MAX. */
cents_t field_money(const struct spot *spot, const char *key);

/* The same, with losses: from -MONEY_MAX. */
cents_t field_gain(const struct spot *spot, const char *key);

/* A decimal number in whole thousandths, from 0 to COUNT_MAX. */
int64_t field_thousandths(const struct spot *spot, const char *key);

/* The same, of a whole run: from 0 to MINUTES_MAX. */
int64_t field_minutes(const struct spot *spot, const char *key);

/* A decimal number from least to most. */
double field_decimal(const struct spot *spot, const char *key, double least, double most);

/* true or false. */
bool field_flag(const struct spot *spot, const char *key);

/* A text that is not empty; copied into the proof's arena. */
const char *field_text(const struct spot *spot, const char *key);

/* The same, but it may be empty. */
const char *field_any_text(const struct spot *spot, const char *key);

/* One of the words parted by "|": its place among them, from 0. */
int field_word(const struct spot *spot, const char *key, const char *words);

/* A list; NULL, which counts as empty, after a fault. */
const json_t *field_list(const struct spot *spot, const char *key);

/* Whether the key is there; adds no fault. */
bool field_present(const struct spot *spot, const char *key);

#endif
