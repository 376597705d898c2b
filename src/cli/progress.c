#include <inttypes.h>
#include <time.h>
#include <unistd.h>

#include "cli.h"

enum { REFRESH_MS = 100 };

/* The clock only decides when the line is drawn again, never what is computed. */
struct meter {
  bool drawn;
  int64_t drawn_at;
};

static struct meter meter;

static int64_t now_ms(void) {
  struct timespec now = {0};
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void print_money(const char *name, int64_t cents) {
  if (cents < 0)
    fprintf(stderr, "%s -", name);
  else
    fprintf(stderr, "%s %" PRId64 ".%02d", name, cents / 100, (int)(cents % 100));
}

static void draw(void *data, const struct bw_progress *progress) {
  struct meter *line = data;
  int64_t now = now_ms();
  if (line->drawn && now - line->drawn_at < REFRESH_MS) return;
  line->drawn = true;
  line->drawn_at = now;
  fputs("\r\033[K", stderr);
  print_money("cost", progress->cost);
  print_money(", bound", progress->bound);
  if (progress->cost > 0 && progress->bound >= 0)
    fprintf(stderr, ", gap %.1f %%",
            100.0 * (double)(progress->cost - progress->bound) / (double)progress->cost);
  fflush(stderr);
}

void progress_attach(struct bw_options *options) {
  if (!isatty(STDERR_FILENO)) return;
  options->progress = draw;
  options->progress_data = &meter;
}

void progress_end(void) {
  if (meter.drawn) fputs("\r\033[K", stderr);
  fflush(stderr);
  meter.drawn = false;
}
