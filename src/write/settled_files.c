#include "write/settled_files.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "write/file_batch.h"

/* The names a batch gives these two for as long as they are not whole. */
static const char temporary_rack[] = ".rack.csv.tmp";
static const char temporary_flaws[] = ".flaws.csv.tmp";
/* The rack of before, for as long as it may have to be put back. */
static const char old_rack[] = ".rack.csv.old";

/* A link would be replaced by a file, and what it stood for stay as it was. */
static bool is_link(const char *path, struct diagnostics *diagnostics) {
  struct stat status;
  if (lstat(path, &status) != 0 || !S_ISLNK(status.st_mode)) return false;
  struct place place = {.file = path};
  diagnostics_add(diagnostics, SEVERITY_ERROR, &place, "is a link, expected the file itself");
  return true;
}

static bool add_old(struct file_batch *batch, const struct file_rows *file, const char *name) {
  return !file->present || batch_add(batch, name, file->bytes, file->length);
}

static bool add_all(struct file_batch *batch, const struct file_rows *rack,
                    const struct file_rows *flaws, const struct settled *settled) {
  const struct buffer *text = settled->flaws;
  batch_keep_mode(batch, "rack.csv");
  if (!add_old(batch, rack, "rack.csv.before")) return false;
  if (text != NULL) {
    batch_keep_mode(batch, "flaws.csv");
    if (!add_old(batch, flaws, "flaws.csv.before")) return false;
  }
  batch_keep_mode(batch, "rack.csv");
  if (!batch_add(batch, "rack.csv", settled->rack->text, settled->rack->length)) return false;
  batch_keep_mode(batch, "flaws.csv");
  return text == NULL || batch_add(batch, "flaws.csv", text->text, text->length);
}

static bool is_there(struct arena *arena, const char *folder, const char *name) {
  struct stat status;
  return lstat(text_path(arena, folder, name), &status) == 0;
}

bool settled_by_half(struct arena *arena, const char *folder) {
  return is_there(arena, folder, temporary_flaws) && is_there(arena, folder, old_rack) &&
         !is_there(arena, folder, temporary_rack);
}

/* What a run that was killed may have left, the sign of one settled by half (old_rack) last. */
struct leavings {
  const char *paths[8];
  size_t count;
};

static struct leavings find_leavings(struct arena *arena, const char *folder) {
  static const char *const names[] = {temporary_flaws,         ".rack.csv.before.tmp",
                                      ".flaws.csv.before.tmp", ".rack.csv.before.old",
                                      ".flaws.csv.before.old", ".flaws.csv.old",
                                      temporary_rack,          old_rack};
  struct leavings leavings = {.count = sizeof names / sizeof *names};
  for (size_t i = 0; i < leavings.count; i++)
    leavings.paths[i] = text_path(arena, folder, names[i]);
  return leavings;
}

static void remove_leavings(const struct leavings *leavings) {
  for (size_t i = 0; i < leavings->count; i++) (void)unlink(leavings->paths[i]);
}

enum status write_settled(struct arena *arena, const char *folder, const struct file_rows *rack,
                          const struct file_rows *flaws, const struct settled *settled,
                          struct diagnostics *diagnostics) {
  if (is_link(rack->path, diagnostics) || is_link(flaws->path, diagnostics))
    return STATUS_NOT_WRITTEN;
  struct leavings leavings = find_leavings(arena, folder);
  struct file_batch *batch = batch_open(arena, folder, diagnostics);
  if (batch == NULL) return STATUS_NOT_WRITTEN;
  /* A text of flaws.csv that an earlier stop left with that of rack.csv would soon stand alone. */
  remove_leavings(&leavings);
  bool done = add_all(batch, rack, flaws, settled) && batch_commit(batch);
  batch_close(batch);
  return done ? STATUS_OK : STATUS_NOT_WRITTEN;
}

enum status write_settled_rest(struct arena *arena, const char *folder,
                               struct diagnostics *diagnostics) {
  struct leavings leavings = find_leavings(arena, folder);
  const char *path = text_path(arena, folder, "flaws.csv");
  if (settled_by_half(arena, folder) && rename(leavings.paths[0], path) != 0) {
    struct place place = {.file = path};
    diagnostics_add(diagnostics, SEVERITY_ERROR, &place, "cannot be replaced: %s", strerror(errno));
    return STATUS_NOT_WRITTEN;
  }
  remove_leavings(&leavings);
  return STATUS_OK;
}
