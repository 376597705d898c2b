#include "published_list.h"

#include <ctype.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct names {
  char (*items)[NAME_ROOM];
  size_t count, room;
};

static void *grow(void *items, size_t *room, size_t size) {
  *room = *room == 0 ? 64 : 2 * *room;
  void *grown = realloc(items, *room * size);
  if (grown == NULL) {
    perror("realloc");
    exit(EXIT_FAILURE);
  }
  return grown;
}

/* Runs of digits compare as numbers. */
static int compare_names(const void *left, const void *right) {
  const char *a = left;
  const char *b = right;
  while (*a != '\0' && *b != '\0') {
    if (isdigit((unsigned char)*a) && isdigit((unsigned char)*b)) {
      char *a_end = NULL;
      char *b_end = NULL;
      unsigned long long a_number = strtoull(a, &a_end, 10);
      unsigned long long b_number = strtoull(b, &b_end, 10);
      if (a_number != b_number) return a_number < b_number ? -1 : 1;
      a = a_end;
      b = b_end;
      continue;
    }
    if (*a != *b) return *a < *b ? -1 : 1;
    a++;
    b++;
  }
  return *a == *b ? strcmp(left, right) : (*a == '\0' ? -1 : 1);
}

/* Names in a folder that end in `ending`, without it; hidden ones left out. */
static bool list_names(const char *folder, const char *ending, struct names *names) {
  DIR *directory = opendir(folder);
  if (directory == NULL) return false;
  const struct dirent *entry;
  while ((entry = readdir(directory)) != NULL) {
    size_t length = strlen(entry->d_name);
    size_t end = strlen(ending);
    if (entry->d_name[0] == '.' || length < end || length - end >= NAME_ROOM ||
        strcmp(entry->d_name + length - end, ending) != 0)
      continue;
    if (names->count == names->room)
      names->items = grow(names->items, &names->room, sizeof *names->items);
    snprintf(names->items[names->count++], NAME_ROOM, "%.*s", (int)(length - end), entry->d_name);
  }
  closedir(directory);
  if (names->count > 0) qsort(names->items, names->count, sizeof *names->items, compare_names);
  return true;
}

static bool read_named(const char *set, const char *name, struct instance *instance) {
  char file[2 * NAME_ROOM + 8];
  snprintf(file, sizeof file, "%s/%s.csv", set, name);
  return instance_read(file, instance);
}

bool task_read(const struct task *task, struct instance *instance) {
  return read_named(task->set, task->name, instance);
}

static void add_task(struct task_list *list, const char *set, const char *name,
                     enum question question) {
  if (list->count == list->room) list->items = grow(list->items, &list->room, sizeof *list->items);
  struct task *task = &list->items[list->count++];
  snprintf(task->set, sizeof task->set, "%s", set);
  snprintf(task->name, sizeof task->name, "%s", name);
  task->question = question;
}

static void add_set(struct task_list *list, const struct task_filter *filter, const char *set) {
  struct names names = {NULL, 0, 0};
  static struct instance instance;
  if (!list_names(instance_path(set), ".csv", &names)) return;
  for (int q = 0; q < QUESTIONS; q++) {
    enum question question = (enum question)q;
    if (filter->one_question && question != filter->question) continue;
    for (size_t i = 0; i < names.count; i++) {
      const char *name = names.items[i];
      if (filter->part != NULL && strstr(name, filter->part) == NULL) continue;
      if (!read_named(set, name, &instance))
        fprintf(stderr, "%s/%s.csv: not an instance\n", set, name);
      else if (set_asks(set, &instance, question, filter->one_question))
        add_task(list, set, name, question);
    }
  }
  free(names.items);
}

bool task_list_fill(struct task_list *list, const struct task_filter *filter) {
  struct names sets = {NULL, 0, 0};
  if (!list_names(instance_folder(), "", &sets)) return false;
  for (size_t i = 0; i < sets.count; i++) {
    const char *set = sets.items[i];
    if (strcmp(set, "best") == 0 || (filter->set != NULL && strcmp(filter->set, set) != 0))
      continue;
    add_set(list, filter, set);
  }
  free(sets.items);
  return true;
}
