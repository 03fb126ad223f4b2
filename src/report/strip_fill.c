/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The curves of each strip. */
#include <math.h>
#include <string.h>

#include "report/strip.h"
#include "report/utf8.h"

enum { COLUMNS = 800, NAME_COLUMNS = 20 };

static bool *no_joints(const ll_frame *frame, const ll_points *points)
{
    return ll_arena_array(frame->arena, points->count, sizeof(bool));
}

static void thin(const ll_frame *frame, ll_points *points, bool *keep, const double *limit, size_t limits)
{
    const ll_thinning how = {frame->time.from_s, frame->time.to_s, COLUMNS, limits, limit};
    ll_points_thin(points, keep, &how);
}

static ll_strip_curve *add(ll_strip *strip, const char *class, const char *name, const char *heading,
                           const ll_points *points)
{
    if (points->count == 0 || strip->curves == LL_STRIP_CURVES)
        return NULL;
    strip->curve[strip->curves] = (ll_strip_curve){.class = class, .name = name, .heading = heading, .points = *points};
    return &strip->curve[strip->curves++];
}

static bool add_column(const ll_frame *frame, ll_strip *strip, ll_quantity quantity, const char *class, const char *name,
                       const char *heading, const double *limit, size_t limits)
{
    ll_points points;
    if (!ll_points_of_track(frame->track, quantity, frame->arena, &points))
        return false;
    bool *keep = no_joints(frame, &points);
    if (!keep)
        return false;
    thin(frame, &points, keep, limit, limits);
    add(strip, class, name, heading, &points);
    return true;
}

/* The peak as the text has it. */
static void set_peak(const ll_frame *frame, ll_strip *strip, ll_quantity quantity)
{
    strip->peak = frame->debrief->peak[quantity];
}

/* --- depth ---------------------------------------------------------------------------------------------------- */

/* Keeps the corners on both sides of each crossing of two curves that have their corners at the same times. */
static void keep_crossings(const ll_points *a, const ll_points *b, bool *keep_a, bool *keep_b)
{
    for (size_t i = 0; i + 1 < a->count && i + 1 < b->count; i++) {
        double here = a->at[i].value - b->at[i].value, next = a->at[i + 1].value - b->at[i + 1].value;
        if (isnan(here) || isnan(next) || ((here > 0) == (next > 0) && (here < 0) == (next < 0)))
            continue;
        keep_a[i] = keep_a[i + 1] = keep_b[i] = keep_b[i + 1] = true;
    }
}

/* A curve that the depth is held against. */
typedef struct line {
    ll_points points;
    bool *keep;
} line;

static bool open_line(const ll_frame *frame, const line *depth, line *made)
{
    made->keep = no_joints(frame, &made->points);
    if (made->keep)
        keep_crossings(&depth->points, &made->points, depth->keep, made->keep);
    return made->keep != NULL;
}

/* What is 0 is not drawn, but where it begins and ends. */
static void close_line(const ll_frame *frame, line *made)
{
    static const double zero = 0;
    thin(frame, &made->points, made->keep, &zero, 1);
    ll_points_without_zero(&made->points);
}

static bool has_own_stop_finding(const ll_frame *frame)
{
    for (size_t i = 0; i < frame->debrief->findings.count; i++)
        if (frame->debrief->findings.items[i].kind == LL_FINDING_OWN_STOP)
            return true;
    return false;
}

static bool add_own_stops(const ll_frame *frame, ll_strip *strip, const line *depth)
{
    line own;
    if (!has_own_stop_finding(frame))
        return true;
    if (!ll_points_of_own_stops(&frame->debrief->profile, frame->arena, &own.points) || !open_line(frame, depth, &own))
        return false;
    close_line(frame, &own);
    add(strip, "own-stop", "recorder's stop", "Recorder's stop", &own.points);
    return true;
}

bool ll_fill_depth(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    line depth, ceiling, stop;
    const ll_profile *profile = &frame->debrief->profile;
    if (!ll_points_of_track(frame->track, LL_DEPTH, frame->arena, &depth.points) ||
        !ll_points_of_track(frame->track, LL_CEILING, frame->arena, &ceiling.points) ||
        !ll_points_of_steps(frame->track, LL_STOP, frame->arena, &stop.points))
        return false;
    depth.keep = no_joints(frame, &depth.points);
    stop.keep = no_joints(frame, &stop.points);
    if (!depth.keep || !stop.keep || !open_line(frame, &depth, &ceiling))
        return false;
    close_line(frame, &ceiling);
    close_line(frame, &stop);
    ll_strip_curve *diver = add(strip, "curve", "diver", "Diver", &depth.points);
    if (!diver)
        return true;
    ll_strip_curve *zone = add(strip, "ceiling", "ceiling", "Ceiling", &ceiling.points);
    if (zone)
        zone->has_zone = true;
    add(strip, "stop", "stop asked", "Stop asked", &stop.points);
    if (!add_own_stops(frame, strip, &depth))
        return false;
    thin(frame, &diver->points, depth.keep, limit, limits);
    strip->peak = (ll_peak){profile->greatest_m, profile->time_s[profile->greatest]};
    return true;
}

