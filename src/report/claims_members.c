/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/claims_members.h"

#include <math.h>
#include <string.h>

#include "base/settings.h"

#define PRINTED_WITHIN 1e-11 /* outputs have 12 digits */

ll_status ll_claim_fail(ll_claim_reading *in, const ll_claim_member *row, const char *expected)
{
    return ll_fail(in->error, LL_BAD_INPUT, 0, "the page's figures, byte %zu: %s: expected %s", in->json.at, row->key,
                   expected);
}

/* --- values ----------------------------------------------------------------------------------------------------- */

/* null leaves what is there, and so does the same number with fewer digits: what is there is built in. */
ll_status ll_take_claim_number(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    double *value = (void *)(target + row->offset);
    if (in->json.token != LL_JSON_NUMBER && in->json.token != LL_JSON_NULL)
        return ll_claim_fail(in, row, "a number");
    if (in->json.token == LL_JSON_NUMBER && !(fabs(*value - in->json.number) <= PRINTED_WITHIN * fabs(*value)))
        *value = in->json.number;
    return LL_OK;
}

ll_status ll_take_claim_bool(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    if (in->json.token != LL_JSON_TRUE && in->json.token != LL_JSON_FALSE)
        return ll_claim_fail(in, row, "true or false");
    *(bool *)(void *)(target + row->offset) = in->json.token == LL_JSON_TRUE;
    return LL_OK;
}

ll_status ll_take_claim_text(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    if (in->json.token == LL_JSON_NULL)
        return LL_OK;
    if (in->json.token != LL_JSON_STRING)
        return ll_claim_fail(in, row, "a text");
    char *text = ll_json_text(&in->json, in->arena);
    *(const char **)(void *)(target + row->offset) = text;
    return text ? LL_OK : ll_fail_memory(in->error);
}

ll_status ll_take_claim_digest(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    if (in->json.token != LL_JSON_STRING || in->json.length != LL_DIGEST_TEXT - 1)
        return ll_claim_fail(in, row, "a SHA-256");
    memcpy(target + row->offset, in->json.text, LL_DIGEST_TEXT - 1);
    return LL_OK;
}

bool ll_claim_is(const ll_claim_reading *in, const char *word)
{
    return in->json.token == LL_JSON_STRING && ll_json_is(&in->json, word);
}

ll_status ll_take_claim_origin(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    const int count = sizeof ll_origin_names / sizeof *ll_origin_names;
    int origin = 0;
    while (origin < count && !ll_claim_is(in, ll_origin_names[origin]))
        origin++;
    if (origin == count)
        return ll_claim_fail(in, row, "an origin");
    *(ll_origin *)(void *)(target + row->offset) = (ll_origin)origin;
    return LL_OK;
}

ll_status ll_take_claim_model(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    int model = 0;
    while (model < LL_MODELS && !ll_claim_is(in, ll_model_table[model].key))
        model++;
    if (model == LL_MODELS)
        return ll_claim_fail(in, row, "a model that this program knows");
    *(ll_model *)(void *)(target + row->offset) = (ll_model)model;
    return LL_OK;
}

ll_status ll_take_claim_water(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    bool from_log = false;
    ll_claim_member plain = *row;
    plain.offset = 0;
    ll_status status = ll_take_claim_bool(in, &plain, (char *)&from_log);
    *(ll_water *)(void *)(target + row->offset) = from_log ? LL_WATER_FROM_LOG : LL_WATER_NUMBER;
    return status;
}

ll_status ll_take_claim_whole(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    double number = in->json.token == LL_JSON_NUMBER ? in->json.number : -1;
    if (!(number >= 0 && number <= 1e9 && number == floor(number)))
        return ll_claim_fail(in, row, "a whole number");
    *(unsigned *)(void *)(target + row->offset) = (unsigned)number;
    return LL_OK;
}

/* --- objects and arrays ----------------------------------------------------------------------------------------- */

static ll_status take_member(ll_claim_reading *in, const ll_claim_member *rows, char *target)
{
    const ll_claim_member *row = rows;
    while (row->key && !ll_json_is(&in->json, row->key))
        row++;
    ll_json_read(&in->json);
    ll_status status = row->key ? row->take(in, row, target) : LL_OK;
    ll_json_token token = in->json.token;
    if (status == LL_OK && (token == LL_JSON_OBJECT || token == LL_JSON_ARRAY))
        ll_json_skip(&in->json);
    return status;
}

ll_status ll_take_claim_object(ll_claim_reading *in, const ll_claim_member *row, char *target)
{
    ll_status status = LL_OK;
    if (in->json.token == LL_JSON_NULL)
        return LL_OK;
    if (in->json.token != LL_JSON_OBJECT)
        return ll_claim_fail(in, row, "an object");
    while (status == LL_OK && ll_json_read(&in->json) == LL_JSON_KEY)
        status = take_member(in, row->inside, target + row->offset);
    return status;
}

ll_status ll_take_claim_list(ll_claim_reading *in, const ll_claim_member *row, size_t size, char **items, size_t *count)
{
    if (in->json.token != LL_JSON_ARRAY)
        return ll_claim_fail(in, row, "a list");
    const ll_claim_member item = {row->key, NULL, 0, row->inside};
    const size_t most = ll_json_count(&in->json);
    ll_status status = LL_OK;
    *items = ll_arena_array(in->arena, most, size);
    *count = 0;
    if (!*items)
        return ll_fail_memory(in->error);
    while (status == LL_OK && ll_json_read(&in->json) != LL_JSON_ARRAY_END)
        status = ll_take_claim_object(in, &item, *items + size * (*count)++);
    return status;
}
