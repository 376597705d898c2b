/* Published instances, read in place from a data folder: the folder named by the
 * environment variable BLANKWRIGHT_DATA, else ../shared/data beside the source tree.
 * Format: `#` comments, then sections, each with a header line: W,H,count,cost (stock),
 * w,h,demand,value (items), bin,x,y,w,h (defects). Bare units, no kerf. */
#ifndef BLANKWRIGHT_TESTS_PUBLISHED_INSTANCE_H
#define BLANKWRIGHT_TESTS_PUBLISHED_INSTANCE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { INSTANCE_ITEMS = 256, INSTANCE_SHEETS = 64 };

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

struct instance {
  struct instance_sheet sheets[INSTANCE_SHEETS];
  size_t sheet_count;
  struct instance_item items[INSTANCE_ITEMS];
  size_t item_count;
};

/* Path of a file of the data folder, in a static buffer. */
const char *instance_path(const char *name);

/* False when the file is not there or does not fit. */
bool instance_read(const char *name, struct instance *instance);

/* A number of a row of a table of the data folder: the row whose first cells equal
 * `key` ("gcut1" or "FHZ,UU1"), its cell `column` (from 0). False when it is not there. */
bool instance_best(const char *table, const char *key, int column, int64_t *value);

#endif
