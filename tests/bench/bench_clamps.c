/* Time to choose clamps for blanks and loads, with a pitch and anywhere, as CSV: CPU
 * milliseconds for one choice, mean over repeats. */
#include <stdio.h>
#include <time.h>

#include "hold/clamp_program.h"

enum { REPEATS = 20 };

static const struct clamp_choice choices[] = {
    {CLAMP_HOLD_DOWN, MM(25), MM(15), MM(25), MM(3), 12, 300000, 0},
    {CLAMP_SIDE, MM(30), 0, MM(30), MM(3), 6, 400000, 1},
    {CLAMP_HOLD_DOWN, MM(40), MM(20), MM(30), MM(4), 8, 500000, 2}};

struct row {
  const char *name;
  length_t length, width, span;
  bool all;      /* four sides, else the ends */
  bool stops;    /* left and front */
  bool parts;    /* a row of rounds and rectangles along the front */
  int64_t force; /* newtons */
  size_t choices;
};

static const struct row table[] = {
    {"blank", MM(300), MM(200), MM(150), false, true, false, 60, 2},
    {"blank no stops", MM(300), MM(200), MM(150), false, false, false, 60, 2},
    {"blank all sides", MM(300), MM(200), MM(150), true, true, false, 60, 2},
    {"thin load", MM(262), MM(114), MM(105), true, true, false, 60, 2},
    {"load with parts", MM(330), MM(210), MM(120), true, true, true, 60, 2},
    {"load no stops", MM(330), MM(210), MM(120), true, false, true, 60, 3},
    {"much force", MM(330), MM(210), MM(120), true, true, true, 1800, 3},
    {"too much force", MM(330), MM(210), MM(120), true, true, true, 9000, 3},
    {"too large", MM(360), MM(210), MM(120), true, true, true, 60, 3},
};

static size_t lay_parts(const struct row *row, struct clamp_obstacle *parts) {
  if (!row->parts) return 0;
  size_t count = 0;
  for (length_t x = MM(31); x + MM(88) < row->length - MM(20); x += MM(94)) {
    parts[count++] = (struct clamp_obstacle){x, MM(14), MM(88), MM(88), true};
    parts[count++] = (struct clamp_obstacle){x, MM(116), MM(60), MM(72), false};
  }
  return count;
}

static void measure(const struct row *row, length_t pitch) {
  struct clamp_obstacle parts[16];
  struct clamp_problem problem = {.length = row->length,
                                  .width = row->width,
                                  .bed_length = MM(400),
                                  .bed_width = MM(300),
                                  .reach = MM(3),
                                  .span = row->span,
                                  .end = MM(40),
                                  .pitch = pitch,
                                  .friction = 300,
                                  .force = row->force * 1000,
                                  .choices = choices,
                                  .choice_count = row->choices,
                                  .obstacles = parts,
                                  .obstacle_count = lay_parts(row, parts)};
  problem.held[BED_LEFT] = problem.held[BED_RIGHT] = true;
  problem.held[BED_FRONT] = problem.held[BED_BACK] = row->all;
  problem.stop[BED_LEFT] = problem.stop[BED_FRONT] = row->stops;
  struct clamp_answer answer = {.held = false};
  clock_t start = clock();
  for (int i = 0; i < REPEATS; i++) {
    struct arena *arena = arena_create();
    clamps_choose(arena, &problem, &answer);
    arena_destroy(arena);
  }
  double ms = 1000.0 * (double)(clock() - start) / CLOCKS_PER_SEC / REPEATS;
  printf("%s,%lld,%d,%zu,%d,%d,%.2f\n", row->name, (long long)(pitch / LENGTH_PER_MM), answer.held,
         answer.clamp_count, answer.certain, (int)answer.refusal.reason, ms);
}

int main(void) {
  puts("case,pitch mm,held,clamps,certain,reason,CPU ms");
  for (size_t r = 0; r < sizeof table / sizeof *table; r++) {
    measure(&table[r], MM(25));
    measure(&table[r], MM(10));
    measure(&table[r], 0);
  }
  return 0;
}
