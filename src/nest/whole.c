#include "nest/whole.h"

#include <math.h>
#include <string.h>

#include "nest/tolerance.h"

enum { LAYOUT_STEPS = 20, MOST_DEPTH = 100 };

__extension__ typedef __int128 wide_cost;

/* A branching: how often the layouts of a set are used together. */
struct cover {
  bool *member; /* per column of the master */
  int64_t least, most;
};

struct whole {
  struct whole_question *question;
  struct master *master; /* the layouts, then a missing piece per demand */
  struct cover covers[MOST_DEPTH];
  size_t cover_count;
  cost_t *price;      /* of the node, per demand */
  wide_cost *richest; /* per stock: most worth of a layout at the node's prices */
  int64_t *room;      /* per stock */
  double *value;      /* per layout */
  int64_t *most_copies;
  int64_t *taken;
  int64_t steps;
};

/* A valid price of a branching: at least 0 for its lower bound, at most 0 for its upper one. */
static cost_t cover_price(const struct whole *whole, size_t c) {
  cost_t price = master_row_price(whole->master, c);
  bool upper = whole->covers[c].most < INT64_MAX;
  return upper == (price < 0) ? price : 0;
}

/* Whether the node's prices show that it has no plan: all layouts at hand are worth less than
 * what is wanted. */
static bool has_none(struct whole *whole) {
  const struct whole_question *question = whole->question;
  cost_t of_cover[MOST_DEPTH];
  wide_cost wanted = 0;
  for (size_t d = 0; d < question->demand_count; d++) {
    whole->price[d] = master_demand_price(whole->master, d);
    wanted += (wide_cost)whole->price[d] * question->demand[d];
  }
  for (size_t c = 0; c < whole->cover_count; c++) {
    const struct cover *cover = &whole->covers[c];
    of_cover[c] = cover_price(whole, c);
    wanted += (wide_cost)of_cover[c] * (of_cover[c] < 0 ? cover->most : cover->least);
  }
  for (size_t s = 0; s < question->stock_count; s++) whole->richest[s] = 0;
  for (size_t l = 0; l < question->layout_count; l++) {
    const struct whole_layout *layout = &question->layouts[l];
    wide_cost worth = 0;
    for (size_t d = 0; d < question->demand_count; d++)
      worth += (wide_cost)whole->price[d] * layout->counts[d];
    for (size_t c = 0; c < whole->cover_count; c++)
      if (whole->covers[c].member[l]) worth += of_cover[c];
    if (worth > whole->richest[layout->stock]) whole->richest[layout->stock] = worth;
  }
  wide_cost most = 0;
  for (size_t s = 0; s < question->stock_count; s++) most += whole->richest[s] * question->most[s];
  return most < wanted;
}

static bool is_missing(const struct whole *whole) {
  for (size_t d = 0; d < whole->question->demand_count; d++)
    if (master_value(whole->master, whole->question->layout_count + d) > TOLERANCE_WHOLE)
      return true;
  return false;
}

/* The values rounded; true when that is a plan. */
static bool read_plan(struct whole *whole) {
  const struct whole_question *question = whole->question;
  for (size_t s = 0; s < question->stock_count; s++) whole->room[s] = question->most[s];
  for (size_t l = 0; l < question->layout_count; l++) {
    whole->taken[l] = llround(whole->value[l]);
    whole->room[question->layouts[l].stock] -= whole->taken[l];
    if (whole->taken[l] < 0 || whole->room[question->layouts[l].stock] < 0) return false;
  }
  for (size_t d = 0; d < question->demand_count; d++) {
    int64_t made = 0;
    for (size_t l = 0; l < question->layout_count; l++)
      made += whole->taken[l] * question->layouts[l].counts[d];
    if (made < question->demand[d]) return false;
  }
  return true;
}

static double broken_by(double value) { return fabs(value - round(value)); }

/* How much a branching is worth: what is used often changes little by one more or less. */
static double weight_of(double used) {
  double broken = broken_by(used);
  return broken <= TOLERANCE_WHOLE ? 0 : broken / sqrt(1 + used);
}

/* The set to branch on: layouts of a stock (or of any: SIZE_MAX) that hold at least so many of a
 * demand; or, where all of these are used whole times, a single layout. */
struct choice {
  size_t stock, demand, layout; /* layout SIZE_MAX: a set */
  int64_t copies;
  double used;
};

static void weigh_sets(const struct whole *whole, size_t stock, size_t demand,
                       struct choice *best) {
  const struct whole_question *question = whole->question;
  for (int64_t copies = whole->most_copies[demand]; copies > 0; copies--) {
    double used = 0;
    for (size_t l = 0; l < question->layout_count; l++)
      if ((stock == SIZE_MAX || question->layouts[l].stock == stock) &&
          question->layouts[l].counts[demand] >= copies)
        used += whole->value[l];
    if (weight_of(used) > weight_of(best->used) + TOLERANCE_WHOLE)
      *best = (struct choice){stock, demand, SIZE_MAX, copies, used};
  }
}

