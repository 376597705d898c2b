#include "unit/test_write_fixture.h"

#include "saw/saw.h"

/* ---- trees ---- */

static struct node place_node(enum node_kind kind, length_t x, length_t y, length_t length,
                              length_t width) {
  return (struct node){.kind = kind, .x = x, .y = y, .length = length, .width = width};
}

static struct node *add_child(struct arena *arena, struct node *node, struct node child) {
  node->children = arena_grow(arena, node->children, node->child_count, node->child_count + 1,
                              sizeof *node->children);
  node->children[node->child_count] = child;
  return &node->children[node->child_count++];
}

static struct node piece_node(const struct fixture *fixture, size_t blank, bool turned, length_t x,
                              length_t y) {
  const struct blank *size = &fixture->blanks.items[blank];
  struct node node = place_node(NODE_PIECE, x, y, turned ? size->width : size->length,
                                turned ? size->length : size->width);
  node.blank = blank;
  node.turned = turned;
  return node;
}

/* The trims of raw stock around its usable rectangle, which is returned for cutting on. */
static struct node *add_trims(const struct fixture *fixture, const struct stock *stock,
                              struct node *root, enum node_kind kind) {
  length_t end = stock->trim_ends;
  length_t edge = stock->trim_edges;
  length_t rip = fixture->project->shop.kerf_rip;
  length_t crosscut = fixture->project->shop.kerf_crosscut;
  length_t inner = stock->length - 2 * end;
  length_t high = stock->width - edge;
  *root = place_node(NODE_RIP, 0, 0, stock->length, stock->width);
  root->trim = true;
  add_child(fixture->arena, root, place_node(NODE_WASTE, 0, 0, stock->length, edge - rip));
  add_child(fixture->arena, root, place_node(NODE_CROSSCUT, 0, edge, stock->length, high - edge));
  add_child(fixture->arena, root, place_node(NODE_WASTE, 0, high + rip, stock->length, edge - rip));
  struct node *board = &root->children[1];
  board->trim = true;
  add_child(fixture->arena, board, place_node(NODE_WASTE, 0, edge, end - crosscut, high - edge));
  add_child(fixture->arena, board, place_node(kind, end, edge, inner, high - edge));
  add_child(
      fixture->arena, board,
      place_node(NODE_WASTE, stock->length - end + crosscut, edge, end - crosscut, high - edge));
  return &board->children[1];
}

/* A strip crosscut into `count` pieces of one blank; what is left is waste or offcut. */
static struct node strip_node(const struct fixture *fixture, size_t blank, int count, length_t x,
                              length_t y, length_t length) {
  const struct blank *size = &fixture->blanks.items[blank];
  length_t kerf = fixture->project->shop.kerf_crosscut;
  struct node strip = place_node(NODE_CROSSCUT, x, y, length, size->width);
  length_t at = x;
  for (int i = 0; i < count; i++) {
    add_child(fixture->arena, &strip, piece_node(fixture, blank, false, at, y));
    at += size->length + kerf;
  }
  add_child(fixture->arena, &strip, place_node(NODE_WASTE, at, y, x + length - at, size->width));
  return strip;
}

/* ---- projects ---- */

static struct project *new_project(struct arena *arena, const char *name, enum unit unit) {
  struct project *project = ARENA_NEW(arena, struct project);
  project->name = name;
  project->folder = name;
  shop_set_defaults(arena, &project->shop, unit);
  project->shop.units = unit == UNIT_MM ? 0 : 1;
  return project;
}

static struct part *add_part(struct fixture *fixture, const char *name, length_t length,
                             length_t width, length_t thickness) {
  struct project *project = fixture->project;
  struct part *part =
      ARENA_PUSH(fixture->arena, project->parts, project->part_count, project->part_room);
  *part = (struct part){.name = name,
                        .per_set = 1,
                        .length = length,
                        .width = width,
                        .thickness = thickness,
                        .tabs = -1,
                        .fit = -1};
  return part;
}

static struct stock *add_stock(struct fixture *fixture, const char *name, enum source source,
                               length_t length, length_t width, length_t thickness) {
  struct project *project = fixture->project;
  struct stock *stock =
      ARENA_PUSH(fixture->arena, project->stocks, project->stock_count, project->stock_room);
  *stock = (struct stock){.name = name,
                          .source = source,
                          .length = length,
                          .width = width,
                          .thickness = thickness,
                          .count = source == SOURCE_RACK ? 1 : -1,
                          .pack = 1};
  return stock;
}

static void add_blank(struct fixture *fixture, struct blank blank) {
  *ARENA_PUSH(fixture->arena, fixture->blanks.items, fixture->blanks.count, fixture->blanks.room) =
      blank;
}

