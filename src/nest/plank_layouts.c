#include "nest/plank_layouts.h"

#include <string.h>

#include "nest/cutting.h"

enum {
  CELLS_MOST = 20000,
  PIECES_MOST = 24,
  CLASSES_MOST = 24,
  ROWS_MOST = 4000,
  WISHES_MOST = 200
};

/* A piece, or a sawn load. */
struct cuttable {
  size_t option;
  const int64_t *counts; /* of parts, per kind; below 0 for none */
  cost_t cost;
};

/* Pieces side by side, none wider than the row. */
struct row {
  size_t class;
  int64_t pieces;
  size_t cell; /* parts */
  int64_t *counts;
};

/* The least extents of rows of each class: [pieces], at most so many. */
struct row_class {
  length_t width;
  int64_t *least[PIECES_MOST + 1];
  uint32_t *choice[PIECES_MOST + 1]; /* cuttable + 1, put behind; 0: of one piece less */
};

struct layer_out {
  struct arena *arena;
  struct arena *scratch; /* of the tables */
  int64_t steps;         /* left: cells of tables */
  const struct nest_problem *problem;
  size_t stock_number;
  const struct nest_stock *stock;
  enum division along; /* rows run so */
  size_t kinds;
  struct cuttable *cuttables;
  size_t cuttable_count;
  struct count_box box;
  struct row_class classes[CLASSES_MOST];
  size_t class_count;
  struct row *rows;
  size_t row_count, row_room;
  struct plank_layouts *layouts;
};

static enum division across(enum division along) {
  return along == DIVIDE_LENGTH ? DIVIDE_WIDTH : DIVIDE_LENGTH;
}

static length_t kerf_of(const struct layer_out *out, enum division division) {
  return division == DIVIDE_LENGTH ? out->stock->kerf_crosscut : out->stock->kerf_rip;
}

static length_t whole_of(const struct layer_out *out, enum division division) {
  return division == DIVIDE_LENGTH ? out->stock->length : out->stock->width;
}

static length_t extent_of(const struct layer_out *out, size_t cuttable, enum division division) {
  const struct nest_option *option = &out->stock->options[out->cuttables[cuttable].option];
  return division == DIVIDE_LENGTH ? option->length : option->width;
}

/* ---- what can be cut ---- */

static void list_cuttables(struct layer_out *out) {
  out->cuttables = ARENA_ARRAY(out->scratch, out->stock->option_count, struct cuttable);
  for (size_t o = 0; o < out->stock->option_count; o++) {
    size_t demand = out->stock->options[o].demand;
    struct cuttable cuttable = {.option = o};
    if (nest_is_coupling(out->problem, demand)) {
      const struct nest_stock *assembly = nest_assembly_of(out->problem, demand);
      if (assembly == NULL) continue;
      cuttable.counts = assembly->given;
      cuttable.cost = assembly->cost;
    } else {
      int64_t *counts = ARENA_ARRAY(out->scratch, out->kinds, int64_t);
      counts[demand] = 1;
      cuttable.counts = counts;
    }
    out->cuttables[out->cuttable_count++] = cuttable;
  }
}

/* By area. */
static void limit_kinds(const struct layer_out *out, const int64_t *most, int64_t *limit) {
  double room = (double)(out->stock->length + out->stock->kerf_crosscut) *
                (double)(out->stock->width + out->stock->kerf_rip);
  memset(limit, 0, out->kinds * sizeof *limit);
  for (size_t c = 0; c < out->cuttable_count; c++) {
    double takes = (double)(extent_of(out, c, DIVIDE_LENGTH) + out->stock->kerf_crosscut) *
                   (double)(extent_of(out, c, DIVIDE_WIDTH) + out->stock->kerf_rip);
    for (size_t k = 0; k < out->kinds; k++) {
      int64_t all = (int64_t)(room / takes * (double)out->cuttables[c].counts[k]);
      if (all > limit[k]) limit[k] = all < most[k] ? all : most[k];
    }
  }
}

/* ---- rows ---- */

static void add_class(struct layer_out *out, length_t width) {
  size_t at = 0;
  while (at < out->class_count && out->classes[at].width < width) at++;
  if (at < out->class_count && out->classes[at].width == width) return;
  if (out->class_count == CLASSES_MOST) return;
  memmove(&out->classes[at + 1], &out->classes[at], (out->class_count - at) * sizeof *out->classes);
  out->classes[at] = (struct row_class){.width = width};
  out->class_count++;
}

