/* The searches' numbers. */
#ifndef BLANKWRIGHT_NEST_RANDOM_H
#define BLANKWRIGHT_NEST_RANDOM_H

#include "base/random.h"

#endif
