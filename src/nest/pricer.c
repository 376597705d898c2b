#include "nest/pricer.h"

#include <string.h>

#include "nest/bounded.h"
#include "nest/fill.h"
#include "nest/flawed.h"
#include "nest/flawed_any.h"
#include "nest/limited.h"
#include "nest/repack.h"
#include "nest/staged.h"
#include "nest/unstaged.h"

/* A goal so high asks for the best layout, not whether there is one worth more. */
#define NO_GOAL (INT64_MAX / 8)

enum {
  AROUND_SHARE = 16,
  AROUND_FACTOR = 10,
  AROUND_COST = 20, /* a cut looked at there takes as long as so many cells */
  MOST_ROUNDS = 8,
  HURRIED_ROUNDS = 2,
  CLEAR_ROUNDS = 40,     /* where limits are told as well as can be */
  HEAVY_STEPS = 2000000, /* tables that take more are filled seldom */
  EXACT_STEPS = 20000,
  PACKING_SHARE = 8,
  LOOK_COST = 8,  /* a place looked at when packing takes as long as so many cells */
  EXACT_COST = 8, /* a step of the exact search takes as long as so many cells */
  AROUND_STEPS = 300000,
  LAYOUT_STEPS = 300000,
  FEW_FILLINGS = 3,
  LISTED_PARTS = 16, /* of what layouts may fall short of the bound, at first */
  LISTED_STEP = 4,
  FEW_POINTS = 256 /* of a direction, where a good layout will do */
};

struct pricer {
  const struct nest_problem *problem;
  const struct nest_stock *stock;
  struct staged *staged;
  bool any_stages;           /* more than three stages are allowed */
  struct unstaged *unstaged; /* then; NULL when its tables would be too large or add nothing */
  struct limited *limited;   /* where clear stock is cut in any: looked into first */
  struct flawed *flawed;     /* NULL without flaws */
  struct flawed_any *around; /* then, where any stages are allowed; NULL: too large */
  cost_t *option_worth;
  cost_t *demand_worth; /* less what repeats cost */
  cost_t *repeat_cost;
  cost_t *spread_worth; /* worths with those of matches spread over their members */
  int64_t **share;      /* per match and member: thousandths of a match's worth */
  size_t *demand_of_blank;
  int64_t exact_steps;
  bool thorough; /* more than the usual work is wanted */
  bool hurried, patient, rough;
  bool repeats_cost; /* as much as keeps to the limits, nearly */
  int64_t any_steps; /* of the last run of the tables for any stages */
  int64_t steps;
};

static size_t largest_blank(const struct nest_stock *stock) {
  size_t largest = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    if (stock->options[o].blank > largest) largest = stock->options[o].blank;
  return largest;
}

static size_t *map_blanks(struct arena *arena, const struct nest_stock *stock) {
  size_t *map = ARENA_ARRAY(arena, largest_blank(stock) + 1, size_t);
  for (size_t o = 0; o < stock->option_count; o++)
    map[stock->options[o].blank] = stock->options[o].demand;
  return map;
}

void pricer_set_exact_steps(struct pricer *pricer, int64_t steps) {
  pricer->exact_steps = steps > 0 ? steps : EXACT_STEPS;
  pricer->thorough = steps > 0;
}

void pricer_set_hurried(struct pricer *pricer, bool hurried) { pricer->hurried = hurried; }

void pricer_set_rough(struct pricer *pricer, bool rough) { pricer->rough = rough; }

void pricer_set_patient(struct pricer *pricer, bool patient) { pricer->patient = patient; }

static bool is_hurried(const struct pricer *pricer) {
  return pricer->hurried ||
         (!pricer->thorough && !pricer->patient && pricer->any_steps > HEAVY_STEPS);
}

struct pricer *pricer_create(struct arena *arena, const struct nest_problem *problem, size_t stock,
                             size_t *cells) {
  struct pricer *pricer = ARENA_NEW(arena, struct pricer);
  pricer->problem = problem;
  pricer->stock = &problem->stocks[stock];
  int stages = pricer->stock->rules.stages;
  pricer->staged = staged_create(arena, pricer->stock, problem->cut_cost);
  pricer->any_stages = stages == 0 || stages > 3;
  if (pricer->any_stages && pricer->stock->flaw_count > 0)
    pricer->around = flawed_any_create(arena, pricer->stock, cells);
  const struct nest_rules *rules = &pricer->stock->rules;
  bool ruled = rules->rip_min_length > 0 || rules->crosscut_capacity > 0;
  if (pricer->any_stages && (pricer->around == NULL || ruled))
    pricer->unstaged = unstaged_create(arena, pricer->stock, cells);
  if (pricer->any_stages && problem->match_count == 0 && pricer->stock->flaw_count == 0)
    pricer->limited = limited_create(arena, pricer->stock, problem->demand_count, FEW_POINTS);
  if (pricer->stock->flaw_count > 0)
    pricer->flawed = flawed_create(arena, pricer->stock, pricer->staged, problem->cut_cost);
  pricer->option_worth = ARENA_ARRAY(arena, pricer->stock->option_count, cost_t);
  pricer->demand_worth = ARENA_ARRAY(arena, problem->demand_count, cost_t);
  pricer->repeat_cost = ARENA_ARRAY(arena, problem->demand_count, cost_t);
  pricer->spread_worth = ARENA_ARRAY(arena, problem->demand_count, cost_t);
  pricer->share = ARENA_ARRAY(arena, problem->match_count, int64_t *);
  for (size_t m = 0; m < problem->match_count; m++)
    pricer->share[m] = ARENA_ARRAY(arena, problem->matches[m].member_count, int64_t);
  pricer->demand_of_blank = map_blanks(arena, pricer->stock);
  pricer_set_exact_steps(pricer, 0);
  return pricer;
}

