#include "base/arena.h"

#include <stdalign.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct block {
  struct block *previous;
  size_t size; /* bytes of data behind the header */
  size_t used;
  alignas(max_align_t) unsigned char data[];
};

struct deferred {
  struct deferred *previous;
  void (*release)(void *resource);
  void *resource;
};

struct arena {
  struct block *newest;
  struct block *spare; /* or NULL */
  struct deferred *deferred;
  struct arena *parent; /* takes what is raised here, when there is one */
  bool apart;           /* what is raised here stays here for now */
  jmp_buf trap;
};

/* Under an address sanitizer every block is given back, so that what uses it after is found, and
 * what of a block is not handed out may not be touched: what lies between two pieces, and what was
 * released. */
#if defined(__SANITIZE_ADDRESS__)
#define SANITIZED
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED
#endif
#endif

#ifdef SANITIZED
#include <sanitizer/asan_interface.h>
#define SPARE_MOST 0
enum { BETWEEN = 16 };
static void forbid(const void *from, size_t bytes) { __asan_poison_memory_region(from, bytes); }
static void allow(const void *from, size_t bytes) { __asan_unpoison_memory_region(from, bytes); }
#else
#define SPARE_MOST LARGEST_STEP
enum { BETWEEN = 0 };
static void forbid(const void *from, size_t bytes) { (void)from, (void)bytes; }
static void allow(const void *from, size_t bytes) { (void)from, (void)bytes; }
#endif

enum { FIRST_BLOCK = 1 << 14, LARGEST_STEP = 1 << 22 };

static _Thread_local unsigned long fail_countdown;

void arena_fail_after(unsigned long allocations) { fail_countdown = allocations; }

static bool allocation_must_fail(void) { return fail_countdown != 0 && --fail_countdown == 0; }

struct arena *arena_create(void) {
  if (allocation_must_fail()) return NULL;
  return calloc(1, sizeof(struct arena));
}

static void destroy_child(void *resource) { arena_destroy(resource); }

struct arena *arena_create_child(struct arena *parent) {
  arena_defer(parent, destroy_child, NULL);
  struct arena *arena = arena_create();
  if (arena == NULL) arena_raise(parent, STATUS_NO_MEMORY);
  arena->parent = parent;
  parent->deferred->resource = arena;
  return arena;
}

static void run_deferred_until(struct arena *arena, const struct deferred *stop) {
  while (arena->deferred != stop) {
    struct deferred *entry = arena->deferred;
    arena->deferred = entry->previous;
    entry->release(entry->resource);
  }
}

/* Work that marks and releases again and again must not fetch and give back a block each time. */
static void keep_spare(struct arena *arena, struct block *block) {
  bool keeps =
      block->size <= SPARE_MOST && (arena->spare == NULL || arena->spare->size < block->size);
  struct block *other = keeps ? arena->spare : block;
  if (keeps) arena->spare = block;
  free(other);
}

static void free_blocks_until(struct arena *arena, const struct block *stop) {
  while (arena->newest != stop) {
    struct block *block = arena->newest;
    arena->newest = block->previous;
    keep_spare(arena, block);
  }
}

void arena_destroy(struct arena *arena) {
  if (arena == NULL) return;
  run_deferred_until(arena, NULL);
  free_blocks_until(arena, NULL);
  free(arena->spare);
  free(arena);
}

jmp_buf *arena_trap(struct arena *arena) { return &arena->trap; }

void arena_raise(struct arena *arena, enum status status) {
  while (arena->parent != NULL && !arena->apart) arena = arena->parent;
  longjmp(arena->trap, (int)(status == STATUS_OK ? STATUS_SOLVER_FAULT : status));
}

enum status arena_run_apart(struct arena *child, void (*work)(void *data), void *data) {
  child->apart = true;
  enum status status = ARENA_TRY(child);
  if (status == STATUS_OK) work(data);
  child->apart = false;
  return status;
}

