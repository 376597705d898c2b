#include <errno.h>
#include <signal.h>
#include <stdatomic.h>
#include <unistd.h>

#include "cli.h"

static atomic_bool told_to_stop;

static const int stopping[] = {SIGINT, SIGTERM};

enum { STOPPING_COUNT = sizeof stopping / sizeof *stopping };

/* Calls nothing that a handler may not call. The next signal ends the program at once. */
static void take_signal(int number) {
  static const char text[] =
      "\nblankwright: stopping with the best plan known; once more ends at once\n";
  int before = errno;
  (void)number;
  atomic_store(&told_to_stop, true);
  for (size_t i = 0; i < STOPPING_COUNT; i++) signal(stopping[i], SIG_DFL);
  ssize_t written = write(STDERR_FILENO, text, sizeof text - 1);
  (void)written;
  errno = before;
}

/* Pango and GLib give no other sign of having run out of memory. */
static void end_told(int number) {
  static const char text[] =
      "blankwright: error: a library ended the run, by a fault of its own or for want of memory\n";
  (void)number;
  ssize_t written = write(STDERR_FILENO, text, sizeof text - 1);
  (void)written;
  _exit(BW_NOT_WRITTEN);
}

void interrupt_guard(void) {
  static const int aborting[] = {SIGABRT, SIGTRAP};
  struct sigaction action = {.sa_handler = end_told};
  sigemptyset(&action.sa_mask);
  for (size_t i = 0; i < sizeof aborting / sizeof *aborting; i++)
    sigaction(aborting[i], &action, NULL);
}

static bool is_told(void *data) {
  (void)data;
  return atomic_load(&told_to_stop);
}

void interrupt_attach(struct bw_options *options) {
  struct sigaction action = {.sa_handler = take_signal, .sa_flags = SA_RESTART};
  sigemptyset(&action.sa_mask);
  for (size_t i = 0; i < STOPPING_COUNT; i++) sigaddset(&action.sa_mask, stopping[i]);
  for (size_t i = 0; i < STOPPING_COUNT; i++) {
    struct sigaction before;
    /* one that is ignored, as in the background of a script, stays so */
    if (sigaction(stopping[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
      sigaction(stopping[i], &action, NULL);
  }
  options->stop = is_told;
  options->stop_data = NULL;
}
