#include "cli.h"

static struct bw_run *run(const struct request *request) {
  struct bw_options options = request->options;
  progress_attach(&options);
  interrupt_attach(&options);
  struct bw_run *done = bw_plan(request->operand, &options);
  progress_end();
  return done;
}

const struct command command_plan = {
    .name = "plan",
    .operand = "PROJECT",
    .operand_meaning = "a folder with parts.csv and with rack.csv, yard.csv or both",
    .purpose = "lay a run out in planks and sheets, check the plan and write its reports",
    .example = "plan boards/cribbage --sets 24",
    .run = run,
};
