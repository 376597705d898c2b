#include "load_check.h"

#include <stdlib.h>
#include <string.h>

struct box {
  length_t x0, y0, x1, y1;
};

static bool apart(struct box a, struct box b, length_t gap) {
  return a.x1 + gap <= b.x0 || b.x1 + gap <= a.x0 || a.y1 + gap <= b.y0 || b.y1 + gap <= a.y0;
}

static struct box outline(const struct load_laid *laid) {
  return (struct box){laid->x, laid->y, laid->x + laid->length, laid->y + laid->width};
}

static const char *check_parts(const struct load_problem *problem,
                               const struct load_answer *answer) {
  int64_t worth = 0;
  for (size_t i = 0; i < problem->item_count; i++) {
    int64_t count = 0;
    for (size_t j = 0; j < answer->laid_count; j++) count += answer->laid[j].item == i;
    if (count > 0 && count > problem->items[i].most) return "more copies than there are";
    worth += count * problem->items[i].worth;
  }
  if (worth != answer->worth) return "worth does not add up";
  for (size_t i = 0; i < answer->laid_count; i++) {
    const struct load_laid *laid = &answer->laid[i];
    if (laid->item >= problem->item_count) return "no such item";
    const struct load_item *item = &problem->items[laid->item];
    if (laid->turned && !item->turns) return "turned though it may not";
    if (laid->length != (laid->turned ? item->width : item->length) ||
        laid->width != (laid->turned ? item->length : item->width))
      return "not the item's size";
    struct box box = outline(laid);
    if (box.x0 < problem->edge || box.y0 < problem->edge ||
        box.x1 > problem->hold.length - problem->edge ||
        box.y1 > problem->hold.width - problem->edge)
      return "too near the edge";
    for (size_t j = 0; j < i; j++)
      if (!apart(box, outline(&answer->laid[j]), problem->gap)) return "parts too near";
  }
  return NULL;
}

static bool path_meets(const struct load_problem *problem, const struct load_laid *laid,
                       struct box keep_out) {
  length_t reach = problem->hold.reach;
  struct box box = outline(laid);
  if (!problem->items[laid->item].round) {
    struct box path = {box.x0 - reach, box.y0 - reach, box.x1 + reach, box.y1 + reach};
    return !apart(path, keep_out, 0);
  }
  double x = (double)(box.x0 + box.x1) / 2;
  double y = (double)(box.y0 + box.y1) / 2;
  double dx = x < (double)keep_out.x0   ? (double)keep_out.x0 - x
              : x > (double)keep_out.x1 ? x - (double)keep_out.x1
                                        : 0;
  double dy = y < (double)keep_out.y0   ? (double)keep_out.y0 - y
              : y > (double)keep_out.y1 ? y - (double)keep_out.y1
                                        : 0;
  double radius = (double)(box.x1 - box.x0) / 2 + (double)reach;
  return dx * dx + dy * dy < radius * radius * (1 - 1e-12);
}

static const struct clamp_choice *choice_of(const struct clamp_problem *hold, size_t clamp) {
  for (size_t c = 0; c < hold->choice_count; c++)
    if (hold->choices[c].clamp == clamp) return &hold->choices[c];
  return NULL;
}

static bool is_upright(enum bed_side side) { return side == BED_LEFT || side == BED_RIGHT; }

static length_t begin_of(const struct held_clamp *clamp) {
  return is_upright(clamp->side) ? clamp->y : clamp->x;
}

static length_t along(const struct held_clamp *clamp) {
  return is_upright(clamp->side) ? clamp->width : clamp->length;
}

static length_t whole_of(const struct clamp_problem *hold, enum bed_side side) {
  return is_upright(side) ? hold->width : hold->length;
}

static struct box body(const struct held_clamp *clamp) {
  return (struct box){clamp->x, clamp->y, clamp->x + clamp->length, clamp->y + clamp->width};
}

