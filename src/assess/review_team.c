/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The team second by second: depths, separation of pairs, the deepest ceiling. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "assess/review_team.h"

#define M_PER_BAR 10.0

double ll_line_shift_s(const ll_diver *diver)
{
    const ll_recorder *main = &diver->recorder[diver->main];
    return diver->to_team_s + main->profile.time_s[main->profile.leaving] - main->line.time_s[0];
}

size_t ll_line_after(const ll_depth_line *line, double time_s)
{
    size_t from = 0, to = line->count;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (line->time_s[middle] <= time_s)
            from = middle + 1;
        else
            to = middle;
    }
    return from;
}

/* --- seconds ------------------------------------------------------------------------------------------------------ */

static void measure(ll_review *review)
{
    double from_s = INFINITY, to_s = -INFINITY;
    for (size_t i = 0; i < review->count; i++) {
        const ll_diver *diver = &review->diver[i];
        if (diver->main == SIZE_MAX)
            continue;
        const ll_profile *profile = &diver->debrief.profile;
        from_s = fmin(from_s, floor(profile->time_s[profile->leaving] + diver->to_team_s));
        to_s = fmax(to_s, ceil(profile->time_s[profile->surfacing] + diver->to_team_s));
    }
    review->team.from_s = from_s;
    review->team.seconds = (size_t)(to_s - from_s) + 1;
}

/* A column of the track at a time of its record, linear between samples; NaN outside the run time and in gaps. */
static double column_at(const ll_profile *profile, const double *column, const ll_depth_line *line, double line_s)
{
    if (line_s < line->time_s[0] || line_s > line->time_s[line->count - 1])
        return NAN;
    size_t after = ll_line_after(line, line_s);
    if (after == line->count)
        return column[profile->leaving + after - 1];
    return ll_between((ll_sampled){line->time_s[after - 1], column[profile->leaving + after - 1]},
                      (ll_sampled){line->time_s[after], column[profile->leaving + after]}, line->interval_s, line_s);
}

static double *sample_column(ll_review *review, const ll_diver *diver, const double *column)
{
    const ll_profile *profile = &diver->debrief.profile;
    const double shift_s = ll_line_shift_s(diver), m_per_m = profile->bar_per_m * M_PER_BAR;
    double *value = ll_arena_array(review->arena, review->team.seconds, sizeof *value);
    for (size_t i = 0; value && i < review->team.seconds; i++)
        value[i] = m_per_m * column_at(profile, column, &diver->recorder[diver->main].line,
                                       review->team.from_s + (double)i - shift_s);
    return value;
}

static bool sample_depths(ll_review *review)
{
    for (size_t i = 0; i < review->count; i++) {
        ll_diver *diver = &review->diver[i];
        if (diver->main == SIZE_MAX)
            continue;
        diver->depth_m = sample_column(review, diver, diver->debrief.profile.depth_m);
        if (!diver->depth_m)
            return false;
    }
    return true;
}

/* --- the deepest ceiling ------------------------------------------------------------------------------------------ */

static bool find_ceiling(ll_review *review)
{
    ll_team *team = &review->team;
    double *deepest_m = ll_arena_array(review->arena, team->seconds, sizeof *deepest_m);
    team->ceiling_m = deepest_m;
    team->ceiling_peak_m = team->ceiling_peak_s = NAN;
    for (size_t i = 0; deepest_m && i < team->seconds; i++)
        deepest_m[i] = NAN;
    for (size_t d = 0; deepest_m && d < review->count; d++) {
        if (!ll_is_student(&review->diver[d]))
            continue;
        const double *own_m = sample_column(review, &review->diver[d], review->diver[d].debrief.track.column[LL_CEILING]);
        if (!own_m)
            return false;
        for (size_t i = 0; i < team->seconds; i++)
            deepest_m[i] = fmax(deepest_m[i], own_m[i]);
    }
    for (size_t i = 0; deepest_m && i < team->seconds; i++)
        if (!isnan(deepest_m[i]) && !(deepest_m[i] <= team->ceiling_peak_m)) {
            team->ceiling_peak_m = deepest_m[i];
            team->ceiling_peak_s = team->from_s + (double)i;
        }
    return deepest_m != NULL;
}

static void find_above(const ll_team *team, ll_diver *diver)
{
    size_t above = 0;
    for (size_t i = 0; i < team->seconds; i++)
        above += diver->depth_m[i] < team->ceiling_m[i];
    diver->above_team_ceiling_s = (double)above;
}

/* --- pairs -------------------------------------------------------------------------------------------------------- */

static bool is_named(const ll_review *review, size_t one, size_t other)
{
    for (size_t i = 0; i < review->asked->pairs; i++) {
        const char *a = review->asked->pair[i].one, *b = review->asked->pair[i].other;
        const char *x = review->diver[one].name, *y = review->diver[other].name;
        if ((strcmp(a, x) == 0 && strcmp(b, y) == 0) || (strcmp(a, y) == 0 && strcmp(b, x) == 0))
            return true;
    }
    return false;
}

