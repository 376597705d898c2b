/* Parts and clamps placed together against parts first and clamps afterwards: there the best layout
 * without clamps is taken, moved, and the parts of least worth are left out until clamps hold it;
 * and against a strip kept free all along the sides that are held. Arguments: number of loads,
 * first seed, steps of effort. */
#include <stdio.h>
#include <stdlib.h>

#include "hold/load.h"
#include "hold/load_clamps.h"
#include "random/load_maker.h"

/* Most worth of the laid parts, moved together, with which clamps still hold. */
static int64_t clamp_moved(struct load_clamps *clamps, const struct load_problem *problem,
                           const struct load_answer *nested, length_t dx, length_t dy,
                           int64_t best) {
  size_t count = nested->laid_count;
  struct load_open met[LOAD_PARTS_MOST] = {{{0}}};
  for (size_t i = 0; i < count; i++) {
    struct load_laid laid = nested->laid[i];
    laid.x += dx;
    laid.y += dy;
    for (size_t s = 0; s < BED_SIDES; s++)
      for (size_t p = 0; p < clamps->sides[s].count; p++)
        if (load_place_meets(&clamps->sides[s].places[p], problem->hold.reach, &laid,
                             problem->items[laid.item].round))
          met[i].sides[s] |= load_bit(p);
  }
  for (uint64_t set = 1; set < UINT64_C(1) << count; set++) {
    struct load_open open = load_clamps_open(clamps);
    int64_t worth = 0;
    for (size_t i = 0; i < count; i++) {
      if ((set >> i & 1) == 0) continue;
      worth += problem->items[nested->laid[i].item].worth;
      for (size_t s = 0; s < BED_SIDES; s++) open.sides[s] &= ~met[i].sides[s];
    }
    if (worth > best && load_clamps_possible(clamps, &open)) best = worth;
  }
  return best;
}

/* The layout is moved to each corner, each side and the middle of the load. */
static int64_t clamp_afterwards(struct arena *arena, const struct load_problem *problem,
                                const struct load_answer *nested) {
  struct load_clamps *clamps = load_clamps_begin(arena, &problem->hold, NULL);
  length_t right = 0;
  length_t top = 0;
  for (size_t i = 0; i < nested->laid_count; i++) {
    const struct load_laid *laid = &nested->laid[i];
    if (laid->x + laid->length > right) right = laid->x + laid->length;
    if (laid->y + laid->width > top) top = laid->y + laid->width;
  }
  int64_t best = 0;
  for (length_t i = 0; i < 3; i++)
    for (length_t j = 0; j < 3; j++)
      best = clamp_moved(clamps, problem, nested,
                         (problem->hold.length - problem->edge - right) * i / 2,
                         (problem->hold.width - problem->edge - top) * j / 2, best);
  return best;
}

/* The load less a strip along each held side, so that no clamp of any place is met. */
static struct load_problem within_strips(const struct load_problem *problem) {
  struct load_problem inner = *problem;
  length_t deep = 0;
  for (size_t c = 0; c < problem->hold.choice_count; c++) {
    const struct clamp_choice *choice = &problem->hold.choices[c];
    length_t need = choice->over + choice->keep_out + problem->hold.reach;
    if (need > deep) deep = need;
  }
  length_t more = deep > problem->edge ? deep - problem->edge : 0;
  for (size_t s = 0; s < BED_SIDES; s++) {
    if (!problem->hold.held[s]) continue;
    *(s < BED_FRONT ? &inner.hold.length : &inner.hold.width) -= more;
    inner.hold.held[s] = false;
  }
  return inner;
}

struct tally {
  int done, unheld, better_after, better_strip;
  double share_after, share_strip;
};

static void compare(struct arena *arena, int seed, const struct made_load *made, int64_t effort,
                    struct tally *tally) {
  struct load_problem bare = made->problem;
  for (size_t s = 0; s < BED_SIDES; s++) bare.hold.held[s] = false;
  struct load_problem strips = within_strips(&made->problem);
  struct load_answer nested;
  struct load_answer joint;
  struct load_answer inner;
  load_best(arena, &bare, effort, &nested);
  load_best(arena, &made->problem, effort, &joint);
  load_best(arena, &strips, effort, &inner);
  int64_t after = clamp_afterwards(arena, &made->problem, &nested);
  tally->done++;
  tally->unheld += after < nested.worth;
  tally->better_after += joint.worth > after;
  tally->better_strip += joint.worth > inner.worth;
  if (joint.worth > 0) {
    tally->share_after += (double)(joint.worth - after) / (double)joint.worth;
    tally->share_strip += (double)(joint.worth - inner.worth) / (double)joint.worth;
  }
  printf("%d,%.3f,%lld,%lld,%lld,%lld\n", seed, made->offered, (long long)nested.worth,
         (long long)joint.worth, (long long)after, (long long)inner.worth);
  fflush(stdout);
}

static int compare_apart(int seed, const struct made_load *made, int64_t effort,
                         struct tally *tally) {
  struct arena *arena = arena_create();
  if (arena == NULL || ARENA_TRY(arena) != STATUS_OK) return 1;
  compare(arena, seed, made, effort, tally);
  arena_destroy(arena);
  return 0;
}

int main(int argc, char **argv) {
  int loads = argc > 1 ? atoi(argv[1]) : 100;
  int first = argc > 2 ? atoi(argv[2]) : 1;
  int64_t effort = argc > 3 ? atoll(argv[3]) : INT64_C(300000000);
  struct tally tally = {0};
  printf("load,offered,nested,joint,afterwards,strips\n");
  for (int seed = first; tally.done < loads; seed++) {
    struct made_load made;
    make_load(&made, MADE_BENCH, (uint64_t)seed);
    if (made.offered < 0.8) continue; /* where all fits with ease there is nothing to gain */
    if (compare_apart(seed, &made, effort, &tally) != 0) return 1;
  }
  printf("# %d loads: %d best layouts without clamps cannot be held\n", tally.done, tally.unheld);
  printf("# together is better than clamps afterwards in %d, by %.2f %% in the mean\n",
         tally.better_after, 100 * tally.share_after / tally.done);
  printf("# together is better than free strips in %d, by %.2f %% in the mean\n",
         tally.better_strip, 100 * tally.share_strip / tally.done);
  return 0;
}
