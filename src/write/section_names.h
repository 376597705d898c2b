/* Names for what a saw cut takes and gives. */
#ifndef BLANKWRIGHT_WRITE_SECTION_NAMES_H
#define BLANKWRIGHT_WRITE_SECTION_NAMES_H

#include "write/view.h"

/* Fills in of, kept and rest of every cut of the view. The whole piece of stock goes
 * by its title ("W1-1"). Where a cut leaves two pieces that are cut further, the kept
 * one gets a letter ("W1-1 A") and the rest keeps its name: each section is marked
 * once at the saw, and a section stays itself while pieces are taken off it. */
void name_sections(struct arena *arena, struct view *view);

#endif
