/* A load of a project as a bare clamp problem. */
#ifndef BLANKWRIGHT_HOLD_BED_H
#define BLANKWRIGHT_HOLD_BED_H

#include "hold/clamp_problem.h"
#include "hold/part_work.h"

struct load_memory;

struct bed {
  struct arena *arena;
  struct arena *scratch; /* a child of `arena`; released by whoever marks it */
  const struct project *project;
  const struct part_work *works; /* per part */
  struct clamp_set clamps;
  struct load_memory *memory; /* answers whether sets of parts fit loads; may be NULL */
};

/* Fills in all but `memory`, which is NULL then. What is worked out lives in the arena. The bed may
 * not be copied: its clamps may point into it (clamp_set_of). */
void bed_open(struct arena *arena, const struct project *project, struct bed *bed);

/* What a load is before anything lies in it: `length` is its own, with the grain; `across` lays it
 * from front to back. `parts` are the kinds in it, each once. */
struct bed_load {
  length_t length, width, thickness;
  bool across;
  enum hold hold;
  const size_t *parts;
  size_t part_count;
  struct load_work work;
};

/* The clamp problem, without obstacles; its choices live in the arena. */
struct clamp_problem bed_problem(const struct bed *bed, const struct bed_load *load);

/* A load with its clamps and room for its parts, which are the caller's to fill in. */
struct load *bed_keep(struct arena *arena, const struct project *project,
                      const struct bed_load *bed_load, size_t part_count,
                      const struct held_clamp *clamps, size_t clamp_count);

/* The one part of a load, laid in its middle: the first of load->parts. */
struct held_part bed_in_the_middle(const struct bed *bed, const struct bed_load *load,
                                   const struct clamp_problem *problem);

/* Whether a load of that one part is within bed and travel, its clamps apart. */
bool bed_takes(const struct bed *bed, const struct bed_load *load,
               const struct clamp_problem *problem, const struct held_part *held);

/* Why a load of one part in its middle cannot be held, and what would cure it: a sentence without
 * its full stop. In the bed's arena. */
const char *bed_why_not(const struct bed *bed, const struct bed_load *load);

/* Least distance from an outline to the edge of the load: cutter diameter and rim, or `reach` where
 * that is more, and what the sawn edge may be out of square. */
length_t bed_edge(const struct shop *shop, const struct load_work *work);

/* Least distance between two outlines in a load: part_gap where it is set, else two cutter
 * diameters and the web. */
length_t bed_gap(const struct shop *shop, const struct load_work *work);

#endif
