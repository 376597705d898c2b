/* rack.csv, yard.csv and flaws.csv. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>
#include <stdio.h>

#include "unit/project_folder.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define RACK \
  "stock,kind,wood,length,width,thickness,count,value,surface,face_grain,crook,trim_ends," \
  "trim_edges,note"
#define YARD "stock,kind,wood,length,width,thickness,price,per,count,pack,tally_thickness,supplier"
#define PLACE_HINT "1830 mm along and 215 mm across the plank: x is along, y is across"
#define FLAWS "stock,copy,x,y,length,width,what,rim_ok"

static struct scene scene;

static int open_scene(void **state) {
  (void)state;
  scene_open(&scene);
  return 0;
}

static int close_scene(void **state) {
  (void)state;
  scene_close(&scene);
  return 0;
}

static void every_rack_column_is_read(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv",
             RACK
             "\nW1,plank,walnut,1830,215,21,3,78.50,planed,length,4,20,5,by the door\n"
             "P1,Sheet,birch-ply,1220,610,6,0,,,width,,,,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->stock_count, 2);
  const struct stock *stock = &scene.project->stocks[0];
  assert_string_equal(stock->name, "W1");
  assert_int_equal(stock->kind, STOCK_PLANK);
  assert_int_equal(stock->source, SOURCE_RACK);
  assert_string_equal(stock->wood, "walnut");
  assert_int_equal(stock->length, MM(1830));
  assert_int_equal(stock->width, MM(215));
  assert_int_equal(stock->thickness, MM(21));
  assert_int_equal(stock->count, 3);
  assert_int_equal(stock->value, 7850);
  assert_int_equal(stock->pack, 1);
  assert_int_equal(stock->surface, SURFACE_PLANED);
  assert_int_equal(stock->crook, MM(4));
  assert_int_equal(stock->trim_ends, MM(20));
  assert_int_equal(stock->trim_edges, MM(5));
  assert_string_equal(stock->note, "by the door");
  assert_int_equal(stock->place.line, 2);
  assert_int_equal(scene.project->stocks[1].kind, STOCK_SHEET);
  assert_int_equal(scene.project->stocks[1].count, 0);
  assert_int_equal(scene.project->stocks[1].value, 0);
  assert_int_equal(scene.project->stocks[1].face_grain, FACE_GRAIN_WIDTH);
}

/* 25 and 6 for rough planks (the default), 10 and 2 for planed ones, 6 and 6 for sheets. */
static void trims_follow_the_surface(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv",
             RACK
             "\nA,plank,oak,900,120,20,,,,,,,,\nB,plank,oak,900,120,20,,,planed,,,,,\n"
             "C,sheet,ply,900,120,20,,,,,,,,\nD,plank,oak,900,120,20,,,rough,,9,0,,\n"
             "E,plank,oak,900,120,20,,,rough,,9,,4,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct stock *stocks = scene.project->stocks;
  static const int ends[] = {25, 10, 6, 0, 25}, edges[] = {6, 2, 6, 9, 9};
  for (size_t i = 0; i < COUNT(ends); i++) {
    assert_int_equal(stocks[i].trim_ends, MM(ends[i]));
    assert_int_equal(stocks[i].trim_edges, MM(edges[i]));
    assert_int_equal(stocks[i].count, 1);
  }
}