int64_t pricer_steps(const struct pricer *pricer) {
  return pricer->steps + staged_steps(pricer->staged) +
         (pricer->unstaged == NULL ? 0 : unstaged_steps(pricer->unstaged)) +
         (pricer->limited == NULL ? 0 : limited_steps(pricer->limited)) +
         (pricer->flawed == NULL ? 0 : flawed_steps(pricer->flawed)) +
         (pricer->around == NULL ? 0 : flawed_any_steps(pricer->around));
}

static cost_t layout_worth(const struct pricer *pricer, const struct node *root,
                           const int64_t *counts, const cost_t *worth) {
  cost_t total = -pricer->problem->cut_cost * cutting_count_cuts(root);
  for (size_t d = 0; d < pricer->problem->demand_count; d++) total += counts[d] * worth[d];
  return total;
}

static void set_option_worths(struct pricer *pricer, cost_t less) {
  for (size_t o = 0; o < pricer->stock->option_count; o++)
    pricer->option_worth[o] = pricer->demand_worth[pricer->stock->options[o].demand] - less;
}

/* No layout is worth more than the stock's area at the worth of the piece dearest for its
 * area, both grown by a kerf; rounded up. */
static cost_t area_bound(const struct pricer *pricer) {
  const struct nest_stock *stock = pricer->stock;
  double area =
      (double)(stock->length + stock->kerf_crosscut) * (double)(stock->width + stock->kerf_rip);
  double most = 0;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    double own =
        (double)(option->length + stock->kerf_crosscut) * (double)(option->width + stock->kerf_rip);
    double worth = (double)pricer->demand_worth[option->demand] * (area / own);
    if (worth > most) most = worth;
  }
  /* a millionth covers what the doubles round away */
  return most >= (double)(INT64_MAX / 4) ? INT64_MAX / 4 : (cost_t)(most * 1.000001) + 1;
}

/* Any number of stages: cuts are free in that table, so each piece pays one (a layout of n
 * pieces takes at least n - 1) and one is given back. */
static cost_t unstaged_bound(struct arena *arena, struct pricer *pricer, struct node *root) {
  set_option_worths(pricer, pricer->problem->cut_cost);
  int64_t before = unstaged_steps(pricer->unstaged);
  unstaged_price(pricer->unstaged, pricer->option_worth);
  pricer->any_steps = unstaged_steps(pricer->unstaged) - before;
  unstaged_build(arena, pricer->unstaged, root);
  return unstaged_best(pricer->unstaged) + pricer->problem->cut_cost;
}

static cost_t tree_worth(const struct pricer *pricer, const struct node *root, int64_t *counts) {
  memset(counts, 0, pricer->problem->demand_count * sizeof *counts);
  cutting_count_pieces(root, pricer->demand_of_blank, counts);
  nest_count_matches(pricer->problem, counts);
  return layout_worth(pricer, root, counts, pricer->demand_worth);
}

static bool lies_on_flaw(const struct nest_stock *stock, const struct node *piece) {
  for (size_t f = 0; f < stock->flaw_count; f++) {
    const struct nest_flaw *flaw = &stock->flaws[f];
    if (flaw->x < piece->x + piece->length && flaw->x + flaw->length > piece->x &&
        flaw->y < piece->y + piece->width && flaw->y + flaw->width > piece->y)
      return true;
  }
  return false;
}

static void drop_flawed(const struct nest_stock *stock, struct node *node) {
  if (node->kind == NODE_PIECE && lies_on_flaw(stock, node)) node->kind = NODE_WASTE;
  for (size_t i = 0; i < node->child_count; i++) drop_flawed(stock, &node->children[i]);
}

static void set_waste(const struct pricer *pricer, struct node *root) {
  *root = (struct node){
      .kind = NODE_WASTE, .length = pricer->stock->length, .width = pricer->stock->width};
}

