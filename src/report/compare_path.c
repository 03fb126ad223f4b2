/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a difference lies, in words: "dive 1, findings[2 oxygen-high].peak". */
#include <string.h>

#include "base/number.h"
#include "report/compare_parts.h"

bool ll_compare_is_over(const ll_comparing *c)
{
    return c->result->count >= LL_DIFFERENCES_MOST || c->no_memory;
}

/* Moves a text into the arena. */
static const char *keep(ll_comparing *c, ll_text *text)
{
    const char *written = ll_text_string(text);
    const char *kept = written ? ll_arena_text(c->arena, written) : NULL;
    ll_text_close(text);
    c->no_memory = c->no_memory || !kept;
    return kept;
}

const char *ll_compare_number(ll_comparing *c, double value)
{
    ll_text text;
    ll_text_open(&text, NULL, NULL, NULL);
    ll_number_add(&text, value);
    return keep(c, &text);
}

static bool is_dives(const ll_comparing *c)
{
    static const char dives[] = "dives";
    return c->depth > 1 && c->inside[0] == '\0' && c->step[0].key && c->step[0].length == sizeof dives - 1 &&
           memcmp(c->step[0].key, dives, sizeof dives - 1) == 0 && !c->step[1].key;
}

/* "[2 oxygen-high]" */
static void add_item(ll_text *path, const ll_step *step)
{
    ll_text_format(path, "[%zu", step->place);
    if (step->name) {
        ll_text_putc(path, ' ');
        ll_text_add(path, step->name, step->name_length);
    }
    ll_text_putc(path, ']');
}

static void add_dive(ll_text *path, const ll_step *step)
{
    ll_text_puts(path, "dive ");
    if (step->name)
        ll_text_add(path, step->name, step->name_length);
    else
        ll_text_format(path, "%zu", step->place);
}

static void add_path(ll_text *path, const ll_comparing *c)
{
    int from = 0;
    ll_text_puts(path, c->inside);
    if (is_dives(c)) {
        add_dive(path, &c->step[1]);
        from = 2;
    }
    for (int i = from; i < c->depth; i++) {
        if (!c->step[i].key) {
            add_item(path, &c->step[i]);
            continue;
        }
        ll_text_puts(path, i > from ? "." : from ? ", " : "");
        ll_text_add(path, c->step[i].key, c->step[i].length);
    }
}

void ll_compare_tell(ll_comparing *c, const char *page, const char *today, size_t values, size_t sample)
{
    ll_text path;
    if (c->result->count >= LL_DIFFERENCES_TOLD) {
        c->result->count++;
        return;
    }
    ll_text_open(&path, NULL, NULL, NULL);
    add_path(&path, c);
    c->result->told[c->result->count++] = (ll_difference){keep(c, &path), page, today, values, sample};
}
