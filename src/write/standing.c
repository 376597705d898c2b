#include "write/standing.h"

#include "write/paragraph.h"
#include "write/view.h"

static const char *const standing[] = {
    "Measure the scale bar both ways before you measure on a print.",
    "Measure the diagonals of the first blank.",
    "Make a dry run above the work, around every clamp, before the first cut.",
    "Wear eye and ear protection and keep the dust extraction on.",
    "Never leave a running router alone.",
    "Your machines' manuals, local rules and trained practice come before anything said here.",
};

const char *standing_caution(size_t index) {
  return index < sizeof standing / sizeof *standing ? standing[index] : NULL;
}

void add_standing_cautions(struct buffer *buffer) {
  buffer_add(buffer, "\nAlways\n");
  for (size_t i = 0; i < sizeof standing / sizeof *standing; i++)
    paragraph(buffer, "  ", 4, standing[i]);
}

const char *defaults_text(struct arena *arena, const struct project *project,
                          const struct blanks *blanks, const struct plan *plan) {
  const char *text = NULL;
  enum unit unit = shop_unit(&project->shop);
  for (int i = 0; i < SETTING_TOTAL; i++) {
    if (!view_default_mattered(project, blanks, plan, (enum setting)i)) continue;
    const struct setting_description *setting = &setting_table[i];
    text =
        arena_format(arena, "%s%s%s %s %s", text == NULL ? "" : text, text == NULL ? "" : ", ",
                     setting->name, unit == UNIT_MM ? setting->default_mm : setting->default_inch,
                     unit == UNIT_MM ? "mm" : "in");
  }
  return text;
}
