#include "nest/portions.h"

#include <stdlib.h>
#include <string.h>

#include "nest/cutting.h"
#include "nest/lattice.h"
#include "nest/portion.h"

/* Of one portion; and how many options a problem has at most that is solved at once. */
enum { WHOLE_OPTIONS = 8000, PORTION_OPTIONS = 3000, PORTION_STOCKS = 24, PORTION_KINDS = 120 };

/* Kinds of stock looked at for a match, the largest first: a set that has room may find no layout
 * in the first. So many times more where it found none in those. */
enum { MATCH_STOCKS = 8, MATCH_STOCKS_GROW = 8 };

static const int64_t DEFAULT_EFFORT = 400000;

/* Demands that only go together: parts of a match, of a load, a blank and its strips. */
struct cluster {
  size_t *demands;
  size_t count, room;
  double area; /* of its largest piece, or of a set of its match */
  size_t first;
};

struct portioning {
  struct arena *arena, *scratch;
  const struct nest_problem *problem;
  const struct nest_options *options;
  struct nest_answer *answer;
  int64_t *open;    /* per demand */
  int64_t *used;    /* per stock */
  int64_t *left;    /* per stock; -1: no limit */
  size_t *cheapest; /* stocks to cut and planks to split, cheapest for their area first */
  size_t cheapest_count;
  double *area_of_demand;   /* of its smallest piece */
  struct cluster *clusters; /* the largest first */
  size_t cluster_count;
  size_t match_stocks; /* looked at for a match */
  cost_t bound;
  int64_t effort; /* thousands of steps, of all */
};

static size_t options_of(const struct nest_problem *problem) {
  size_t count = 0;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].given == NULL) count += problem->stocks[s].option_count;
  return count;
}

bool portions_are_wanted(const struct nest_problem *problem) {
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].given != NULL && !problem->stocks[s].assembly) return false;
  return options_of(problem) > WHOLE_OPTIONS;
}

/* ---- clusters ---- */

static size_t leader_of(size_t *leader, size_t demand) {
  while (leader[demand] != demand) {
    leader[demand] = leader[leader[demand]];
    demand = leader[demand];
  }
  return demand;
}

static void join(size_t *leader, size_t a, size_t b) {
  a = leader_of(leader, a);
  b = leader_of(leader, b);
  leader[a > b ? a : b] = a < b ? a : b;
}

static void join_assembly(const struct nest_problem *problem, const struct nest_stock *assembly,
                          size_t *leader) {
  size_t first = SIZE_MAX;
  for (size_t d = 0; d < problem->demand_count; d++) {
    if (assembly->given[d] == 0) continue;
    if (first == SIZE_MAX) first = d;
    join(leader, first, d);
  }
}

static size_t *join_demands(struct arena *arena, const struct nest_problem *problem) {
  size_t *leader = ARENA_ARRAY(arena, problem->demand_count, size_t);
  for (size_t d = 0; d < problem->demand_count; d++) leader[d] = d;
  for (size_t m = 0; m < problem->match_count; m++)
    for (size_t i = 0; i < problem->matches[m].member_count; i++)
      join(leader, problem->matches[m].demand, problem->matches[m].member[i]);
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].given != NULL) join_assembly(problem, &problem->stocks[s], leader);
  return leader;
}

static int by_area(const void *a, const void *b) {
  const struct cluster *one = a, *other = b;
  if (one->area != other->area) return one->area < other->area ? 1 : -1;
  return (one->first > other->first) - (one->first < other->first);
}

static void set_areas(struct portioning *work, double *largest) {
  for (size_t s = 0; s < work->problem->stock_count; s++) {
    const struct nest_stock *stock = &work->problem->stocks[s];
    for (size_t o = 0; o < stock->option_count; o++) {
      const struct nest_option *option = &stock->options[o];
      double area = (double)option->length * (double)option->width;
      double *least = &work->area_of_demand[option->demand];
      if (*least <= 0 || area < *least) *least = area;
      if (area > largest[option->demand]) largest[option->demand] = area;
    }
  }
}

/* Of the smallest pieces. */
static double area_of_set(const struct portioning *work, const struct nest_match *match) {
  double area = 0;
  for (size_t i = 0; i < match->member_count; i++)
    area += (double)match->per_set[i] * work->area_of_demand[match->member[i]];
  return area;
}

