/* One piece against the part it stands for, and against the wood it lies in. */
#ifndef BLANKWRIGHT_PROOF_PIECE_H
#define BLANKWRIGHT_PROOF_PIECE_H

#include "proof/claim.h"

/* The flaws of a stock, each grown by its margin; in the proof's arena. */
struct box *grown_flaws(struct proof *proof, const struct claim *claim,
                        const struct claim_stock *stock);

/* Part, blank or offcut: inside the usable wood, off the flaws, of the right size,
 * grain, wood and thickness. */
void check_piece(struct proof *proof, const struct claim *claim, const struct claim_stock *stock,
                 const struct box *flaws, const struct claim_piece *piece);

/* The grain of a part that lies in a piece, across the stock when `turned`. */
void check_grain_of(struct proof *proof, const struct claim_stock *stock,
                    const struct claim_need *need, const struct claim_piece *piece, bool turned);

/* The wood and raw thickness of a part that is made from a piece. */
void check_wood(struct proof *proof, const struct claim_stock *stock, const struct claim_need *need,
                const struct claim_piece *piece);

/* No two pieces of a stock lie on each other or closer than a kerf. */
void check_gaps(struct proof *proof, const struct claim *claim, const struct claim_stock *stock);

/* True when a left-over of this size goes back on the rack. */
bool is_offcut_size(const struct claim *claim, const struct claim_stock *stock,
                    const struct box *box);

#endif
