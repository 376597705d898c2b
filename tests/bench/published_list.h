/* The instances of a data folder, and what is asked of each. */
#ifndef BLANKWRIGHT_TESTS_BENCH_PUBLISHED_LIST_H
#define BLANKWRIGHT_TESTS_BENCH_PUBLISHED_LIST_H

#include "published_sets.h"

enum { NAME_ROOM = 128 };

struct task {
  char set[NAME_ROOM], name[NAME_ROOM]; /* folder; file without its ending */
  enum question question;
};

struct task_list {
  struct task *items; /* free() them */
  size_t count, room;
};

/* What of it is wanted; NULL and false are no limit. */
struct task_filter {
  const char *set;
  const char *part; /* of an instance's name */
  bool one_question;
  enum question question;
};

/* By set, question and instance; numbers in names in order of their size. A file that cannot be
 * read is told on stderr. False when the data folder cannot be read. */
bool task_list_fill(struct task_list *list, const struct task_filter *filter);

/* Reads the instance of a task. */
bool task_read(const struct task *task, struct instance *instance);

#endif
