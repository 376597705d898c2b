#include "nest/bounded_search.h"

#include "nest/bounded_build.h"
#include "nest/cutting.h"

struct search {
  struct bounded_pool *pool;
  const struct bounded_job *job;
  const struct bounded_prices *prices;
  struct bounded_best *best;
  struct arena *arena;
  uint32_t *open; /* heap, the block of the largest bound first */
  size_t open_count, open_room;
  /* of those tried with each other; what most pairs fail by lies close together */
  struct expanded {
    uint32_t block;
    length_t extent[2];
  } * expanded;
  size_t expanded_count, expanded_room;
  uint64_t *expanded_counts; /* job->words of each */
  size_t expanded_counts_room;
  uint32_t *head;    /* blocks by hash of their counts */
  size_t head_count; /* a power of 2 */
  size_t hashed;
  int64_t steps;
};

/* ---- the best layout ---- */

/* Where strips are bound, wastes may have to be sliced: then the tree is asked. */
static int32_t true_wastes(struct bounded_pool *pool, uint32_t block, int along, int32_t wastes) {
  if (!pool->job->narrow || pool->job->cut_cost == 0) return wastes;
  struct arena_mark mark = arena_mark(pool->arena);
  struct node root;
  bounded_build(pool->arena, pool, block, along, &root);
  int32_t cuts = (int32_t)cutting_count_cuts(&root);
  arena_release(pool->arena, mark);
  int32_t pieces = 0;
  for (size_t d = 0; d < pool->job->demand_count; d++)
    pieces += (int32_t)bounded_job_count(pool->job, bounded_counts(pool, block), d);
  return cuts - pieces + 1;
}

void bounded_consider(struct bounded_pool *pool, uint32_t block, struct bounded_best *best) {
  const struct bounded_job *job = pool->job;
  if (pool->blocks[block].worth + job->cut_cost <= best->value) return;
  for (int along = 0; along < 2; along++) {
    int32_t wastes = 0;
    const struct bounded_block *b = &pool->blocks[block];
    if (!bounded_as_root(job, b, along, &wastes)) continue;
    cost_t hoped = b->worth + job->cut_cost * (1 - wastes);
    if (hoped <= best->value) continue;
    if (hoped > best->most) best->most = hoped;
    cost_t value = b->worth + job->cut_cost * (1 - true_wastes(pool, block, along, wastes));
    if (value <= best->value) continue;
    best->value = value;
    best->block = block;
    best->along = along;
  }
}

/* ---- bounds ---- */

static void bound_block(const struct search *search, struct bounded_block *block) {
  const struct bounded_prices *prices = search->prices;
  cost_t cut_cost = search->job->cut_cost;
  size_t slot[2] = {0, 0};
  for (int d = 0; d < 2; d++)
    if (!bounded_axis_slot(prices->axis[d], block->extent[d], &slot[d])) return;
  cost_t fixed =
      cut_cost * (1 - block->wastes) + (prices->charged && block->elastic ? cut_cost : 0);
  for (size_t p = 0; p < prices->count; p++) {
    const struct bounded_outside *outside = prices->outside[p];
    cost_t around =
        bounded_outside_worth(outside, block->form, block->stages, slot[ALONG_X], slot[ALONG_Y]);
    cost_t bound = block->inside[p] + around + outside->given_back + fixed;
    if (bound < block->bound) block->bound = bound;
    if (bound <= search->best->value) return;
  }
}

/* ---- open blocks ---- */

static bool comes_before(const struct search *search, uint32_t a, uint32_t b) {
  const struct bounded_block *left = &search->pool->blocks[a];
  const struct bounded_block *right = &search->pool->blocks[b];
  if (left->bound != right->bound) return left->bound > right->bound;
  if (left->worth != right->worth) return left->worth > right->worth;
  return a < b;
}

static void open_block(struct search *search, uint32_t block) {
  size_t at = search->open_count;
  (void)ARENA_PUSH(search->arena, search->open, search->open_count, search->open_room);
  while (at > 0 && comes_before(search, block, search->open[(at - 1) / 2])) {
    search->open[at] = search->open[(at - 1) / 2];
    at = (at - 1) / 2;
  }
  search->open[at] = block;
}

static uint32_t take_open(struct search *search) {
  uint32_t first = search->open[0];
  uint32_t moved = search->open[--search->open_count];
  size_t at = 0;
  for (;;) {
    size_t child = 2 * at + 1;
    if (child >= search->open_count) break;
    if (child + 1 < search->open_count &&
        comes_before(search, search->open[child + 1], search->open[child]))
      child++;
    if (!comes_before(search, search->open[child], moved)) break;
    search->open[at] = search->open[child];
    at = child;
  }
  search->open[at] = moved;
  return first;
}

/* ---- blocks with the same pieces ---- */

