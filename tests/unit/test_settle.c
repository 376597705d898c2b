/* The rack's files after settling: what changes, and that nothing else does. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <stdio.h>
#include <string.h>

#include "base/fingerprint.h"
#include "base/random.h"
#include "model/stock_fingerprint.h"
#include "read/rows.h"
#include "settle/settle.h"
#include "unit/project_folder.h"

#define PLAN "0123456789abcdef"
#define MARK "# settled plan " PLAN ": 3 sets"

static struct scene scene;
static struct left_over left;
static struct file_rows rack, flaws;
static struct settled settled;
static enum status status;

static int open_scene(void **state) {
  (void)state;
  scene_open(&scene);
  left = (struct left_over){.plan = PLAN, .sets = 3};
  return 0;
}

static int close_scene(void **state) {
  (void)state;
  scene_close(&scene);
  return 0;
}

/* ---- what is settled ---- */

static void lay_out(const char *rack_text, const char *flaws_text) {
  scene_file(&scene, "rack.csv", rack_text);
  scene_file(&scene, "flaws.csv", flaws_text);
  scene_read(&scene);
  scene_expect_fine(&scene);
  left.project = scene.project->name;
}

static const struct stock *stock_named(const char *name) {
  for (size_t i = 0; i < scene.project->stock_count; i++)
    if (strcmp(scene.project->stocks[i].name, name) == 0) return &scene.project->stocks[i];
  return NULL;
}

/* Names must come in rising order, copies too. */
static void use(const char *name, int64_t copy) {
  struct used_stock *used = left.used_count > 0 ? &left.used[left.used_count - 1] : NULL;
  if (used == NULL || strcmp(used->name, name) != 0) {
    used = ARENA_PUSH(scene.arena, left.used, left.used_count, left.used_room);
    uint64_t fingerprint = stock_fingerprint(stock_named(name));
    *used = (struct used_stock){.name = name,
                                .fingerprint = fingerprint_text(scene.arena, fingerprint)};
  }
  *ARENA_PUSH(scene.arena, used->copies, used->count, used->room) = copy;
}

static struct stock *leave(const char *name, length_t length, length_t width, cents_t value) {
  struct stock *piece = ARENA_PUSH(scene.arena, left.pieces, left.piece_count, left.piece_room);
  *piece = (struct stock){.name = name,
                          .wood = "oak",
                          .length = length,
                          .width = width,
                          .thickness = MM(18),
                          .count = 1,
                          .value = value,
                          .note = "offcut"};
  left.offcut_count = left.piece_count;
  return piece;
}

static void add_flaw(struct stock *piece, length_t x, length_t y, length_t length, length_t width) {
  *ARENA_PUSH(scene.arena, piece->flaws, piece->flaw_count, piece->flaw_room) =
      (struct flaw){.x = x, .y = y, .length = length, .width = width, .what = "knot"};
}

static void settle(void) {
  assert_int_equal(read_rack_rows(scene.arena, scene.folder, scene.diagnostics, &rack), STATUS_OK);
  assert_int_equal(read_flaws_rows(scene.arena, scene.folder, scene.diagnostics, &flaws),
                   STATUS_OK);
  status =
      settle_rack(scene.arena, scene.project, &left, &rack, &flaws, scene.diagnostics, &settled);
}

static void expect_rack(const char *text) {
  settle();
  assert_int_equal(status, STATUS_OK);
  assert_string_equal(settled.rack->text, text);
}

static void expect_refused(const char *file, long line, long column, const char *text) {
  settle();
  assert_int_equal(status, STATUS_BAD_INPUT);
  scene_expect_fault(&scene, file, line, column, text);
}

/* ---- rows of before ---- */

static void lines_of_what_is_used_up_go(void **state) {
  (void)state;
  lay_out(
      "# top\nstock,kind,wood,length,width,thickness,note\nA,plank,oak,900,100,18,\"two\nlines\"\n"
      "# of B\nB,plank,oak,900,100,18,\n\nC,plank,oak,900,100,18,  last",
      NULL);
  use("A", 1);
  use("C", 1);
  expect_rack(
      "# top\nstock,kind,wood,length,width,thickness,note\n# of B\n"
      "B,plank,oak,900,100,18,\n\n" MARK "\n");
  assert_null(settled.flaws);
}

