#include "nest/setup.h"

#include <string.h>
#include <strings.h>

#include "nest/cutting.h"

/* thousandths of a minute times cents an hour are sixty-thousandths of a cent */
cost_t setup_handling(const struct shop *shop, int64_t minutes) {
  return shop->labour_rate * minutes * (COST_PER_CENT / 60000);
}

cost_t setup_cut_cost(const struct shop *shop) { return setup_handling(shop, shop->saw_cut_min); }

static int64_t trim_cuts(const struct stock *stock) {
  return (stock->trim_edges > 0 ? 2 : 0) + (stock->trim_ends > 0 ? 2 : 0);
}

/* ---- flaws ---- */

static bool is_split(const struct flaw *flaw) {
  static const char word[] = "split";
  if (flaw->what == NULL) return false;
  for (const char *at = flaw->what; *at != '\0'; at++)
    if (strncasecmp(at, word, sizeof word - 1) == 0) return true;
  return false;
}

static void add_flaw(const struct project *project, const struct stock *stock,
                     const struct flaw *flaw, struct nest_stock *bare) {
  length_t beyond = is_split(flaw) ? project->shop.split_margin : project->shop.flaw_margin;
  length_t beside = project->shop.flaw_margin;
  bare->flaws[bare->flaw_count++] =
      (struct nest_flaw){flaw->x - beyond - stock->trim_ends, flaw->y - beside - stock->trim_edges,
                         flaw->length + 2 * beyond, flaw->width + 2 * beside, flaw->rim_ok};
}

static void set_flaws(struct arena *arena, const struct project *project, size_t s, int64_t copy,
                      struct nest_stock *bare) {
  const struct stock *stock = &project->stocks[s];
  bare->flaws = ARENA_ARRAY(arena, stock->flaw_count, struct nest_flaw);
  for (size_t f = 0; f < stock->flaw_count; f++)
    if (stock->flaws[f].copy == 0 || stock->flaws[f].copy == copy)
      add_flaw(project, stock, &stock->flaws[f], bare);
}

/* ---- options ---- */

/* What must be clear of a flaw that may lie in a rim: the part and its cutter's path; under
 * clamps all of it. */
static length_t rim_inset(const struct blank *blank, bool ends) {
  bool clamped = blank->hold == HOLD_ALL || blank->hold == (ends ? HOLD_ENDS : HOLD_SIDES);
  length_t margin = ends ? blank->margin_ends : blank->margin_sides;
  if (blank->role == ROLE_PART || clamped || margin <= blank->reach) return 0;
  return margin - blank->reach;
}

static void add_option(struct nest_stock *bare, const struct blank *blank, size_t index,
                       size_t demand, bool turned) {
  bool strip = blank->strips > 0; /* where in it the part will lie is not reckoned with */
  length_t inset_ends = strip ? 0 : rim_inset(blank, true);
  length_t inset_sides = strip ? 0 : rim_inset(blank, false);
  struct nest_option option = {.demand = demand,
                               .length = turned ? blank->width : blank->length,
                               .width = turned ? blank->length : blank->width,
                               .core_x = turned ? inset_sides : inset_ends,
                               .core_y = turned ? inset_ends : inset_sides,
                               .blank = index,
                               .turned = turned};
  if (option.length <= bare->length && option.width <= bare->width)
    bare->options[bare->option_count++] = option;
}

static void set_options(struct arena *arena, const struct blanks *blanks, size_t s,
                        const size_t *demand_of_blank, struct nest_stock *bare) {
  size_t most = 0;
  for (size_t b = 0; b < blanks->count; b++)
    if (blanks->items[b].stock == s) most += 2;
  bare->options = ARENA_ARRAY(arena, most, struct nest_option);
  for (size_t b = 0; b < blanks->count; b++) {
    const struct blank *blank = &blanks->items[b];
    if (blank->stock != s || demand_of_blank[b] == SIZE_MAX) continue;
    if (blank->may_lie_straight) add_option(bare, blank, b, demand_of_blank[b], false);
    if (blank->may_lie_turned) add_option(bare, blank, b, demand_of_blank[b], true);
  }
}

/* ---- stock ---- */

static struct nest_stock bare_stock(const struct project *project, size_t s, int64_t count) {
  const struct stock *stock = &project->stocks[s];
  cost_t trims = trim_cuts(stock) * setup_cut_cost(&project->shop);
  struct nest_stock bare = {.length = stock_room_length(stock),
                            .width = stock_room_width(stock),
                            .kerf_crosscut = project->shop.kerf_crosscut,
                            .kerf_rip = project->shop.kerf_rip,
                            .count = count,
                            .pack = stock->source == SOURCE_YARD ? stock->pack : 1,
                            .cost = stock->value * COST_PER_CENT + trims,
                            .trim_cost = trims,
                            .stock = s};
  return bare;
}

