/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two JSON documents in lockstep: one order, with what one of them lacks told and passed over. */
#include "report/compare.h"

#include <math.h>
#include <string.h>

#include "report/compare_parts.h"
#include "report/utf8.h"

#define EQUAL_WITHIN 1e-9 /* of the greater one; outputs have 12 digits */

enum { SHOWN_COLUMNS = 200 };

static void compare_value(ll_comparing *c, ll_json_reader *page, ll_json_reader *today);

/* --- values ----------------------------------------------------------------------------------------------------- */

static const char *counted(ll_comparing *c, const ll_json_reader *json)
{
    size_t count = ll_json_count(json);
    return ll_arena_format(c->arena, "%zu member%s", count, count == 1 ? "" : "s");
}

static const char *shortened(ll_comparing *c, const char *text)
{
    size_t length = text ? strlen(text) : 0;
    size_t fits = length ? ll_columns_fit(text, length, SHOWN_COLUMNS) : 0;
    return fits < length ? ll_arena_format(c->arena, "%.*s ...", (int)fits, text) : text;
}

/* The value that the last token begins, in words. */
static const char *shown(ll_comparing *c, const ll_json_reader *json)
{
    const char *text = "?";
    if (json->token == LL_JSON_STRING)
        text = shortened(c, ll_json_text(json, c->arena));
    else if (json->token == LL_JSON_NUMBER)
        text = shortened(c, ll_arena_text_n(c->arena, json->text, json->length));
    else if (json->token == LL_JSON_TRUE || json->token == LL_JSON_FALSE)
        text = json->token == LL_JSON_TRUE ? "true" : "false";
    else if (json->token == LL_JSON_NULL)
        text = "null";
    else if (json->token == LL_JSON_ARRAY)
        text = counted(c, json);
    else if (json->token == LL_JSON_OBJECT)
        text = "an object";
    c->no_memory = c->no_memory || !text;
    return text;
}

static void tell(ll_comparing *c, const ll_json_reader *page, const ll_json_reader *today)
{
    bool is_told = c->result->count < LL_DIFFERENCES_TOLD;
    ll_compare_tell(c, page && is_told ? shown(c, page) : NULL, today && is_told ? shown(c, today) : NULL, 1, 0);
}

bool ll_compare_is_near(double one, double other)
{
    return fabs(one - other) <= EQUAL_WITHIN * fmax(fabs(one), fabs(other));
}

static bool is_written_same(const ll_json_reader *page, const ll_json_reader *today)
{
    return page->length == today->length && memcmp(page->text, today->text, page->length) == 0;
}

static bool is_same_text(ll_comparing *c, const ll_json_reader *page, const ll_json_reader *today)
{
    if (is_written_same(page, today))
        return true;
    const char *one = ll_json_text(page, c->arena), *other = ll_json_text(today, c->arena);
    c->no_memory = c->no_memory || !one || !other;
    return one && other && strcmp(one, other) == 0;
}

static bool is_at(const ll_comparing *c, const char *key)
{
    if (c->depth == 0)
        return false;
    const ll_step *step = &c->step[c->depth - 1];
    return step->key && step->length == strlen(key) && memcmp(step->key, key, step->length) == 0;
}

static void compare_text(ll_comparing *c, const ll_json_reader *page, const ll_json_reader *today)
{
    if (is_at(c, "data") && !isnan(c->packing.bits)) {
        ll_compare_columns(c, page, today);
        return;
    }
    c->result->figures++;
    if (!is_same_text(c, page, today))
        tell(c, page, today);
}

static void compare_scalar(ll_comparing *c, const ll_json_reader *page, const ll_json_reader *today)
{
    c->result->figures++;
    if (page->token == LL_JSON_NUMBER && !ll_compare_is_near(page->number, today->number))
        tell(c, page, today);
}

/* --- members ---------------------------------------------------------------------------------------------------- */

static void push_key(ll_comparing *c, const ll_json_reader *json)
{
    c->step[c->depth++] = (ll_step){.key = json->text, .length = json->length};
}

/* Some members name the item that they belong to, some say how its data are packed. */
static void remember(ll_comparing *c, const ll_json_reader *value)
{
    ll_step *item = c->depth > 1 ? &c->step[c->depth - 2] : NULL;
    bool names = is_at(c, "key") || is_at(c, "kind") || is_at(c, "number");
    if (names && item && !item->key && (value->token == LL_JSON_STRING || value->token == LL_JSON_NUMBER)) {
        item->name = value->text;
        item->name_length = value->length;
    }
    if (is_at(c, "key"))
        c->packing = (ll_packing){NAN, 1, 0, false};
    if (is_at(c, "bits") && value->token == LL_JSON_NUMBER)
        c->packing.bits = value->number;
    if (is_at(c, "scale") && value->token == LL_JSON_NUMBER)
        c->packing.scale = value->number;
    if (is_at(c, "offset") && value->token == LL_JSON_NUMBER)
        c->packing.offset = value->number;
    if (is_at(c, "signed"))
        c->packing.is_signed = value->token == LL_JSON_TRUE;
}

