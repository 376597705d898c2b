#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <string.h>

#include "base/arena.h"
#include "base/buffer.h"
#include "base/diagnostics.h"

static struct arena *fresh(void) {
  struct arena *arena = arena_create();
  assert_non_null(arena);
  return arena;
}

static void memory_is_zeroed_and_apart(void **state) {
  (void)state;
  struct arena *arena = fresh();
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  unsigned char *last = NULL;
  for (size_t size = 1; size < 3000; size += 37) {
    unsigned char *bytes = arena_alloc(arena, size, 1);
    assert_int_equal((uintptr_t)bytes % _Alignof(max_align_t), 0);
    for (size_t i = 0; i < size; i++) assert_int_equal(bytes[i], 0);
    memset(bytes, 0xAA, size);
    if (last != NULL) assert_int_equal(last[0], 0xAA);
    last = bytes;
  }
  assert_non_null(arena_alloc(arena, 0, 8));
  arena_destroy(arena);
  arena_destroy(NULL);
}

static void too_much_raises(void **state) {
  (void)state;
  struct arena *arena = fresh();
  volatile int raised = 0;
  enum status status = ARENA_TRY(arena);
  if (status != STATUS_OK) {
    assert_int_equal(status, STATUS_NO_MEMORY);
    raised++;
  }
  if (raised == 0) (void)arena_alloc(arena, SIZE_MAX / 2, 4);
  if (raised == 1) (void)arena_alloc(arena, SIZE_MAX, 1);
  assert_int_equal(raised, 2);
  arena_destroy(arena);
}

static void a_raised_status_arrives(void **state) {
  (void)state;
  struct arena *arena = fresh();
  volatile int raised = 0;
  enum status status = ARENA_TRY(arena);
  if (raised++ == 0) arena_raise(arena, STATUS_NO_PLAN);
  assert_int_equal(status, STATUS_NO_PLAN);
  arena_destroy(arena);
}

static void the_nth_allocation_can_fail(void **state) {
  (void)state;
  struct arena *arena = fresh();
  volatile int allocated = 0;
  enum status status = ARENA_TRY(arena);
  if (status == STATUS_OK) {
    arena_fail_after(3);
    for (int i = 0; i < 5; i++) {
      (void)arena_alloc(arena, 1, 1);
      allocated++;
    }
  }
  arena_fail_after(0);
  assert_int_equal(status, STATUS_NO_MEMORY);
  assert_int_equal(allocated, 2);
  arena_destroy(arena);
  arena_fail_after(1);
  assert_null(arena_create());
  arena_fail_after(0);
}

static char order[8];

static void note_release(void *resource) {
  size_t length = strlen(order);
  assert_true(length + 1 < sizeof order);
  order[length] = *(const char *)resource;
  order[length + 1] = '\0';
}

static void deferred_work_runs_newest_first(void **state) {
  (void)state;
  static char names[] = "abc";
  order[0] = '\0';
  struct arena *arena = fresh();
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  arena_defer(arena, note_release, &names[0]);
  struct arena_mark mark = arena_mark(arena);
  arena_defer(arena, note_release, &names[1]);
  arena_defer(arena, note_release, &names[2]);
  arena_release(arena, mark);
  assert_string_equal(order, "cb");
  arena_destroy(arena);
  assert_string_equal(order, "cba");
}

static void a_release_gives_the_memory_back(void **state) {
  (void)state;
  struct arena *arena = fresh();
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  char *kept = arena_copy_text(arena, "kept");
  struct arena_mark mark = arena_mark(arena);
  char *first = arena_alloc(arena, 100, 1);
  memset(first, 1, 100);
  (void)arena_alloc(arena, 100000, 1);
  arena_release(arena, mark);
  char *again = arena_alloc(arena, 100, 1);
  assert_ptr_equal(again, first);
  for (int i = 0; i < 100; i++) assert_int_equal(again[i], 0);
  assert_string_equal(kept, "kept");
  arena_destroy(arena);
}

static void lists_grow(void **state) {
  (void)state;
  struct arena *arena = fresh();
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  int *items = NULL;
  size_t count = 0, room = 0;
  for (int i = 0; i < 1000; i++) {
    int *item = ARENA_PUSH(arena, items, count, room);
    assert_int_equal(*item, 0);
    *item = i;
  }
  assert_int_equal(count, 1000);
  for (int i = 0; i < 1000; i++) assert_int_equal(items[i], i);
  arena_destroy(arena);
}

static void texts_are_copied_and_formatted(void **state) {
  (void)state;
  struct arena *arena = fresh();
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  assert_string_equal(arena_copy_bytes(arena, "plank", 3), "pla");
  assert_string_equal(arena_format(arena, "%d x %s", 3, "lid"), "3 x lid");
  struct buffer *buffer = buffer_create(arena);
  assert_string_equal(buffer->text, "");
  for (int i = 0; i < 500; i++) buffer_format(buffer, "%d,", i % 10);
  assert_int_equal(buffer->length, 1000);
  assert_int_equal(strlen(buffer->text), 1000);
  buffer_clear(buffer);
  buffer_add(buffer, "new");
  assert_string_equal(buffer->text, "new");
  arena_destroy(arena);
}

static void diagnostics_keep_copies(void **state) {
  (void)state;
  struct arena *arena = fresh();
  assert_int_equal(ARENA_TRY(arena), STATUS_OK);
  struct diagnostics *list = diagnostics_create(arena);
  char row[] = "a,b";
  struct place place = {"parts.csv", 3, 2, row};
  diagnostics_add(list, SEVERITY_ERROR, &place, "'%s' is wrong", "b");
  diagnostics_add(list, SEVERITY_CAUTION, NULL, "take care");
  row[0] = 'x';
  assert_int_equal(list->count, 2);
  assert_int_equal(list->errors, 1);
  assert_string_equal(list->items[0].text, "'b' is wrong");
  assert_string_equal(list->items[0].place.row, "a,b");
  assert_int_equal(list->items[0].place.line, 3);
  assert_null(list->items[1].place.file);
  arena_destroy(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(memory_is_zeroed_and_apart),
      cmocka_unit_test(too_much_raises),
      cmocka_unit_test(a_raised_status_arrives),
      cmocka_unit_test(the_nth_allocation_can_fail),
      cmocka_unit_test(deferred_work_runs_newest_first),
      cmocka_unit_test(a_release_gives_the_memory_back),
      cmocka_unit_test(lists_grow),
      cmocka_unit_test(texts_are_copied_and_formatted),
      cmocka_unit_test(diagnostics_keep_copies),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
