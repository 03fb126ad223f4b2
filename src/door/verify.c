/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A page beside its logs: made again in memory as it says that it was made, then compared. */
#include <string.h>

#include "base/digest.h"
#include "door/rendering.h"
#include "replay/history.h"
#include "report/verdict.h"

typedef struct verifying {
    ll_arena arena;
    ll_claims claims, today;
    ll_comparison comparison;
    ll_verdict verdict;
    ll_text page; /* as written today */
    ll_crew crew;
} verifying;

/* --- which logs ------------------------------------------------------------------------------------------------- */

static const ll_claimed_input *find_input(const ll_claims *claims, const char *sha256)
{
    for (size_t i = 0; i < claims->inputs; i++)
        if (strcmp(claims->input[i].sha256, sha256) == 0)
            return &claims->input[i];
    return NULL;
}

static ll_status match(verifying *v, ll_log *const *logs, size_t count, ll_error *error)
{
    ll_given_log *given = ll_arena_array(&v->arena, count, sizeof *given);
    if (!given)
        return ll_fail_memory(error);
    v->verdict.logs = count;
    v->verdict.log = given;
    v->verdict.belongs = count > 0;
    for (size_t i = 0; i < count; i++) {
        given[i] = (ll_given_log){logs[i]->name, logs[i]->sha256, find_input(&v->claims, logs[i]->sha256)};
        v->verdict.belongs = v->verdict.belongs && given[i].named;
    }
    for (size_t i = 0; v->verdict.belongs && i < v->claims.inputs; i++)
        v->verdict.belongs = ll_verdict_is_given(&v->verdict, &v->claims.input[i]);
    return LL_OK;
}

/* Whether another log with these bytes has the name on the page, or is earlier and will get it. */
static bool is_named_elsewhere(const ll_verdict *verdict, size_t index)
{
    const ll_given_log *log = &verdict->log[index];
    for (size_t i = 0; i < verdict->logs; i++) {
        const ll_given_log *other = &verdict->log[i];
        if (i != index && other->named == log->named && (i < index || strcmp(other->name, log->named->name) == 0))
            return true;
    }
    return false;
}

/* The logs under their names on the page, so that a log that was renamed changes nothing. */
static const ll_log **rename_logs(verifying *v, ll_log *const *logs)
{
    const ll_log **renamed = ll_arena_array(&v->arena, v->verdict.logs, sizeof *renamed);
    ll_log *copies = ll_arena_array(&v->arena, v->verdict.logs, sizeof *copies);
    for (size_t i = 0; renamed && copies && i < v->verdict.logs; i++) {
        copies[i] = *logs[i];
        if (!is_named_elsewhere(&v->verdict, i))
            copies[i].name = v->verdict.log[i].named->name;
        renamed[i] = &copies[i];
    }
    return copies ? renamed : NULL;
}

/* --- today's page ----------------------------------------------------------------------------------------------- */

static int keep(void *context, const void *bytes, size_t size)
{
    ll_text *text = context;
    ll_text_add(text, bytes, size);
    return text->no_memory;
}

static bool is_on_page(const ll_claims *claims, unsigned number)
{
    for (size_t i = 0; i < claims->dives; i++)
        if (claims->dive[i] == number)
            return true;
    return false;
}

static void choose(const ll_history *history, const ll_claims *claims, ll_chosen *dives)
{
    dives->count = 0;
    for (size_t i = 0; i < history->count; i++)
        if (is_on_page(claims, history->entry[i].number))
            dives->index[dives->count++] = i;
}

static ll_status render(verifying *v, const ll_history *history, ll_error *error)
{
    const leadline_selection all = {.by = LEADLINE_ALL};
    const leadline_output output = {.format = LEADLINE_HTML,
                                    .imperial = v->claims.imperial,
                                    .names = (leadline_names)v->claims.names,
                                    .write = keep,
                                    .context = &v->page,
                                    .crew = v->crew};
    ll_rendering r;
    int worst = 0;
    ll_status status = ll_rendering_open(&r, history, &all, &output, error);
    if (status == LL_OK) {
        choose(history, &v->claims, &r.dives);
        status = ll_render_debriefs(&r, &v->claims.limits, &worst, error);
    }
    status = ll_rendering_close(&r, status, error);
    return v->page.no_memory ? ll_fail_memory(error) : status;
}

static ll_status compute(verifying *v, ll_log *const *logs, ll_error *error)
{
    ll_history *history;
    const ll_log **renamed = rename_logs(v, logs);
    if (!renamed)
        return ll_fail_memory(error);
    ll_status status =
        ll_history_make(renamed, v->verdict.logs, &v->claims.settings, NULL, NULL, NULL, &history, error);
    if (status == LL_OK)
        status = render(v, history, error);
    ll_history_free(history);
    return status;
}

static ll_status compare(verifying *v, ll_slice page, ll_error *error)
{
    ll_status status = ll_claims_read(v->page.bytes, v->page.size, &v->arena, &v->today, error);
    if (status == LL_OK)
        status = ll_compare(&v->claims, &v->today, &v->arena, &v->comparison, error);
    v->verdict.comparison = &v->comparison;
    v->verdict.is_whole = page.size == v->page.size && memcmp(page.bytes, v->page.bytes, page.size) == 0;
    return status;
}

/* --- the answer ------------------------------------------------------------------------------------------------- */

static ll_status verify(verifying *v, ll_slice page, ll_log *const *logs, size_t count, ll_error *error)
{
    ll_status status = ll_claims_read(page.bytes, page.size, &v->arena, &v->claims, error);
    if (status == LL_OK)
        status = match(v, logs, count, error);
    if (status == LL_OK && v->verdict.belongs)
        status = compute(v, logs, error);
    if (status == LL_OK && v->verdict.belongs)
        status = compare(v, page, error);
    return status;
}

static ll_status answer(const ll_verdict *verdict, const leadline_output *output, ll_error *error)
{
    const ll_look look = {.width = output->width > 0 ? output->width : 80, .colour = output->colour};
    ll_text text;
    ll_text_open(&text, NULL, output->write, output->context);
    if (output->format == LEADLINE_JSON)
        ll_json_verdict(&text, verdict, &look);
    else
        ll_text_verdict(&text, verdict, &look);
    ll_status status = LL_OK;
    if (!ll_text_flush(&text))
        status = text.no_memory ? ll_fail_memory(error)
                                : ll_fail(error, LL_BAD_OUTPUT, 0, "the output could not be written");
    ll_text_close(&text);
    return status;
}

static const char *digest_of(ll_slice page, char hex[LL_DIGEST_TEXT])
{
    ll_digest digest;
    ll_digest_open(&digest);
    ll_digest_add(&digest, page.bytes, page.size);
    ll_digest_close(&digest, hex);
    return hex;
}

ll_status leadline_verify(const char *name, const void *page, size_t size, ll_log *const *logs, size_t count,
                          const leadline_output *output, bool *holds, ll_error *error)
{
    const ll_slice bytes = {page, size};
    char hex[LL_DIGEST_TEXT];
    verifying v = {.crew = output->crew};
    v.verdict = (ll_verdict){.page = name, .sha256 = digest_of(bytes, hex), .claims = &v.claims};
    ll_arena_open(&v.arena, NULL);
    ll_text_open(&v.page, NULL, NULL, NULL);
    ll_status status = verify(&v, bytes, logs, count, error);
    if (status == LL_OK)
        status = answer(&v.verdict, output, error);
    *holds = status == LL_OK && v.verdict.belongs && ll_verdict_same(&v.verdict);
    ll_text_close(&v.page);
    ll_arena_close(&v.arena);
    return status;
}
