/* What the answers of a set come to. */
#ifndef BLANKWRIGHT_TESTS_BENCH_PUBLISHED_TALLY_H
#define BLANKWRIGHT_TESTS_BENCH_PUBLISHED_TALLY_H

#include "published_answer.h"

/* One answer beside what is known. */
struct tally_line {
  const char *group; /* the set, or a class of it; must stay in place */
  enum question question;
  const struct published_answer *answer; /* NULL when the process died */
  bool proved;
  const int64_t *best; /* NULL when unknown */
  const double *best_use;
};

enum { TALLIES_MOST = 512 };

struct tally {
  char group[128];
  enum question question;
  int count, complete, proved, faults, died;
  int64_t results;                   /* of the complete ones */
  int64_t known_results, known_best; /* of the complete ones whose best is known */
  int known, worse, better;          /* than the best known */
  int64_t worst_gap;                 /* to the best known; never negative */
  int wide;                          /* complete, and more than 1 from the own bound */
  int64_t widest;                    /* the most from the own bound */
  double gaps;                       /* to the own bound, in percent, summed up */
  double seconds, longest;
  double used, best_use; /* percent, summed up */
  int best_uses;
  int64_t peak;
};

struct tallies {
  struct tally items[TALLIES_MOST];
  size_t count;
};

/* A fault, or a bound that contradicts the best known answer, counts as a fault. */
void tally_note(struct tallies *tallies, const struct tally_line *line);

/* Lines that start with #. Returns how many answers were faulty or missing for want of a
 * process. */
int tally_print(const struct tallies *tallies);

#endif
