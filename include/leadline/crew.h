/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who does independent pieces of work at the same time. Shared by the door and every layer; the library itself starts no
 * thread. */
#ifndef LEADLINE_CREW_H
#define LEADLINE_CREW_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* One piece of work; pieces share nothing but what `context` offers. */
typedef void (*ll_work)(void *context, size_t index);

/* `run` does pieces 0 to count - 1, each once, in any order, up to `jobs` at the same time and on any thread, and returns
 * when all are done. NULL: they are done one after the other. Answers are the same, byte for byte, whoever does them. */
typedef struct ll_crew {
    void (*run)(void *crew_context, size_t jobs, size_t count, ll_work work, void *context);
    void *crew_context;
    size_t jobs; /* under 2: one after the other */
} ll_crew;

#ifdef __cplusplus
}
#endif

#endif