static struct node *add_layout(struct fixture *fixture, size_t stock, int64_t times) {
  struct plan *plan = &fixture->plan;
  struct layout *layout =
      ARENA_PUSH(fixture->arena, plan->layouts, plan->layout_count, plan->layout_room);
  *layout = (struct layout){.stock = stock, .first_copy = 1, .times = times};
  return &layout->root;
}

static void add_purchase(struct fixture *fixture, size_t stock, int64_t used, int64_t bought) {
  struct plan *plan = &fixture->plan;
  cents_t value = fixture->project->stocks[stock].value;
  struct purchase *purchase =
      ARENA_PUSH(fixture->arena, plan->purchases, plan->purchase_count, plan->purchase_room);
  *purchase = (struct purchase){stock, used, bought, value * (bought > 0 ? bought : used)};
  plan->cost.stock += purchase->cost;
}

/* Handling: half a minute a cut at the labour rate, rounded up to the cent. */
static void finish(struct fixture *fixture) {
  struct plan *plan = &fixture->plan;
  saw_order(fixture->arena, fixture->project, plan);
  plan->cost.handling = ((int64_t)plan->cut_count * fixture->project->shop.labour_rate + 119) / 120;
  plan->cost.total = plan->cost.stock + plan->cost.handling;
}

static void start(struct arena *arena, struct fixture *fixture, const char *name, enum unit unit,
                  int64_t sets) {
  *fixture = (struct fixture){.arena = arena, .project = new_project(arena, name, unit)};
  fixture->plan.sets = sets;
  fixture->project->shop.sets = sets;
}

/* ---- millimetres ---- */

static void add_mm_stock(struct fixture *fixture) {
  struct stock *rack = add_stock(fixture, "W1", SOURCE_RACK, MM(1830), MM(215), MM(21));
  rack->wood = "walnut";
  rack->value = 7800;
  rack->trim_ends = MM(20);
  rack->trim_edges = MM(3);
  struct flaw *flaw = ARENA_PUSH(fixture->arena, rack->flaws, rack->flaw_count, rack->flaw_room);
  *flaw = (struct flaw){1, MM(640), MM(60), MM(40), MM(35), "knot", false};
  struct stock *yard = add_stock(fixture, "Y2", SOURCE_YARD, MM(2440), MM(150), MM(21));
  yard->wood = "walnut";
  yard->value = 5800;
  yard->pack = 3;
  yard->supplier = "yard A";
  yard->trim_ends = MM(20);
  yard->trim_edges = MM(3);
}

static void add_mm_blanks(struct fixture *fixture) {
  add_blank(fixture, (struct blank){.part = 0,
                                    .role = ROLE_BLANK,
                                    .hold = HOLD_ENDS,
                                    .clamp = SIZE_MAX,
                                    .length = MM(292),
                                    .width = MM(100),
                                    .margin_ends = MM(26),
                                    .margin_sides = MM(14),
                                    .reach = MM(8),
                                    .cutter_diameter = MM(6),
                                    .may_lie_straight = true});
  add_blank(fixture, (struct blank){.part = 1,
                                    .stock = 1,
                                    .role = ROLE_PART,
                                    .clamp = SIZE_MAX,
                                    .length = MM(139),
                                    .width = MM(35),
                                    .margin_ends = MM(1) / 2,
                                    .margin_sides = MM(1) / 2,
                                    .may_lie_straight = true,
                                    .may_lie_turned = true});
}

/* Lower strip: two blanks, the knot in waste, three blanks, an offcut. Upper strip: six. */
static void cut_mm_rack(struct fixture *fixture) {
  struct arena *arena = fixture->arena;
  struct node *usable =
      add_trims(fixture, &fixture->project->stocks[0], add_layout(fixture, 0, 1), NODE_RIP);
  struct node lower = place_node(NODE_CROSSCUT, MM(20), MM(3), MM(1790), MM(100));
  add_child(arena, &lower, piece_node(fixture, 0, false, MM(20), MM(3)));
  add_child(arena, &lower, piece_node(fixture, 0, false, MM(315), MM(3)));
  add_child(arena, &lower, place_node(NODE_WASTE, MM(610), MM(3), MM(90), MM(100)));
  for (int i = 0; i < 3; i++)
    add_child(arena, &lower, piece_node(fixture, 0, false, MM(703 + 295 * i), MM(3)));
  add_child(arena, &lower, place_node(NODE_WASTE, MM(1588), MM(3), MM(222), MM(100)));
  add_child(arena, usable, lower);
  add_child(arena, usable, strip_node(fixture, 0, 6, MM(20), MM(106), MM(1790)));
  add_child(arena, usable, place_node(NODE_WASTE, MM(20), MM(209), MM(1790), MM(3)));
}

