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

/* The cells that differ in the last kind alone, from `cell` on. */
static void add_line(const struct count_box *box, const int64_t *from, int64_t *to, size_t cell,
                     const int64_t *counts, int64_t adds, uint32_t *choice, uint32_t name) {
  size_t last = box->kinds - 1;
  size_t before = count_box_less(box, cell, counts);
  for (int64_t n = 0; n <= box->most[last]; n++) {
    int64_t left = n - counts[last];
    int64_t total = from[before + (size_t)(left > 0 ? left : 0)] + adds;
    if (total >= to[cell + (size_t)n]) continue;
    to[cell + (size_t)n] = total;
    if (choice != NULL) choice[cell + (size_t)n] = name;
  }
}

void count_box_add(const struct count_box *box, const int64_t *from, int64_t *to,
                   const int64_t *counts, int64_t adds, uint32_t *choice, uint32_t name) {
  size_t line = (size_t)box->most[box->kinds - 1] + 1;
  for (size_t cell = 0; cell < box->cells; cell += line)
    add_line(box, from, to, cell, counts, adds, choice, name);
}
