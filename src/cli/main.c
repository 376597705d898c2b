#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "cli.h"

/* A standard stream that was closed would lend its number to the next file opened, and
 * messages would land in a report. Opened the wrong way round, writing to it fails. */
static void hold_standard_streams(void) {
  for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; stream++) {
    if (fcntl(stream, F_GETFD) != -1) continue;
    if (open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY) == -1) return;
  }
}

static const struct command *find_command(const char *name) {
  for (size_t i = 0; commands[i] != NULL; i++)
    if (strcmp(commands[i]->name, name) == 0) return commands[i];
  return NULL;
}

static int unknown_command(const char *word) {
  const char *names[16];
  size_t count = 0;
  while (commands[count] != NULL) {
    names[count] = commands[count]->name;
    count++;
  }
  const char *nearest = bw_nearest(word, names, count);
  fputs("blankwright: unknown command '", stderr);
  messages_print_harmless(stderr, word);
  if (nearest != NULL)
    fprintf(stderr, "', did you mean '%s'?\n", nearest);
  else
    fputs("'\n", stderr);
  fputs("try 'blankwright --help'\n", stderr);
  return BW_BAD_INPUT;
}

static int run_command(const struct command *command, const struct request *request) {
  struct bw_run *run = command->run(request);
  fputs(bw_run_text(run), stdout);
  messages_print(stderr, run);
  int status = (int)bw_run_status(run);
  bw_run_free(run);
  return status;
}

/* `help` and `help COMMAND`, for those who write it so. */
static int help(int count, char *const *words) {
  const struct command *command = count == 0 ? NULL : find_command(words[0]);
  if (count > 0 && command == NULL) return unknown_command(words[0]);
  options_help(stdout, command);
  return BW_DONE;
}

static int act(int count, char *const *words) {
  if (count == 0) {
    options_help(stderr, NULL);
    return BW_BAD_INPUT;
  }
  const struct command *command = NULL;
  if (strcmp(words[0], "help") == 0) return help(count - 1, words + 1);
  if (words[0][0] != '-') {
    command = find_command(words[0]);
    if (command == NULL) return unknown_command(words[0]);
    count--;
    words++;
  }
  struct request request = {0};
  if (!options_parse(command, count, words, &request)) return BW_BAD_INPUT;
  if (request.help) {
    options_help(stdout, command);
    return BW_DONE;
  }
  if (request.version) {
    puts("blankwright " BW_VERSION);
    return BW_DONE;
  }
  if (command != NULL) return run_command(command, &request);
  options_help(stderr, NULL);
  return BW_BAD_INPUT;
}

int main(int argc, char **argv) {
  signal(SIGPIPE, SIG_IGN);
  signal(SIGXFSZ, SIG_IGN); /* writing fails then, which is told */
  hold_standard_streams();
  interrupt_guard();
  setvbuf(stderr, NULL, _IOLBF, BUFSIZ); /* messages are put together from many small pieces */
  int status = act(argc > 0 ? argc - 1 : 0, argv + 1);
  if (fflush(stdout) == 0 && !ferror(stdout)) return status;
  fprintf(stderr, "blankwright: error: standard output could not be written: %s\n",
          strerror(errno));
  return BW_NOT_WRITTEN;
}
