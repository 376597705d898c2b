/* What is known of the woods a project names. */
#ifndef BLANKWRIGHT_HOLD_WOOD_H
#define BLANKWRIGHT_HOLD_WOOD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* 0 where a value is not known. */
struct wood {
  const char *name;           /* of the species */
  const char *aliases;        /* what projects call it, parted by "|" */
  int64_t radial, tangential; /* change of size per 1 % of moisture content, in 1/100000: Wood
                                 Handbook (USDA Forest Products Laboratory), Table 13-5 */
  int64_t shear;              /* parallel to the grain at 12 %, thousandths of N/mm2: Table 5-3a */
};

/* The species a project's word means, by its name or an alias, the case of letters, spaces and
 * hyphens aside, or NULL. "oak" is taken for red oak, which moves most and shears first. */
const struct wood *wood_named(const char *text);

/* The largest tangential coefficient and the least shear strength of the table: what is
 * reckoned with where the wood is not known. */
int64_t wood_most_tangential(void);
int64_t wood_least_shear(void);

#endif
