/* A program that knows the installed header alone: writes a starter project and checks it. */
#include <blankwright/blankwright.h>
#include <stdio.h>

int main(int argc, char **argv) {
  if (argc != 2) return 9;
  struct bw_run *run = bw_new(argv[1]);
  int status = (int)bw_run_status(run);
  bw_run_free(run);
  if (status != BW_DONE) return status;
  struct bw_options options = {0};
  run = bw_check(argv[1], &options);
  status = (int)bw_run_status(run);
  for (size_t i = 0; i < bw_run_message_count(run); i++)
    if (bw_run_message(run, i).severity == BW_ERROR) puts(bw_run_message(run, i).text);
  fputs(bw_run_text(run), stdout);
  bw_run_free(run);
  return status;
}
