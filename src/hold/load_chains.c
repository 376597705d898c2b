#include "hold/load_chains.h"

#include <string.h>

/* Ends of a chain that lie clear of the corner are not told apart. */
enum { CLEAR = LOAD_CORNERS_MOST };

/* Chains whose ends are of the same classes: the counts they can have. */
struct option {
  size_t first, last;
  uint64_t blocked[2]; /* classes around the corners that meet the first, the last */
  uint64_t counts;
  uint64_t kept;  /* of them, those no option that blocks less has */
  uint64_t least; /* of them, those none of which has another's clamps and more */
  size_t next;    /* option that begins elsewhere */
};

struct options {
  struct option items[LOAD_OPTIONS_MOST];
  size_t count;
};

/* What is tried for one side of the coupling. */
struct taken {
  size_t option;
  unsigned number;
};

struct coupling {
  const struct load_clamps *clamps;
  const struct load_open *open;
  bool any;
  enum clamp_kind kind[2]; /* of left and right, of front and back */
  bool stands[BED_SIDES];  /* clamps stand on the side */
  bool mirrored[2];        /* side clamps stand in pairs */
  bool split;              /* corners matter */
  load_bits usable[BED_SIDES];
  struct options options[BED_SIDES];
  struct taken taken[BED_SIDES];
  int64_t left[LOAD_CHOICES_MOST]; /* clamps of each choice not yet taken */
  int64_t left_of_kind[2];
  int64_t force; /* of what is taken */
  struct {
    int64_t least[2];    /* clamps of each kind they take */
    int64_t force;       /* the most they add */
  } rest[BED_SIDES + 1]; /* of the sides from there on */
  size_t best;           /* clamps; SIZE_MAX: none found */
  bool least;            /* only chains that take the least of each clamp are looked at ... */
  bool almost;           /* ... and one fell only by balance or friction */
  int64_t work;
  struct load_stand *result;
};

static const enum bed_side opposite[BED_SIDES] = {BED_RIGHT, BED_LEFT, BED_BACK, BED_FRONT};

static size_t lowest(uint64_t word) { return (size_t)__builtin_ctzll(word); }

/* counts[i]: of the chains that begin in `firsts` and end so far with place i. */
static void run(const struct load_clamps *clamps, size_t side, enum clamp_kind kind,
                load_bits usable, load_bits firsts, uint64_t counts[LOAD_PLACES_MOST]) {
  const struct load_counts *numbers = &clamps->counts[kind];
  const struct load_side *all = &clamps->sides[side];
  for (load_bits rest = usable; rest != 0; rest &= rest - 1) {
    size_t i = load_lowest(rest);
    size_t choice = all->places[i].choice;
    uint64_t before = (firsts & load_bit(i)) != 0 ? 1 : 0;
    for (load_bits earlier = usable & all->before[i]; earlier != 0; earlier &= earlier - 1)
      before |= counts[load_lowest(earlier)];
    counts[i] = (before & numbers->roomy[choice]) << numbers->weight[choice];
  }
}

/* Of a set of numbers of clamps those of which no other has no more of each. */
static uint64_t least_of(const struct load_counts *counts, uint64_t numbers) {
  for (uint64_t rest = numbers; rest != 0; rest = (rest & (rest - 1)) & numbers)
    numbers &= ~counts->more[lowest(rest)];
  return numbers;
}

static void add_option(struct coupling *coupling, size_t side, struct option made) {
  struct options *options = &coupling->options[side];
  if (made.counts == 0 || options->count == LOAD_OPTIONS_MOST) return;
  made.least = least_of(&coupling->clamps->counts[coupling->kind[side / 2]], made.counts);
  options->items[options->count++] = made;
  coupling->work += 20;
}

/* Those of the places that are of a class, or of none. */
static load_bits of_class(load_bits places, const struct load_corner *corner, size_t class) {
  if (class != CLEAR) return places & corner->classes[class];
  for (size_t c = 0; c < corner->count; c++) places &= ~corner->classes[c];
  return places;
}

static load_bits firsts_of(const struct coupling *coupling, size_t side, size_t class) {
  const struct load_side *all = &coupling->clamps->sides[side];
  load_bits firsts = coupling->usable[side] & all->first;
  return coupling->split ? of_class(firsts, &all->low, class) : firsts;
}

