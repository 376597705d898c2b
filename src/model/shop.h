/* The shop's settings: one table drives reading, defaults, help and reports. */
#ifndef BLANKWRIGHT_MODEL_SHOP_H
#define BLANKWRIGHT_MODEL_SHOP_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/length.h"

/* How the text of a setting is read and in what its value is kept. */
enum setting_kind {
  SETTING_LENGTH,  /* length_t, not negative */
  SETTING_COUNT,   /* a whole number */
  SETTING_STAGES,  /* a whole number 1..9, or "any" kept as 0 */
  SETTING_NUMBER,  /* thousandths */
  SETTING_MINUTES, /* thousandths of a minute */
  SETTING_PERCENT, /* thousandths of a percent; "4" and "4 %" are the same */
  SETTING_SHARE,   /* thousandths of a percent; "0.05" and "5 %" are the same */
  SETTING_FORCE,   /* thousandths of a newton; "30", "30 N", "7 lbf" */
  SETTING_MONEY,   /* cents */
  SETTING_CHOICE   /* index into the words of `choices`, which are parted by "|" */
};

/* X(name, kind, default in mm, default in inch, least, most, choices, machine, meaning)
 * `machine` is 1 for what the owner reads off their own machine. Least and most are
 * texts read like the value; empty is no limit of its own. Defaults are common
 * practice without a source. An empty default is worked out from others. */
