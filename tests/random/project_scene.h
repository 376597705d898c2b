/* Trying one random project after the other, each in a process of its own: a crash or a want of
 * memory is that project's fault and is told with the project. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_SCENE_H
#define BLANKWRIGHT_TESTS_PROJECT_SCENE_H

#include "blankwright/blankwright.h"
#include "project_disk.h"

/* Kinds that outcomes are counted by; the test gives them their sense. */
enum { SCENE_KINDS_MOST = 48 };

/* One project under test, and the folders it may use. */
struct scene {
  struct arena *arena;
  uint64_t seed;
  const char *folder, *out, *other_out;
};

/* What came of one project; handed back by its process. */
struct outcome {
  int faults;
  bool counted;   /* of the sort the test is about: a plan, a refusal */
  size_t kind;    /* below SCENE_KINDS_MOST */
  double seconds; /* of processor, all threads */
  long peak;      /* KiB */
};

/* Sums over all projects tried. */
struct tally {
  uint64_t tried, counted, faulty;
  uint64_t kind_tried[SCENE_KINDS_MOST], kind_counted[SCENE_KINDS_MOST];
  double seconds;
  struct {
    uint64_t seed;
    double seconds;
    long peak;
  } slowest, largest;
};

/* BLANKWRIGHT_`name` as a number, or `usual`. */
uint64_t scene_setting(const char *name, uint64_t usual);

/* Tries `runs` seeds from BLANKWRIGHT_SEED on. Each may take 1.5 GiB of memory. */
struct tally scene_try_all(uint64_t runs,
                           void (*try_one)(const struct scene *scene, struct outcome *outcome));

/* The same for one number, whatever BLANKWRIGHT_SEED says. */
struct outcome scene_try(uint64_t seed,
                         void (*try_one)(const struct scene *scene, struct outcome *outcome));

/* Prints how many were tried, and the dearest of them. */
void scene_tell(const struct tally *tally);

/* Tells of a fault with all it takes to see it again; always 1. `run` may be NULL. */
int scene_blame(const struct scene *scene, const struct bw_run *run, const char *what);

/* Whether there is an error whose text holds `part`; any error for NULL. */
bool scene_has_error(const struct bw_run *run, const char *part);

#endif
