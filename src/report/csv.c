/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/csv.h"

#include <string.h>

static bool needs_quotes(const char *text)
{
    return strpbrk(text, ",\"\r\n") || text[0] == ' ' || (text[0] && text[strlen(text) - 1] == ' ');
}

static bool looks_like_a_formula(const char *text)
{
    return text[0] && strchr("=+-@\t\r", text[0]);
}

void ll_csv_text(ll_text *out, const char *text)
{
    if (!text)
        return;
    bool quoted = needs_quotes(text);
    if (quoted)
        ll_text_putc(out, '"');
    if (looks_like_a_formula(text))
        ll_text_putc(out, '\'');
    for (const char *at = text; *at; at++) {
        if (*at == '"')
            ll_text_putc(out, '"');
        ll_text_putc(out, *at);
    }
    if (quoted)
        ll_text_putc(out, '"');
}

void ll_csv_scratch(ll_text *out, ll_text *scratch)
{
    const char *text = ll_text_string(scratch);
    out->no_memory = out->no_memory || scratch->no_memory;
    ll_csv_text(out, text);
    ll_text_close(scratch);
}
