/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Each diver against the plan, in displayed metres and the diver's own run time. The plan is compared, never replayed. */
#include <math.h>

#include "assess/review_parts.h"

#define AT_DEPTH_M 0.5 /* a depth is reached within this of it (this program's own choice) */

/* The diver's depth at each full second of run time; NaN in gaps, and from the end of a record that ends below. */
typedef struct own_depths {
    size_t count;
    double *depth_m;
} own_depths;

static ll_sampled depth_of(const ll_profile *profile, size_t sample)
{
    return (ll_sampled){profile->time_s[sample], profile->depth_m[sample]};
}

static bool make_depths(const ll_diver *diver, double plan_s, ll_arena *arena, own_depths *own)
{
    const ll_profile *profile = &diver->debrief.profile;
    const double end_s = fmax(plan_s, profile->run_time_s), zero_s = profile->time_s[profile->leaving];
    own->count = (size_t)floor(end_s) + 1;
    own->depth_m = ll_arena_array(arena, own->count, sizeof *own->depth_m);
    size_t sample = profile->leaving;
    for (size_t r = 0; own->depth_m && r < own->count; r++) {
        const double time_s = zero_s + (double)r;
        while (sample < profile->surfacing && profile->time_s[sample + 1] <= time_s)
            sample++;
        if (sample < profile->surfacing)
            own->depth_m[r] = ll_between(depth_of(profile, sample), depth_of(profile, sample + 1), profile->interval_s, time_s);
        else if (time_s <= profile->time_s[sample])
            own->depth_m[r] = profile->depth_m[sample];
        else
            own->depth_m[r] = profile->has_surfacing ? 0 : NAN;
    }
    return own->depth_m != NULL;
}

static double end_of(const ll_plan_variant *variant)
{
    return variant->point[variant->count - 1].run_s;
}

/* Over the longer of run time and plan. */
static double mean_off_m(const ll_diver *diver, const ll_plan_variant *variant, const own_depths *own)
{
    const size_t last = (size_t)floor(fmax(diver->debrief.profile.run_time_s, end_of(variant)));
    double sum = 0;
    size_t known = 0;
    for (size_t r = 0; r <= last && r < own->count; r++) {
        if (isnan(own->depth_m[r]))
            continue;
        sum += fabs(own->depth_m[r] - ll_plan_depth_m(variant, (double)r));
        known++;
    }
    return known ? sum / (double)known : NAN;
}

/* --- at each line --------------------------------------------------------------------------------------------------- */

static bool has_reached(double depth_m, double target_m, bool down)
{
    return down ? depth_m >= target_m - AT_DEPTH_M : depth_m <= target_m + AT_DEPTH_M;
}

/* The first second from `from` on at which a depth is reached on the way to it; own->count if never. */
static size_t reach(const own_depths *own, size_t from, double target_m, bool down)
{
    while (from < own->count && !has_reached(own->depth_m[from], target_m, down))
        from++;
    return from;
}

/* The last second in [from, to] at which the diver was still at a depth that is left downwards or upwards; own->count if
 * never. */
static size_t leave(const own_depths *own, size_t from, size_t to, double depth_m, bool down)
{
    for (size_t r = to + 1; r-- > from;)
        if (has_reached(own->depth_m[r], depth_m, !down))
            return r;
    return own->count;
}

/* How late a second is; NaN where there is none, or a gap lies at its side, in which it may really have been. */
static double late_s(const own_depths *own, size_t second, size_t side, const ll_plan_point *point)
{
    const bool unknown = second >= own->count || (side < own->count && isnan(own->depth_m[side]));
    return unknown ? NAN : (double)second - point->run_s;
}

static bool is_down(const ll_plan_variant *variant, size_t line)
{
    return variant->point[line].depth_m > variant->point[line - 1].depth_m;
}