static load_bits lasts_of(const struct coupling *coupling, size_t side, size_t class) {
  const struct load_side *all = &coupling->clamps->sides[side];
  load_bits lasts = coupling->usable[side] & all->last;
  return coupling->split ? of_class(lasts, &all->high, class) : lasts;
}

static void add_chains(struct coupling *coupling, size_t side, size_t first) {
  load_bits firsts = firsts_of(coupling, side, first);
  if (firsts == 0) return;
  uint64_t counts[LOAD_PLACES_MOST];
  struct options *options = &coupling->options[side];
  size_t from = options->count;
  run(coupling->clamps, side, coupling->kind[side / 2], coupling->usable[side], firsts, counts);
  coupling->work += 200;
  size_t classes = coupling->split ? coupling->clamps->sides[side].high.count : 0;
  for (size_t class = 0; class <= classes; class ++) {
    size_t last = class < classes ? class : CLEAR;
    struct option made = {.first = first, .last = last};
    for (load_bits rest = lasts_of(coupling, side, last); rest != 0; rest &= rest - 1)
      made.counts |= counts[load_lowest(rest)];
    add_option(coupling, side, made);
  }
  for (; from < options->count; from++) options->items[from].next = options->count;
}

static void list_side(struct coupling *coupling, size_t side) {
  struct options *options = &coupling->options[side];
  options->count = 0;
  if (!coupling->stands[side]) {
    add_option(coupling, side,
               (struct option){.first = CLEAR, .last = CLEAR, .counts = 1, .next = 1});
    return;
  }
  const struct load_side *all = &coupling->clamps->sides[side];
  load_bits open = coupling->open->sides[side];
  if (coupling->mirrored[side / 2]) open &= coupling->open->sides[opposite[side]];
  coupling->usable[side] = open & all->of_kind[coupling->kind[side / 2]];
  size_t classes = coupling->split ? all->low.count : 0;
  for (size_t class = 0; class < classes; class ++) add_chains(coupling, side, class);
  add_chains(coupling, side, CLEAR);
}

/* Do the ends of two chains meet at their corner? */
static bool corner_meets(const struct coupling *coupling, size_t upright, size_t flat) {
  const struct option *a = &coupling->options[upright].items[coupling->taken[upright].option];
  const struct option *b = &coupling->options[flat].items[coupling->taken[flat].option];
  size_t i = flat == BED_BACK ? a->last : a->first;
  size_t j = upright == BED_RIGHT ? b->last : b->first;
  if (i == CLEAR || j == CLEAR) return false;
  return (coupling->clamps->meets[upright - BED_LEFT][flat - BED_FRONT][i] >> j & 1) != 0;
}

static bool pair_fits(struct coupling *coupling, size_t second) {
  const struct clamp_problem *problem = coupling->clamps->problem;
  const struct load_counts *counts = &coupling->clamps->counts[coupling->kind[second / 2]];
  unsigned a = coupling->taken[second - 1].number;
  unsigned b = coupling->taken[second].number;
  if (coupling->mirrored[second / 2] && a != b) return false;
  length_t room = second == BED_RIGHT ? problem->bed_length - problem->length
                                      : problem->bed_width - problem->width;
  if (counts->beside[a] + counts->beside[b] > room) return false;
  if (coupling->kind[second / 2] != CLAMP_HOLD_DOWN || !problem->held[second] ||
      !problem->held[second - 1])
    return true;
  int64_t more = counts->total[a] - counts->total[b];
  if (more >= -1 && more <= 1) return true;
  coupling->almost = true;
  return false;
}

static bool friction_holds(const struct coupling *coupling) {
  const struct clamp_problem *problem = coupling->clamps->problem;
  int64_t force = 0;
  for (size_t side = 0; side < BED_SIDES; side++) {
    const struct load_counts *counts = &coupling->clamps->counts[coupling->kind[side / 2]];
    unsigned number = coupling->taken[side].number;
    if (counts->unknown[number]) return true;
    if (side % 2 == 1 && coupling->mirrored[side / 2]) continue;
    force += counts->force[number];
  }
  return 2 * problem->friction * force >= 1000 * problem->force;
}

