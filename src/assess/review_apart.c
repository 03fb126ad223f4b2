/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far two divers were apart in depth: the least that the uncertainty of their clocks allows at each second. */
#include <math.h>

#include "assess/review_team.h"

/* The least and greatest depth of a line within a window, which is cut to the line. */
static void look(const ll_depth_line *line, double from_s, double to_s, double *least_m, double *greatest_m)
{
    const double first_s = line->time_s[0], last_s = line->time_s[line->count - 1];
    from_s = fmin(fmax(from_s, first_s), last_s);
    to_s = fmin(fmax(to_s, first_s), last_s);
    const double begin_m = ll_line_depth_at_m(line, from_s), end_m = ll_line_depth_at_m(line, to_s);
    *least_m = fmin(begin_m, end_m);
    *greatest_m = fmax(begin_m, end_m);
    for (size_t i = ll_line_after(line, from_s); i < line->count && line->time_s[i] < to_s; i++) {
        *least_m = fmin(*least_m, line->depth_m[i]);
        *greatest_m = fmax(*greatest_m, line->depth_m[i]);
    }
}

void ll_separation(const ll_team *team, const ll_diver *one, const ll_diver *other, double *separation_m)
{
    const double within_s = one->uncertainty_s + other->uncertainty_s;
    const ll_depth_line *line = &other->recorder[other->main].line;
    const double shift_s = ll_line_shift_s(other);
    for (size_t i = 0; i < team->seconds; i++) {
        const double at_s = team->from_s + (double)i - shift_s, depth_m = one->depth_m[i];
        double least_m, greatest_m;
        separation_m[i] = NAN;
        if (isnan(depth_m) || isnan(other->depth_m[i]))
            continue;
        look(line, at_s - within_s, at_s + within_s, &least_m, &greatest_m);
        separation_m[i] = fmax(0, fmax(least_m - depth_m, depth_m - greatest_m));
    }
}

/* --- stretches ------------------------------------------------------------------------------------------------------ */

static double lowest_limit(const ll_limit *limit)
{
    return fmin(fmin(isnan(limit->note) ? INFINITY : limit->note, isnan(limit->caution) ? INFINITY : limit->caution),
                isnan(limit->serious) ? INFINITY : limit->serious);
}

/* The end of a run of seconds over a limit that begins at `from`. */
static size_t run_end(const double *separation_m, size_t seconds, size_t from, double limit_m)
{
    while (from < seconds && separation_m[from] > limit_m)
        from++;
    return from;
}

/* When the limit was crossed between a second within it and its neighbour beyond it; the latter where the neighbour is not
 * known. Seconds from the first one. */
static double crossing(const double *separation_m, size_t seconds, size_t beyond, bool before, double limit_m)
{
    if ((before && beyond == 0) || (!before && beyond + 1 == seconds))
        return (double)beyond;
    const size_t within = before ? beyond - 1 : beyond + 1;
    const double part = (separation_m[beyond] - limit_m) / (separation_m[beyond] - separation_m[within]);
    if (isnan(separation_m[within]))
        return (double)beyond;
    return before ? (double)beyond - part : (double)beyond + part;
}

/* The longest unbroken time over a limit in seconds [from, to). */
static double longest_s(const double *separation_m, size_t from, size_t to, double limit_m)
{
    double longest = 0;
    for (size_t i = from; i < to && !isnan(limit_m);) {
        const size_t end = run_end(separation_m, to, i, limit_m);
        if (end > i)
            longest = fmax(longest, crossing(separation_m, to, end - 1, false, limit_m) -
                                        crossing(separation_m, to, i, true, limit_m));
        i = end + 1;
    }
    return longest;
}

static ll_severity severity_of(const ll_limit *limit, const double *separation_m, size_t from, size_t to)
{
    if (longest_s(separation_m, from, to, limit->serious) >= LL_APART_SERIOUS_S)
        return LL_SERIOUS;
    if (longest_s(separation_m, from, to, limit->caution) >= LL_APART_CAUTION_S)
        return LL_CAUTION;
    return longest_s(separation_m, from, to, limit->note) >= LL_APART_CAUTION_S ? LL_NOTE : LL_NO_FINDING;
}

static ll_apart stretch_of(const ll_team *team, const double *separation_m, size_t from, size_t to, double limit_m)
{
    ll_apart apart = {.greatest_m = 0};
    apart.from_s = team->from_s + crossing(separation_m, team->seconds, from, true, limit_m);
    apart.to_s = team->from_s + crossing(separation_m, team->seconds, to - 1, false, limit_m);
    for (size_t i = from; i < to; i++)
        if (separation_m[i] > apart.greatest_m) {
            apart.greatest_m = separation_m[i];
            apart.greatest_s = team->from_s + (double)i;
        }
    /* one second more on both sides, so that the ends lie where the limit is crossed */
    apart.severity = severity_of(&team->limit, separation_m, from > 0 ? from - 1 : 0,
                                 to < team->seconds ? to + 1 : to);
    return apart;
}

bool ll_apart_find(const ll_team *team, const double *separation_m, ll_arena *arena, ll_pair *pair)
{
    const double limit_m = lowest_limit(&team->limit);
    ll_apart *found = ll_arena_array(arena, team->seconds / (size_t)LL_APART_CAUTION_S + 1, sizeof *found);
    if (!found)
        return false;
    pair->stretch = found;
    for (size_t i = 0; i < team->seconds; i++) {
        const size_t end = run_end(separation_m, team->seconds, i, limit_m);
        if (end == i)
            continue;
        const ll_apart apart = stretch_of(team, separation_m, i, end, limit_m);
        if (apart.severity != LL_NO_FINDING) {
            found[pair->count++] = apart;
            pair->apart_s += apart.to_s - apart.from_s;
        }
        i = end;
    }
    return true;
}
