/* From a folder of CSV files to a project. The only user of libcsv is read/csv.c. */
#ifndef BLANKWRIGHT_READ_READ_H
#define BLANKWRIGHT_READ_READ_H

#include "base/diagnostics.h"
#include "model/project.h"

/* Reads every file of a project folder. All faults of all files are added to
 * `diagnostics` as errors (with place, row and column). Returns STATUS_OK when there is
 * none, else STATUS_BAD_INPUT; *project is set in both cases but is only fit for use
 * after STATUS_OK. The project lives in the arena. */
enum status read_project(struct arena *arena, const char *folder, struct diagnostics *diagnostics,
                         struct project **project);

#endif