/* Takes the chain back from its end, place by place. */
static size_t write_chain(const struct coupling *coupling, size_t side, struct load_stand *stands) {
  const struct load_clamps *clamps = coupling->clamps;
  const struct load_counts *numbers = &clamps->counts[coupling->kind[side / 2]];
  struct option option = coupling->options[side].items[coupling->taken[side].option];
  unsigned number = coupling->taken[side].number;
  uint64_t counts[LOAD_PLACES_MOST];
  load_bits usable = coupling->usable[side];
  const struct load_side *all = &clamps->sides[side];
  load_bits firsts = firsts_of(coupling, side, option.first);
  load_bits ends = lasts_of(coupling, side, option.last);
  run(clamps, side, coupling->kind[side / 2], usable, firsts, counts);
  size_t count = 0;
  while (number != 0) {
    while ((counts[load_lowest(ends)] >> number & 1) == 0) ends &= ends - 1;
    size_t i = load_lowest(ends);
    stands[count++] = (struct load_stand){(enum bed_side)side, i};
    number -= numbers->weight[all->places[i].choice];
    ends = usable & all->before[i];
  }
  return count;
}

static void keep(struct coupling *coupling, int64_t total) {
  if (!friction_holds(coupling)) {
    coupling->almost = true;
    return;
  }
  coupling->best = (size_t)total;
  if (coupling->result == NULL) return;
  size_t count = 0;
  for (size_t side = 0; side < BED_SIDES; side++)
    if (coupling->stands[side]) count += write_chain(coupling, side, coupling->result + count);
}

static bool are_left(const struct coupling *coupling, const uint8_t *numbers) {
  for (size_t c = 0; c < LOAD_CHOICES_MOST; c++)
    if (numbers[c] > coupling->left[c]) return false;
  return true;
}

static bool begins_clear(const struct coupling *coupling, size_t side) {
  return side < BED_FRONT || !coupling->split || !corner_meets(coupling, BED_LEFT, side);
}

static bool ends_clear(const struct coupling *coupling, size_t side) {
  return side < BED_FRONT || !coupling->split || !corner_meets(coupling, BED_RIGHT, side);
}

/* ---- what the sides not yet taken ask for and give ---- */

/* More than is ever asked for: a force that is not known. */
static const int64_t FORCE_ENOUGH = INT64_MAX / 1024;

static int64_t force_counted(const struct coupling *coupling, size_t side, unsigned number) {
  const struct load_counts *counts = &coupling->clamps->counts[coupling->kind[side / 2]];
  if (counts->unknown[number]) return FORCE_ENOUGH;
  return side % 2 == 1 && coupling->mirrored[side / 2] ? 0 : counts->force[number];
}

static void look_ahead(struct coupling *coupling) {
  memset(coupling->rest, 0, sizeof coupling->rest);
  for (size_t side = BED_SIDES; side-- > 0;) {
    const struct load_counts *counts = &coupling->clamps->counts[coupling->kind[side / 2]];
    uint64_t numbers = 0;
    int64_t least = INT64_MAX, force = 0;
    for (size_t o = 0; o < coupling->options[side].count; o++)
      numbers |= coupling->options[side].items[o].counts;
    for (; numbers != 0; numbers &= numbers - 1) {
      unsigned number = (unsigned)lowest(numbers);
      if (counts->total[number] < least) least = counts->total[number];
      if (force_counted(coupling, side, number) > force)
        force = force_counted(coupling, side, number);
    }
    coupling->rest[side] = coupling->rest[side + 1];
    coupling->rest[side].least[coupling->kind[side / 2]] += least;
    coupling->rest[side].force += force;
  }
}

static void take(struct coupling *coupling, size_t side, unsigned number, int times) {
  const struct load_counts *counts = &coupling->clamps->counts[coupling->kind[side / 2]];
  for (size_t c = 0; c < LOAD_CHOICES_MOST; c++)
    coupling->left[c] -= times * (int64_t)counts->digit[number][c];
  coupling->left_of_kind[coupling->kind[side / 2]] -= times * counts->total[number];
  coupling->force += times * force_counted(coupling, side, number);
}

/* Whether the clamps left are enough for the sides from there on, and what they press can be. */
static bool can_end(struct coupling *coupling, size_t side) {
  const struct clamp_problem *problem = coupling->clamps->problem;
  for (size_t kind = 0; kind < 2; kind++)
    if (coupling->left_of_kind[kind] < coupling->rest[side].least[kind]) return false;
  int64_t force = coupling->force + coupling->rest[side].force;
  if (force >= FORCE_ENOUGH || 2 * problem->friction * force >= 1000 * problem->force) return true;
  coupling->almost = true;
  return false;
}