static const char *check_clamp(const struct load_problem *problem, const struct load_answer *answer,
                               const struct held_clamp *clamp) {
  const struct clamp_problem *hold = &problem->hold;
  const struct clamp_choice *choice = choice_of(hold, clamp->clamp);
  if (choice == NULL) return "no such clamp";
  struct box box = body(clamp);
  struct box wanted = {-choice->beside, box.y0, choice->over, box.y0 + choice->width};
  if (clamp->side == BED_RIGHT) {
    wanted.x0 = hold->length - choice->over;
    wanted.x1 = hold->length + choice->beside;
  } else if (clamp->side == BED_FRONT) {
    wanted = (struct box){box.x0, -choice->beside, box.x0 + choice->width, choice->over};
  } else if (clamp->side == BED_BACK) {
    wanted = (struct box){box.x0, hold->width - choice->over, box.x0 + choice->width,
                          hold->width + choice->beside};
  }
  if (memcmp(&box, &wanted, sizeof box) != 0) return "not the clamp's body";
  if (clamp->keep_out != choice->keep_out) return "not the clamp's keep-out";
  length_t begin = begin_of(clamp);
  length_t whole = whole_of(hold, clamp->side);
  if (begin < 0 || begin + choice->width > whole) return "clamp beyond the side";
  bool far = is_upright(clamp->side) ? hold->stop[BED_BACK] && !hold->stop[BED_FRONT]
                                     : hold->stop[BED_RIGHT] && !hold->stop[BED_LEFT];
  if (hold->pitch > 0 && (far ? whole - choice->width - begin : begin) % hold->pitch != 0)
    return "clamp off its places";
  length_t grown = choice->keep_out;
  struct box keep_out = {box.x0 - grown, box.y0 - grown, box.x1 + grown, box.y1 + grown};
  for (size_t i = 0; i < answer->laid_count; i++)
    if (path_meets(problem, &answer->laid[i], keep_out)) return "cutter path meets a clamp";
  for (size_t i = 0; i < answer->clamp_count; i++)
    if (&answer->clamps[i] != clamp && !apart(body(&answer->clamps[i]), box, 0))
      return "clamps meet";
  return NULL;
}

struct on_side {
  size_t count;
  bool side_clamps, hold_downs;
};

static struct on_side count_side(const struct clamp_problem *hold, const struct load_answer *answer,
                                 enum bed_side side) {
  struct on_side on = {0};
  for (size_t i = 0; i < answer->clamp_count; i++) {
    if (answer->clamps[i].side != side) continue;
    on.count++;
    if (choice_of(hold, answer->clamps[i].clamp)->kind == CLAMP_SIDE)
      on.side_clamps = true;
    else
      on.hold_downs = true;
  }
  return on;
}

/* Every place along the side within reach of a clamp, walked clamp by clamp. */
static bool side_covered(const struct clamp_problem *hold, const struct load_answer *answer,
                         enum bed_side side) {
  length_t held_to = -1;
  for (;;) {
    const struct held_clamp *next = NULL;
    for (size_t i = 0; i < answer->clamp_count; i++) {
      const struct held_clamp *clamp = &answer->clamps[i];
      if (clamp->side == side && begin_of(clamp) >= held_to &&
          (next == NULL || begin_of(clamp) < begin_of(next)))
        next = clamp;
    }
    if (next == NULL) break;
    if (begin_of(next) > (held_to < 0 ? hold->end : held_to + hold->span)) return false;
    held_to = begin_of(next) + along(next);
  }
  return held_to >= 0 && held_to >= whole_of(hold, side) - hold->end;
}

static bool stands_opposite(const struct load_answer *answer, const struct held_clamp *clamp,
                            enum bed_side other) {
  for (size_t i = 0; i < answer->clamp_count; i++) {
    const struct held_clamp *facing = &answer->clamps[i];
    if (facing->side != other) continue;
    length_t low = begin_of(clamp) > begin_of(facing) ? begin_of(clamp) : begin_of(facing);
    length_t high = begin_of(clamp) + along(clamp);
    if (begin_of(facing) + along(facing) < high) high = begin_of(facing) + along(facing);
    if (2 * (high - low) >= along(clamp)) return true;
  }
  return false;
}