/* Any number of stages around flaws; cuts are paid as in unstaged_bound. True when the layout
 * can stand for the best one: it is cut as worth, or none is worth more than the floor. */
static bool around_bound(struct arena *arena, struct pricer *pricer, cost_t floor, int64_t steps,
                         struct node *root, int64_t *counts, cost_t *bound) {
  cost_t cut_cost = pricer->problem->cut_cost;
  cost_t worth = 0;
  cost_t own = 0;
  set_waste(pricer, root);
  if (*bound > floor) {
    int64_t most = AROUND_FACTOR * pricer->exact_steps;
    if (pricer->repeats_cost) most = steps / AROUND_COST;
    if (steps > most) steps = most;
    int64_t before = flawed_any_steps(pricer->around);
    set_option_worths(pricer, cut_cost);
    flawed_any_search(arena, pricer->around, pricer->option_worth, floor - cut_cost, steps, root,
                      &worth, &own);
    if (pricer->repeats_cost)
      pricer->steps += (AROUND_COST - 1) * (flawed_any_steps(pricer->around) - before);
    if (own + cut_cost < *bound) *bound = own + cut_cost;
  }
  if (!cutting_obeys(root, &pricer->stock->rules)) set_waste(pricer, root);
  return tree_worth(pricer, root, counts) == *bound || *bound <= floor;
}

/* Limits bind when all that may be cut would fill but a few pieces of the stock. For stock cut in
 * few stages the exact search, which knows no stages, helps only then. */
static bool limits_bind(const struct pricer *pricer, const int64_t *limit) {
  const struct nest_stock *stock = pricer->stock;
  double area = 0;
  for (size_t o = 0; o < stock->option_count; o++) {
    const struct nest_option *option = &stock->options[o];
    bool first = true;
    for (size_t before = 0; before < o && first; before++)
      first = stock->options[before].demand != option->demand;
    if (first)
      area += (double)limit[option->demand] * (double)option->length * (double)option->width;
  }
  return area <= FEW_FILLINGS * (double)stock->length * (double)stock->width;
}

/* Takes a layout around flaws where it is worth more than the one at hand. Where limits bind, it
 * would lose what there is too much of; where cuts cost, rows take too many starts. */
static void lay_around(struct arena *arena, struct pricer *pricer, int64_t steps, struct node *root,
                       int64_t *counts) {
  struct node own;
  cost_t worth = flawed_layout(arena, pricer->flawed, pricer->option_worth, steps, &own);
  if (worth > tree_worth(pricer, root, counts)) *root = own;
}

/* Takes another layout where it is worth more than the one at hand. */
static void take_better(struct arena *arena, const struct pricer *pricer, const struct node *other,
                        struct node *root, int64_t *counts) {
  size_t demands = pricer->problem->demand_count;
  int64_t *other_counts = ARENA_ARRAY(arena, demands, int64_t);
  if (tree_worth(pricer, other, other_counts) <= tree_worth(pricer, root, counts)) return;
  *root = *other;
  memcpy(counts, other_counts, demands * sizeof *counts);
}

/* The best layout with any number of copies at demand_worth, and a bound on all; where none is
 * worth more than `floor`, the bound alone may say so. */
static cost_t unlimited(struct arena *arena, struct pricer *pricer, const int64_t *limit,
                        cost_t floor, int64_t steps, struct node *root, int64_t *counts) {
  cost_t bound = INT64_MAX;
  struct node free_root = {.kind = NODE_WASTE};
  bool free_usable = false;
  if (pricer->unstaged != NULL) {
    bound = unstaged_bound(arena, pricer, &free_root);
    free_usable = pricer->flawed == NULL && cutting_obeys(&free_root, &pricer->stock->rules);
  }
  if (free_usable && pricer->problem->cut_cost == 0) {
    *root = free_root;
    tree_worth(pricer, root, counts);
    return bound;
  }
  if (pricer->around != NULL && !pricer->rough) {
    if (around_bound(arena, pricer, floor, steps, &free_root, counts, &bound)) {
      *root = free_root;
      return bound;
    }
    free_usable = true;
    steps /= AROUND_SHARE; /* for a layout alone */
  }
  set_option_worths(pricer, 0);
  staged_price(pricer->staged, pricer->option_worth);
  /* a bound for clear stock holds for flawed stock, and often says enough */
  bool thinned = staged_is_thinned(pricer->staged);
  cost_t staged_bound = thinned ? area_bound(pricer) : staged_best(pricer->staged);
  bool look_around =
      pricer->flawed != NULL && !thinned && !pricer->rough && !flawed_is_dense(pricer->flawed);
  if (look_around && staged_bound > floor) {
    cost_t worth = 0;
    cost_t around = 0;
    /* of stock cut in any number of stages this is no bound */
    bool bounds = pricer->repeats_cost && !pricer->any_stages;
    if (!pricer->thorough && !bounds && steps > AROUND_STEPS) steps = AROUND_STEPS;
    flawed_stop_at(pricer->flawed, floor);
    flawed_search(arena, pricer->flawed, pricer->option_worth, steps, root, &worth, &around);
    if (around < staged_bound) staged_bound = around;
  } else {
    staged_build_best(arena, pricer->staged, root);
    if (pricer->flawed != NULL) {
      drop_flawed(pricer->stock, root);
      cutting_tidy(root, pricer->stock);
    }
    bool pays = pricer->problem->cut_cost == 0 && staged_bound > floor && !pricer->rough;
    if (pricer->flawed != NULL && pays && (pricer->repeats_cost || !limits_bind(pricer, limit)))
      lay_around(arena, pricer, steps < LAYOUT_STEPS ? steps : LAYOUT_STEPS, root, counts);
  }
  if (!pricer->any_stages)
    bound = staged_bound;
  else if (pricer->unstaged == NULL && (pricer->around == NULL || pricer->rough))
    bound = area_bound(pricer);
  if (!cutting_obeys(root, &pricer->stock->rules)) set_waste(pricer, root);
  tree_worth(pricer, root, counts);
  if (free_usable) take_better(arena, pricer, &free_root, root, counts);
  return bound;
}

