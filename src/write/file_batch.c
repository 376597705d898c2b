#include "write/file_batch.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* What ends a program from outside. */
static const int ENDING[] = {SIGINT, SIGTERM, SIGHUP};
enum { ENDING_COUNT = sizeof ENDING / sizeof *ENDING };

/* What a library's thread ends with that finds no memory. */
static const int ABORTS[] = {SIGABRT, SIGTRAP};
enum { ABORT_COUNT = sizeof ABORTS / sizeof *ABORTS };

struct file {
  const char *name;
  const char *temporary; /* NULL once it has been renamed or removed, and of one that goes */
  const char *old;       /* a second name of the file of before, while it may be needed */
  bool is_new;           /* nothing stood under the name before */
  bool goes;             /* it is taken away, not replaced */
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
  const char *notice, *notice_text; /* NULL: none */
  bool covers;                      /* what a notice of before is about */
  bool noticed;                     /* the notice in the folder is to go when the batch closes */
  bool stuck;                       /* what was renamed could not be put back */
  sigset_t signals;                 /* to be held again when the batch closes */
  bool signals_held;
  struct sigaction endings[ENDING_COUNT]; /* of ENDING, to be set again when the batch closes */
  struct sigaction aborts[ABORT_COUNT];   /* the same of ABORTS */
  bool guards;                            /* it is the batch that signals wait for */
  bool aborts_wait;
};

/* One batch at a time is guarded against signals that reach other threads. */
static pthread_mutex_t guarding = PTHREAD_MUTEX_INITIALIZER;
static pthread_t renaming;
static atomic_int came[ENDING_COUNT]; /* while it was */

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

/* In a thread of a library, which does not block it. */
static void note_signal(int number) {
  for (size_t i = 0; i < ENDING_COUNT; i++)
    if (ENDING[i] == number) atomic_store(&came[i], 1);
}

/* What is ignored stays so. */
static void note_signals(struct file_batch *batch) {
  batch->guards = pthread_mutex_trylock(&guarding) == 0;
  if (!batch->guards) return;
  struct sigaction action = {.sa_handler = note_signal, .sa_flags = SA_RESTART};
  sigemptyset(&action.sa_mask);
  for (size_t i = 0; i < ENDING_COUNT; i++) {
    atomic_store(&came[i], 0);
    sigaction(ENDING[i], NULL, &batch->endings[i]);
    if (batch->endings[i].sa_handler != SIG_IGN) sigaction(ENDING[i], &action, NULL);
  }
}

/* Signals that end a program wait until the batch is closed: either the old or the new files
 * stand then, and nothing else. This thread blocks them; one that reaches another is noted. */
static void hold_signals(struct file_batch *batch) {
  sigset_t ending;
  sigemptyset(&ending);
  for (size_t i = 0; i < ENDING_COUNT; i++) sigaddset(&ending, ENDING[i]);
  batch->signals_held = pthread_sigmask(SIG_BLOCK, &ending, &batch->signals) == 0;
  note_signals(batch);
}

/* Those noted are raised again, to be dealt with as before the batch. */
static void stop_noting_signals(struct file_batch *batch) {
  if (!batch->guards) return;
  batch->guards = false;
  for (size_t i = 0; i < ENDING_COUNT; i++) sigaction(ENDING[i], &batch->endings[i], NULL);
  for (size_t i = 0; i < ENDING_COUNT; i++)
    if (atomic_exchange(&came[i], 0) != 0) raise(ENDING[i]);
  pthread_mutex_unlock(&guarding);
}

static void let_signals_through(struct file_batch *batch) {
  bool held = batch->signals_held;
  batch->signals_held = false;
  stop_noting_signals(batch);
  if (held) pthread_sigmask(SIG_SETMASK, &batch->signals, NULL);
}

/* In whatever thread broke off. Another than the one that renames is not waited for any more. */
static void wait_for_files(int number) {
  if (pthread_equal(pthread_self(), renaming)) {
    signal(number, SIG_DFL);
    raise(number);
  }
  for (;;) pause();
}

/* Fonts are looked up in threads of their own, which may still be at it when all is drawn: one that
 * ends the program must not do so while some files are old and some new. */
static void let_aborts_wait(struct file_batch *batch) {
  if (!batch->guards) return;
  struct sigaction action = {.sa_handler = wait_for_files};
  sigemptyset(&action.sa_mask);
  renaming = pthread_self();
  for (size_t i = 0; i < ABORT_COUNT; i++) sigaction(ABORTS[i], &action, &batch->aborts[i]);
  batch->aborts_wait = true;
}

static void let_aborts_end(struct file_batch *batch) {
  if (!batch->aborts_wait) return;
  batch->aborts_wait = false;
  for (size_t i = 0; i < ABORT_COUNT; i++) sigaction(ABORTS[i], &batch->aborts[i], NULL);
}

