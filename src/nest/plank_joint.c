#include "nest/plank_joint.h"

#include <string.h>

/* Cells of the tables of all views together; kinds; steps of one question. */
enum { CELLS_MOST = 2000000, KINDS_MOST = 8, QUESTION_STEPS = 2000000 };

enum answer { FITS, FITS_NOT, OPEN };

struct joint {
  const struct count_box *box;
  const struct plank_maker *makers; /* of one size each, by the first kind they have */
  size_t maker_count;
  size_t views;
  const int64_t *takes; /* [maker][view] */
  const int64_t *room;  /* per view */
  const int64_t *least; /* [cell][view]: what its numbers take at least */
  uint16_t *pieces;
  bool *fits;                   /* cells whose pieces fit, or are not known not to */
  size_t first[KINDS_MOST + 1]; /* makers whose first kind is this one, or a later one */
  size_t last;                  /* view that refuted last */
  int64_t steps;
};

/* ---- makers, one for each size ---- */

static size_t first_kind(const struct plank_maker *maker) {
  size_t kind = 0;
  while (maker->counts[kind] == 0) kind++;
  return kind;
}

static struct plank split_sizes(const struct plank *plank) {
  struct plank split = *plank;
  size_t sizes = 0;
  for (size_t m = 0; m < plank->maker_count; m++) sizes += plank->makers[m].size_count;
  split.makers = ARENA_ARRAY(plank->scratch, sizes + 1, struct plank_maker);
  split.maker_count = 0;
  for (size_t kind = 0; kind < plank->kinds; kind++)
    for (size_t m = 0; m < plank->maker_count; m++) {
      if (first_kind(&plank->makers[m]) != kind) continue;
      for (size_t i = 0; i < plank->makers[m].size_count; i++) {
        struct plank_maker maker = plank->makers[m];
        maker.sizes += i;
        maker.size_count = 1;
        split.makers[split.maker_count++] = maker;
      }
    }
  return split;
}

static void look_at_all(const struct plank *split, const struct plank_pairs *pairs,
                        struct joint *joint) {
  struct arena *scratch = split->scratch;
  int64_t *takes = ARENA_ARRAY(scratch, split->maker_count * pairs->count, int64_t);
  int64_t *room = ARENA_ARRAY(scratch, pairs->count, int64_t);
  int64_t *least = ARENA_ARRAY(scratch, joint->box->cells * pairs->count, int64_t);
  struct plank_view view = {ARENA_ARRAY(scratch, split->maker_count, int64_t), 0};
  int64_t *table = count_box_table(scratch, joint->box);
  for (size_t v = 0; v < pairs->count; v++) {
    plank_look(split, &pairs->along[v], &pairs->across[v], &view);
    room[v] = view.room;
    for (size_t c = 1; c < joint->box->cells; c++) table[c] = COUNT_NEVER;
    for (size_t m = 0; m < split->maker_count; m++) {
      takes[m * pairs->count + v] = view.takes[m];
      count_box_add(joint->box, table, table, split->makers[m].counts, view.takes[m], NULL, 0);
    }
    for (size_t c = 0; c < joint->box->cells; c++) least[c * pairs->count + v] = table[c];
  }
  joint->views = pairs->count;
  joint->takes = takes;
  joint->room = room;
  joint->least = least;
}

/* ---- one set of pieces ---- */

/* Whether what is left of the views has room for a piece, and then for the numbers of a cell; sets
 * the rest. The view that told last is asked first. */
static bool has_room(struct joint *joint, const int64_t *left, const int64_t *takes, size_t cell,
                     int64_t *rest) {
  const int64_t *least = joint->least + cell * joint->views;
  size_t last = joint->last;
  joint->steps -= 1;
  if (left[last] - takes[last] < least[last]) return false;
  joint->steps -= (int64_t)joint->views / 4;
  int64_t lacking = 0;
  for (size_t v = 0; v < joint->views; v++) rest[v] = left[v] - takes[v];
  for (size_t v = 0; v < joint->views; v++) lacking |= rest[v] - least[v];
  if (lacking >= 0) return true;
  for (joint->last = 0; rest[joint->last] >= least[joint->last];) joint->last++;
  return false;
}

/* Numbers still wanted, and their cell. */
struct wanted {
  size_t cell;
  int64_t counts[KINDS_MOST];
};

static struct wanted less(const struct joint *joint, const struct wanted *wanted,
                          const int64_t *counts) {
  struct wanted rest = {.cell = 0};
  for (size_t k = 0; k < joint->box->kinds; k++) {
    if (wanted->counts[k] <= counts[k]) continue;
    rest.counts[k] = wanted->counts[k] - counts[k];
    rest.cell += joint->box->stride[k] * (size_t)rest.counts[k];
  }
  return rest;
}

