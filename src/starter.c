#include "starter.h"

#include <dirent.h>
#include <errno.h>
#include <stdbool.h>
#include <string.h>

#include "write/file_batch.h"
#include "write/safe_text.h"

/* ---- the files ---- */

/* A line each, ended by NULL: the standard sets a limit to one long string. */
static const char *const parts_lines[] = {
    "# What one set is made of, a line for each part. A line that starts with # is a note.",
    "# This file and one of rack.csv and yard.csv are all a project needs: the others, and the",
    "# columns behind wood, may be left out. A file saved by a spreadsheet is as good.",
    "# part: a name of your own. per_set: how many of it one set needs.",
    "# length, width, thickness: the finished sizes, the grain along the length. A bare number",
    "#   is in the units of shop.csv; 14 cm, 1.83 m and 5-1/2 in are understood as well.",
    "# wood: as in rack.csv and yard.csv, several with | between them, or any.",
    "# grain: along the length (usual), across it, or any.",
    "# way: saw (sawn to size), blank (a sawn blank of its own, routed alone) or gang (routed",
    "#   with others from one load).",
    "# faced: how many faces the router takes down to thickness: none, one or two.",
    "# hold: where it is clamped: ends, sides, all, tape, or auto for what is best.",
    "# Also known: shape: rectangle or round. tabs: how many keep the part in its rim. spares:",
    "#   made beside what the sets need. match: parts with the same letter come from one plank.",
    "#   fit: the play it has across the grain when built in. hand_minutes: of hand work a part.",
    "part,per_set,length,width,thickness,wood,grain,way,faced,hold,note",
    "tray,1,220,90,18,oak,along,blank,one,auto,hollowed on the router",
    "foot,2,80,20,12,oak,along,saw,none,,glued under the tray",
    NULL,
};

static const char *const rack_lines[] = {
    "# The wood on hand. stock: a name for these pieces. kind: plank (solid) or sheet (panel).",
    "# length, width, thickness: as it lies there, the grain along the length.",
    "# count: how many there are. value: what one piece is worth to you.",
    "# surface: rough or planed, which decides how much is trimmed off ends and edges;",
    "#   trim_ends and trim_edges (each end, each edge) say it for this piece alone.",
    "# Also known: face_grain (of sheets): length, width or none. crook: how far an edge is off",
    "#   straight at most, which the saw must take away.",
    "stock,kind,wood,length,width,thickness,count,value,surface,note",
    "O1,plank,oak,1200,150,21,1,26.00,rough,a knot near one end: see flaws.csv",
    "O2,plank,oak,600,90,12,1,7.50,planed,",
    NULL,
};

static const char *const yard_lines[] = {
    "# Wood that can be bought. The columns are those of rack.csv, with price for value.",
    "# per: what the price is for: each, m, ft, m2, ft2, m3 or bf (board foot).",
    "# count: empty for as many as wanted. pack: sold in packs of so many.",
    "# supplier: for the purchase list. Also known: tally_thickness (the nominal one, for bf).",
    "stock,kind,wood,length,width,thickness,price,per,surface,supplier",
    "Y1,plank,oak,1800,150,21,24.00,m,rough,the yard",
    "Y2,plank,oak,900,90,12,12.00,each,planed,the yard",
    NULL,
};

static const char *const flaws_lines[] = {
    "# What no part may touch: knots, splits, sapwood, each a rectangle.",
    "# stock, copy: which piece (copy 1 is the first of several). x, y: from its lower left",
    "# corner, before anything is trimmed off. length, width: of the rectangle, the length along",
    "# the stock's. what: in your words. Also known: rim_ok: yes where it may lie in a rim.",
    "stock,copy,x,y,length,width,what",
    "O1,1,60,70,40,30,knot",
    NULL,
};

static const char *const shop_lines[] = {
    "# Your shop. What is left out has a usual value; those you read off your own machines",
    "# are worth the trouble. The README lists every setting.",
    "# What a run costs and brings is told from two more files: bought.csv (item, per_set, pack,",
    "# price: pegs, screws) and money.csv (item, value: price of a set, fees, demand).",
    "setting,value,note",
    "units,mm,of bare numbers and of what is printed: mm or inch",
    "sets,6,how many sets to make",
    "kerf_rip,3.2,what the saw eats in a cut along the grain",
    "kerf_crosscut,3.0,what it eats in a cut across",
    "bed_length,380,the router's bed from left to right",
    "bed_width,260,and from front to back",
    "travel_x,340,how far the cutter's centre goes from left to right",
    "travel_y,230,and from front to back",
    "labour_rate,20,an hour; 0 looks at the wood alone",
    NULL,
};

static const char *const clamps_lines[] = {
    "# What holds the work. kind: side (pushes on the edge, below the surface) or hold-down",
    "# (presses from above). width: along the edge. over: how far it reaches onto the stock, 0",
    "# for side clamps. beside: the bed it needs beside the stock. height: above stock or bed,",
    "# as height_from says. min_stock: the thinnest stock it may hold; max_stock: the thickest.",
    "# force: in newtons. count: how many you own.",
    "clamp,kind,count,width,over,beside,height,height_from,min_stock,force",
    "hold-down,hold-down,4,25,15,25,12,stock,3,300",
    "side clamp,side,4,30,0,30,8,bed,10,400",
    NULL,
};