static size_t hash_of(const struct search *search, const uint64_t *counts) {
  uint64_t hash = UINT64_C(0x9E3779B97F4A7C15);
  for (size_t w = 0; w < search->job->words; w++) {
    hash = (hash ^ counts[w]) * UINT64_C(0xD6E8FEB86659FD93);
    hash ^= hash >> 32;
  }
  return (size_t)hash & (search->head_count - 1);
}

static bool same_counts(const struct search *search, const uint64_t *a, const uint64_t *b) {
  for (size_t w = 0; w < search->job->words; w++)
    if (a[w] != b[w]) return false;
  return true;
}

static void grow_heads(struct search *search) {
  search->head_count = search->head_count == 0 ? 1024 : 4 * search->head_count;
  uint32_t *old = search->head;
  size_t old_count = search->head_count / 4;
  search->head = ARENA_ARRAY(search->arena, search->head_count, uint32_t);
  for (size_t i = 0; i < search->head_count; i++) search->head[i] = BLOCK_NONE;
  for (size_t i = 0; old != NULL && i < old_count; i++) {
    for (uint32_t block = old[i]; block != BLOCK_NONE;) {
      struct bounded_block *b = &search->pool->blocks[block];
      uint32_t next = b->next;
      size_t hash = hash_of(search, bounded_counts(search->pool, block));
      b->next = search->head[hash];
      search->head[hash] = block;
      block = next;
    }
  }
}

/* False when a block at hand can stand for the new one; marks those it can stand for. */
static bool is_needed(struct search *search, const struct bounded_block *block,
                      const uint64_t *counts) {
  uint32_t *link = &search->head[hash_of(search, counts)];
  while (*link != BLOCK_NONE) {
    struct bounded_block *other = &search->pool->blocks[*link];
    if (same_counts(search, counts, bounded_counts(search->pool, *link))) {
      if (bounded_replaces(search->job, other, block)) return false;
      if (bounded_replaces(search->job, block, other)) {
        other->needless = true;
        *link = other->next;
        continue;
      }
    }
    link = &other->next;
  }
  return true;
}

static void keep_block(struct search *search, const struct bounded_block *block,
                       const uint64_t *counts) {
  if (search->hashed >= search->head_count) grow_heads(search);
  uint32_t id = bounded_pool_add(search->pool, block);
  size_t hash = hash_of(search, counts);
  search->pool->blocks[id].next = search->head[hash];
  search->head[hash] = id;
  search->hashed++;
  bounded_consider(search->pool, id, search->best);
  if (block->bound > search->best->value) open_block(search, id);
}

/* As a layout of its own, wastes never sliced. */
static cost_t hoped_value(const struct bounded_job *job, const struct bounded_block *block) {
  cost_t most = 0;
  for (int along = 0; along < 2; along++) {
    int32_t wastes = 0;
    if (!bounded_as_root(job, block, along, &wastes)) continue;
    cost_t value = block->worth + job->cut_cost * (1 - wastes);
    if (value > most) most = value;
  }
  return most;
}

/* A block just made: bounded, compared, kept. Where the first cut is bound, a block may do as
 * a layout though one that replaces it inside of others does not. */
static void offer(struct search *search, struct bounded_block *block, const uint64_t *counts) {
  bound_block(search, block);
  if (block->bound <= search->best->value) return;
  if (is_needed(search, block, counts))
    keep_block(search, block, counts);
  else if (hoped_value(search->job, block) > search->best->value)
    bounded_consider(search->pool, bounded_pool_add(search->pool, block), search->best);
}

static void offer_pieces(struct search *search) {
  const struct bounded_job *job = search->job;
  uint64_t *counts = ARENA_ARRAY(search->arena, job->words, uint64_t);
  for (size_t i = 0; i < job->option_count; i++) {
    struct bounded_block piece = bounded_piece(job, i);
    size_t demand = job->options[i].demand;
    const struct bounded_lane *lane = &job->lane[demand];
    for (size_t w = 0; w < job->words; w++) counts[w] = 0;
    counts[lane->word] = UINT64_C(1) << lane->shift;
    for (size_t p = 0; p < search->prices->count; p++)
      piece.inside[p] = piece.worth - search->prices->price[p][demand];
    offer(search, &piece, counts);
  }
}

/* ---- joining ---- */

/* Parts of the run's own direction come one by one where that can be told. */
static bool comes_whole(const struct bounded_job *job, const struct bounded_block *run,
                        const struct bounded_block *part, int along) {
  if (part->full) return false;
  if (!job->form_aware || part->form != along) return true;
  return job->strict && part->extent[1 - along] < run->extent[1 - along] && !part->elastic;
}