static bool are_equal(const struct layer_out *out, const int64_t *a, const int64_t *b) {
  return a == b || memcmp(a, b, out->box.cells * sizeof *a) == 0;
}

static void rule_out_longer(const struct layer_out *out, int64_t *least, length_t whole) {
  for (size_t cell = 0; cell < out->box.cells; cell++)
    if (least[cell] > whole) least[cell] = COUNT_NEVER;
}

/* Where a piece more finds no more, no further one does. False where the steps do not suffice. */
static bool fill_class(struct layer_out *out, struct row_class *class) {
  const struct count_box *box = &out->box;
  length_t whole = whole_of(out, out->along) + kerf_of(out, out->along);
  class->least[0] = count_box_table(out->scratch, box);
  for (size_t n = 1; n <= PIECES_MOST; n++) {
    if (n > 1 && class->least[n - 1] == class->least[n - 2]) {
      class->least[n] = class->least[n - 1];
      class->choice[n] = class->choice[n - 1];
      continue;
    }
    out->steps -= (int64_t)(box->cells * (out->cuttable_count + 1));
    if (out->steps < 0) return false;
    class->least[n] = ARENA_ARRAY(out->scratch, box->cells, int64_t);
    class->choice[n] = ARENA_ARRAY(out->scratch, box->cells, uint32_t);
    memcpy(class->least[n], class->least[n - 1], box->cells * sizeof(int64_t));
    for (size_t c = 0; c < out->cuttable_count; c++)
      if (extent_of(out, c, across(out->along)) <= class->width)
        count_box_add(box, class->least[n - 1], class->least[n], out->cuttables[c].counts,
                      extent_of(out, c, out->along) + kerf_of(out, out->along), class->choice[n],
                      (uint32_t)c + 1);
    rule_out_longer(out, class->least[n], whole);
    if (are_equal(out, class->least[n], class->least[n - 1])) class->least[n] = class->least[n - 1];
  }
  return true;
}

static bool is_row(const struct row_class *class, size_t pieces, size_t cell) {
  return class->least[pieces][cell] < COUNT_NEVER;
}

/* Not where as few pieces of a row no wider yield as much, or one part more. */
static bool is_of_use(const struct layer_out *out, size_t class, size_t pieces, size_t cell) {
  if (is_row(&out->classes[class], pieces - 1, cell)) return false;
  for (size_t c = 0; c < class; c++)
    if (is_row(&out->classes[c], pieces, cell)) return false;
  for (size_t k = 0; k < out->kinds; k++)
    if (count_box_count(&out->box, cell, k) < out->box.most[k] &&
        is_row(&out->classes[class], pieces, cell + out->box.stride[k]))
      return false;
  return true;
}

static void list_rows(struct layer_out *out) {
  for (size_t c = 0; c < out->class_count; c++)
    for (size_t n = 1; n <= PIECES_MOST; n++) {
      if (out->classes[c].least[n] == out->classes[c].least[n - 1]) break;
      for (size_t cell = 1; cell < out->box.cells; cell++) {
        if (!is_row(&out->classes[c], n, cell) || !is_of_use(out, c, n, cell)) continue;
        if (out->row_count == ROWS_MOST) return;
        struct row row = {c, (int64_t)n, cell, ARENA_ARRAY(out->scratch, out->kinds, int64_t)};
        for (size_t k = 0; k < out->kinds; k++) row.counts[k] = count_box_count(&out->box, cell, k);
        *ARENA_PUSH(out->scratch, out->rows, out->row_count, out->row_room) = row;
      }
    }
}

/* ---- one layout ---- */

static size_t row_pieces(const struct layer_out *out, const struct row *row, size_t *cuttables) {
  const struct row_class *class = &out->classes[row->class];
  size_t cell = row->cell, count = 0;
  for (size_t n = (size_t)row->pieces; n > 0; n--) {
    uint32_t choice = class->choice[n][cell];
    if (choice == 0) continue;
    cuttables[count++] = choice - 1;
    cell = count_box_less(&out->box, cell, out->cuttables[choice - 1].counts);
  }
  return count;
}

