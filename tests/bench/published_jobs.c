#include "published_jobs.h"

#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct job {
  pid_t process;
  int pipe; /* its result comes from here */
  bool done, died;
  unsigned char *result; /* from when it is done until it is delivered */
};

static _Noreturn void give_up(const char *what) {
  perror(what);
  exit(EXIT_FAILURE);
}

/* A result fits into a pipe, so nobody need read it before the process has ended. */
static void start(struct job *job, size_t index, size_t result_size,
                  void (*work)(void *data, size_t index, void *result), void *data) {
  int ends[2];
  fflush(stdout);
  if (pipe(ends) != 0) give_up("pipe");
  job->pipe = ends[0];
  job->process = fork();
  if (job->process < 0) give_up("fork");
  if (job->process > 0) {
    close(ends[1]);
    return;
  }
  unsigned char result[JOB_RESULT_MOST];
  close(ends[0]);
  work(data, index, result);
  ssize_t written = write(ends[1], result, result_size);
  _exit(written == (ssize_t)result_size ? EXIT_SUCCESS : EXIT_FAILURE);
}

static void finish(struct job *job, int status, size_t result_size) {
  job->result = malloc(result_size);
  if (job->result == NULL) give_up("malloc");
  ssize_t got = read(job->pipe, job->result, result_size);
  close(job->pipe);
  job->died =
      !WIFEXITED(status) || WEXITSTATUS(status) != EXIT_SUCCESS || got != (ssize_t)result_size;
  job->done = true;
}

/* Waits until one of the jobs before `started` has ended. */
static void await_one(struct job *jobs, size_t started, size_t result_size) {
  int status = 0;
  pid_t process = waitpid(-1, &status, 0);
  if (process < 0 && errno != EINTR) give_up("waitpid");
  for (size_t i = 0; i < started; i++) {
    if (jobs[i].done || jobs[i].process != process) continue;
    finish(&jobs[i], status, result_size);
    return;
  }
}

void jobs_run(size_t count, int at_once, size_t result_size,
              void (*work)(void *data, size_t index, void *result),
              void (*deliver)(void *data, size_t index, const void *result), void *data) {
  struct job *jobs = calloc(count + 1, sizeof *jobs);
  if (jobs == NULL) give_up("calloc");
  size_t started = 0;
  size_t delivered = 0;
  size_t ended = 0;
  while (delivered < count) {
    while (started < count && started - ended < (size_t)at_once) {
      start(&jobs[started], started, result_size, work, data);
      started++;
    }
    await_one(jobs, started, result_size);
    ended = 0;
    for (size_t i = 0; i < started; i++) ended += jobs[i].done ? 1 : 0;
    for (; delivered < started && jobs[delivered].done; delivered++) {
      struct job *job = &jobs[delivered];
      deliver(data, delivered, job->died ? NULL : job->result);
      free(job->result);
      job->result = NULL;
    }
  }
  free(jobs);
}
