/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A row a diver: those left out have their name and no figures. */
#include <math.h>

#include "base/number.h"
#include "report/csv.h"
#include "report/review_report.h"
#include "report/words.h"

static void add_head(ll_text *out)
{
    ll_text_puts(out, "diver,lead,file,dive,accepted,clock_offset_s,clock_uncertainty_s,score");
    for (size_t i = 0; i < ll_compared_count; i++)
        ll_text_format(out, ",%s", ll_compared_table[i].key);
    for (int class = 0; class < LL_CLASSES; class++)
        for (int severity = LL_NOTE; severity <= LL_SERIOUS; severity++)
            ll_text_format(out, ",%s_%s,%s_%s_firm", ll_class_names[class], ll_severity_names[severity],
                           ll_class_names[class], ll_severity_names[severity]);
    ll_text_puts(out, ",above_team_ceiling_s,plan_mean_off_m,plan_largest_off_m,plan_largest_off_s,plan_best_variant\n");
}

static void add_number(ll_text *out, double value)
{
    ll_text_putc(out, ',');
    ll_number_add(out, value);
}

static void add_name(ll_text *out, const ll_review *review, size_t index, const ll_look *look)
{
    ll_text name;
    ll_text_open(&name, out->allocator, NULL, NULL);
    ll_diver_name_add(&name, review, index, look);
    const char *words = ll_text_string(&name);
    ll_csv_text(out, words ? words : "");
    out->no_memory = out->no_memory || name.no_memory;
    ll_text_close(&name);
}

static void add_findings(ll_text *out, const ll_findings *findings)
{
    for (int class = 0; class < LL_CLASSES; class++)
        for (int severity = LL_NOTE; severity <= LL_SERIOUS; severity++)
            ll_text_format(out, ",%u,%u", findings->by_class[class][severity], findings->firm_by_class[class][severity]);
}

static void add_plan(ll_text *out, const ll_review *review, const ll_diver *diver)
{
    const ll_plan *plan = review->asked->plan;
    add_number(out, plan ? diver->plan.mean_off_m[review->variant] : NAN);
    add_number(out, plan ? diver->plan.largest_off_m : NAN);
    add_number(out, plan ? diver->plan.largest_off_s : NAN);
    ll_text_putc(out, ',');
    if (plan)
        ll_csv_text(out, plan->variant[diver->plan.best].name);
}

static void add_row(ll_text *out, const ll_review *review, size_t index, const ll_look *look)
{
    const ll_diver *diver = &review->diver[index];
    const ll_recorder *shown = &diver->recorder[diver->main == SIZE_MAX ? 0 : diver->main];
    const bool has = diver->main != SIZE_MAX;
    add_name(out, review, index, look);
    ll_text_puts(out, diver->lead ? ",yes," : ",no,");
    ll_csv_text(out, shown->log->name);
    ll_text_putc(out, ',');
    if (shown->index != SIZE_MAX)
        ll_text_format(out, "%u", shown->history->entry[shown->index].number);
    ll_text_puts(out, has ? ",yes" : ",no");
    add_number(out, has ? shown->match.offset_s : NAN);
    add_number(out, has ? shown->match.uncertainty_s : NAN);
    add_number(out, shown->index != SIZE_MAX ? shown->match.score : NAN);
    if (!has) {
        ll_text_fill(out, ',', ll_compared_count + (size_t)LL_CLASSES * 6 + 5);
        ll_text_putc(out, '\n');
        return;
    }
    for (size_t i = 0; i < ll_compared_count; i++)
        add_number(out, ll_compared_table[i].value(diver));
    add_findings(out, &diver->debrief.findings);
    add_number(out, diver->above_team_ceiling_s);
    add_plan(out, review, diver);
    ll_text_putc(out, '\n');
}

void ll_review_csv(ll_text *out, const ll_review *review, const ll_look *look)
{
    add_head(out);
    for (size_t i = 0; i < review->count; i++)
        if (ll_review_shows(review, i))
            add_row(out, review, i, look);
}
