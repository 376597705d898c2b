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

/* NULL where it cannot be opened. */
static struct open_folder *open_folder(struct arena *arena, const char *path) {
  struct open_folder *folder = ARENA_NEW(arena, struct open_folder);
  arena_defer(arena, close_folder, folder);
  folder->stream = opendir(path);
  if (folder->stream == NULL && errno == ENOMEM) arena_raise(arena, STATUS_NO_MEMORY);
  return folder->stream == NULL ? NULL : folder;
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

bool is_folder(const char *path) {
  struct stat status;
  return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

/* The folders in another, in order of name, for the same reason. */
static size_t folders_in(struct arena *arena, DIR *folder, const char *path, const char **names) {
  size_t count = 0;
  for (struct dirent *entry = readdir(folder); entry != NULL && count < NAMES_MOST;
       entry = readdir(folder)) {
    if (entry->d_name[0] == '.') continue;
    const char *name = arena_copy_text(arena, entry->d_name);
    if (is_folder(text_path(arena, path, name))) names[count++] = name;
  }
  if (count > 1) qsort(names, count, sizeof *names, by_name);
  return count;
}

const char *near_folder(struct arena *arena, const char *path) {
  size_t end = strlen(path);
  while (end > 1 && path[end - 1] == '/') end--;
  size_t start = end;
  while (start > 0 && path[start - 1] != '/') start--;
  const char *parent = start == 0 ? "." : arena_copy_bytes(arena, path, start);
  const struct open_folder *folder = open_folder(arena, parent);
  if (folder == NULL) return NULL;
  const char **names = ARENA_ARRAY(arena, NAMES_MOST, const char *);
  size_t count = folders_in(arena, folder->stream, parent, names);
  const char *nearest =
      text_nearest(arena_copy_bytes(arena, path + start, end - start), names, count);
  return nearest == NULL || start == 0 ? nearest : text_path(arena, parent, nearest);
}

/* True when the folder has the input file itself, so that a like name is another's. */
static bool is_there(struct reader *reader, const char *stem) {
  struct stat status;
  const char *name = arena_format(reader->arena, "%s.csv", stem);
  return stat(text_path(reader->arena, reader->folder, name), &status) == 0;
}

bool has_no_file(struct reader *reader) {
  for (size_t i = 0; i < KNOWN; i++)
    if (is_there(reader, known[i])) return false;
  return true;
}

void warn_of_misnamed_files(struct reader *reader) {
  const struct open_folder *folder = open_folder(reader->arena, reader->folder);
  if (folder == NULL) return;
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
