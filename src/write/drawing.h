/* What the files that draw a layout share. Lengths in 1/8000 mm of paper, which is
 * true scale; y counts downwards on paper and upwards in stock. All of it lives in the
 * arena of the drawing. */
#ifndef BLANKWRIGHT_WRITE_DRAWING_H
#define BLANKWRIGHT_WRITE_DRAWING_H

#include "write/svg.h"
#include "write/view.h"

enum label_form {
  LABEL_TWO_LINES, /* name above size */
  LABEL_ONE_LINE,  /* both beside each other */
  LABEL_NAME,      /* the size stands in the key, by part */
  LABEL_NUMBER,    /* a number, explained in the key */
  LABEL_LEADER     /* the number stands above the stock, joined by a line */
};

struct label {
  enum label_form form;
  bool turned;
  int64_t level_at, upright_at; /* where the numbers of its dimension lines stand along their sides,
                                   in sixteenths of them */
  bool dimensioned;             /* dimension lines stand on two sides of it */
  length_t size;                /* of the type */
  const char *name;             /* "board 7" */
  size_t characters;            /* of the name, or of the longest one of its kind */
  const char *measure;          /* "268 x 100" */
  const char *number;           /* "P3", of a flaw "F3": LABEL_NUMBER and LABEL_LEADER */
  const char *where;            /* said in the key after the measure; may be empty */
  length_t shift_x, shift_y;    /* of its middle from that of its piece */
  bool overprints;              /* outlines of finished parts run through it */
  length_t x, y;                /* middle, on paper */
  length_t leader_x;            /* LABEL_LEADER: where the number stands, 0 until it is placed */
  int64_t leader_row;           /* the row above the stock, from 0 */
};

/* The number of a saw cut, on a small plate on its kerf. */
struct plate {
  length_t x, y, width, height, size;
  const char *text;
};

struct box {
  length_t x, y, width, height;
};

struct drawing {
  struct arena *arena;
  struct svg *svg;
  const struct view *view;
  const struct view_stock *entry;
  bool to_fit;             /* not at true scale, and nothing is said of scale */
  length_t type;           /* size of ordinary type */
  length_t left, top;      /* the stock's upper left corner on paper */
  length_t width, height;  /* of the paper */
  struct label *pieces;    /* one per piece of the entry */
  struct label *flaws;     /* one per flaw of the entry */
  struct plate *plates;    /* one per cut of the entry */
  struct label **numbered; /* explained in the key, by number */
  size_t numbered_count, numbered_room;
  int64_t leader_count, leader_rows; /* LABEL_LEADER, and the rows their numbers take */
  struct box *boxes;                 /* paper taken by type */
  size_t box_count, box_room;
};

/* Share of the type's size in tenths. */
static inline length_t tenths(length_t type, int64_t count) { return type * count / 10; }

/* The width of a text, reckoned on the broad side. */
length_t type_width(length_t size, const char *text);

/* The same for so many characters. */
length_t characters_width(length_t size, size_t characters);

/* From stock to paper. */
static inline length_t paper_x(const struct drawing *drawing, length_t x) {
  return drawing->left + x;
}
static inline length_t paper_y(const struct drawing *drawing, length_t y) {
  return drawing->top + drawing->entry->stock->width - y;
}

/* A place's upper edge on paper. */
static inline length_t paper_top(const struct drawing *drawing, const struct view_place *place) {
  return paper_y(drawing, place->y + place->width);
}

/* Type of dimensions inside a piece, and how far from its edge their middle stands. */
static inline length_t dimension_size(const struct drawing *drawing) {
  return tenths(drawing->type, 6);
}
static inline length_t dimension_inset(const struct drawing *drawing) {
  return tenths(drawing->type, 5);
}

/* Outline of a finished part inside a piece, on paper; of a round its square. */
struct outline {
  struct box box;
  bool round;
};

struct outlines {
  struct outline *items;
  size_t count;
};

/* outlines: those of the finished parts in a piece; whether any of them runs through a box with
 * this margin around it (one that lies wholly around it or beside it does not); gives a label a
 * form, size and shift in which none runs through it, where there are any. */
struct outlines outlines_of(const struct drawing *drawing, const struct view_piece *piece);
bool outlines_run_through(const struct outlines *outlines, const struct box *box, length_t margin);
void outlines_avoid(const struct drawing *drawing, const struct view_piece *piece,
                    struct label *label);

/* What the numbers of a piece's two dimension lines take, at its lower and its left side. */
struct box dimension_level_box(const struct drawing *drawing, const struct view_place *place,
                               const struct label *label);
struct box dimension_upright_box(const struct drawing *drawing, const struct view_place *place,
                                 const struct label *label);

/* The paper that a label takes, its middle at (x, y). */
struct box label_box(const struct label *label);

/* labels: decides form and size of every label; paper places wait for labels_place. */
void labels_choose(struct drawing *drawing);
/* Once left and top are known: places of labels and cut numbers. */
void labels_place(struct drawing *drawing);
void labels_draw(struct drawing *drawing);

/* plates: marks paper as taken by type; sets the numbers of the cuts where none is. */
void plates_take(struct drawing *drawing, length_t middle_x, length_t middle_y, length_t width,
                 length_t height);
void plates_place(struct drawing *drawing);
void plates_draw(struct drawing *drawing);
length_t plate_width(const struct drawing *drawing, length_t size);

/* frame: fixes the paper's size around the stock, then draws what stands around it. */
void frame_measure(struct drawing *drawing);
void frame_draw(struct drawing *drawing);

/* The fill of a part's pieces; white for what is of no part (SIZE_MAX). */
const char *part_tint(size_t part);

/* Fills and patterns named in the drawing's definitions. */
#define FILL_WASTE "url(#hatch-waste)"
#define FILL_OFFCUT "url(#hatch-offcut)"
#define FILL_FLAW "url(#hatch-flaw)"
#define COLOUR_INK "#000000"
#define COLOUR_FINISHED "#0072B2"
#define COLOUR_FLAW "#D55E00"

#endif
