#include "nest/bounded_block.h"

#include <string.h>

static int16_t stages_as_part(const struct bounded_block *block, int along) {
  if (block->form == FORM_PIECE) return 0;
  return (int16_t)(block->form == along ? block->stages - 1 : block->stages);
}

bool bounded_dissolves(const struct bounded_job *job, const struct bounded_block *part, int along,
                       length_t across) {
  if (part->form != along) return false;
  if (!job->strict || part->extent[1 - along] == across) return true;
  return along == ALONG_Y && part->elastic;
}

/* Made wider by a rip, for a run along x. Where the block is too short to be ripped, it is
 * ripped from a piece that is long enough, and crosscut then. */
static void widen(const struct bounded_job *job, const struct bounded_block *block,
                  struct bounded_part *part) {
  part->wastes++;
  bool padded = block->extent[ALONG_X] < job->rip_min;
  if (block->form == FORM_RUN_X) part->stages = block->stages + 1;
  if (!padded) return;
  if (block->form == FORM_PIECE) {
    part->stages = 1;
    part->possible =
        job->crosscut_capacity == 0 || block->extent[ALONG_Y] <= job->crosscut_capacity;
  }
  part->extent = job->rip_min;
  if (!block->elastic) part->wastes++;
  part->elastic = true;
}

/* Made longer by a crosscut, for a run along y. */
static void lengthen(const struct bounded_job *job, const struct bounded_block *block,
                     struct bounded_part *part) {
  part->elastic = true;
  if (block->elastic) return; /* its own wastes grow */
  part->wastes++;
  part->possible = job->crosscut_capacity == 0 || block->extent[ALONG_Y] <= job->crosscut_capacity;
  if (block->form == FORM_RUN_Y) part->stages = block->stages + 1;
}

struct bounded_part bounded_part_of(const struct bounded_job *job,
                                    const struct bounded_block *block, int along, length_t across) {
  struct bounded_part part = {true, block->extent[along], block->wastes,
                              stages_as_part(block, along), block->elastic};
  if (block->extent[1 - along] == across || !job->strict) return part;
  if (block->extent[1 - along] > across)
    part.possible = false;
  else if (along == ALONG_X)
    widen(job, block, &part);
  else
    lengthen(job, block, &part);
  return part;
}

/* The run itself as the first part of a longer one. */
static struct bounded_part first_part(const struct bounded_job *job,
                                      const struct bounded_block *run, int along, length_t across) {
  if (run->form != along) return bounded_part_of(job, run, along, across);
  struct bounded_part part = {true, run->extent[along], run->wastes, run->stages - 1, run->elastic};
  if (!job->strict || run->extent[1 - along] == across) return part;
  part.possible = along == ALONG_Y && run->extent[1 - along] < across && !run->rigid;
  part.wastes += run->elastic ? 0 : run->unstretched;
  part.elastic = true;
  return part;
}

static length_t widest_of(const struct bounded_block *block, bool dissolved) {
  return dissolved ? block->widest : block->extent[ALONG_Y];
}

/* How long a run along y must be. False when two of its strips are too wide. */
static bool run_length(const struct bounded_job *job, length_t wider, length_t narrower,
                       length_t *length) {
  if (*length < job->rip_min) *length = job->rip_min;
  if (!job->narrow) return true;
  length_t strip = (narrower < wider ? narrower : wider) - job->kerf[ALONG_Y];
  if (job->strip_capacity > 0 && strip > job->strip_capacity) return false;
  if (job->strip_by_length && strip + job->kerf[ALONG_X] > *length)
    *length = strip + job->kerf[ALONG_X];
  return true;
}

static bool too_wide(const struct bounded_job *job, const struct bounded_block *block) {
  return job->crosscut_capacity > 0 && block->extent[ALONG_Y] > job->crosscut_capacity;
}

/* What a run along y keeps of one of its parts. */
static void keep_stretch(const struct bounded_job *job, const struct bounded_block *from,
                         bool dissolved, struct bounded_block *joined) {
  if (from->extent[ALONG_X] < joined->extent[ALONG_X]) return;
  int own = dissolved ? from->unstretched : (from->elastic ? 0 : 1);
  joined->unstretched = (uint16_t)(joined->unstretched + own);
  joined->rigid = joined->rigid || (dissolved ? from->rigid : too_wide(job, from));
}