static void counts_are_lowered_in_their_place(void **state) {
  (void)state;
  lay_out(
      "kind\tcount\tstock\twood\tlength\twidth\tthickness\r\n"
      "plank\t\" 12 \"\tA\toak\t900\t100\t18\r\nplank\t 3\tB\toak\t900\t100\t18\r\n",
      NULL);
  use("A", 2);
  use("A", 5);
  use("A", 6);
  use("B", 3);
  expect_rack(
      "kind\tcount\tstock\twood\tlength\twidth\tthickness\r\n"
      "plank\t\" 9 \"\tA\toak\t900\t100\t18\r\nplank\t 2\tB\toak\t900\t100\t18\r\n" MARK "\r\n");
}

static void flaws_of_copies_follow_them(void **state) {
  (void)state;
  lay_out(
      "stock,kind,wood,length,width,thickness,count\nA,plank,oak,900,100,18,5\n"
      "B,plank,oak,900,100,18,1\nC,plank,oak,900,100,18,0\n",
      "stock,copy,x,y,length,width\nA,1,10,10,5,5\nA,2,20,10,5,5\n# three\na, \"3\",30,10,5,5\n"
      "A,,40,10,5,5\nA,5,50,10,5,5\nB,,10,10,5,5\nb,1,20,10,5,5\nC,7,1,1,5,5");
  use("A", 2);
  use("A", 4);
  use("B", 1);
  settle();
  assert_int_equal(status, STATUS_OK);
  assert_string_equal(settled.flaws->text,
                      "stock,copy,x,y,length,width\nA,1,10,10,5,5\n# three\na, \"2\",30,10,5,5\n"
                      "A,,40,10,5,5\nA,3,50,10,5,5\nC,7,1,1,5,5");
}

/* ---- rows that join ---- */

static void new_rows_are_written_as_the_file_is(void **state) {
  (void)state;
  lay_out(
      "\"note\";\"stock\";\"kind\";\"wood\";\"length\";\"width\";\"thickness\"\r\n"
      ";A;plank;oak;900,5;100;18\r\n",
      NULL);
  struct stock *piece = leave("A-1a", MM(450) + MM(1) / 2, MM(50), 123);
  piece->trim_ends = MM(25);
  piece->trim_edges = MM(6);
  piece->note = "a \"quoted\" one";
  expect_rack(
      "\"note\";\"stock\";\"kind\";\"wood\";\"length\";\"width\";\"thickness\";\"value\"\r\n"
      ";A;plank;oak;900,5;100;18\r\n"
      "\"a \"\"quoted\"\" one\";\"A-1a\";\"plank\";\"oak\";\"450,5\";\"50\";\"18\";\"1,23\""
      "\r\n" MARK "\r\n");
}

/* A semicolon alone is a sign of decimal commas, unless a number says otherwise; a tab is none. */
static void the_decimal_sign_is_the_files(void **state) {
  (void)state;
  static const struct {
    const char delimiter, *length, *expected;
  } files[] = {{';', "900", "450,5"},
               {';', "900.5", "450.5"},
               {'\t', "900", "450.5"},
               {'\t', "0,9 m", "450,5 mm"},
               {',', "900", "450.5"}};
  for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
    static const char header[] = "stock,kind,wood,width,thickness,trim_ends,trim_edges,length\n";
    char text[256], row[512];
    snprintf(text, sizeof text, "%sA,plank,oak,100,18,0,0,@\n", header);
    for (char *at = text; *at != '\0'; at++)
      if (*at == ',') *at = files[i].delimiter;
    *strchr(text, '@') = '\0';
    snprintf(row, sizeof row, "%s%s\n", text, files[i].length);
    lay_out(row, NULL);
    left = (struct left_over){.plan = PLAN, .sets = 3, .project = scene.project->name};
    leave("O", MM(901) / 2, MM(50), 0);
    settle();
    assert_int_equal(status, STATUS_OK);
    snprintf(row, sizeof row, "%c%s\n# settled", files[i].delimiter, files[i].expected);
    assert_non_null(strstr(settled.rack->text, row));
  }
}

