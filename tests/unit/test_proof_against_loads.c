/* A plan's loads against the project's clamps, cutters and bed: a plan is made, then the project
 * changed in one place at a time so that the plan no longer answers it. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
/* cmocka.h wants the four above first */
#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "pipeline.h"
#include "proof/against.h"
#include "unit/project_folder.h"

/* One board, held by hold-downs on its ends or pushed along by side clamps. The cutter goes right
 * through, with 30 - 18 - 0.4 = 11.6 mm of it between stock and nut; both clamps are lower. */
#define PARTS_HELD \
  "part,per_set,length,width,thickness,wood,way,hold\nboard,1,200,60,18,walnut,blank,ends\n"
#define RACK "stock,kind,wood,length,width,thickness\nW1,plank,walnut,600,215,18\n"
#define CUTTERS \
  "cutter,diameter,flute_length,flutes,rpm,feed,stepdown,stickout,nut_diameter\n" \
  "flat,6,25,2,12000,900,2,30,20\ndrill,5,25,2,6000,200,2,30,20\n"
#define STEPS \
  "part,step,cutter,side,holes\nboard,drill,drill,,10x20;30x40\nboard,profile,flat,,\n" \
  "board,drill,drill,under,100x30\n"
#define CLAMPS "clamp,kind,count,width,over,beside,height,height_from,force\n"
#define HOLD_DOWNS CLAMPS "down,hold-down,4,30,15,25,8,stock,300\n"
#define SIDE_CLAMPS CLAMPS "push,side,4,30,0,25,8,bed,400\n"

/* ---- the plan ---- */

static char *plan_text;

/* Plans the folder and keeps the text of its plan.json. */
static void make_plan(struct scene *scene, const char *clamps) {
  scene_open(scene);
  scene_file(scene, "parts.csv", PARTS_HELD);
  scene_file(scene, "rack.csv", RACK);
  scene_file(scene, "cutters.csv", CUTTERS);
  scene_file(scene, "steps.csv", STEPS);
  scene_file(scene, "clamps.csv", clamps);
  scene_read(scene);
  scene_expect_fine(scene);
  struct bw_options options = {.out = scene->folder, .effort = 5};
  assert_int_equal(pipeline_plan(scene->arena, scene->folder, &options, scene->diagnostics,
                                 buffer_create(scene->arena)),
                   STATUS_OK);
  char path[128];
  snprintf(path, sizeof path, "%s/plan.json", scene->folder);
  FILE *stream = fopen(path, "rb");
  assert_non_null(stream);
  size_t room = 1 << 20;
  plan_text = calloc(1, room);
  assert_non_null(plan_text);
  assert_true(fread(plan_text, 1, room - 1, stream) > 0);
  fclose(stream);
}

static void end_plan(struct scene *scene) {
  free(plan_text);
  scene_close(scene);
}

/* The plan against the project as it is now; `subject`: what must be told, NULL: nothing is. */
static void expect(struct scene *scene, const char *subject) {
  struct diagnostics *told = diagnostics_create(scene->arena);
  enum status status =
      proof_against_project(scene->arena, scene->project, 1, plan_text, strlen(plan_text), told);
  bool found = false;
  for (size_t i = 0; i < told->count; i++)
    if (subject != NULL && strstr(told->items[i].text, subject) != NULL) found = true;
  if (found != (subject != NULL)) {
    print_error("expected: %s\n", subject == NULL ? "nothing" : subject);
    for (size_t i = 0; i < told->count; i++) print_error("told: %s\n", told->items[i].text);
  }
  assert_true(found == (subject != NULL));
  assert_int_equal(status, subject == NULL ? STATUS_OK : STATUS_PROOF_FAILED);
}

struct change {
  void (*make)(struct project *project);
  const char *told; /* NULL: the plan still answers the project */
};

static void expect_all(struct scene *scene, const struct change *changes, size_t count) {
  for (size_t i = 0; i < count; i++) {
    scene_read(scene);
    scene_expect_fine(scene);
    changes[i].make(scene->project);
    expect(scene, changes[i].told);
  }
}

/* ---- changes ---- */

static void nothing(struct project *project) { (void)project; }

