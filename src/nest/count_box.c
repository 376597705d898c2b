#include "nest/count_box.h"

bool count_box_open(struct arena *arena, size_t kinds, const int64_t *most, size_t cells_most,
                    struct count_box *box) {
  *box = (struct count_box){.kinds = kinds, .most = most, .cells = 1};
  box->stride = ARENA_ARRAY(arena, kinds, size_t);
  for (size_t k = kinds; k-- > 0;) {
    box->stride[k] = box->cells;
    if ((size_t)most[k] + 1 > cells_most / box->cells) return false;
    box->cells *= (size_t)most[k] + 1;
  }
  return kinds > 0;
}

int64_t *count_box_table(struct arena *arena, const struct count_box *box) {
  int64_t *table = ARENA_ARRAY(arena, box->cells, int64_t);
  for (size_t c = 1; c < box->cells; c++) table[c] = COUNT_NEVER;
  return table;
}

int64_t count_box_count(const struct count_box *box, size_t cell, size_t kind) {
  return (int64_t)(cell / box->stride[kind] % ((size_t)box->most[kind] + 1));
}

size_t count_box_cell(const struct count_box *box, const int64_t *counts) {
  size_t cell = 0;
  for (size_t k = 0; k < box->kinds; k++)
    cell += box->stride[k] * (size_t)(counts[k] < box->most[k] ? counts[k] : box->most[k]);
  return cell;
}

size_t count_box_less(const struct count_box *box, size_t cell, const int64_t *counts) {
  size_t less = 0;
  for (size_t k = 0; k < box->kinds; k++) {
    int64_t left = count_box_count(box, cell, k) - counts[k];
    if (left > 0) less += box->stride[k] * (size_t)left;
  }
  return less;
}

struct addition {
  const struct count_box *box;
  const int64_t *from, *counts;
  int64_t *to;
  int64_t adds;
  uint32_t *choice; /* or NULL */
  uint32_t name;
};

/* The cells that differ in the last kind alone, from `cell` on; `before` is `cell` less counts. */
static void add_line(const struct addition *addition, size_t cell, size_t before) {
  size_t last = addition->box->kinds - 1;
  const int64_t *from = addition->from + before;
  int64_t *to = addition->to + cell;
  for (int64_t n = 0; n <= addition->box->most[last]; n++) {
    int64_t left = n - addition->counts[last];
    int64_t total = from[left > 0 ? left : 0] + addition->adds;
    if (total >= to[n]) continue;
    to[n] = total;
    if (addition->choice != NULL) addition->choice[cell + (size_t)n] = addition->name;
  }
}

/* The cells that differ in no kind before `kind`. */
static void add_cells(const struct addition *addition, size_t kind, size_t cell, size_t before) {
  const struct count_box *box = addition->box;
  if (kind + 1 == box->kinds) {
    add_line(addition, cell, before);
    return;
  }
  for (int64_t n = 0; n <= box->most[kind]; n++) {
    add_cells(addition, kind + 1, cell, before);
    cell += box->stride[kind];
    if (n >= addition->counts[kind]) before += box->stride[kind];
  }
}

void count_box_add(const struct count_box *box, const int64_t *from, int64_t *to,
                   const int64_t *counts, int64_t adds, uint32_t *choice, uint32_t name) {
  struct addition addition = {box, from, counts, to, adds, choice, name};
  add_cells(&addition, 0, 0, 0);
}