/* A set is laid out as one: it goes by its whole area. */
static void raise_areas_of_matches(struct portioning *work, const size_t *leader,
                                   const size_t *cluster_of) {
  for (size_t m = 0; m < work->problem->match_count; m++) {
    const struct nest_match *match = &work->problem->matches[m];
    struct cluster *cluster = &work->clusters[cluster_of[leader[match->demand]]];
    double area = area_of_set(work, match);
    if (area > cluster->area) cluster->area = area;
  }
}

/* Rows of leaves come with their stock: they are no clusters. */
static void set_clusters(struct portioning *work) {
  const struct nest_problem *problem = work->problem;
  size_t *leader = join_demands(work->arena, problem);
  double *largest = ARENA_ARRAY(work->arena, problem->demand_count, double);
  size_t *cluster_of = ARENA_ARRAY(work->arena, problem->demand_count, size_t);
  work->area_of_demand = ARENA_ARRAY(work->arena, problem->demand_count, double);
  work->clusters = ARENA_ARRAY(work->arena, problem->demand_count, struct cluster);
  set_areas(work, largest);
  for (size_t d = 0; d < problem->demand_count; d++) {
    size_t lead = leader_of(leader, d);
    if (nest_is_coupling(problem, lead)) continue;
    if (lead == d) {
      cluster_of[d] = work->cluster_count;
      work->clusters[work->cluster_count++].first = d;
    }
    struct cluster *cluster = &work->clusters[cluster_of[lead]];
    *ARENA_PUSH(work->arena, cluster->demands, cluster->count, cluster->room) = d;
    if (largest[d] > cluster->area) cluster->area = largest[d];
    leader[d] = lead;
  }
  raise_areas_of_matches(work, leader, cluster_of);
  qsort(work->clusters, work->cluster_count, sizeof *work->clusters, by_area);
}

static bool is_open(const struct portioning *work, const struct cluster *cluster) {
  for (size_t i = 0; i < cluster->count; i++)
    if (work->open[cluster->demands[i]] > 0) return true;
  return false;
}

/* ---- stock ---- */

struct rated {
  size_t stock;
  double price; /* of its area */
};

static int by_price(const void *a, const void *b) {
  const struct rated *one = a, *other = b;
  if (one->price != other->price) return one->price < other->price ? -1 : 1;
  return (one->stock > other->stock) - (one->stock < other->stock);
}

static void rank_stocks(struct portioning *work) {
  const struct nest_problem *problem = work->problem;
  struct rated *rated = ARENA_ARRAY(work->arena, problem->stock_count, struct rated);
  size_t count = 0;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (stock->given != NULL || stock->is_leaf) continue;
    rated[count++] =
        (struct rated){s, (double)stock->cost / ((double)stock->length * (double)stock->width)};
  }
  qsort(rated, count, sizeof *rated, by_price);
  work->cheapest = ARENA_ARRAY(work->arena, count, size_t);
  work->cheapest_count = count;
  for (size_t i = 0; i < count; i++) work->cheapest[i] = rated[i].stock;
}

static size_t serving_options(const struct portion *portion, const struct nest_stock *stock) {
  size_t count = 0;
  for (size_t o = 0; o < stock->option_count; o++)
    if (portion->has_demand[stock->options[o].demand]) count++;
  return count;
}

/* Leaves stand before their plank. */
static size_t first_leaf(const struct portioning *work, size_t plank) {
  const struct nest_problem *problem = work->problem;
  size_t s = plank;
  while (s > 0 && portion_is_leaf_of(&problem->stocks[s - 1], &problem->stocks[plank])) s--;
  return s;
}

/* Of the plank and its leaves. */
static size_t serves(const struct portioning *work, const struct portion *portion, size_t plank) {
  size_t count = 0;
  if (work->left[plank] == 0) return 0;
  for (size_t s = first_leaf(work, plank); s <= plank; s++)
    count += serving_options(portion, &work->problem->stocks[s]);
  return count;
}

static void take_plank(const struct portioning *work, struct portion *portion, bool *met,
                       size_t plank) {
  for (size_t s = first_leaf(work, plank); s <= plank; s++) {
    const struct nest_stock *stock = &work->problem->stocks[s];
    portion->has_stock[s] = true;
    for (size_t o = 0; o < stock->option_count; o++) met[stock->options[o].demand] = true;
    for (size_t i = 0; i < stock->split_count; i++)
      portion->has_demand[stock->splits[i].demand] = true;
  }
}