struct material_builder {
  struct arena *arena;
  const struct project *project;
  const struct blanks *blanks;
  size_t *demand_of_blank; /* SIZE_MAX: not of this material */
  struct material *material;
  size_t stock_room, group_room, group_count;
  size_t demand_room, part_room, part_count;
};

static size_t add_demand(struct material_builder *builder, size_t part, int64_t wanted) {
  struct nest_problem *problem = &builder->material->problem;
  *ARENA_PUSH(builder->arena, builder->material->parts, builder->part_count, builder->part_room) =
      part;
  *ARENA_PUSH(builder->arena, problem->demand, problem->demand_count, builder->demand_room) =
      wanted;
  return problem->demand_count - 1;
}

static size_t add_coupling(struct material_builder *builder, size_t part) {
  builder->material->problem.coupling_count++;
  return add_demand(builder, part, 0);
}

static void push_stock(struct material_builder *builder, const struct nest_stock *bare,
                       const struct stock_group *group) {
  struct nest_problem *problem = &builder->material->problem;
  *ARENA_PUSH(builder->arena, problem->stocks, problem->stock_count, builder->stock_room) = *bare;
  *ARENA_PUSH(builder->arena, builder->material->groups, builder->group_count,
              builder->group_room) = *group;
}

/* The leaves `leaf` of a plank's group, when they serve; and the split that makes them. */
static void add_leaf(struct material_builder *builder, size_t leaf, const struct stock_group *group,
                     int64_t flaw_copy, struct nest_stock *plank, size_t *split_room) {
  const struct stock *stock = &builder->project->stocks[leaf];
  int64_t count = group->count < 0 ? -1 : group->count * stock->leaves;
  struct nest_stock bare = bare_stock(builder->project, leaf, count);
  set_options(builder->arena, builder->blanks, leaf, builder->demand_of_blank, &bare);
  if (bare.option_count == 0) return;
  int64_t leaf_copy = flaw_copy > 0 ? (flaw_copy - 1) * stock->leaves + 1 : 0;
  set_flaws(builder->arena, builder->project, leaf, leaf_copy, &bare);
  bare.is_leaf = true;
  bare.leaf_demand = add_coupling(builder, SIZE_MAX);
  *ARENA_PUSH(builder->arena, plank->splits, plank->split_count, *split_room) =
      (struct nest_split){bare.leaf_demand, stock->leaves, stock->resaw_cuts};
  push_stock(builder, &bare, &(struct stock_group){.stock = leaf, .count = count});
}

static void add_stock(struct material_builder *builder, const struct stock_group *group,
                      int64_t flaw_copy) {
  struct nest_stock bare = bare_stock(builder->project, group->stock, group->count);
  size_t split_room = 0;
  if (bare.length <= 0 || bare.width <= 0 || group->count == 0) return;
  set_options(builder->arena, builder->blanks, group->stock, builder->demand_of_blank, &bare);
  for (size_t s = group->stock + 1; s < builder->project->stock_count; s++)
    if (builder->project->stocks[s].leaves > 0 &&
        builder->project->stocks[s].leaf_of == group->stock)
      add_leaf(builder, s, group, flaw_copy, &bare, &split_room);
  if (bare.option_count == 0 && bare.split_count == 0) return;
  set_flaws(builder->arena, builder->project, group->stock, flaw_copy, &bare);
  push_stock(builder, &bare, group);
}

/* ---- strips ---- */

/* Whether all parts of a load are wanted; one that holds others is left out. */
static bool load_is_wanted(const struct load *load, const int64_t *needed) {
  for (size_t i = 0; i < load->part_count; i++)
    if (needed[load->parts[i].part] == 0) return false;
  return true;
}

/* The blanks of one load, from whatever stock, share a row that couples. */
static size_t row_of_load(struct material_builder *builder, const size_t *demand_of_part,
                          size_t index) {
  const struct blank *blanks = builder->blanks->items;
  const struct load *load = blanks[index].load;
  for (size_t i = 0; i < load->part_count; i++)
    if (demand_of_part[load->parts[i].part] == SIZE_MAX) return SIZE_MAX;
  for (size_t b = index; b-- > 0 && blanks[b].role == ROLE_LOAD;)
    if (blanks[b].load == load) return builder->demand_of_blank[b];
  return add_coupling(builder, blanks[index].part);
}

