#include "nest/bounded_build.h"

#include "nest/cutting.h"

struct builder {
  struct arena *arena;
  const struct bounded_pool *pool;
  const struct bounded_job *job;
};

struct parts {
  uint32_t *items;
  size_t count, room;
};

static void build(const struct builder *builder, struct node *node, uint32_t block);

/* The parts of a run that will be `across` wide, those of its dissolved parts too. */
static void collect(const struct builder *builder, uint32_t run, int along, length_t across,
                    struct parts *parts) {
  const struct bounded_block *block = &builder->pool->blocks[run];
  uint32_t half[2] = {block->low, block->high};
  for (int i = 0; i < 2; i++) {
    if (half[i] == BLOCK_NONE) continue;
    const struct bounded_block *part = &builder->pool->blocks[half[i]];
    bool begins = i == 0 && part->form == along && block->high != BLOCK_NONE;
    if (begins || bounded_dissolves(builder->job, part, along, across))
      collect(builder, half[i], along, part->extent[1 - along], parts);
    else
      *ARENA_PUSH(builder->pool->arena, parts->items, parts->count, parts->room) = half[i];
  }
}

/* The length left over goes to a part that has a waste to take it in. */
static void stretch(const struct builder *builder, const struct parts *parts, length_t across,
                    length_t whole, length_t *extent) {
  length_t rest = whole;
  size_t elastic = parts->count;
  for (size_t i = 0; i < parts->count; i++) {
    const struct bounded_block *block = &builder->pool->blocks[parts->items[i]];
    if (bounded_part_of(builder->job, block, ALONG_X, across).elastic) elastic = i;
    rest -= extent[i];
  }
  if (rest > 0 && elastic < parts->count) extent[elastic] += rest;
}

/* The strip that is too wide to be parted from another such strip comes last, as
 * much waste before it, in slices, as leaves no more than a slice behind it. Returns how many
 * slices there are. */
static size_t slice_waste(const struct builder *builder, const struct node *node,
                          struct parts *parts, length_t **extent) {
  const struct bounded_job *job = builder->job;
  length_t kerf = job->kerf[ALONG_Y];
  length_t limit = job->strip_capacity > 0 ? job->strip_capacity : node->width;
  if (job->strip_by_length && node->length < limit) limit = node->length;
  length_t slice = limit + kerf;
  size_t widest = 0;
  length_t rest = node->width + kerf;
  for (size_t i = 0; i < parts->count; i++) {
    if ((*extent)[i] > (*extent)[widest]) widest = i;
    rest -= (*extent)[i];
  }
  size_t last = parts->count - 1;
  uint32_t part = parts->items[widest];
  length_t wide = (*extent)[widest];
  parts->items[widest] = parts->items[last];
  (*extent)[widest] = (*extent)[last];
  parts->items[last] = part;
  (*extent)[last] = wide;
  if (wide <= slice || rest <= slice) return 0;
  *extent = arena_grow(builder->pool->arena, *extent, parts->count,
                       parts->count + (size_t)(rest / slice) + 2, sizeof **extent);
  size_t count = 0;
  for (; rest > slice; rest -= slice) (*extent)[last + count++] = slice;
  (*extent)[last + count] = wide;
  return count;
}

static void divide(const struct builder *builder, struct node *node, struct parts *parts,
                   int along) {
  const struct bounded_job *job = builder->job;
  length_t whole = (along == ALONG_X ? node->length : node->width) + job->kerf[along];
  length_t across = (along == ALONG_X ? node->width : node->length) + job->kerf[1 - along];
  length_t *extent = ARENA_ARRAY(builder->pool->arena, parts->count, length_t);
  size_t slices = 0;
  for (size_t i = 0; i < parts->count; i++)
    extent[i] = bounded_part_of(job, &builder->pool->blocks[parts->items[i]], along, across).extent;
  if (along == ALONG_X && parts->count > 1)
    stretch(builder, parts, across, whole, extent);
  else if (along == ALONG_Y && job->narrow)
    slices = slice_waste(builder, node, parts, &extent);
  for (size_t i = 0; i < parts->count + slices; i++) extent[i] -= job->kerf[along];
  enum division division = along == ALONG_X ? DIVIDE_LENGTH : DIVIDE_WIDTH;
  struct node *child = cutting_divide(builder->arena, node, division, job->kerf[along], extent,
                                      parts->count + slices);
  if (child == NULL) {
    build(builder, node, parts->items[0]);
    return;
  }
  for (size_t i = 0; i < parts->count; i++)
    build(builder, &child[i + 1 < parts->count ? i : i + slices], parts->items[i]);
}

static void divide_run(const struct builder *builder, struct node *node, uint32_t block,
                       int along) {
  struct parts parts = {0};
  length_t across = builder->pool->blocks[block].extent[1 - along];
  collect(builder, block, along, across, &parts);
  divide(builder, node, &parts, along);
}

static void divide_off(const struct builder *builder, struct node *node, uint32_t block,
                       int along) {
  struct parts parts = {&block, 1, 1};
  divide(builder, node, &parts, along);
}

static void build(const struct builder *builder, struct node *node, uint32_t id) {
  const struct bounded_job *job = builder->job;
  const struct bounded_block *block = &builder->pool->blocks[id];
  bool as_long = node->length + job->kerf[ALONG_X] == block->extent[ALONG_X];
  bool as_wide = node->width + job->kerf[ALONG_Y] == block->extent[ALONG_Y];
  if (block->form == FORM_RUN_X && (as_wide || !job->strict)) {
    divide_run(builder, node, id, ALONG_X);
  } else if (block->form == FORM_RUN_Y && (as_long || !job->strict || block->elastic)) {
    divide_run(builder, node, id, ALONG_Y);
  } else if (block->form == FORM_PIECE && as_long && as_wide) {
    const struct nest_option *option = &job->stock->options[job->options[block->low].option];
    node->kind = NODE_PIECE;
    node->blank = option->blank;
    node->turned = option->turned;
  } else {
    bool can_rip = node->length + job->kerf[ALONG_X] >= job->rip_min;
    divide_off(builder, node, id,
               !as_wide && can_rip && block->form != FORM_RUN_Y ? ALONG_Y : ALONG_X);
  }
}

void bounded_build(struct arena *arena, const struct bounded_pool *pool, uint32_t block, int along,
                   struct node *root) {
  const struct bounded_job *job = pool->job;
  struct builder builder = {arena, pool, job};
  *root =
      (struct node){.kind = NODE_WASTE, .length = job->stock->length, .width = job->stock->width};
  const struct bounded_block *b = &pool->blocks[block];
  bool run = b->form == along && (bounded_dissolves(job, b, along, job->whole[1 - along]) ||
                                  (job->narrow && along == ALONG_Y));
  if (run)
    divide_run(&builder, root, block, along);
  else
    divide_off(&builder, root, block, along);
}
