/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/input.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/error.h"
#include "cli/reading.h"
#include "cli/say.h"

static ll_status refuse(ll_error *error, int reason)
{
    char words[128];
    if (reason == ENOENT)
        return ll_fail(error, LL_BAD_INPUT, 0, "there is no such file");
    if (reason == EISDIR)
        return ll_fail(error, LL_BAD_INPUT, 0, "this is a directory, not a log");
    return ll_fail(error, LL_BAD_INPUT, 0, "cannot be opened: %s", ll_reason(reason, words, sizeof words));
}

ll_status ll_input_open(ll_input *input, const char *path, ll_error *error)
{
    input->reason = 0;
    input->file_bytes = 0;
    input->bar = NULL;
    input->descriptor = strcmp(path, "-") == 0 ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    if (input->descriptor < 0)
        return refuse(error, errno);
    struct stat facts;
    if (fstat(input->descriptor, &facts) != 0)
        return LL_OK;
    if (S_ISDIR(facts.st_mode)) {
        ll_input_close(input);
        return refuse(error, EISDIR);
    }
    if (S_ISREG(facts.st_mode))
        input->file_bytes = (size_t)facts.st_size;
    return LL_OK;
}

ptrdiff_t ll_input_read(void *context, void *bytes, size_t capacity)
{
    ll_input *input = context;
    ssize_t size;
    do
        size = read(input->descriptor, bytes, capacity);
    while (size < 0 && errno == EINTR);
    if (size < 0)
        input->reason = errno;
    if (size > 0 && input->bar)
        ll_reading_add(input->bar, (size_t)size);
    return size;
}

void ll_input_close(ll_input *input)
{
    if (input->descriptor > STDIN_FILENO)
        close(input->descriptor);
    input->descriptor = -1;
}

const char *ll_input_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}
