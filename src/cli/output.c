/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/output.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <string.h>
#include <unistd.h>

#include "base/error.h"
#include "cli/pending.h"
#include "cli/say.h"

enum { LINKS = 40, PERMISSIONS = 07777, NEW_FILE = 0666, NEW_PRIVATE = 0600 };

bool ll_output_is_standard(const char *path)
{
    return !path || strcmp(path, "-") == 0;
}

static ll_status refuse(ll_error *error, int reason)
{
    char words[128];
    if (reason == ENOMEM)
        return ll_fail_memory(error);
    return ll_fail(error, LL_BAD_OUTPUT, 0, "cannot be written: %s", ll_reason(reason, words, sizeof words));
}

/* Length of the folder's part of a path, its slash included. */
static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) + 1 : 0;
}

const char *ll_output_folder(ll_arena *arena, const char *target)
{
    return ll_arena_text_n(arena, target, folder_length(target));
}

const char *ll_output_target(ll_arena *arena, const char *path)
{
    for (int i = 0; path && i < LINKS; i++) {
        char link[PATH_MAX];
        ssize_t length = readlink(path, link, sizeof link - 1);
        if (length < 0)
            return path;
        link[length] = '\0';
        int folder = link[0] == '/' ? 0 : (int)folder_length(path);
        path = ll_arena_format(arena, "%.*s%s", folder, path, link);
    }
    errno = path ? ELOOP : ENOMEM;
    return NULL;
}

/* An existing file: a device or pipe is opened in place, a regular one must be writable. 0 or an error number. */
static int look_at_existing(ll_output *output)
{
    if (S_ISDIR(output->facts.st_mode))
        return EISDIR;
    if (!S_ISREG(output->facts.st_mode)) {
        output->descriptor = open(output->target, O_WRONLY | O_CLOEXEC | O_NOCTTY);
        output->target = NULL;
        return output->descriptor < 0 ? errno : 0;
    }
    output->replaces = true;
    return access(output->target, W_OK) != 0 ? errno : 0;
}

/* 0 or an error number. */
static int open_pending(ll_output *output)
{
    const char *folder = ll_output_folder(&output->arena, output->target);
    if (!folder)
        return ENOMEM;
    output->descriptor = ll_pending_create(folder, output->replaces ? NEW_PRIVATE : NEW_FILE);
    return output->descriptor < 0 ? errno : 0;
}

/* 0 or an error number. */
static int open_file(ll_output *output)
{
    output->target = ll_output_target(&output->arena, output->path);
    if (!output->target)
        return errno;
    int reason = 0;
    if (stat(output->target, &output->facts) == 0)
        reason = look_at_existing(output);
    else if (errno != ENOENT)
        reason = errno;
    if (reason == 0 && output->descriptor < 0)
        reason = open_pending(output);
    return reason;
}

ll_status ll_output_open(ll_output *output, const char *path, ll_error *error)
{
    *output = (ll_output){.path = ll_output_is_standard(path) ? NULL : path, .descriptor = STDOUT_FILENO};
    ll_arena_open(&output->arena, &ll_heap);
    if (!output->path)
        return LL_OK;
    output->descriptor = -1;
    int reason = open_file(output);
    if (reason == 0)
        return LL_OK;
    ll_output_drop(output);
    return refuse(error, reason);
}

int ll_output_write(void *context, const void *bytes, size_t size)
{
    ll_output *output = context;
    const char *next = bytes;
    while (size > 0 && output->reason == 0) {
        ssize_t written = write(output->descriptor, next, size);
        if (written < 0 && errno == EINTR)
            continue;
        if (written < 0) {
            output->reason = errno;
            break;
        }
        next += written;
        size -= (size_t)written;
    }
    return output->reason;
}

/* The new file takes over owner and permissions of the one that it replaces, as far as the user may give them. */
static int take_over(const ll_output *output)
{
    if (!output->replaces)
        return 0;
    int given = fchown(output->descriptor, output->facts.st_uid, output->facts.st_gid);
    (void)given;
    return fchmod(output->descriptor, output->facts.st_mode & PERMISSIONS);
}

/* 0 or an error number. */
static int settle(ll_output *output)
{
    if (output->reason != 0)
        return output->reason;
    if (output->target && (take_over(output) != 0 || (fsync(output->descriptor) != 0 && errno != EINVAL)))
        return errno;
    int closed = close(output->descriptor);
    output->descriptor = -1;
    if (closed != 0)
        return errno;
    return output->target && ll_pending_rename(output->target) != 0 ? errno : 0;
}

ll_status ll_output_finish(ll_output *output, ll_error *error)
{
    int reason = settle(output);
    ll_output_drop(output);
    return reason == 0 ? LL_OK : refuse(error, reason);
}

void ll_output_drop(ll_output *output)
{
    if (output->descriptor > STDERR_FILENO)
        close(output->descriptor);
    output->descriptor = -1;
    if (output->target)
        ll_pending_remove();
    ll_arena_close(&output->arena);
}