static void faults_of_a_rack_row(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"W,board,oak,900,120,20", 3, "'board' is no allowed word, expected plank or sheet"},
      {"W,,oak,900,120,20", 3, "empty cell, expected plank or sheet"},
      {"W,plnak,oak,900,120,20", 3,
       "'plnak' is no allowed word, expected plank or sheet; nearest is 'plank'"},
      {"W,plank,,900,120,20", 9, "empty cell, expected a name"},
      {"W,plank,oak,0,120,20", 13, "'0' is too small, expected a length over 0"},
      {"W,plank,oak,900,120 m,20", 17, "'120 m' is too long, expected at most 100 m"},
      {"W,plank,oak,900,120,20,-1", 24,
       "'-1' is too small, expected a whole number from 0 to 1000000"},
      {"W,plank,oak,900,120,20,1,1.234", 26,
       "'1.234' does not fit here, expected an amount of money with at most 2 decimals from 0 to "
       "100000000"},
      {"W,plank,oak,900,120,20,1,$20", 26,
       "'$20' does not fit here, expected an amount of money with at most 2 decimals from 0 to "
       "100000000, without a currency sign"},
      {"W,plank,oak,900,120,20,1,\u20AC26.50", 26,
       "'\u20AC26.50' does not fit here, expected an amount of money with at most 2 "
       "decimals from 0 to 100000000, without a currency sign"},
      {"W,plank,oak,900,120,20,1,\"$20,50\"", 26,
       "'$20,50' does not fit here, expected an amount of money with at most 2 decimals from 0 "
       "to 100000000, without a currency sign, decimals behind a point"},
      {"W,plank,oak,900,120,20,1,-1", 26,
       "'-1' is too small, expected an amount of money with at most 2 decimals from 0 to "
       "100000000"},
      {"W,plank,oak,900,120,20,1,,sawn", 27, "'sawn' is no allowed word, expected rough or planed"},
      {"W,plank,oak,900,120,20,1,,,width", 28,
       "'width' is no grain of a plank, expected length or an empty cell"},
      {"W,plank,oak,900,120,20,1,,,,-2", 29, "'-2' is negative, expected a length of 0 or more"},
      {"W,plank,oak,900,120,20,1,,,,,-2", 30, "'-2' is negative, expected a length of 0 or more"},
      {"W,plank,oak,50,120,20", 13,
       "'50' is used up by the trim of 25 mm at both ends, expected more"},
      {"W,plank,oak,900,12,20", 17,
       "'12' is used up by the trim of 6 mm at both edges, expected more"},
      {"W,plank,oak,900,120,20,1,,,,60", 17,
       "'120' is used up by the trim of 60 mm at both edges, expected more"},
  };
  scene_expect_bad_lines(&scene, "rack.csv", RACK, lines, COUNT(lines));
}

static void names_are_told_apart_over_both_files(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv",
             "stock,kind,wood,length,width,thickness\nW1,plank,oak,900,120,20\n"
             "W2,plank,oak,900,120,20\nw1,plank,oak,900,120,20\n");
  scene_file(&scene, "yard.csv",
             "stock,kind,wood,length,width,thickness,price,per\nW2,plank,oak,900,120,20,1,each\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 2);
  scene_expect_fault(&scene, "rack.csv", 4, 1,
                     "stock 'w1' stands twice, first in line 2, expected another name");
  char text[192];
  int length = snprintf(
      text, sizeof text,
      "stock 'W2' stands twice, first in %s/rack.csv line 3, expected another name", scene.folder);
  assert_true(length > 0 && (size_t)length < sizeof text);
  scene_expect_fault(&scene, "yard.csv", 2, 1, text);
}