/* One that makes as much as another, no longer and as wide as the room: it takes no trim. */
static size_t as_wide_as(const struct layer_out *out, size_t cuttable, length_t room) {
  const struct cuttable *plain = &out->cuttables[cuttable];
  for (size_t c = 0; c < out->cuttable_count; c++) {
    const struct cuttable *other = &out->cuttables[c];
    if (extent_of(out, c, across(out->along)) != room || other->cost > plain->cost ||
        extent_of(out, c, out->along) > extent_of(out, cuttable, out->along))
      continue;
    if (memcmp(other->counts, plain->counts, out->kinds * sizeof *plain->counts) == 0) return c;
  }
  return cuttable;
}

static void widen(const struct layer_out *out, length_t room, size_t *cuttables, size_t count) {
  for (size_t i = 0; i < count; i++) cuttables[i] = as_wide_as(out, cuttables[i], room);
}

static length_t rest_behind(const struct layer_out *out, const size_t *cuttables, size_t count,
                            length_t whole) {
  length_t rest = whole + kerf_of(out, out->along);
  for (size_t i = 0; i < count; i++)
    rest -= extent_of(out, cuttables[i], out->along) + kerf_of(out, out->along);
  return rest;
}

/* A longer load in place of one takes in what is left behind the row. */
static bool fill_up(const struct layer_out *out, size_t *cuttables, size_t count, length_t rest) {
  for (size_t i = 0; i < count; i++)
    for (size_t c = 0; c < out->cuttable_count; c++) {
      const struct cuttable *plain = &out->cuttables[cuttables[i]], *other = &out->cuttables[c];
      enum division side = across(out->along);
      if (extent_of(out, c, out->along) != extent_of(out, cuttables[i], out->along) + rest ||
          extent_of(out, c, side) != extent_of(out, cuttables[i], side) ||
          other->cost > plain->cost ||
          memcmp(other->counts, plain->counts, out->kinds * sizeof *plain->counts) != 0)
        continue;
      cuttables[i] = c;
      return true;
    }
  return false;
}

/* The shortest load of the row, as it would have to be. */
static void wish_for(const struct layer_out *out, const size_t *cuttables, size_t count,
                     length_t rest) {
  struct plank_layouts *layouts = out->layouts;
  size_t shortest = cuttables[0];
  for (size_t i = 1; i < count; i++)
    if (extent_of(out, cuttables[i], out->along) < extent_of(out, shortest, out->along))
      shortest = cuttables[i];
  const struct nest_option *option = &out->stock->options[out->cuttables[shortest].option];
  if (!nest_is_coupling(out->problem, option->demand) || layouts->wish_count == WISHES_MOST) return;
  struct load_wish wish = {option->blank, extent_of(out, shortest, out->along) + rest};
  if (option->turned != (out->along == DIVIDE_WIDTH)) return; /* its own length lies along */
  for (size_t w = 0; w < layouts->wish_count; w++)
    if (layouts->wishes[w].blank == wish.blank && layouts->wishes[w].length == wish.length) return;
  *ARENA_PUSH(out->arena, layouts->wishes, layouts->wish_count, layouts->wish_room) = wish;
}

static length_t room_across(const struct layer_out *out, const struct node *node) {
  return out->along == DIVIDE_LENGTH ? node->width : node->length;
}

static void build_row(const struct layer_out *out, const struct row *row, struct node *node) {
  size_t cuttables[PIECES_MOST];
  length_t extents[PIECES_MOST];
  size_t count = row_pieces(out, row, cuttables);
  widen(out, room_across(out, node), cuttables, count);
  length_t rest =
      rest_behind(out, cuttables, count, out->along == DIVIDE_LENGTH ? node->length : node->width);
  if (rest > 0 && !fill_up(out, cuttables, count, rest)) wish_for(out, cuttables, count, rest);
  for (size_t i = 0; i < count; i++) extents[i] = extent_of(out, cuttables[i], out->along);
  struct node *children =
      cutting_divide(out->arena, node, out->along, kerf_of(out, out->along), extents, count);
  for (size_t i = 0; i < count; i++)
    cutting_place(out->arena, children == NULL ? node : &children[i], out->stock,
                  &out->stock->options[out->cuttables[cuttables[i]].option],
                  out->along == DIVIDE_LENGTH);
}

