/* The one table of commands and options. Parsing, the help, the manual page and the
 * completions of the shells all come from it. All texts are constants. */
#ifndef BLANKWRIGHT_CLI_OPTIONS_H
#define BLANKWRIGHT_CLI_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "cli.h"

/* Takes an option's value; NULL when it was fit, else what was expected. */
typedef const char *take_value(struct request *request, const char *value);

struct option {
  const char *name;
  const char *short_name;        /* or NULL */
  const char *value;             /* its name in the help; NULL for a switch */
  const struct command *command; /* NULL: every command, and the program itself */
  const struct command *also;    /* another that takes it, or NULL */
  const char *meaning;
  take_value *take;
};

extern const struct option options[];
extern const size_t option_count;

/* True when the command takes the option; the program itself is NULL. */
bool option_applies(const struct option *option, const struct command *command);

/* One line, behind the program's name. */
extern const char *const program_purpose;

/* What each exit status means, by its number, ended by NULL. */
extern const char *const exit_meanings[];

#endif
