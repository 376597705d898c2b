/* Stock of the same size at the same cost: what comes first (the rack) is used first. */
#ifndef BLANKWRIGHT_NEST_TWINS_H
#define BLANKWRIGHT_NEST_TWINS_H

#include "nest/generate.h"

/* Moves layouts of the best plan to stock of a lower number that is alike in size, rules,
 * options and cost and has pieces to spare. The cost stays as it is. */
void use_earlier_twins(struct search *search);

#endif