static void columns_are_added_where_an_empty_cell_would_lie(void **state) {
  (void)state;
  lay_out("stock,kind,wood,length,width,thickness\r\nA,plank,oak,900,100,18", NULL);
  struct stock *piece = leave("S", MM(600), MM(300), 0);
  piece->kind = STOCK_SHEET;
  piece->face_grain = FACE_GRAIN_WIDTH;
  piece->surface = SURFACE_PLANED;
  piece->count = 4;
  piece->crook = MM(1);
  expect_rack(
      "stock,kind,wood,length,width,thickness,count,surface,face_grain,crook,trim_ends,"
      "trim_edges\r\nA,plank,oak,900,100,18\r\n"
      "S,sheet,oak,600,300,18,4,planed,width,1,0,0\r\n" MARK "\r\n");
}

static void inches_are_exact(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv", "setting,value\nunits,inch\n");
  lay_out(
      "stock,kind,wood,length,width,thickness,trim_ends,trim_edges\n"
      "A,plank,oak,48 in,5-1/2 in,1/2 in,0,0\n",
      NULL);
  const length_t inch = LENGTH_PER_INCH;
  leave("O", 8 * inch + inch / 4 + 1, 2 * inch, 0)->thickness = inch / 2 + inch / 64;
  struct stock *spare = leave("S", 8 * inch + inch / 64, 2 * inch, 0);
  spare->thickness = MM(12);
  left.offcut_count = 1;
  expect_rack(
      "stock,kind,wood,length,width,thickness,trim_ends,trim_edges\n"
      "A,plank,oak,48 in,5-1/2 in,1/2 in,0,0\n"
      "O,plank,oak,8-1/4 in,2 in,33/64 in,0 in,0 in\n"
      "S,plank,oak,8-1/64 in,2 in,12 mm,0 in,0 in\n" MARK "\n");
}

static void a_rack_that_is_not_there_yet_is_made(void **state) {
  (void)state;
  scene_file(&scene, "yard.csv",
             "stock,kind,wood,length,width,thickness,price,per\nY,plank,oak,900,100,18,9,each\n");
  lay_out(NULL, NULL);
  leave("Y-1a", MM(300), MM(50), 150);
  expect_rack(
      "stock,kind,wood,length,width,thickness,count,value,surface,face_grain,crook,"
      "trim_ends,trim_edges,note\nY-1a,plank,oak,300,50,18,1,1.50,rough,,,0,0,offcut\n" MARK "\n");
}

static void names_that_are_taken_get_a_number(void **state) {
  (void)state;
  lay_out(
      "stock,kind,wood,length,width,thickness,trim_ends,trim_edges\n"
      "a-1A,plank,oak,900,100,18,0,0\n",
      NULL);
  leave("A-1a", MM(300), MM(50), 0);
  leave("A-1a", MM(300), MM(60), 0);
  settle();
  assert_int_equal(settled.piece_count, 2);
  assert_string_equal(settled.pieces[0].name, "A-1a-2");
  assert_string_equal(settled.pieces[1].name, "A-1a-3");
}

