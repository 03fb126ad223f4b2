/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/pending.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <unistd.h>

enum { TRIES = 100 };

static const int deadly[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};
enum { DEADLY = sizeof deadly / sizeof deadly[0] };

/* Static, because a signal handler is given nothing. */
static char pending[PATH_MAX];
static volatile sig_atomic_t is_pending;

/* Runs once (SA_RESETHAND): the signal raised again has its own effect as soon as the handler returns. */
static void remove_and_end(int number)
{
    if (is_pending)
        unlink(pending);
    raise(number);
}

/* A signal that the caller of the program ignores stays ignored. */
static void watch(void)
{
    struct sigaction action = {.sa_handler = remove_and_end, .sa_flags = (int)SA_RESETHAND};
    sigemptyset(&action.sa_mask);
    for (int i = 0; i < DEADLY; i++) {
        struct sigaction before;
        if (sigaction(deadly[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN)
            sigaction(deadly[i], &action, NULL);
    }
}

/* Holds the signals back while file and name change together. */
static void hold(sigset_t *before)
{
    sigset_t held;
    sigemptyset(&held);
    for (int i = 0; i < DEADLY; i++)
        sigaddset(&held, deadly[i]);
    pthread_sigmask(SIG_BLOCK, &held, before);
}

static void let(const sigset_t *before)
{
    int reason = errno;
    pthread_sigmask(SIG_SETMASK, before, NULL);
    errno = reason;
}

/* Tries names until one is free. */
static int create(const char *folder, mode_t mode)
{
    for (int i = 0; i < TRIES; i++) {
        int length = snprintf(pending, sizeof pending, "%s.leadline-%ld-%d", folder, (long)getpid(), i);
        if (length < 0 || (size_t)length >= sizeof pending) {
            errno = ENAMETOOLONG;
            return -1;
        }
        int descriptor = open(pending, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
        if (descriptor >= 0 || errno != EEXIST)
            return descriptor;
    }
    return -1;
}

int ll_pending_create(const char *folder, mode_t mode)
{
    sigset_t before;
    hold(&before);
    watch();
    int descriptor = create(folder, mode);
    is_pending = descriptor >= 0;
    let(&before);
    return descriptor;
}

int ll_pending_rename(const char *target)
{
    sigset_t before;
    hold(&before);
    int result = rename(pending, target);
    if (result == 0)
        is_pending = false;
    let(&before);
    return result;
}

void ll_pending_remove(void)
{
    sigset_t before;
    hold(&before);
    if (is_pending)
        unlink(pending);
    is_pending = false;
    let(&before);
}