static const char *check_pair(const struct clamp_problem *hold, const struct load_answer *answer,
                              enum bed_side a, enum bed_side b) {
  struct on_side on_a = count_side(hold, answer, a);
  struct on_side on_b = count_side(hold, answer, b);
  bool pushed = on_a.side_clamps || on_b.side_clamps;
  if (pushed && (on_a.hold_downs || on_b.hold_downs)) return "kinds mixed";
  bool stopped = !on_a.hold_downs && !on_b.hold_downs;
  for (int i = 0; i < 2; i++) {
    enum bed_side side = i == 0 ? a : b;
    if (!hold->held[side] || (stopped && hold->stop[side])) continue;
    if (!side_covered(hold, answer, side)) return "side not held";
  }
  if (hold->held[a] && hold->held[b] && on_a.hold_downs != on_b.hold_downs && !stopped)
    return "one side held alone";
  if (hold->held[a] && hold->held[b] && on_a.hold_downs &&
      llabs((long long)on_a.count - (long long)on_b.count) > 1)
    return "hold-downs out of balance";
  for (size_t i = 0; i < answer->clamp_count; i++) {
    const struct held_clamp *clamp = &answer->clamps[i];
    if (clamp->side != a && clamp->side != b) continue;
    enum bed_side other = clamp->side == a ? b : a;
    if (choice_of(hold, clamp->clamp)->kind == CLAMP_SIDE && !hold->stop[other] &&
        !stands_opposite(answer, clamp, other))
      return "nothing opposite a side clamp";
  }
  return NULL;
}

static const char *check_sums(const struct clamp_problem *hold, const struct load_answer *answer) {
  length_t low[2] = {0, 0};
  length_t high[2] = {hold->length, hold->width};
  int64_t force = 0;
  bool known = true;
  for (size_t i = 0; i < answer->clamp_count; i++) {
    const struct held_clamp *clamp = &answer->clamps[i];
    const struct clamp_choice *choice = choice_of(hold, clamp->clamp);
    int64_t count = 0;
    for (size_t j = 0; j < answer->clamp_count; j++)
      count += answer->clamps[j].clamp == clamp->clamp;
    if (count > choice->count) return "more clamps than there are";
    if (choice->force == 0) known = false;
    enum bed_side other = (enum bed_side)((int)clamp->side ^ 1);
    bool paired = choice->kind == CLAMP_SIDE && !hold->stop[other];
    if (!paired || (clamp->side == BED_LEFT || clamp->side == BED_FRONT)) force += choice->force;
    struct box box = body(clamp);
    if (box.x0 < low[0]) low[0] = box.x0;
    if (box.y0 < low[1]) low[1] = box.y0;
    if (box.x1 > high[0]) high[0] = box.x1;
    if (box.y1 > high[1]) high[1] = box.y1;
  }
  if (high[0] - low[0] > hold->bed_length || high[1] - low[1] > hold->bed_width)
    return "beyond the bed";
  bool any = false;
  for (size_t s = 0; s < BED_SIDES; s++) any |= hold->held[s];
  if (any && known && 2 * hold->friction * force < 1000 * hold->force) return "held too loosely";
  return NULL;
}

const char *check_load(const struct load_problem *problem, const struct load_answer *answer) {
  const struct clamp_problem *hold = &problem->hold;
  if (answer->bound < answer->worth) return "bound below worth";
  if (!answer->held) return answer->laid_count == 0 ? NULL : "parts laid and nothing holds";
  if (answer->proved != (answer->bound == answer->worth)) return "proof and bound disagree";
  const char *fault = check_parts(problem, answer);
  for (size_t i = 0; i < answer->clamp_count && fault == NULL; i++)
    fault = check_clamp(problem, answer, &answer->clamps[i]);
  if (fault == NULL) fault = check_pair(hold, answer, BED_LEFT, BED_RIGHT);
  if (fault == NULL) fault = check_pair(hold, answer, BED_FRONT, BED_BACK);
  if (fault == NULL) fault = check_sums(hold, answer);
  return fault;
}
