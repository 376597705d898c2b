/* A set of files that appear in a folder together or not at all. Every file is written
 * under a temporary name beside its final one, and renamed only when all are whole. The
 * first two dozen are forced to the disk before that; the rest a loss of power may take.
 * What was there before is put back should a rename fail. Names are taken
 * within the folder alone: a link that stands under one of them is replaced, never
 * followed.
 *
 * Signals that end a program (SIGINT, SIGTERM, SIGHUP) wait while a batch is open, whichever thread
 * they reach; of several batches open at once in one process, the first alone is guarded so, the
 * others in their own thread. A run that is
 * killed, or a machine that stops, leaves each file old or new, and files .NAME.tmp and .NAME.old,
 * which the next batch of these names removes. */
#ifndef BLANKWRIGHT_WRITE_FILE_BATCH_H
#define BLANKWRIGHT_WRITE_FILE_BATCH_H

#include <stdbool.h>

#include "base/diagnostics.h"

struct file_batch;

/* Opens the folder, made with its parents where missing. NULL with one error added when
 * that fails. The batch lives in the arena, and whatever is not committed by then is
 * removed when the arena is destroyed. */
struct file_batch *batch_open(struct arena *arena, const char *folder,
                              struct diagnostics *diagnostics);

/* Files added from now on may be read and written by whom that file of the folder may be. */
void batch_keep_mode(struct file_batch *batch, const char *name);

/* Writes one file under its temporary name. False with one error added. */
bool batch_add(struct file_batch *batch, const char *name, const char *text, size_t length);

/* A file of that name and text stands in the folder from before the first file is renamed until
 * the batch is closed: so that where a run is killed in between, it can be seen that some files are
 * old and some new. One that a killed run left goes only when a batch is committed that has the
 * same text, up to 512 characters, or that `covers` all files of the folder. Both texts outlive the
 * batch. */
void batch_notice(struct file_batch *batch, const char *name, const char *text, bool covers);

/* Gives all files their final names. False with one error added; then the files of
 * before stand as they did and no temporary one is left. Where one cannot be put back, a second
 * error says so, and what lies in the folder is left as if the run had been killed. */
bool batch_commit(struct file_batch *batch);

/* Files of the folder whose names start and end so, and that are not of this batch by now, are to
 * go when it is committed. False with one error added. */
bool batch_retire(struct file_batch *batch, const char *start, const char *end);

/* After the commit: removes files whose names start and end so, leavings of a run that was killed.
 * Those that cannot be removed stay. Allocates nothing. */
void batch_sweep(struct file_batch *batch, const char *start, const char *end);

/* Removes what was not committed and closes the folder. */
void batch_close(struct file_batch *batch);

#endif