bool bounded_join(const struct bounded_job *job, int along, const struct bounded_block *run,
                  const struct bounded_block *part, struct bounded_block *joined) {
  length_t across = run->extent[1 - along];
  if (!job->strict && part->extent[1 - along] > across) across = part->extent[1 - along];
  length_t strip_run = widest_of(run, run->form == along);
  length_t strip_part = widest_of(part, bounded_dissolves(job, part, along, across));
  if (along == ALONG_Y && !run_length(job, strip_run, strip_part, &across)) return false;
  if (along == ALONG_X && job->crosscut_capacity > 0 && across > job->crosscut_capacity)
    return false;
  if (part->extent[1 - along] > across || across > job->whole[1 - along]) return false;
  struct bounded_part a = first_part(job, run, along, across);
  struct bounded_part b = bounded_part_of(job, part, along, across);
  if (!a.possible || !b.possible || a.extent + b.extent > job->whole[along]) return false;
  int stages = 1 + (a.stages > b.stages ? a.stages : b.stages);
  if (job->stages > 0 && stages > job->stages) return false;
  *joined = (struct bounded_block){.bound = run->bound < part->bound ? run->bound : part->bound,
                                   .worth = run->worth + part->worth,
                                   .wastes = a.wastes + b.wastes,
                                   .stages = (int16_t)stages,
                                   .form = (uint8_t)along,
                                   .full = run->full};
  joined->extent[along] = a.extent + b.extent;
  joined->extent[1 - along] = across;
  joined->elastic = along == ALONG_X ? a.elastic || b.elastic : a.elastic && b.elastic;
  joined->widest = along == ALONG_X ? across : (strip_run > strip_part ? strip_run : strip_part);
  if (along == ALONG_Y) {
    keep_stretch(job, run, run->form == along, joined);
    keep_stretch(job, part, bounded_dissolves(job, part, along, across), joined);
  }
  return true;
}

bool bounded_begin_full(const struct bounded_job *job, int along, const struct bounded_block *part,
                        struct bounded_block *begun) {
  length_t across = job->whole[1 - along];
  if (part->extent[1 - along] >= across) return false;
  if (along == ALONG_X && job->crosscut_capacity > 0 && across > job->crosscut_capacity)
    return false;
  if (along == ALONG_Y && across < job->rip_min) return false;
  struct bounded_part one = bounded_part_of(job, part, along, across);
  if (!one.possible || one.extent >= job->whole[along]) return false; /* no cut, when it fills */
  if (job->stages > 0 && one.stages + 1 > job->stages) return false;
  *begun = *part;
  begun->high = BLOCK_NONE;
  begun->extent[along] = one.extent;
  begun->extent[1 - along] = across;
  begun->widest =
      along == ALONG_X ? across : widest_of(part, bounded_dissolves(job, part, along, across));
  begun->wastes = one.wastes;
  begun->stages = (int16_t)(one.stages + 1);
  begun->form = (uint8_t)along;
  begun->elastic = one.elastic;
  begun->full = true;
  begun->unstretched = 0;
  begun->rigid = false;
  return true;
}

/* A run of one part so far: only a cut behind that makes it one. */
static bool is_alone(const struct bounded_block *block) {
  return block->full && block->high == BLOCK_NONE;
}

bool bounded_as_root(const struct bounded_job *job, const struct bounded_block *block, int along,
                     int32_t *wastes) {
  length_t across = job->whole[1 - along];
  bool run = block->form == along &&
             (bounded_dissolves(job, block, along, across) || (job->narrow && along == ALONG_Y));
  struct bounded_part part =
      run ? first_part(job, block, along, across) : bounded_part_of(job, block, along, across);
  if (!part.possible || part.extent > job->whole[along]) return false;
  bool rest = part.extent < job->whole[along];
  if (!run && !rest) { /* nothing to cut along this direction */
    *wastes = part.wastes;
    return block->form == FORM_PIECE && block->extent[1 - along] == across;
  }
  bool alone = !run || is_alone(block);
  if (!rest && alone) return false; /* no cut */
  if (!job->first[along]) return false;
  if (job->stages > 0 && part.stages + 1 > job->stages) return false;
  if (along == ALONG_X && job->crosscut_capacity > 0 && across > job->crosscut_capacity)
    return false;
  if (along == ALONG_Y && across < job->rip_min) return false;
  *wastes = part.wastes + (rest && (along == ALONG_Y || !part.elastic || alone) ? 1 : 0);
  return true;
}