static void find_greatest(const ll_team *team, const double *separation_m, ll_pair *pair)
{
    pair->greatest_m = pair->greatest_s = NAN;
    for (size_t i = 0; i < team->seconds; i++) {
        pair->together_s += !isnan(separation_m[i]);
        if (separation_m[i] > pair->greatest_m || (isnan(pair->greatest_m) && !isnan(separation_m[i]))) {
            pair->greatest_m = separation_m[i];
            pair->greatest_s = team->from_s + (double)i;
        }
    }
}

static bool make_pair(ll_review *review, size_t one, size_t other, double *own_m, double *team_m, ll_pair *pair)
{
    const ll_diver *a = &review->diver[one], *b = &review->diver[other];
    *pair = (ll_pair){.one = one, .other = other, .with_lead = a->lead || b->lead,
                      .buddies = is_named(review, one, other)};
    ll_separation(&review->team, a, b, own_m);
    find_greatest(&review->team, own_m, pair);
    for (size_t i = 0; !pair->with_lead && i < review->team.seconds; i++)
        team_m[i] = fmax(team_m[i], own_m[i]);
    return ll_apart_find(&review->team, own_m, review->arena, pair);
}

static bool make_pairs(ll_review *review)
{
    ll_team *team = &review->team;
    ll_pair *pair = ll_arena_array(review->arena, review->count * review->count / 2 + 1, sizeof *pair);
    double *own_m = ll_arena_array(review->arena, team->seconds, sizeof *own_m);
    double *team_m = ll_arena_array(review->arena, team->seconds, sizeof *team_m);
    if (!pair || !own_m || !team_m)
        return false;
    for (size_t i = 0; i < team->seconds; i++)
        team_m[i] = NAN;
    for (size_t a = 0; a < review->count; a++)
        for (size_t b = a + 1; b < review->count; b++)
            if (review->diver[a].main != SIZE_MAX && review->diver[b].main != SIZE_MAX &&
                !make_pair(review, a, b, own_m, team_m, &pair[team->pairs++]))
                return false;
    team->pair = pair;
    team->separation_m = team_m;
    team->has_buddies = review->asked->pairs > 0;
    return true;
}

/* --- the team ------------------------------------------------------------------------------------------------------- */

static int by_begin(const void *left, const void *right)
{
    const ll_apart *a = left, *b = right;
    return (a->from_s > b->from_s) - (a->from_s < b->from_s);
}

/* The time in which at least one pair of students stood apart. */
static bool add_up(ll_review *review)
{
    ll_team *team = &review->team;
    size_t count = 0;
    for (size_t i = 0; i < team->pairs; i++)
        count += team->pair[i].with_lead ? 0 : team->pair[i].count;
    ll_apart *all = ll_arena_array(review->arena, count, sizeof *all);
    if (!all)
        return false;
    count = 0;
    for (size_t i = 0; i < team->pairs; i++)
        for (size_t s = 0; !team->pair[i].with_lead && s < team->pair[i].count; s++)
            all[count++] = team->pair[i].stretch[s];
    qsort(all, count, sizeof *all, by_begin);
    double end_s = -INFINITY;
    for (size_t i = 0; i < count; i++) {
        team->apart_s += fmax(0, all[i].to_s - fmax(all[i].from_s, end_s));
        end_s = fmax(end_s, all[i].to_s);
        if (all[i].severity > review->worst)
            review->worst = all[i].severity;
    }
    return true;
}

static void find_team_greatest(ll_team *team)
{
    team->greatest_m = team->greatest_s = NAN;
    team->between[0] = team->between[1] = SIZE_MAX;
    for (size_t i = 0; i < team->pairs; i++) {
        const ll_pair *pair = &team->pair[i];
        if (pair->with_lead || isnan(pair->greatest_m) || pair->greatest_m <= team->greatest_m)
            continue;
        team->greatest_m = pair->greatest_m;
        team->greatest_s = pair->greatest_s;
        team->between[0] = pair->one;
        team->between[1] = pair->other;
    }
}

bool ll_review_team(ll_review *review)
{
    static const ll_limit built_in = {NAN, LL_APART_CAUTION_M, LL_APART_SERIOUS_M, LL_BUILT_IN,
                                      "common practice, no source"};
    review->team.limit = review->asked->separation ? *review->asked->separation : built_in;
    measure(review);
    if (!sample_depths(review) || !find_ceiling(review) || !make_pairs(review) || !add_up(review))
        return false;
    find_team_greatest(&review->team);
    for (size_t i = 0; i < review->count; i++)
        if (review->diver[i].main != SIZE_MAX)
            find_above(&review->team, &review->diver[i]);
    return true;
}
