/* The rack after a plan is cut: new texts of its two files, and what changed. */
#ifndef BLANKWRIGHT_MODEL_SETTLED_H
#define BLANKWRIGHT_MODEL_SETTLED_H

#include "base/buffer.h"
#include "model/left_over.h"

struct settled {
  bool changed;         /* else nothing is to be written */
  struct buffer *rack;  /* rack.csv */
  struct buffer *flaws; /* flaws.csv; NULL: there is none, and none is needed */
  struct stock *pieces; /* that joined, as they are called and written down there */
  size_t piece_count;
  cents_t value_left; /* what left the rack was worth */
  cents_t value_joined;
};

#endif
