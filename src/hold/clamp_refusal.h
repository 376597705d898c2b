/* Why a load cannot be held, and the smallest change that cures it. */
#ifndef BLANKWRIGHT_HOLD_CLAMP_REFUSAL_H
#define BLANKWRIGHT_HOLD_CLAMP_REFUSAL_H

#include "hold/clamp_problem.h"

enum clamp_reason {
  REASON_NONE,
  REASON_NO_CLAMPS, /* none is offered */
  REASON_STOPS,     /* stops on both sides of `side` and its opposite, and only side clamps */
  REASON_NO_PLACE,  /* no clear place on `side` */
  REASON_STRETCH,   /* between `from` and `to` along `side` no clamp can stand: too long */
  REASON_BED,       /* the bed is too small by `missing` (x where `side` is left, else y) */
  REASON_FRICTION,  /* the most that can be held is short by `force` */
  REASON_TOO_FEW,   /* `needed` clamps are needed, `owned` are there */
  REASON_OPPOSITE,  /* no stop or clamp can stand opposite side clamps: none on `side` */
  REASON_MEETING,   /* clamps stand in each other's way at corners or across the load */
  REASON_BALANCE,   /* opposite sides cannot have nearly alike numbers of hold-downs */
  REASON_SEVERAL    /* all rules of `rules` fail together, RULE_... of clamp_rows.h */
};

enum clamp_cure_kind {
  CURE_GROW, /* `grow` more on `side` of the load, and as much opposite where `both` */
  CURE_MORE, /* `more` clamps more of clamp_choice.clamp `clamp` */
  CURE_TURN  /* a quarter turn on the bed */
};

struct clamp_cure {
  enum clamp_cure_kind kind;
  enum bed_side side;
  bool both;
  length_t grow;
  size_t clamp;
  int64_t more;
};

enum { MOST_CURES = 3 };

/* Lengths in 1/8000 mm, along a side from the lower left corner; forces in thousandths of a
 * newton. Each cure has been tried: with it alone the load can be held. The one that fits the
 * reason best comes first. */
struct clamp_refusal {
  enum clamp_reason reason;
  enum bed_side side;
  length_t from, to;
  length_t missing;
  int64_t force;
  int64_t needed, owned;
  unsigned rules;
  struct clamp_cure cures[MOST_CURES]; /* at most one of a kind */
  size_t cure_count;
};

/* Finds reason and cures for a problem whose clamps cannot be chosen, by solving it with rules
 * left out, with more clamps, turned, and with a larger load: of sizes to grow by, in steps of
 * `mark`, powers of two and then by halving, so that what is said does, though a smaller one
 * might in between (more length may ask for another clamp). */
void clamps_refuse(struct arena *arena, const struct clamp_problem *problem,
                   struct clamp_refusal *refusal);

/* One sentence, lower case, without a full stop: what is wrong, then what the first cure is,
 * or where none was found what else can be done.
 * `names` are clamps by clamp_choice.clamp. In the arena. */
char *clamp_refusal_text(struct arena *arena, const struct clamp_refusal *refusal,
                         const char *const *names, enum unit unit);

/* The problem with a cure done to it; choices and obstacles are copies in the arena. */
struct clamp_problem clamps_cured(struct arena *arena, const struct clamp_problem *problem,
                                  const struct clamp_cure *cure);

#endif
