/* Puts open pieces onto the sheets of a free layout, one after the other, each where a rule finds
 * it lies best. */
#ifndef BLANKWRIGHT_NEST_FREE_RECREATE_H
#define BLANKWRIGHT_NEST_FREE_RECREATE_H

#include "nest/free_random.h"
#include "nest/free_state.h"

/* Which room a piece takes. */
enum free_rule {
  RULE_SHORT_REST, /* least rest beside the piece on the tighter side */
  RULE_LONG_REST,  /* least rest on the looser side */
  RULE_ROOM_AREA,  /* smallest room */
  RULE_FULL_SHEET, /* fullest sheet, then as RULE_SHORT_REST */
  RULE_LOW,        /* lowest, then leftmost */
  RULE_COUNT
};

/* Which corner of the room. */
enum free_corner { CORNER_LOW_LEFT, CORNER_NEAR_EDGE, CORNER_ANY, CORNER_COUNT };

struct free_way {
  int order; /* an enum free_order; ORDER_COUNT is random, ORDER_COUNT + 1 most restricted first */
  enum free_rule rule;
  enum free_corner corner;
  uint32_t skipped; /* of 1024 places that fit, so many are not seen */
};

enum { ORDER_RANDOM = ORDER_COUNT, ORDER_RESTRICTED = ORDER_COUNT + 1 };

/* Lays what it can of the open items and judges. `work` has room for two numbers per item of
 * the job. */
void free_recreate(struct free_state *state, struct free_random *random, const struct free_way *way,
                   uint32_t *work);

#endif
