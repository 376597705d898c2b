#include "project_disk.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static _Noreturn void give_up(const char *what, const char *path) {
  fprintf(stderr, "%s %s: %s\n", what, path, strerror(errno));
  exit(EXIT_FAILURE);
}

const char *disk_scratch(struct arena *arena) {
  const char *base = getenv("TMPDIR");
  char *path =
      arena_format(arena, "%s/projects-XXXXXX", base == NULL || *base == '\0' ? "/tmp" : base);
  if (mkdtemp(path) == NULL) give_up("no folder", path);
  return path;
}

const char *disk_path(struct arena *arena, const char *folder, const char *name) {
  return arena_format(arena, "%s/%s", folder, name);
}

/* The folder's names in order, without those of the folder itself and its parent. */
struct names {
  const char **items;
  size_t count, room;
};

static int by_name(const void *a, const void *b) {
  return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static struct names names_of(struct arena *arena, const char *folder) {
  struct names names = {NULL, 0, 0};
  DIR *listing = opendir(folder);
  if (listing == NULL) return names;
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
    *ARENA_PUSH(arena, names.items, names.count, names.room) =
        arena_copy_text(arena, entry->d_name);
  }
  closedir(listing);
  if (names.count > 1) qsort(names.items, names.count, sizeof *names.items, by_name);
  return names;
}

void disk_remove(struct arena *arena, const char *path) {
  struct stat found;
  if (lstat(path, &found) != 0) return;
  if (S_ISDIR(found.st_mode)) {
    struct names names = names_of(arena, path);
    for (size_t i = 0; i < names.count; i++)
      disk_remove(arena, disk_path(arena, path, names.items[i]));
  }
  if (remove(path) != 0) give_up("not removed", path);
}

bool disk_has(const char *path) {
  struct stat found;
  return lstat(path, &found) == 0;
}

void disk_make_folder(const char *path) {
  if (mkdir(path, 0777) != 0) give_up("no folder", path);
}

void disk_write(struct arena *arena, const char *folder, const char *name,
                const struct buffer *bytes) {
  const char *path = disk_path(arena, folder, name);
  if (mkdir(folder, 0777) != 0 && errno != EEXIST) give_up("no folder", folder);
  FILE *file = fopen(path, "wb");
  if (file == NULL) give_up("not made", path);
  bool written = fwrite(bytes->text, 1, bytes->length, file) == bytes->length;
  if (fclose(file) != 0 || !written) give_up("not written", path);
}

void disk_write_project(struct arena *arena, const char *folder,
                        const struct random_project *project) {
  disk_remove(arena, folder);
  for (size_t f = 0; f < project->file_count; f++)
    disk_write(arena, folder, project->files[f].name,
               text_table_bytes(arena, &project->files[f], NULL));
}

struct buffer *disk_read(struct arena *arena, const char *path) {
  struct buffer *bytes = buffer_create(arena);
  FILE *file = fopen(path, "rb");
  if (file == NULL) give_up("not opened", path);
  char chunk[4096];
  for (size_t count = 0; (count = fread(chunk, 1, sizeof chunk, file)) > 0;)
    buffer_add_bytes(bytes, chunk, count);
  if (ferror(file)) give_up("not read", path);
  fclose(file);
  return bytes;
}

const char *disk_difference(struct arena *arena, const char *a, const char *b) {
  struct names first = names_of(arena, a), second = names_of(arena, b);
  if (first.count != second.count) return "one folder has more files";
  for (size_t i = 0; i < first.count; i++) {
    if (strcmp(first.items[i], second.items[i]) != 0) return first.items[i];
    const struct buffer *one = disk_read(arena, disk_path(arena, a, first.items[i]));
    const struct buffer *other = disk_read(arena, disk_path(arena, b, second.items[i]));
    if (one->length != other->length || memcmp(one->text, other->text, one->length) != 0)
      return first.items[i];
  }
  return NULL;
}

void disk_print(struct arena *arena, FILE *out, const char *folder) {
  struct names names = names_of(arena, folder);
  for (size_t i = 0; i < names.count; i++) {
    struct stat found;
    const char *path = disk_path(arena, folder, names.items[i]);
    if (lstat(path, &found) != 0 || !S_ISREG(found.st_mode)) continue;
    const struct buffer *bytes = disk_read(arena, path);
    fprintf(out, "==> %s\n", names.items[i]);
    fwrite(bytes->text, 1, bytes->length, out);
    fprintf(out, "\n");
  }
}