/* Some clamping known, so much work is spent on one with fewer clamps. */
enum { MOST_WORK_FOR_FEWER = 200000 };

static void take_side(struct coupling *coupling, size_t side, int64_t total) {
  bool enough = coupling->any || coupling->work > MOST_WORK_FOR_FEWER;
  if (enough && coupling->best != SIZE_MAX) return;
  if (side == BED_SIDES) {
    keep(coupling, total);
    return;
  }
  const struct load_counts *counts = &coupling->clamps->counts[coupling->kind[side / 2]];
  for (size_t o = 0, next = 0; o < coupling->options[side].count; o = next) {
    const struct option *option = &coupling->options[side].items[o];
    coupling->taken[side].option = o;
    next = option->next;
    if (!begins_clear(coupling, side)) continue;
    next = o + 1;
    uint64_t rest = coupling->least ? option->least : option->counts;
    if (rest == 0 || !ends_clear(coupling, side)) continue;
    for (; rest != 0; rest &= rest - 1) {
      coupling->work += 10;
      unsigned number = (unsigned)lowest(rest);
      int64_t sum = total + counts->total[number];
      if (coupling->best != SIZE_MAX && sum >= (int64_t)coupling->best) continue;
      coupling->taken[side].number = number;
      if (side % 2 == 1 && !pair_fits(coupling, side)) continue;
      if (!are_left(coupling, counts->digit[number])) continue;
      take(coupling, side, number, 1);
      if (can_end(coupling, side + 1)) take_side(coupling, side + 1, sum);
      take(coupling, side, number, -1);
      coupling->taken[side].option = o;
    }
  }
}

/* ---- chains that need not be looked at ---- */

/* Classes that begin or end some chain along the side. */
static uint64_t classes_there(const struct coupling *coupling, size_t side, bool far) {
  const struct options *options = &coupling->options[side];
  uint64_t there = 0;
  for (size_t o = 0; o < options->count; o++) {
    size_t class = far ? options->items[o].last : options->items[o].first;
    if (class != CLEAR) there |= UINT64_C(1) << class;
  }
  return there;
}

static uint64_t blocked_by(const struct coupling *coupling, size_t side, size_t class, bool far) {
  if (class == CLEAR) return 0;
  size_t around = side < BED_FRONT ? BED_FRONT : BED_LEFT;
  if (far) around++;
  uint64_t blocked = 0;
  uint64_t there = classes_there(coupling, around, side % 2 == 1);
  for (; there != 0; there &= there - 1) {
    size_t other = lowest(there);
    uint64_t meets = side < BED_FRONT
                         ? coupling->clamps->meets[side][around - BED_FRONT][class] >> other
                         : coupling->clamps->meets[around][side - BED_FRONT][other] >> class;
    if ((meets & 1) != 0) blocked |= UINT64_C(1) << other;
  }
  return blocked;
}

/* Whether a chain of `less` can stand wherever one of `more` does. */
static bool blocks_less(const struct option *less, const struct option *more) {
  for (size_t end = 0; end < 2; end++)
    if ((less->blocked[end] & ~more->blocked[end]) != 0) return false;
  if (less->blocked[0] != more->blocked[0] || less->blocked[1] != more->blocked[1]) return true;
  return less < more;
}

static void keep_those_with_counts(struct options *options) {
  size_t kept = 0;
  for (size_t o = 0; o < options->count; o++) {
    struct option *option = &options->items[o];
    option->counts = option->kept;
    if (option->counts != 0) options->items[kept++] = *option;
  }
  options->count = kept;
  for (size_t o = kept; o-- > 0;) {
    bool same = o + 1 < kept && options->items[o].first == options->items[o + 1].first;
    options->items[o].next = same ? options->items[o + 1].next : o + 1;
  }
}