static void try_join(struct search *search, int along, uint32_t run, uint32_t part,
                     const uint64_t *counts) {
  const struct bounded_block *r = &search->pool->blocks[run];
  const struct bounded_block *p = &search->pool->blocks[part];
  if (r->full && r->form != along) return;
  struct bounded_block joined;
  if (!comes_whole(search->job, r, p, along)) return;
  if (!bounded_join(search->job, along, r, p, &joined)) return;
  joined.low = run;
  joined.high = part;
  for (size_t i = 0; i < search->prices->count; i++) joined.inside[i] = r->inside[i] + p->inside[i];
  offer(search, &joined, counts);
}

static bool add_counts(const struct bounded_job *job, const uint64_t *left, const uint64_t *right,
                       uint64_t *sum) {
  uint64_t over = 0;
  for (size_t w = 0; w < job->words; w++) {
    sum[w] = left[w] + right[w];
    over |= (sum[w] + job->bias[w]) & job->guard[w];
  }
  return over == 0;
}

/* Both ways round where that can differ: a run is begun by its widest part. */
static void try_pair(struct search *search, int along, uint32_t a, uint32_t b,
                     const uint64_t *counts) {
  const struct bounded_block *left = &search->pool->blocks[a];
  const struct bounded_block *right = &search->pool->blocks[b];
  search->steps++;
  length_t more = left->extent[1 - along] - right->extent[1 - along];
  bool either = search->job->form_aware || left->full || right->full;
  if (either || more >= 0) try_join(search, along, a, b, counts);
  if (a != b && (either || more < 0)) try_join(search, along, b, a, counts);
}

static void begin_full_runs(struct search *search, uint32_t block) {
  uint64_t *counts = bounded_counts(search->pool, block);
  for (int along = 0; along < 2; along++) {
    struct bounded_block begun;
    const struct bounded_block *part = &search->pool->blocks[block];
    if (part->full || !search->job->first[along]) continue;
    if (!bounded_begin_full(search->job, along, part, &begun)) continue;
    begun.low = block;
    begun.high = BLOCK_NONE;
    begun.needless = false;
    offer(search, &begun, counts);
    counts = bounded_counts(search->pool, block);
  }
}

static void add_expanded(struct search *search, uint32_t block) {
  const struct bounded_block *b = &search->pool->blocks[block];
  size_t words = search->job->words, kept = search->expanded_count * words;
  *ARENA_PUSH(search->arena, search->expanded, search->expanded_count, search->expanded_room) =
      (struct expanded){block, {b->extent[0], b->extent[1]}};
  for (size_t w = 0; w < words; w++)
    *ARENA_PUSH(search->arena, search->expanded_counts, kept, search->expanded_counts_room) =
        bounded_counts(search->pool, block)[w];
}

static void expand(struct search *search, uint32_t block, uint64_t *counts) {
  const struct bounded_job *job = search->job;
  add_expanded(search, block);
  if (job->full_runs) begin_full_runs(search, block);
  const length_t *own = search->expanded[search->expanded_count - 1].extent;
  const length_t room[2] = {job->whole[0] - own[0], job->whole[1] - own[1]};
  const uint64_t *own_counts = &search->expanded_counts[(search->expanded_count - 1) * job->words];
  for (size_t i = 0; i < search->expanded_count; i++) {
    const struct expanded *other = &search->expanded[i];
    if (other->extent[0] > room[0] && other->extent[1] > room[1]) continue;
    if (!add_counts(job, own_counts, &search->expanded_counts[i * job->words], counts)) continue;
    if (search->pool->blocks[other->block].needless) continue;
    if (search->pool->blocks[block].needless) return;
    for (int along = 0; along < 2; along++)
      if (other->extent[along] <= room[along]) try_pair(search, along, block, other->block, counts);
  }
  search->steps += (int64_t)(search->expanded_count / 16);
}

/* So that memory stays within a few hundred MiB. */
enum { MOST_BLOCKS = 2000000 };

cost_t bounded_build_blocks(struct bounded_pool *pool, const struct bounded_prices *prices,
                            int64_t steps, struct bounded_best *best, int64_t *done) {
  struct search search = {
      .pool = pool, .job = pool->job, .prices = prices, .best = best, .arena = pool->arena};
  uint64_t *counts = ARENA_ARRAY(pool->arena, pool->job->words, uint64_t);
  grow_heads(&search);
  offer_pieces(&search);
  cost_t bound = best->value;
  while (search.open_count > 0) {
    uint32_t block = search.open[0];
    if (pool->blocks[block].bound <= best->value) break;
    if (search.steps >= steps || pool->count >= MOST_BLOCKS || bounded_is_found(best)) {
      bound = pool->blocks[block].bound;
      break;
    }
    take_open(&search);
    if (!pool->blocks[block].needless) expand(&search, block, counts);
  }
  *done += search.steps;
  return bound > best->most ? bound : best->most;
}
