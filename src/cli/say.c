/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/say.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/utf8.h"

enum { SENTENCE_BYTES = 8192 };

/* In place: a sentence may quote names and inputs, and stands on a terminal. What steers it, and bytes that are no UTF-8
 * (a terminal may take those of 80 to 9F for controls), become question marks, one a byte. */
static void blunt(char *text)
{
    for (char *c = text; *c;) {
        uint32_t point;
        size_t size = ll_utf8_read(c, &point);
        if (size == 0 || ll_utf8_steers(point))
            memset(c, '?', size ? size : 1);
        c += size ? size : 1;
    }
}

static void say(const char *format, va_list arguments)
{
    char sentence[SENTENCE_BYTES] = "leadline: ";
    size_t start = strlen(sentence);
    vsnprintf(sentence + start, sizeof sentence - start - 1, format, arguments);
    blunt(sentence);
    size_t length = strlen(sentence);
    sentence[length++] = '\n';
    ssize_t written = write(STDERR_FILENO, sentence, length);
    (void)written; /* there is nowhere left to complain */
}

void ll_say(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say(format, arguments);
    va_end(arguments);
}

void ll_say_error(const char *path, const ll_error *error)
{
    if (path && error->line > 0)
        ll_say("%s:%ld: %s", path, error->line, error->text);
    else if (path)
        ll_say("%s: %s", path, error->text);
    else
        ll_say("%s", error->text);
}

void ll_say_hint(const char *command)
{
    if (command)
        ll_say("see 'leadline %s --help'", command);
    else
        ll_say("see 'leadline --help'");
}

int ll_exit_code(ll_status status)
{
    static const int codes[] = {
        [LL_OK] = LL_EXIT_DONE,           [LL_BAD_USAGE] = LL_EXIT_USAGE, [LL_BAD_INPUT] = LL_EXIT_INPUT,
        [LL_BAD_OUTPUT] = LL_EXIT_OUTPUT, [LL_NO_MEMORY] = LL_EXIT_OUTPUT,
    };
    return codes[status];
}

int ll_worse(int one, int other)
{
    return one > other ? one : other;
}

const char *ll_reason(int number, char *words, size_t capacity)
{
    if (strerror_r(number, words, capacity) != 0)
        snprintf(words, capacity, "error %d", number);
    return words;
}