/* The version may be another one; then so may sentences. */
static bool is_left_out(const ll_comparing *c)
{
    if (c->depth == 1 && is_at(c, "version"))
        return true;
    return !c->result->same_version && (is_at(c, "text") || is_at(c, "source") || is_at(c, "cautions"));
}

/* The next member of today's object has no counterpart. False at the object's end, which is read. */
static bool pass_over(ll_comparing *c, ll_json_reader *today)
{
    if (ll_json_read(today) != LL_JSON_KEY)
        return false;
    push_key(c, today);
    ll_json_read(today);
    if (c->result->same_version)
        tell(c, NULL, today);
    c->depth--;
    return ll_json_skip(today);
}

/* Moves to the value of today's member with the page's key; false, and not at all, where there is none. */
static bool seek(ll_comparing *c, const ll_json_reader *page, ll_json_reader *today)
{
    ll_json_reader ahead = *today;
    size_t passed = 0;
    while (ll_json_read(&ahead) == LL_JSON_KEY && !is_written_same(page, &ahead)) {
        ll_json_read(&ahead);
        ll_json_skip(&ahead);
        passed++;
    }
    if (ahead.token != LL_JSON_KEY)
        return false;
    while (passed--)
        pass_over(c, today);
    ll_json_read(today);
    ll_json_read(today);
    return true;
}

static void compare_member(ll_comparing *c, ll_json_reader *page, ll_json_reader *today)
{
    bool has_both = seek(c, page, today);
    push_key(c, page);
    ll_json_read(page);
    remember(c, page);
    if (!has_both)
        tell(c, page, NULL);
    if (has_both && !is_left_out(c)) {
        compare_value(c, page, today);
    } else {
        ll_json_skip(page);
        if (has_both)
            ll_json_skip(today);
    }
    c->depth--;
}

static void compare_members(ll_comparing *c, ll_json_reader *page, ll_json_reader *today)
{
    while (ll_json_read(page) == LL_JSON_KEY && !ll_compare_is_over(c))
        compare_member(c, page, today);
    while (!ll_compare_is_over(c) && pass_over(c, today))
        ;
}

static void compare_items(ll_comparing *c, ll_json_reader *page, ll_json_reader *today)
{
    if (ll_json_count(page) != ll_json_count(today)) {
        tell(c, page, today);
        ll_json_skip(page);
        ll_json_skip(today);
        return;
    }
    for (size_t place = 1; ll_json_read(page) != LL_JSON_ARRAY_END && !ll_compare_is_over(c); place++) {
        ll_json_read(today);
        c->step[c->depth++] = (ll_step){.place = place};
        compare_value(c, page, today);
        c->depth--;
    }
    if (!ll_compare_is_over(c))
        ll_json_read(today);
}

/* The last token of each begins a value; afterwards both stand behind it, unless the comparison is over. Depth is that
 * of the readers, and bounded by them. */
static void compare_value(ll_comparing *c, ll_json_reader *page, ll_json_reader *today)
{
    if (page->token != today->token) {
        c->result->figures++;
        tell(c, page, today);
        ll_json_skip(page);
        ll_json_skip(today);
    } else if (page->token == LL_JSON_OBJECT) {
        compare_members(c, page, today);
    } else if (page->token == LL_JSON_ARRAY) {
        compare_items(c, page, today);
    } else if (page->token == LL_JSON_STRING) {
        compare_text(c, page, today);
    } else {
        compare_scalar(c, page, today);
    }
}

static void compare_documents(ll_comparing *c, ll_slice page, ll_slice today)
{
    ll_json_reader one, other;
    ll_json_read_open(&one, page.bytes, page.size);
    ll_json_read_open(&other, today.bytes, today.size);
    ll_json_read(&one);
    ll_json_read(&other);
    c->depth = 0;
    c->packing = (ll_packing){NAN, 1, 0, false};
    compare_value(c, &one, &other);
}

/* --- the whole -------------------------------------------------------------------------------------------------- */

static void compare_samples(ll_comparing *c, const ll_claims *page, const ll_claims *today)
{
    if (page->samples != today->samples) {
        c->inside = "samples";
        c->depth = 0;
        ll_compare_tell(c, ll_arena_format(c->arena, "of %zu dives", page->samples),
                        ll_arena_format(c->arena, "of %zu", today->samples), 1, 0);
        return;
    }
    for (size_t i = 0; i < page->samples && !ll_compare_is_over(c); i++) {
        c->inside = ll_arena_format(c->arena, "samples %zu, ", i + 1);
        c->no_memory = c->no_memory || !c->inside;
        compare_documents(c, page->sample[i], today->sample[i]);
    }
}

ll_status ll_compare(const ll_claims *page, const ll_claims *today, ll_arena *arena, ll_comparison *comparison,
                     ll_error *error)
{
    *comparison = (ll_comparison){.same_version = strcmp(page->version, today->version) == 0};
    ll_comparing c = {.result = comparison, .arena = arena, .inside = ""};
    ll_compare_built_in(&c, page);
    c.inside = "";
    compare_documents(&c, page->figures, today->figures);
    if (!ll_compare_is_over(&c))
        compare_samples(&c, page, today);
    return c.no_memory ? ll_fail_memory(error) : LL_OK;
}
