#include "load_model.h"

#include <stdlib.h>

/* A rectangle of cells that a column covers. */
struct cover {
  int x, y, length, width;
  char name[64];
  size_t item;
  bool clamp;
  enum bed_side side;
  length_t begin;
};

struct covers {
  struct cover *items;
  size_t count, room;
};

static struct cover *add_cover(struct covers *covers) {
  if (covers->count == covers->room) {
    covers->room = covers->room * 2 + 64;
    covers->items = realloc(covers->items, covers->room * sizeof *covers->items);
    if (covers->items == NULL) abort();
  }
  return &covers->items[covers->count++];
}

static void list_parts(const struct load_problem *problem, length_t raster, int length, int width,
                       struct covers *covers) {
  for (size_t i = 0; i < problem->item_count; i++)
    for (int turned = 0; turned < (problem->items[i].turns ? 2 : 1); turned++) {
      const struct load_item *item = &problem->items[i];
      int l = (int)(((turned ? item->width : item->length) + problem->gap) / raster);
      int w = (int)(((turned ? item->length : item->width) + problem->gap) / raster);
      for (int x = 0; x + l <= length; x++)
        for (int y = 0; y + w <= width; y++) {
          struct cover *cover = add_cover(covers);
          *cover = (struct cover){.x = x, .y = y, .length = l, .width = w, .item = i};
          snprintf(cover->name, sizeof cover->name, "p%zu_%d_%d_%d", i, turned, x, y);
        }
    }
}

static void list_clamps(const struct load_problem *problem, length_t raster, int length, int width,
                        struct covers *covers) {
  const struct clamp_choice *choice = &problem->hold.choices[0];
  length_t grown = choice->keep_out + problem->hold.reach;
  int deep = (int)((choice->over + grown - problem->edge) / raster);
  for (int side = 0; side < 2; side++)
    for (length_t begin = 0; begin + choice->width <= problem->hold.width;
         begin += problem->hold.pitch) {
      int low = (int)((begin - grown - problem->edge + problem->gap) / raster);
      int high = (int)((begin + choice->width + grown - problem->edge) / raster);
      if (low < 0) low = 0;
      if (high > width) high = width;
      struct cover *cover = add_cover(covers);
      *cover = (struct cover){.x = side == 0 ? 0 : length - deep,
                              .y = low,
                              .length = deep,
                              .width = high - low,
                              .clamp = true,
                              .side = (enum bed_side)side,
                              .begin = begin};
      snprintf(cover->name, sizeof cover->name, "c%d_%lld", side,
               (long long)(begin / problem->hold.pitch));
    }
}

static void write_cells(const struct covers *covers, int length, int width, FILE *file) {
  for (int x = 0; x < length; x++)
    for (int y = 0; y < width; y++) {
      bool any = false;
      for (size_t i = 0; i < covers->count; i++) {
        const struct cover *cover = &covers->items[i];
        if (x < cover->x || x >= cover->x + cover->length || y < cover->y ||
            y >= cover->y + cover->width)
          continue;
        fprintf(file, "%s + %s\n", any ? "" : " ", cover->name);
        any = true;
      }
      if (any) fprintf(file, " <= 1\n");
    }
}

static void write_sum(const struct covers *covers, bool clamps, size_t item, FILE *file) {
  for (size_t i = 0; i < covers->count; i++)
    if (covers->items[i].clamp == clamps && (clamps || covers->items[i].item == item))
      fprintf(file, " + %s\n", covers->items[i].name);
}

/* First clamps, each clamp's follower, balance, count. */
static void write_rules(const struct load_problem *problem, const struct covers *covers,
                        FILE *file) {
  const struct clamp_problem *hold = &problem->hold;
  length_t long_ = hold->choices[0].width;
  for (int side = 0; side < 2; side++) {
    for (size_t i = 0; i < covers->count; i++)
      if (covers->items[i].clamp && (int)covers->items[i].side == side &&
          covers->items[i].begin <= hold->end)
        fprintf(file, " + %s\n", covers->items[i].name);
    fprintf(file, " >= 1\n");
  }
  for (size_t i = 0; i < covers->count; i++) {
    const struct cover *cover = &covers->items[i];
    if (!cover->clamp || cover->begin + long_ >= hold->width - hold->end) continue;
    fprintf(file, " - %s\n", cover->name);
    for (size_t j = 0; j < covers->count; j++) {
      const struct cover *next = &covers->items[j];
      if (!next->clamp || next->side != cover->side) continue;
      length_t between = next->begin - cover->begin - long_;
      if (between >= 0 && between <= hold->span) fprintf(file, " + %s\n", next->name);
    }
    fprintf(file, " >= 0\n");
  }
  for (int sign = 0; sign < 2; sign++) {
    for (size_t i = 0; i < covers->count; i++)
      if (covers->items[i].clamp)
        fprintf(file, " %c %s\n", ((int)covers->items[i].side ^ sign) != 0 ? '+' : '-',
                covers->items[i].name);
    fprintf(file, " <= 1\n");
  }
  write_sum(covers, true, 0, file);
  fprintf(file, " <= %lld\n", (long long)hold->choices[0].count);
}

size_t write_load_model(const struct load_problem *problem, length_t raster, FILE *file) {
  struct covers covers = {0};
  int length = (int)((problem->hold.length - 2 * problem->edge + problem->gap) / raster);
  int width = (int)((problem->hold.width - 2 * problem->edge + problem->gap) / raster);
  list_parts(problem, raster, length, width, &covers);
  list_clamps(problem, raster, length, width, &covers);
  fprintf(file, "Maximize\n worth:\n");
  for (size_t i = 0; i < covers.count; i++)
    if (!covers.items[i].clamp)
      fprintf(file, " + %lld %s\n", (long long)problem->items[covers.items[i].item].worth,
              covers.items[i].name);
  fprintf(file, "Subject To\n");
  write_cells(&covers, length, width, file);
  for (size_t i = 0; i < problem->item_count; i++) {
    bool any = false;
    for (size_t c = 0; c < covers.count && !any; c++)
      any = !covers.items[c].clamp && covers.items[c].item == i;
    if (!any) continue;
    write_sum(&covers, false, i, file);
    fprintf(file, " <= %lld\n", (long long)problem->items[i].most);
  }
  write_rules(problem, &covers, file);
  fprintf(file, "Binary\n");
  for (size_t i = 0; i < covers.count; i++) fprintf(file, " %s\n", covers.items[i].name);
  fprintf(file, "End\n");
  size_t count = covers.count;
  free(covers.items);
  return count;
}
