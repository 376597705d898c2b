/* Where tabs stand on parts that lie in a load. Places as in model/clamping.h. */
#ifndef BLANKWRIGHT_HOLD_TABS_H
#define BLANKWRIGHT_HOLD_TABS_H

#include "base/arena.h"
#include "model/clamping.h"

/* How the load's grain lies on the bed. */
enum load_grain { LOAD_GRAIN_X, LOAD_GRAIN_Y, LOAD_GRAIN_NONE };

/* A rectangle of the load that bears nothing: a flaw in a rim. */
struct tab_bad {
  length_t x, y, length, width;
};

/* What stands around the parts. The cutter's paths are their outlines grown by
 * cutter_diameter. */
struct tab_work {
  const struct project *project;
  length_t load_length, load_width; /* along x and y */
  enum load_grain grain;
  length_t cutter_diameter;
  const struct held_part *parts;
  size_t part_count;
  const struct held_clamp *clamps;
  size_t clamp_count;
  const struct tab_bad *bad;
  size_t bad_count;
};

struct tab_result {
  int64_t wanted;
  int64_t made;
  bool opposite; /* two opposite sides hold, or fewer than two tabs are wanted */
  length_t width, height;
};

/* max(2, ceil(outline / tab_spacing)), or as given in parts.csv. */
int64_t tabs_wanted(const struct shop *shop, const struct part *part);

/* The least a tab stands without breaking while the cut goes on: 1.2 mm. Common practice. */
#define TAB_HEIGHT_LEAST (MM(12) / 10)

/* From the part's lower face: tab_height, kept within a quarter and half of the part's
 * thickness, and at least TAB_HEIGHT_LEAST, so that on thin parts it may be over half; never more
 * than the thickness. */
length_t tabs_height(const struct shop *shop, length_t thickness);

/* Distance of the middles of two tabs on one side, at least: the cutter comes down between them
 * and as much as a tab is cut. */
length_t tabs_pitch(const struct shop *shop, length_t cutter_diameter);

/* Places the tabs of one of work->parts and puts them into `part` (which may be the same object).
 * A tab stands where the strip it bridges and tab_width of the wood beyond it are within the
 * load and clear of all other parts' cutter paths and of what is bad, and no clamp stands on the
 * strip. On rectangles tabs are tab_corner off the corners, as even as may be along the
 * sides with the grain first (the longer ones where there is none), in halves on the two, and on
 * the others what these have no room for; at least one stands on each of two opposite
 * sides wherever that can be. On rounds they are spread evenly, turned so that the most
 * of them stand; what then lacks goes where it is furthest from others. Whether the wood
 * beyond hangs together with the load's rim is not looked at: it does while paths do not
 * overlap, that is with outlines 2 cutter diameters apart. The tabs live in the arena. */
struct tab_result tabs_place(struct arena *arena, const struct tab_work *work, size_t index,
                             struct held_part *part);

#endif
