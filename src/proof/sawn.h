/* What the saw leaves of one piece of stock when its cuts are made one after another:
 * a tree of boxes, each either left whole or parted by one cut. Boxes come after the
 * box they were cut from. The tree lives in the proof's arena and can be used again. */
#ifndef BLANKWRIGHT_PROOF_SAWN_H
#define BLANKWRIGHT_PROOF_SAWN_H

#include "proof/claim.h"

struct sawn_box {
  struct box box;
  size_t parent;                   /* NO_INDEX for the whole piece */
  size_t part[2];                  /* low, high; NO_INDEX: the kerf left nothing there */
  const struct claim_cut *cut;     /* NULL: left whole */
  const struct claim_piece *piece; /* the piece this box is, or NULL */
  int64_t wanted;                  /* parts and blanks in it */
  int64_t runs;                    /* changes of saw direction since the usable box, and one;
                                      0 for that box itself, -1 outside it */
  size_t run_start;                /* the box the present run of cuts began with */
};

struct sawn {
  struct sawn_box *boxes;
  size_t count, room;
  size_t usable; /* what the trim cuts left, or NO_INDEX */
};

/* Makes every cut of the stock, in the order they stand in. False when one of them
 * could not be made as claimed; the fault is told and the rest left out. */
bool sawn_make(struct proof *proof, const struct claim *claim, const struct claim_stock *stock,
               struct sawn *sawn);

/* The box left whole that the inside of `box` meets. NO_INDEX when it meets none, or
 * when it lies across a cut, which is then put in *across (else NULL). */
size_t sawn_find(const struct sawn *sawn, const struct box *box, const struct claim_cut **across);

/* A section may keep its name while pieces are taken off it, but no two sections that
 * lie beside each other may be cut under one name. */
void sawn_check_sections(struct proof *proof, const struct claim_stock *stock,
                         const struct sawn *sawn);

/* Counts directions from the usable box to every part and blank against saw_stages and
 * first_cut. Needs the pieces to be set. */
void sawn_check_stages(struct proof *proof, const struct claim *claim,
                       const struct claim_stock *stock, struct sawn *sawn);

/* The saw's limits for one cut of `whole` into a low and a high part of these extents. */
void check_cut_limits(struct proof *proof, const struct claim *claim,
                      const struct claim_stock *stock, const struct claim_cut *cut,
                      const struct box *whole, length_t low, length_t high);

#endif
