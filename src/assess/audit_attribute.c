/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The attributes of a requirement: one row each, asked of one dive. Bounds are included. */
#include <math.h>

#include "assess/audit_parts.h"
#include "base/number.h"

#define DAY_S 86400.0

enum { FIRST_YEAR = 1583 }; /* no log has an earlier one */

static double period_s(const ll_period *period)
{
    return period->days * DAY_S + period->seconds;
}

static ll_known yes_if(bool yes)
{
    return yes ? LL_YES : LL_NO;
}

static void add_metres(ll_text *why, const char *before, double metres, const char *between, double asked)
{
    if (!why)
        return;
    ll_text_puts(why, before);
    ll_fixed_add(why, metres, 1);
    ll_text_puts(why, between);
    ll_number_add(why, asked);
    ll_text_puts(why, " m");
}

static void add_minutes(ll_text *why, const char *before, double seconds, double asked_s)
{
    if (!why)
        return;
    ll_text_puts(why, before);
    ll_fixed_add(why, seconds / 60, 1);
    ll_text_puts(why, " min, asked ");
    ll_number_add(why, asked_s / 60);
    ll_text_puts(why, " min");
}

static void add_words(ll_text *why, const char *words)
{
    if (why)
        ll_text_puts(why, words);
}

/* --- one attribute each ------------------------------------------------------------------------------------------- */

typedef ll_known (*asker)(const ll_audit *, const ll_audit_dive *, const ll_requirement *, ll_text *);

static ll_known ask_decompression(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                                  ll_text *why)
{
    (void)audit;
    if (dive->decompression == LL_UNSETTLED)
        return LL_UNSETTLED;
    add_words(why, asked->decompression ? "not a decompression dive as replayed" : "a decompression dive as replayed");
    return yes_if((dive->decompression == LL_YES) == asked->decompression);
}

static ll_known ask_owed(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked, ll_text *why)
{
    (void)audit;
    const double least_s = period_s(&asked->owed);
    if (dive->decompression == LL_UNSETTLED)
        return LL_UNSETTLED;
    if (isnan(dive->owed_s)) /* beyond 24 h */
        return LL_YES;
    add_minutes(why, "stops owed ", dive->owed_s, least_s);
    return yes_if(dive->owed_s >= least_s);
}

static ll_known ask_from(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked, ll_text *why)
{
    (void)audit;
    if (isnan(dive->greatest_m))
        return LL_UNSETTLED;
    add_metres(why, "deepest ", dive->greatest_m, " m, asked ", asked->deepest_from_m);
    return yes_if(dive->greatest_m >= asked->deepest_from_m);
}

static ll_known ask_to(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked, ll_text *why)
{
    (void)audit;
    if (isnan(dive->greatest_m))
        return LL_UNSETTLED;
    add_metres(why, "deepest ", dive->greatest_m, " m, asked no more than ", asked->deepest_to_m);
    return yes_if(dive->greatest_m <= asked->deepest_to_m);
}

static ll_known ask_within(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked, ll_text *why)
{
    if (!dive->dated) {
        add_words(why, "no date");
        return LL_NO;
    }
    const int64_t first = ll_day_before(audit->today, &asked->within);
    if (why) {
        ll_text_puts(why, "on ");
        ll_day_add(why, dive->day);
        ll_text_puts(why, ", asked from ");
        ll_day_add(why, first);
        ll_text_puts(why, " on");
    }
    return yes_if(dive->day >= first && dive->day <= audit->today);
}

static ll_known ask_helium(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked, ll_text *why)
{
    (void)audit;
    if (dive->helium == LL_UNSETTLED)
        return LL_UNSETTLED;
    add_words(why, asked->helium ? "no helium breathed below 10 m" : "helium breathed below 10 m");
    return yes_if((dive->helium == LL_YES) == asked->helium);
}

static ll_known ask_switches(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                             ll_text *why)
{
    (void)audit;
    if (!dive->switches_settled)
        return LL_UNSETTLED;
    if (why)
        ll_text_format(why, "%u change%s of mix, asked %u", dive->switches, dive->switches == 1 ? "" : "s",
                       asked->switches);
    return yes_if(dive->switches >= asked->switches);
}

static ll_known ask_circuit(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                            ll_text *why)
{
    (void)audit;
    if (dive->loop == LL_UNSETTLED)
        return LL_UNSETTLED;
    add_words(why, asked->loop ? "on open circuit throughout" : "on a loop");
    return yes_if((dive->loop == LL_YES) == asked->loop);
}

static ll_known ask_shortest(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                             ll_text *why)
{
    (void)audit;
    const double least_s = period_s(&asked->shortest);
    if (isnan(dive->run_time_s))
        return LL_UNSETTLED;
    add_minutes(why, "run time ", dive->run_time_s, least_s);
    return yes_if(dive->run_time_s >= least_s);
}

static ll_known ask_finding(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                            ll_text *why)
{
    (void)audit;
    if (dive->stand.standing != LL_RECORDED)
        return LL_UNSETTLED;
    if (why)
        ll_text_format(why, "no finding of %s that weighs %s or more", ll_kind_table[asked->finding].label,
                       ll_severity_names[asked->severity]);
    return yes_if(dive->worst[asked->finding] >= asked->severity);
}

/* NULL: says nothing of one dive by itself. */
static const asker askers[LL_ASKED_ATTRIBUTES] = {
    [LL_ASKED_DECOMPRESSION] = ask_decompression, [LL_ASKED_OWED] = ask_owed,
    [LL_ASKED_DEEPEST_FROM] = ask_from,           [LL_ASKED_DEEPEST_TO] = ask_to,
    [LL_ASKED_WITHIN] = ask_within,               [LL_ASKED_HELIUM] = ask_helium,
    [LL_ASKED_SWITCHES] = ask_switches,           [LL_ASKED_CIRCUIT] = ask_circuit,
    [LL_ASKED_SHORTEST] = ask_shortest,           [LL_ASKED_FINDING] = ask_finding,
};

ll_known ll_audit_attribute(const ll_audit *audit, const ll_audit_dive *dive, const ll_requirement *asked,
                         ll_asked attribute, ll_text *why)
{
    if (!askers[attribute] || !(asked->asked & LL_ASKED(attribute)))
        return LL_YES;
    return askers[attribute](audit, dive, asked, why);
}

int64_t ll_day_before(int64_t day, const ll_period *period)
{
    ll_date date = ll_day_date(day);
    int months = date.year * 12 + date.month - 1 - (int)(period->years * 12 + period->months);
    if (months < FIRST_YEAR * 12)
        months = FIRST_YEAR * 12;
    date.year = months / 12;
    date.month = months % 12 + 1;
    int last = ll_month_days(date.year, date.month);
    if (date.day > last)
        date.day = last;
    return ll_date_day(date) - (int64_t)period->days;
}