/* --- one curve ------------------------------------------------------------------------------------------------ */

bool ll_fill_gradient(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    set_peak(frame, strip, LL_GRADIENT);
    strip->remark = "below 0 % not drawn";
    return add_column(frame, strip, LL_GRADIENT, "curve", NULL, "Gradient", limit, limits);
}

bool ll_fill_po2(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    set_peak(frame, strip, LL_PO2);
    return add_column(frame, strip, LL_PO2, "curve", NULL, "PO2", limit, limits);
}

bool ll_fill_density(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    set_peak(frame, strip, LL_DENSITY);
    return add_column(frame, strip, LL_DENSITY, "curve", NULL, "Gas density", limit, limits);
}

bool ll_fill_rate(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    set_peak(frame, strip, LL_ASCENT_RATE);
    strip->remark = "upwards is positive";
    return add_column(frame, strip, LL_ASCENT_RATE, "curve", NULL, "Ascent rate", limit, limits);
}

static bool has_cns_finding(const ll_frame *frame)
{
    for (size_t i = 0; i < frame->debrief->findings.count; i++)
        if (frame->debrief->findings.items[i].kind == LL_FINDING_CNS)
            return true;
    return false;
}

bool ll_fill_cns(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    return !has_cns_finding(frame) || add_column(frame, strip, LL_CNS, "curve", NULL, "CNS", limit, limits);
}

/* --- both conventions ------------------------------------------------------------------------------------------ */

/* Whether two curves lie within `share` of the greatest value of each other. */
static bool is_alike(const ll_points *a, const ll_points *b, double share)
{
    double farthest = 0, greatest = 0;
    for (size_t i = 0; i < a->count; i++) {
        farthest = fmax(farthest, fabs(a->at[i].value - ll_points_value(b, a->at[i].time_s)));
        greatest = fmax(greatest, a->at[i].value);
    }
    return farthest <= share * greatest;
}

bool ll_fill_narcosis(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    static const char *const names[] = {"nitrogen only", "nitrogen + oxygen"};
    static const char *const headings[] = {"Nitrogen only", "Nitrogen and oxygen"};
    static const ll_quantity quantities[] = {LL_END_N2, LL_END_N2O2};
    const bool oxygen = frame->debrief->history->settings.narcotic_oxygen;
    set_peak(frame, strip, quantities[oxygen]);
    if (!add_column(frame, strip, quantities[oxygen], "curve", names[oxygen], headings[oxygen], limit, limits) ||
        !add_column(frame, strip, quantities[!oxygen], "curve other", names[!oxygen], headings[!oxygen], limit, limits))
        return false;
    if (strip->curves == 2 && is_alike(&strip->curve[0].points, &strip->curve[1].points, 0.05)) {
        strip->curve[0].name = "both conventions";
        strip->curve[1].name = NULL;
    }
    return true;
}

/* --- tanks ---------------------------------------------------------------------------------------------------- */

/* Text from a log, as wide as a name may be; NULL if memory ran out. */
static const char *short_name(const ll_frame *frame, const char *name)
{
    ll_text shown;
    ll_text_open(&shown, frame->out->allocator, NULL, NULL);
    ll_show(&shown, name);
    size_t size = shown.size ? ll_columns_fit(shown.bytes, shown.size, NAME_COLUMNS) : 0;
    const char *copy = shown.no_memory ? NULL : ll_arena_text_n(frame->arena, size ? shown.bytes : "", size);
    ll_text_close(&shown);
    return copy;
}

/* The tank's name, else its mix, else what the readings call it. */
static const char *tank_name(const ll_frame *frame, const ll_series *readings)
{
    const ll_log *log = frame->debrief->entry->log;
    const ll_dive *dive = frame->debrief->profile.dive;
    const ll_tank_use *use = readings->tank_use >= 0 ? &dive->tank_use[readings->tank_use] : NULL;
    if (use && use->tank >= 0 && log->tank[use->tank].name && log->tank[use->tank].name[0])
        return log->tank[use->tank].name;
    if (use && use->mix >= 0)
        return log->mix[use->mix].label;
    return readings->ref ? readings->ref : "tank";
}

bool ll_fill_tanks(const ll_frame *frame, ll_strip *strip, const double *limit, size_t limits)
{
    static const char *const classes[] = {"curve", "curve other", "curve third", "curve fourth"};
    const ll_dive *dive = frame->debrief->profile.dive;
    for (size_t i = 0; i < dive->tank_pressures; i++) {
        ll_points points;
        const char *name = short_name(frame, tank_name(frame, &dive->tank_pressure[i]));
        if (!name || !ll_points_of_series(&frame->debrief->profile, &dive->tank_pressure[i], frame->arena, &points))
            return false;
        bool *keep = no_joints(frame, &points);
        if (!keep)
            return false;
        thin(frame, &points, keep, limit, limits);
        add(strip, classes[strip->curves % 4], name, name, &points);
    }
    if (dive->tank_pressures > LL_STRIP_CURVES)
        strip->remark = "only the first tanks are drawn";
    return true;
}
