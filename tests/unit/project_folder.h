/* A project folder of a test's own, and what reading it gave. */
#ifndef BLANKWRIGHT_TESTS_PROJECT_FOLDER_H
#define BLANKWRIGHT_TESTS_PROJECT_FOLDER_H

#include <stddef.h>

#include "read/read.h"

struct scene {
  char folder[64];
  struct arena *arena;
  struct diagnostics *diagnostics;
  struct project *project;
  enum status status;
};

/* The least that can be read: one part and one plank, in mm. */
#define SCENE_PARTS "part,per_set,length,width,thickness,wood\nboard,1,240,72,18,walnut\n"
#define SCENE_RACK "stock,kind,wood,length,width,thickness\nW1,plank,walnut,1830,215,21\n"

/* A new folder with these two files in it. */
void scene_open(struct scene *scene);

/* Removes the folder and frees what was read. */
void scene_close(struct scene *scene);

/* Writes a file of the folder anew; NULL removes it. */
void scene_file(struct scene *scene, const char *name, const char *text);
void scene_bytes(struct scene *scene, const char *name, const char *bytes, size_t length);

/* Reads the folder into a fresh arena. */
void scene_read(struct scene *scene);

/* The folder was read without a fault. */
void scene_expect_fine(struct scene *scene);

/* Among the faults is one at this place with exactly this text. */
void scene_expect_fault(struct scene *scene, const char *file, long line, long column,
                        const char *text);

/* There are exactly so many errors. */
void scene_expect_errors(struct scene *scene, size_t count);

/* One line of a file with one fault in it, and where and what it should be. */
struct bad_line {
  const char *line;
  long column;
  const char *text;
};

/* Each line in turn as the only one below the header gives exactly its one fault. */
void scene_expect_bad_lines(struct scene *scene, const char *file, const char *header,
                            const struct bad_line *lines, size_t count);

#endif