/* One line a setting. */
/* clang-format off */
#define SETTING_LIST(X)                                                                            \
  X(units, CHOICE, "mm", "inch", "", "", "mm|inch", 0, "unit of bare numbers and of output")       \
  X(sets, COUNT, "1", "1", "1", "1000000", "", 0, "sets to make where --sets is not given")        \
  X(kerf_rip, LENGTH, "3.2", "1/8", "", "20 mm", "", 0, "width the saw eats in a rip")             \
  X(kerf_crosscut, LENGTH, "3.0", "1/8", "", "20 mm", "", 0, "width the saw eats in a crosscut")   \
  X(saw_stages, STAGES, "3", "3", "", "", "", 0, "most turns of direction at the saw, or any")     \
  X(first_cut, CHOICE, "either", "either", "", "", "crosscut|rip|either", 0, "direction of the first cut of a piece of stock") \
  X(saw_allowance, LENGTH, "0.5", "1/32", "", "20 mm", "", 0, "added per sawn edge to parts of way saw") \
  X(mark_step, LENGTH, "0.5", "1/32", "0.001 mm", "50 mm", "", 0, "sizes of blanks are raised to a multiple of it") \
  X(trim_ends_rough, LENGTH, "25", "1", "", "", "", 0, "cut off each end of a rough plank")        \
  X(trim_ends_planed, LENGTH, "10", "1/2", "", "", "", 0, "cut off each end of a planed plank")    \
  X(trim_ends_sheet, LENGTH, "6", "1/4", "", "", "", 0, "cut off each end of a sheet")             \
  X(trim_edges_rough, LENGTH, "6", "1/4", "", "", "", 0, "cut off each edge of a rough plank")     \
  X(trim_edges_planed, LENGTH, "2", "1/16", "", "", "", 0, "cut off each edge of a planed plank")  \
  X(trim_edges_sheet, LENGTH, "6", "1/4", "", "", "", 0, "cut off each edge of a sheet")           \
  X(flaw_margin, LENGTH, "5", "1/4", "", "", "", 0, "kept clear around a flaw")                    \
  X(split_margin, LENGTH, "25", "1", "", "", "", 0, "kept clear beyond a split's end, along the grain") \
  X(offcut_min_length, LENGTH, "200", "8", "", "", "", 0, "shortest left-over worth keeping")      \
  X(offcut_min_width, LENGTH, "40", "1-1/2", "", "", "", 0, "narrowest left-over worth keeping")   \
  X(rip_min_length, LENGTH, "300", "12", "", "", "", 0, "shortest piece offered to a rip")         \
  X(rip_min_width, LENGTH, "20", "3/4", "", "", "", 0, "narrowest strip ripped without a jig")     \
  X(rip_narrow, LENGTH, "75", "3", "", "", "", 0, "strips narrower than this need a push block")   \
  X(hands_off, LENGTH, "150", "6", "", "", "", 0, "distance of a hand from the blade")             \
  X(crosscut_hold, LENGTH, "250", "10", "", "", "", 0, "shorter pieces are clamped or on a sled")  \
  X(stop_min, LENGTH, "100", "4", "", "", "", 0, "least piece between stop and blade")             \
  X(planer_min_length, LENGTH, "350", "14", "", "", "", 1, "shortest piece through the planer")    \
  X(planer_min_thickness, LENGTH, "6", "1/4", "", "", "", 1, "thinnest piece through the planer")  \
  X(jointer_min_length, LENGTH, "300", "12", "", "", "", 1, "shortest piece over the jointer")     \
  X(jointer_min_thickness, LENGTH, "12", "1/2", "", "", "", 1, "thinnest piece over the jointer")  \
  X(jointer_min_width, LENGTH, "20", "3/4", "", "", "", 1, "narrowest piece over the jointer")     \
  X(crosscut_capacity, LENGTH, "300", "12", "1 mm", "", "", 1, "widest plank the saw crosscuts")   \
  X(rip_capacity, LENGTH, "600", "24", "1 mm", "", "", 1, "widest setting of the rip fence")       \
  X(blade_height, LENGTH, "75", "3", "1 mm", "", "", 1, "thickest stock the saw cuts through")     \
  X(sheet_max_length, LENGTH, "1220", "48", "1 mm", "", "", 0, "longest sheet handled whole at the saw") \
  X(sheet_max_width, LENGTH, "610", "24", "1 mm", "", "", 0, "widest sheet handled whole at the saw") \
  X(bed_length, LENGTH, "380", "15", "1 mm", "", "", 1, "router bed, left to right")               \
  X(bed_width, LENGTH, "260", "10-1/4", "1 mm", "", "", 1, "router bed, front to back")            \
  X(travel_x, LENGTH, "340", "13-3/8", "1 mm", "", "", 1, "travel of the cutter's centre, left to right") \
  X(travel_y, LENGTH, "230", "9", "1 mm", "", "", 1, "travel of the cutter's centre, front to back") \
  X(travel_z, LENGTH, "80", "3-1/8", "1 mm", "", "", 1, "travel of the cutter's centre, up and down") \
  X(daylight, LENGTH, "110", "4-5/16", "1 mm", "", "", 1, "bed to nut at the top of travel")       \
  X(bed_pitch, LENGTH, "0", "0", "", "", "", 1, "distance of clamp places on the bed, 0 is anywhere") \
  X(stops, CHOICE, "left+front", "left+front", "", "", "left+front|right+front|left+back|right+back|none", 0, "edges of the bed that carry stops") \
  X(origin, CHOICE, "front-left", "front-left", "", "", "front-left|front-right|back-left|back-right|centre", 0, "where the router's zero is") \
  X(waste_board, LENGTH, "12", "1/2", "", "", "", 0, "thickness of the sacrificial board")         \
  X(overcut, LENGTH, "0.4", "1/64", "", "", "", 0, "how far a through cut goes into the waste board") \
  X(clearance, LENGTH, "5", "3/16", "", "", "", 0, "cutter above stock and clamps when it travels") \
  X(rim, LENGTH, "8", "5/16", "", "", "", 0, "wood left standing around the cutter's path")        \
  X(web, LENGTH, "6", "1/4", "", "", "", 0, "wood left standing between two cutter paths")         \
  X(clear_gap, LENGTH, "3", "1/8", "", "", "", 0, "between cutter and clamp")                      \
  X(nut_margin, LENGTH, "2", "1/16", "", "", "", 0, "between nut and clamp, in height")            \
  X(part_gap, LENGTH, "", "", "", "", "", 0, "between outlines in a load; 2 cutter diameters and the web unless set") \
  X(squareness, LENGTH, "0.5", "1/32", "", "", "", 0, "added per free side of a blank")            \
  X(face_min, LENGTH, "0.8", "1/32", "", "", "", 0, "least taken off a face")                      \
  X(face_max, LENGTH, "4", "5/32", "", "", "", 0, "most taken off a face")                         \
  X(face_runoff, LENGTH, "3", "1/8", "", "50 mm", "", 0, "how far a facing cutter runs off, its middle outside the outline") \
  X(thickness_tolerance, LENGTH, "0.3", "1/64", "", "", "", 0, "of stock that is not faced")       \
  X(floor_min, LENGTH, "3", "1/8", "", "", "", 0, "wood left under a pocket")                      \
  X(tab_width, LENGTH, "6", "1/4", "", "", "", 0, "along the cut")                                 \
  X(tab_height, LENGTH, "2", "3/32", "", "", "", 0, "of a tab")                                    \
  X(tab_spacing, LENGTH, "120", "5", "1 mm", "", "", 0, "of outline per tab")                      \
  X(tab_corner, LENGTH, "15", "5/8", "", "", "", 0, "from a corner to a tab")                      \
  X(clamp_span, LENGTH, "150", "6", "1 mm", "", "", 0, "longest side left without a clamp")        \
  X(clamp_end, LENGTH, "40", "1-1/2", "", "", "", 0, "from an end to its clamp")                   \
  X(side_clamp_min_stock, LENGTH, "10", "3/8", "", "", "", 0, "thinner stock bows under side clamps") \
  X(hold_safety, NUMBER, "2", "2", "1", "100", "", 0, "friction held over cutting force")          \
  X(friction, NUMBER, "0.3", "0.3", "0.01", "2", "", 0, "clamp on wood")                           \
  X(cut_force_min, FORCE, "30 N", "7 lbf", "", "", "", 0, "least cutting force reckoned with")     \
  X(cutting_energy, NUMBER, "60", "60", "", "", "", 0, "N/mm2, hardwood; low confidence")          \
  X(glue_up, CHOICE, "no", "no", "", "", "no|yes", 0, "glue wide blanks up from strips")           \
  X(glue_per_edge, LENGTH, "1", "1/32", "", "", "", 0, "jointed off each glued edge")              \
  X(resaw, CHOICE, "no", "no", "", "", "no|yes", 0, "split thick stock into leaves")               \
  X(resaw_kerf, LENGTH, "1.5", "1/16", "", "", "", 0, "of the resaw")                              \
  X(resaw_clean, LENGTH, "1.5", "1/16", "", "", "", 0, "cleaned off each resawn face")             \
  X(resaw_max_height, LENGTH, "150", "6", "", "", "", 1, "widest plank that can be resawn")        \
  X(season_swing, PERCENT, "4", "4", "", "100", "", 0, "change of moisture content over a year")   \
  X(tool_change_min, MINUTES, "1", "1", "", "", "", 0, "minutes a change of cutter takes")         \
  X(probe_min, MINUTES, "1", "1", "", "", "", 0, "minutes a probing takes")                        \
  X(setup_min, MINUTES, "4", "4", "", "", "", 0, "minutes to fix a load on the bed")               \
  X(saw_cut_min, MINUTES, "0.5", "0.5", "", "", "", 0, "minutes a saw cut takes")                  \
  X(fence_setting_min, MINUTES, "1.5", "1.5", "", "", "", 0, "minutes a fence setting takes")      \
  X(tab_clean_min, MINUTES, "0.5", "0.5", "", "", "", 0, "minutes to clean a tab off")             \
  X(attended_share, SHARE, "0.3", "0.3", "", "100 %", "", 0, "of machine time that costs labour")  \
  X(labour_rate, MONEY, "0", "0", "", "", "", 0, "per hour; 0 optimises wood alone")               \
  X(spoilage, SHARE, "0", "0", "", "90 %", "", 0, "share of sets lost")                            \
  X(paper, CHOICE, "A4", "Letter", "", "", "A4|Letter", 0, "of printed templates")                 \
  X(paper_margin, LENGTH, "8", "5/16", "", "20 mm", "", 0, "left free on each edge of the paper")  \
  X(paper_overlap, LENGTH, "10", "3/8", "", "40 mm", "", 0, "by which two sheets of paper overlap")

