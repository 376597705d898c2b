#include "solver/guard.h"

#include <glpk.h>
#include <pthread.h>
#include <stdatomic.h>
#include <string.h>

/* The number of the environment, the only one of its kind, tells which problems are gone or
 * another thread's; 0 stands for one that is still to be made. */
static _Thread_local struct {
  jmp_buf trap;
  bool armed;
  bool no_memory; /* the last fault was want of memory */
  unsigned long environment;
} guard;

static atomic_ulong environments;

/* A thread that ends takes its environment with it. */
static pthread_once_t key_once = PTHREAD_ONCE_INIT;
static pthread_key_t environment_key;
static bool key_made;

static void free_environment(void *environment) {
  (void)environment;
  glp_free_env();
}

static void make_key(void) {
  key_made = pthread_key_create(&environment_key, free_environment) == 0;
}

bool guard_allows_threads(void) { return glp_config("TLS") != NULL; }

/* GLPK tells what is wrong by this way alone, and on standard output if nobody takes it. The text
 * is one of those of its allocator (env/alloc.c of release 5.0), each on one line. */
static int take_text(void *info, const char *text) {
  (void)info;
  if (strstr(text, "memory") != NULL) guard.no_memory = true;
  return 1;
}

enum { NO_MEMORY_FOR_ENVIRONMENT = 2 };

unsigned long guard_environment(struct arena *arena) {
  if (guard.environment != 0) return guard.environment;
  if (glp_init_env() == NO_MEMORY_FOR_ENVIRONMENT) arena_raise(arena, STATUS_NO_MEMORY);
  guard.environment = atomic_fetch_add(&environments, 1) + 1;
  pthread_once(&key_once, make_key);
  if (key_made) pthread_setspecific(environment_key, &environments);
  glp_term_out(GLP_OFF);
  glp_term_hook(take_text, NULL);
  return guard.environment;
}

bool guard_holds(unsigned long environment) {
  return environment != 0 && environment == guard.environment;
}

static void jump_out(void *info) {
  (void)info;
  if (guard.armed) longjmp(guard.trap, 1);
}

jmp_buf *guard_trap(void) { return &guard.trap; }

void guard_arm(void) {
  guard.no_memory = false;
  guard.armed = true;
  glp_error_hook(jump_out, NULL);
}

void guard_leave(void) {
  glp_error_hook(NULL, NULL);
  guard.armed = false;
}

_Noreturn void guard_fault(struct arena *arena) {
  guard.armed = false;
  glp_error_hook(NULL, NULL);
  glp_free_env();
  guard.environment = 0;
  arena_raise(arena, guard.no_memory ? STATUS_NO_MEMORY : STATUS_SOLVER_FAULT);
}
