#include "base/threads.h"

#include <pthread.h>
#include <signal.h>
#include <stdbool.h>
#include <unistd.h>

/* Lives on the stack of the thread that runs it; changed under the lock only. */
struct job {
  thread_work *work;
  void *data;
  struct arena *const *own;
  size_t count;
  size_t next;    /* parts below it are taken */
  size_t running; /* parts taken and not done */
  enum status status;
  size_t failed; /* the lowest part that failed; status is its */
  struct job *below;
};

struct threads {
  pthread_mutex_t lock;
  pthread_cond_t work_there;
  pthread_cond_t part_done;
  struct job *jobs; /* with parts to be taken, the newest first */
  size_t most;      /* threads beside the caller's */
  size_t started;
  bool start_tried;
  bool ending;
  pthread_t thread[THREADS_MOST];
};

/* ---- one part ---- */

struct part {
  const struct job *job;
  size_t number;
};

static void do_work(void *data) {
  const struct part *part = data;
  part->job->work(part->job->data, part->number, part->job->own[part->number]);
}

static void note_status(struct job *job, size_t number, enum status status) {
  if (status == STATUS_OK || (job->status != STATUS_OK && job->failed < number)) return;
  job->status = status;
  job->failed = number;
}

static void do_part(struct job *job, size_t number, enum status *status) {
  struct part part = {job, number};
  *status = arena_run_apart(job->own[number], do_work, &part);
}

/* ---- under the lock ---- */

static void remove_job(struct threads *threads, const struct job *job) {
  struct job **at = &threads->jobs;
  while (*at != job) at = &(*at)->below;
  *at = job->below;
}

/* Takes the job's next part, does it unlocked, and notes how it ended. */
static void take_part(struct threads *threads, struct job *job) {
  size_t number = job->next++;
  job->running++;
  if (job->next == job->count) remove_job(threads, job);
  pthread_mutex_unlock(&threads->lock);
  enum status status = STATUS_OK;
  do_part(job, number, &status);
  pthread_mutex_lock(&threads->lock);
  note_status(job, number, status);
  job->running--;
  if (job->running == 0 && job->next == job->count) pthread_cond_broadcast(&threads->part_done);
}

static void *serve(void *data) {
  struct threads *threads = data;
  pthread_mutex_lock(&threads->lock);
  while (!threads->ending) {
    if (threads->jobs != NULL)
      take_part(threads, threads->jobs);
    else
      pthread_cond_wait(&threads->work_there, &threads->lock);
  }
  pthread_mutex_unlock(&threads->lock);
  return NULL;
}

static void start_all(void *data) {
  struct threads *threads = data;
  while (threads->started < threads->most &&
         pthread_create(&threads->thread[threads->started], NULL, serve, threads) == 0)
    threads->started++;
}

static void start_threads(struct threads *threads) {
  threads->start_tried = true;
  threads_without_signals(start_all, threads);
}

void threads_without_signals(void (*start)(void *data), void *data) {
  sigset_t all, before;
  sigfillset(&all);
  bool held = pthread_sigmask(SIG_SETMASK, &all, &before) == 0;
  start(data);
  if (held) pthread_sigmask(SIG_SETMASK, &before, NULL);
}

/* ---- from outside ---- */

static void end(void *resource) {
  struct threads *threads = resource;
  pthread_mutex_lock(&threads->lock);
  threads->ending = true;
  pthread_cond_broadcast(&threads->work_there);
  pthread_mutex_unlock(&threads->lock);
  for (size_t i = 0; i < threads->started; i++) pthread_join(threads->thread[i], NULL);
  pthread_cond_destroy(&threads->part_done);
  pthread_cond_destroy(&threads->work_there);
  pthread_mutex_destroy(&threads->lock);
}

static int processors(void) {
  long count = sysconf(_SC_NPROCESSORS_ONLN);
  if (count < 1) return 1;
  return count > THREADS_MOST ? THREADS_MOST : (int)count;
}

struct threads *threads_create(struct arena *arena, int count) {
  struct threads *threads = ARENA_NEW(arena, struct threads);
  if (count <= 0) count = processors();
  if (count > THREADS_MOST) count = THREADS_MOST;
  threads->most = (size_t)count - 1;
  if (pthread_mutex_init(&threads->lock, NULL) != 0 ||
      pthread_cond_init(&threads->work_there, NULL) != 0 ||
      pthread_cond_init(&threads->part_done, NULL) != 0)
    arena_raise(arena, STATUS_NO_MEMORY);
  arena_defer(arena, end, threads);
  return threads;
}

static void run_shared(struct threads *threads, struct job *job) {
  pthread_mutex_lock(&threads->lock);
  if (!threads->start_tried) start_threads(threads);
  job->below = threads->jobs;
  threads->jobs = job;
  pthread_cond_broadcast(&threads->work_there);
  while (job->next < job->count) take_part(threads, job);
  while (job->running > 0) pthread_cond_wait(&threads->part_done, &threads->lock);
  pthread_mutex_unlock(&threads->lock);
}

void threads_run(struct threads *threads, struct arena *arena, struct arena *const *own,
                 size_t count, thread_work *work, void *data) {
  struct job job = {.work = work, .data = data, .own = own, .count = count};
  if (threads != NULL && threads->most > 0 && count > 1) {
    run_shared(threads, &job);
  } else {
    for (size_t i = 0; i < count; i++) {
      enum status status = STATUS_OK;
      do_part(&job, i, &status);
      note_status(&job, i, status);
    }
  }
  if (job.status != STATUS_OK) arena_raise(arena, job.status);
}
