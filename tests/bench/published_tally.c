#include "published_tally.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* NULL when there is no room for another. */
static struct tally *find(struct tallies *tallies, const char *group, enum question question) {
  for (size_t i = 0; i < tallies->count; i++)
    if (tallies->items[i].question == question && strcmp(tallies->items[i].group, group) == 0)
      return &tallies->items[i];
  if (tallies->count == TALLIES_MOST) return NULL;
  struct tally *tally = &tallies->items[tallies->count++];
  snprintf(tally->group, sizeof tally->group, "%s", group);
  tally->question = question;
  return tally;
}

static void note_best(struct tally *tally, int64_t result, int64_t best) {
  int64_t gap = question_is_knapsack(tally->question) ? best - result : result - best;
  tally->known++;
  tally->known_results += result;
  tally->known_best += best;
  if (gap > 0) tally->worse++;
  if (gap < 0) tally->better++;
  if (gap > tally->worst_gap) tally->worst_gap = gap;
}

static void note_complete(struct tally *tally, const struct tally_line *line) {
  const struct published_answer *answer = line->answer;
  int64_t gap = answer->result - answer->bound;
  if (gap < 0) gap = -gap;
  tally->complete++;
  tally->results += answer->result;
  tally->used += answer->used_percent;
  if (line->proved) tally->proved++;
  if (gap > tally->widest) tally->widest = gap;
  if (gap > 1) tally->wide++;
  if (answer->result != 0) tally->gaps += 100.0 * (double)gap / (double)answer->result;
  if (line->best != NULL) note_best(tally, answer->result, *line->best);
}

void tally_note(struct tallies *tallies, const struct tally_line *line) {
  struct tally *tally = find(tallies, line->group, line->question);
  if (tally == NULL) return;
  tally->count++;
  if (line->best_use != NULL) {
    tally->best_use += *line->best_use;
    tally->best_uses++;
  }
  if (line->answer == NULL) {
    tally->died++;
    return;
  }
  if (line->answer->fault[0] != '\0') tally->faults++;
  tally->seconds += line->answer->seconds;
  if (line->answer->seconds > tally->longest) tally->longest = line->answer->seconds;
  if (line->answer->peak > tally->peak) tally->peak = line->answer->peak;
  if (line->answer->complete) note_complete(tally, line);
}

static void print_tally(const struct tally *tally) {
  int complete = tally->complete > 0 ? tally->complete : 1;
  printf("# %s %s: %d instances, %d complete, proved %d (%.1f %%), sum of results %" PRId64,
         tally->group, question_name(tally->question), tally->count, tally->complete, tally->proved,
         100.0 * tally->proved / tally->count, tally->results);
  printf("; best known for %d: %" PRId64 " against %" PRId64 " here, %d worse by at most %" PRId64
         ", %d better",
         tally->known, tally->known_best, tally->known_results, tally->worse, tally->worst_gap,
         tally->better);
  printf("; to the bound: mean %.3f %%, at most %" PRId64 ", over 1 for %d", tally->gaps / complete,
         tally->widest, tally->wide);
  printf("; used mean %.2f %%", tally->used / complete);
  if (tally->best_uses > 0) printf(" (best known %.2f %%)", tally->best_use / tally->best_uses);
  printf("; CPU s mean %.3f, most %.3f; peak %" PRId64 " MiB; faults %d, died %d\n",
         tally->seconds / tally->count, tally->longest, tally->peak / 1024, tally->faults,
         tally->died);
}

int tally_print(const struct tallies *tallies) {
  int bad = 0;
  for (size_t i = 0; i < tallies->count; i++) {
    print_tally(&tallies->items[i]);
    bad += tallies->items[i].faults + tallies->items[i].died;
  }
  return bad;
}
