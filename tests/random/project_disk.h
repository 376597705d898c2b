/* Project folders and reports on the disk, for the tests of whole runs. What goes wrong
 * with the disk itself ends the program. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_DISK_H
#define BLANKWRIGHT_TESTS_PROJECT_DISK_H

#include <stdbool.h>
#include <stdio.h>

#include "project_maker.h"

/* A folder of its own below TMPDIR or /tmp. */
const char *disk_scratch(struct arena *arena);

/* folder/name */
const char *disk_path(struct arena *arena, const char *folder, const char *name);

/* Removes a folder or file; what is not there is fine. */
void disk_remove(struct arena *arena, const char *path);

bool disk_has(const char *path);

/* A new, empty folder in a folder that is there. */
void disk_make_folder(const char *path);

/* Writes bytes into folder/name, the folder made where missing. */
void disk_write(struct arena *arena, const char *folder, const char *name,
                const struct buffer *bytes);

/* Writes the project's files into a new folder, emptied before. */
void disk_write_project(struct arena *arena, const char *folder,
                        const struct random_project *project);

/* The whole file. */
struct buffer *disk_read(struct arena *arena, const char *path);

/* NULL when both folders hold the same names with the same bytes, else what differs. */
const char *disk_difference(struct arena *arena, const char *a, const char *b);

/* Prints every file of the folder, to be made again by hand. */
void disk_print(struct arena *arena, FILE *out, const char *folder);

#endif
