/* Making and measuring cut trees (struct node). */
#ifndef BLANKWRIGHT_NEST_CUTTING_H
#define BLANKWRIGHT_NEST_CUTTING_H

#include "base/arena.h"
#include "model/plan.h"
#include "nest/problem.h"

/* Which way a cut divides: a crosscut divides the length, a rip the width. */
enum division { DIVIDE_LENGTH, DIVIDE_WIDTH };

/* Turns `node` into a cut node with `count` children of the given extents along the
 * division, one kerf apart from the low side, and a last waste child when they do not
 * fill it. One child that fills it needs no cut: then NULL is returned and the node
 * left as it is. Else the children are returned, waste until the caller fills them in. */
struct node *cutting_divide(struct arena *arena, struct node *node, enum division division,
                            length_t kerf, const length_t *extent, size_t count);

/* Makes `node` hold one piece in its low corner, with the trims that free it: at most one
 * crosscut and one rip, the rip first when rip_first. */
void cutting_place(struct arena *arena, struct node *node, const struct nest_stock *stock,
                   const struct nest_option *option, bool rip_first);

/* Kerfs in a tree. */
int64_t cutting_count_cuts(const struct node *node);

/* Adds the pieces of a tree to counts per demand; demand_of_blank maps node.blank. */
void cutting_count_pieces(const struct node *node, const size_t *demand_of_blank, int64_t *counts);

/* A deep copy, moved by (dx, dy). */
struct node cutting_copy(struct arena *arena, const struct node *node, length_t dx, length_t dy);

/* Merges cuts that only part waste from waste: a cut node without a piece becomes waste,
 * waste children that follow each other become one. Fewer cuts, same pieces. */
void cutting_tidy(struct node *node, const struct nest_stock *stock);

/* True when every cut of the tree obeys the stock's rules and its stages and first cut
 * are allowed (problem.h). Geometry is taken for granted. */
bool cutting_obeys(const struct node *root, const struct nest_rules *rules);

#endif
