/* What the files of the command line share. It knows the library by its public header
 * alone. All texts are constants or belong to argv. */
#ifndef BLANKWRIGHT_CLI_CLI_H
#define BLANKWRIGHT_CLI_CLI_H

#include <stdbool.h>
#include <stdio.h>

#include "blankwright/blankwright.h"

/* What one call of the program asks for. */
struct request {
  const char *operand; /* the project, plan or folder */
  const char *second;  /* the plan of settling */
  struct bw_options options;
  bool help;
  bool version;
};

struct command {
  const char *name;
  const char *operand; /* its name in the help */
  const char *operand_meaning;
  const char *second; /* the name of a second one, or NULL */
  const char *second_meaning;
  const char *purpose; /* one line */
  const char *example; /* what stands behind the program's name */
  struct bw_run *(*run)(const struct request *request);
};

extern const struct command command_check;
extern const struct command command_plan;
extern const struct command command_price;
extern const struct command command_proof;
extern const struct command command_settle;
extern const struct command command_new;

/* Every command in the order of the help, ended by NULL. */
extern const struct command *const commands[];

/* Reads what stands behind the command's name (command is NULL when none was given). On
 * a fault one message is printed to standard error and false is returned. */
bool options_parse(const struct command *command, int count, char *const *words,
                   struct request *request);

/* The help of one command, or of the program when command is NULL. */
void options_help(FILE *file, const struct command *command);

/* Every message of a run, errors with their row and a caret under the column. After 20
 * errors the rest are only counted. */
void messages_print(FILE *file, const struct bw_run *run);

/* Text from the input with what could steer a terminal replaced by '?'. */
void messages_print_harmless(FILE *file, const char *text);

/* Keeps one line with cost, bound and gap on standard error where that is a terminal. */
void progress_attach(struct bw_options *options);
/* Clears that line. */
void progress_end(void);

/* From now on a first SIGINT or SIGTERM stops the search, and a second ends the program. */
void interrupt_attach(struct bw_options *options);

/* From now on a library that aborts ends the program with a message and BW_NOT_WRITTEN. */
void interrupt_guard(void);

#endif
