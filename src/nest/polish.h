/* Cutting the same pieces out of the same stock with fewer cuts. */
#ifndef BLANKWRIGHT_NEST_POLISH_H
#define BLANKWRIGHT_NEST_POLISH_H

#include "nest/generate.h"

/* Looks once, for each layout of the best plan, for one that yields the same pieces with
 * fewer cuts (also where cuts cost nothing), and puts it in its place. At most about
 * `steps` of work. The plan never gets dearer. */
void polish(struct search *search, int64_t steps);

#endif
