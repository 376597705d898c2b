/* clamps.csv, cutters.csv and steps.csv. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the ones above first */
#include <cmocka.h>

#include "unit/project_folder.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define CLAMPS "clamp,kind,count,width,over,beside,height,height_from,min_stock,max_stock,force"
#define CUTTERS \
  "cutter,diameter,flute_length,flutes,rpm,feed,plunge,stepdown,stepover,stickout,shank," \
  "neck_reach,nut_diameter,slot,shape,angle"
#define STEPS "part,step,cutter,depth,area,path,count,peck,side,stand,place,note"
#define ONE_CUTTER "cutter,diameter,flute_length,feed,stepdown\nflat6,6,25,900,2\n"

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

static void clamps_are_read(void **state) {
  (void)state;
  scene_file(&scene, "clamps.csv",
             CLAMPS
             "\nhold-down A,hold-down,6,25,15,25,12,stock,3,60,300\n"
             "side push,Side,4,30,0,30,8,bed,,,70 lbf\nspare,side,0,30,0,30,8,,,,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->clamp_count, 3);
  const struct clamp *clamps = scene.project->clamps;
  assert_string_equal(clamps[0].name, "hold-down A");
  assert_int_equal(clamps[0].kind, CLAMP_HOLD_DOWN);
  assert_int_equal(clamps[0].count, 6);
  assert_int_equal(clamps[0].width, MM(25));
  assert_int_equal(clamps[0].over, MM(15));
  assert_int_equal(clamps[0].beside, MM(25));
  assert_int_equal(clamps[0].height, MM(12));
  assert_int_equal(clamps[0].height_from, HEIGHT_FROM_STOCK);
  assert_int_equal(clamps[0].min_stock, MM(3));
  assert_int_equal(clamps[0].max_stock, MM(60));
  assert_int_equal(clamps[0].force, 300000);
  assert_int_equal(clamps[1].kind, CLAMP_SIDE);
  assert_int_equal(clamps[1].height_from, HEIGHT_FROM_BED);
  assert_int_equal(clamps[1].min_stock, 0);
  assert_int_equal(clamps[1].max_stock, LENGTH_MAX);
  /* 70 lbf = 311.3755 N (1 lbf = 4.4482216152605 N, NIST Special Publication 811) */
  assert_int_equal(clamps[1].force, 311376);
  assert_int_equal(clamps[2].count, 0);
  assert_int_equal(clamps[2].force, 0);
}

static void faults_of_a_clamp(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"a,toggle,6,25,15,25,12", 3, "'toggle' is no allowed word, expected side or hold-down"},
      {"a,holddown,6,25,15,25,12", 3,
       "'holddown' is no allowed word, expected side or hold-down; nearest is 'hold-down'"},
      {"a,side,,25,0,25,12", 8, "empty cell, expected a whole number from 0 to 10000"},
      {"a,side,6,0,0,25,12", 10, "'0' is too small, expected a length over 0"},
      {"a,side,6,25,2,25,12", 13, "'2' stands on the stock, expected 0 for a side clamp"},
      {"a,hold-down,6,25,0,25,12", 18,
       "'0' holds nothing, expected a length over 0 for a hold-down"},
      {"a,side,6,25,0,-1,12", 15, "'-1' is negative, expected a length of 0 or more"},
      {"a,side,6,25,0,25,0", 18, "'0' is too small, expected a length over 0"},
      {"a,side,6,25,0,25,12,floor", 21, "'floor' is no allowed word, expected stock or bed"},
      {"a,side,6,25,0,25,12,bed,20,10", 25, "'20' is over max_stock, expected at most '10'"},
      {"a,side,6,25,0,25,12,bed,,,strong", 27,
       "'strong' is no force, expected such as 300, 300 N or 70 lbf"},
      {"a,side,6,25,0,25,12,bed,,,-3", 27,
       "'-3' is no force, expected such as 300, 300 N or 70 lbf"},
  };
  scene_expect_bad_lines(&scene, "clamps.csv", CLAMPS, lines, COUNT(lines));
}

