/* What the readers of the single files share, and the readers themselves. They are
 * called in the order below: later files refer to earlier ones. Each adds its faults to
 * reader->diagnostics and what it read to reader->project; an absent file adds nothing. */
#ifndef BLANKWRIGHT_READ_READER_H
#define BLANKWRIGHT_READ_READER_H

#include "base/diagnostics.h"
#include "model/limits.h"
#include "model/project.h"
#include "read/csv.h"
#include "read/index.h"

struct reader {
  struct arena *arena;
  struct diagnostics *diagnostics;
  const char *folder;
  struct project *project;
  enum unit unit; /* of bare numbers, from shop.csv */
  struct name_index *parts, *stocks, *clamps, *cutters;
  int nearest_left; /* searches for a nearest name still made: each looks at every name */
};

void read_shop(struct reader *reader);

/* False when there is no parts.csv. */
bool read_parts(struct reader *reader);

/* Each false when there is no such file. Both fill project->stocks. */
bool read_rack(struct reader *reader);
bool read_yard(struct reader *reader);

void read_flaws(struct reader *reader);

/* The files of these two, for those who want their rows as they stand; NULL: there is none. */
struct table *rack_open(struct arena *arena, struct diagnostics *diagnostics, const char *folder);
struct table *flaws_open(struct arena *arena, struct diagnostics *diagnostics, const char *folder);

void read_clamps(struct reader *reader);
void read_cutters(struct reader *reader);
void read_steps(struct reader *reader);
void read_bought(struct reader *reader);
void read_money(struct reader *reader);

/* A caution for each CSV file whose name is near that of an input file that is absent. */
void warn_of_misnamed_files(struct reader *reader);

/* True when the folder has none of the input files. */
bool has_no_file(struct reader *reader);

/* Whether there is a folder of that path. */
bool is_folder(const char *path);

/* The path of the folder whose name is nearest to that of one that is not there, in the same
 * parent; NULL: none is near. */
const char *near_folder(struct arena *arena, const char *path);

/* The nearest of the names to a text, or NULL; also NULL after many searches. */
const char *reader_nearest(struct reader *reader, const char *text, const char *const *names,
                           size_t count);

#endif
