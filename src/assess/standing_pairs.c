/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tests of two dives: the same one from a second recorder, an overlap, a repeat under another date. */
#include <math.h>

#include "assess/standing_parts.h"
#include "base/error.h"

#define SAME_START_S 600.0
#define SAME_RUN_TIME_S 120.0
#define SAME_SHIFT_S 600.0
#define SAME_M 1.0
#define STATED_SHARE 0.10 /* of the recorded greatest depth */

#define REPEAT_LEAST_S 900.0
#define REPEAT_INTERVAL_S 20.0
#define REPEAT_RUN_TIME_S 60.0
#define REPEAT_SHIFT_S 120.0
#define REPEAT_M 0.3

static bool counts(const ll_judged *judged, ll_standing standing)
{
    return judged->stand->standing == standing;
}

static void judge(ll_judged *judged, ll_standing standing, ll_reason reason, size_t other, const ll_alike *alike)
{
    judged->stand->standing = standing;
    judged->stand->reason = reason;
    judged->stand->other = other;
    if (alike)
        judged->stand->alike = *alike;
}

/* --- the same dive ---------------------------------------------------------------------------------------------- */

/* Not where one of them has no time. */
static bool begin_together(const ll_judged *one, const ll_judged *other)
{
    return fabs(other->begins_s - one->begins_s) <= SAME_START_S;
}

/* Whether some shift may bring two profiles together; cheap looks first. */
static bool may_be_alike(const ll_shape *one, const ll_shape *other, double most_shift_s, double limit_m)
{
    return ll_shapes_areas_apart_m(one, other, most_shift_s) < limit_m &&
           ll_shapes_apart_m(one, other, most_shift_s) < limit_m &&
           ll_shapes_blocks_apart_m(one, other, most_shift_s) < limit_m;
}

static bool is_same(const ll_judged *one, const ll_judged *other, ll_alike *alike)
{
    if (!one->has_shape || !other->has_shape ||
        !(fabs(one->shape.run_time_s - other->shape.run_time_s) <= SAME_RUN_TIME_S) ||
        !may_be_alike(&one->shape, &other->shape, SAME_SHIFT_S, SAME_M))
        return false;
    *alike = ll_shapes_compare(&one->shape, &other->shape, SAME_SHIFT_S, SAME_M);
    return alike->difference_m < SAME_M;
}

/* The denser record counts; of two alike the earlier one. */
static void merge(ll_judged *judged, size_t one, size_t other, const ll_alike *alike)
{
    bool denser = judged[other].shape.interval_s < judged[one].shape.interval_s;
    size_t kept = denser ? other : one, witness = denser ? one : other;
    judge(&judged[witness], LL_MERGED, LL_REASON_SAME, kept, alike);
}

/* Those that were witnesses of the one become witnesses of what counts instead of it. */
static void follow(ll_judged *judged, size_t count)
{
    for (size_t i = 0; i < count; i++)
        while (judged[i].stand->reason == LL_REASON_SAME && judged[judged[i].stand->other].stand->reason == LL_REASON_SAME)
            judged[i].stand->other = judged[judged[i].stand->other].stand->other;
}

/* Those without a time of day stand between the others, by their date: none of them begins with another. */
static void merge_recorded(ll_judged *judged, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t j = i + 1; j < count && counts(&judged[i], LL_RECORDED) && !isnan(judged[i].begins_s); j++) {
            ll_alike alike;
            if (judged[j].begins_s - judged[i].begins_s > SAME_START_S)
                break;
            if (counts(&judged[j], LL_RECORDED) && begin_together(&judged[i], &judged[j]) &&
                is_same(&judged[i], &judged[j], &alike))
                merge(judged, i, j, &alike);
        }
    follow(judged, count);
}

static bool overlap(const ll_judged *one, const ll_judged *other)
{
    if (isnan(one->begins_s) || isnan(other->begins_s))
        return false;
    return one->begins_s <= other->begins_s ? other->begins_s < one->ends_s : one->begins_s < other->ends_s;
}