static double area_of(const struct portioning *work, size_t s) {
  const struct nest_stock *stock = &work->problem->stocks[s];
  double one = (double)stock->length * (double)stock->width;
  return work->left[s] < 0 ? one * 1e6 : one * (double)work->left[s];
}

static bool brings_more(const struct nest_stock *stock, const struct portion *portion,
                        const bool *met) {
  for (size_t o = 0; o < stock->option_count; o++)
    if (portion->has_demand[stock->options[o].demand] && !met[stock->options[o].demand])
      return true;
  return false;
}

/* Whether each member of a match is among what a stock yields, and a set has room. */
static bool has_room_for_set(const struct portioning *work, size_t s,
                             const struct nest_match *match) {
  const struct nest_stock *stock = &work->problem->stocks[s];
  if (area_of_set(work, match) > (double)stock->length * (double)stock->width) return false;
  for (size_t i = 0; i < match->member_count; i++) {
    bool found = false;
    for (size_t o = 0; o < stock->option_count && !found; o++)
      found = stock->options[o].demand == match->member[i];
    if (!found) return false;
  }
  return true;
}

/* The plank itself or leaves of it. */
static bool plank_has_room_for_set(const struct portioning *work, size_t plank,
                                   const struct nest_match *match) {
  for (size_t s = first_leaf(work, plank); s <= plank; s++)
    if (has_room_for_set(work, s, match)) return true;
  return false;
}

/* The largest plank left, of those not taken, that may hold a set; SIZE_MAX for none. */
static size_t next_for_match(const struct portioning *work, const struct portion *portion,
                             const struct nest_match *match) {
  size_t best = SIZE_MAX;
  double largest = 0;
  for (size_t i = 0; i < work->cheapest_count; i++) {
    size_t plank = work->cheapest[i];
    const struct nest_stock *stock = &work->problem->stocks[plank];
    double area = (double)stock->length * (double)stock->width;
    if (portion->has_stock[plank] || work->left[plank] == 0 || area <= largest) continue;
    if (!plank_has_room_for_set(work, plank, match)) continue;
    largest = area;
    best = plank;
  }
  return best;
}

/* Some of the largest, and as many as there are sets to lay out. */
static void choose_stocks_of_match(const struct portioning *work, struct portion *portion,
                                   const struct nest_match *match, bool *met) {
  int64_t pieces = 0;
  size_t taken = 0;
  while (taken < work->match_stocks || pieces < work->open[match->demand]) {
    size_t plank = next_for_match(work, portion, match);
    if (plank == SIZE_MAX) break;
    take_plank(work, portion, met, plank);
    pieces += work->left[plank] < 0 ? work->open[match->demand] : work->left[plank];
    taken++;
  }
}

/* The cheapest, and those without which a piece or a set would find no stock at all. */
static void choose_stocks(const struct portioning *work, struct portion *portion) {
  const struct nest_problem *problem = work->problem;
  bool *met = ARENA_ARRAY(work->scratch, problem->demand_count, bool);
  size_t options = 0, taken = 0;
  double area = 0, wanted = 0;
  for (size_t m = 0; m < problem->match_count; m++) {
    const struct nest_match *match = &problem->matches[m];
    if (portion->has_demand[match->demand] && work->open[match->demand] > 0)
      choose_stocks_of_match(work, portion, match, met);
  }
  for (size_t d = 0; d < problem->demand_count; d++)
    if (portion->has_demand[d]) wanted += (double)work->open[d] * work->area_of_demand[d];
  for (size_t i = 0; i < work->cheapest_count; i++) {
    size_t plank = work->cheapest[i];
    size_t serving = serves(work, portion, plank);
    if (serving == 0 || portion->has_stock[plank]) continue;
    bool needed = false;
    for (size_t s = first_leaf(work, plank); s <= plank && !needed; s++)
      needed = brings_more(&problem->stocks[s], portion, met);
    bool room = taken < PORTION_STOCKS && options + serving <= PORTION_OPTIONS;
    bool enough = area > 4 * wanted && taken >= PORTION_STOCKS / 4;
    if (!needed && (!room || enough)) continue;
    take_plank(work, portion, met, plank);
    options += serving;
    area += area_of(work, plank);
    taken++;
  }
}

/* ---- one portion ---- */

