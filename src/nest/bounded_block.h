/* Blocks: pieces and runs of blocks side by side (along x) or one above the other (along
 * y), as small as their parts let them be; what is built from them, and which block makes
 * another one needless. Extents are grown, in the job's sense. */
#ifndef BLANKWRIGHT_NEST_BOUNDED_BLOCK_H
#define BLANKWRIGHT_NEST_BOUNDED_BLOCK_H

#include "nest/bounded_job.h"

#define BLOCK_NONE UINT32_MAX

/* A run's form is the direction along which its parts follow each other. */
enum { FORM_RUN_X = ALONG_X, FORM_RUN_Y = ALONG_Y, FORM_PIECE };

enum { MOST_PRICES = 4 }; /* sets of prices that bounds are kept for */

struct bounded_block {
  cost_t bound;               /* no layout with this block is worth more */
  cost_t worth;               /* sum of worth - cut cost of its pieces */
  cost_t inside[MOST_PRICES]; /* the same, less the price of each copy */
  length_t extent[2];
  length_t widest;    /* the widest of the strips that rips would part, grown */
  uint32_t low, high; /* the run and what was put to it, or NONE; a piece: its option */
  uint32_t next;      /* with the same hash */
  int32_t wastes;
  int16_t stages;       /* the last trim of a single piece not counted */
  uint16_t unstretched; /* parts of a run along y that a longer run would have to trim */
  uint8_t form;
  bool elastic;  /* can be longer (x) without one more waste */
  bool full;     /* a run whose parts were made as wide as the stock at once */
  bool rigid;    /* a part of a run along y is too wide to be crosscut */
  bool needless; /* another block is as good */
};

struct bounded_pool {
  const struct bounded_job *job;
  struct arena *arena;
  struct bounded_block *blocks;
  size_t count, room;
  uint64_t *counts; /* job->words per block */
};

/* What a block becomes as part of a run along `along` that is `across` wide. Not `possible`: no
 * such run can hold it, and the rest says nothing. */
struct bounded_part {
  bool possible;
  length_t extent; /* along */
  int32_t wastes;
  int stages;
  bool elastic;
};

struct bounded_part bounded_part_of(const struct bounded_job *job,
                                    const struct bounded_block *block, int along, length_t across);

/* Whether `part` belongs to a run along `along`, `across` wide, part by part, not whole. */
bool bounded_dissolves(const struct bounded_job *job, const struct bounded_block *part, int along,
                       length_t across);

/* Puts `part` to `run` (any block may begin a run). False when sizes or rules forbid; counts
 * are not looked at. */
bool bounded_join(const struct bounded_job *job, int along, const struct bounded_block *run,
                  const struct bounded_block *part, struct bounded_block *joined);

/* Begins a run as wide as the stock with a part that is narrower. False when sizes or rules forbid.
 */
bool bounded_begin_full(const struct bounded_job *job, int along, const struct bounded_block *part,
                        struct bounded_block *begun);

/* The wastes of a layout that holds just this block, first cut along `along`. False when sizes or
 * rules forbid, or when no first cut along `along` is needed. */
bool bounded_as_root(const struct bounded_job *job, const struct bounded_block *block, int along,
                     int32_t *wastes);

/* True when `a`, with the same pieces, can stand for `b` wherever `b` is used. */
bool bounded_replaces(const struct bounded_job *job, const struct bounded_block *a,
                      const struct bounded_block *b);

/* The block of one piece. */
struct bounded_block bounded_piece(const struct bounded_job *job, size_t option);

/* Adds a block with the counts of the two it came from (either may be NONE) and returns its index.
 */
uint32_t bounded_pool_add(struct bounded_pool *pool, const struct bounded_block *block);

/* The packed counts of a block, bounded_pool.job->words long, until the next block is added. */
static inline uint64_t *bounded_counts(const struct bounded_pool *pool, uint32_t block) {
  return pool->counts + (size_t)block * pool->job->words;
}

#endif
