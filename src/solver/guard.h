/* GLPK kept from ending the process and from printing. A fault inside it calls its error hook,
 * which jumps back to where the stretch of calls began and raises STATUS_SOLVER_FAULT on an arena,
 * or STATUS_NO_MEMORY where that was the fault. The jump leaves GLPK's environment unusable: it is
 * freed, and with it every problem of the thread. One environment a thread: a problem is used and
 * deleted by the thread that made it. */
#ifndef BLANKWRIGHT_SOLVER_GUARD_H
#define BLANKWRIGHT_SOLVER_GUARD_H

#include <setjmp.h>
#include <stdbool.h>

#include "base/arena.h"

/* Whether several threads may use GLPK at a time. */
bool guard_allows_threads(void);

/* The number of the calling thread's environment, made if need be; no other, earlier or of
 * another thread, has the same. A problem keeps the one it was made in. STATUS_NO_MEMORY is raised
 * on the arena where there is none for it. */
unsigned long guard_environment(struct arena *arena);

/* True when what was made in that environment is still there and is this thread's. */
bool guard_holds(unsigned long environment);

/* Opens a stretch of calls into GLPK; every stretch ends with guard_leave(). Locals that
 * are changed after it need not be volatile: a fault never comes back to them. */
#define GUARD_ENTER(arena) \
  do { \
    if (setjmp(*guard_trap()) != 0) guard_fault(arena); \
    guard_arm(); \
  } while (0)

void guard_leave(void);

/* Parts of GUARD_ENTER. */
jmp_buf *guard_trap(void);
void guard_arm(void);
_Noreturn void guard_fault(struct arena *arena);

#endif
