#include "cli.h"

static struct bw_run *run(const struct request *request) { return bw_proof(request->operand); }

const struct command command_proof = {
    .name = "proof",
    .operand = "PLAN.json",
    .operand_meaning = "a plan.json from the reports of a project",
    .purpose = "check a plan again, from its file alone",
    .example = "proof reports/cribbage/plan.json",
    .run = run,
};
