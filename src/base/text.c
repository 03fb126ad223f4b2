/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/text.h"

#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { FLOW_BYTES = 64 * 1024 };

void ll_text_open(ll_text *text, const ll_allocator *allocator, ll_write_fn write, void *context)
{
    *text = (ll_text){.allocator = allocator ? allocator : &ll_heap, .write = write, .context = context};
}

void ll_text_close(ll_text *text)
{
    if (text->bytes)
        text->allocator->resize(text->allocator->context, text->bytes, 0);
    text->bytes = NULL;
    text->size = text->capacity = 0;
}

static bool reserve(ll_text *text, size_t more)
{
    if (text->no_memory)
        return false;
    if (text->capacity - text->size >= more)
        return true;
    size_t wanted = text->capacity ? text->capacity * 2 : 4096;
    if (more > SIZE_MAX / 4 || text->capacity > SIZE_MAX / 4) {
        text->no_memory = true;
        return false;
    }
    while (wanted - text->size < more)
        wanted *= 2;
    char *grown = text->allocator->resize(text->allocator->context, text->bytes, wanted);
    if (!grown) {
        text->no_memory = true;
        return false;
    }
    text->bytes = grown;
    text->capacity = wanted;
    return true;
}

static void flow(ll_text *text)
{
    if (!text->write || text->size == 0)
        return;
    if (!text->not_written && !text->no_memory && text->write(text->context, text->bytes, text->size) != 0)
        text->not_written = true;
    text->size = 0;
}

void ll_text_add(ll_text *text, const char *bytes, size_t size)
{
    if (text->write && text->size >= FLOW_BYTES)
        flow(text);
    if (!reserve(text, size))
        return;
    if (size)
        memcpy(text->bytes + text->size, bytes, size);
    text->size += size;
}

void ll_text_puts(ll_text *text, const char *string)
{
    ll_text_add(text, string, strlen(string));
}

void ll_text_putc(ll_text *text, char c)
{
    ll_text_add(text, &c, 1);
}

void ll_text_fill(ll_text *text, char c, size_t count)
{
    while (count--)
        ll_text_putc(text, c);
}

void ll_text_format(ll_text *text, const char *format, ...)
{
    char small[512];
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(small, sizeof small, format, arguments);
    va_end(arguments);
    if (length < 0)
        return;
    if ((size_t)length < sizeof small) {
        ll_text_add(text, small, (size_t)length);
        return;
    }
    if (!reserve(text, (size_t)length + 1))
        return;
    va_start(arguments, format);
    vsnprintf(text->bytes + text->size, (size_t)length + 1, format, arguments);
    va_end(arguments);
    text->size += (size_t)length;
}

bool ll_text_flush(ll_text *text)
{
    flow(text);
    return !text->no_memory && !text->not_written;
}

const char *ll_text_string(ll_text *text)
{
    if (!reserve(text, 1))
        return NULL;
    text->bytes[text->size] = '\0';
    return text->bytes;
}
