#include "cli.h"

static struct bw_run *run(const struct request *request) { return bw_new(request->operand); }

const struct command command_new = {
    .name = "new",
    .operand = "FOLDER",
    .operand_meaning = "a folder that is not there yet, or is empty",
    .purpose = "write a small commented project to start from",
    .example = "new boards/first",
    .run = run,
};