/* One row alone need not be parted from what is above it, where its pieces are trimmed one by one.
 */
static struct node build(const struct layer_out *out, const size_t *rows, size_t count,
                         bool parted) {
  struct node root = {.kind = NODE_WASTE, .length = out->stock->length, .width = out->stock->width};
  length_t widths[PIECES_MOST];
  struct node *children = NULL;
  for (size_t r = 0; r < count; r++) widths[r] = out->classes[out->rows[rows[r]].class].width;
  if (parted)
    children = cutting_divide(out->arena, &root, across(out->along),
                              kerf_of(out, across(out->along)), widths, count);
  for (size_t r = 0; r < count; r++)
    build_row(out, &out->rows[rows[r]], children == NULL ? &root : &children[r]);
  return root;
}

static void count_sawn(const struct layer_out *out, const struct node *node, int64_t *counts,
                       cost_t *handling) {
  for (size_t c = 0; node->kind == NODE_PIECE && c < out->cuttable_count; c++) {
    const struct nest_option *option = &out->stock->options[out->cuttables[c].option];
    if (option->blank != node->blank || option->turned != node->turned) continue;
    counts[option->demand]++;
    *handling += out->cuttables[c].cost;
    return;
  }
  for (size_t i = 0; i < node->child_count; i++)
    count_sawn(out, &node->children[i], counts, handling);
}

static void keep_layout(const struct layer_out *out, const size_t *rows, size_t count,
                        size_t cell) {
  struct plank_layout layout = {.counts =
                                    ARENA_ARRAY(out->arena, out->problem->demand_count, int64_t)};
  bool any = false;
  for (int parted = count == 1 ? 0 : 1; parted < 2; parted++) {
    struct node root = build(out, rows, count, parted == 1);
    int64_t cuts = cutting_count_cuts(&root);
    if (!cutting_obeys(&root, &out->stock->rules) || (any && cuts >= layout.cuts)) continue;
    layout.root = root;
    layout.cuts = cuts;
    any = true;
  }
  if (!any) return;
  cost_t cost = out->stock->cost + layout.cuts * out->problem->cut_cost;
  count_sawn(out, &layout.root, layout.counts, &cost);
  int64_t *counts = ARENA_ARRAY(out->arena, out->kinds, int64_t);
  for (size_t k = 0; k < out->kinds; k++) counts[k] = count_box_count(&out->box, cell, k);
  struct plank_layouts *layouts = out->layouts;
  struct yields *yields = &layouts->yields;
  size_t number = yields->count;
  *ARENA_PUSH(out->arena, yields->items, yields->count, yields->room) =
      (struct yield){out->stock_number, counts, cost};
  *ARENA_PUSH(out->arena, layouts->items, number, layouts->room) = layout;
}

/* ---- rows one above the other ---- */

struct stack {
  int64_t *least[PIECES_MOST + 1]; /* of widths; [pieces], at most so many */
  uint32_t *choice[PIECES_MOST + 1];
};

/* Rows of as many pieces as the longest looked back and found nothing new. */
static bool is_settled(const struct layer_out *out, const struct stack *stack, size_t n) {
  size_t most = 1;
  for (size_t r = 0; r < out->row_count; r++)
    if ((size_t)out->rows[r].pieces > most) most = (size_t)out->rows[r].pieces;
  for (size_t i = 1; i <= most; i++)
    if (n < i + 1 || stack->least[n - i] != stack->least[n - i - 1]) return false;
  return true;
}

static void add_rows(const struct layer_out *out, struct stack *stack, size_t n) {
  enum division division = across(out->along);
  stack->least[n] = ARENA_ARRAY(out->scratch, out->box.cells, int64_t);
  stack->choice[n] = ARENA_ARRAY(out->scratch, out->box.cells, uint32_t);
  memcpy(stack->least[n], stack->least[n - 1], out->box.cells * sizeof(int64_t));
  for (size_t r = 0; r < out->row_count; r++) {
    const struct row *row = &out->rows[r];
    if (row->pieces <= (int64_t)n)
      count_box_add(&out->box, stack->least[n - (size_t)row->pieces], stack->least[n], row->counts,
                    out->classes[row->class].width + kerf_of(out, division), stack->choice[n],
                    (uint32_t)r + 1);
  }
  rule_out_longer(out, stack->least[n], whole_of(out, division) + kerf_of(out, division));
  if (are_equal(out, stack->least[n], stack->least[n - 1])) stack->least[n] = stack->least[n - 1];
}

