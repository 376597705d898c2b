/* Room for tabs along one straight side of a part. */
#ifndef BLANKWRIGHT_HOLD_TABS_SIDE_H
#define BLANKWRIGHT_HOLD_TABS_SIDE_H

#include "hold/tabs.h"

/* Where the middle of a tab may stand: from, to both included, apart and rising. Along x on the
 * front and back, along y on the left and right. */
struct tab_stretch {
  length_t from, to;
};

struct tab_side {
  length_t start, size; /* of the side itself */
  struct tab_stretch *stretches;
  size_t count;
};

/* Where the middles of tabs may stand on a side of work->parts[index], tab_corner off its corners;
 * the stretches live in the arena. None where the load ends too near. */
struct tab_side tabs_side(struct arena *arena, const struct tab_work *work, size_t index,
                          enum bed_side side);

/* How many fit, `pitch` apart; at most `most` are counted. */
int64_t tabs_side_room(const struct tab_side *side, length_t pitch, int64_t most);

/* Fills `middles` with `count` places (at most what fits), rising, each as near as may be to the
 * middle of its equal share of the side. */
void tabs_side_spread(struct arena *arena, const struct tab_side *side, length_t pitch,
                      int64_t count, length_t *middles);

#endif