static void cut_mm_yard(struct fixture *fixture) {
  struct arena *arena = fixture->arena;
  struct node *usable =
      add_trims(fixture, &fixture->project->stocks[1], add_layout(fixture, 1, 2), NODE_RIP);
  add_child(arena, usable, strip_node(fixture, 0, 8, MM(20), MM(3), MM(2400)));
  add_child(arena, usable, strip_node(fixture, 1, 16, MM(20), MM(106), MM(2400)));
  add_child(arena, usable, place_node(NODE_WASTE, MM(20), MM(144), MM(2400), MM(3)));
}

void fixture_make_mm(struct arena *arena, struct fixture *fixture) {
  start(arena, fixture, "cribbage", UNIT_MM, 24);
  struct shop *shop = &fixture->project->shop;
  shop->kerf_rip = MM(3);
  shop->kerf_crosscut = MM(3);
  shop->flaw_margin = 0;
  shop->labour_rate = 6600;
  shop->given[SETTING_bed_length] = true;
  struct part *board = add_part(fixture, "board", MM(240), MM(72), MM(18));
  board->way = WAY_BLANK;
  board->faced = FACED_ONE;
  add_part(fixture, "lid", MM(138), MM(34), MM(21))->faced = FACED_NONE;
  add_mm_stock(fixture);
  add_mm_blanks(fixture);
  cut_mm_rack(fixture);
  cut_mm_yard(fixture);
  fixture->plan.needed = ARENA_ARRAY(arena, 2, int64_t);
  fixture->plan.needed[0] = 27;
  fixture->plan.needed[1] = 32;
  add_purchase(fixture, 0, 1, 0);
  add_purchase(fixture, 1, 2, 3);
  fixture->plan.cost.bound = 27000;
  finish(fixture);
}

/* ---- inches ---- */

void fixture_make_inch(struct arena *arena, struct fixture *fixture) {
  length_t inch = LENGTH_PER_INCH;
  start(arena, fixture, "trays", UNIT_INCH, 3);
  add_part(fixture, "side", 12 * inch, 5 * inch / 2, inch / 2);
  struct stock *stock = add_stock(fixture, "C1", SOURCE_RACK, 48 * inch, 11 * inch / 2, inch / 2);
  stock->wood = "cherry";
  stock->value = 1175;
  stock->surface = SURFACE_PLANED;
  stock->trim_ends = inch / 2;
  add_blank(fixture, (struct blank){.role = ROLE_PART,
                                    .clamp = SIZE_MAX,
                                    .length = 12 * inch,
                                    .width = 5 * inch / 2,
                                    .may_lie_straight = true});
  struct node *root = add_layout(fixture, 0, 1);
  length_t kerf = fixture->project->shop.kerf_crosscut;
  length_t section = 12 * inch;
  *root = place_node(NODE_CROSSCUT, 0, 0, 48 * inch, 11 * inch / 2);
  root->trim = true;
  length_t left = inch / 2;
  add_child(arena, root, place_node(NODE_WASTE, 0, 0, left - kerf, stock->width));
  add_child(arena, root, place_node(NODE_CROSSCUT, left, 0, 47 * inch, stock->width));
  add_child(arena, root,
            place_node(NODE_WASTE, 48 * inch - left + kerf, 0, left - kerf, stock->width));
  struct node *usable = &root->children[1];
  for (int i = 0; i < 3; i++) {
    length_t x = left + i * (section + kerf);
    struct node *part = add_child(arena, usable, place_node(NODE_RIP, x, 0, section, stock->width));
    add_child(arena, part, piece_node(fixture, 0, false, x, 0));
    add_child(arena, part, piece_node(fixture, 0, false, x, 5 * inch / 2 + kerf));
    add_child(arena, part,
              place_node(NODE_WASTE, x, 5 * inch + 2 * kerf, section, inch / 2 - 2 * kerf));
  }
  length_t x = left + 3 * (section + kerf);
  add_child(arena, usable, place_node(NODE_WASTE, x, 0, 95 * inch / 2 - x, stock->width));
  fixture->plan.needed = ARENA_ARRAY(arena, 1, int64_t);
  fixture->plan.needed[0] = 6;
  add_purchase(fixture, 0, 1, 0);
  fixture->plan.cost.bound = 1175;
  fixture->plan.cost.proved = true;
  finish(fixture);
}

/* ---- small and large ---- */

