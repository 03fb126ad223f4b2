/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_figures.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "base/units.h"
#include "report/utf8.h"

static const char missing[] = "\xE2\x80\x93"; /* en dash */

static const ll_conversion to_imperial[] = {
    {"m", "ft", 1 / LL_M_PER_FT, 0, 1},
    {"m/min", "ft/min", 1 / LL_M_PER_FT, 0, 1},
    {"C", LL_DEGREES "F", 1.8, 32, 0},
    {"bar", "psi", LL_PSI_PER_BAR, 0, 1},
    {"L", "cu ft", LL_CUFT_PER_L, 0, 0},
    {"L/min", "cu ft/min", LL_CUFT_PER_L, 0, -1},
};

static const ll_conversion to_metric[] = {
    {"C", LL_DEGREES "C", 1, 0, 0},
};

ll_conversion ll_conversion_of(const char *unit, bool imperial)
{
    const ll_conversion *table = imperial ? to_imperial : to_metric;
    size_t count = imperial ? sizeof to_imperial / sizeof *table : sizeof to_metric / sizeof *table;
    for (size_t i = 0; i < count; i++)
        if (strcmp(table[i].from, unit) == 0)
            return table[i];
    return (ll_conversion){unit, unit, 1, 0, 0};
}

static void add_unit(ll_text *out, const char *unit)
{
    if (unit[0] && strcmp(unit, "fraction") != 0) {
        ll_text_putc(out, ' ');
        ll_text_puts(out, strcmp(unit, "percent") == 0 ? "%" : unit);
    }
}

void ll_figure(ll_text *out, double value, const char *unit, int digits, const ll_look *look)
{
    if (!isfinite(value)) {
        ll_text_puts(out, missing);
        return;
    }
    ll_conversion shown = ll_conversion_of(unit, look->imperial);
    int decimals = digits > shown.fewer ? digits - shown.fewer : 0;
    ll_fixed_add(out, value * shown.factor + shown.offset, decimals);
    add_unit(out, shown.to);
}

static bool is_small(double metres)
{
    return fabs(metres) > 0 && fabs(metres) < 3;
}

void ll_difference_figure(ll_text *out, double metres, const ll_look *look)
{
    ll_figure(out, metres, "m", look->imperial && is_small(metres) ? 2 : 1, look);
}

void ll_quantity_figure(ll_text *out, ll_quantity quantity, double value, const ll_look *look)
{
    const ll_quantity_row *row = &ll_quantity_table[quantity];
    ll_figure(out, value, row->unit, row->digits, look);
}

void ll_limit_figure(ll_text *out, double value, const char *unit, const ll_look *look)
{
    ll_conversion shown = ll_conversion_of(unit, look->imperial);
    if (strcmp(shown.to, unit) != 0) {
        ll_figure(out, value, unit, strcmp(unit, "m") == 0 && is_small(value) ? 2 : 0, look);
        return;
    }
    ll_number_add(out, round(value * 1000) / 1000);
    add_unit(out, shown.to);
}

void ll_duration(ll_text *out, double seconds)
{
    if (!isfinite(seconds)) {
        ll_text_puts(out, missing);
        return;
    }
    long long whole = llround(seconds);
    long long minutes = whole / 60, rest = whole % 60;
    if (minutes)
        ll_text_format(out, "%lld min", minutes);
    if (minutes && rest)
        ll_text_putc(out, ' ');
    if (rest || !minutes)
        ll_text_format(out, "%lld s", rest);
}

void ll_clock(ll_text *out, double seconds)
{
    if (!isfinite(seconds)) {
        ll_text_puts(out, missing);
        return;
    }
    long long whole = llround(fabs(seconds));
    ll_text_format(out, "%s%lld:%02lld", seconds < 0 && whole ? "-" : "", whole / 60, whole % 60);
}

double ll_run_time_s(const ll_debrief *debrief, double time_s)
{
    const ll_profile *profile = &debrief->profile;
    return profile->has_run_time ? time_s - profile->time_s[profile->leaving] : time_s;
}

void ll_run_clock(ll_text *out, const ll_debrief *debrief, double time_s)
{
    ll_clock(out, ll_run_time_s(debrief, time_s));
}

const char *ll_tissues_missing(const ll_debrief *debrief)
{
    return debrief->profile.uncovered ? "the model does not cover what was breathed on this dive" : "the gas is unknown";
}

void ll_mix_add(ll_text *out, const ll_log *log, int mix)
{
    if (mix < 0)
        ll_text_puts(out, "an unknown mix");
    else
        ll_show(out, log->mix[mix].label);
}

void ll_start_add(ll_text *out, const ll_instant *start)
{
    ll_day_add(out, ll_instant_day(start));
    if (!start->has_time)
        return;
    int64_t minutes = (start->local_s - ll_instant_day(start) * 86400) / 60;
    ll_text_format(out, " %02d:%02d", (int)(minutes / 60), (int)(minutes % 60));
    if (start->has_zone)
        ll_text_format(out, " (%c%02d:%02d)", start->zone_s < 0 ? '-' : '+', abs(start->zone_s) / 3600,
                       abs(start->zone_s) / 60 % 60);
}