static struct choice choose(const struct whole *whole) {
  const struct whole_question *question = whole->question;
  struct choice best = {0, 0, SIZE_MAX, 0, 0};
  for (size_t d = 0; d < question->demand_count; d++) weigh_sets(whole, SIZE_MAX, d, &best);
  if (best.copies > 0) return best;
  for (size_t s = 0; s < question->stock_count; s++)
    for (size_t d = 0; d < question->demand_count; d++) weigh_sets(whole, s, d, &best);
  if (best.copies > 0) return best;
  for (size_t l = 0; l < question->layout_count; l++)
    if (weight_of(whole->value[l]) > weight_of(best.used) + TOLERANCE_WHOLE)
      best = (struct choice){0, 0, l, 0, whole->value[l]};
  return best;
}

static bool *members(struct arena *arena, const struct whole *whole, const struct choice *choice) {
  const struct whole_question *question = whole->question;
  bool *member = ARENA_ARRAY(arena, question->layout_count + question->demand_count, bool);
  for (size_t l = 0; l < question->layout_count; l++) {
    const struct whole_layout *layout = &question->layouts[l];
    member[l] = choice->layout != SIZE_MAX
                    ? l == choice->layout
                    : (choice->stock == SIZE_MAX || layout->stock == choice->stock) &&
                          layout->counts[choice->demand] >= choice->copies;
  }
  return member;
}

static enum whole_answer search_node(struct arena *arena, struct whole *whole);

static enum whole_answer search_branch(struct arena *arena, struct whole *whole, bool *member,
                                       int64_t least, int64_t most) {
  whole->covers[whole->cover_count++] = (struct cover){member, least, most};
  signed char *basis = ARENA_ARRAY(arena, master_basis_size(whole->master), signed char);
  master_push_row(whole->master, member, least, most == INT64_MAX ? -1 : most, basis);
  enum whole_answer answer = search_node(arena, whole);
  master_pop_row(whole->master, basis);
  whole->cover_count--;
  return answer;
}

static enum whole_answer search_node(struct arena *arena, struct whole *whole) {
  const struct whole_question *question = whole->question;
  whole->steps += master_take_steps(whole->master);
  whole->steps += LAYOUT_STEPS * (int64_t)(question->layout_count * question->demand_count);
  if (whole->steps >= question->steps || whole->cover_count >= MOST_DEPTH) return WHOLE_UNKNOWN;
  if (!master_solve_again(whole->master)) return WHOLE_UNKNOWN;
  if (is_missing(whole)) return has_none(whole) ? WHOLE_NONE : WHOLE_UNKNOWN;
  for (size_t l = 0; l < question->layout_count; l++)
    whole->value[l] = master_value(whole->master, l);
  if (read_plan(whole)) return WHOLE_FOUND;
  struct choice choice = choose(whole);
  if (broken_by(choice.used) <= TOLERANCE_WHOLE) return WHOLE_UNKNOWN;
  struct arena_mark mark = arena_mark(arena);
  bool *member = members(arena, whole, &choice);
  int64_t low = (int64_t)floor(choice.used);
  enum whole_answer answer = search_branch(arena, whole, member, low + 1, INT64_MAX);
  if (answer != WHOLE_FOUND) {
    enum whole_answer down = search_branch(arena, whole, member, 0, low);
    if (down != WHOLE_NONE) answer = down;
  }
  arena_release(arena, mark);
  return answer;
}

enum whole_answer whole_search(struct arena *arena, struct whole_question *question,
                               int64_t *taken) {
  size_t layouts = question->layout_count;
  size_t demands = question->demand_count;
  struct whole *whole = ARENA_NEW(arena, struct whole);
  whole->question = question;
  whole->taken = taken;
  whole->price = ARENA_ARRAY(arena, demands, cost_t);
  whole->richest = ARENA_ARRAY(arena, question->stock_count, wide_cost);
  whole->room = ARENA_ARRAY(arena, question->stock_count, int64_t);
  whole->value = ARENA_ARRAY(arena, layouts, double);
  whole->most_copies = ARENA_ARRAY(arena, demands, int64_t);
  whole->master = master_create(arena, demands, question->stock_count);
  for (size_t d = 0; d < demands; d++) master_set_demand(whole->master, d, question->demand[d]);
  for (size_t s = 0; s < question->stock_count; s++)
    master_set_stock(whole->master, s, 0, question->most[s]);
  for (size_t l = 0; l < layouts; l++) {
    const struct whole_layout *layout = &question->layouts[l];
    master_add(whole->master, &(struct master_column){layout->stock, 0, layout->counts});
    for (size_t d = 0; d < demands; d++)
      if (layout->counts[d] > whole->most_copies[d]) whole->most_copies[d] = layout->counts[d];
  }
  int64_t *one = ARENA_ARRAY(arena, demands, int64_t);
  for (size_t d = 0; d < demands; d++) {
    one[d] = 1;
    master_add(whole->master, &(struct master_column){SIZE_MAX, question->missing_cost[d], one});
    one[d] = 0;
  }
  enum whole_answer answer =
      master_solve(whole->master) ? search_node(arena, whole) : WHOLE_UNKNOWN;
  question->steps = whole->steps + master_take_steps(whole->master);
  master_close(whole->master);
  return answer;
}