/* ---- taking pieces out ---- */

static void clip_node(const struct pricer *pricer, struct node *node, int64_t *excess) {
  if (node->kind == NODE_PIECE) {
    size_t demand = pricer->demand_of_blank[node->blank];
    if (excess[demand] > 0) {
      excess[demand]--;
      node->kind = NODE_WASTE;
    }
  }
  for (size_t i = node->child_count; i-- > 0;) clip_node(pricer, &node->children[i], excess);
}

static void move_node(struct node *node, length_t dx, length_t dy) {
  node->x += dx;
  node->y += dy;
  for (size_t i = 0; i < node->child_count; i++) move_node(&node->children[i], dx, dy);
}

/* Packs the children that are not waste towards the low side; what is left becomes one. */
static void pack_children(struct node *node, const struct nest_stock *stock) {
  for (size_t i = 0; i < node->child_count; i++) pack_children(&node->children[i], stock);
  if (node->child_count == 0) return;
  bool lengthwise = node->kind == NODE_CROSSCUT;
  length_t kerf = lengthwise ? stock->kerf_crosscut : stock->kerf_rip;
  length_t at = lengthwise ? node->x : node->y;
  length_t end = lengthwise ? node->x + node->length : node->y + node->width;
  size_t kept = 0;
  for (size_t i = 0; i < node->child_count; i++) {
    struct node child = node->children[i];
    if (child.kind == NODE_WASTE) continue;
    move_node(&child, lengthwise ? at - child.x : 0, lengthwise ? 0 : at - child.y);
    at += (lengthwise ? child.length : child.width) + kerf;
    node->children[kept++] = child;
  }
  if (kept < node->child_count && at - kerf < end) {
    length_t rest = end > at ? end - at : 0;
    node->children[kept++] = (struct node){.kind = NODE_WASTE,
                                           .x = lengthwise ? at : node->x,
                                           .y = lengthwise ? node->y : at,
                                           .length = lengthwise ? rest : node->length,
                                           .width = lengthwise ? node->width : rest};
  }
  node->child_count = kept;
}

static void clip_tree(struct arena *arena, const struct pricer *pricer, const int64_t *limit,
                      struct node *root, int64_t *counts) {
  size_t demands = pricer->problem->demand_count;
  int64_t *excess = ARENA_ARRAY(arena, demands, int64_t);
  bool any = false;
  for (size_t d = 0; d < demands; d++) {
    excess[d] = counts[d] > limit[d] ? counts[d] - limit[d] : 0;
    any = any || excess[d] > 0;
  }
  if (!any) return;
  clip_node(pricer, root, excess);
  struct node untidy = cutting_copy(arena, root, 0, 0);
  if (pricer->stock->flaw_count == 0) {
    for (int pass = 0; pass < 2; pass++) {
      cutting_tidy(root, pricer->stock);
      pack_children(root, pricer->stock);
    }
  }
  cutting_tidy(root, pricer->stock);
  /* what is left over may have grown too wide for a rip: then the cuts stay as they were */
  if (!cutting_obeys(root, &pricer->stock->rules)) *root = untidy;
  memset(counts, 0, demands * sizeof *counts);
  cutting_count_pieces(root, pricer->demand_of_blank, counts);
  nest_count_matches(pricer->problem, counts);
}

