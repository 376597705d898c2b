/* What the kinds of faults share. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_SPOILING_H
#define BLANKWRIGHT_TESTS_PROJECT_SPOILING_H

#include "project_spoil.h"

struct spoiling {
  struct arena *arena;
  struct random_source *source;
  struct random_project *project;
  struct text_table *table; /* the file to be spoilt */
  struct spoilt *spoilt;
};

/* Each of these spoils, or returns false and changes nothing where it cannot. */
typedef bool spoil_work(struct spoiling *spoiling);

/* By the meaning of cells: project_spoil_cells.c. */
spoil_work spoil_number_out_of_range, spoil_required_cell, spoil_word, spoil_reference,
    spoil_name_twice, spoil_decimal_comma, spoil_against_other_cell;

/* One of count numbers from low on. */
size_t spoil_pick(struct spoiling *spoiling, size_t low, size_t count);

const char *spoil_header(const struct spoiling *spoiling, size_t column);

/* Writes the table anew and tells where the cell stands. */
struct cell_start spoil_write(struct spoiling *spoiling, size_t row, size_t column);

/* A fault must be told there. */
void spoil_expect(struct spoiling *spoiling, struct cell_start start);

/* Puts the text into the cell; a fault must be told of there. */
bool spoil_cell(struct spoiling *spoiling, size_t row, size_t column, const char *text);

/* Whether the text is one of the words, "a b c". */
bool spoil_is_one_of(const char *text, const char *words);

#endif