typedef bool (*pairing)(const ll_judged *one, const ll_judged *other);

/* The first dive of a standing that stands so to this one; `count` without one. All that do overlap it; the longest of all
 * bounds how far back to look. */
static size_t paired(const ll_judged *judged, size_t count, size_t this, ll_standing standing, double longest_s,
                     pairing pairs)
{
    size_t first = this;
    while (first > 0 && !(judged[first - 1].begins_s < judged[this].begins_s - longest_s))
        first--;
    for (size_t i = first; i < count && !(judged[i].begins_s > judged[this].ends_s); i++)
        if (i != this && counts(&judged[i], standing) && pairs(&judged[i], &judged[this]))
            return i;
    return count;
}

static double longest_s(const ll_judged *judged, size_t count)
{
    double longest = 0;
    for (size_t i = 0; i < count; i++)
        longest = fmax(longest, judged[i].ends_s - judged[i].begins_s);
    return longest;
}

static bool states(const ll_judged *recorded, const ll_judged *claimed)
{
    return overlap(recorded, claimed) &&
           fabs(claimed->greatest_m - recorded->greatest_m) <= STATED_SHARE * recorded->greatest_m;
}

/* A statement of a dive that another log recorded. */
static void merge_stated(ll_judged *judged, size_t count)
{
    const double longest = longest_s(judged, count);
    for (size_t i = 0; i < count; i++) {
        if (!counts(&judged[i], LL_CLAIMED) || isnan(judged[i].begins_s))
            continue;
        size_t other = paired(judged, count, i, LL_RECORDED, longest, states);
        if (other < count)
            judge(&judged[i], LL_MERGED, LL_REASON_SAME_STATED, other, NULL);
    }
}

void ll_stand_same(ll_judged *judged, size_t count)
{
    merge_recorded(judged, count);
    merge_stated(judged, count);
}

/* --- overlaps --------------------------------------------------------------------------------------------------- */

/* The earlier start is kept, and a record before a statement. */
void ll_stand_overlapping(ll_judged *judged, size_t count)
{
    static const ll_standing kept[] = {LL_RECORDED, LL_CLAIMED};
    const double longest = longest_s(judged, count);
    for (int k = 0; k < 2; k++)
        for (size_t i = 0; i < count; i++) {
            if (!counts(&judged[i], kept[k]) || isnan(judged[i].begins_s))
                continue;
            size_t other = k == 1 ? paired(judged, count, i, LL_RECORDED, longest, overlap) : count;
            if (other == count)
                other = paired(judged, i, i, kept[k], longest, overlap);
            if (other != i)
                judge(&judged[i], LL_SET_ASIDE, LL_REASON_OVERLAPS, other, NULL);
        }
}

/* --- repeats ---------------------------------------------------------------------------------------------------- */

static bool may_repeat(const ll_judged *judged)
{
    return counts(judged, LL_RECORDED) && judged->has_shape && judged->shape.run_time_s >= REPEAT_LEAST_S &&
           judged->shape.interval_s <= REPEAT_INTERVAL_S && !judged->shape.constant_bottom;
}

static bool repeats(const ll_judged *earlier, const ll_judged *later, ll_alike *alike)
{
    if (!(fabs(earlier->shape.run_time_s - later->shape.run_time_s) < REPEAT_RUN_TIME_S) ||
        !may_be_alike(&earlier->shape, &later->shape, REPEAT_SHIFT_S, REPEAT_M))
        return false;
    *alike = ll_shapes_compare(&earlier->shape, &later->shape, REPEAT_SHIFT_S, REPEAT_M);
    return alike->difference_m < REPEAT_M;
}

/* Dives that later ones may repeat, chained by the whole minutes of their run time, each chain in time order. What a
 * dive repeats lies in the chain of its own minute or in one beside it. */
enum { CHAINS = 512 };

typedef struct chains {
    size_t first[CHAINS], last[CHAINS]; /* SIZE_MAX: none */
} chains;