void pricer_clip(struct arena *arena, struct arena *scratch, const struct nest_problem *problem,
                 const struct nest_stock *stock, const int64_t *limit, struct node *root,
                 int64_t *counts) {
  struct arena_mark mark = arena_mark(scratch); /* the map is as long as the project has blanks */
  struct pricer pricer = {
      .problem = problem, .stock = stock, .demand_of_blank = map_blanks(scratch, stock)};
  clip_tree(arena, &pricer, limit, root, counts);
  arena_release(scratch, mark);
}

/* ---- parts from one plank ---- */

enum { SHARES = 1000, SHARE_STEP = 100 };

static void set_even_shares(struct pricer *pricer) {
  for (size_t m = 0; m < pricer->problem->match_count; m++) {
    size_t members = pricer->problem->matches[m].member_count;
    for (size_t i = 0; i < members; i++)
      pricer->share[m][i] = SHARES / (int64_t)members + (i < SHARES % members ? 1 : 0);
  }
}

/* A layout serves no more sets of a match than any average of counts / per_set over the
 * members: with a match's worth spread so, pieces are never worth less. */
static void spread_worths(struct pricer *pricer, const cost_t *worth) {
  const struct nest_problem *problem = pricer->problem;
  memcpy(pricer->spread_worth, worth, problem->demand_count * sizeof *worth);
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    pricer->spread_worth[match->demand] = 0;
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t parts = SHARES * match->per_set[i];
      pricer->spread_worth[match->member[i]] +=
          worth[match->demand] / parts * pricer->share[m][i] +
          (worth[match->demand] % parts * pricer->share[m][i] + parts - 1) / parts;
    }
  }
}

/* Moves shares from the member a layout has the most of to the one that holds it back. */
static bool move_shares(struct pricer *pricer, const int64_t *counts) {
  bool moved = false;
  for (size_t m = 0; m < pricer->problem->match_count; m++) {
    const struct nest_match *match = &pricer->problem->matches[m];
    size_t least = 0;
    size_t most = 0;
    for (size_t i = 1; i < match->member_count; i++) {
      int64_t here = counts[match->member[i]];
      if (here * match->per_set[least] < counts[match->member[least]] * match->per_set[i])
        least = i;
      if (here * match->per_set[most] > counts[match->member[most]] * match->per_set[i]) most = i;
    }
    int64_t step = pricer->share[m][most] < SHARE_STEP ? pricer->share[m][most] : SHARE_STEP;
    if (least == most || step == 0) continue;
    pricer->share[m][most] -= step;
    pricer->share[m][least] += step;
    moved = true;
  }
  return moved;
}

/* ---- limited copies ---- */

/* Moves the costs of repeats along the excess, towards the least bound. */
static bool step_repeat_costs(struct pricer *pricer, const cost_t *worth, const int64_t *limit,
                              const int64_t *counts, cost_t gap) {
  size_t demands = pricer->problem->demand_count;
  double square = 0;
  for (size_t d = 0; d < demands; d++) {
    int64_t over = counts[d] - limit[d];
    if (over > 0 || pricer->repeat_cost[d] > 0) square += (double)over * (double)over;
  }
  if (square <= 0 || gap <= 0) return false;
  double step = (double)gap / square;
  for (size_t d = 0; d < demands; d++) {
    double moved = (double)pricer->repeat_cost[d] + step * (double)(counts[d] - limit[d]);
    if (moved < 0) moved = 0;
    if (moved > (double)worth[d]) moved = (double)worth[d];
    pricer->repeat_cost[d] = (cost_t)moved;
  }
  return true;
}

static void keep_if_better(const struct pricer *pricer, const struct node *root,
                           const int64_t *counts, const cost_t *worth, struct priced *priced) {
  cost_t total = layout_worth(pricer, root, counts, worth);
  if (total <= priced->worth || !cutting_obeys(root, &pricer->stock->rules)) return;
  priced->worth = total;
  priced->root = *root;
  memcpy(priced->counts, counts, pricer->problem->demand_count * sizeof *counts);
}

/* Lagrangian relaxation of the limits: any costs of repeats >= 0 give a valid bound. best_cost[]
 * (may be NULL) is where they start, and afterwards those of the least bound. */
