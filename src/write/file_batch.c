#include "write/file_batch.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct file {
  const char *name;
  const char *temporary; /* NULL once it has been renamed or removed */
  const char *old;       /* a second name of the file of before, while it may be needed */
  bool is_new;           /* nothing stood under the name before */
};

struct file_batch {
  struct arena *arena;
  const char *folder;
  struct diagnostics *diagnostics;
  int directory; /* -1: closed */
  DIR *listing;  /* NULL: not open */
  mode_t mode;   /* of new files; 0: as the system has it */
  struct file *files;
  size_t count, room;
};

/* So many files, the first of a batch, are forced to the disk before they are renamed. The
 * drawings of thousands of planks would wait for the disk thousands of times; what a loss of
 * power takes of them is drawn again from the plan. */
enum { FORCED_TO_DISK = 24 };

enum { NEW_FILE_MODE = 0666, NEW_FOLDER_MODE = 0777, WRITE_STEP = 1 << 20 };

static bool fail(struct file_batch *batch, const char *name, const char *what, int reason) {
  const char *path =
      name == NULL ? batch->folder : arena_format(batch->arena, "%s/%s", batch->folder, name);
  struct place place = {.file = path};
  diagnostics_add(batch->diagnostics, SEVERITY_ERROR, &place, "%s: %s", what, strerror(reason));
  return false;
}

/* ---- the folder ---- */

/* Makes every folder on the way; those that stand already are fine. */
static int make_folders(struct arena *arena, const char *folder) {
  char *path = arena_copy_text(arena, folder);
  for (char *at = path + 1; *path != '\0'; at++) {
    if (*at != '/' && *at != '\0') continue;
    char kept = *at;
    *at = '\0';
    if (mkdir(path, NEW_FOLDER_MODE) != 0 && errno != EEXIST) {
      /* A folder that stands on a medium that may not be written is still there. */
      struct stat status;
      int reason = errno;
      if (stat(path, &status) != 0 || !S_ISDIR(status.st_mode)) return reason;
    }
    *at = kept;
    if (kept == '\0') return 0;
  }
  return ENOENT;
}

static void release_batch(void *resource) { batch_close(resource); }

struct file_batch *batch_open(struct arena *arena, const char *folder,
                              struct diagnostics *diagnostics) {
  struct file_batch *batch = ARENA_NEW(arena, struct file_batch);
  *batch = (struct file_batch){
      .arena = arena, .folder = folder, .diagnostics = diagnostics, .directory = -1};
  arena_defer(arena, release_batch, batch);
  int reason = make_folders(arena, folder);
  if (reason != 0) {
    fail(batch, NULL, "folder cannot be made", reason);
    return NULL;
  }
  batch->directory = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (batch->directory < 0) {
    fail(batch, NULL, "folder cannot be opened", errno);
    return NULL;
  }
  return batch;
}

static void drop(const struct file_batch *batch, const char **name) {
  if (*name != NULL) unlinkat(batch->directory, *name, 0);
  *name = NULL;
}

static void close_listing(struct file_batch *batch) {
  if (batch->listing != NULL) closedir(batch->listing);
  batch->listing = NULL;
}

void batch_close(struct file_batch *batch) {
  close_listing(batch);
  if (batch->directory < 0) return;
  for (size_t i = 0; i < batch->count; i++) {
    drop(batch, &batch->files[i].temporary);
    drop(batch, &batch->files[i].old);
  }
  close(batch->directory);
  batch->directory = -1;
}

/* ---- writing ---- */

/* 0, or the reason of the first fault. */
static int write_all(int descriptor, const char *text, size_t length) {
  while (length > 0) {
    ssize_t written = write(descriptor, text, length < WRITE_STEP ? length : WRITE_STEP);
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) return errno;
    if (written == 0) return ENOSPC;
    text += written;
    length -= (size_t)written;
  }
  return 0;
}

void batch_keep_mode(struct file_batch *batch, const char *name) {
  struct stat status;
  bool file =
      fstatat(batch->directory, name, &status, AT_SYMLINK_NOFOLLOW) == 0 && S_ISREG(status.st_mode);
  batch->mode = file ? status.st_mode & (S_IRWXU | S_IRWXG | S_IRWXO) : 0;
}

bool batch_add(struct file_batch *batch, const char *name, const char *text, size_t length) {
  struct file *file = ARENA_PUSH(batch->arena, batch->files, batch->count, batch->room);
  file->name = arena_copy_text(batch->arena, name);
  const char *temporary = arena_format(batch->arena, ".%s.tmp", name);
  /* One that a stopped run left behind; a new file must be made, so that no link is followed. */
  unlinkat(batch->directory, temporary, 0);
  int descriptor = openat(batch->directory, temporary,
                          O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, NEW_FILE_MODE);
  if (descriptor < 0) return fail(batch, name, "cannot be made", errno);
  file->temporary = temporary;
  int reason = write_all(descriptor, text, length);
  if (reason == 0 && batch->mode != 0 && fchmod(descriptor, batch->mode) != 0) reason = errno;
  if (reason == 0 && batch->count <= FORCED_TO_DISK && fsync(descriptor) != 0) reason = errno;
  if (close(descriptor) != 0 && reason == 0) reason = errno;
  return reason == 0 || fail(batch, name, "cannot be written", reason);
}

