/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/text_figures.h"
#include "report/text_findings.h"
#include "report/words.h"

const ll_limit *ll_limit_of(const ll_debrief *debrief, ll_kind kind)
{
    return &debrief->limits->of[kind];
}

static void limits_by_severity(const ll_limit *limit, double values[4])
{
    values[LL_NO_FINDING] = NAN;
    values[LL_NOTE] = limit->note;
    values[LL_CAUTION] = limit->caution;
    values[LL_SERIOUS] = limit->serious;
}

double ll_first_limit(const ll_debrief *debrief, ll_kind kind)
{
    double values[4];
    limits_by_severity(ll_limit_of(debrief, kind), values);
    for (int severity = LL_NOTE; severity <= LL_SERIOUS; severity++)
        if (isfinite(values[severity]))
            return values[severity];
    return NAN;
}

/* Clauses that stand beside the values (documented in docs/findings.md). */
static const char *const clauses[LL_FINDING_KINDS] = {
    [LL_FINDING_CEILING] = ", serious where the gradient passes 100 %",
    [LL_FINDING_SURFACED] = ", caution where the gradient is over 3 points above the high factor, serious over 100 %",
    [LL_FINDING_ASCENT] = ", for 10 s unbroken",
    [LL_FINDING_STOP_DEPTH] = ", for 10 s unbroken",
    [LL_FINDING_OTU] = " of the allowance for that many days",
};

/* A caution of these asks for a length too. */
static bool cautions_at_length(ll_kind kind)
{
    return kind == LL_FINDING_CEILING || kind == LL_FINDING_OWN_STOP;
}

static void add_bottom_phase(ll_text *out, const ll_debrief *debrief, const ll_look *look)
{
    const double caution = debrief->limits->bottom_oxygen.caution;
    if (!isfinite(caution))
        return;
    ll_text_puts(out, "; in the bottom phase caution over ");
    ll_limit_figure(out, caution, ll_kind_table[LL_FINDING_OXYGEN_HIGH].unit, look);
}

/* The only clause with a length in it. */
static void add_switch_depth(ll_text *out, const ll_look *look)
{
    ll_text_puts(out, ", where it is deeper than ");
    ll_figure(out, LL_COUNTERDIFFUSION_BELOW_M, "m", 0, look);
}

void ll_limit_sentence(ll_text *out, const ll_debrief *debrief, ll_kind kind, const ll_look *look)
{
    const ll_kind_row *row = &ll_kind_table[kind];
    const ll_limit *limit = ll_limit_of(debrief, kind);
    const char *side = ll_limit_direction(kind) == LL_LOWER_LIMIT ? "under" : "over";
    double values[4];
    limits_by_severity(limit, values);
    ll_capital_add(out, row->label);
    ll_text_putc(out, ':');
    bool first = true;
    for (int severity = LL_NOTE; severity <= LL_SERIOUS; severity++) {
        if (!isfinite(values[severity]))
            continue;
        ll_text_format(out, "%s %s %s ", first ? "" : ",", ll_severity_names[severity], side);
        ll_limit_figure(out, values[severity], row->unit, look);
        ll_text_puts(out, severity == LL_CAUTION && cautions_at_length(kind) ? " for 60 s or more" : "");
        first = false;
    }
    if (first)
        ll_text_puts(out, " no limit");
    if (kind == LL_FINDING_OXYGEN_HIGH)
        add_bottom_phase(out, debrief, look);
    ll_text_puts(out, clauses[kind] && !first ? clauses[kind] : "");
    if (kind == LL_FINDING_COUNTERDIFFUSION && !first)
        add_switch_depth(out, look);
    ll_text_format(out, " (%s", ll_origin_names[limit->origin]);
    if (limit->origin == LL_BUILT_IN && limit->source)
        ll_text_format(out, "; %s", limit->source);
    ll_text_puts(out, ").");
}