/* At a line whose depth is new it is when the depth was reached; at one that ends a stay when it was left. */
static void time_lines(const ll_plan_variant *variant, const own_depths *own, ll_line_off *line)
{
    size_t at = 0;
    for (size_t i = 1; i < variant->count && at < own->count; i++) {
        const ll_plan_point *point = &variant->point[i];
        if (point->depth_m == variant->point[i - 1].depth_m)
            continue;
        const size_t before = at;
        at = reach(own, at, point->depth_m, is_down(variant, i));
        if (at == own->count)
            return;
        line[i].late_s = late_s(own, at, at > 0 ? at - 1 : 0, point);
        if (i > 1 && variant->point[i - 1].depth_m == variant->point[i - 2].depth_m) {
            const ll_plan_point *stay = &variant->point[i - 1];
            const size_t left = leave(own, before, at, stay->depth_m, is_down(variant, i));
            line[i - 1].late_s = late_s(own, left, left + 1, stay);
        }
    }
}

static bool compare_lines(const ll_plan_variant *variant, const own_depths *own, ll_arena *arena, ll_plan_off *off)
{
    ll_line_off *line = ll_arena_array(arena, variant->count, sizeof *line);
    off->line = line;
    for (size_t i = 0; line && i < variant->count; i++) {
        const size_t r = (size_t)lround(variant->point[i].run_s);
        line[i] = (ll_line_off){r < own->count ? own->depth_m[r] - variant->point[i].depth_m : NAN, NAN};
    }
    if (line)
        time_lines(variant, own, line);
    return line != NULL;
}

static void find_largest(const ll_diver *diver, const ll_plan_variant *variant, const own_depths *own, ll_plan_off *off)
{
    const size_t last = (size_t)floor(fmax(diver->debrief.profile.run_time_s, end_of(variant)));
    off->largest_off_m = off->largest_off_s = NAN;
    for (size_t r = 0; r <= last && r < own->count; r++) {
        const double off_m = own->depth_m[r] - ll_plan_depth_m(variant, (double)r);
        if (isnan(off_m) || fabs(off_m) <= fabs(off->largest_off_m))
            continue;
        off->largest_off_m = off_m;
        off->largest_off_s = (double)r;
    }
}

/* --- all variants --------------------------------------------------------------------------------------------------- */

static double longest_s(const ll_plan *plan)
{
    double longest = 0;
    for (size_t i = 0; i < plan->count; i++)
        longest = fmax(longest, end_of(&plan->variant[i]));
    return longest;
}

static bool compare_variants(const ll_plan *plan, const ll_diver *diver, const own_depths *own, ll_arena *arena,
                             ll_plan_off *off)
{
    double *mean_m = ll_arena_array(arena, plan->count, sizeof *mean_m);
    off->mean_off_m = mean_m;
    off->best = 0;
    for (size_t i = 0; mean_m && i < plan->count; i++) {
        mean_m[i] = mean_off_m(diver, &plan->variant[i], own);
        if (mean_m[i] < mean_m[off->best])
            off->best = i;
    }
    return mean_m != NULL;
}

/* The variant with the least sum over the students; without any, over all. */
static size_t best_for_team(const ll_review *review)
{
    size_t best = 0;
    double least = INFINITY;
    bool any = false;
    for (size_t d = 0; d < review->count; d++)
        any |= ll_is_student(&review->diver[d]);
    for (size_t v = 0; v < review->asked->plan->count; v++) {
        double sum = 0;
        for (size_t d = 0; d < review->count; d++)
            if (any ? ll_is_student(&review->diver[d]) : review->diver[d].main != SIZE_MAX)
                sum += review->diver[d].plan.mean_off_m[v];
        if (sum < least)
            best = v, least = sum;
    }
    return best;
}

bool ll_review_plan(ll_review *review)
{
    const ll_plan *plan = review->asked->plan;
    own_depths *own = ll_arena_array(review->arena, review->count, sizeof *own);
    if (!plan || !own)
        return own != NULL;
    for (size_t d = 0; d < review->count; d++) {
        ll_diver *diver = &review->diver[d];
        if (diver->main != SIZE_MAX && !(make_depths(diver, longest_s(plan), review->arena, &own[d]) &&
                                         compare_variants(plan, diver, &own[d], review->arena, &diver->plan)))
            return false;
    }
    review->variant = best_for_team(review);
    for (size_t d = 0; d < review->count; d++) {
        ll_diver *diver = &review->diver[d];
        if (diver->main == SIZE_MAX)
            continue;
        find_largest(diver, &plan->variant[review->variant], &own[d], &diver->plan);
        if (!compare_lines(&plan->variant[review->variant], &own[d], review->arena, &diver->plan))
            return false;
    }
    return true;
}
