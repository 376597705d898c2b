/* Rooms left on a sheet against all empty rectangles of a small grid. */
#include "nest/free_space.h"

#include "nest_fixture.h"

enum { SIDE = 9, MOST_PIECES = 7 };

struct sheet {
  struct free_rect piece[MOST_PIECES];
  size_t count;
  struct free_rects rooms, empty, fresh;
  struct free_gift gift;
};

static bool is_empty(const struct sheet *sheet, const struct free_rect *rect) {
  if (rect->left < 0 || rect->bottom < 0 || rect->right > SIDE || rect->top > SIDE) return false;
  for (size_t p = 0; p < sheet->count; p++)
    if (free_rects_meet(rect, &sheet->piece[p])) return false;
  return true;
}

/* Empty, and no larger in any direction. */
static bool is_greatest(const struct sheet *sheet, struct free_rect rect) {
  struct free_rect left = rect, right = rect, down = rect, up = rect;
  left.left--;
  right.right++;
  down.bottom--;
  up.top++;
  return is_empty(sheet, &rect) && !is_empty(sheet, &left) && !is_empty(sheet, &right) &&
         !is_empty(sheet, &down) && !is_empty(sheet, &up);
}

static size_t times_listed(const struct sheet *sheet, const struct free_rect *rect) {
  size_t times = 0;
  for (size_t r = 0; r < sheet->rooms.count; r++)
    times += memcmp(&sheet->rooms.items[r], rect, sizeof *rect) == 0;
  return times;
}

/* Every greatest empty rectangle that is of use is listed once, nothing else is. */
static void assert_rooms_are_right(const struct sheet *sheet, struct free_least least) {
  size_t expected = 0;
  for (int32_t left = 0; left < SIDE; left++)
    for (int32_t bottom = 0; bottom < SIDE; bottom++)
      for (int32_t right = left + least.width; right <= SIDE; right++)
        for (int32_t top = bottom + least.height; top <= SIDE; top++) {
          struct free_rect rect = {left, bottom, right, top};
          if (!is_greatest(sheet, rect)) continue;
          expected++;
          assert_int_equal(times_listed(sheet, &rect), 1);
        }
  assert_int_equal(sheet->rooms.count, expected);
}

static void put_random_piece(struct arena *arena, struct sheet *sheet, struct free_least least) {
  int32_t x = (int32_t)random_between(0, SIDE - 1), y = (int32_t)random_between(0, SIDE - 1);
  struct free_rect piece = {x, y, x + (int32_t)random_between(1, 4),
                            y + (int32_t)random_between(1, 4)};
  if (sheet->count == MOST_PIECES || !is_empty(sheet, &piece)) return;
  sheet->piece[sheet->count++] = piece;
  free_space_take(arena, &sheet->rooms, &sheet->fresh, piece, least);
}

static void take_random_piece_up(struct arena *arena, struct sheet *sheet,
                                 struct free_least least) {
  if (sheet->count == 0) return;
  size_t p = (size_t)random_between(0, (int64_t)sheet->count - 1);
  struct free_rect place = sheet->piece[p];
  sheet->piece[p] = sheet->piece[--sheet->count];
  free_gift_begin(arena, &sheet->gift, &sheet->empty, place, least);
  for (size_t i = 0; i < sheet->count; i++) free_gift_keep(arena, &sheet->gift, &sheet->piece[i]);
  free_gift_end(arena, &sheet->gift, &sheet->rooms);
}

static void test_pieces_come_and_go(struct arena *arena) {
  random_start(5);
  for (int run = 0; run < 60; run++) {
    struct sheet sheet = {.count = 0};
    struct free_least least = {(int32_t)random_between(1, 2), (int32_t)random_between(1, 3)};
    free_rects_add(arena, &sheet.empty, (struct free_rect){0, 0, SIDE, SIDE});
    free_rects_copy(arena, &sheet.rooms, &sheet.empty);
    for (int step = 0; step < 25; step++) {
      if (random_chance(3, 5))
        put_random_piece(arena, &sheet, least);
      else
        take_random_piece_up(arena, &sheet, least);
      assert_rooms_are_right(&sheet, least);
    }
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {ARENA_TEST(test_pieces_come_and_go)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
