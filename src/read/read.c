/* realpath needs it besides POSIX. */
#define _XOPEN_SOURCE 700

#include "read/read.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"
#include "read/faults.h"
#include "read/reader.h"

enum { NEAREST_SEARCHES = 40 };

const char *reader_nearest(struct reader *reader, const char *text, const char *const *names,
                           size_t count) {
  if (reader->nearest_left <= 0) return NULL;
  reader->nearest_left--;
  return text_nearest(text, names, count);
}

/* The last name of a folder's path, without slashes behind it. */
static char *last_name(struct arena *arena, const char *path) {
  size_t end = strlen(path);
  while (end > 1 && path[end - 1] == '/') end--;
  size_t start = end;
  while (start > 0 && path[start - 1] != '/') start--;
  return arena_copy_bytes(arena, path + start, end - start);
}

/* "." and ".." have a name only once they are resolved. */
static char *project_name(struct arena *arena, const char *folder) {
  char *name = last_name(arena, folder);
  if (strcmp(name, ".") != 0 && strcmp(name, "..") != 0) return name;
  char resolved[PATH_MAX];
  return realpath(folder, resolved) == NULL ? name : last_name(arena, resolved);
}

static const char *no_folder(struct arena *arena, const char *path) {
  struct stat status;
  if (stat(path, &status) == 0) return "is no folder, expected a project's";
  const char *nearest = near_folder(arena, path);
  if (nearest != NULL)
    return arena_format(arena, "no such folder, expected a project; nearest is '%s'",
                        text_shown(arena, nearest));
  return "no such folder, expected a project: 'new FOLDER' makes one to start from";
}

static void file_fault(struct reader *reader, const char *name, const char *text) {
  struct place place = {text_path(reader->arena, reader->folder, name), 0, 0, NULL};
  diagnostics_add(reader->diagnostics, SEVERITY_ERROR, &place, "%s", text);
}

static void read_files(struct reader *reader) {
  read_shop(reader);
  if (!read_parts(reader))
    file_fault(reader, "parts.csv", "no such file, expected the parts of a set");
  size_t errors = reader->diagnostics->errors;
  bool rack = read_rack(reader);
  bool yard = read_yard(reader);
  bool faultless = reader->diagnostics->errors == errors;
  if (reader->project->stock_count == 0 && faultless)
    file_fault(reader, rack || !yard ? "rack.csv" : "yard.csv",
               "no stock, expected at least one row in rack.csv or yard.csv");
  read_flaws(reader);
  read_clamps(reader);
  read_cutters(reader);
  read_steps(reader);
  read_bought(reader);
  read_money(reader);
}

enum status read_project(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                         struct project **project) {
  struct project *empty = ARENA_NEW(arena, struct project);
  struct reader reader = {.arena = arena,
                          .diagnostics = diagnostics,
                          .folder = folder,
                          .project = empty,
                          .parts = name_index_create(arena, 0),
                          .stocks = name_index_create(arena, 0),
                          .clamps = name_index_create(arena, 0),
                          .cutters = name_index_create(arena, 0),
                          .nearest_left = NEAREST_SEARCHES};
  *project = empty;
  size_t errors = diagnostics->errors;
  empty->folder = arena_copy_text(arena, folder);
  empty->name = project_name(arena, folder);
  if (!is_folder(folder)) {
    shop_set_defaults(arena, &empty->shop, UNIT_MM);
    struct place place = {folder, 0, 0, NULL};
    diagnostics_add(diagnostics, SEVERITY_ERROR, &place, "%s", no_folder(arena, folder));
  } else {
    warn_of_misnamed_files(&reader);
    read_files(&reader);
    if (has_no_file(&reader))
      diagnostics_add(diagnostics, SEVERITY_NOTE, &(struct place){folder, 0, 0, NULL},
                      "holds no file of a project: 'new FOLDER' makes one to start from");
  }
  return diagnostics->errors == errors ? STATUS_OK : STATUS_BAD_INPUT;
}
