/* Labels to cut out of plain paper and put on the pieces as they come off the saw. */
#include "write/pdf_page.h"
#include "write/writers.h"

/* A label is at least this large; the sheet is divided evenly into as many as it takes. */
#define LEAST_LENGTH MM(60)
#define LEAST_WIDTH MM(30)
#define HEAD MM(8)
#define PAD MM(3)

struct sheet {
  struct arena *arena;
  struct pdf *pdf;
  const struct view *view;
  struct pdf_paper paper;
  int64_t columns, rows;
  length_t length, width; /* of a label */
  int64_t next;           /* label of this page; 0: a page is to be started */
  int64_t page;
};

static void draw_grid(struct sheet *sheet) {
  length_t left = sheet->paper.margin, top = sheet->paper.margin + HEAD;
  length_t right = left + sheet->columns * sheet->length, low = top + sheet->rows * sheet->width;
  pdf_pen(sheet->pdf, PDF_GREY, MM(1) / 5, MM(2), MM(2));
  for (int64_t c = 0; c <= sheet->columns; c++)
    pdf_line(sheet->pdf, left + c * sheet->length, top, left + c * sheet->length, low);
  for (int64_t r = 0; r <= sheet->rows; r++)
    pdf_line(sheet->pdf, left, top + r * sheet->width, right, top + r * sheet->width);
}

static void start_page(struct sheet *sheet) {
  struct pdf_type type = {.size = MM(3), .room = sheet->columns * sheet->length};
  pdf_start_page(sheet->pdf, sheet->paper.width, sheet->paper.height);
  sheet->page++;
  pdf_text(sheet->pdf, sheet->paper.margin, sheet->paper.margin + MM(4), type,
           arena_format(sheet->arena,
                        "%s: labels of the pieces, in the order of the planks; sheet "
                        "%lld; cut along the dashed lines",
                        sheet->view->project->name, (long long)sheet->page));
  draw_grid(sheet);
}

/* ---- one label ---- */

/* The size along and across the piece, and whether the grain runs along it. */
struct measure {
  length_t length, width;
  bool has_grain, along;
};

static struct measure measure_piece(const struct view_stock *entry,
                                    const struct view_piece *piece) {
  const struct stock *stock = entry->stock;
  bool along = stock->kind != STOCK_SHEET || stock->face_grain != FACE_GRAIN_WIDTH;
  bool has_grain = stock->kind != STOCK_SHEET || stock->face_grain != FACE_GRAIN_NONE;
  if (piece->blank == NULL)
    return (struct measure){piece->place.length, piece->place.width, has_grain, along};
  return (struct measure){piece->blank->length, piece->blank->width, has_grain,
                          along != piece->turned};
}

static void draw_head(struct sheet *sheet, length_t x, length_t y, length_t dx, length_t dy) {
  pdf_line(sheet->pdf, x, y, x - dx + dy / 2, y - dy + dx / 2);
  pdf_line(sheet->pdf, x, y, x - dx - dy / 2, y - dy - dx / 2);
}

/* The piece in small, its length lying, with an arrow along the grain. */
static void draw_grain(struct sheet *sheet, length_t x, length_t y, const struct measure *measure) {
  const length_t length = MM(16);
  length_t width = (length_t)((double)length * (double)measure->width / (double)measure->length);
  width = width < MM(4) ? MM(4) : width > MM(10) ? MM(10) : width;
  struct view_place place = {x, y - width / 2, length, width};
  pdf_pen(sheet->pdf, PDF_INK, MM(1) / 5, 0, 0);
  pdf_rect(sheet->pdf, &place, 0);
  if (!measure->has_grain) return;
  length_t middle = x + length / 2, head = MM(3) / 2;
  pdf_pen(sheet->pdf, PDF_INK, MM(1) / 3, 0, 0);
  if (measure->along) {
    pdf_line(sheet->pdf, x + MM(2), y, x + length - MM(2), y);
    draw_head(sheet, x + length - MM(2), y, head, 0);
    draw_head(sheet, x + MM(2), y, -head, 0);
  } else {
    length_t reach = width / 2 - MM(1) / 2;
    pdf_line(sheet->pdf, middle, y - reach, middle, y + reach);
    draw_head(sheet, middle, y + reach, 0, head);
    draw_head(sheet, middle, y - reach, 0, -head);
  }
}

static const char *grain_words(const struct measure *measure) {
  if (!measure->has_grain) return "no grain";
  return measure->along ? "grain along the length" : "grain across the length";
}