/* Of sets of pieces only those are looked at that stand in the order of the makers, each with some
 * of the first kind still wanted. */
static enum answer combine(struct joint *joint, const struct wanted *wanted, uint16_t pieces,
                           size_t from, const int64_t *left) {
  if (wanted->cell == 0) return FITS;
  if (joint->pieces[wanted->cell] > pieces) return FITS_NOT;
  if (joint->steps <= 0) return OPEN;
  size_t kind = 0;
  while (wanted->counts[kind] == 0) kind++;
  int64_t rest[PLANK_JOINT_VIEWS_MOST];
  for (size_t m = from; m < joint->first[kind + 1]; m++) {
    if (joint->makers[m].counts[kind] == 0) continue;
    struct wanted then = less(joint, wanted, joint->makers[m].counts);
    if (!has_room(joint, left, joint->takes + m * joint->views, then.cell, rest)) continue;
    enum answer answer = combine(joint, &then, (uint16_t)(pieces - 1), m, rest);
    if (answer != FITS_NOT) return answer;
  }
  return FITS_NOT;
}

static enum answer ask(struct joint *joint, size_t cell, uint16_t pieces, int64_t *steps) {
  struct wanted wanted = {.cell = cell};
  for (size_t k = 0; k < joint->box->kinds; k++)
    wanted.counts[k] = count_box_count(joint->box, cell, k);
  int64_t before = *steps < QUESTION_STEPS ? *steps : QUESTION_STEPS;
  joint->steps = before;
  enum answer answer = combine(joint, &wanted, pieces, 0, joint->room);
  *steps -= before - joint->steps;
  return answer;
}

/* ---- all cells ---- */

/* Has the other at least as much of every kind? */
static bool covers(const struct count_box *box, size_t cell, size_t other) {
  for (size_t k = 0; k < box->kinds; k++)
    if (count_box_count(box, other, k) < count_box_count(box, cell, k)) return false;
  return true;
}

/* More of any kind takes more pieces than the cell, which is not known to fit. */
static bool is_at_the_edge(const struct joint *joint, size_t cell, uint16_t never) {
  const struct count_box *box = joint->box;
  if (joint->fits[cell] || joint->pieces[cell] >= never) return false;
  for (size_t k = 0; k < box->kinds; k++)
    if (count_box_count(box, cell, k) < box->most[k] &&
        joint->pieces[cell + box->stride[k]] <= joint->pieces[cell])
      return false;
  return true;
}

static void raise_from(struct joint *joint, size_t cell, int to) {
  for (size_t c = cell; c < joint->box->cells; c++) {
    if (joint->pieces[c] >= to || !covers(joint->box, cell, c)) continue;
    joint->pieces[c] = (uint16_t)to;
    joint->fits[c] = false;
  }
}

/* Asks once of every cell at the edge, the highest first. True when any was raised: then others
 * may have come to the edge. */
static bool raise_once(struct joint *joint, uint16_t never, int64_t *steps) {
  bool raised = false;
  for (size_t c = joint->box->cells - 1; c > 0 && *steps > 0; c--) {
    if (!is_at_the_edge(joint, c, never)) continue;
    uint16_t pieces = joint->pieces[c];
    enum answer answer = ask(joint, c, pieces, steps);
    if (answer == FITS_NOT)
      raise_from(joint, c, ask(joint, c, never, steps) == FITS_NOT ? never : pieces + 1);
    else
      joint->fits[c] = true;
    raised = raised || answer == FITS_NOT;
  }
  return raised;
}

void plank_joint_raise(const struct plank *plank, const struct plank_pairs *pairs,
                       const struct count_box *box, uint16_t never, int64_t *steps,
                       uint16_t *pieces) {
  struct arena_mark mark = arena_mark(plank->scratch);
  if (pairs->count * box->cells <= CELLS_MOST && box->kinds <= KINDS_MOST) {
    struct plank split = split_sizes(plank);
    struct joint joint = {.box = box,
                          .makers = split.makers,
                          .maker_count = split.maker_count,
                          .pieces = pieces,
                          .fits = ARENA_ARRAY(plank->scratch, box->cells, bool)};
    look_at_all(&split, pairs, &joint);
    for (size_t kind = 0; kind <= box->kinds; kind++)
      while (joint.first[kind] < split.maker_count &&
             first_kind(&split.makers[joint.first[kind]]) < kind)
        joint.first[kind]++;
    while (*steps > 0 && raise_once(&joint, never, steps)) {
    }
  }
  arena_release(plank->scratch, mark);
}