static void every_yard_column_is_read(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv", NULL);
  scene_file(&scene, "yard.csv",
             YARD
             "\nY1,plank,walnut,2440,150,21,58.00,each,,,,yard A\n"
             "Y2,plank,walnut,1830,125,21,15.00,M,7,2,25,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct stock *stocks = scene.project->stocks;
  assert_int_equal(scene.project->stock_count, 2);
  assert_int_equal(stocks[0].source, SOURCE_YARD);
  assert_int_equal(stocks[0].count, -1);
  assert_int_equal(stocks[0].pack, 1);
  assert_int_equal(stocks[0].value, 5800);
  assert_int_equal(stocks[0].price, 5800);
  assert_int_equal(stocks[0].per, PER_EACH);
  assert_string_equal(stocks[0].supplier, "yard A");
  assert_int_equal(stocks[1].count, 7);
  assert_int_equal(stocks[1].pack, 2);
  assert_int_equal(stocks[1].per, PER_METRE);
  assert_int_equal(stocks[1].price, 1500);
  assert_int_equal(stocks[1].value, 2745); /* 1.83 m at 15.00 */
  assert_int_equal(stocks[1].tally_thickness, MM(25));
  assert_null(stocks[1].supplier);
}

struct priced {
  const char *sizes;
  const char *price;
  cents_t value;
};

/* Each worked out by hand. A board foot is 144 cubic inches; stock under 1 in counts as
 * 1 in (rules of the National Hardwood Lumber Association). */
static void prices_by_measure(void **state) {
  (void)state;
  static const struct priced cases[] = {
      {"2000 mm,100 mm,20 mm", "15.00,m", 3000},
      {"8',6\",1\"", "2.50,ft", 2000},
      {"2000 mm,500 mm,20 mm", "30,m2", 3000},
      {"48\",24\",1/4\"", "1.75,ft2", 1400},
      {"2000 mm,500 mm,20 mm", "1500,m3", 3000},
      {"8',4\",2\"", "6,bf", 3200},             /* 5-1/3 board feet */
      {"12',8\",3/4\"", "6,bf", 4800},          /* 8 board feet: counts as 1 in */
      {"8',6-1/4\",1-3/4\",2\"", "6,bf", 5000}, /* by the nominal 2 in: 8-1/3 board feet */
      {"1 mm,100 mm,20 mm", "5.00,m", 1},       /* half a cent is rounded up */
      {"0.999 mm,100 mm,20 mm", "5.00,m", 0},
      {"3 mm,100 mm,20 mm", "5.00,m", 2},
  };
  for (size_t i = 0; i < COUNT(cases); i++) {
    char text[256];
    bool tally = i == 7;
    int length =
        snprintf(text, sizeof text,
                 "stock,kind,wood,length,width,thickness,%sprice,per,trim_ends,trim_edges\n"
                 "Y,plank,oak,%s,%s,0,0\n",
                 tally ? "tally_thickness," : "", cases[i].sizes, cases[i].price);
    assert_true(length > 0 && (size_t)length < sizeof text);
    scene_file(&scene, "yard.csv", text);
    scene_read(&scene);
    scene_expect_fine(&scene);
    assert_int_equal(scene.project->stocks[1].value, cases[i].value);
  }
}

static void faults_of_a_yard_row(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"Y,plank,oak,900,120,20,,each", 24,
       "empty cell, expected an amount of money with at most 2 decimals from 0 to 100000000"},
      {"Y,plank,oak,900,120,20,1,", 26, "empty cell, expected each, m, ft, m2, ft2, m3 or bf"},
      {"Y,plank,oak,900,120,20,1,piece", 26,
       "'piece' is no allowed word, expected each, m, ft, m2, ft2, m3 or bf"},
      {"Y,plank,oak,900,120,20,1,m4", 26,
       "'m4' is no allowed word, expected each, m, ft, m2, ft2, m3 or bf; nearest is 'm'"},
      {"Y,plank,oak,900,120,20,1,each,-1", 31,
       "'-1' is too small, expected a whole number from 0 to 1000000"},
      {"Y,plank,oak,900,120,20,1,each,,0", 32,
       "'0' is too small, expected a whole number from 1 to 1000000"},
      {"Y,plank,oak,900,120,20,1,bf,,,0", 31, "'0' is too small, expected a length over 0"},
      {"Y,plank,oak,90 m,120,20,100000000,m", 25,
       "'100000000' makes a piece cost over 100000000, expected less"},
  };
  scene_expect_bad_lines(&scene, "yard.csv", YARD, lines, COUNT(lines));
}