/* ---- final names ---- */

/* True when a file may be renamed to the name: nothing, a file or a link stands there. */
static bool may_be_replaced(const struct file_batch *batch, const char *name) {
  struct stat status;
  return fstatat(batch->directory, name, &status, AT_SYMLINK_NOFOLLOW) != 0 ||
         !S_ISDIR(status.st_mode);
}

/* Where the file system knows no second names, there is nothing to go back to. */
static void keep_old(const struct file_batch *batch, struct file *file) {
  const char *old = arena_format(batch->arena, ".%s.old", file->name);
  unlinkat(batch->directory, old, 0);
  if (linkat(batch->directory, file->name, batch->directory, old, 0) == 0)
    file->old = old;
  else
    file->is_new = errno == ENOENT;
}

/* Puts back the files of before under the first `count` names. A name that had none
 * loses the new file. */
static void put_back(const struct file_batch *batch, size_t count) {
  for (size_t i = 0; i < count; i++) {
    struct file *file = &batch->files[i];
    if (file->is_new) unlinkat(batch->directory, file->name, 0);
    if (file->old != NULL &&
        renameat(batch->directory, file->old, batch->directory, file->name) == 0)
      file->old = NULL;
  }
}

static bool rename_all(struct file_batch *batch) {
  for (size_t i = 0; i < batch->count; i++)
    if (!may_be_replaced(batch, batch->files[i].name))
      return fail(batch, batch->files[i].name, "cannot be replaced", EISDIR);
  for (size_t i = 0; i < batch->count; i++) keep_old(batch, &batch->files[i]);
  for (size_t i = 0; i < batch->count; i++) {
    struct file *file = &batch->files[i];
    if (renameat(batch->directory, file->temporary, batch->directory, file->name) != 0) {
      int reason = errno;
      put_back(batch, i);
      return fail(batch, file->name, "cannot be replaced", reason);
    }
    file->temporary = NULL;
  }
  for (size_t i = 0; i < batch->count; i++) drop(batch, &batch->files[i].old);
  /* Not every file system can force a folder to the disk; the files themselves are. */
  fsync(batch->directory);
  return true;
}

/* Signals that end a program wait until either the old or the new files stand. */
bool batch_commit(struct file_batch *batch) {
  sigset_t ending, before;
  sigemptyset(&ending);
  sigaddset(&ending, SIGINT);
  sigaddset(&ending, SIGTERM);
  sigaddset(&ending, SIGHUP);
  bool held = pthread_sigmask(SIG_BLOCK, &ending, &before) == 0;
  bool done = rename_all(batch);
  if (held) pthread_sigmask(SIG_SETMASK, &before, NULL);
  return done;
}

/* ---- what an earlier batch left ---- */

static bool name_matches(const char *name, const char *start, const char *end) {
  size_t length = strlen(name);
  return strncmp(name, start, strlen(start)) == 0 && length >= strlen(start) + strlen(end) &&
         strcmp(name + length - strlen(end), end) == 0;
}

static bool is_of_batch(const struct file_batch *batch, const char *name) {
  for (size_t i = 0; i < batch->count; i++)
    if (strcmp(batch->files[i].name, name) == 0) return true;
  return false;
}

/* The folder's names, read by a descriptor of its own; NULL when that fails. */
static DIR *open_listing(const struct file_batch *batch) {
  int descriptor = openat(batch->directory, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return NULL;
  DIR *listing = fdopendir(descriptor);
  if (listing == NULL) close(descriptor);
  return listing;
}

bool batch_remove_others(struct file_batch *batch, const char *start, const char *end) {
  /* Nothing is allocated unless there is a fault: after the commit memory may not run out. */
  batch->listing = open_listing(batch);
  if (batch->listing == NULL) return fail(batch, NULL, "folder cannot be listed", errno);
  bool done = true;
  for (const struct dirent *entry = readdir(batch->listing); done && entry != NULL;
       entry = readdir(batch->listing)) {
    if (!name_matches(entry->d_name, start, end) || is_of_batch(batch, entry->d_name)) continue;
    if (!may_be_replaced(batch, entry->d_name)) continue;
    if (unlinkat(batch->directory, entry->d_name, 0) != 0)
      done = fail(batch, entry->d_name, "is of an earlier plan and cannot be removed", errno);
  }
  close_listing(batch);
  return done;
}