/* Assemblies of which all that is made is in the portion. */
static void choose_assemblies(const struct portioning *work, struct portion *portion) {
  for (size_t s = 0; s < work->problem->stock_count; s++) {
    const struct nest_stock *stock = &work->problem->stocks[s];
    if (stock->given == NULL) continue;
    for (size_t d = 0; d < work->problem->demand_count && !portion->has_stock[s]; d++)
      portion->has_stock[s] = stock->given[d] > 0 && portion->has_demand[d];
  }
}

/* Every step'th cluster from `first` on that is still open. Counts the kinds. */
static size_t choose_clusters(const struct portioning *work, struct portion *portion, size_t first,
                              size_t step) {
  size_t kinds = 0;
  for (size_t u = first; u < work->cluster_count; u += step) {
    const struct cluster *cluster = &work->clusters[u];
    if (!is_open(work, cluster)) continue;
    for (size_t i = 0; i < cluster->count; i++) portion->has_demand[cluster->demands[i]] = true;
    kinds += cluster->count;
  }
  return kinds;
}

static void take_answer(struct portioning *work, const struct portion *portion,
                        const struct nest_answer *own) {
  struct nest_answer *answer = work->answer;
  for (size_t l = 0; l < own->layout_count; l++) {
    struct nest_layout *layout =
        ARENA_PUSH(work->arena, answer->layouts, answer->layout_count, answer->layout_room);
    *layout = own->layouts[l];
    layout->stock = portion->stock[own->layouts[l].stock];
    layout->root = cutting_copy(work->arena, &own->layouts[l].root, 0, 0);
    layout->counts = NULL;
    work->used[layout->stock] += layout->times;
    answer->cost += work->problem->cut_cost * layout->cuts * layout->times;
  }
  for (size_t i = 0; i < portion->problem.demand_count; i++)
    if (!nest_is_coupling(&portion->problem, i))
      work->open[portion->demand[i]] -= portion->problem.demand[i] - own->missing[i];
  for (size_t s = 0; s < work->problem->stock_count; s++) {
    const struct nest_stock *stock = &work->problem->stocks[s];
    if (stock->given == NULL && stock->count >= 0)
      work->left[s] = nest_stock_most(stock) - work->used[s];
  }
  answer->steps += own->steps;
  answer->interrupted = answer->interrupted || own->interrupted;
}

/* Nothing is known of the cost before all is laid out. */
static void pass_progress(void *data, const struct nest_progress *progress) {
  const struct portioning *work = data;
  struct nest_progress told = {-1, work->bound, work->answer->steps + progress->steps};
  work->options->progress(work->options->progress_data, &told);
}

/* What is open, of a match no more sets than its open members make: those made elsewhere would be
 * made twice. */
static int64_t *open_now(const struct portioning *work) {
  const struct nest_problem *whole = work->problem;
  int64_t *open = ARENA_ARRAY(work->scratch, whole->demand_count, int64_t);
  memcpy(open, work->open, whole->demand_count * sizeof *open);
  for (size_t m = 0; m < whole->match_count; m++) {
    const struct nest_match *match = &whole->matches[m];
    for (size_t i = 0; i < match->member_count; i++) {
      int64_t sets = work->open[match->member[i]] / match->per_set[i];
      if (sets < open[match->demand]) open[match->demand] = sets;
    }
  }
  return open;
}

static bool lacks_sets(const struct portion *portion, const struct nest_answer *answer) {
  for (size_t m = 0; m < portion->problem.match_count; m++)
    if (answer->missing[portion->problem.matches[m].demand] > 0) return true;
  return false;
}

/* Builds the portion and solves it. False when there is nothing to solve. */
static bool try_portion(struct portioning *work, size_t first, size_t step, size_t all_kinds,
                        struct portion *portion, struct nest_answer *answer) {
  struct arena *own = work->scratch;
  const struct nest_problem *whole = work->problem;
  *portion = (struct portion){.whole = whole, .open = open_now(work), .left = work->left};
  portion->has_demand = ARENA_ARRAY(own, whole->demand_count, bool);
  portion->has_stock = ARENA_ARRAY(own, whole->stock_count, bool);
  size_t kinds = choose_clusters(work, portion, first, step);
  *answer = (struct nest_answer){.layout_count = 0};
  if (kinds == 0) return false;
  choose_stocks(work, portion);
  choose_assemblies(work, portion);
  portion_build(own, portion);
  if (portion->problem.stock_count == 0) return false;
  struct nest_options options = *work->options;
  options.effort = work->effort * (int64_t)kinds / (int64_t)all_kinds + 1;
  options.progress = work->options->progress == NULL ? NULL : pass_progress;
  options.progress_data = work;
  nest_solve_whole(own, &portion->problem, &options, answer);
  return true;
}

