/* Allocations are passed on to the allocator under the names it has besides the usual ones. */
#include "fault_points.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <sys/stat.h>
#include <unistd.h>

#include "write/pdf_page.h"

#if defined(__SANITIZE_ADDRESS__)
#define OWN_ALLOCATOR 0
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define OWN_ALLOCATOR 0
#endif
#endif
#ifndef OWN_ALLOCATOR
#define OWN_ALLOCATOR 1
#endif

static struct fault armed;
static struct fault_tally *tally;
static bool drawing;

/* Pango looks for fonts on a thread of its own, which would come in between now here, now there. */
static _Thread_local bool counts;

bool fault_reaches_allocations(void) { return OWN_ALLOCATOR != 0; }

void fault_arm(const struct fault *fault, struct fault_tally *shared) {
  counts = true;
  armed = *fault;
  tally = shared;
}

void fault_disarm(void) { tally = NULL; }

/* True when this call is to fail, errno being set then. */
static bool must_fail(enum call call) {
  if (!counts || tally == NULL || (armed.calls & CALL_BIT(call)) == 0) return false;
  long made = ++tally->calls;
  bool due = armed.kind == FAULT_ALL ? made >= armed.nth : made == armed.nth;
  if (armed.kind == FAULT_NONE || !due) return false;
  tally->met = true;
  if (armed.kind == FAULT_SIGNAL) {
    int before = errno;
    kill(getpid(), armed.number);
    errno = before;
    return false;
  }
  errno = armed.number;
  return true;
}

/* ---- of the system ---- */

#define WRAPPED(type, name, parameters) \
  type __real_##name parameters; \
  type __wrap_##name parameters; \
  type __wrap_##name parameters

int __real_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...);
int __real_openat(int folder, const char *path, int flags, ...);
int __wrap_openat(int folder, const char *path, int flags, ...);

static unsigned mode_of(va_list list, int flags) {
  return (flags & O_CREAT) != 0 ? va_arg(list, unsigned) : 0;
}

int __wrap_open(const char *path, int flags, ...) {
  va_list list;
  va_start(list, flags);
  unsigned mode = mode_of(list, flags);
  va_end(list);
  return must_fail(CALL_OPEN) ? -1 : __real_open(path, flags, mode);
}

int __wrap_openat(int folder, const char *path, int flags, ...) {
  va_list list;
  va_start(list, flags);
  unsigned mode = mode_of(list, flags);
  va_end(list);
  return must_fail(CALL_OPEN) ? -1 : __real_openat(folder, path, flags, mode);
}

WRAPPED(FILE *, fopen, (const char *path, const char *mode)) {
  return must_fail(CALL_READ) ? NULL : __real_fopen(path, mode);
}

/* What does not fit is missed only after what still does. */
WRAPPED(ssize_t, write, (int descriptor, const void *bytes, size_t count)) {
  if (!must_fail(CALL_WRITE)) return __real_write(descriptor, bytes, count);
  int reason = errno;
  if (count > 1) {
    ssize_t written = __real_write(descriptor, bytes, count / 2);
    (void)written;
  }
  errno = reason;
  return -1;
}

WRAPPED(int, fsync, (int descriptor)) {
  return must_fail(CALL_SYNC) ? -1 : __real_fsync(descriptor);
}

WRAPPED(int, close, (int descriptor)) {
  if (!must_fail(CALL_CLOSE)) return __real_close(descriptor);
  int reason = errno;
  (void)__real_close(descriptor);
  errno = reason;
  return -1;
}

WRAPPED(int, fchmod, (int descriptor, mode_t mode)) {
  return must_fail(CALL_MODE) ? -1 : __real_fchmod(descriptor, mode);
}

WRAPPED(int, rename, (const char *from, const char *to)) {
  return must_fail(CALL_RENAME) ? -1 : __real_rename(from, to);
}

WRAPPED(int, renameat, (int from_folder, const char *from, int to_folder, const char *to)) {
  return must_fail(CALL_RENAME) ? -1 : __real_renameat(from_folder, from, to_folder, to);
}

WRAPPED(int, linkat,
        (int from_folder, const char *from, int to_folder, const char *to, int flags)) {
  return must_fail(CALL_LINK) ? -1 : __real_linkat(from_folder, from, to_folder, to, flags);
}

WRAPPED(int, unlink, (const char *path)) {
  return must_fail(CALL_REMOVE) ? -1 : __real_unlink(path);
}

WRAPPED(int, unlinkat, (int folder, const char *path, int flags)) {
  return must_fail(CALL_REMOVE) ? -1 : __real_unlinkat(folder, path, flags);
}

WRAPPED(int, mkdir, (const char *path, mode_t mode)) {
  return must_fail(CALL_FOLDER) ? -1 : __real_mkdir(path, mode);
}

WRAPPED(DIR *, opendir, (const char *path)) {
  return must_fail(CALL_READ) ? NULL : __real_opendir(path);
}

WRAPPED(DIR *, fdopendir, (int descriptor)) {
  return must_fail(CALL_LIST) ? NULL : __real_fdopendir(descriptor);
}

/* ---- of the program ---- */

WRAPPED(struct pdf *, pdf_open, (struct arena * arena, const char *title)) {
  drawing = true;
  return __real_pdf_open(arena, title);
}

WRAPPED(void, pdf_close, (struct pdf * pdf, struct buffer *buffer)) {
  __real_pdf_close(pdf, buffer);
  drawing = false;
}

/* ---- of the allocator ---- */

#if OWN_ALLOCATOR
static bool allocation_fails(void) { return must_fail(drawing ? CALL_DRAW : CALL_ALLOCATE); }

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *old, size_t size);

void *malloc(size_t size) { return allocation_fails() ? NULL : __libc_malloc(size); }

void *calloc(size_t count, size_t size) {
  return allocation_fails() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size) {
  return allocation_fails() ? NULL : __libc_realloc(old, size);
}
#endif