/* Gives every blank its demand; strips that go together share a row that couples. */
static void map_blanks(struct material_builder *builder, const size_t *demand_of_part) {
  const struct blanks *blanks = builder->blanks;
  builder->demand_of_blank = ARENA_ARRAY(builder->arena, blanks->count, size_t);
  for (size_t b = 0; b < blanks->count; b++) {
    const struct blank *blank = &blanks->items[b];
    size_t demand = demand_of_part[blank->part];
    builder->demand_of_blank[b] = demand;
    if (blank->role == ROLE_LOAD)
      builder->demand_of_blank[b] = row_of_load(builder, demand_of_part, b);
    if (demand == SIZE_MAX || blank->strips == 0) continue;
    size_t same = b;
    for (size_t a = b; a-- > 0 && blanks->items[a].part == blank->part;)
      if (blanks->items[a].strips > 0 &&
          blank_same_strips(builder->project, &blanks->items[a], blank))
        same = a;
    builder->demand_of_blank[b] =
        same < b ? builder->demand_of_blank[same] : add_coupling(builder, blank->part);
  }
}

static void add_load(struct material_builder *builder, const size_t *demand_of_part, size_t row,
                     const struct blank *blank) {
  const struct nest_problem *problem = &builder->material->problem;
  int64_t *given = ARENA_ARRAY(builder->arena, problem->demand_count, int64_t);
  int64_t most = 0;
  given[row] = -1;
  for (size_t i = 0; i < blank->load->part_count; i++) {
    size_t made = demand_of_part[blank->load->parts[i].part];
    given[made]++;
    if (problem->demand[made] > most) most = problem->demand[made];
  }
  struct nest_stock assembly = {
      .count = most,
      .pack = 1,
      .cost = setup_handling(&builder->project->shop, blank->load->handling),
      .given = given,
      .assembly = true,
      .stock = blank->stock};
  push_stock(builder, &assembly, &(struct stock_group){.stock = blank->stock});
}

/* ---- what loads come to at least ---- */

enum whose { OF_THIS, OF_OTHERS, OF_BOTH };

/* Whose parts a load holds, or could be sawn from what no load at hand is sawn from. */
static enum whose whose_load(const struct material_builder *builder, const size_t *demand_of_part,
                             const struct least_load *load) {
  const struct nest_problem *problem = &builder->material->problem;
  bool own = false, other = false;
  for (size_t i = 0; i < load->part_count; i++) {
    if (load->counts[i] == 0) continue;
    bool is_own = demand_of_part[load->parts[i]] != SIZE_MAX;
    own = own || is_own;
    other = other || !is_own;
  }
  for (size_t s = 0; own && s < builder->project->stock_count; s++) {
    bool found = !load->stocks[s] || builder->project->stocks[s].count == 0;
    for (size_t n = 0; n < problem->stock_count && !found; n++)
      found = problem->stocks[n].stock == s && nest_is_cut(&problem->stocks[n]);
    other = other || !found;
  }
  return own ? (other ? OF_BOTH : OF_THIS) : OF_OTHERS;
}

/* The sizes of a load as it lies in the stocks. */
static void set_least(struct material_builder *builder, const size_t *demand_of_part,
                      const struct least_load *load, struct nest_least *least) {
  const struct nest_problem *problem = &builder->material->problem;
  int64_t *counts = ARENA_ARRAY(builder->arena, problem->demand_count, int64_t);
  for (size_t i = 0; i < load->part_count; i++)
    if (load->counts[i] > 0) counts[demand_of_part[load->parts[i]]] = load->counts[i];
  size_t room = 0, count = 0;
  *least = (struct nest_least){
      .counts = counts,
      .cost = setup_handling(&builder->project->shop, load->handling),
      .first_size = ARENA_ARRAY(builder->arena, problem->stock_count + 1, size_t),
      .most = load->most_length > load->most_width ? load->most_length : load->most_width};
  for (size_t s = 0; s < problem->stock_count; s++) {
    const struct nest_stock *bare = &problem->stocks[s];
    const struct stock *stock = &builder->project->stocks[bare->stock];
    bool along = stock->kind == STOCK_PLANK || stock->face_grain == FACE_GRAIN_LENGTH;
    least->first_size[s] = count;
    if (!nest_is_cut(bare) || !load->stocks[bare->stock]) continue;
    for (int turned = 0; turned < 2; turned++)
      for (size_t i = 0; i < load->size_count && (load->any_way || along != (turned == 1)); i++) {
        const struct least_size *size = &load->sizes[i];
        *ARENA_PUSH(builder->arena, least->sizes, count, room) =
            turned == 1 ? (struct nest_extents){size->width, size->length}
                        : (struct nest_extents){size->length, size->width};
      }
  }
  least->first_size[problem->stock_count] = count;
}

