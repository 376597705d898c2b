#include "size/shelf.h"

#include <stdlib.h>

#include "base/text.h"

static int compare_index(size_t a, size_t b) { return (a > b) - (a < b); }

static int compare_thickness(const void *left, const void *right) {
  const struct shelf_entry *a = left;
  const struct shelf_entry *b = right;
  if (a->thickness != b->thickness) return a->thickness < b->thickness ? -1 : 1;
  return compare_index(a->stock, b->stock);
}

static int compare_wood(const void *left, const void *right) {
  const struct shelf_entry *a = left;
  const struct shelf_entry *b = right;
  int order = text_compare_fold(a->wood, b->wood);
  return order != 0 ? order : compare_thickness(left, right);
}

static int compare_stock(const void *left, const void *right) {
  return compare_index(*(const size_t *)left, *(const size_t *)right);
}

static void rank_thicknesses(struct shelf *shelf) {
  for (size_t i = 0; i < shelf->count; i++) {
    const struct shelf_entry *entry = &shelf->by_thickness[i];
    if (i == 0 || entry->thickness != entry[-1].thickness) shelf->thickness_count++;
    shelf->thickness_rank[entry->stock] = shelf->thickness_count - 1;
  }
}

void shelf_fill(struct arena *arena, const struct project *project, struct shelf *shelf) {
  size_t count = project->stock_count;
  *shelf = (struct shelf){.count = count};
  shelf->by_wood = ARENA_ARRAY(arena, count, struct shelf_entry);
  shelf->by_thickness = ARENA_ARRAY(arena, count, struct shelf_entry);
  shelf->thickness_rank = ARENA_ARRAY(arena, count, size_t);
  for (size_t s = 0; s < count; s++) {
    const struct stock *stock = &project->stocks[s];
    struct shelf_entry entry = {stock->wood, stock->thickness, s};
    shelf->by_wood[s] = entry;
    shelf->by_thickness[s] = entry;
  }
  if (count == 0) return;
  qsort(shelf->by_wood, count, sizeof *shelf->by_wood, compare_wood);
  qsort(shelf->by_thickness, count, sizeof *shelf->by_thickness, compare_thickness);
  rank_thicknesses(shelf);
}

/* The first entry not before `key`. */
static size_t lower_bound(const struct shelf_entry *entries, size_t count,
                          const struct shelf_entry *key,
                          int (*compare)(const void *, const void *)) {
  size_t low = 0;
  size_t high = count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (compare(&entries[middle], key) < 0)
      low = middle + 1;
    else
      high = middle;
  }
  return low;
}

static size_t find_wood(const struct shelf *shelf, const char *wood, length_t thinnest,
                        length_t thickest, size_t *found) {
  struct shelf_entry key = {wood, thinnest, 0};
  size_t count = 0;
  for (size_t i = lower_bound(shelf->by_wood, shelf->count, &key, compare_wood); i < shelf->count;
       i++) {
    const struct shelf_entry *entry = &shelf->by_wood[i];
    if (entry->thickness > thickest || text_compare_fold(entry->wood, wood) != 0) break;
    found[count++] = entry->stock;
  }
  return count;
}

static size_t find_any(const struct shelf *shelf, length_t thinnest, length_t thickest,
                       size_t *found) {
  struct shelf_entry key = {"", thinnest, 0};
  size_t count = 0;
  for (size_t i = lower_bound(shelf->by_thickness, shelf->count, &key, compare_thickness);
       i < shelf->count && shelf->by_thickness[i].thickness <= thickest; i++)
    found[count++] = shelf->by_thickness[i].stock;
  return count;
}

static bool named_before(const struct part *part, size_t wood) {
  for (size_t i = 0; i < wood; i++)
    if (text_compare_fold(part->woods[i], part->woods[wood]) == 0) return true;
  return false;
}

size_t shelf_find(const struct shelf *shelf, const struct part *part, length_t thinnest,
                  length_t thickest, size_t *found) {
  size_t count = 0;
  if (part->wood_count == 0) count = find_any(shelf, thinnest, thickest, found);
  for (size_t w = 0; w < part->wood_count; w++)
    if (!named_before(part, w))
      count += find_wood(shelf, part->woods[w], thinnest, thickest, found + count);
  if (count > 1) qsort(found, count, sizeof *found, compare_stock);
  return count;
}
