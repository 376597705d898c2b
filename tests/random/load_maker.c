#include "load_maker.h"

#include <math.h>
#include <string.h>

#include "base/random.h"

static int64_t between(uint64_t *random, int64_t low, int64_t high) {
  return low + (int64_t)(random_draw(random) % (uint64_t)(high - low + 1));
}

static double share(uint64_t *random) {
  return (double)(random_draw(random) >> 11) / 9007199254740992.0;
}

static void make_hold(struct made_load *made, uint64_t *random) {
  struct clamp_problem *hold = &made->problem.hold;
  hold->length = MM(300);
  hold->width = MM(200);
  hold->bed_length = MM(380);
  hold->bed_width = MM(260);
  hold->reach = MM(3);
  hold->span = MM(150);
  hold->end = MM(40);
  hold->pitch = MM(25);
  hold->stop[BED_LEFT] = hold->stop[BED_FRONT] = true;
  hold->friction = 300;
  int64_t way = between(random, 0, 19);
  hold->held[BED_LEFT] = hold->held[BED_RIGHT] = way < 12 || way >= 17;
  hold->held[BED_FRONT] = hold->held[BED_BACK] = way >= 12;
  made->choices[0] =
      (struct clamp_choice){.kind = CLAMP_HOLD_DOWN,
                            .width = MM(25),
                            .over = MM(15),
                            .beside = MM(25),
                            .keep_out = MM(3),
                            .count = way >= 12 ? between(random, 10, 12) : between(random, 4, 8),
                            .force = between(random, 0, 1) * 300000};
  hold->force = between(random, 0, 1) * 100000;
  hold->choices = made->choices;
  hold->choice_count = 1;
  if (between(random, 0, 3) == 0) {
    made->choices[1] = made->choices[0];
    made->choices[1].width = MM(40);
    made->choices[1].over = MM(12);
    made->choices[1].count = 4;
    made->choices[1].clamp = 1;
    hold->choice_count = 2;
  }
  made->problem.gap = MM(12);
  made->problem.edge = MM(11) + MM(1) / 2;
}

/* Mean area so that all parts together take a drawn share of the room. */
static void make_items(struct made_load *made, uint64_t *random, bool rounds) {
  struct load_problem *problem = &made->problem;
  double room = (double)(problem->hold.length - 2 * problem->edge + problem->gap) *
                (double)(problem->hold.width - 2 * problem->edge + problem->gap);
  int parts = (int)between(random, 4, 16);
  double mean = (0.5 + 0.9 * share(random)) * room / parts;
  bool by_area = between(random, 0, 1) == 0;
  double area = 0;
  problem->items = made->items;
  for (made->parts = 0; made->parts < parts;) {
    struct load_item *item = &made->items[problem->item_count++];
    double grown = mean * (0.4 + 1.2 * share(random));
    double ratio = 1 + 2 * share(random);
    double across = sqrt(grown / ratio);
    item->round = rounds && between(random, 0, 2) == 0;
    if (item->round) ratio = 1;
    item->length = (length_t)(across * ratio / (double)MM(1)) * MM(1) - problem->gap;
    item->width = (length_t)(across / (double)MM(1)) * MM(1) - problem->gap;
    if (item->width < MM(10)) item->width = MM(10);
    if (item->length < MM(10)) item->length = MM(10);
    if (between(random, 0, 3) == 0) {
      length_t length = item->length;
      item->length = item->width;
      item->width = length;
    }
    if (item->round) item->width = item->length;
    item->turns = between(random, 0, 1) == 0;
    item->most = between(random, 1, 3);
    if (item->most > parts - made->parts) item->most = parts - made->parts;
    double worth = (double)item->length * (double)item->width / (double)MM(1) / (double)MM(1);
    item->worth = (int64_t)(worth * (by_area ? 1.0 : 0.8 + 0.4 * share(random)));
    made->parts += (int)item->most;
    area += (double)item->most * (double)(item->length + problem->gap) *
            (double)(item->width + problem->gap);
  }
  made->offered = area / room;
}

