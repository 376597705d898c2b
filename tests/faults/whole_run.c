#include "whole_run.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "blankwright/blankwright.h"
#include "random/project_disk.h"
#include "random/sanitized.h"

/* Under the sanitizers runs take several times as long: every third place of the usual ones. */
#ifdef SANITIZED
enum { STRIDE = 3 };
#else
enum { STRIDE = 1 };
#endif

/* The program's main(), under this name here. */
int program_main(int argc, char **argv);

static const char *scratch;
static struct fault_tally *tally; /* shared with the runs */

struct arena *scratch_open(void) {
  struct arena *arena = arena_create();
  if (arena == NULL) return NULL;
  scratch = disk_scratch(arena);
  if (chdir(scratch) != 0 || mkdir("boards", 0777) != 0) return NULL;
  int file = open("tally", O_RDWR | O_CREAT, 0666);
  if (file < 0 || ftruncate(file, sizeof *tally) != 0) return NULL;
  tally = mmap(NULL, sizeof *tally, PROT_READ | PROT_WRITE, MAP_SHARED, file, 0);
  close(file);
  return tally == MAP_FAILED ? NULL : arena;
}

void warm_up(void) {
  struct bw_options options = {.sets = 1, .effort = 1, .threads = 1, .out = "warm"};
  struct bw_run *run = bw_plan(PROJECT, &options);
  assert_int_equal(bw_run_status(run), BW_DONE);
  bw_run_free(run);
}

void scratch_close(struct arena *arena) {
  if (chdir("/") != 0) return;
  disk_remove(arena, scratch);
  munmap(tally, sizeof *tally);
  arena_destroy(arena);
}

/* ---- running ---- */

static void point_stream(int stream, const char *path) {
  int file = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0666);
  if (file < 0 || dup2(file, stream) < 0) _exit(99);
  close(file);
}

/* Those of the test's framework would go on with the other tests. */
static void forget_handlers(void) {
  static const int handled[] = {SIGFPE, SIGILL, SIGSEGV, SIGBUS, SIGSYS, SIGABRT};
  for (size_t i = 0; i < sizeof handled / sizeof *handled; i++) signal(handled[i], SIG_DFL);
}

static _Noreturn void become_program(const struct fault *fault, const char *const *words) {
  char *arguments[WORDS_MOST + 2] = {strdup("blankwright")};
  int count = 1;
  while (words[count - 1] != NULL && count <= WORDS_MOST) {
    arguments[count] = strdup(words[count - 1]);
    count++;
  }
  forget_handlers();
  point_stream(STDOUT_FILENO, "output");
  point_stream(STDERR_FILENO, "errors");
  if (fault != NULL) fault_arm(fault, tally);
  int status = program_main(count, arguments);
  fault_disarm();
  for (int i = 0; i < count; i++) free(arguments[i]);
  exit(status);
}

struct ended run_program(struct arena *arena, const struct fault *fault, const char *const *words) {
  *tally = (struct fault_tally){.calls = 0};
  fflush(NULL);
  pid_t child = fork();
  assert_true(child >= 0);
  if (child == 0) become_program(fault, words);
  int status = 0;
  assert_int_equal(waitpid(child, &status, 0), child);
  struct ended ended = {.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1,
                        .signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0,
                        .met = tally->met,
                        .calls = tally->calls};
  ended.output = disk_read(arena, "output");
  ended.errors = disk_read(arena, "errors");
  return ended;
}

/* ---- what lies in a folder ---- */

static int by_name(const void *a, const void *b) {
  const struct snapshot_file *first = a, *second = b;
  return strcmp(first->name, second->name);
}

struct snapshot snapshot_take(struct arena *arena, const char *folder) {
  struct snapshot taken = {NULL, 0, 0};
  DIR *listing = opendir(folder);
  if (listing == NULL) return taken;
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) continue;
    struct snapshot_file *file = ARENA_PUSH(arena, taken.files, taken.count, taken.room);
    file->name = arena_copy_text(arena, entry->d_name);
    file->bytes = disk_read(arena, disk_path(arena, folder, file->name));
  }
  closedir(listing);
  if (taken.count > 1) qsort(taken.files, taken.count, sizeof *taken.files, by_name);
  return taken;
}

void snapshot_restore(struct arena *arena, const struct snapshot *snapshot, const char *folder) {
  disk_remove(arena, folder);
  for (size_t i = 0; i < snapshot->count; i++)
    disk_write(arena, folder, snapshot->files[i].name, snapshot->files[i].bytes);
}

const struct buffer *snapshot_file(const struct snapshot *snapshot, const char *name) {
  for (size_t i = 0; i < snapshot->count; i++)
    if (strcmp(snapshot->files[i].name, name) == 0) return snapshot->files[i].bytes;
  return NULL;
}

const char *snapshot_difference(const struct snapshot *a, const struct snapshot *b) {
  for (size_t i = 0; i < a->count || i < b->count; i++) {
    if (i >= a->count) return b->files[i].name;
    if (i >= b->count) return a->files[i].name;
    const struct snapshot_file *one = &a->files[i], *other = &b->files[i];
    if (strcmp(one->name, other->name) != 0 || one->bytes->length != other->bytes->length ||
        memcmp(one->bytes->text, other->bytes->text, one->bytes->length) != 0)
      return one->name;
  }
  return NULL;
}

const char *snapshot_hidden(const struct snapshot *snapshot) {
  for (size_t i = 0; i < snapshot->count; i++)
    if (snapshot->files[i].name[0] == '.') return snapshot->files[i].name;
  return NULL;
}

long fault_stride(long calls, long most) {
  const char *asked = getenv("BLANKWRIGHT_FAULTS");
  if (asked != NULL && strcmp(asked, "all") == 0) return 1;
  return (calls <= most ? 1 : calls / most) * STRIDE;
}