static void add_least(struct material_builder *builder, const size_t *demand_of_part,
                      struct nest_loads *loads) {
  const struct blanks *blanks = builder->blanks;
  loads->least = ARENA_ARRAY(builder->arena, blanks->least_count, struct nest_least);
  for (size_t i = 0; i < blanks->least_count; i++) {
    enum whose whose = whose_load(builder, demand_of_part, &blanks->least[i]);
    if (whose == OF_THIS)
      set_least(builder, demand_of_part, &blanks->least[i], &loads->least[loads->least_count++]);
    if (whose != OF_BOTH) continue;
    loads->least_count = 0;
    return;
  }
}

/* What makes parts of loads, once all demands are known. */
static void add_loads(struct material_builder *builder, const size_t *demand_of_part) {
  struct nest_problem *problem = &builder->material->problem;
  bool *done = ARENA_ARRAY(builder->arena, problem->demand_count, bool);
  struct nest_loads *loads = ARENA_NEW(builder->arena, struct nest_loads);
  for (size_t b = 0; b < builder->blanks->count; b++) {
    const struct blank *blank = &builder->blanks->items[b];
    size_t row = builder->demand_of_blank[b];
    if (row == SIZE_MAX || blank->role != ROLE_LOAD || done[row]) continue;
    done[row] = true;
    problem->loads = loads;
    add_load(builder, demand_of_part, row, blank);
  }
  if (problem->loads == NULL) return;
  loads->grown_area = ARENA_ARRAY(builder->arena, problem->demand_count, length_t);
  loads->share = ARENA_ARRAY(builder->arena, problem->demand_count, int64_t);
  loads->least_cost = setup_handling(&builder->project->shop, builder->blanks->least_handling);
  for (size_t p = 0; p < builder->project->part_count; p++) {
    if (demand_of_part[p] == SIZE_MAX) continue;
    loads->grown_area[demand_of_part[p]] = builder->blanks->shares[p].area;
    loads->share[demand_of_part[p]] = builder->blanks->shares[p].millionths;
  }
  add_least(builder, demand_of_part, loads);
}

/* What glues strips up to blanks, once all demands are known. */
static void add_assemblies(struct material_builder *builder, const size_t *demand_of_part) {
  struct nest_problem *problem = &builder->material->problem;
  bool *done = ARENA_ARRAY(builder->arena, problem->demand_count, bool);
  for (size_t b = 0; b < builder->blanks->count; b++) {
    const struct blank *blank = &builder->blanks->items[b];
    size_t row = builder->demand_of_blank[b];
    if (row == SIZE_MAX || blank->strips == 0 || done[row]) continue;
    done[row] = true;
    int64_t *given = ARENA_ARRAY(builder->arena, problem->demand_count, int64_t);
    size_t made = demand_of_part[blank->part];
    given[made] = 1;
    given[row] = -blank->strips;
    struct nest_stock assembly = {.count = problem->demand[made],
                                  .pack = 1,
                                  .given = given,
                                  .assembly = true,
                                  .stock = blank->stock};
    push_stock(builder, &assembly, &(struct stock_group){.stock = blank->stock});
  }
}

static bool copy_has_own_flaws(const struct stock *stock, int64_t copy) {
  for (size_t f = 0; f < stock->flaw_count; f++)
    if (stock->flaws[f].copy == copy) return true;
  return false;
}

/* Copies with flaws of their own stand alone; the others are alike. */
static void add_stock_groups(struct material_builder *builder, size_t s) {
  const struct stock *stock = &builder->project->stocks[s];
  bool any = false;
  for (size_t f = 0; f < stock->flaw_count; f++) any = any || stock->flaws[f].copy > 0;
  if (!any) {
    add_stock(builder, &(struct stock_group){s, NULL, 1, stock->count}, 0);
    return;
  }
  int64_t *alike = ARENA_ARRAY(builder->arena, stock->count, int64_t);
  int64_t alike_count = 0;
  for (int64_t copy = 1; copy <= stock->count; copy++) {
    if (copy_has_own_flaws(stock, copy))
      add_stock(builder, &(struct stock_group){s, NULL, copy, 1}, copy);
    else
      alike[alike_count++] = copy;
  }
  add_stock(builder, &(struct stock_group){s, alike, 1, alike_count}, 0);
}

