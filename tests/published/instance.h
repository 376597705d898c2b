/* Published instances, read in place from a data folder: the one set by hand, else the one
 * named by the environment variable BLANKWRIGHT_DATA, else ../shared/data beside the source tree.
 * Format: `#` comments, then sections, each with a header line: W,H,count,cost (stock),
 * w,h,demand,value (items), bin,x,y,w,h (defects). Bare units, no kerf. */
#ifndef BLANKWRIGHT_TESTS_PUBLISHED_INSTANCE_H
#define BLANKWRIGHT_TESTS_PUBLISHED_INSTANCE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { INSTANCE_ITEMS = 2048, INSTANCE_SHEETS = 64, INSTANCE_DEFECTS = 256 };

struct instance_item {
  int64_t width, height;
  int64_t demand; /* -1: unlimited */
  int64_t value;
};

struct instance_sheet {
  int64_t width, height;
  int64_t count; /* -1: unlimited */
  int64_t cost;
};

/* A rectangle of one copy of stock; copies are numbered from 1 through all sheets in turn. */
struct instance_defect {
  int64_t copy;
  int64_t x, y, width, height;
};

struct instance {
  struct instance_sheet sheets[INSTANCE_SHEETS];
  size_t sheet_count;
  struct instance_item items[INSTANCE_ITEMS];
  size_t item_count;
  struct instance_defect defects[INSTANCE_DEFECTS];
  size_t defect_count;
};

/* From now on the files are looked for in `folder`, which must stay in place. */
void instance_set_folder(const char *folder);

/* The data folder as it stands. */
const char *instance_folder(void);

/* Path of a file of the data folder, in a static buffer. */
const char *instance_path(const char *name);

/* False when the file is not there or does not fit. */
bool instance_read(const char *name, struct instance *instance);

/* A number of a row of a table of the data folder: the row whose first cells equal
 * `key` ("gcut1" or "FHZ,UU1"), its cell `column` (from 0). False when it is not there or
 * holds no number. */
bool instance_best(const char *table, const char *key, int column, int64_t *value);

/* The same for a number with decimals. */
bool instance_best_decimal(const char *table, const char *key, int column, double *value);

#endif
