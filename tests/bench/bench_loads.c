/* Random loads of parts and clamps placed together: what is found, what is proved, and how fast.
 * Arguments: number of loads, first seed, steps of effort. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "hold/load.h"
#include "random/load_maker.h"

static double seconds(void) { return (double)clock() / CLOCKS_PER_SEC; }

struct tally {
  int loads, proved;
  double gap, most_seconds, seconds;
};

static void tally_add(struct tally *tally, bool proved, double gap, double took) {
  tally->loads++;
  tally->proved += proved;
  tally->gap += gap;
  tally->seconds += took;
  if (took > tally->most_seconds) tally->most_seconds = took;
}

static void print_tally(const char *name, const struct tally *tally) {
  if (tally->loads == 0) return;
  printf("# %s: %d loads, %d proved (%.1f %%), mean gap %.2f %%, mean %.3f s, most %.3f s\n", name,
         tally->loads, tally->proved, 100.0 * tally->proved / tally->loads,
         tally->gap / tally->loads, tally->seconds / tally->loads, tally->most_seconds);
}

int main(int argc, char **argv) {
  int loads = argc > 1 ? atoi(argv[1]) : 200;
  int first = argc > 2 ? atoi(argv[2]) : 1;
  int64_t effort = argc > 3 ? atoll(argv[3]) : INT64_C(1000000000);
  struct tally fitting = {0}, overfull = {0};
  printf(
      "load,parts,kinds,rounds,sides,offered,laid,worth,bound,gap,proved,all,clamps,steps,"
      "seconds\n");
  for (int seed = first; seed < first + loads; seed++) {
    struct made_load made;
    make_load(&made, MADE_BENCH, (uint64_t)seed);
    struct arena *arena = arena_create();
    if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) return 1;
    struct load_answer answer;
    double start = seconds();
    load_best(arena, &made.problem, effort, &answer);
    double took = seconds() - start;
    bool all = (int)answer.laid_count == made.parts;
    bool rounds = false;
    for (size_t i = 0; i < made.problem.item_count; i++) rounds |= made.items[i].round;
    double gap =
        answer.bound > 0 ? 100.0 * (double)(answer.bound - answer.worth) / (double)answer.bound : 0;
    tally_add(all ? &fitting : &overfull, answer.proved, gap, took);
    const bool *held = made.problem.hold.held;
    printf("%d,%d,%zu,%d,%s,%.3f,%zu,%lld,%lld,%.2f,%d,%d,%zu,%lld,%.4f\n", seed, made.parts,
           made.problem.item_count, rounds,
           held[BED_LEFT] ? (held[BED_FRONT] ? "all" : "ends") : "sides", made.offered,
           answer.laid_count, (long long)answer.worth, (long long)answer.bound, gap, answer.proved,
           all, answer.clamp_count, (long long)answer.steps, took);
    fflush(stdout);
    arena_destroy(arena);
  }
  print_tally("all parts laid", &fitting);
  print_tally("overfull", &overfull);
  return 0;
}