/* ---- materials ---- */

/* A leaf and its plank are the same stock here. */
static size_t plank_of(const struct project *project, size_t s) {
  return project->stocks[s].leaves > 0 ? project->stocks[s].leaf_of : s;
}

/* Parts that share a stock, directly or through others, have the same leader. */
static size_t leader_of(size_t *leader, size_t part) {
  while (leader[part] != part) part = leader[part];
  return part;
}

static void join(size_t *leader, size_t a, size_t b) {
  a = leader_of(leader, a);
  b = leader_of(leader, b);
  leader[a > b ? a : b] = a < b ? a : b;
}

static void join_load(const struct load *load, size_t *leader) {
  for (size_t i = 1; i < load->part_count; i++)
    join(leader, load->parts[0].part, load->parts[i].part);
}

static void join_parts(const struct blanks *blanks, const struct project *project,
                       const int64_t *needed, struct arena *arena, size_t *leader) {
  size_t *first = ARENA_ARRAY(arena, project->stock_count, size_t);
  for (size_t s = 0; s < project->stock_count; s++) first[s] = SIZE_MAX;
  for (size_t b = 0; b < blanks->count; b++) {
    const struct blank *blank = &blanks->items[b];
    bool is_load = blank->role == ROLE_LOAD;
    if (is_load ? !load_is_wanted(blank->load, needed) : needed[blank->part] == 0) continue;
    if (is_load) join_load(blank->load, leader);
    size_t s = plank_of(project, blank->stock);
    if (first[s] == SIZE_MAX) first[s] = blank->part;
    join(leader, first[s], blank->part);
  }
}

static bool same_match(const struct part *a, const struct part *b) {
  return a->match != NULL && b->match != NULL && strcmp(a->match, b->match) == 0;
}

static void join_matches(const struct project *project, const int64_t *needed, size_t *leader) {
  for (size_t p = 0; p < project->part_count; p++) {
    if (project->parts[p].match == NULL || needed[p] == 0) continue;
    for (size_t q = 0; q < p; q++)
      if (needed[q] > 0 && same_match(&project->parts[p], &project->parts[q])) join(leader, q, p);
  }
}

/* It or its leaves. */
static bool stock_serves(const struct material_builder *builder, size_t s) {
  for (size_t b = 0; b < builder->blanks->count; b++)
    if (plank_of(builder->project, builder->blanks->items[b].stock) == s &&
        builder->demand_of_blank[b] != SIZE_MAX)
      return true;
  return false;
}

static bool starts_match(const struct project *project, const struct material *material, size_t d) {
  const struct part *part = &project->parts[material->parts[d]];
  if (part->match == NULL) return false;
  for (size_t e = 0; e < d; e++)
    if (same_match(part, &project->parts[material->parts[e]])) return false;
  return true;
}

/* A demand for sets for each letter; a letter that one part alone has, once a set, asks for
 * nothing. */
static void add_matches(struct material_builder *builder) {
  struct arena *arena = builder->arena;
  const struct project *project = builder->project;
  struct material *material = builder->material;
  struct nest_problem *problem = &material->problem;
  size_t demands = problem->demand_count;
  size_t room = 0;
  material->part_demands = demands;
  for (size_t d = 0; d < demands; d++) {
    if (!starts_match(project, material, d)) continue;
    struct nest_match match = {.demand = problem->demand_count,
                               .member = ARENA_ARRAY(arena, demands, size_t),
                               .per_set = ARENA_ARRAY(arena, demands, int64_t)};
    const struct part *first = &project->parts[material->parts[d]];
    for (size_t e = d; e < demands; e++) {
      const struct part *part = &project->parts[material->parts[e]];
      if (!same_match(first, part)) continue;
      match.member[match.member_count] = e;
      match.per_set[match.member_count++] = part->per_set;
    }
    if (match.member_count < 2 && match.per_set[0] < 2) continue;
    *ARENA_PUSH(arena, problem->matches, problem->match_count, room) = match;
    add_demand(builder, material->parts[d], (problem->demand[d] - first->spares) / first->per_set);
  }
}

