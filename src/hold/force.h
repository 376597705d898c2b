/* What the cutter does to the work, and what must hold against it. Forces in thousandths of a
 * newton. */
#ifndef BLANKWRIGHT_HOLD_FORCE_H
#define BLANKWRIGHT_HOLD_FORCE_H

#include "model/project.h"

/* Mean tangential force of a cut: the specific cutting energy times the wood removed per minute,
 * Q = depth x width x feed, over the way the edge goes in that minute, v = pi x diameter x rpm;
 * rounded up. `energy` in thousandths of N/mm2 (the same as J/cm3). Q and v as in handbooks of
 * machining; the energy's default of 60 N/mm2 is from memory, of low confidence: the result is a
 * size to go by, not a measured value. 0 without a speed or a diameter. */
int64_t force_tangential(int64_t energy, length_t depth, length_t width, length_t feed,
                         length_t diameter, int64_t rpm);

/* Of a step at the cutter's settings: profile and the first path of pocket and face in full width
 * (face: its stepover, for its first path begins outside), a hole at its plunge rate, a chamfer
 * as deep as wide. Never under the shop's cut_force_min. `depth`: of the whole step. */
int64_t force_of_step(const struct project *project, const struct step *step, length_t depth);

/* The largest force of the steps done on the bed, at least cut_force_min; `steps` are all of the
 * part's own, so that what is faced on which side is known. *worst (may be NULL) is the step's
 * place among them, SIZE_MAX when none is over the minimum. */
int64_t force_of_steps(const struct project *project, const struct step *const *steps,
                       size_t step_count, length_t raw, size_t *worst);

/* Friction to be held: hold_safety times the force, rounded up. */
int64_t force_to_hold(const struct shop *shop, int64_t force);

/* feed / (rpm x flutes), the thickness each edge takes, rounded down; -1 when the speed is not
 * given. */
length_t force_chip_load(const struct cutter *cutter);

/* Small cutters do best from 0.02 to 0.10 mm: common practice, no source. */
#define CHIP_LOAD_LEAST (MM(2) / 100)
#define CHIP_LOAD_MOST (MM(10) / 100)

/* True when the chip load is known and outside these. A drill has no chip load in this sense. */
bool force_chip_load_odd(const struct cutter *cutter);

/* What one tab bears before it shears along the grain: width x height x strength, `shear` in
 * thousandths of N/mm2, at a safety of 1, rounded down. 6 x 3 mm of sugar maple: 289.8 N. */
int64_t force_tab(length_t width, length_t height, int64_t shear);

#endif