static void make_wild(struct made_load *made, uint64_t *random) {
  struct clamp_problem *hold = &made->problem.hold;
  hold->length = MM(between(random, 100, 360));
  hold->width = MM(between(random, 80, 260));
  hold->bed_length = hold->length + MM(between(random, 0, 80));
  hold->bed_width = hold->width + MM(between(random, 0, 80));
  hold->span = MM(between(random, 60, 200));
  hold->end = MM(between(random, 10, 60));
  hold->pitch = between(random, 0, 3) == 0 ? 0 : MM(between(random, 5, 40));
  for (size_t s = 0; s < BED_SIDES; s++) {
    hold->held[s] = between(random, 0, 1) == 0;
    hold->stop[s] = between(random, 0, 2) == 0;
  }
  hold->choice_count = (size_t)between(random, 1, 3);
  for (size_t c = 0; c < hold->choice_count; c++) {
    bool side = between(random, 0, 2) == 0;
    made->choices[c] = (struct clamp_choice){
        .kind = side ? CLAMP_SIDE : CLAMP_HOLD_DOWN,
        .width = MM(between(random, 10, 45)),
        .over = side ? 0 : MM(between(random, 5, 30)),
        .beside = MM(between(random, 0, 30)),
        .keep_out = MM(between(random, 0, 15)),
        .count = between(random, 1, 8),
        .force = between(random, 0, 3) == 0 ? 0 : between(random, 50, 500) * 1000,
        .clamp = c};
  }
  hold->force = between(random, 0, 600000);
  made->problem.gap = MM(between(random, 0, 20));
  made->problem.edge = MM(between(random, 3, 20));
  hold->reach = MM(between(random, 0, 6));
}

/* Everything on a grid of 10 mm, so that layouts can be counted. */
static void make_small(struct made_load *made, uint64_t *random) {
  struct clamp_problem *hold = &made->problem.hold;
  hold->length = MM(10 * between(random, 6, 10));
  hold->width = MM(10 * between(random, 5, 7));
  hold->bed_length = hold->length + MM(40);
  hold->bed_width = hold->width + MM(40);
  hold->pitch = MM(10);
  hold->span = MM(10 * between(random, 2, 6));
  hold->end = MM(10 * between(random, 1, 2));
  hold->reach = 0;
  bool ends = between(random, 0, 3) != 0;
  hold->held[BED_LEFT] = hold->held[BED_RIGHT] = ends;
  hold->held[BED_FRONT] = hold->held[BED_BACK] = !ends || between(random, 0, 3) == 0;
  made->choices[0].width = MM(10 * between(random, 1, 2));
  made->choices[0].over = MM(10);
  made->choices[0].beside = MM(10);
  made->choices[0].keep_out = MM(10 * between(random, 0, 1));
  made->choices[0].count = between(random, 3, 9);
  hold->choice_count = 1;
  made->problem.gap = MM(10 * between(random, 0, 1));
  made->problem.edge = MM(10 * between(random, 0, 1));
  made->problem.items = made->items;
  made->problem.item_count = (size_t)between(random, 1, 4);
  for (size_t i = 0; i < made->problem.item_count; i++) {
    struct load_item *item = &made->items[i];
    item->length = MM(10 * between(random, 1, 5));
    item->width = MM(10 * between(random, 1, 4));
    item->turns = between(random, 0, 1) == 0;
    item->most = between(random, 1, 2);
    item->worth = item->length * item->width / MM(10) / MM(10) * 10 + between(random, 0, 9);
    made->parts += (int)item->most;
  }
}

void make_load(struct made_load *made, enum made_kind kind, uint64_t seed) {
  uint64_t random = seed * 1000003 + (uint64_t)kind;
  memset(made, 0, sizeof *made);
  make_hold(made, &random);
  if (kind == MADE_WILD) make_wild(made, &random);
  if (kind == MADE_SMALL) {
    made->choices[1] = (struct clamp_choice){.kind = CLAMP_SIDE};
    make_small(made, &random);
    return;
  }
  bool rounds = kind != MADE_PLAIN && between(&random, 0, 4) == 0;
  make_items(made, &random, rounds);
}
