/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which findings stand on a strip, and the area between the curve and what it lay beyond. */
#include <math.h>
#include <string.h>

#include "report/marks.h"
#include "report/strip.h"
#include "report/text_findings.h"

/* A curve of the strip by its class; NULL if it has none. */
static const ll_points *curve_of(const ll_strip *strip, const char *class)
{
    for (size_t i = 0; i < strip->curves; i++)
        if (strcmp(strip->curve[i].class, class) == 0)
            return &strip->curve[i].points;
    return NULL;
}

static ll_strip_beyond *add(const ll_frame *frame, ll_strip *strip, size_t index)
{
    const ll_finding *finding = &frame->debrief->findings.items[index];
    ll_strip_beyond *beyond = &strip->beyond[strip->beyonds++];
    *beyond = (ll_strip_beyond){.mark = ll_mark_of_finding(frame->debrief, index),
                                .marginal = ll_is_marginal(frame->debrief, finding),
                                .at_s = NAN,
                                .value = NAN};
    return beyond;
}

/* --- beyond a value --------------------------------------------------------------------------------------------- */

static bool add_level_band(const ll_frame *frame, const ll_points *curve, double limit, double from_s, double to_s,
                           ll_direction direction, ll_strip_beyond *beyond)
{
    ll_point level[] = {{from_s, limit}, {to_s, limit}};
    const ll_points line = {2, level};
    return ll_band_between(curve, &line, from_s, to_s, direction, frame->arena, &beyond->band);
}

static bool is_lower(const ll_finding *finding)
{
    return ll_limit_direction(finding->kind) == LL_LOWER_LIMIT;
}

/* After the bottom phase only the limits of the whole dive count. */
static bool add_late_part(const ll_frame *frame, ll_strip *strip, size_t index, double bottom_end_s)
{
    const ll_finding *finding = &frame->debrief->findings.items[index];
    const double limit = ll_first_limit(frame->debrief, LL_FINDING_OXYGEN_HIGH);
    if (isnan(limit))
        return true;
    return add_level_band(frame, &strip->curve[0].points, limit, fmax(bottom_end_s, finding->from_s), finding->to_s,
                          LL_UPPER_LIMIT, add(frame, strip, index));
}

static bool add_level(const ll_frame *frame, ll_strip *strip, size_t index)
{
    const ll_finding *finding = &frame->debrief->findings.items[index];
    const double bottom_end_s = frame->debrief->profile.time_s[frame->debrief->profile.bottom_end];
    const bool in_parts = finding->kind == LL_FINDING_OXYGEN_HIGH && finding->to_s > bottom_end_s;
    const double to_s = in_parts ? bottom_end_s : finding->to_s;
    const size_t curves = finding->kind == LL_FINDING_RESERVE ? strip->curves : 1;
    for (size_t i = 0; i < curves; i++) {
        ll_strip_beyond *beyond = add(frame, strip, index);
        if (i == 0) {
            beyond->at_s = finding->peak_s;
            beyond->value = finding->peak;
        }
        if (!add_level_band(frame, &strip->curve[i].points, finding->limit, finding->from_s, to_s,
                            is_lower(finding) ? LL_LOWER_LIMIT : LL_UPPER_LIMIT, beyond))
            return false;
    }
    return !in_parts || add_late_part(frame, strip, index, bottom_end_s);
}

/* --- on the depth ----------------------------------------------------------------------------------------------- */

/* Above a line that runs through the dive; `line` NULL: at an instant. */
static bool add_on_depth(const ll_frame *frame, ll_strip *strip, size_t index, const ll_points *line)
{
    const ll_finding *finding = &frame->debrief->findings.items[index];
    const ll_points *depth = &strip->curve[0].points;
    ll_strip_beyond *beyond = add(frame, strip, index);
    beyond->at_s = finding->peak_s;
    beyond->value = ll_points_value(depth, finding->peak_s);
    return !line || ll_band_between(depth, line, finding->from_s, finding->to_s, LL_LOWER_LIMIT, frame->arena,
                                    &beyond->band);
}

/* Off the level's nominal depth by more than the limit, deeper and shallower. */
static bool add_off_level(const ll_frame *frame, ll_strip *strip, size_t index)
{
    const ll_finding *finding = &frame->debrief->findings.items[index];
    const ll_points *depth = &strip->curve[0].points;
    ll_strip_beyond *deeper = add(frame, strip, index), *shallower = add(frame, strip, index);
    deeper->at_s = finding->peak_s;
    deeper->value = finding->depth_m;
    return add_level_band(frame, depth, finding->nominal_m + finding->limit, finding->from_s, finding->to_s,
                          LL_UPPER_LIMIT, deeper) &&
           add_level_band(frame, depth, finding->nominal_m - finding->limit, finding->from_s, finding->to_s,
                          LL_LOWER_LIMIT, shallower);
}

/* The gradient over 100 percent that makes a stretch above the ceiling weigh more; its number stands at the depth. */
static bool add_on_gradient(const ll_frame *frame, ll_strip *strip, size_t index)
{
    const ll_finding *finding = &frame->debrief->findings.items[index];
    return add_level_band(frame, &strip->curve[0].points, 100, finding->from_s, finding->to_s, LL_UPPER_LIMIT,
                          add(frame, strip, index));
}

static bool add_finding(const ll_frame *frame, ll_strip *strip, size_t index)
{
    const bool on_depth = strcmp(strip->key, "depth") == 0;
    switch (frame->debrief->findings.items[index].kind) {
    case LL_FINDING_CEILING:
        return on_depth ? add_on_depth(frame, strip, index, curve_of(strip, "ceiling"))
                        : add_on_gradient(frame, strip, index);
    case LL_FINDING_OWN_STOP:
        return add_on_depth(frame, strip, index, curve_of(strip, "own-stop"));
    case LL_FINDING_STOP_DEPTH:
        return add_off_level(frame, strip, index);
    case LL_FINDING_SURFACED:
    case LL_FINDING_COUNTERDIFFUSION:
    case LL_FINDING_SWITCH_DEPTH:
        return add_on_depth(frame, strip, index, NULL);
    default:
        return add_level(frame, strip, index);
    }
}

bool ll_strip_find_beyond(const ll_frame *frame, ll_strip *strip, ll_kinds kinds)
{
    const ll_findings *findings = &frame->debrief->findings;
    const size_t parts = strip->curves > 2 ? strip->curves : 2;
    strip->beyond = ll_arena_array(frame->arena, findings->count * parts, sizeof *strip->beyond);
    if (!strip->beyond)
        return false;
    for (size_t i = 0; i < findings->count; i++)
        if ((kinds & LL_KIND(findings->items[i].kind)) && !ll_mark_is_shared(frame->debrief, i) &&
            !add_finding(frame, strip, i))
            return false;
    return true;
}