static void build_material(struct arena *arena, const struct project *project,
                           const struct blanks *blanks, const int64_t *needed, size_t *leader,
                           size_t lead, bool rack_only, struct material *material) {
  size_t *demand_of_part = ARENA_ARRAY(arena, project->part_count, size_t);
  struct material_builder builder = {
      .arena = arena, .project = project, .blanks = blanks, .material = material};
  for (size_t p = 0; p < project->part_count; p++) {
    demand_of_part[p] = SIZE_MAX;
    if (needed[p] == 0 || leader_of(leader, p) != lead) continue;
    demand_of_part[p] = add_demand(&builder, p, needed[p]);
  }
  add_matches(&builder);
  map_blanks(&builder, demand_of_part);
  for (size_t s = 0; s < project->stock_count; s++) {
    if (rack_only && project->stocks[s].source != SOURCE_RACK) continue;
    if (project->stocks[s].leaves == 0 && stock_serves(&builder, s)) add_stock_groups(&builder, s);
  }
  add_assemblies(&builder, demand_of_part);
  add_loads(&builder, demand_of_part);
  material->problem.cut_cost = setup_cut_cost(&project->shop);
}

struct materials setup_materials(struct arena *arena, const struct project *project,
                                 const struct blanks *blanks, const int64_t *needed, bool rack_only,
                                 bool together) {
  struct materials materials = {NULL, 0, 0};
  size_t *leader = ARENA_ARRAY(arena, project->part_count, size_t);
  for (size_t p = 0; p < project->part_count; p++) leader[p] = together ? 0 : p;
  join_parts(blanks, project, needed, arena, leader);
  join_matches(project, needed, leader);
  for (size_t p = 0; p < project->part_count; p++) {
    if (leader_of(leader, p) != p || (needed[p] == 0 && !together)) continue;
    struct material *material = ARENA_PUSH(arena, materials.items, materials.count, materials.room);
    build_material(arena, project, blanks, needed, leader, p, rack_only, material);
  }
  return materials;
}

void setup_rules(const struct project *project, struct material *material, enum safety safety) {
  const struct shop *shop = &project->shop;
  static const length_t thirds[] = {3, 2, 1, 0};
  for (size_t s = 0; s < material->problem.stock_count; s++) {
    struct nest_stock *bare = &material->problem.stocks[s];
    if (bare->given != NULL) continue;
    bool plank = project->stocks[bare->stock].kind == STOCK_PLANK;
    bool kept = safety != SAFETY_NONE;
    bare->rules = (struct nest_rules){
        .stages = (int)shop->saw_stages,
        .crosscut_first = shop->first_cut != FIRST_RIP,
        .rip_first = shop->first_cut != FIRST_CROSSCUT,
        .rip_min_length = shop->rip_min_length * thirds[safety] / 3,
        .rip_no_wider_than_long = kept,
        .rip_capacity = kept ? shop->rip_capacity : 0,
        /* a sheet is cut against the fence both ways */
        .crosscut_capacity = kept && plank ? shop->crosscut_capacity : 0,
    };
  }
}

/* ---- trims ---- */

/* A cut node that takes `trim` off both sides along a division; returns the middle. */
static struct node *trim_both(struct arena *arena, struct node *node, bool rip, length_t trim,
                              length_t kerf) {
  if (trim <= 0) return node;
  length_t low = trim > kerf ? trim - kerf : 0;
  length_t whole = rip ? node->width : node->length;
  length_t at[3] = {trim - kerf - low, trim, whole - trim + kerf};
  length_t size[3] = {low, whole - 2 * trim, low};
  node->kind = rip ? NODE_RIP : NODE_CROSSCUT;
  node->trim = true;
  node->child_count = 3;
  node->children = ARENA_ARRAY(arena, 3, struct node);
  for (size_t i = 0; i < 3; i++) {
    struct node *child = &node->children[i];
    child->kind = NODE_WASTE;
    child->x = node->x + (rip ? 0 : at[i]);
    child->y = node->y + (rip ? at[i] : 0);
    child->length = rip ? node->length : size[i];
    child->width = rip ? size[i] : node->width;
  }
  return &node->children[1];
}

struct node setup_raw_tree(struct arena *arena, const struct project *project, size_t stock,
                           const struct node *usable) {
  const struct stock *raw = &project->stocks[stock];
  struct node root = {.kind = NODE_WASTE, .length = raw->length, .width = raw->width};
  struct node *strip = trim_both(arena, &root, true, raw->trim_edges, project->shop.kerf_rip);
  struct node *middle = trim_both(arena, strip, false, raw->trim_ends, project->shop.kerf_crosscut);
  *middle = cutting_copy(arena, usable, raw->trim_ends, raw->trim_edges);
  return root;
}