static void add_block(struct arena *arena, size_t bytes) {
  size_t size = arena->newest == NULL ? (size_t)FIRST_BLOCK : arena->newest->size * 2;
  if (size > LARGEST_STEP) size = LARGEST_STEP;
  if (size < bytes) size = bytes;
  if (arena->spare != NULL && arena->spare->size >= bytes) {
    struct block *spare = arena->spare;
    arena->spare = NULL;
    spare->previous = arena->newest;
    spare->used = 0;
    arena->newest = spare;
    return;
  }
  if (size > SIZE_MAX - sizeof(struct block)) arena_raise(arena, STATUS_NO_MEMORY);
  struct block *block = malloc(sizeof(struct block) + size);
  if (block == NULL) arena_raise(arena, STATUS_NO_MEMORY);
  block->previous = arena->newest;
  block->size = size;
  block->used = 0;
  forbid(block->data, block->size);
  arena->newest = block;
}

/* The first `cleared_from` bytes are left as they come. */
static void *take(struct arena *arena, size_t count, size_t size, size_t cleared_from) {
  size_t bytes = 0;
  if (__builtin_mul_overflow(count, size, &bytes) || bytes > SIZE_MAX / 2 || allocation_must_fail())
    arena_raise(arena, STATUS_NO_MEMORY);
  size_t alignment = alignof(max_align_t);
  size_t room = (bytes + alignment - 1) / alignment * alignment + BETWEEN;
  struct block *block = arena->newest;
  if (block == NULL || block->size - block->used < room) {
    add_block(arena, room);
    block = arena->newest;
  }
  void *result = block->data + block->used;
  block->used += room;
  allow(result, bytes);
  memset((unsigned char *)result + cleared_from, 0, bytes - cleared_from);
  return result;
}

void *arena_alloc(struct arena *arena, size_t count, size_t size) {
  return take(arena, count, size, 0);
}

void *arena_grow(struct arena *arena, const void *old, size_t used, size_t room, size_t size) {
  void *grown = take(arena, room, size, used * size);
  if (used > 0) memcpy(grown, old, used * size);
  return grown;
}

char *arena_copy_bytes(struct arena *arena, const char *text, size_t length) {
  char *copy = arena_alloc(arena, length + 1, 1);
  if (length > 0) memcpy(copy, text, length);
  return copy;
}

char *arena_copy_text(struct arena *arena, const char *text) {
  return arena_copy_bytes(arena, text, strlen(text));
}

char *arena_format_list(struct arena *arena, const char *format, va_list list) {
  va_list measured;
  va_copy(measured, list);
  char probe[1];
  int length = vsnprintf(probe, sizeof probe, format, measured);
  va_end(measured);
  if (length < 0) arena_raise(arena, STATUS_NO_MEMORY);
  char *text = arena_alloc(arena, (size_t)length + 1, 1);
  vsnprintf(text, (size_t)length + 1, format, list);
  return text;
}

char *arena_format(struct arena *arena, const char *format, ...) {
  va_list list;
  va_start(list, format);
  char *text = arena_format_list(arena, format, list);
  va_end(list);
  return text;
}

void arena_defer(struct arena *arena, void (*release)(void *resource), void *resource) {
  struct deferred *entry = ARENA_NEW(arena, struct deferred);
  entry->previous = arena->deferred;
  entry->release = release;
  entry->resource = resource;
  arena->deferred = entry;
}

struct arena_mark arena_mark(struct arena *arena) {
  struct arena_mark mark = {arena->newest, arena->newest == NULL ? 0 : arena->newest->used,
                            arena->deferred};
  return mark;
}

void arena_release(struct arena *arena, struct arena_mark mark) {
  run_deferred_until(arena, mark.deferred);
  free_blocks_until(arena, mark.block);
  struct block *newest = arena->newest;
  if (newest == NULL) return;
  forbid(newest->data + mark.used, newest->used - mark.used);
  newest->used = mark.used;
}