static bool same_across(const struct bounded_job *job, const struct bounded_block *a,
                        const struct bounded_block *b) {
  bool as_long = a->extent[ALONG_X] == b->extent[ALONG_X];
  bool as_wide = a->extent[ALONG_Y] == b->extent[ALONG_Y];
  if (job->form_aware) {
    if (b->form == FORM_RUN_X) return as_wide;
    if (b->form == FORM_RUN_Y) return as_long;
    return as_wide && as_long;
  }
  if (!as_wide && b->extent[ALONG_X] < job->rip_min) return false;
  return as_long || a->elastic || job->crosscut_capacity == 0 ||
         b->extent[ALONG_Y] <= job->crosscut_capacity;
}

bool bounded_replaces(const struct bounded_job *job, const struct bounded_block *a,
                      const struct bounded_block *b) {
  if (a->extent[ALONG_X] > b->extent[ALONG_X] || a->extent[ALONG_Y] > b->extent[ALONG_Y])
    return false;
  if (job->form_aware && (a->form != b->form || a->stages > b->stages)) return false;
  if (!job->strict) return true;
  if (a->full != b->full || (a->full && a->form != b->form) || !same_across(job, a, b))
    return false;
  if (job->narrow && (a->widest > b->widest || a->unstretched > b->unstretched)) return false;
  if (job->narrow && a->rigid && !b->rigid) return false;
  if (job->cut_cost == 0) return true;
  bool stretched = a->extent[ALONG_X] < b->extent[ALONG_X] || b->elastic;
  bool stretches = a->elastic && !is_alone(a);
  int charge =
      (stretched && !stretches ? 1 : 0) + (a->extent[ALONG_Y] < b->extent[ALONG_Y] ? 1 : 0);
  return a->wastes + charge <= b->wastes;
}

struct bounded_block bounded_piece(const struct bounded_job *job, size_t option) {
  const struct bounded_option *o = &job->options[option];
  return (struct bounded_block){.bound = INT64_MAX,
                                .worth = job->worth[o->demand] - job->cut_cost,
                                .extent = {o->extent[ALONG_X], o->extent[ALONG_Y]},
                                .widest = o->extent[ALONG_Y],
                                .low = (uint32_t)option,
                                .high = BLOCK_NONE,
                                .form = FORM_PIECE};
}

static void add_counts(struct bounded_pool *pool, uint32_t to, uint32_t from) {
  if (from == BLOCK_NONE) return;
  for (size_t w = 0; w < pool->job->words; w++)
    bounded_counts(pool, to)[w] += bounded_counts(pool, from)[w];
}

uint32_t bounded_pool_add(struct bounded_pool *pool, const struct bounded_block *block) {
  size_t words = pool->job->words;
  if (pool->count == pool->room) {
    size_t room = pool->room == 0 ? 256 : 2 * pool->room;
    pool->blocks = arena_grow(pool->arena, pool->blocks, pool->count, room, sizeof *pool->blocks);
    pool->counts = arena_grow(pool->arena, pool->counts, pool->count * words, room * words,
                              sizeof *pool->counts);
    pool->room = room;
  }
  uint32_t id = (uint32_t)pool->count++;
  pool->blocks[id] = *block;
  memset(bounded_counts(pool, id), 0, words * sizeof *pool->counts);
  if (block->form == FORM_PIECE) {
    const struct bounded_lane *lane = &pool->job->lane[pool->job->options[block->low].demand];
    bounded_counts(pool, id)[lane->word] = UINT64_C(1) << lane->shift;
  } else {
    add_counts(pool, id, block->low);
    add_counts(pool, id, block->high);
  }
  return id;
}