/* 0.1 mm is what offcuts.csv tells; 40 is 0.005 mm. */
static void offcuts_are_no_larger_and_their_flaws_no_smaller(void **state) {
  (void)state;
  lay_out("stock,kind,wood,length,width,thickness\nA,plank,oak,900,100,18\n",
          "stock,x,y,length,width,what\nA,1,1,1,1,\"a, b\"");
  struct stock *piece = leave("A-1a", MM(300) + 40, MM(50) + 799, 0);
  add_flaw(piece, MM(10) + 40, MM(5), MM(20), MM(3) + 40);
  add_flaw(piece, MM(300), 0, 40, MM(5)); /* all of it in what is rounded off */
  add_flaw(piece, MM(290), 0, MM(10) + 40, MM(5));
  leave("gone", 799, MM(50), 0);
  settle();
  assert_int_equal(status, STATUS_OK);
  assert_int_equal(settled.piece_count, 1);
  assert_int_equal(settled.pieces[0].length, MM(300));
  assert_int_equal(settled.pieces[0].width, MM(50));
  assert_string_equal(settled.flaws->text,
                      "stock,x,y,length,width,what\nA,1,1,1,1,\"a, b\"\n"
                      "A-1a,10,5,20.1,3.1,knot\nA-1a,290,0,10,5,knot\n");
}

static void nothing_to_settle_writes_nothing(void **state) {
  (void)state;
  lay_out(SCENE_RACK, NULL);
  settle();
  assert_int_equal(status, STATUS_OK);
  assert_false(settled.changed);
}

/* ---- refused ---- */

static void a_rack_that_has_changed_is_refused(void **state) {
  (void)state;
  static const char *const changed[] = {
      "W1,plank,walnut,1830,215,21,2,5", "W1,plank,walnut,1830,215,21,3,6",
      "W1,plank,oak,1830,215,21,3,5",    "W1,plank,walnut,1830,216,21,3,5",
      "W1,sheet,walnut,1830,215,21,3,5", "W1,plank,walnut,1830,215,20,3,5"};
  for (size_t i = 0; i < sizeof changed / sizeof *changed; i++) {
    left.used = NULL;
    left.used_count = left.used_room = 0;
    static const char header[] = "stock,kind,wood,length,width,thickness,count,value\n";
    lay_out(
        "stock,kind,wood,length,width,thickness,count,value\n"
        "W1,plank,walnut,1830,215,21,3,5\n",
        NULL);
    use("W1", 1);
    char fingerprint[17];
    memcpy(fingerprint, left.used[0].fingerprint, sizeof fingerprint);
    scene_file(&scene, "rack.csv",
               arena_format(scene.arena, "# a note\n%s%s\n", header, changed[i]));
    scene_read(&scene);
    left.used = NULL;
    left.used_count = left.used_room = 0;
    use("W1", 1);
    left.used[0].fingerprint = fingerprint;
    left.project = scene.project->name;
    expect_refused("rack.csv", 3, 1,
                   "stock 'W1' or its flaws have changed, expected them as they were when the plan "
                   "was made");
  }
}

static void a_flaw_that_has_changed_is_refused(void **state) {
  (void)state;
  lay_out(SCENE_RACK, "stock,x,y,length,width\nW1,640,60,40,35\n");
  use("W1", 1);
  struct stock *stock = &scene.project->stocks[0];
  stock->flaws[0].rim_ok = true;
  expect_refused("rack.csv", 2, 1,
                 "stock 'W1' or its flaws have changed, expected them as they were when the plan "
                 "was made");
}

static void copies_that_are_not_there_are_refused(void **state) {
  (void)state;
  lay_out(SCENE_RACK, NULL);
  use("W1", 2);
  expect_refused("rack.csv", 2, 1,
                 "stock 'W1' or its flaws have changed, expected them as they were when the plan "
                 "was made");
}

static void stock_that_is_gone_is_refused(void **state) {
  (void)state;
  lay_out(SCENE_RACK, NULL);
  use("W1", 1);
  left.used[0].name = "W2";
  expect_refused("rack.csv", 0, 0,
                 "stock 'W2' of the plan is gone, expected it as it was when the plan was made");
}

static void a_file_written_meanwhile_is_refused(void **state) {
  (void)state;
  lay_out(SCENE_RACK, NULL);
  leave("A", MM(300), MM(60), 0);
  scene_file(&scene, "rack.csv", SCENE_RACK "W2,plank,walnut,1830,215,21\n");
  expect_refused("rack.csv", 0, 0, "changed while it was read, expected it to be left alone");
}

