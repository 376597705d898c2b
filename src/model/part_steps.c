#include "model/part_steps.h"

struct step_list *part_steps(struct arena *arena, const struct project *project) {
  struct step_list *lists = ARENA_ARRAY(arena, project->part_count, struct step_list);
  const struct step **all = ARENA_ARRAY(arena, project->step_count, const struct step *);
  size_t *next = ARENA_ARRAY(arena, project->part_count + 1, size_t);
  for (size_t i = 0; i < project->step_count; i++) next[project->steps[i].part + 1]++;
  for (size_t p = 0; p < project->part_count; p++) {
    lists[p] = (struct step_list){all + next[p], next[p + 1]};
    next[p + 1] += next[p];
  }
  for (size_t i = 0; i < project->step_count; i++)
    all[next[project->steps[i].part]++] = &project->steps[i];
  return lists;
}