static void limited(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                    const int64_t *limit, cost_t goal, int64_t steps, cost_t *best_cost,
                    struct priced *priced) {
  size_t demands = pricer->problem->demand_count;
  int64_t *counts = ARENA_ARRAY(arena, demands, int64_t);
  int64_t *wanted = ARENA_ARRAY(arena, demands, int64_t); /* before clipping */
  memset(pricer->repeat_cost, 0, demands * sizeof *pricer->repeat_cost);
  if (best_cost != NULL)
    memcpy(pricer->repeat_cost, best_cost, demands * sizeof *pricer->repeat_cost);
  int64_t stop = pricer_steps(pricer) + steps;
  int rounds = is_hurried(pricer) ? HURRIED_ROUNDS : MOST_ROUNDS;
  if (pricer->repeats_cost && pricer->flawed == NULL) rounds = CLEAR_ROUNDS;
  for (int round = 0; round < rounds; round++) {
    cost_t given_back = 0;
    spread_worths(pricer, worth);
    for (size_t d = 0; d < demands; d++) {
      if (pricer->repeat_cost[d] > pricer->spread_worth[d])
        pricer->repeat_cost[d] = pricer->spread_worth[d];
      pricer->demand_worth[d] = pricer->spread_worth[d] - pricer->repeat_cost[d];
      given_back += pricer->repeat_cost[d] * limit[d];
    }
    struct node root;
    int64_t left = stop - pricer_steps(pricer);
    cost_t floor = goal > priced->worth && goal < NO_GOAL ? goal : priced->worth;
    cost_t bound =
        unlimited(arena, pricer, limit, floor - given_back, left > 0 ? left : 0, &root, counts) +
        given_back;
    if (bound < priced->bound) {
      priced->bound = bound;
      if (best_cost != NULL)
        memcpy(best_cost, pricer->repeat_cost, demands * sizeof *pricer->repeat_cost);
    }
    memcpy(wanted, counts, demands * sizeof *wanted);
    clip_tree(arena, pricer, limit, &root, counts);
    bool dropped = pricer->flawed != NULL; /* pieces, perhaps */
    if (dropped || memcmp(wanted, counts, demands * sizeof *wanted) != 0)
      fill_waste(arena, pricer->problem, pricer->stock, pricer->spread_worth, limit, &root, counts);
    nest_count_matches(pricer->problem, counts);
    keep_if_better(pricer, &root, counts, worth, priced);
    bool settled = priced->bound <= priced->worth || priced->bound <= goal;
    if (settled || priced->worth > goal || pricer_steps(pricer) >= stop) return;
    bool moved = move_shares(pricer, wanted);
    if (!step_repeat_costs(pricer, pricer->spread_worth, limit, wanted, bound - priced->worth) &&
        !moved)
      return;
  }
}

static void open_priced(struct arena *arena, const struct pricer *pricer, struct priced *priced) {
  *priced = (struct priced){.bound = INT64_MAX,
                            .counts = ARENA_ARRAY(arena, pricer->problem->demand_count, int64_t)};
  set_waste(pricer, &priced->root);
}

bool pricer_run_limited(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                        const int64_t *limit, struct priced *priced) {
  if (pricer->limited == NULL) return false;
  struct node root;
  int64_t *counts = ARENA_ARRAY(arena, pricer->problem->demand_count, int64_t);
  open_priced(arena, pricer, priced);
  memcpy(pricer->demand_worth, worth, pricer->problem->demand_count * sizeof *worth);
  set_option_worths(pricer, pricer->problem->cut_cost);
  limited_layout(arena, pricer->limited, pricer->option_worth, limit, &root);
  tree_worth(pricer, &root, counts);
  keep_if_better(pricer, &root, counts, worth, priced);
  priced->cuts = cutting_count_cuts(&priced->root);
  return true;
}

/* Whether a small table shows a layout worth more than the goal: then there is no need to fill
 * large ones. */
static bool is_passed_soon(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                           const int64_t *limit, cost_t goal, struct priced *priced) {
  bool looks = goal < NO_GOAL && !pricer->thorough && !pricer->patient;
  return looks && pricer_run_limited(arena, pricer, worth, limit, priced) && priced->worth > goal;
}

/* Looks for a better layout by packing, for a share of so many steps. */
static void pack_one(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                     const int64_t *limit, int64_t steps, struct priced *priced) {
  const struct nest_problem *problem = pricer->problem;
  struct nest_layout start = {.times = 1, .root = priced->root, .counts = priced->counts};
  struct nest_layout packed;
  int64_t looks = 0;
  bool any = repack_layout(arena, problem, (size_t)(pricer->stock - problem->stocks),
                           pricer->spread_worth, limit, priced->worth > 0 ? &start : NULL,
                           steps / PACKING_SHARE / LOOK_COST, &packed, &looks);
  pricer->steps += LOOK_COST * looks;
  if (!any) return;
  nest_count_matches(problem, packed.counts);
  keep_if_better(pricer, &packed.root, packed.counts, worth, priced);
}