static void a_settled_plan_is_known(void **state) {
  (void)state;
  lay_out(SCENE_RACK "# one\r\n\"" MARK ",,\"\n", NULL);
  settle();
  assert_int_equal(settle_marked(&rack, &left), 4);
  left.plan = "0123456789abcdee";
  assert_int_equal(settle_marked(&rack, &left), 0);
}

/* ---- racks drawn by lot ---- */

enum { STOCKS = 6, COPIES_MOST = 4, FLAWS_MOST = 8, ROUNDS = 300 };

struct lot {
  uint64_t random;
  int64_t counts[STOCKS];
  bool used[STOCKS][COPIES_MOST + 1];
  struct flaw flaws[STOCKS][FLAWS_MOST];
  size_t flaw_counts[STOCKS];
  char delimiter;
  const char *line_end;
  size_t notes;
};

static int64_t below(struct lot *lot, int64_t bound) {
  return (int64_t)(random_draw(&lot->random) % (uint64_t)bound);
}

static void maybe_note(struct lot *lot, struct buffer *text) {
  if (below(lot, 3) > 0) return;
  buffer_format(text, "# note %zu%s", lot->notes++, lot->line_end);
}

static void draw_rack(struct lot *lot, struct buffer *text) {
  const char d = lot->delimiter;
  if (below(lot, 2) == 0) buffer_add(text, "\xEF\xBB\xBF");
  maybe_note(lot, text);
  buffer_format(text, "count%cstock%ckind%cwood%clength%cwidth%cthickness%s", d, d, d, d, d, d,
                lot->line_end);
  for (int s = 0; s < STOCKS; s++) {
    maybe_note(lot, text);
    lot->counts[s] = 1 + below(lot, COPIES_MOST);
    for (int c = 1; c <= COPIES_MOST; c++)
      lot->used[s][c] = c <= lot->counts[s] && below(lot, 2) == 0;
    const char *quote = below(lot, 2) == 0 ? "\"" : "";
    if (lot->counts[s] > 1 || below(lot, 2) == 0)
      buffer_format(text, "%s%d%s", quote, (int)lot->counts[s], quote);
    buffer_format(text, "%c S%d%cplank%coak%c900%c100%c18%s", d, s, d, d, d, d, d, lot->line_end);
  }
}

static void draw_flaws(struct lot *lot, struct buffer *text) {
  const char d = lot->delimiter;
  buffer_format(text, "x%cstock%ccopy%cy%clength%cwidth%s", d, d, d, d, d, lot->line_end);
  memset(lot->flaw_counts, 0, sizeof lot->flaw_counts);
  for (int n = 0; n < FLAWS_MOST; n++) {
    maybe_note(lot, text);
    int s = (int)below(lot, STOCKS);
    struct flaw flaw = {.copy = below(lot, lot->counts[s] + 1), .x = MM(n + 1)};
    lot->flaws[s][lot->flaw_counts[s]++] = flaw;
    buffer_format(text, "%d%cS%d%c", n + 1, d, s, d);
    if (flaw.copy > 0) buffer_format(text, "%d", (int)flaw.copy);
    buffer_format(text, "%c1%c5%c5%s", d, d, d, n + 1 < FLAWS_MOST ? lot->line_end : "");
  }
}

/* Of the copies before and with this one, those that stay. */
static int64_t staying(const struct lot *lot, int s, int64_t copy) {
  int64_t count = 0;
  for (int64_t c = 1; c <= copy; c++) count += !lot->used[s][c];
  return count;
}

static void expect_stock(const struct lot *lot, int s) {
  char name[8];
  snprintf(name, sizeof name, "S%d", s);
  const struct stock *stock = stock_named(name);
  int64_t rest = staying(lot, s, lot->counts[s]);
  if (rest == 0) {
    assert_null(stock);
    return;
  }
  assert_non_null(stock);
  assert_int_equal(stock->count, rest);
  size_t next = 0;
  for (size_t f = 0; f < lot->flaw_counts[s]; f++) {
    const struct flaw *flaw = &lot->flaws[s][f];
    if (flaw->copy > 0 && lot->used[s][flaw->copy]) continue;
    assert_true(next < stock->flaw_count);
    assert_int_equal(stock->flaws[next].x, flaw->x);
    assert_int_equal(stock->flaws[next].copy, flaw->copy == 0 ? 0 : staying(lot, s, flaw->copy));
    next++;
  }
  assert_int_equal(stock->flaw_count, next);
}

