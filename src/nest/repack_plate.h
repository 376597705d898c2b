/* One piece of stock while it is being filled: a tree of cells, kept in flat arrays that are
 * copied whole. Extents are grown: a cell reaches one kerf past its wood, so that the cells
 * of a cut add up to what was cut. Index 0 is along x, 1 along y. */
#ifndef BLANKWRIGHT_NEST_REPACK_PLATE_H
#define BLANKWRIGHT_NEST_REPACK_PLATE_H

#include "base/arena.h"
#include "nest/problem.h"

#define CELL_NONE UINT16_MAX

enum { PLATE_CELLS_MOST = 4000, PLATE_FRESH = 16, PLATE_INSERT_CELLS = 16 };

enum cell_kind { CELL_VACANT, CELL_FREE, CELL_PIECE, CELL_CUT };

/* A cut's cells follow each other along `along` (0: crosscuts, 1: rips) in a list; there is
 * always one that is not free, and no cell of it is cut along the same direction. */
struct cell {
  length_t extent[2];
  uint32_t what; /* FREE: index of its leaf; PIECE: option of the stock */
  uint16_t parent, first, next, prev;
  uint8_t kind;
  uint8_t along; /* CUT */
  uint8_t depth; /* CUT: stages that reach its cells, counted up to 200 */
};

/* A free cell, as the search for a place sees it. */
struct leaf {
  length_t extent[2]; /* 0 where no piece may be put */
  length_t at[2];     /* low corner; kept for flawed stock only */
  int64_t value;
  double root; /* value by area, of which a piece takes at least its own area away */
  uint16_t cell;
};

/* What a kind of stock is to the search. */
struct plate_kind {
  const struct nest_stock *stock;
  length_t extent[2], kerf[2];
  length_t least[2]; /* smaller free cells hold no piece */
  double scale;      /* areas to units of value */
  int64_t value;     /* of a whole free piece */
  bool ruled;        /* stages or rules bind */
  bool flawed;       /* places matter: cells keep their order */
};

/* Cell 0 is the whole; a plate without a piece has that one free cell. */
struct plate {
  size_t kind; /* index of the stock */
  bool open;   /* stock is spent on it */
  uint16_t cell_count, vacant, leaf_count, piece_count, room;
  int64_t value; /* of its leaves */
  struct cell *cells;
  struct leaf *leaves;
  uint16_t fresh[PLATE_FRESH]; /* free cells made or changed by the last insertion */
  size_t fresh_count;
};

/* How a piece is put into a free cell: `first` is the direction of the first cut, `offset`
 * from the cell's low corner (0 but in flawed stock). */
struct placing {
  length_t size[2]; /* grown */
  length_t offset[2];
  length_t strip; /* 0, or longer than the piece: the first crosscut leaves a strip so long, the
                     second frees the piece, where the rip between them needs the length */
  uint8_t first;
};

/* Arrays for `room` cells (PLATE_CELLS_MOST at most) in the arena; plate_clear makes it a plate. */
struct plate plate_create(struct arena *arena, size_t room);

/* Makes the plate a whole free piece of a kind. */
void plate_clear(struct plate *plate, const struct plate_kind *kind, size_t number);

/* Copies `from` into the arrays of `to`, which has as much room. */
void plate_copy(struct plate *to, const struct plate *from);

/* What free space of an extent is worth: area to the power of 1.5, so that space in one
 * piece is worth more than in several. Whole, the same on every machine. */
int64_t plate_value(const struct plate_kind *kind, length_t along_x, length_t along_y);

/* The least extents no leaf is longer and wider than; 0 where there is no leaf. */
void plate_measure(const struct plate *plate, length_t reach[2]);

/* Whether there is room for the cells of one more piece. */
bool plate_has_room(const struct plate *plate);

/* Whether rules and stages let a piece be put so into a free cell that holds it. Flaws are
 * not looked at. */
bool plate_allows(const struct plate_kind *kind, const struct plate *plate, uint16_t cell,
                  const struct placing *placing);

/* Puts a piece of an option into a free cell; returns the piece's cell. */
uint16_t plate_insert(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                      const struct placing *placing, uint32_t option);

/* Makes a cell that is not free free, joined with what is free beside it. The options of the
 * pieces taken out are written to `out` (room for piece_count); returns how many. */
size_t plate_remove(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                    uint32_t *out);

/* Lets every strip be as wide as what is in it needs: free space that all its cells have at
 * their ends becomes free space beside the strip. Not for flawed stock, nor where rips need
 * a length. */
void plate_tighten(const struct plate_kind *kind, struct plate *plate);

/* Makes a free cell a cut along `along`; returns its one cell, free and of the same extent,
 * which is to be carved. For building a plate from a tree. */
uint16_t plate_divide(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                      uint8_t along);

/* Cuts [offset, offset + size) along its parent's direction out of a free cell and returns it,
 * free. `rest` is the cell left behind it, or CELL_NONE. */
uint16_t plate_carve(const struct plate_kind *kind, struct plate *plate, uint16_t cell,
                     length_t offset, length_t size, uint16_t *rest);

/* Makes a free cell of the option's extent the piece. */
void plate_fill(struct plate *plate, uint16_t cell, uint32_t option);

/* The low corner of a cell; exact for flawed stock, whose cells keep their order. */
void plate_corner(const struct plate *plate, uint16_t cell, length_t at[2]);

#endif