void fixture_make_tiny(struct arena *arena, struct fixture *fixture, int count) {
  start(arena, fixture, "pegs", UNIT_MM, count);
  fixture->project->shop.kerf_crosscut = MM(3);
  add_part(fixture, "a peg", MM(8), MM(6), MM(6));
  struct stock *stock = add_stock(fixture, "P", SOURCE_RACK, MM(11) * count + MM(20), MM(6), MM(6));
  stock->wood = "maple";
  add_blank(fixture, (struct blank){.role = ROLE_PART,
                                    .clamp = SIZE_MAX,
                                    .length = MM(8),
                                    .width = MM(6),
                                    .may_lie_straight = true});
  struct node *root = add_layout(fixture, 0, 1);
  *root = strip_node(fixture, 0, count, 0, 0, stock->length);
  fixture->plan.needed = ARENA_ARRAY(arena, 1, int64_t);
  fixture->plan.needed[0] = count;
  add_purchase(fixture, 0, 1, 0);
  finish(fixture);
}

void fixture_make_large(struct arena *arena, struct fixture *fixture, int64_t times) {
  start(arena, fixture, "tiles", UNIT_MM, 1);
  fixture->project->shop.kerf_rip = MM(3);
  fixture->project->shop.kerf_crosscut = MM(3);
  add_part(fixture, "tile", MM(57), MM(57), MM(6));
  struct stock *stock = add_stock(fixture, "S", SOURCE_YARD, MM(600), MM(600), MM(6));
  stock->kind = STOCK_SHEET;
  stock->wood = "ply";
  stock->value = 1000;
  add_blank(fixture, (struct blank){.role = ROLE_PART,
                                    .clamp = SIZE_MAX,
                                    .length = MM(57),
                                    .width = MM(57),
                                    .may_lie_straight = true});
  struct node *root = add_layout(fixture, 0, times);
  *root = place_node(NODE_RIP, 0, 0, MM(600), MM(600));
  for (int i = 0; i < 10; i++)
    add_child(arena, root, strip_node(fixture, 0, 10, 0, MM(60) * i, MM(600)));
  add_child(arena, root, place_node(NODE_WASTE, 0, MM(600), MM(600), 0));
  fixture->plan.needed = ARENA_ARRAY(arena, 1, int64_t);
  fixture->plan.needed[0] = 100 * times;
  add_purchase(fixture, 0, times, times);
  finish(fixture);
}

/* ---- held on the bed ---- */

static struct load *held_load(struct fixture *fixture, const struct blank *blank) {
  const struct part *part = &fixture->project->parts[blank->part];
  struct load *load = ARENA_NEW(fixture->arena, struct load);
  *load = (struct load){.length = blank->length,
                        .width = blank->width,
                        .thickness = fixture->project->stocks[blank->stock].thickness,
                        .hold = HOLD_ENDS,
                        .cutter_diameter = blank->cutter_diameter,
                        .reach = blank->reach,
                        .part_count = 1,
                        .clamp_count = 1,
                        .kind_count = 1,
                        .fixing_count = 1,
                        .clampings = 1,
                        .clamped = true};
  load->parts = ARENA_NEW(fixture->arena, struct held_part);
  *load->parts = (struct held_part){.part = blank->part,
                                    .x = (blank->length - part->length) / 2,
                                    .y = (blank->width - part->width) / 2,
                                    .length = part->length,
                                    .width = part->width,
                                    .tab_count = 1};
  load->parts->tabs = ARENA_NEW(fixture->arena, struct tab);
  *load->parts->tabs = (struct tab){blank->length / 2, load->parts->y, BED_FRONT};
  load->clamps = ARENA_NEW(fixture->arena, struct held_clamp);
  *load->clamps = (struct held_clamp){.side = BED_LEFT,
                                      .x = -MM(25),
                                      .y = MM(10),
                                      .length = MM(40),
                                      .width = MM(25),
                                      .keep_out = MM(3)};
  load->kinds = ARENA_NEW(fixture->arena, size_t);
  *load->kinds = blank->part;
  load->fixings = ARENA_NEW(fixture->arena, struct fixing);
  load->fixings->steps = ARENA_NEW(fixture->arena, struct step_list);
  load->fixings->frees = ARENA_NEW(fixture->arena, bool);
  load->fixings->frees[0] = true;
  return load;
}

void fixture_hold(struct fixture *fixture) {
  for (size_t b = 0; b < fixture->blanks.count; b++)
    if (fixture->blanks.items[b].role == ROLE_BLANK)
      fixture->blanks.items[b].load = held_load(fixture, &fixture->blanks.items[b]);
}