void pricer_run(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                const int64_t *limit, cost_t goal, int64_t steps, struct priced *priced) {
  int64_t begin = pricer_steps(pricer), stop = begin + steps;
  open_priced(arena, pricer, priced);
  if (is_passed_soon(arena, pricer, worth, limit, goal, priced)) return;
  set_even_shares(pricer);
  limited(arena, pricer, worth, limit, goal, steps, NULL, priced);
  int64_t left = stop - pricer_steps(pricer);
  if (left < steps / 4) left = steps / 4;
  bool open = priced->worth <= goal && priced->bound > goal && priced->bound > priced->worth;
  bool exact = pricer->any_stages || pricer->thorough || limits_bind(pricer, limit);
  if (pricer->flawed == NULL && !is_hurried(pricer) && open && exact) {
    struct bounded_answer answer;
    bounded_search(
        arena, pricer->problem, pricer->stock, pricer->spread_worth, limit,
        left / EXACT_COST < pricer->exact_steps ? left / EXACT_COST : pricer->exact_steps, &answer);
    nest_count_matches(pricer->problem, answer.counts);
    pricer->steps += EXACT_COST * answer.steps;
    if (answer.bound < priced->bound) priced->bound = answer.bound;
    keep_if_better(pricer, &answer.root, answer.counts, worth, priced);
  }
  if (pricer->thorough && priced->bound > priced->worth)
    pack_one(arena, pricer, worth, limit, pricer_steps(pricer) - begin, priced);
  priced->cuts = cutting_count_cuts(&priced->root);
}

/* ---- limited copies around flaws ---- */

/* The worths that copies have left; each that is worth anything stays so, since layouts worth
 * nothing are not listed. Returns what the limits give back. */
static cost_t set_reduced_worths(struct pricer *pricer, const cost_t *worth, const int64_t *limit,
                                 const cost_t *repeat_cost) {
  cost_t given_back = 0;
  for (size_t d = 0; d < pricer->problem->demand_count; d++) {
    cost_t less = repeat_cost[d] < worth[d] ? repeat_cost[d] : worth[d] - 1;
    pricer->demand_worth[d] = limit[d] > 0 && worth[d] > 0 ? worth[d] - less : 0;
    if (limit[d] > 0 && worth[d] > 0) given_back += less * limit[d];
  }
  return given_back;
}

/* At demand_worth, cuts for nothing. */
static void price_plainly(struct pricer *pricer) {
  set_option_worths(pricer, 0);
  staged_price(pricer->staged, pricer->option_worth);
}

/* All layouts worth so much at demand_worth. */
static bool list_near(struct arena *arena, struct pricer *pricer, const int64_t *limit,
                      cost_t least, int64_t *steps, struct near_list *list) {
  int64_t before = pricer_steps(pricer);
  if (staged_is_thinned(pricer->staged)) {
    *steps = 0;
    return false;
  }
  price_plainly(pricer);
  struct near_question question = {.stock = pricer->stock,
                                   .staged = pricer->staged,
                                   .flawed = pricer->flawed,
                                   .option_worth = pricer->option_worth,
                                   .demand_worth = pricer->demand_worth,
                                   .demand_count = pricer->problem->demand_count,
                                   .limit = limit,
                                   .least = least,
                                   .steps = *steps};
  bool all = near_best_list(arena, &question, list);
  *steps = question.steps;
  /* those around flaws count themselves */
  pricer->steps += question.steps - (pricer_steps(pricer) - before);
  return all;
}

/* Keeps the best of those listed and returns the most that one is worth; 0 for none. */
static cost_t keep_listed(struct arena *arena, struct pricer *pricer, const struct near_list *list,
                          const cost_t *worth, const int64_t *limit, struct priced *priced) {
  size_t demands = pricer->problem->demand_count;
  int64_t *counts = ARENA_ARRAY(arena, demands, int64_t);
  const struct near_entry *best = NULL;
  cost_t most = 0;
  for (size_t i = 0; i < list->count; i++) {
    cost_t own = 0;
    near_entry_counts(list->items[i], demands, counts);
    for (size_t d = 0; d < demands; d++) own += worth[d] * counts[d];
    if (own <= most) continue;
    best = list->items[i];
    most = own;
  }
  if (best == NULL) return 0;
  struct node root;
  set_waste(pricer, &root);
  near_entry_build(arena, pricer->stock, best, &root);
  pricer_count(pricer, &root, counts);
  clip_tree(arena, pricer, limit, &root, counts);
  keep_if_better(pricer, &root, counts, worth, priced);
  return most;
}

bool pricer_can_list(const struct pricer *pricer, const int64_t *limit) {
  const struct nest_problem *problem = pricer->problem;
  if (pricer->any_stages || staged_is_thinned(pricer->staged)) return false;
  if (problem->cut_cost > 0 || problem->match_count > 0) return false;
  if (problem->demand_count > NEAR_DEMANDS) return false;
  for (size_t d = 0; d < problem->demand_count; d++)
    if (limit[d] > NEAR_MOST_COPIES) return false;
  return pricer->flawed == NULL || !flawed_is_dense(pricer->flawed);
}

/* Lists what may be worth more than the goal: first the layouts nearest to the bound, one of which
 * may do, then all. */
