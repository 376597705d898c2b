#include "nest/side.h"

/* Steps of pricing that take a few times as long as waking a thread up. */
enum { WORTH_A_THREAD = 100000 };

struct stock_memory *side_memory(struct arena *arena, size_t stock_count) {
  struct stock_memory *memory = ARENA_ARRAY(arena, stock_count, struct stock_memory);
  for (size_t s = 0; s < stock_count; s++) {
    memory[s].lasting = arena_create_child(arena);
    memory[s].scratch = arena_create_child(memory[s].lasting);
  }
  return memory;
}

struct arena_mark *side_mark(struct arena *arena, const struct stock_memory *memory, size_t count) {
  struct arena_mark *marks = ARENA_ARRAY(arena, count, struct arena_mark);
  for (size_t s = 0; s < count; s++) marks[s] = arena_mark(memory[s].scratch);
  return marks;
}

void side_release(const struct stock_memory *memory, const struct arena_mark *marks, size_t count) {
  for (size_t s = 0; s < count; s++) arena_release(memory[s].scratch, marks[s]);
}

struct parts {
  const struct side_job *job;
  const size_t *stocks;
};

static void do_part(void *data, size_t part, struct arena *own) {
  const struct parts *parts = data;
  (void)own; /* the stock's lasting memory, which the work knows */
  parts->job->work(parts->job->data, parts->stocks[part]);
}

void side_run(const struct side_job *job, const size_t *stocks, size_t count,
              int64_t expected_steps) {
  if (job->threads == NULL || count < 2 || expected_steps < WORTH_A_THREAD) {
    for (size_t i = 0; i < count; i++) job->work(job->data, stocks[i]);
    return;
  }
  struct arena_mark mark = arena_mark(job->arena);
  struct arena **own = ARENA_ARRAY(job->arena, count, struct arena *);
  for (size_t i = 0; i < count; i++) own[i] = job->memory[stocks[i]].lasting;
  struct parts parts = {job, stocks};
  threads_run(job->threads, job->arena, own, count, do_part, &parts);
  arena_release(job->arena, mark);
}