static void expect_notes(const struct lot *lot) {
  for (size_t n = 0; n < lot->notes; n++) {
    const char *note = arena_format(scene.arena, "# note %zu%s", n, lot->line_end);
    assert_true(strstr(settled.rack->text, note) != NULL ||
                strstr(settled.flaws->text, note) != NULL);
  }
}

static void settle_lot(struct lot *lot) {
  static const char delimiters[] = {',', ';', '\t'};
  static const char *const line_ends[] = {"\n", "\r\n", "\r"};
  lot->delimiter = delimiters[below(lot, 3)];
  lot->line_end = line_ends[below(lot, 3)];
  lot->notes = 0;
  struct buffer *rack_text = buffer_create(scene.arena);
  struct buffer *flaws_text = buffer_create(scene.arena);
  draw_rack(lot, rack_text);
  draw_flaws(lot, flaws_text);
  lay_out(rack_text->text, flaws_text->text);
  left = (struct left_over){.plan = PLAN, .sets = 3, .project = scene.project->name};
  for (int s = 0; s < STOCKS; s++)
    for (int64_t c = 1; c <= lot->counts[s]; c++)
      if (lot->used[s][c]) use(arena_format(scene.arena, "S%d", s), c);
  struct stock *piece = leave("new", MM(301) / 2, MM(50), 77);
  add_flaw(piece, MM(10), MM(5), MM(3) / 2, MM(2));
  settle();
  assert_int_equal(status, STATUS_OK);
  expect_notes(lot);
  lay_out(settled.rack->text, settled.flaws->text);
  for (int s = 0; s < STOCKS; s++) expect_stock(lot, s);
  const struct stock *joined = stock_named("new");
  assert_int_equal(joined->length, MM(301) / 2);
  assert_int_equal(joined->value, 77);
  assert_int_equal(joined->trim_ends, 0);
  assert_int_equal(joined->flaw_count, 1);
  assert_int_equal(joined->flaws[0].length, MM(3) / 2);
}

static void any_rack_reads_back_as_it_should(void **state) {
  (void)state;
  struct lot lot = {.random = 7};
  lay_out(SCENE_RACK, NULL);
  for (int round = 0; round < ROUNDS; round++) settle_lot(&lot);
}

#define SETTLE_TEST(function) cmocka_unit_test_setup_teardown(function, open_scene, close_scene)

int main(void) {
  const struct CMUnitTest tests[] = {
      SETTLE_TEST(lines_of_what_is_used_up_go),
      SETTLE_TEST(counts_are_lowered_in_their_place),
      SETTLE_TEST(flaws_of_copies_follow_them),
      SETTLE_TEST(new_rows_are_written_as_the_file_is),
      SETTLE_TEST(the_decimal_sign_is_the_files),
      SETTLE_TEST(columns_are_added_where_an_empty_cell_would_lie),
      SETTLE_TEST(inches_are_exact),
      SETTLE_TEST(a_rack_that_is_not_there_yet_is_made),
      SETTLE_TEST(names_that_are_taken_get_a_number),
      SETTLE_TEST(offcuts_are_no_larger_and_their_flaws_no_smaller),
      SETTLE_TEST(nothing_to_settle_writes_nothing),
      SETTLE_TEST(a_rack_that_has_changed_is_refused),
      SETTLE_TEST(a_flaw_that_has_changed_is_refused),
      SETTLE_TEST(copies_that_are_not_there_are_refused),
      SETTLE_TEST(stock_that_is_gone_is_refused),
      SETTLE_TEST(a_file_written_meanwhile_is_refused),
      SETTLE_TEST(a_settled_plan_is_known),
      SETTLE_TEST(any_rack_reads_back_as_it_should),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
