#include "cli.h"

static struct bw_run *run(const struct request *request) {
  return bw_settle(request->operand, request->second);
}

const struct command command_settle = {
    .name = "settle",
    .operand = "PROJECT",
    .operand_meaning = "the folder the plan was made from",
    .second = "PLAN.json",
    .second_meaning = "the plan.json that was cut",
    .purpose = "after cutting: what was used leaves the rack, offcuts join it",
    .example = "settle boards/cribbage reports/cribbage/plan.json",
    .run = run,
};