static void cutters_are_read(void **state) {
  (void)state;
  scene_file(&scene, "cutters.csv",
             CUTTERS
             "\nflat6,6,25,2,12000,900,250,2,2.5,36,6,30,20,4,flat,\n"
             "vee90,10,5,,,900,,1,,,,,,,vee,90.5\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  const struct cutter *cutters = scene.project->cutters;
  assert_int_equal(scene.project->cutter_count, 2);
  assert_string_equal(cutters[0].name, "flat6");
  assert_int_equal(cutters[0].diameter, MM(6));
  assert_int_equal(cutters[0].flute_length, MM(25));
  assert_int_equal(cutters[0].flutes, 2);
  assert_int_equal(cutters[0].rpm, 12000);
  assert_int_equal(cutters[0].feed, MM(900));
  assert_int_equal(cutters[0].plunge, MM(250));
  assert_int_equal(cutters[0].stepdown, MM(2));
  assert_int_equal(cutters[0].stepover, 20000);
  assert_int_equal(cutters[0].stickout, MM(36));
  assert_int_equal(cutters[0].shank, MM(6));
  assert_int_equal(cutters[0].neck_reach, MM(30));
  assert_int_equal(cutters[0].nut_diameter, MM(20));
  assert_int_equal(cutters[0].slot, 4);
  assert_string_equal(cutters[0].shape, "flat");
  assert_int_equal(cutters[1].flutes, 1);
  assert_int_equal(cutters[1].rpm, 0);
  assert_int_equal(cutters[1].plunge, MM(300));
  assert_int_equal(cutters[1].stepover, MM(4));
  assert_int_equal(cutters[1].stickout, 0);
  assert_int_equal(cutters[1].slot, 0);
  assert_int_equal(cutters[1].angle, 90500);
}

static void faults_of_a_cutter(void **state) {
  (void)state;
  static const struct bad_line lines[] = {
      {"c,0,25,2,12000,900,250,2", 3, "'0' is too small, expected a length over 0"},
      {"c,6,-1,2,12000,900,250,2", 5, "'-1' is too small, expected a length over 0"},
      {"c,6,25,0,12000,900,250,2", 8, "'0' is too small, expected a whole number from 1 to 100"},
      {"c,6,25,2,fast,900,250,2", 10,
       "'fast' does not fit here, expected a whole number from 0 to 1000000"},
      {"c,6,25,2,12000,0,250,2", 16, "'0' is too small, expected a length over 0"},
      {"c,6,25,2,12000,900,0,2", 20, "'0' is too small, expected a length over 0"},
      {"c,6,25,2,12000,900,250,0", 24, "'0' is too small, expected a length over 0"},
      {"c,6,25,2,12000,900,250,2,7", 26, "'7' leaves ridges, expected at most the diameter '6'"},
      {"c,6,25,2,12000,900,250,2,,-1", 27, "'-1' is negative, expected a length of 0 or more"},
      {"c,6,25,2,12000,900,250,2,,,,,,x", 31,
       "'x' does not fit here, expected a whole number from 0 to 1000"},
      {"c,6,25,2,12000,900,250,2,,,,,,,,200", 33,
       "'200' is too large, expected a number with at most 3 decimals from 0 to 180"},
  };
  scene_expect_bad_lines(&scene, "cutters.csv", CUTTERS, lines, COUNT(lines));
}

static void steps_are_read(void **state) {
  (void)state;
  scene_file(&scene, "cutters.csv", ONE_CUTTER "drill3.2,3.2,25,200,3\n");
  scene_file(&scene, "steps.csv",
             STEPS
             "\nBoard,pocket,flat6,5.2,4778.5,624,2,3,under,edge,drill press,deep\n"
             "board,profile,DRILL3.2,,,,,,,,,\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->step_count, 2);
  const struct step *steps = scene.project->steps;
  assert_int_equal(steps[0].part, 0);
  assert_int_equal(steps[0].kind, STEP_POCKET);
  assert_int_equal(steps[0].cutter, 0);
  assert_int_equal(steps[0].depth, 41600);
  assert_int_equal(steps[0].area, 4778500);
  assert_int_equal(steps[0].path, MM(624));
  assert_int_equal(steps[0].count, 2);
  assert_int_equal(steps[0].peck, MM(3));
  assert_int_equal(steps[0].side, SIDE_UNDER);
  assert_int_equal(steps[0].stand, STAND_EDGE);
  assert_int_equal(steps[0].place, PLACE_DRILL_PRESS);
  assert_string_equal(steps[0].note, "deep");
  assert_int_equal(steps[1].cutter, 1);
  assert_int_equal(steps[1].kind, STEP_PROFILE);
  assert_int_equal(steps[1].depth, 0);
  assert_int_equal(steps[1].area, 0);
  assert_int_equal(steps[1].count, 1);
  assert_int_equal(steps[1].side, SIDE_TOP);
  assert_int_equal(steps[1].stand, STAND_FLAT);
  assert_int_equal(steps[1].place, PLACE_BED);
}

/* 2 square inches are 1290.32 mm2. */
static void areas_follow_the_unit(void **state) {
  (void)state;
  scene_file(&scene, "shop.csv", "setting,value\nunits,inch\n");
  scene_file(&scene, "cutters.csv", ONE_CUTTER);
  scene_file(&scene, "steps.csv", "part,step,cutter,area\nboard,pocket,flat6,2\n");
  scene_read(&scene);
  scene_expect_fine(&scene);
  assert_int_equal(scene.project->steps[0].area, 1290320);
}

static void faults_of_a_step(void **state) {
  (void)state;
  scene_file(&scene, "cutters.csv", ONE_CUTTER);
  static const struct bad_line lines[] = {
      {"boadr,face,flat6", 1, "'boadr' is no known part, expected 'board'"},
      {"spacer,face,flat6", 1, "'spacer' is no known part, expected one of parts.csv"},
      {"board,face,flat3", 12, "'flat3' is no known cutter, expected 'flat6'"},
      {"board,face,face16", 12, "'face16' is no known cutter, expected one of cutters.csv"},
      {"board,face,", 12, "empty cell, expected a cutter"},
      {"board,carve,flat6", 7,
       "'carve' is no allowed word, expected face, pocket, drill, profile or chamfer"},
      {"board,face,flat6,0", 18, "'0' is too small, expected a length over 0"},
      {"board,face,flat6,1,-1", 20,
       "'-1' is too small, expected a number with at most 3 decimals from 0 to 1000000000"},
      {"board,face,flat6,1,,-1", 21, "'-1' is negative, expected a length of 0 or more"},
      {"board,face,flat6,1,,,0", 22, "'0' is too small, expected a whole number from 1 to 1000000"},
      {"board,face,flat6,1,,,,-1", 23, "'-1' is negative, expected a length of 0 or more"},
      {"board,face,flat6,1,,,,,left", 24, "'left' is no allowed word, expected top or under"},
      {"board,face,flat6,1,,,,,,up", 25, "'up' is no allowed word, expected flat, edge or end"},
      {"board,face,flat6,1,,,,,,,drill", 26,
       "'drill' is no allowed word, expected bed, drill press or saw"},
  };
  scene_expect_bad_lines(&scene, "steps.csv", STEPS, lines, COUNT(lines));
}

/* The board is 18 thick and 72 wide; a through cut goes 0.4 beyond. A profile is not asked. */
static void depths_beyond_the_part_are_told(void **state) {
  (void)state;
  scene_file(&scene, "cutters.csv", ONE_CUTTER);
  scene_file(&scene, "steps.csv",
             "part,step,cutter,depth,stand\n"
             "board,drill,flat6,18.4,flat\n"
             "board,drill,flat6,18.5,flat\n"
             "board,pocket,flat6,30,edge\n"
             "board,pocket,flat6,80,edge\n"
             "board,profile,flat6,30,flat\n");
  scene_read(&scene);
  assert_int_equal(scene.status, STATUS_OK);
  scene_expect_errors(&scene, 0);
  assert_int_equal(scene.diagnostics->count, 2);
  scene_expect_fault(&scene, "steps.csv", 3, 19,
                     "'18.5' is deeper than there is of 'board', 18 mm: planned as right through "
                     "it and 0.4 mm beyond, expected no more, or no depth for what goes through");
  scene_expect_fault(&scene, "steps.csv", 5, 20,
                     "'80' is deeper than there is of 'board', 72 mm: planned as right through "
                     "it and 0.4 mm beyond, expected no more, or no depth for what goes through");
}

static void names_stand_once(void **state) {
  (void)state;
  scene_file(&scene, "clamps.csv",
             "clamp,kind,count,width,over,beside,height\na,side,1,5,0,5,5\nA,side,1,5,0,5,5\n");
  scene_file(&scene, "cutters.csv", ONE_CUTTER "Flat6,6,25,900,2\n");
  scene_read(&scene);
  scene_expect_errors(&scene, 2);
  scene_expect_fault(&scene, "clamps.csv", 3, 1,
                     "clamp 'A' stands twice, first in line 2, expected another name");
  scene_expect_fault(&scene, "cutters.csv", 3, 1,
                     "cutter 'Flat6' stands twice, first in line 2, expected another name");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(clamps_are_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_clamp, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(cutters_are_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_cutter, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(steps_are_read, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(areas_follow_the_unit, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(faults_of_a_step, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(depths_beyond_the_part_are_told, open_scene, close_scene),
      cmocka_unit_test_setup_teardown(names_stand_once, open_scene, close_scene),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
