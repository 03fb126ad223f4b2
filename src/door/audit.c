/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The audit. */
#include "door/rendering.h"
#include "report/audit_report.h"

static void render(ll_text *text, const ll_audit *audit, const leadline_output *output, const ll_look *look)
{
    switch (output->format) {
    case LEADLINE_TEXT:
        ll_audit_text(text, audit, look);
        break;
    case LEADLINE_JSON:
        ll_audit_json(text, audit, look);
        break;
    case LEADLINE_CSV:
        ll_audit_csv(text, audit);
        break;
    case LEADLINE_HTML:
        ll_audit_html(text, audit, look);
        break;
    }
}

static ll_status write_audit(const ll_audit *audit, const leadline_output *output, ll_error *error)
{
    ll_text text;
    const ll_look look = ll_look_of(output);
    ll_text_open(&text, NULL, output->write, output->context);
    render(&text, audit, output, &look);
    ll_status status = LL_OK;
    if (!ll_text_flush(&text))
        status = text.no_memory ? ll_fail_memory(error)
                                : ll_fail(error, LL_BAD_OUTPUT, 0, "the output could not be written");
    ll_text_close(&text);
    return status;
}

ll_status leadline_audit(ll_log *const *logs, size_t count, const ll_settings *settings, const char *diver,
                         int64_t as_of, const leadline_output *output, bool *met, ll_error *error)
{
    const ll_running running = {output->crew, output->progress, output->progress_context};
    ll_arena arena;
    ll_limits limits;
    ll_history *history = NULL;
    ll_audit audit;
    if (!output->standard)
        return ll_fail(error, LL_BAD_USAGE, 0, "an audit needs a course standard");
    ll_limits_built_in(&limits);
    ll_standard_apply(output->standard, NULL, &limits);
    ll_arena_open(&arena, NULL);
    ll_status status = ll_audit_make((const ll_log *const *)logs, count, settings, diver, output->standard, &limits,
                                     as_of, &running, &arena, &history, &audit, error);
    if (status == LL_OK)
        status = write_audit(&audit, output, error);
    if (met)
        *met = status == LL_OK && audit.verdict == LL_REACHED;
    ll_history_free(history);
    ll_arena_close(&arena);
    return status;
}