static const char *const cutters_lines[] = {
    "# The router's cutters. diameter, flute_length, stickout (below the nut) and nut_diameter",
    "# decide what fits; feed and plunge are per minute; stepdown and stepover are per pass.",
    "# flutes, rpm: teeth, and turns a minute. Also known: shank: its diameter. neck_reach: how",
    "# deep it goes where a thin neck follows the flutes. slot: its place in a tool changer. "
    "shape,",
    "# angle: of a pointed cutter, in degrees.",
    "cutter,diameter,flute_length,flutes,rpm,feed,plunge,stepdown,stepover,stickout,nut_diameter",
    "flat 6,6,25,2,12000,900,250,2,2.4,36,20",
    "face 16,16,8,2,10000,1500,300,1,8,25,20",
    "drill 5,5,30,2,6000,200,200,3,,38,20",
    NULL,
};

static const char *const steps_lines[] = {
    "# What the router does to each part. step: face, pocket, drill, profile (cutting it out)",
    "# or chamfer. cutter: as in cutters.csv. depth; area of a pocket in square mm; path: the",
    "# length of a chamfer. side: top, or under for work from the other face.",
    "# holes: where they are, for the templates: 20x15 is 20 along the part and 15 across it, from",
    "#   its lower left corner as seen from the top. ; or | between several. Rows and fields of",
    "#   rows: 20x15 to 200x15 by 36, 20x15 to 200x75 by 36x60. count: of holes without places.",
    "# Also known: peck: depth of one plunge of a drill. stand: the part lies flat or stands on "
    "its",
    "# edge or end. place: bed, drill press or saw. note: in your words.",
    "part,step,cutter,depth,area,side,holes",
    "tray,face,face 16,,,top,",
    "tray,pocket,flat 6,10,15200,top,",
    "tray,drill,drill 5,,,top,10x45; 210x45",
    "tray,profile,flat 6,,,top,",
    NULL,
};

static const struct starter_file {
  const char *name;
  const char *const *lines;
} starter_files[] = {
    {"parts.csv", parts_lines},     {"rack.csv", rack_lines},   {"yard.csv", yard_lines},
    {"flaws.csv", flaws_lines},     {"shop.csv", shop_lines},   {"clamps.csv", clamps_lines},
    {"cutters.csv", cutters_lines}, {"steps.csv", steps_lines},
};

enum { STARTER_FILES = sizeof starter_files / sizeof *starter_files };

/* ---- writing them ---- */

static bool is_dot_name(const char *name) {
  return strcmp(name, ".") == 0 || strcmp(name, "..") == 0;
}

/* Stands in the folder while the files are given their names. */
static const char notice[] = "UNFINISHED.txt";

/* One of the starter's files, or a name it has while it is written. */
static bool is_of_starter(const char *name) {
  bool hidden = name[0] == '.';
  if (hidden) name++;
  for (size_t i = 0; i < STARTER_FILES; i++) {
    size_t length = strlen(starter_files[i].name);
    if (strncmp(name, starter_files[i].name, length) != 0) continue;
    name += length;
    return hidden ? strcmp(name, ".tmp") == 0 || strcmp(name, ".old") == 0 : *name == '\0';
  }
  return strcmp(name, notice) == 0;
}

/* True when the folder is not there, holds nothing, or nothing but what a run that was stopped
 * has left. */
static bool folder_is_free(struct arena *arena, const char *folder) {
  DIR *listing = opendir(folder);
  if (listing == NULL && errno == ENOMEM) arena_raise(arena, STATUS_NO_MEMORY);
  if (listing == NULL) return errno == ENOENT;
  bool noticed = false, hidden = true, own = true;
  for (const struct dirent *entry = readdir(listing); entry != NULL; entry = readdir(listing)) {
    if (is_dot_name(entry->d_name)) continue;
    own = own && is_of_starter(entry->d_name);
    noticed = noticed || strcmp(entry->d_name, notice) == 0;
    hidden = hidden && entry->d_name[0] == '.';
  }
  closedir(listing);
  return own && (hidden || noticed);
}

static bool add_file(struct file_batch *batch, struct buffer *content,
                     const struct starter_file *file) {
  buffer_clear(content);
  for (size_t i = 0; file->lines[i] != NULL; i++) buffer_format(content, "%s\n", file->lines[i]);
  return batch_add(batch, file->name, content->text, content->length);
}

static bool write_files(struct arena *arena, const char *folder, struct diagnostics *diagnostics) {
  struct file_batch *batch = batch_open(arena, folder, diagnostics);
  if (batch == NULL) return false;
  batch_notice(batch, notice,
               "Writing was stopped: this project is not whole. Run the same command again.\n",
               true);
  struct buffer *content = buffer_create(arena);
  bool written = true;
  for (size_t i = 0; written && i < STARTER_FILES; i++)
    written = add_file(batch, content, &starter_files[i]);
  written = written && batch_commit(batch);
  batch_close(batch);
  return written;
}

enum status starter_write(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                          struct buffer *text) {
  if (!folder_is_free(arena, folder)) {
    struct place place = {.file = folder};
    diagnostics_add(diagnostics, SEVERITY_ERROR, &place,
                    "is not an empty folder, expected one that is new or empty");
    return STATUS_BAD_INPUT;
  }
  const char *shown = safe_line(text->arena, folder);
  buffer_format(text, "a starter project of %d files in %s\n", (int)STARTER_FILES, shown);
  buffer_format(text, "next: edit them, then  blankwright check %s\n", shown);
  if (write_files(arena, folder, diagnostics)) return STATUS_OK;
  buffer_clear(text);
  return STATUS_NOT_WRITTEN;
}