/* False where the steps do not suffice. */
static bool fill_stack(struct layer_out *out, struct stack *stack) {
  stack->least[0] = count_box_table(out->scratch, &out->box);
  for (size_t n = 1; n <= PIECES_MOST; n++) {
    if (is_settled(out, stack, n)) {
      stack->least[n] = stack->least[n - 1];
      stack->choice[n] = stack->choice[n - 1];
      continue;
    }
    out->steps -= (int64_t)(out->box.cells * (out->row_count + 1));
    if (out->steps < 0) return false;
    add_rows(out, stack, n);
  }
  return true;
}

static void unstack(const struct layer_out *out, const struct stack *stack, size_t pieces,
                    size_t cell) {
  size_t rows[PIECES_MOST];
  size_t count = 0, made = cell;
  for (size_t n = pieces; n > 0;) {
    uint32_t choice = stack->choice[n][cell];
    if (choice == 0) {
      n--;
      continue;
    }
    rows[count++] = choice - 1;
    cell = count_box_less(&out->box, cell, out->rows[choice - 1].counts);
    n -= (size_t)out->rows[choice - 1].pieces;
  }
  if (count > 0) keep_layout(out, rows, count, made);
}

/* What a layout takes to build and to hold. */
static int64_t steps_of_layout(const struct layer_out *out) {
  return (int64_t)(out->problem->demand_count + PIECES_MOST * out->cuttable_count);
}

static void list_layouts(struct layer_out *out) {
  struct stack stack = {{NULL}, {NULL}};
  if (!fill_stack(out, &stack)) return;
  for (size_t n = 1; n <= PIECES_MOST; n++) {
    if (stack.least[n] == stack.least[n - 1]) continue;
    for (size_t cell = 1; cell < out->box.cells; cell++) {
      bool useful = stack.least[n][cell] < COUNT_NEVER && stack.least[n - 1][cell] >= COUNT_NEVER;
      for (size_t k = 0; k < out->kinds && useful; k++)
        useful = count_box_count(&out->box, cell, k) == out->box.most[k] ||
                 stack.least[n][cell + out->box.stride[k]] >= COUNT_NEVER;
      if (!useful) continue;
      out->steps -= steps_of_layout(out);
      if (out->steps < 0) return;
      unstack(out, &stack, n, cell);
    }
  }
}

/* Those whose rows run along one side. */
static void add_along(struct layer_out *out, const int64_t *most) {
  list_cuttables(out);
  int64_t *limit = ARENA_ARRAY(out->scratch, out->kinds, int64_t);
  limit_kinds(out, most, limit);
  if (!count_box_open(out->scratch, out->kinds, limit, CELLS_MOST, &out->box)) return;
  for (size_t c = 0; c < out->cuttable_count; c++)
    add_class(out, extent_of(out, c, across(out->along)));
  for (size_t c = 0; c < out->class_count; c++)
    if (!fill_class(out, &out->classes[c])) return;
  list_rows(out);
  list_layouts(out);
}

void plank_layouts_add(struct arena *arena, struct arena *scratch,
                       const struct nest_problem *problem, size_t stock, const int64_t *most,
                       int64_t steps, struct plank_layouts *layouts) {
  if (problem->stocks[stock].flaw_count > 0) return;
  for (int along = DIVIDE_LENGTH; along <= DIVIDE_WIDTH; along++) {
    struct arena_mark mark = arena_mark(scratch);
    struct layer_out *out = ARENA_NEW(scratch, struct layer_out);
    *out = (struct layer_out){.arena = arena,
                              .scratch = scratch,
                              .steps = steps / 2,
                              .problem = problem,
                              .stock_number = stock,
                              .stock = &problem->stocks[stock],
                              .along = (enum division)along,
                              .layouts = layouts,
                              .kinds = yield_kinds(problem)};
    add_along(out, most);
    arena_release(scratch, mark);
  }
}