/* "for 2 lid, 4 spacer". */
static const char *made_counts(struct sheet *sheet, const struct view_load *load) {
  const char *text = "for";
  for (size_t k = 0; k < load->load->kind_count; k++) {
    size_t part = load->load->kinds[k], count = 0;
    for (size_t i = 0; i < load->made_count; i++) count += load->made[i].held->part == part;
    if (count > 0)
      text = arena_format(sheet->arena, "%s%s %zu %s", text, k == 0 ? "" : ",", count,
                          sheet->view->project->parts[part].name);
  }
  return text;
}

static const char *next_words(struct sheet *sheet, const struct view_piece *piece) {
  if (piece->role == ROLE_RESAW) return "to be resawn";
  if (piece->role == ROLE_OFFCUT) return "back on the rack";
  if (piece->glued != NULL) return arena_format(sheet->arena, "glued up to %s", piece->glued);
  if (piece->load == SIZE_MAX) return "sawn to size";
  const struct view_load *load = &sheet->view->loads[piece->load];
  if (piece->role == ROLE_LOAD) return made_counts(sheet, load);
  return arena_format(sheet->arena, "load %s", load->name);
}

static void draw_label(struct sheet *sheet, const struct view_stock *entry,
                       const struct view_piece *piece) {
  struct arena *arena = sheet->arena;
  enum unit unit = sheet->view->unit;
  struct measure measure = measure_piece(entry, piece);
  length_t x = sheet->paper.margin + sheet->next % sheet->columns * sheet->length + PAD;
  length_t y = sheet->paper.margin + HEAD + sheet->next / sheet->columns * sheet->width;
  struct pdf_type type = {.size = MM(5), .room = sheet->length - 2 * PAD, .bold = true};
  pdf_text(sheet->pdf, x, y + MM(7), type, piece->name);
  type.size = MM(4);
  type.bold = false;
  pdf_text(sheet->pdf, x, y + MM(13), type,
           arena_format(arena, "%s \xC3\x97 %s",
                        view_size(arena, unit, measure.length, measure.width, "\xC3\x97",
                                  piece->role == ROLE_OFFCUT ? ROUND_DOWN : ROUND_UP, NULL),
                        length_text_unit(arena, entry->stock->thickness, unit, ROUND_NEAREST)));
  type.size = MM(3);
  pdf_text(sheet->pdf, x, y + MM(18), type,
           arena_format(arena, "from %s, %s", entry->title, entry->stock->wood));
  draw_grain(sheet, x, y + MM(24), &measure);
  type.room -= MM(18);
  pdf_text(sheet->pdf, x + MM(18), y + MM(23), type, next_words(sheet, piece));
  type.size = MM(5) / 2;
  pdf_text(sheet->pdf, x + MM(18), y + MM(27), type, grain_words(&measure));
}

/* ---- all of them ---- */

static void add_label(struct sheet *sheet, const struct view_stock *entry,
                      const struct view_piece *piece) {
  struct arena_mark mark = arena_mark(sheet->arena);
  if (sheet->next == 0) start_page(sheet);
  draw_label(sheet, entry, piece);
  sheet->next = (sheet->next + 1) % (sheet->columns * sheet->rows);
  arena_release(sheet->arena, mark);
}

void write_labels_pdf(struct buffer *buffer, const struct view *view) {
  struct arena *arena = buffer->arena;
  size_t count = 0;
  for (size_t s = 0; s < view->stock_count; s++) count += view->stocks[s].piece_count;
  if (count == 0) return;
  struct sheet sheet = {.arena = arena, .view = view, .paper = pdf_paper_of(&view->project->shop)};
  length_t length = sheet.paper.width - 2 * sheet.paper.margin;
  length_t width = sheet.paper.height - 2 * sheet.paper.margin - HEAD;
  sheet.columns = length / LEAST_LENGTH;
  sheet.rows = width / LEAST_WIDTH;
  sheet.length = length / sheet.columns;
  sheet.width = width / sheet.rows;
  sheet.pdf = pdf_open(arena, arena_format(arena, "%s: labels of the pieces", view->project->name));
  for (size_t s = 0; s < view->stock_count; s++)
    for (size_t p = 0; p < view->stocks[s].piece_count; p++)
      add_label(&sheet, &view->stocks[s], &view->stocks[s].pieces[p]);
  pdf_close(sheet.pdf, buffer);
}