static void price_by_lists(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                           const int64_t *limit, cost_t goal, int64_t steps,
                           const cost_t *repeat_cost, struct priced *priced) {
  struct arena *scratch = arena_create_child(arena);
  struct arena_mark empty = arena_mark(scratch);
  cost_t slack = priced->bound - goal - 1;
  for (int part = LISTED_PARTS; part > 0; part /= LISTED_STEP) {
    struct near_list list = {NULL, 0, 0};
    cost_t least = priced->bound - slack / part;
    int64_t own = steps;
    cost_t given_back = set_reduced_worths(pricer, worth, limit, repeat_cost);
    if (least <= given_back) break;
    bool all = list_near(scratch, pricer, limit, least - given_back, &own, &list);
    steps -= own;
    cost_t most = keep_listed(arena, pricer, &list, worth, limit, priced);
    arena_release(scratch, empty);
    if (!all) break;
    if (most < least - 1) most = least - 1;
    if (most < priced->bound) priced->bound = most;
    if (priced->worth > goal || priced->bound <= goal) break;
  }
  arena_release(scratch, empty);
}

void pricer_run_listed(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                       const int64_t *limit, cost_t goal, int64_t steps, cost_t *repeat_cost,
                       struct priced *priced) {
  int64_t stop = pricer_steps(pricer) + steps;
  open_priced(arena, pricer, priced);
  set_even_shares(pricer);
  pricer->repeats_cost = true;
  limited(arena, pricer, worth, limit, goal, steps / 2, repeat_cost, priced);
  pricer->repeats_cost = false;
  int64_t left = stop - pricer_steps(pricer);
  if (priced->worth <= goal && priced->bound > goal && left > 0 && pricer_can_list(pricer, limit))
    price_by_lists(arena, pricer, worth, limit, goal, left, repeat_cost, priced);
}

bool pricer_is_slow(const struct pricer *pricer) { return pricer->flawed != NULL; }

void pricer_run_quickly(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                        const int64_t *limit, struct priced *priced) {
  size_t demands = pricer->problem->demand_count;
  struct node root;
  int64_t *counts = ARENA_ARRAY(arena, demands, int64_t);
  *priced = (struct priced){.bound = INT64_MAX, .counts = ARENA_ARRAY(arena, demands, int64_t)};
  set_waste(pricer, &priced->root);
  set_even_shares(pricer);
  spread_worths(pricer, worth);
  memcpy(pricer->demand_worth, pricer->spread_worth, demands * sizeof *pricer->demand_worth);
  set_option_worths(pricer, 0);
  staged_price(pricer->staged, pricer->option_worth);
  staged_build_best(arena, pricer->staged, &root);
  drop_flawed(pricer->stock, &root);
  tree_worth(pricer, &root, counts);
  clip_tree(arena, pricer, limit, &root, counts);
  cutting_tidy(&root, pricer->stock);
  fill_waste(arena, pricer->problem, pricer->stock, pricer->spread_worth, limit, &root, counts);
  nest_count_matches(pricer->problem, counts);
  keep_if_better(pricer, &root, counts, worth, priced);
  priced->cuts = cutting_count_cuts(&priced->root);
}

cost_t pricer_most_worth(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                         const int64_t *limit, int64_t steps, cost_t *repeat_cost, bool *exact) {
  struct priced priced;
  *exact = !pricer->any_stages && !staged_is_thinned(pricer->staged);
  struct arena_mark mark = arena_mark(arena);
  open_priced(arena, pricer, &priced);
  set_even_shares(pricer);
  pricer->repeats_cost = true;
  limited(arena, pricer, worth, limit, INT64_MAX / 4, steps, repeat_cost, &priced);
  pricer->repeats_cost = false;
  arena_release(arena, mark);
  return priced.bound;
}

bool pricer_list_near(struct arena *arena, struct pricer *pricer, const cost_t *worth,
                      const int64_t *limit, const cost_t *repeat_cost, cost_t least, int64_t *steps,
                      struct near_list *list) {
  struct near_list all = {NULL, 0, 0};
  cost_t given_back = set_reduced_worths(pricer, worth, limit, repeat_cost);
  bool whole = list_near(arena, pricer, limit, least - given_back, steps, &all);
  int64_t *counts = ARENA_ARRAY(arena, pricer->problem->demand_count, int64_t);
  for (size_t i = 0; i < all.count; i++) {
    cost_t own = 0;
    near_entry_counts(all.items[i], pricer->problem->demand_count, counts);
    for (size_t d = 0; d < pricer->problem->demand_count; d++) own += worth[d] * counts[d];
    if (own >= least) *ARENA_PUSH(arena, list->items, list->count, list->room) = all.items[i];
  }
  return whole;
}

void pricer_count(const struct pricer *pricer, const struct node *root, int64_t *counts) {
  memset(counts, 0, pricer->problem->demand_count * sizeof *counts);
  cutting_count_pieces(root, pricer->demand_of_blank, counts);
}
