/* A free layout of some sheets in the making: pieces come and go, and what changed since the last
 * commit can be undone. Lives in an arena. */
#ifndef BLANKWRIGHT_NEST_FREE_STATE_H
#define BLANKWRIGHT_NEST_FREE_STATE_H

#include "nest/free_job.h"

#define FREE_NOWHERE UINT32_MAX

struct free_piece {
  struct free_rect place; /* grown */
  uint32_t item;
  uint32_t option;
};

struct free_sheet {
  uint32_t stock;
  bool touched; /* since the last commit */
  struct free_piece *pieces;
  size_t count, room;
  struct free_rects rooms;
  int32_t widest, tallest; /* of its rooms */
  int64_t area;            /* left over, in the search's measure */
  int64_t gathered; /* of a convex function of area, so that one large rest beats two halves */
};

/* What a layout is judged by: first what found no place, then how far the rest is gathered. */
struct free_score {
  int64_t unplaced; /* penalties of the open items */
  int64_t gathered;
};

struct free_state {
  struct arena *arena;
  const struct free_job *job;
  struct free_sheet **sheets;
  size_t sheet_count, sheet_room;
  uint32_t *sheet_of; /* per item: a sheet, or FREE_NOWHERE */
  int64_t *penalty;   /* per item: what it adds to the score without a place; its area at first */
  uint32_t *open;     /* items without a place, in no order */
  size_t open_count;
  struct free_score score;
  /* to undo with */
  struct free_sheet **saved; /* as they were, of the sheets in touched[] */
  size_t *touched;
  size_t touched_count;
  struct free_sheet **spare;
  size_t spare_count, spare_room;
  uint32_t *old_open;
  size_t old_open_count;
  struct free_score old_score;
  /* working space */
  struct free_rects fresh;
  struct free_gift gift;
  int64_t steps;
};

static inline bool free_score_better(struct free_score a, struct free_score b) {
  return a.unplaced != b.unplaced ? a.unplaced < b.unplaced : a.gathered > b.gathered;
}

/* Empty sheets of the stocks given (sheet_count may be 0), all items open. */
struct free_state *free_state_create(struct arena *arena, const struct free_job *job,
                                     const uint32_t *stocks, size_t sheet_count);

/* Lays an open item: `shape` of the sheet's stock at its lower left corner (x, y), which must be
 * free. The item stays in open[] until free_state_judge. */
void free_state_lay(struct free_state *state, size_t sheet, uint32_t item,
                    const struct free_shape *shape, int32_t x, int32_t y);

/* Takes a piece up again; its item joins open[]. The sheet's last piece moves to its index. */
void free_state_take_up(struct free_state *state, size_t sheet, size_t piece);

/* All pieces of a sheet. */
void free_state_clear(struct free_state *state, size_t sheet);

/* After changes: drops laid items from open[] and works the score out. */
void free_state_judge(struct free_state *state);

/* Area of the open items, in the search's measure. */
int64_t free_state_open_area(const struct free_state *state);

/* Keeps the changes since the last commit, or undoes them. */
void free_state_commit(struct free_state *state);
void free_state_undo(struct free_state *state);

/* Adds an empty sheet and returns its index. Nothing may have been touched since the last commit.
 */
size_t free_state_add_sheet(struct free_state *state, uint32_t stock);

/* Takes a sheet out of the layout, its items are open then; the last sheet moves to its index.
 * Commits. */
void free_state_drop_sheet(struct free_state *state, size_t sheet);

#endif