static size_t chain_of(const ll_judged *judged)
{
    return (size_t)(judged->shape.run_time_s / REPEAT_RUN_TIME_S) % CHAINS;
}

static void chain_up(chains *all, ll_judged *judged, size_t this)
{
    const size_t chain = chain_of(&judged[this]);
    judged[this].next = SIZE_MAX;
    if (all->first[chain] == SIZE_MAX)
        all->first[chain] = this;
    else
        judged[all->last[chain]].next = this;
    all->last[chain] = this;
}

/* The dive that one repeats. */
typedef struct repeated {
    size_t earlier; /* SIZE_MAX without one */
    ll_alike alike;
} repeated;

/* The earliest dive of the chains that this one repeats. */
static repeated find_repeated(const chains *all, const ll_judged *judged, size_t this)
{
    enum { BESIDE = 3 };
    size_t at[BESIDE];
    repeated found = {.earlier = SIZE_MAX};
    for (size_t k = 0; k < BESIDE; k++)
        at[k] = all->first[(chain_of(&judged[this]) + CHAINS - 1 + k) % CHAINS];
    for (;;) {
        size_t earliest = 0;
        for (size_t k = 1; k < BESIDE; k++)
            if (at[k] < at[earliest])
                earliest = k;
        found.earlier = at[earliest];
        if (found.earlier == SIZE_MAX || repeats(&judged[found.earlier], &judged[this], &found.alike))
            return found;
        at[earliest] = judged[found.earlier].next;
    }
}

/* Each dive of a batch is held against those that stand before the batch, all at the same time; then, in order, what
 * has repeated nothing yet against those of its own batch that stand. So the earliest that stands counts, however long
 * a batch is. */
typedef struct repeating {
    ll_judged *judged;
    chains all;      /* those that stand */
    repeated *found; /* by the place in the batch */
    size_t *stands;  /* the dives of this batch that do, in order */
    size_t standing;
} repeating;

static ll_status look_before_batch(void *context, size_t this, size_t place, ll_arena *scratch, ll_error *error)
{
    const repeating *r = context;
    (void)scratch;
    (void)error;
    r->found[place].earlier = SIZE_MAX;
    if (may_repeat(&r->judged[this]))
        r->found[place] = find_repeated(&r->all, r->judged, this);
    return LL_OK;
}

static void look_in_batch(const repeating *r, size_t this, repeated *found)
{
    for (size_t i = 0; i < r->standing && found->earlier == SIZE_MAX; i++)
        if (repeats(&r->judged[r->stands[i]], &r->judged[this], &found->alike))
            found->earlier = r->stands[i];
}

static void settle(void *context, size_t this, size_t place)
{
    repeating *r = context;
    repeated *found = &r->found[place];
    if (place == 0)
        r->standing = 0;
    if (!may_repeat(&r->judged[this]))
        return;
    look_in_batch(r, this, found);
    if (found->earlier != SIZE_MAX) {
        judge(&r->judged[this], LL_SET_ASIDE, LL_REASON_REPEATS, found->earlier, &found->alike);
        return;
    }
    chain_up(&r->all, r->judged, this);
    r->stands[r->standing++] = this;
}

ll_status ll_stand_repeated(ll_judged *judged, size_t count, const ll_crew *crew, ll_arena *arena, ll_error *error)
{
    const size_t batch = ll_crew_batch(crew, count);
    repeating r = {.judged = judged, .found = ll_arena_array(arena, batch, sizeof *r.found),
                   .stands = ll_arena_array(arena, batch, sizeof *r.stands)};
    if (!r.found || !r.stands)
        return ll_fail_memory(error);
    for (size_t chain = 0; chain < CHAINS; chain++)
        r.all.first[chain] = r.all.last[chain] = SIZE_MAX;
    return ll_crew_do(crew, count, &(ll_pieces){look_before_batch, settle, &r}, arena->allocator, error);
}
