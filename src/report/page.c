/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/page.h"

#include <string.h>

#include "report/html.h"
#include "report/utf8.h"

enum { LEAST_WIDTH = 40 };

void ll_page_open(ll_page *page, ll_text *out, const ll_look *look)
{
    page->out = out;
    page->look = look;
    page->markup = false;
    ll_text_open(&page->words, out->allocator, NULL, NULL);
}

void ll_page_open_markup(ll_page *page, ll_text *out, const ll_look *look)
{
    ll_page_open(page, out, look);
    page->markup = true;
}

void ll_page_close(ll_page *page)
{
    page->out->no_memory = page->out->no_memory || page->words.no_memory;
    ll_text_close(&page->words);
}

void ll_page_show(ll_page *page, ll_text *scratch)
{
    const char *shown = ll_text_string(scratch);
    ll_show(&page->words, shown ? shown : "");
    page->words.no_memory = page->words.no_memory || scratch->no_memory;
    ll_text_close(scratch);
}

/* --- wrapping ------------------------------------------------------------------------------------------------- */

/* What is left to wrap, and where the line stands. */
typedef struct wrapping {
    const char *at, *end;
    size_t column, indent, width;
} wrapping;

static size_t token_size(const char *at, const char *end)
{
    const char *blank = memchr(at, ' ', (size_t)(end - at));
    return (size_t)((blank ? blank : end) - at);
}

static bool is_unit(const char *token, size_t size)
{
    static const char *const units[] = {"m",   "ft",  "m/min", "ft/min", "min", "s", "h", "bar",
                                        "atm", "g/L", "%",     "kg/m3",  "L",   "L/min", "psi",
                                        LL_DEGREES "C", LL_DEGREES "F"};
    while (size && strchr(".,;:)", token[size - 1]))
        size--;
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strlen(units[i]) == size && memcmp(units[i], token, size) == 0)
            return true;
    return false;
}

/* A word, with the unit behind it where it ends in a digit. */
static size_t word_size(const char *at, const char *end)
{
    size_t size = token_size(at, end);
    bool is_figure = size && at[size - 1] >= '0' && at[size - 1] <= '9';
    if (!is_figure || at + size + 1 >= end)
        return size;
    const char *next = at + size + 1;
    size_t next_size = token_size(next, end);
    return is_unit(next, next_size) ? size + 1 + next_size : size;
}

static void break_line(ll_text *out, wrapping *line)
{
    ll_text_putc(out, '\n');
    ll_text_fill(out, ' ', line->indent);
    line->column = line->indent;
}

static void put_word(ll_text *out, wrapping *line, bool at_start)
{
    size_t size = word_size(line->at, line->end);
    size_t columns = ll_columns(line->at, size);
    if (!at_start && line->column + 1 + columns > line->width) {
        break_line(out, line);
        at_start = true;
    }
    if (!at_start)
        ll_text_putc(out, ' ');
    line->column += !at_start;
    while (line->column + columns > line->width && columns > 1) {
        size_t room = line->width > line->column ? line->width - line->column : 1;
        size_t cut = ll_columns_fit(line->at, size, room);
        if (cut == size)
            break;
        ll_text_add(out, line->at, cut);
        line->at += cut;
        size -= cut;
        columns = ll_columns(line->at, size);
        break_line(out, line);
    }
    ll_text_add(out, line->at, size);
    line->at += size;
    line->column += columns;
}

static void wrap(ll_page *page, int first, int rest)
{
    wrapping line = {
        .at = page->words.bytes,
        .end = page->words.size ? page->words.bytes + page->words.size : page->words.bytes,
        .column = (size_t)first,
        .indent = (size_t)rest,
        .width = (size_t)(page->look->width < LEAST_WIDTH ? LEAST_WIDTH : page->look->width),
    };
    bool at_start = true;
    while (line.at < line.end) {
        if (*line.at == ' ') {
            line.at++;
            continue;
        }
        if (at_start)
            ll_text_fill(page->out, ' ', (size_t)first);
        put_word(page->out, &line, at_start);
        at_start = false;
    }
    if (!at_start)
        ll_text_putc(page->out, '\n');
}

/* --- HTML ----------------------------------------------------------------------------------------------------- */

static const char *const sequences[] = {"", "\033[1m", "\033[33m", "\033[31m"};
static const char *const tags[] = {"</b>", "<b>", "<b class=\"caution\">", "<b class=\"serious\">"};
static const char unpainted[] = "\033[0m";

/* The tag that stands for the colour sequence at `at`, or NULL; *size gets its bytes. */
static const char *tag_at(const char *at, size_t *size)
{
    for (int paint = LL_PLAIN; paint <= LL_RED; paint++) {
        const char *sequence = paint == LL_PLAIN ? unpainted : sequences[paint];
        *size = strlen(sequence);
        if (strncmp(at, sequence, *size) == 0)
            return tags[paint];
    }
    return NULL;
}

/* Text of a log holds no colour sequence any more: ll_show drops them. */
static void add_marked_up(ll_text *out, char *words)
{
    for (char *from = words; *from;) {
        char *escape = strchr(from, '\033');
        size_t size = 0;
        const char *tag = escape ? tag_at(escape, &size) : NULL;
        if (escape)
            *escape = '\0';
        ll_html_string(out, from);
        if (!escape)
            break;
        if (tag)
            ll_text_puts(out, tag);
        from = escape + (tag ? size : 1);
    }
}

static void mark_up(ll_page *page, int first)
{
    if (page->words.size == 0 || !ll_text_string(&page->words))
        return;
    ll_text_puts(page->out, first >= 4 ? "<p class=\"item\">" : "<p>");
    add_marked_up(page->out, page->words.bytes);
    ll_text_puts(page->out, "</p>\n");
}

void ll_page_end(ll_page *page, int first, int rest)
{
    if (page->markup)
        mark_up(page, first);
    else
        wrap(page, first, rest);
    page->words.size = 0;
}

/* --- headings and colour -------------------------------------------------------------------------------------- */

void ll_page_heading(ll_page *page, const char *heading)
{
    if (page->markup) {
        ll_text_puts(page->out, "<h3>");
        ll_html_string(page->out, heading);
        ll_text_puts(page->out, "</h3>\n");
        return;
    }
    ll_text_putc(page->out, '\n');
    ll_paint_add(page->out, page->look, LL_BOLD, heading);
    ll_text_putc(page->out, '\n');
}

void ll_paint_add(ll_text *out, const ll_look *look, ll_paint paint, const char *text)
{
    bool painted = look->colour && paint != LL_PLAIN;
    if (painted)
        ll_text_puts(out, sequences[paint]);
    ll_text_puts(out, text);
    if (painted)
        ll_text_puts(out, unpainted);
}

ll_paint ll_severity_paint(ll_severity severity)
{
    static const ll_paint paints[4] = {LL_PLAIN, LL_BOLD, LL_AMBER, LL_RED};
    return paints[severity];
}