/* True when something was laid out. */
static bool solve_portion(struct portioning *work, size_t first, size_t step, size_t all_kinds) {
  struct arena_mark mark = arena_mark(work->scratch);
  struct portion portion;
  struct nest_answer answer;
  work->match_stocks = MATCH_STOCKS;
  while (try_portion(work, first, step, all_kinds, &portion, &answer)) {
    if (!lacks_sets(&portion, &answer) || work->match_stocks >= work->cheapest_count) {
      take_answer(work, &portion, &answer);
      break;
    }
    work->match_stocks *= MATCH_STOCKS_GROW;
    work->answer->steps += answer.steps;
    arena_release(work->scratch, mark);
  }
  size_t layouts = answer.layout_count;
  arena_release(work->scratch, mark);
  return layouts > 0;
}

/* ------------------------------------------------------------------------------------- */

static void open_work(struct portioning *work) {
  const struct nest_problem *problem = work->problem;
  work->open = ARENA_ARRAY(work->arena, problem->demand_count, int64_t);
  work->used = ARENA_ARRAY(work->arena, problem->stock_count, int64_t);
  work->left = ARENA_ARRAY(work->arena, problem->stock_count, int64_t);
  memcpy(work->open, problem->demand, problem->demand_count * sizeof *work->open);
  for (size_t s = 0; s < problem->stock_count; s++) work->left[s] = problem->stocks[s].count;
  for (size_t s = 0; s < problem->stock_count; s++)
    if (problem->stocks[s].count >= 0) work->left[s] = nest_stock_most(&problem->stocks[s]);
  work->effort = work->options->effort > 0 ? work->options->effort : DEFAULT_EFFORT;
  set_clusters(work);
  rank_stocks(work);
  work->bound = lattice_area_bound(work->arena, problem);
}

static size_t open_kinds(const struct portioning *work) {
  size_t kinds = 0;
  for (size_t u = 0; u < work->cluster_count; u++)
    if (is_open(work, &work->clusters[u])) kinds += work->clusters[u].count;
  return kinds;
}

/* Whether all stock together has less area than is wanted, strips and leaves left out. */
static bool is_short_of_area(const struct portioning *work) {
  const struct nest_problem *problem = work->problem;
  double room = 0, wanted = 0;
  if (problem->coupling_count > 0) return false;
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *stock = &problem->stocks[s];
    if (stock->count < 0) return false;
    room += (double)stock->length * (double)stock->width * (double)nest_stock_most(stock);
  }
  for (size_t d = 0; d < problem->demand_count; d++)
    wanted += (double)problem->demand[d] * work->area_of_demand[d];
  return wanted > room;
}

static void finish(struct portioning *work) {
  struct nest_answer *answer = work->answer;
  answer->complete = true;
  for (size_t d = 0; d < work->problem->demand_count; d++) {
    answer->missing[d] = work->open[d];
    if (work->open[d] > 0) answer->complete = false;
  }
  for (size_t s = 0; s < work->problem->stock_count; s++)
    answer->cost += nest_stock_cost(&work->problem->stocks[s], work->used[s]);
  answer->undecided = !answer->complete && !is_short_of_area(work);
  if (!answer->complete) return;
  answer->bound = work->bound < answer->cost ? work->bound : answer->cost;
  answer->listed_bound = answer->bound;
}

void portions_solve(struct arena *arena, const struct nest_problem *problem,
                    const struct nest_options *options, struct nest_answer *answer) {
  memset(answer, 0, sizeof *answer);
  answer->missing = ARENA_ARRAY(arena, problem->demand_count, int64_t);
  struct portioning work = {
      .arena = arena, .problem = problem, .options = options, .answer = answer};
  work.scratch = arena_create_child(arena);
  open_work(&work);
  size_t all = open_kinds(&work);
  for (bool more = true; more;) {
    more = false;
    size_t portions = (open_kinds(&work) + PORTION_KINDS - 1) / PORTION_KINDS;
    for (size_t p = 0; p < portions; p++) more = solve_portion(&work, p, portions, all) || more;
  }
  finish(&work);
}
