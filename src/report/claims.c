/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts of a page, by the exact start tags that this program writes. Text of a log holds none: it is escaped. */
#include "report/claims.h"

#include <string.h>

#include "base/settings.h"
#include "report/json_read.h"

static const char page_tag[] = "<html ";
static const char figures_tag[] = "<script type=\"application/json\" id=\"figures\">";
static const char samples_tag[] = "<script type=\"application/json\" class=\"samples\">";
static const char end_tag[] = "</script";

/* The first place of `word` in `text`, or NULL. */
static const char *find(ll_slice text, const char *word)
{
    const size_t length = strlen(word);
    if (text.size == 0)
        return NULL;
    const char *at = text.bytes, *end = text.bytes + text.size;
    while (at && (size_t)(end - at) >= length) {
        at = memchr(at, word[0], (size_t)(end - at) - length + 1);
        if (at && memcmp(at, word, length) == 0)
            return at;
        at = at ? at + 1 : NULL;
    }
    return NULL;
}

static ll_slice behind(ll_slice text, const char *at)
{
    return (ll_slice){at, (size_t)(text.bytes + text.size - at)};
}

/* The next element with this start tag, and what stands behind the tag. LL_BAD_INPUT where it does not end; content
 * without bytes where there is none. */
static ll_status take_element(ll_slice *rest, const char *tag, ll_slice *content, ll_error *error)
{
    const char *start = find(*rest, tag);
    *content = (ll_slice){NULL, 0};
    if (!start)
        return LL_OK;
    *rest = behind(*rest, start + strlen(tag));
    const char *end = find(*rest, end_tag);
    if (!end)
        return ll_fail(error, LL_BAD_INPUT, 0, "the page is cut short");
    *content = (ll_slice){rest->bytes, (size_t)(end - rest->bytes)};
    *rest = behind(*rest, end);
    return LL_OK;
}

static ll_status check(ll_slice json, const char *what, ll_error *error)
{
    ll_json_reader reader;
    ll_json_read_open(&reader, json.bytes, json.size);
    while (ll_json_read(&reader) > LL_JSON_WRONG)
        ;
    if (reader.token == LL_JSON_END)
        return LL_OK;
    return ll_fail(error, LL_BAD_INPUT, 0, "the page's %s, byte %zu: expected %s", what, reader.at, reader.wrong);
}

static ll_status find_figures(ll_slice page, ll_slice *figures, ll_error *error)
{
    ll_slice rest = page, second;
    ll_status status = take_element(&rest, figures_tag, figures, error);
    if (status == LL_OK && !figures->bytes)
        return ll_fail(error, LL_BAD_INPUT, 0, "this is no debrief page of leadline: there are no figures in it");
    if (status == LL_OK)
        status = check(*figures, "figures", error);
    if (status == LL_OK)
        status = take_element(&rest, figures_tag, &second, error);
    if (status == LL_OK && second.bytes)
        return ll_fail(error, LL_BAD_INPUT, 0, "the page holds figures twice");
    return status;
}

static size_t count_samples(ll_slice rest)
{
    size_t count = 0;
    for (const char *at = find(rest, samples_tag); at; at = find(rest, samples_tag)) {
        rest = behind(rest, at + 1);
        count++;
    }
    return count;
}

static ll_status find_samples(ll_slice page, ll_claims *claims, ll_arena *arena, ll_error *error)
{
    const size_t most = count_samples(page);
    ll_slice *sample = ll_arena_array(arena, most, sizeof *sample);
    ll_status status = sample ? LL_OK : ll_fail_memory(error);
    claims->sample = sample;
    while (status == LL_OK && claims->samples < most) {
        ll_slice *next = &sample[claims->samples];
        status = take_element(&page, samples_tag, next, error);
        if (status == LL_OK && !next->bytes)
            break;
        claims->samples++;
        if (status == LL_OK)
            status = check(*next, "samples", error);
    }
    return status;
}

/* --- how it looks ----------------------------------------------------------------------------------------------- */

/* Which of `words` (NULL-terminated) the attribute of the page's start tag says; 0 where it says none. `name` with the
 * blank before it and the quote behind the equals sign. */
static int attribute(ll_slice tag, const char *name, const char *const *words)
{
    const char *at = find(tag, name);
    ll_slice value = at ? behind(tag, at + strlen(name)) : (ll_slice){"", 0};
    for (int i = 0; words[i]; i++) {
        size_t length = strlen(words[i]);
        if (value.size > length && memcmp(value.bytes, words[i], length) == 0 && value.bytes[length] == '"')
            return i;
    }
    return 0;
}

static void read_look(ll_slice page, ll_claims *claims)
{
    static const char *const units[] = {"metric", "imperial", NULL};
    static const char *const names[] = {"full", "initials", "letters", NULL};
    static const char *const firm[] = {"yes", "no", NULL};
    const char *start = find(page, page_tag);
    ll_slice tag = start ? behind(page, start) : (ll_slice){"", 0};
    const char *end = find(tag, ">");
    tag.size = end ? (size_t)(end - tag.bytes) : 0;
    claims->imperial = attribute(tag, " data-units=\"", units) == 1;
    claims->names = attribute(tag, " data-names=\"", names);
    claims->settings.firm = attribute(tag, " data-firm=\"", firm) == 0;
}

ll_status ll_claims_read(const char *bytes, size_t size, ll_arena *arena, ll_claims *claims, ll_error *error)
{
    const ll_slice page = {bytes, size};
    *claims = (ll_claims){.version = NULL};
    ll_settings_built_in(&claims->settings);
    ll_limits_built_in(&claims->limits);
    if (size > LL_PAGE_MOST_BYTES)
        return ll_fail(error, LL_BAD_INPUT, 0, "the page is larger than %d MiB", LL_PAGE_MOST_BYTES / 1024 / 1024);
    ll_status status = find_figures(page, &claims->figures, error);
    if (status == LL_OK)
        status = find_samples(page, claims, arena, error);
    if (status == LL_OK)
        status = ll_claims_figures(claims, arena, error);
    read_look(page, claims);
    ll_error wrong;
    if (status == LL_OK && ll_settings_check(&claims->settings, &wrong) != LL_OK)
        status = ll_fail(error, LL_BAD_INPUT, 0, "the page's settings: %s", wrong.text);
    return status;
}
