/* Memory by arena: everything allocated from an arena lives until arena_destroy
 * (or until a release to an earlier mark). Allocation never returns NULL: when
 * memory runs out, control jumps to the place armed with ARENA_TRY, and the
 * owner of the arena destroys it there. Foreign resources (a solver's problem,
 * an open file) are registered with arena_defer and so are never lost.
 *
 *   struct arena *arena = arena_create();
 *   if (arena == NULL) return STATUS_NO_MEMORY;
 *   enum status status = ARENA_TRY(arena);
 *   if (status == STATUS_OK) work(arena);
 *   arena_destroy(arena);
 */
#ifndef BLANKWRIGHT_BASE_ARENA_H
#define BLANKWRIGHT_BASE_ARENA_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>

#include "base/status.h"

struct arena;

/* A new, empty arena, or NULL when there is no memory for it. */
struct arena *arena_create(void);

/* An arena of its own for work that is thrown away early: what fails in it is raised on
 * `parent`, and it is destroyed with `parent`, not by hand. Release to marks of the
 * one leaves the other alone. Raises when there is no memory for it. */
struct arena *arena_create_child(struct arena *parent);

/* Runs the deferred clean-ups, newest first, and frees everything. NULL is accepted. */
void arena_destroy(struct arena *arena);

/* Where arena_raise jumps to. Use through ARENA_TRY. */
jmp_buf *arena_trap(struct arena *arena);

/* STATUS_OK at first; the raised status when something below failed. Locals that
 * are changed after it and read after a jump must be volatile. The newest ARENA_TRY
 * of an arena is the one in force; its function must not have returned. */
#define ARENA_TRY(arena) ((enum status)setjmp(*arena_trap(arena)))

/* Ends the work on this arena with a status other than STATUS_OK. */
_Noreturn void arena_raise(struct arena *arena, enum status status);

/* Does work(data) with what is raised on `child`, or on its own children, ending here instead
 * of on the parent: so that work on another thread, with arenas of its own, does not jump
 * into this one's. Returns STATUS_OK or what was raised; what was allocated stays. A
 * child is run apart by one call at a time. */
enum status arena_run_apart(struct arena *child, void (*work)(void *data), void *data);

/* count * size bytes, zeroed, aligned for any type. Overflow counts as out of
 * memory. A count of 0 gives a valid pointer to nothing. */
void *arena_alloc(struct arena *arena, size_t count, size_t size);

/* A grown copy of an array of `used` elements of `size` bytes, with room for
 * `room` elements (room >= used). The old array stays where it is. */
void *arena_grow(struct arena *arena, const void *old, size_t used, size_t room, size_t size);

/* A copy of a string, of the first `length` bytes of one (terminated), or a formatted one. */
char *arena_copy_text(struct arena *arena, const char *text);
char *arena_copy_bytes(struct arena *arena, const char *text, size_t length);
char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
char *arena_format_list(struct arena *arena, const char *format, va_list list);

/* release(resource) is called once, by arena_destroy or by arena_release to an earlier mark. */
void arena_defer(struct arena *arena, void (*release)(void *resource), void *resource);

/* A point to go back to: frees everything allocated and deferred since. */
struct arena_mark {
  void *block;
  size_t used;
  void *deferred;
};
struct arena_mark arena_mark(struct arena *arena);
void arena_release(struct arena *arena, struct arena_mark mark);

/* Makes the nth allocation from now on fail (1 is the next one); 0 switches it
 * off. For tests only; counts over all arenas of this thread. */
void arena_fail_after(unsigned long allocations);

#define ARENA_NEW(arena, type) ((type *)arena_alloc((arena), 1, sizeof(type)))
#define ARENA_ARRAY(arena, count, type) \
  ((type *)arena_alloc((arena), (size_t)(count), sizeof(type)))

/* Appends one element to a growing array held as (items, count, room); yields
 * the address of the new, zeroed element. */
#define ARENA_PUSH(arena, items, count, room) \
  (((count) == (room) ? (void)((room) = (room) == 0 ? 8 : (room)*2, \
                               (items) = arena_grow((arena), (items), (size_t)(count), \
                                                    (size_t)(room), sizeof *(items))) \
                      : (void)0), \
   &(items)[(count)++])

#endif