static void wider_foot(struct project *project) { project->clamps[0].width += MM(1); }
static void deeper_body(struct project *project) { project->clamps[0].beside += 1; }
static void covers_more(struct project *project) { project->clamps[0].over += MM(1); }
static void for_thicker_stock(struct project *project) {
  project->clamps[0].min_stock = MM(18) + 1;
}
static void for_just_this_stock(struct project *project) {
  project->clamps[0].min_stock = project->clamps[0].max_stock = MM(18);
}
static void for_thinner_stock(struct project *project) {
  project->clamps[0].max_stock = MM(18) - 1;
}
static void more_clear(struct project *project) { project->shop.clear_gap += MM(1); }
static void as_many_as_used(struct project *project) { project->clamps[0].count = 2; }
static void too_few(struct project *project) { project->clamps[0].count = 1; }
static void another_name(struct project *project) { project->clamps[0].name = "up"; }
static void no_clamps(struct project *project) { project->clamp_count = 0; }
static void seldom_free(struct project *project) { project->shop.clamp_end = MM(5); }
/* Two of 300 N on two faces at 0.3 are 360 N: safety 2 at 180 N is just met. */
static void force_just_held(struct project *project) { project->shop.cut_force_min = 180000; }
static void more_force(struct project *project) { project->shop.cut_force_min = 180001; }
static void force_not_known(struct project *project) {
  project->clamps[0].force = 0;
  project->shop.cut_force_min = 1000000;
}
static void short_bed(struct project *project) { project->shop.bed_length = MM(250); }
static void narrow_bed(struct project *project) { project->shop.bed_width = MM(70); }
static void thicker_cutter(struct project *project) { project->cutters[0].diameter += MM(1); }
static void cutter_elsewhere(struct project *project) {
  thicker_cutter(project);
  project->steps[1].place = PLACE_SAW;
}
/* 6 mm are left around the outline: half of the 6 mm cutter and just over 3 are more. */
static void profile_faces(struct project *project) {
  project->parts[0].faced = FACED_ONE;
  project->shop.face_runoff = MM(3) + 1;
}
static void face_runs_off(struct project *project) {
  profile_faces(project);
  project->steps[0].kind = STEP_FACE;
  project->steps[0].cutter = 0;
}
static void nothing_to_face(struct project *project) { project->shop.face_runoff = MM(30); }
static void nut_above_clamps(struct project *project) { project->cutters[0].nut_diameter = MM(60); }
/* 8 + 2 of margin are more than 28 - 18.4 = 9.6. */
static void nut_beside_clamps(struct project *project) {
  nut_above_clamps(project);
  project->cutters[0].stickout = MM(28);
}
static void small_nut(struct project *project) {
  project->cutters[0].stickout = MM(28);
  project->cutters[0].nut_diameter = MM(6);
}
static void other_rim(struct project *project) { project->shop.rim += 1; }
static void wider_gap(struct project *project) { project->shop.part_gap = MM(100); }
static void narrower_gap(struct project *project) { project->shop.part_gap = MM(1); }
static void hole_elsewhere(struct project *project) {
  static const struct hole others[] = {{MM(10), MM(20)}, {MM(30), MM(41)}};
  project->steps[0].holes = others;
}
static void smaller_drill(struct project *project) { project->cutters[1].diameter = MM(4); }
static void hole_left_out(struct project *project) { project->steps[0].hole_count = 1; }
static void holes_left_out(struct project *project) { project->steps[2].hole_count = 0; }
static void hole_from_top(struct project *project) { project->steps[2].side = SIDE_TOP; }
static void held_by_sides(struct project *project) { project->parts[0].hold = HOLD_SIDES; }
static void held_anyhow(struct project *project) { project->parts[0].hold = HOLD_AUTO; }
static void no_stops(struct project *project) { project->shop.stops = 4; }
static void stops_elsewhere(struct project *project) { project->shop.stops = 1; }
static void side_clamps_for_thick(struct project *project) {
  project->shop.side_clamp_min_stock = MM(18) + 1;
}
static void side_clamps_for_this(struct project *project) {
  project->shop.side_clamp_min_stock = MM(18);
}

static void test_hold_downs(void **state) {
  (void)state;
  static const struct change changes[] = {
      {nothing, NULL},
      {wider_foot, "not the project's: size of clamp 'down'"},
      {deeper_body, "not the project's: size of clamp 'down'"},
      {covers_more, "not the project's: size of clamp 'down'"},
      {for_thicker_stock, "clamp for other stock: 'down'"},
      {for_just_this_stock, NULL},
      {for_thinner_stock, "clamp for other stock: 'down'"},
      {side_clamps_for_thick, NULL},
      {more_clear, "keep-out too small: that of clamp 'down'"},
      {as_many_as_used, NULL},
      {too_few, "too many clamps: load"},
      {another_name, "not the project's: clamp 'down'"},
      {no_clamps, "not the project's: clamp 'down'"},
      {seldom_free, "not held: the left side"},
      {force_just_held, NULL},
      {more_force, "not held: friction"},
      {force_not_known, NULL},
      {short_bed, "off the bed"},
      {narrow_bed, "off the bed"},
      {thicker_cutter, "cutter reaches further: 'flat'"},
      {cutter_elsewhere, NULL},
      {profile_faces, "cutter reaches further: 'flat' goes 6"},
      {face_runs_off, "cutter reaches further: 'flat' goes 6"},
      {nothing_to_face, NULL},
      {nut_above_clamps, NULL},
      {nut_beside_clamps, "nut meets a clamp: that of 'flat' and 'down'"},
      {small_nut, NULL},
      {other_rim, "not the project's: rim or part_gap"},
      {wider_gap, "not the project's: rim or part_gap"},
      {narrower_gap, NULL},
      {hole_elsewhere, "3 holes of part 'board' in the plan, 3 in the project, the first 1 alike"},
      {smaller_drill, "3 holes of part 'board' in the plan, 3 in the project, the first 0 alike"},
      {hole_left_out, "3 holes of part 'board' in the plan, 2 in the project, the first 1 alike"},
      {holes_left_out, "3 holes of part 'board' in the plan, 2 in the project, the first 2 alike"},
      {hole_from_top, "3 holes of part 'board' in the plan, 3 in the project, the first 2 alike"},
      {held_by_sides, "held another way"},
      {held_anyhow, NULL},
  };
  struct scene scene;
  make_plan(&scene, HOLD_DOWNS);
  expect_all(&scene, changes, sizeof changes / sizeof changes[0]);
  end_plan(&scene);
}

/* The clamp pushes from the right against the stop on the left. */
static void test_side_clamps(void **state) {
  (void)state;
  static const struct change changes[] = {
      {nothing, NULL},
      {deeper_body, "not the project's: size of clamp 'push'"},
      {side_clamps_for_thick, "clamp for other stock: 'push'"},
      {side_clamps_for_this, NULL},
      {no_stops, "nothing to push against"},
      {stops_elsewhere, "nothing to push against"},
      {more_force, "not held: friction"},
  };
  struct scene scene;
  make_plan(&scene, SIDE_CLAMPS);
  expect_all(&scene, changes, sizeof changes / sizeof changes[0]);
  end_plan(&scene);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_hold_downs),
      cmocka_unit_test(test_side_clamps),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