struct file_batch *batch_open(struct arena *arena, const char *folder,
                              struct diagnostics *diagnostics) {
  struct file_batch *batch = ARENA_NEW(arena, struct file_batch);
  *batch = (struct file_batch){
      .arena = arena, .folder = folder, .diagnostics = diagnostics, .directory = -1};
  arena_defer(arena, release_batch, batch);
  hold_signals(batch);
  int reason = make_folders(arena, folder);
  if (reason != 0) {
    fail(batch, NULL, "folder cannot be made", reason);
    batch_close(batch);
    return NULL;
  }
  batch->directory = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (batch->directory < 0) {
    fail(batch, NULL, "folder cannot be opened", errno);
    batch_close(batch);
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

/* The last file's first: whoever takes a temporary file that stands alone for a sign that renaming
 * was stopped before it (settled_by_half) must not find one here. */
static void drop_all(struct file_batch *batch) {
  for (size_t i = batch->count; i-- > 0;) {
    drop(batch, &batch->files[i].temporary);
    drop(batch, &batch->files[i].old);
  }
  if (batch->noticed) unlinkat(batch->directory, batch->notice, 0);
}

void batch_close(struct file_batch *batch) {
  close_listing(batch);
  if (batch->directory >= 0) {
    if (!batch->stuck) drop_all(batch);
    close(batch->directory);
    batch->directory = -1;
  }
  let_aborts_end(batch);
  let_signals_through(batch);
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

/* Writes a new file; 0, or the reason of the first fault. A file that stands under the name, left
 * behind by a stopped run, is removed first, so that no link is followed. */
static int write_file(const struct file_batch *batch, const char *name, const char *text,
                      size_t length, bool forced) {
  unlinkat(batch->directory, name, 0);
  int descriptor = openat(batch->directory, name,
                          O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, NEW_FILE_MODE);
  if (descriptor < 0) return errno;
  int reason = write_all(descriptor, text, length);
  if (reason == 0 && batch->mode != 0 && fchmod(descriptor, batch->mode) != 0) reason = errno;
  if (reason == 0 && forced && fsync(descriptor) != 0) reason = errno;
  if (close(descriptor) != 0 && reason == 0) reason = errno;
  return reason;
}

bool batch_add(struct file_batch *batch, const char *name, const char *text, size_t length) {
  struct file *file = ARENA_PUSH(batch->arena, batch->files, batch->count, batch->room);
  file->name = arena_copy_text(batch->arena, name);
  file->temporary = arena_format(batch->arena, ".%s.tmp", name);
  int reason = write_file(batch, file->temporary, text, length, batch->count <= FORCED_TO_DISK);
  return reason == 0 || fail(batch, name, "cannot be written", reason);
}

void batch_notice(struct file_batch *batch, const char *name, const char *text, bool covers) {
  batch->notice = name;
  batch->notice_text = text;
  batch->covers = covers;
}

/* ---- final names ---- */

/* True when a file may be renamed to the name: nothing, a file or a link stands there. */
static bool may_be_replaced(const struct file_batch *batch, const char *name) {
  struct stat status;
  return fstatat(batch->directory, name, &status, AT_SYMLINK_NOFOLLOW) != 0 ||
         !S_ISDIR(status.st_mode);
}

/* Copies what can be read from one file to another; 0, or the reason of the first fault. */
static int copy_bytes(int from, int to) {
  char bytes[1 << 14];
  for (;;) {
    ssize_t count = read(from, bytes, sizeof bytes);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return errno;
    if (count == 0) return 0;
    int reason = write_all(to, bytes, (size_t)count);
    if (reason != 0) return reason;
  }
}

/* Where the file system knows no second names, or none of this file. */
static int copy_old(const struct file_batch *batch, const char *name, const char *old) {
  int from = openat(batch->directory, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
  if (from < 0) return errno;
  struct stat status;
  int to = -1;
  if (fstat(from, &status) == 0)
    to = openat(batch->directory, old, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC,
                status.st_mode & (S_IRWXU | S_IRWXG | S_IRWXO));
  int reason = to < 0 ? errno : copy_bytes(from, to);
  if (to >= 0 && close(to) != 0 && reason == 0) reason = errno;
  close(from);
  return reason;
}

static bool keep_old(struct file_batch *batch, struct file *file) {
  const char *old = arena_format(batch->arena, ".%s.old", file->name);
  unlinkat(batch->directory, old, 0);
  file->old = old;
  if (linkat(batch->directory, file->name, batch->directory, old, 0) == 0) return true;
  int reason = errno == ENOENT ? ENOENT : copy_old(batch, file->name, old);
  if (reason == 0) return true;
  drop(batch, &file->old);
  file->is_new = reason == ENOENT;
  return file->is_new || fail(batch, file->name, "cannot be kept until it is replaced", reason);
}

/* Puts the file of before back; a name that had none loses the new file. */
static bool put_one_back(struct file_batch *batch, struct file *file) {
  int done = file->is_new ? unlinkat(batch->directory, file->name, 0)
                          : renameat(batch->directory, file->old, batch->directory, file->name);
  batch->stuck = done != 0;
  if (batch->stuck) return fail(batch, file->name, "cannot be put back", errno);
  file->old = NULL;
  return true;
}

/* The first `count` names, the last of them first. Where that fails it stops, as a run that is
 * killed while it renames. */
static void put_back(struct file_batch *batch, size_t count) {
  while (count > 0 && put_one_back(batch, &batch->files[count - 1])) count--;
}

static bool is_file(const struct file_batch *batch, const char *name) {
  struct stat status;
  return fstatat(batch->directory, name, &status, AT_SYMLINK_NOFOLLOW) == 0 &&
         S_ISREG(status.st_mode);
}

/* Whether the notice in the folder says what the batch would, so far as it was written: then it is
 * about the same files, or nothing was renamed. */
static bool says_the_same(const struct file_batch *batch) {
  char text[512];
  size_t length = strlen(batch->notice_text);
  int file = openat(batch->directory, batch->notice, O_RDONLY | O_NOFOLLOW | O_CLOEXEC);
  if (file < 0) return false;
  ssize_t got = read(file, text, sizeof text);
  close(file);
  return got >= 0 && (size_t)got <= length && memcmp(text, batch->notice_text, (size_t)got) == 0;
}

/* Before the first file is renamed. One that a killed run left holds until its files are replaced.
 */
static bool give_notice(struct file_batch *batch) {
  if (batch->notice == NULL) return true;
  if (is_file(batch, batch->notice)) {
    batch->covers = batch->covers || says_the_same(batch);
    return true;
  }
  batch->noticed = true;
  int reason =
      write_file(batch, batch->notice, batch->notice_text, strlen(batch->notice_text), true);
  return reason == 0 || fail(batch, batch->notice, "cannot be written", reason);
}

/* 0 or the reason of the fault. */
static int give_name(const struct file_batch *batch, struct file *file) {
  int done = file->goes ? unlinkat(batch->directory, file->name, 0)
                        : renameat(batch->directory, file->temporary, batch->directory, file->name);
  if (done != 0) return errno;
  file->temporary = NULL;
  return 0;
}

static bool rename_all(struct file_batch *batch) {
  for (size_t i = 0; i < batch->count; i++)
    if (!may_be_replaced(batch, batch->files[i].name))
      return fail(batch, batch->files[i].name, "cannot be replaced", EISDIR);
  for (size_t i = 0; i < batch->count; i++)
    if (!keep_old(batch, &batch->files[i])) return false;
  if (!give_notice(batch)) return false;
  for (size_t i = 0; i < batch->count; i++) {
    int reason = give_name(batch, &batch->files[i]);
    if (reason == 0) continue;
    put_back(batch, i);
    return fail(
        batch, batch->files[i].name,
        batch->files[i].goes ? "is of an earlier run and cannot be removed" : "cannot be replaced",
        reason);
  }
  return true;
}

bool batch_commit(struct file_batch *batch) {
  let_aborts_wait(batch);
  if (!rename_all(batch)) return false;
  batch->noticed = batch->noticed || (batch->notice != NULL && batch->covers);
  for (size_t i = 0; i < batch->count; i++) drop(batch, &batch->files[i].old);
  /* Not every file system can force a folder to the disk; the files themselves are. */
  fsync(batch->directory);
  return true;
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

bool batch_retire(struct file_batch *batch, const char *start, const char *end) {
  batch->listing = open_listing(batch);
  if (batch->listing == NULL) return fail(batch, NULL, "folder cannot be listed", errno);
  for (const struct dirent *entry = readdir(batch->listing); entry != NULL;
       entry = readdir(batch->listing)) {
    const char *name = entry->d_name;
    if (!name_matches(name, start, end) || is_of_batch(batch, name)) continue;
    if (!may_be_replaced(batch, name)) continue;
    struct file *file = ARENA_PUSH(batch->arena, batch->files, batch->count, batch->room);
    file->name = arena_copy_text(batch->arena, name);
    file->goes = true;
  }
  close_listing(batch);
  return true;
}

void batch_sweep(struct file_batch *batch, const char *start, const char *end) {
  batch->listing = open_listing(batch);
  if (batch->listing == NULL) return;
  for (const struct dirent *entry = readdir(batch->listing); entry != NULL;
       entry = readdir(batch->listing))
    if (name_matches(entry->d_name, start, end)) unlinkat(batch->directory, entry->d_name, 0);
  close_listing(batch);
}
