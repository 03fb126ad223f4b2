/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans: lines of a slate, or the latest dive of a log. */
#include <math.h>
#include <string.h>

#include <leadline/leadline.h>

#include "base/error.h"
#include "log/log.h"
#include "replay/phases.h"
#include "standard/plan.h"

enum { HEAD_BYTES = 512 };

/* The first bytes are looked at, then given to whoever reads the rest. */
typedef struct head {
    leadline_read read;
    void *context;
    unsigned char bytes[HEAD_BYTES];
    size_t size, next;
    bool failed;
} head;

static void look(head *first)
{
    while (first->size < HEAD_BYTES && !first->failed) {
        const ptrdiff_t got = first->read(first->context, first->bytes + first->size, HEAD_BYTES - first->size);
        first->failed = got < 0 || (size_t)got > HEAD_BYTES - first->size;
        if (got == 0 || first->failed)
            return;
        first->size += (size_t)got;
    }
}

static ptrdiff_t take(void *context, void *bytes, size_t capacity)
{
    head *first = context;
    size_t size = first->size - first->next;
    if (size == 0)
        return first->failed ? -1 : first->read(first->context, bytes, capacity);
    size = size < capacity ? size : capacity;
    memcpy(bytes, first->bytes + first->next, size);
    first->next += size;
    return (ptrdiff_t)size;
}

/* --- a log as a plan -------------------------------------------------------------------------------------------------- */

static const ll_dive *latest(const ll_log *log)
{
    const ll_dive *found = NULL;
    for (size_t i = 0; i < log->dives; i++)
        if (log->dive[i].count > 1 && (!found || log->dive[i].start.local_s >= found->start.local_s))
            found = &log->dive[i];
    return found;
}

/* The mix of a span; air where the log leaves it open. */
static void set_mix(const ll_log *log, const ll_dive *dive, size_t sample, ll_plan_point *point)
{
    size_t span = 0;
    while (span + 1 < dive->spans && dive->span[span].end <= sample)
        span++;
    const int mix = dive->spans > 0 ? dive->span[span].mix : LL_MIX_UNKNOWN;
    point->o2 = mix == LL_MIX_UNKNOWN ? 0.21 : log->mix[mix].o2_fraction;
    point->he = mix == LL_MIX_UNKNOWN ? 0 : log->mix[mix].he_fraction;
}

/* From the leaving on, as run times count. The plan lives in its own arena, as one that was read from a slate does. */
static ll_plan *make_from_dive(const ll_log *log, const ll_dive *dive)
{
    ll_arena arena;
    ll_arena_open(&arena, &ll_heap);
    ll_plan *plan = ll_arena_alloc(&arena, sizeof *plan);
    ll_plan_variant *variant = ll_arena_alloc(&arena, sizeof *variant);
    ll_plan_point *point = ll_arena_array(&arena, dive->count, sizeof *point);
    const char *name = ll_arena_text(&arena, log->name);
    if (!plan || !variant || !point || !name) {
        ll_arena_close(&arena);
        return NULL;
    }
    *variant = (ll_plan_variant){.name = LL_PLAN_FIRST_NAME, .point = point};
    size_t leaving;
    ll_leaving_find(dive->depth_m, dive->count, &leaving);
    for (size_t i = leaving; i < dive->count; i++) {
        ll_plan_point *next = &point[variant->count++];
        *next = (ll_plan_point){.run_s = dive->time_s[i] - dive->time_s[leaving], .depth_m = dive->depth_m[i], .line = i + 1};
        variant->greatest_m = fmax(variant->greatest_m, dive->depth_m[i]);
        set_mix(log, dive, i, next);
    }
    *plan = (ll_plan){.arena = arena, .name = name, .count = 1, .variant = variant};
    memcpy(plan->sha256, log->sha256, sizeof plan->sha256);
    return plan;
}

static ll_status read_log(const char *name, head *first, ll_plan **plan, ll_error *error)
{
    ll_log *log;
    ll_status status = ll_log_read(name, take, first, NULL, NULL, &log, error);
    if (status != LL_OK)
        return status;
    const ll_dive *dive = latest(log);
    *plan = dive ? make_from_dive(log, dive) : NULL;
    if (!dive)
        status = ll_fail(error, LL_BAD_INPUT, 0, "expected a dive with a profile as the plan, found none");
    else if (!*plan)
        status = ll_fail_memory(error);
    ll_log_free(log);
    return status;
}

ll_status leadline_plan_read(const char *name, leadline_read read, void *context, ll_plan **plan, ll_error *error)
{
    head first = {.read = read, .context = context};
    *plan = NULL;
    look(&first);
    if (!first.failed && ll_plan_looks_like_log(first.bytes, first.size))
        return read_log(name, &first, plan, error);
    return ll_plan_read(name, take, &first, NULL, plan, error);
}

void leadline_plan_free(ll_plan *plan)
{
    ll_plan_free(plan);
}