/* clang-format on */

enum setting {
#define SETTING_ENUM(name, kind, mm, inch, least, most, choices, machine, meaning) SETTING_##name,
  SETTING_LIST(SETTING_ENUM)
#undef SETTING_ENUM
      SETTING_TOTAL
};

enum first_cut { FIRST_CROSSCUT, FIRST_RIP, FIRST_EITHER };

struct shop {
  /* Each setting by its name, in the kind's own measure; part_gap is -1 unless given. */
#define SETTING_FIELD(name, kind, mm, inch, least, most, choices, machine, meaning) int64_t name;
  SETTING_LIST(SETTING_FIELD)
#undef SETTING_FIELD
  bool given[SETTING_TOTAL]; /* stood in shop.csv */
};

struct setting_description {
  const char *name;
  enum setting_kind kind;
  const char *default_mm;
  const char *default_inch;
  const char *least;
  const char *most;
  const char *choices;
  bool machine;
  const char *meaning;
};

/* SETTING_TOTAL entries in the order of enum setting. */
extern const struct setting_description setting_table[];

/* Where in a shop the value of a setting stands. */
int64_t *shop_value(struct shop *shop, enum setting setting);

/* Reads one setting's text by its kind; false when it does not fit its form or limits,
 * and then *expected (never NULL) says what was expected, in the arena. */
bool setting_parse(struct arena *arena, enum setting setting, const char *text, enum unit unit,
                   bool decimal_comma, int64_t *value, const char **expected);

/* Fills in every default of a unit; nothing counts as given. */
void shop_set_defaults(struct arena *arena, struct shop *shop, enum unit unit);

enum unit shop_unit(const struct shop *shop);

/* Reads a force: "30", "30 N", "7 lbf", as thousandths of a newton; at most 1 MN. */
bool force_parse(struct arena *arena, const char *text, bool decimal_comma, int64_t *value);

/* "mm|inch|foot" as "mm, inch or foot". */
char *words_text(struct arena *arena, const char *choices);

#endif
