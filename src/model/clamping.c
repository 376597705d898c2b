#include "model/clamping.h"

const char *bed_side_text(enum bed_side side) {
  static const char *const names[BED_SIDES] = {"left", "right", "front", "back"};
  return names[side];
}
