/* Work shared out among processes, the results handed back in order. */
#ifndef BLANKWRIGHT_TESTS_BENCH_PUBLISHED_JOBS_H
#define BLANKWRIGHT_TESTS_BENCH_PUBLISHED_JOBS_H

#include <stddef.h>

enum { JOB_RESULT_MOST = 4096 };

/* Does job `index` in a process of its own: calls work(data, index, result) there, which fills
 * `result_size` bytes (at most JOB_RESULT_MOST), at most `at_once` of them at a time. In this
 * process deliver(data, index, result) is called for each in order; result is NULL for a job
 * whose process died. What goes wrong with the processes themselves ends the program. */
void jobs_run(size_t count, int at_once, size_t result_size,
              void (*work)(void *data, size_t index, void *result),
              void (*deliver)(void *data, size_t index, const void *result), void *data);

#endif