/* Numbers another option has that blocks less; among the least also those with more clamps. */
static void drop_dominated(struct coupling *coupling, size_t side) {
  const struct load_counts *numbers = &coupling->clamps->counts[coupling->kind[side / 2]];
  struct options *options = &coupling->options[side];
  uint64_t reached[LOAD_OPTIONS_MOST];
  for (size_t o = 0; o < options->count; o++) {
    struct option *option = &options->items[o];
    option->blocked[0] = blocked_by(coupling, side, option->first, false);
    option->blocked[1] = blocked_by(coupling, side, option->last, true);
    reached[o] = option->least;
    for (uint64_t rest = option->least; rest != 0; rest &= rest - 1)
      reached[o] |= numbers->more[lowest(rest)];
  }
  for (size_t o = 0; o < options->count; o++) {
    struct option *option = &options->items[o];
    option->kept = option->counts;
    for (size_t p = 0; p < options->count; p++) {
      if (p == o || !blocks_less(&options->items[p], option)) continue;
      option->kept &= ~options->items[p].counts;
      option->least &= ~reached[p];
    }
  }
  coupling->work += (int64_t)(options->count * options->count);
  keep_those_with_counts(options);
}

/* Which sides get clamps of their own, and how. False when the pair can't be held so. */
static bool set_pair(struct coupling *coupling, size_t pair, enum clamp_kind kind) {
  const struct clamp_problem *problem = coupling->clamps->problem;
  coupling->kind[pair] = kind;
  coupling->mirrored[pair] = false;
  bool asked = false;
  for (size_t side = 2 * pair; side < 2 * pair + 2; side++) {
    bool needs = problem->held[side] && (kind == CLAMP_HOLD_DOWN || !problem->stop[side]);
    coupling->stands[side] = needs;
    if (needs) asked = true;
    if (needs && kind == CLAMP_SIDE && !problem->stop[opposite[side]])
      coupling->mirrored[pair] = true;
  }
  if (coupling->mirrored[pair]) coupling->stands[2 * pair] = coupling->stands[2 * pair + 1] = true;
  return !asked || coupling->clamps->counts[kind].any;
}

static void couple_kinds(struct coupling *coupling) {
  bool upright = coupling->stands[BED_LEFT] || coupling->stands[BED_RIGHT];
  bool flat = coupling->stands[BED_FRONT] || coupling->stands[BED_BACK];
  coupling->split = upright && flat && coupling->kind[0] == CLAMP_HOLD_DOWN &&
                    coupling->kind[1] == CLAMP_HOLD_DOWN;
  for (size_t side = 0; side < BED_SIDES; side++) {
    list_side(coupling, side);
    if (coupling->options[side].count == 0) return;
  }
  if (coupling->split)
    for (size_t side = 0; side < BED_SIDES; side++) drop_dominated(coupling, side);
  coupling->least = coupling->any;
  coupling->almost = false;
  look_ahead(coupling);
  if (!can_end(coupling, 0)) return;
  take_side(coupling, 0, 0);
  if (!coupling->least || !coupling->almost || coupling->best != SIZE_MAX) return;
  coupling->least = false;
  take_side(coupling, 0, 0);
}

static void count_owned(struct coupling *coupling) {
  const struct clamp_problem *problem = coupling->clamps->problem;
  coupling->force = 0;
  coupling->left_of_kind[0] = coupling->left_of_kind[1] = 0;
  for (size_t c = 0; c < LOAD_CHOICES_MOST; c++) {
    coupling->left[c] = c < problem->choice_count ? problem->choices[c].count : 0;
    if (c < problem->choice_count)
      coupling->left_of_kind[problem->choices[c].kind] += coupling->left[c];
  }
}

size_t load_chains_couple(const struct load_clamps *clamps, const struct load_open *open, bool any,
                          struct load_stand *stands, int64_t *work) {
  struct coupling coupling;
  coupling.clamps = clamps;
  coupling.open = open;
  coupling.any = any;
  coupling.best = SIZE_MAX;
  coupling.result = stands;
  coupling.work = 300;
  count_owned(&coupling);
  for (unsigned way = 0; way < 4; way++) {
    if ((way & 1) != 0 && !clamp_pair_held(clamps->problem, 0)) continue;
    if ((way & 2) != 0 && !clamp_pair_held(clamps->problem, 1)) continue;
    if (!set_pair(&coupling, 0, (way & 1) != 0 ? CLAMP_HOLD_DOWN : CLAMP_SIDE)) continue;
    if (!set_pair(&coupling, 1, (way & 2) != 0 ? CLAMP_HOLD_DOWN : CLAMP_SIDE)) continue;
    couple_kinds(&coupling);
  }
  *work += coupling.work;
  return coupling.best;
}
