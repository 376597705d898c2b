#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"
#include "read/reader.h"

/* The input files without their ".csv". */
static const char *const known[] = {"parts",  "rack",    "yard",  "flaws",  "shop",
                                    "clamps", "cutters", "steps", "bought", "money"};
enum { KNOWN = sizeof known / sizeof known[0], NAMES_MOST = 1000 };

/* Set aside and deferred before it is opened, so that it cannot be left open. */
struct open_folder {
  DIR *stream;
};

static void close_folder(void *resource) {
  struct open_folder *folder = resource;
  if (folder->stream != NULL) (void)closedir(folder->stream);
}

static int by_name(const void *a, const void *b) {
  return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* The name without ".csv", or NULL when it does not end so. */
static char *stem_of(struct arena *arena, const char *name) {
  size_t length = strlen(name);
  if (length <= 4 || !text_equal_fold(name + length - 4, ".csv")) return NULL;
  return arena_copy_bytes(arena, name, length - 4);
}

static bool is_known(const char *name) {
  for (size_t i = 0; i < KNOWN; i++) {
    size_t length = strlen(known[i]);
    if (strncmp(known[i], name, length) == 0 && strcmp(name + length, ".csv") == 0) return true;
  }
  return false;
}

/* The folder's other files in order of name, so that the order of the cautions
 * does not hang on the file system. */
static size_t other_files(struct reader *reader, DIR *folder, const char **names) {
  size_t count = 0;
  for (struct dirent *entry = readdir(folder); entry != NULL && count < NAMES_MOST;
       entry = readdir(folder))
    if (!is_known(entry->d_name)) names[count++] = arena_copy_text(reader->arena, entry->d_name);
  if (count > 1) qsort(names, count, sizeof *names, by_name);
  return count;
}

/* True when the folder has the input file itself, so that a like name is another's. */
static bool is_there(struct reader *reader, const char *stem) {
  struct stat status;
  const char *name = arena_format(reader->arena, "%s.csv", stem);
  return stat(text_path(reader->arena, reader->folder, name), &status) == 0;
}

void warn_of_misnamed_files(struct reader *reader) {
  struct open_folder *folder = ARENA_NEW(reader->arena, struct open_folder);
  arena_defer(reader->arena, close_folder, folder);
  folder->stream = opendir(reader->folder);
  if (folder->stream == NULL && errno == ENOMEM) arena_raise(reader->arena, STATUS_NO_MEMORY);
  if (folder->stream == NULL) return;
  const char **names = ARENA_ARRAY(reader->arena, NAMES_MOST, const char *);
  size_t count = other_files(reader, folder->stream, names);
  for (size_t i = 0; i < count; i++) {
    const char *stem = stem_of(reader->arena, names[i]);
    const char *nearest = stem == NULL ? NULL : text_nearest(stem, known, KNOWN);
    if (nearest == NULL || is_there(reader, nearest)) continue;
    struct place place = {text_path(reader->arena, reader->folder, names[i]), 0, 0, NULL};
    diagnostics_add(reader->diagnostics, SEVERITY_CAUTION, &place,
                    "file is not read, expected the name '%s.csv' if it is meant to be", nearest);
  }
}
