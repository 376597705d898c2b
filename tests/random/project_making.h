/* What the makers of a random project's files share. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_MAKING_H
#define BLANKWRIGHT_TESTS_PROJECT_MAKING_H

#include "project_maker.h"

enum { RAWS_MOST = 3, PARTS_MOST = 6, CUTTERS_MOST = 4, STOCKS_MOST = 9, WOODS_MOST = 3 };

/* A wood at a thickness, of which there is stock, and the largest part made of it. */
struct raw {
  const char *wood;
  length_t thickness;
  length_t part_length, part_width;
};

struct making {
  struct arena *arena;
  struct random_source *source;
  struct random_project *project;
  enum unit unit;
  bool fine;     /* lengths of every kind; else such as a rule shows */
  bool imperial; /* thicknesses are of inches, whatever the unit */
  struct raw raws[RAWS_MOST];
  size_t raw_count;
  length_t face_min, face_max, tolerance;
  const char *parts[PARTS_MOST];
  length_t part_length[PARTS_MOST], part_width[PARTS_MOST];
  bool part_round[PARTS_MOST];
  size_t part_sizes; /* how many of these are set */
  size_t part_count;
  const char *cutters[CUTTERS_MOST];
  length_t cutter_diameter[CUTTERS_MOST];
  size_t cutter_count;
  const char *stocks[STOCKS_MOST];
  size_t stock_count;
};

/* A row under way. */
struct filling {
  struct making *making;
  struct text_table *table;
  struct text_row *row;
};

/* Adds a file of random delimiter and manner. */
struct text_table *making_file(struct making *making, const char *name, const char *header);

struct filling making_row(struct making *making, struct text_table *table);

/* parts in whole; a shorthand. */
bool making_chance(struct making *making, int parts, int whole);
int64_t making_between(struct making *making, int64_t low, int64_t high);
const char *making_pick(struct making *making, const char *const *words, size_t count);

/* A length from low to high mm, coarse or fine, in the project's unit or the other one. */
length_t making_length(struct making *making, int64_t low, int64_t high);

void fill_text(struct filling *filling, const char *column, const char *text);
void fill_length(struct filling *filling, const char *column, length_t value);
/* The text it would be filled with. */
const char *filled_length(struct filling *filling, length_t value);
void fill_number(struct filling *filling, const char *column, int64_t number, int decimals);
/* One of the words "a|b|c"; an empty word leaves the cell empty. */
void fill_word(struct filling *filling, const char *column, const char *words);
/* A note with characters of every trouble, or nothing. */
void fill_note(struct filling *filling, const char *column);

void make_shop(struct making *making);
void make_parts(struct making *making);
void make_stocks(struct making *making);
void make_router(struct making *making);
void make_money(struct making *making);

#endif
