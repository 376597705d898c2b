/* What is printed once, when the program is built: the manual page and the completions of
 * two shells, all from the table of commands and options (cli/options.h). */
#ifndef BLANKWRIGHT_PAGES_PAGES_H
#define BLANKWRIGHT_PAGES_PAGES_H

#include <stdio.h>

/* What a shell may offer for an operand or a value. */
enum word_kind { WORD_FREE, WORD_FOLDER, WORD_JSON, WORD_CHOICE };

/* The kind of a word by its name in the help, such as PROJECT or PLAN.json; of a choice the name
 * is its words, parted by '|'. */
enum word_kind word_kind(const char *name);

/* The manual page in mdoc. The date is SOURCE_DATE_EPOCH where that is set, else today. */
void pages_manual(FILE *file);

/* Completions for the two shells. */
void pages_bash(FILE *file);
void pages_zsh(FILE *file);

#endif