static void a_project_without_stock(void **state) {
  (void)state;
  static const char text[] = "no stock, expected at least one row in rack.csv or yard.csv";
  scene_file(&scene, "rack.csv", NULL);
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "rack.csv", 0, 0, text);
  scene_file(&scene, "yard.csv", "stock,kind,wood,length,width,thickness,price,per\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "yard.csv", 0, 0, text);
  scene_file(&scene, "rack.csv", "# nothing\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
  scene_expect_fault(&scene, "rack.csv", 0, 0, text);
}

static void flaws_are_read(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv",
             "stock,kind,wood,length,width,thickness,count\nW1,plank,oak,1830,215,21,2\n"
             "W2,plank,oak,900,120,20,0\n");
  scene_file(&scene, "flaws.csv",
             FLAWS
             "\nw1,2,640,60,40,35,knot,yes\nW1,,-5,-5,10,10,,\nW2,3,10,10,10,10,split,no\n"
             "W1,1,1829.9,214.9,10,10,corner,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct stock *stock = &scene.project->stocks[0];
  assert_int_equal(stock->flaw_count, 3);
  assert_int_equal(stock->flaws[0].copy, 2);
  assert_int_equal(stock->flaws[0].x, MM(640));
  assert_int_equal(stock->flaws[0].y, MM(60));
  assert_int_equal(stock->flaws[0].length, MM(40));
  assert_int_equal(stock->flaws[0].width, MM(35));
  assert_string_equal(stock->flaws[0].what, "knot");
  assert_true(stock->flaws[0].rim_ok);
  assert_int_equal(stock->flaws[1].copy, 0);
  assert_int_equal(stock->flaws[1].x, MM(-5));
  assert_null(stock->flaws[1].what);
  assert_false(stock->flaws[1].rim_ok);
  assert_int_equal(scene.project->stocks[1].flaw_count, 1);
}

static void faults_of_a_flaw(void **state) {
  (void)state;
  scene_file(&scene, "yard.csv",
             "stock,kind,wood,length,width,thickness,price,per\nY1,plank,oak,900,120,20,1,each\n");
  static const struct bad_line lines[] = {
      {"W3,,1,1,1,1", 1, "'W3' is no known stock, expected 'W1'"},
      {"knotty pine,,1,1,1,1", 1, "'knotty pine' is no known stock, expected one of rack.csv"},
      {",,1,1,1,1", 1, "empty cell, expected a stock"},
      {"Y1,,1,1,1,1", 1, "'Y1' is yard stock, expected stock of the rack"},
      {"W1,2,1,1,1,1", 4, "copy '2' of 'W1' is not on the rack, expected 1 to 1"},
      {"W1,0,1,1,1,1", 4, "'0' is too small, expected a whole number from 1 to 1000000"},
      {"W1,,1830,1,1,1", 5, "'1830' puts the flaw off 'W1', expected it within " PLACE_HINT},
      {"W1,,-1,1,1,1", 5, "'-1' puts the flaw off 'W1', expected it within " PLACE_HINT},
      {"W1,,1,215,1,1", 7, "'215' puts the flaw off 'W1', expected it within " PLACE_HINT},
      {"W1,,1,-1,1,1", 7, "'-1' puts the flaw off 'W1', expected it within " PLACE_HINT},
      {"W1,,1,1,0,1", 9, "'0' is too small, expected a length over 0"},
      {"W1,,1,1,1,-1", 11, "'-1' is too small, expected a length over 0"},
      {"W1,,1,1,1,1,knot,perhaps", 18, "'perhaps' is no allowed word, expected no or yes"},
  };
  scene_expect_bad_lines(&scene, "flaws.csv", FLAWS, lines, COUNT(lines));
}

static void expect_caution(size_t index, long line, long column, const char *text) {
  assert_true(index < scene.diagnostics->count);
  const struct diagnostic *item = &scene.diagnostics->items[index];
  assert_int_equal(item->severity, SEVERITY_CAUTION);
  assert_int_equal(item->place.line, line);
  assert_int_equal(item->place.column, column);
  assert_string_equal(item->text, text);
}

/* 190 + 30 is 5 more than 215, 1820 + 40 30 more than 1830; a flaw up to the edge is none. */
static void a_flaw_past_an_edge_is_told(void **state) {
  (void)state;
  scene_file(&scene, "flaws.csv",
             FLAWS
             "\nW1,,640,190,40,30,,\nW1,,1820,-2,40,35,,\nW1,,-3,0,10,215,,\n"
             "W1,,1800,185,30,30,,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.diagnostics->count, 4);
  expect_caution(0, 2, 9,
                 "the flaw reaches 5 mm past an edge of 'W1', expected it within " PLACE_HINT);
  expect_caution(1, 3, 5,
                 "the flaw reaches 30 mm past an end of 'W1', expected it within " PLACE_HINT);
  expect_caution(2, 3, 10,
                 "the flaw reaches 2 mm past an edge of 'W1', expected it within " PLACE_HINT);
  expect_caution(3, 4, 5,
                 "the flaw reaches 3 mm past an end of 'W1', expected it within " PLACE_HINT);
}

/* What refers to a stock with a fault of its own is not at fault for it. */
static void a_faulty_stock_is_still_known(void **state) {
  (void)state;
  scene_file(&scene, "rack.csv", "stock,kind,wood,length,width,thickness\nW1,plank,oak,x,120,20\n");
  scene_file(&scene, "flaws.csv", FLAWS "\nW1,,640,60,40,35,,\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 1);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(every_rack_column_is_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(trims_follow_the_surface, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_rack_row, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(names_are_told_apart_over_both_files, open_scene,
                                      close_scene),
      cmocka_unit_test_setup_teardown(every_yard_column_is_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(prices_by_measure, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_yard_row, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_project_without_stock, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(flaws_are_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_flaw, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_flaw_past_an_edge_is_told, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(a_faulty_stock_is_still_known, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
